// What becomes of what is typed when a core falls over, another page was first, or the browser has no room left. The core
// is a small one that keeps lines.

import assert from "node:assert/strict";
import { test } from "node:test";
import { Bench } from "./bench.js";
import { Nowhere } from "./store.js";

const bytes = (text) => new TextEncoder().encode(text);
const text = (some) => new TextDecoder().decode(some);

/** Adds what is said to the log; falls over at "trap" before it answers. */
class Lines {
  log = "";
  answer({ method, body }, files) {
    for (const [, kept] of files) this.log = text(kept);
    if (method === "GET") return { status: 200, bytes: bytes(this.log), changes: [] };
    const { say } = JSON.parse(text(body));
    this.log += `${say}\n`;
    if (say === "trap") throw new WebAssembly.RuntimeError("unreachable");
    return { status: 200, bytes: bytes(say), changes: [["log", bytes(this.log)]] };
  }
}

const say = (words, id) => ({ method: "POST", path: "of/a/read", body: bytes(JSON.stringify({ say: words, id })) });
const look = { method: "GET", path: "of/a/state", body: bytes("") };
const bench = (store) => new Bench(() => new Lines(), store);

test("a core that falls over leaves what is kept", async () => {
  const one = bench(new Nowhere("here"));
  await one.answer(say("first"));
  const fell = await one.answer(say("trap"));
  assert.equal(fell.status, 500);
  assert.match(text(fell.bytes), /nothing was lost/);
  assert.equal((await one.answer(say("second"))).status, 200);
  assert.equal(text((await one.answer(look)).bytes), "first\nsecond\n");
});

test("two pages see each other's, and neither overwrites the other", async () => {
  const store = new Nowhere("here");
  const [one, other] = [bench(store), bench(store)];
  await one.answer(say("of one"));
  await other.answer(say("of the other"));
  one.overtaken();
  assert.equal(text((await one.answer(look)).bytes), "of one\nof the other\n");
});

test("what another page keeps while one looks is looked at again", async () => {
  const store = new Nowhere("here");
  const [one, other] = [bench(store), bench(store)];
  await one.answer(say("first"));
  const all = store.all;
  store.all = async () => {
    const before = await all();
    store.all = all;
    await one.answer(say("meanwhile"));
    other.overtaken();
    return before;
  };
  assert.equal(text((await other.answer(look)).bytes), "first\nmeanwhile\n");
});

test("whoever was overtaken begins again", async () => {
  const store = new Nowhere("here");
  const [one, other] = [bench(store), bench(store)];
  await one.answer(say("first"));
  await other.answer(look);
  // Between its look and its turn another one writes.
  const keep = store.keep.bind(store);
  let turns = 0;
  store.keep = async (changes, rev, once) => {
    if (turns++ === 0) {
      await keep([["log", bytes("first\nin between\n")]], rev);
      return false;
    }
    return keep(changes, rev, once);
  };
  await other.answer(say("last"));
  one.overtaken();
  assert.equal(text((await one.answer(look)).bytes), "first\nin between\nlast\n");
});

test("a reading that is sent twice is entered once", async () => {
  const store = new Nowhere("here");
  const [one, other] = [bench(store), bench(store)];
  const first = await one.answer(say("92.24", "7"));
  const again = await other.answer(say("92.24", "7"));
  assert.deepEqual(again.bytes, first.bytes);
  assert.equal(text((await one.answer(look)).bytes), "92.24\n");
});

test("what finds no room is refused, said, and not there", async () => {
  const store = new Nowhere("here");
  const one = bench(store);
  await one.answer(say("first"));
  const keep = store.keep;
  store.keep = async () => {
    throw new DOMException("the quota has been exceeded", "QuotaExceededError");
  };
  const refused = await one.answer(say("second"));
  assert.equal(refused.status, 507);
  assert.match(text(refused.bytes), /no room left/);
  assert.ok(one.full);
  assert.equal(text((await one.answer(look)).bytes), "first\n");
  store.keep = keep;
  assert.equal((await one.answer(say("third"))).status, 200);
  assert.equal(one.full, null);
  assert.equal(text((await one.answer(look)).bytes), "first\nthird\n");
});
