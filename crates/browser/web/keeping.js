// Where everything is kept, and the one file that it goes out and comes in by.

import { carry, keepAs, whenKept, workIn } from "./carrier.js";
import { make } from "./make.js";

/** Nobody's shelf is larger, bytes. */
const LARGEST = 64 << 20;
/** So long after the last entry a spell of work is over. */
const SPELL = 3 * 60_000;

const EVERYTHING = "A backup is one file with all families. Save one after every spell of work and keep it elsewhere; it goes back in here, in another browser, or, unpacked, among the program's folders.";
const DUE = "Save a backup now, while you think of it.";

export function sayWhatIsKept(warn) {
  const words = make("summary", { id: "kept" });
  const file = make("input", { type: "file", accept: ".zip,application/zip", hidden: true, "aria-label": "A backup" });
  const said = make("p", { class: "said", role: "status" });
  const save = make("button", { type: "button", onclick: saveOne }, "Save a backup");
  const open = make("button", { type: "button", onclick: () => file.click() }, "Take a backup in");
  const go = make("button", { type: "button", hidden: true, onclick: goOn }, "");
  const own = make("button", { type: "button", hidden: true, onclick: () => changeTo(null) }, "Keep in the browser again");
  const other = make("button", { type: "button", hidden: !window.showDirectoryPicker, onclick: openOne }, "Work in a folder of this device");
  let closed = null;
  const home = make("a", { href: location.pathname }, "All families");
  const isShelf = !new URLSearchParams(location.search).get("family");
  const place = make("details", { class: "keeping", open: isShelf }, words, make("div", { class: "row" }, save, open, file, go, own, other, isShelf ? null : home), make("p", { class: "note" }, EVERYTHING), said);
  document.querySelector("header").after(make("section", { class: "kept", "aria-label": "Where this is kept" }, place));
  file.addEventListener("change", () => takeIn(file.files[0]));
  let spell = null;

  async function saveOne() {
    // Asked for here, where the person wants it kept: some browsers ask back.
    navigator.storage?.persist?.().catch(() => {});
    const answer = await carry("backup");
    if (!answer.ok) {
      warn((await answer.json()).why);
      return;
    }
    keepAs(await answer.blob(), `bobbinwright-${new Date().toISOString().slice(0, 10)}.zip`);
    said.textContent = "Saved: look for it where this browser puts what it is handed.";
  }

  async function takeIn(chosen, instead = false) {
    file.value = "";
    if (!chosen) return;
    if (chosen.size > LARGEST) {
      said.textContent = `Nothing was taken in: ${chosen.name} has ${Math.round(chosen.size / (1 << 20))} MB, and no shelf of families has more than ${LARGEST >> 20}.`;
      return;
    }
    const body = new Uint8Array(await chosen.arrayBuffer());
    const answer = await carry(`backup?${instead ? "instead" : ""}`, { method: "POST", body });
    const took = await answer.json();
    if (!answer.ok) {
      said.textContent = took.why;
    } else if (took.differ) {
      said.replaceChildren(
        `Nothing was taken in yet: ${took.differ.join(", ")} is here already, and otherwise. `,
        make("button", { type: "button", onclick: () => takeIn(chosen, true) }, "Take it in, and set aside what is here"));
    } else {
      const aside = took.aside.map(([name, to]) => ` What was ${name} is now ${to}.`).join("");
      const hidden = took.left_out ? ` ${took.left_out} hidden ones were left out.` : "";
      said.textContent = `Taken in: ${took.new} files; ${took.same} were here just so.${hidden}${aside}`;
      dispatchEvent(new Event("focus"));
      if (isShelf) setTimeout(() => location.reload(), aside ? 4_000 : 600);
    }
  }

  /** The page is opened anew where the families stand. */
  async function changeTo(folder) {
    const { why } = await (await workIn(folder)).json();
    if (why) said.textContent = `That folder can't be worked in: ${why}.`;
    else location.assign(location.pathname);
  }

  async function openOne() {
    let folder;
    try {
      folder = await window.showDirectoryPicker({ mode: "readwrite" });
    } catch {
      return;
    }
    const isFamily = await folder.getFileHandle("family.ron").then(() => true, () => false);
    if (isFamily) said.textContent = `${folder.name} is a family itself: open the folder that it stands in.`;
    else await changeTo(folder);
  }

  async function goOn() {
    if ((await closed.requestPermission({ mode: "readwrite" })) === "granted") location.reload();
    else said.textContent = `The browser does not let the page into ${closed.name}.`;
  }

  function standing({ folder, closed: shut, ...kept }) {
    closed = shut;
    go.hidden = !shut;
    go.textContent = `Go on in the folder ${shut?.name}`;
    own.hidden = !folder && !shut;
    save.hidden = open.hidden = Boolean(folder);
    if (!folder) {
      ofBrowser(kept);
      if (!shut) return;
      words.textContent = `The folder ${shut.name} is closed: what you enter now stays in the browser. ${words.textContent}`;
      words.classList.add("bad");
      place.open = true;
      return;
    }
    words.classList.toggle("bad", Boolean(kept.full));
    words.textContent = kept.full ? `What you typed last is not kept: ${kept.full}.` : `Kept in the folder ${folder} of this device, in the program's own files.`;
  }

  function ofBrowser({ rev, backup, isKept, why, isPromised, full }) {
    const since = rev - (backup?.rev ?? 0);
    const when = backup ? `Last backup: ${new Date(backup.on).toLocaleString()}` : "No backup yet";
    const changes = since ? `, ${since} ${since === 1 ? "change" : "changes"} since` : "";
    const where = isPromised ? "Kept in this browser, on this device only." : "Kept in this browser, which may clear it away.";
    const isBad = !isKept || Boolean(full);
    words.classList.toggle("bad", isBad);
    if (isBad) place.open = true;
    words.textContent = full
      ? `The browser has no room left (${full}): what you type now is not kept. Save a backup. ${when}${changes}.`
      : isKept
        ? `${where} ${when}${changes}.`
        : `Nothing is kept here: this browser gives the page no room (${why}). Save a backup before you close it. ${when}${changes}.`;
    clearTimeout(spell);
    if (since) spell = setTimeout(() => {
      words.textContent += ` ${DUE}`;
      place.open = true;
    }, SPELL);
  }

  whenKept(standing, warn);
}
