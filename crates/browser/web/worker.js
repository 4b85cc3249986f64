// The worker: everything that takes time, away from the page that is typed into.

import { Bench } from "./bench.js";
import { Core } from "./core.js";
import { bytesOf } from "./letters.js";
import { openStore } from "./store.js";

/** Other pages of these families. Only the first worker of a page listens: what it hears the page hands on. */
const others = new BroadcastChannel("bobbinwright: the families on this device");
const waiting = [];
let busy = false;
let bench = null;
let store = null;

/** The first one unpacks the core, and hands it on to the second. */
async function start({ packed, length, module }) {
  const compiled = module ?? unpacked(packed, length);
  const [core, opened] = await Promise.all([compiled, openStore()]);
  store = opened;
  bench = new Bench(() => new Core(core, store.shelf), store);
  if (!module) {
    others.onmessage = overtaken;
    await tellStanding();
    // What is kept nowhere only this one knows.
    if (store.isKept) postMessage({ module: core });
  }
  go();
}

function unpacked(packed, length) {
  const plain = new Blob([bytesOf(packed, length)]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return WebAssembly.compileStreaming(new Response(plain, { headers: { "content-type": "application/wasm" } }));
}

async function tellStanding() {
  const isPromised = await (navigator.storage?.persisted?.() ?? Promise.resolve(false)).catch(() => false);
  const { isKept, why, folder, closed } = store;
  postMessage({ standing: { ...(await store.standing()), isKept, why, folder, closed, isPromised, full: bench.full } });
}

/** The database is gone, or closed under the page. */
function unanswered({ message }) {
  const why = `What is kept can't be reached (${message}): open the page again.`;
  return { status: 500, kind: "application/json", bytes: new TextEncoder().encode(JSON.stringify({ why })) };
}

/** What is done goes before what is looked at, where there is no other to look; and what several ask for is looked at once. */
async function go() {
  if (busy || !bench) return;
  busy = true;
  while (waiting.length) {
    const first = Math.max(waiting.findIndex(({ asked }) => asked.method === "POST"), 0);
    const [{ id, asked, atLeast }] = waiting.splice(first, 1);
    if (bench.rev < atLeast) bench.overtaken();
    const { full, kept } = bench;
    const { status, kind, bytes } = await bench.answer(asked).catch(unanswered);
    const alike = (one) => asked.method === "GET" && one.asked.method === "GET" && one.asked.path === asked.path && one.asked.query === asked.query && !(bench.rev < one.atLeast);
    for (const one of [{ id }, ...waiting.filter(alike)]) postMessage({ id: one.id, status, kind, bytes, rev: bench.rev });
    waiting.splice(0, waiting.length, ...waiting.filter((one) => !alike(one)));
    if (kept !== bench.kept) others.postMessage("kept");
    try {
      const isBackup = asked.path === "backup" && status === 200;
      if (isBackup) await noteBackup(asked, bytes);
      if (isBackup || kept !== bench.kept || full !== bench.full) await tellStanding();
    } catch {
      // What is kept can't be said just now; the next answer says it.
    }
  }
  busy = false;
}

/** One was saved; or the first of all was taken in, and all that is here is what it holds. */
async function noteBackup({ method }, bytes) {
  // As it was when the backup was made: what another page has kept since is not in it.
  if (method === "GET") {
    await store.backedUp(bench.rev);
    return;
  }
  const { rev } = await store.standing();
  if (rev === 1 && JSON.parse(new TextDecoder().decode(bytes)).new > 0) await store.backedUp(rev);
}

/** Works in another folder, or in none, from the next opening on. */
async function workIn({ id, folder }) {
  const why = await (store.workIn?.(folder) ?? Promise.reject(new Error("nothing is kept here"))).then(() => "", (e) => e.message);
  const bytes = new TextEncoder().encode(JSON.stringify({ why }));
  postMessage({ id, status: why ? 500 : 200, kind: "application/json", bytes, rev: bench.rev });
}

/** Another page has kept something. */
async function overtaken() {
  bench.overtaken();
  postMessage({ changed: true });
  await tellStanding();
}

onmessage = ({ data }) => {
  if (data.packed || data.module) start(data).catch((e) => postMessage({ failed: e.message }));
  else if (data.folder !== undefined) workIn(data);
  else if (data.overtaken) bench?.overtaken();
  else if (data.lookAgain) {
    if (store?.folder) bench?.overtaken();
  } else {
    waiting.push(data);
    go();
  }
};
