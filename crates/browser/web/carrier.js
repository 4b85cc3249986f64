// How the page reaches the core that it carries: in a worker that is made from the page's own text.

const text = (name) => document.getElementById(name).textContent;
const waiting = new Map();
let changed = () => {};
let standing = () => {};
let failed = () => {};
let count = 0;

/** The turn that this page has seen an answer of. */
let seen = -1;
/** One does what is asked, and nobody who types waits for what the other looks at. */
const doer = hire();
let looker = null;
doer.postMessage({ packed: text("core"), length: Number(document.getElementById("core").dataset.bytes) });

function hire() {
  const worker = new Worker(URL.createObjectURL(new Blob([text("worker")], { type: "text/javascript" })));
  worker.onmessage = ({ data }) => {
    if (data.module) {
      looker = hire();
      looker.postMessage({ module: data.module });
    } else if (data.standing) {
      standing(data.standing);
    } else if (data.changed) {
      // Whoever looks is told before it is asked: two that hear of it by themselves do so in no order.
      looker?.postMessage({ overtaken: true });
      changed();
    } else if (data.failed) {
      failed(`This browser can't run the page (${data.failed}). A newer one can.`);
    } else {
      const { id, status, kind, bytes, rev } = data;
      if (worker === doer) seen = Math.max(seen, rev);
      waiting.get(id)(new Response(bytes, { status, headers: { "content-type": kind } }));
      waiting.delete(id);
    }
  };
  return worker;
}

/** Asks; what comes back is a `Response`. */
export async function carry(address, { method = "GET", body = "" } = {}) {
  const [path, query = ""] = address.split("?");
  const id = ++count;
  const bytes = typeof body === "string" ? new TextEncoder().encode(body) : body;
  const answer = new Promise((done) => waiting.set(id, done));
  // Who hands out files to print must know them when it is entered that they were printed.
  const looks = looker && method === "GET" && path !== "backup" && !path.includes("/file/print/");
  (looks ? looker : doer).postMessage({ id, asked: { method, path, query, body: bytes }, atLeast: seen });
  return answer;
}

/** Works in a folder of the disk's from the next opening on, or, with null, in none. */
export function workIn(folder) {
  const id = ++count;
  const answer = new Promise((done) => waiting.set(id, done));
  doer.postMessage({ id, folder });
  return answer;
}

/** Shows a picture that is made on the other side, or leads to a file that is. */
export function reach(element, key, address) {
  if (!address.startsWith("of/")) element.setAttribute(key, address);
  else if (key === "src") show(element, address);
  else lead(element, address);
}

async function show(image, address) {
  const answer = await carry(address);
  if (!answer.ok) return;
  const url = URL.createObjectURL(await answer.blob());
  image.addEventListener("load", () => URL.revokeObjectURL(url), { once: true });
  image.src = url;
}

/** It is made when somebody wants it. */
function lead(link, address) {
  link.href = "#";
  link.addEventListener("click", async (event) => {
    event.preventDefault();
    const answer = await carry(address);
    if (!answer.ok) failed((await answer.json()).why);
    else keepAs(await answer.blob(), link.getAttribute("download") || decodeURIComponent(address.split("/").at(-1)));
  });
}

/** Hands a file to the person. */
export function keepAs(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/** Calls back with where everything is kept and when it was saved, whenever that changes; and if nothing works here. */
export function whenKept(told, why) {
  standing = told;
  failed = why;
}

/** Calls back whenever another page of these families changes something. */
export function listenTo(path, told) {
  changed = told.changed;
  addEventListener("focus", () => {
    // A program or an editor may have been at the files of a folder.
    for (const worker of [doer, looker]) worker?.postMessage({ lookAgain: true });
    told.changed();
  });
}
