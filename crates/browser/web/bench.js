// Requests answered one after the other: what is kept goes in, what comes out is kept before anybody hears of it.

const decoder = new TextDecoder();

const refusal = (status, why) => ({
  status, kind: "application/json", keepAs: null, bytes: new TextEncoder().encode(JSON.stringify({ why })), changes: [],
});

export class Bench {
  #fresh;
  #store;
  #core = null;
  /** As of which turn the core knows the files. */
  rev = -1;
  /** How often it was said that another page has kept something. */
  #told = 0;
  /** Why nothing more can be kept; none while it can. */
  full = null;
  /** How often something was kept. */
  kept = 0;

  /** `fresh` makes a core that knows of no file. */
  constructor(fresh, store) {
    this.#fresh = fresh;
    this.#store = store;
  }

  /** The answer to a request, once everything that follows from it is kept. */
  async answer(asked) {
    const once = idOf(asked);
    for (;;) {
      // What was not answered is told again, and two pages may send the same reading: it is done once.
      const before = once && (await this.#store.entered(once));
      if (before) return before;
      const files = await this.#news();
      let answer;
      try {
        answer = this.#core.answer(asked, files);
      } catch (e) {
        // It fell over; the next one begins with what is kept.
        this.#core = null;
        return refusal(500, `The page has a defect here (${e.message}); nothing was lost, and nothing entered.`);
      }
      const { changes, ...said } = answer;
      if (!changes.length) return said;
      try {
        if (await this.#store.keep(changes, this.rev, once && said.status === 200 ? { id: once, answer: said } : null)) {
          this.rev += 1;
          this.full = null;
          this.kept += 1;
          return said;
        }
      } catch (e) {
        this.#core = null;
        this.full = e.message || e.name;
        const why = this.#store.folder ? `This was not entered: ${this.full}.` : "The browser has no room left: this was not entered. Save a backup, and make room on this device.";
        return refusal(507, why);
      }
      // Another page was first: again, with what it wrote.
      this.#core = null;
    }
  }

  /** Another page has kept something. */
  overtaken() {
    this.#told += 1;
    this.#core = null;
  }

  /** What the core does not know yet. Whoever is not told in time that it was overtaken is refused when it writes. */
  async #news() {
    if (this.#core) return [];
    let told, rev, files;
    do {
      told = this.#told;
      ({ rev, files } = await this.#store.all());
    } while (told !== this.#told);
    this.#core = this.#fresh();
    this.rev = rev;
    return files;
  }
}

/** What tells apart what is told of a family, until it is answered. */
function idOf({ method, path, body }) {
  if (method !== "POST" || !path.startsWith("of/")) return null;
  try {
    return JSON.parse(decoder.decode(body)).id || null;
  } catch {
    return null;
  }
}
