// Files in a folder of the disk's in which the browser lets the page work: the very files of the program.

/** What a family and a printer are made of; what was built from them stays the program's. */
const OURS = /^[^.].*\.(ron|id|undo)$/;
/** Families may stand in folders of their own; nobody's stand deeper. */
const DEEPEST = 4;
/** No shelf has more, or larger ones. */
const MOST = 4_000;
const LARGEST = 64 << 20;

const alike = (one, other) => one?.length === other?.length && (one ?? []).every((byte, i) => byte === other[i]);

/** Somebody else was at the file. */
const OVERTAKEN = new Error("somebody else was first");

/** Every page that works in a folder waits here for its turn. */
const inTurn = (what) => navigator.locks.request("bobbinwright: a folder on this device", what);

export class Opened {
  isKept = true;
  shelf;
  #root;
  #base;
  /** What stood in the files when they were looked at last, by their paths. */
  #known = new Map();

  /** `base` counts turns, and remembers what was entered, for all pages. */
  constructor(root, base) {
    this.#root = root;
    this.#base = base;
    this.shelf = base.shelf;
    this.folder = root.name;
  }

  standing = async () => ({ rev: await this.#base.turn(), backup: null });
  entered = (id) => this.#base.entered(id);
  workIn = (folder) => this.#base.workIn(folder);

  /** All files, and as of which turn. */
  all = () =>
    inTurn(async () => {
      const found = new Map();
      await this.#look(this.#root, "", DEEPEST, found);
      this.#known = found;
      return { rev: await this.#base.turn(), files: [...found] };
    });

  async #look(folder, below, deeper, found) {
    for await (const [name, entry] of folder.entries()) {
      if (entry.kind === "file" && OURS.test(name)) {
        const file = await entry.getFile();
        if (found.size >= MOST || file.size > LARGEST) {
          throw new Error(`${this.folder} holds more, or larger files, than a shelf of families: open the folder that only they stand in`);
        }
        found.set(below + name, new Uint8Array(await file.arrayBuffer()));
      } else if (entry.kind === "directory" && deeper && !name.startsWith(".")) {
        await this.#look(entry, `${below}${name}/`, deeper - 1, found);
      }
    }
  }

  /** Keeps changes if the files that they change are still as they were looked at; says whether. */
  keep = (changes, rev, once = null) =>
    inTurn(async () => {
      if ((await this.#base.turn()) !== rev) return false;
      for (const [path] of changes) {
        if (!alike(await this.#read(path), this.#known.get(path))) return false;
      }
      const written = [];
      try {
        for (const [path, bytes] of changes) {
          await this.#write(path, bytes, this.#known.get(path));
          written.push([path, bytes]);
        }
      } catch (e) {
        // All or none; what somebody else saved by then stays.
        for (const [path, bytes] of written) await this.#write(path, this.#known.get(path) ?? null, bytes ?? undefined).catch(() => {});
        if (e === OVERTAKEN) return false;
        throw new Error(`the folder ${this.folder} can't be written (${e.message})`);
      }
      for (const [path, bytes] of changes) {
        if (bytes) this.#known.set(path, bytes);
        else this.#known.delete(path);
      }
      await this.#base.turned(once);
      return true;
    });

  /** The folder that a path leads to, and the name there. */
  async #place(path, create) {
    const names = path.split("/");
    const name = names.pop();
    let folder = this.#root;
    for (const one of names) folder = await folder.getDirectoryHandle(one, { create });
    return [folder, name];
  }

  async #read(path) {
    try {
      const [folder, name] = await this.#place(path, false);
      return new Uint8Array(await (await (await folder.getFileHandle(name)).getFile()).arrayBuffer());
    } catch (e) {
      if (e.name === "NotFoundError") return undefined;
      throw e;
    }
  }

  /** The browser writes beside the file, and exchanges the two when it is whole, if the file is still as it was `before`. */
  async #write(path, bytes, before) {
    const isNew = before === undefined;
    if (!alike(await this.#read(path), before)) throw OVERTAKEN;
    const [folder, name] = await this.#place(path, Boolean(bytes));
    if (!bytes) {
      if (!isNew) await folder.removeEntry(name);
      return;
    }
    // A new file is made empty before it is written.
    const expected = isNew ? new Uint8Array() : before;
    const file = await folder.getFileHandle(name, { create: true });
    try {
      const writing = await file.createWritable();
      await writing.write(bytes);
      if (!alike(await this.#read(path), expected)) {
        await writing.abort();
        throw OVERTAKEN;
      }
      await writing.close();
    } catch (e) {
      if (isNew && (await this.#read(path))?.length === 0) await folder.removeEntry(name);
      throw e;
    }
  }

  /** What is on the disk needs no backup of the page's. */
  async backedUp() {}
}
