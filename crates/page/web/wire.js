// What goes to the program and comes back.

import { carry, listenTo } from "./carrier.js";

let id = null;

/** Which family is talked about. */
export const choose = (family) => {
  id = family;
};

const at = (path) => `of/${encodeURIComponent(id)}/${path}`;

/** No answer came, or none that says what became of what was asked. */
export class Unanswered extends Error {}
/** None came at all. */
export class Silent extends Unanswered {}

async function answered(response) {
  const said = await response.json().catch(() => undefined);
  const why = said?.why ?? `the program answered ${response.status}`;
  // Another address, another family at this one, a defect: whatever was asked may be asked again.
  if ([403, 404, 421].includes(response.status) || response.status >= 500) throw new Unanswered(why);
  if (!response.ok) throw new Error(why);
  if (said === undefined) throw new Unanswered("The answer was cut off.");
  return said;
}

/** Longer nobody waits for an answer. */
const PATIENCE = 20_000;

async function asked(path, options) {
  let response;
  try {
    response = await carry(path, { signal: AbortSignal.timeout(PATIENCE), ...options });
  } catch {
    throw new Silent("The program does not answer: is it still running? What the log has not got yet is kept here.");
  }
  return answered(response);
}

const sent = (path, body) =>
  asked(path, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) });

/** Questions and orders about the family. */
export const ask = (path) => asked(at(path));

/** What was told and not answered, with what tells it apart and the time: told once more soon after, it is the same. */
const unanswered = new Map();
const SOON = 120_000;

const fresh = () => `${Date.now()}-${Math.random().toString(36).slice(2, 12)}`;

export async function tell(path, body = {}) {
  // What is only tried leaves nothing behind.
  if (path.startsWith("try")) return sent(at(path), body);
  const words = `${at(path)} ${JSON.stringify(body)}`;
  const [known, since] = unanswered.get(words) ?? [];
  const id = body.id ?? (Date.now() - since < SOON ? known : fresh());
  try {
    const answer = await sent(at(path), { ...body, id });
    // What is told from here on is told by somebody who knows what became of it.
    unanswered.clear();
    return answer;
  } catch (e) {
    if (e instanceof Unanswered) unanswered.set(words, [id, Date.now()]);
    else unanswered.delete(words);
    throw e;
  }
}
export const fileAt = (what, name) => at(`file/${what}/${encodeURIComponent(name)}`);

/** Questions and orders about all of them. */
export const families = () => asked("families");
export const startOne = (body) => sent("new", body);

/** The scene's bytes: as the family is, or as it would be with a value. */
export async function sceneBytes(body = null) {
  const options = body && { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) };
  const response = await carry(at(body ? "tryscene" : "scene"), options ?? {});
  if (!response.ok) await answered(response);
  return response.arrayBuffer();
}

/** Calls back whenever a file of the family changes, and whenever the program goes and is there again. */
export const onChange = (told) => listenTo(at("changes"), told);
