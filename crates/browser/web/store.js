// Where files are kept: in the browser's database, whole changes or none, and only on top of what was read.

import { Opened } from "./folder.js";

/** All pages that are opened from a disk share one place: this name is no other page's. */
const NAME = "bobbinwright: the families on this device";

/** Twelve digits by chance; also on a page that came over a network without encryption. */
const mark = () => Array.from(crypto.getRandomValues(new Uint8Array(6)), (byte) => byte.toString(16).padStart(2, "0")).join("");

const settled = (request) =>
  new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });

const finished = (change) =>
  new Promise((done, failed) => {
    change.oncomplete = () => done();
    change.onabort = () => failed(change.error ?? new Error("the browser gave up"));
  });

/** The folder that was worked in last, if the browser still lets the page; else what it keeps itself, or, where it has no room, one that keeps nothing, with the reason. */
export async function openStore() {
  try {
    const opening = indexedDB.open(NAME, 1);
    opening.onupgradeneeded = () => ["files", "about", "entered"].forEach((name) => opening.result.createObjectStore(name));
    const store = new Store(await settled(opening));
    await store.tryIt();
    const folder = await store.workedIn().catch(() => null);
    if (!folder) return store;
    if ((await folder.queryPermission({ mode: "readwrite" })) === "granted") return new Opened(folder, store);
    store.closed = folder;
    return store;
  } catch (e) {
    return new Nowhere(e.message);
  }
}

class Store {
  isKept = true;
  /** What tells these files apart from those in any other browser. */
  shelf = null;
  /** The folder that was worked in last and must be opened again. */
  closed = null;
  #base;

  constructor(base) {
    this.#base = base;
  }

  #change(mode, ...names) {
    // Confirmed is what the disk has, not what waits for it.
    return this.#base.transaction(names, mode, mode === "readwrite" ? { durability: "strict" } : {});
  }

  /** Writes something and reads it back. */
  async tryIt() {
    const said = mark();
    const writing = this.#change("readwrite", "about");
    writing.objectStore("about").put(said, "tried");
    await finished(writing);
    if ((await settled(this.#change("readonly", "about").objectStore("about").get("tried"))) !== said) {
      throw new Error("what was written did not come back");
    }
    const own = this.#change("readwrite", "about");
    own.objectStore("about").get("shelf").onsuccess = ({ target }) => {
      this.shelf = target.result ?? mark();
      own.objectStore("about").put(this.shelf, "shelf");
    };
    await finished(own);
  }

  /** How often something was kept, by whatever page; and when the last backup was saved. */
  async standing() {
    const about = this.#change("readonly", "about").objectStore("about");
    const [rev, backup] = await Promise.all([settled(about.get("rev")), settled(about.get("backup"))]);
    return { rev: rev ?? 0, backup: backup ?? null };
  }

  /** All files, and as of which turn. */
  async all() {
    const looking = this.#change("readonly", "about", "files");
    const files = looking.objectStore("files");
    const [rev, names, contents] = await Promise.all([
      settled(looking.objectStore("about").get("rev")), settled(files.getAllKeys()), settled(files.getAll()),
    ]);
    return { rev: rev ?? 0, files: names.map((name, i) => [name, contents[i]]) };
  }

  /** What was answered to a reading that is in the log. */
  async entered(id) {
    return settled(this.#change("readonly", "entered").objectStore("entered").get(id));
  }

  /** Keeps changes, if nothing else was kept since turn `rev`; says whether. `once` is what was entered, and its answer. */
  async keep(changes, rev, once = null) {
    const writing = this.#change("readwrite", "about", "files", "entered");
    const about = writing.objectStore("about");
    let kept = true;
    about.get("rev").onsuccess = ({ target }) => {
      if ((target.result ?? 0) !== rev) {
        kept = false;
        return;
      }
      about.put(rev + 1, "rev");
      const files = writing.objectStore("files");
      for (const [path, bytes] of changes) {
        if (bytes) files.put(bytes, path);
        else files.delete(path);
      }
      if (once) writing.objectStore("entered").put(once.answer, once.id);
    };
    await finished(writing);
    return kept;
  }

  /** The folder that the page works in. */
  workedIn = () => settled(this.#change("readonly", "about").objectStore("about").get("folder"));

  /** Works in a folder from the next opening on, or in none. */
  async workIn(folder) {
    const writing = this.#change("readwrite", "about");
    if (folder) writing.objectStore("about").put(folder, "folder");
    else writing.objectStore("about").delete("folder");
    await finished(writing);
  }

  /** How often something was kept in a folder, by whatever page. */
  turn = async () => (await settled(this.#change("readonly", "about").objectStore("about").get("turn"))) ?? 0;

  /** Something was kept in a folder; `once` is what was entered, and its answer. */
  async turned(once) {
    const writing = this.#change("readwrite", "about", "entered");
    const about = writing.objectStore("about");
    about.get("turn").onsuccess = ({ target }) => about.put((target.result ?? 0) + 1, "turn");
    if (once) writing.objectStore("entered").put(once.answer, once.id);
    await finished(writing);
  }

  async backedUp(rev) {
    const writing = this.#change("readwrite", "about");
    writing.objectStore("about").put({ rev, on: new Date().toISOString() }, "backup");
    await finished(writing);
  }
}

/** Keeps as long as the page is open. */
export class Nowhere {
  isKept = false;
  shelf = mark();
  #files = new Map();
  #entered = new Map();
  #rev = 0;
  #backup = null;

  constructor(why) {
    this.why = why;
  }

  standing = async () => ({ rev: this.#rev, backup: this.#backup });
  all = async () => ({ rev: this.#rev, files: [...this.#files] });
  entered = async (id) => this.#entered.get(id);

  async keep(changes, rev, once = null) {
    this.#rev = rev + 1;
    for (const [path, bytes] of changes) {
      if (bytes) this.#files.set(path, bytes);
      else this.#files.delete(path);
    }
    if (once) this.#entered.set(once.id, once.answer);
    return true;
  }

  async backedUp(rev) {
    this.#backup = { rev, on: new Date().toISOString() };
  }
}
