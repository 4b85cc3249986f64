// The core: WebAssembly that takes a request with what is kept, and gives an answer with what is to be kept.

const encoder = new TextEncoder();
const decoder = new TextDecoder();

export class Core {
  #exports;
  #shelf;
  #days;

  /** A fresh one, which knows of no file. `shelf` is what tells this browser's files apart from all others'. */
  constructor(module, shelf, days = daysHere) {
    this.#shelf = shelf;
    this.#days = days;
    this.#exports = new WebAssembly.Instance(module, {}).exports;
  }

  /** `asked` is method, path, query and body; `files` are paths with the bytes that are kept of them. */
  answer({ method, path, query = "", body = new Uint8Array() }, files = []) {
    const kept = files.map(([name, bytes]) => [name, bytes.length]);
    const head = encoder.encode(JSON.stringify({ method, path, query, body: body.length, shelf: this.#shelf, ...this.#days(), kept }));
    const parts = [new Uint8Array(new Uint32Array([head.length]).buffer), head, body, ...files.map(([, bytes]) => bytes)];
    const { room, answer, length, memory } = this.#exports;
    let at = room(parts.reduce((sum, part) => sum + part.length, 0)) >>> 0;
    for (const part of parts) {
      new Uint8Array(memory.buffer, at, part.length).set(part);
      at += part.length;
    }
    const start = answer() >>> 0;
    // A copy: the room is used again.
    return readAnswer(new Uint8Array(memory.buffer, start, length() >>> 0).slice());
  }
}

function readAnswer(all) {
  let at = 4;
  const take = (length) => all.slice(at, (at += length));
  const head = JSON.parse(decoder.decode(take(new DataView(all.buffer).getUint32(0, true))));
  const bytes = take(head.body);
  const changes = head.changes.map(([path, length]) => [path, length === null ? null : take(length)]);
  return { status: head.status, kind: head.kind, keepAs: head.keep_as, bytes, changes };
}

/** The day here, and the latest that it can be anywhere. */
function daysHere() {
  const day = (time) => time.toISOString().slice(0, 10);
  const now = new Date();
  const here = new Date(now.getTime() - now.getTimezoneOffset() * 60_000);
  return { today: day(here), latest: day(new Date(now.getTime() + 86_400_000)) };
}
