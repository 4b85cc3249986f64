// A folder that others write to as well, and one that breaks off in the middle of a change.

import assert from "node:assert/strict";
import { test } from "node:test";
import { Opened } from "./folder.js";

Object.defineProperty(globalThis, "navigator", { value: { locks: { request: (_, what) => what() } } });

const bytes = (text) => new TextEncoder().encode(text);
const text = (some) => new TextDecoder().decode(some);
const missing = () => Object.assign(new Error("not there"), { name: "NotFoundError" });

/** Folders and files as the browser hands them out: https://fs.spec.whatwg.org. */
class Folder {
  kind = "directory";
  all = new Map();
  constructor(name = "families") {
    this.name = name;
  }
  async *entries() {
    yield* this.all;
  }
  async getDirectoryHandle(name, { create } = {}) {
    if (!this.all.has(name) && !create) throw missing();
    if (!this.all.has(name)) this.all.set(name, new Folder(name));
    return this.all.get(name);
  }
  async getFileHandle(name, { create } = {}) {
    if (!this.all.has(name) && !create) throw missing();
    if (!this.all.has(name)) this.all.set(name, new File());
    return this.all.get(name);
  }
  async removeEntry(name) {
    if (!this.all.delete(name)) throw missing();
  }
}

class File {
  kind = "file";
  now = bytes("");
  breaks = false;
  getFile = async () => ({ size: this.now.length, arrayBuffer: async () => this.now.slice().buffer });
  async createWritable() {
    if (this.breaks) throw new Error("the disk is full");
    let written;
    return { write: async (some) => { written = some; this.meanwhile?.(); }, close: async () => (this.now = written), abort: async () => {} };
  }
}

class Turns {
  shelf = "00";
  count = 0;
  turn = async () => this.count;
  turned = async () => (this.count += 1);
}

async function shelf() {
  const root = new Folder();
  const family = await root.getDirectoryHandle("skiff", { create: true });
  for (const name of ["family.ron", "readings.ron", "photo.jpg", ".hidden.ron"]) {
    (await family.getFileHandle(name, { create: true })).now = bytes(name);
  }
  return { root, family, opened: new Opened(root, new Turns()) };
}

test("what a family is made of is found, and nothing else", async () => {
  const { opened } = await shelf();
  const { rev, files } = await opened.all();
  assert.deepEqual([rev, files.map(([path, some]) => [path, text(some)])], [0, [["skiff/family.ron", "family.ron"], ["skiff/readings.ron", "readings.ron"]]]);
});

test("what an editor saved meanwhile is not overwritten", async () => {
  const { family, opened } = await shelf();
  const { rev } = await opened.all();
  family.all.get("readings.ron").now = bytes("by an editor");
  assert.equal(await opened.keep([["skiff/readings.ron", bytes("ours")]], rev), false);
  assert.equal(text(family.all.get("readings.ron").now), "by an editor");
  const again = await opened.all();
  assert.equal(await opened.keep([["skiff/readings.ron", bytes("by an editor, and ours")]], again.rev), true);
  assert.equal(text(family.all.get("readings.ron").now), "by an editor, and ours");
  // A file that somebody made where there was none is as little overwritten.
  family.all.set("family.id", new File());
  assert.equal(await opened.keep([["skiff/family.id", bytes("ours")]], again.rev + 1), false);
});

test("what an editor saves while the page writes is not overwritten either", async () => {
  const { family, opened } = await shelf();
  const { rev } = await opened.all();
  const readings = family.all.get("readings.ron");
  readings.meanwhile = () => (readings.now = bytes("by an editor"));
  const change = [["skiff/family.ron", bytes("changed")], ["skiff/readings.ron", bytes("ours")]];
  assert.equal(await opened.keep(change, rev), false);
  assert.equal(text(readings.now), "by an editor");
  assert.equal(text(family.all.get("family.ron").now), "family.ron");
});

test("of a change that breaks off nothing stays", async () => {
  const { family, opened } = await shelf();
  const { rev } = await opened.all();
  family.all.get("readings.ron").breaks = true;
  const change = [["skiff/family.undo", bytes("new")], ["skiff/family.ron", bytes("changed")], ["skiff/readings.ron", bytes("changed")]];
  await assert.rejects(opened.keep(change, rev), /families can't be written \(the disk is full\)/);
  assert.equal(text(family.all.get("family.ron").now), "family.ron");
  assert.ok(!family.all.has("family.undo"));
  // Nor does an empty file where there was none.
  const getFileHandle = family.getFileHandle.bind(family);
  family.getFileHandle = async (name, how) => Object.assign(await getFileHandle(name, how), name === "family.id" ? { breaks: true } : {});
  await assert.rejects(opened.keep([["skiff/family.id", bytes("new")]], rev), /the disk is full/);
  assert.ok(!family.all.has("family.id"));
  family.getFileHandle = getFileHandle;
  family.all.get("readings.ron").breaks = false;
  assert.equal(await opened.keep(change, rev), true);
  assert.equal(await opened.keep([["skiff/family.undo", null]], rev + 1), true);
  assert.ok(!family.all.has("family.undo"));
});

test("two pages take turns", async () => {
  const { root, opened } = await shelf();
  const turns = new Turns();
  const [one, other] = [new Opened(root, turns), new Opened(root, turns)];
  const [{ rev }] = [await one.all(), await other.all(), opened];
  assert.equal(await one.keep([["skiff/readings.ron", bytes("of one")]], rev), true);
  assert.equal(await other.keep([["skiff/readings.ron", bytes("of the other")]], rev), false);
});
