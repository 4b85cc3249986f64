// What goes to the program and comes back.

let id = null;

/** Which family is talked about. */
export const choose = (family) => {
  id = family;
};

const at = (path) => `of/${encodeURIComponent(id)}/${path}`;

async function answered(response) {
  const said = await response.json().catch(() => ({ why: `the program answered ${response.status}` }));
  if (!response.ok) throw new Error(said.why ?? `the program answered ${response.status}`);
  return said;
}

async function asked(path, options) {
  let response;
  try {
    response = await fetch(path, options);
  } catch {
    throw new Error("The program does not answer: is it still running? What was entered is in the log.");
  }
  return answered(response);
}

const sent = (path, body) =>
  asked(path, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) });

/** Questions and orders about the family. */
export const ask = (path) => asked(at(path));
export const tell = (path, body = {}) => sent(at(path), body);
export const fileAt = (what, name) => at(`file/${what}/${encodeURIComponent(name)}`);

/** Questions and orders about all of them. */
export const families = () => asked("families");
export const startOne = (body) => sent("new", body);

/** The scene's bytes: as the family is, or as it would be with a value. */
export async function sceneBytes(body = null) {
  const options = body && { method: "POST", body: JSON.stringify(body) };
  const response = await fetch(at(body ? "tryscene" : "scene"), options ?? {});
  if (!response.ok) await answered(response);
  return response.arrayBuffer();
}

/** Calls back whenever a file of the family changes on the disk, and whenever the program is there again. */
export function onChange(react) {
  const stream = new EventSource(at("changes"));
  let lost = false;
  stream.onmessage = react;
  stream.onerror = () => {
    lost = true;
  };
  stream.onopen = () => {
    if (lost) react();
    lost = false;
  };
  return () => stream.close();
}
