// Answers requests by the core that a one-file page carries, for the test that compares them with the program's: what the
// hash of each is, one a line. `node answers.mjs FILE REQUESTS`.

import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { inflateRawSync } from "node:zlib";
import { Core } from "../../crates/browser/web/core.js";
import { bytesOf } from "../../crates/browser/web/letters.js";

const [, , file, requests] = process.argv;
const [, length, packed] = /<script type="text\/plain" id="core" data-bytes="(\d+)">([^<]*)<\/script>/.exec(readFileSync(file, "utf16le"));
const module = new WebAssembly.Module(inflateRawSync(bytesOf(packed, Number(length))));
const { days, families, asked } = JSON.parse(readFileSync(requests, "utf8"));
for (const { name, files } of families) {
  const core = new Core(module, "", () => days);
  let kept = files.map(([path, text]) => [path, new TextEncoder().encode(text)]);
  for (const path of asked) {
    const { status, bytes } = core.answer({ method: "GET", path: path.replace("NAME", name) }, kept);
    kept = [];
    console.log(status, createHash("sha256").update(bytes).digest("hex"));
    if (!path.includes("/made/")) continue;
    // Every file that was made, too.
    for (const [made] of JSON.parse(new TextDecoder().decode(bytes)).files ?? []) {
      const { bytes } = core.answer({ method: "GET", path: `${path.replace("NAME", name).replace("/made/", "/file/")}/${made}` });
      console.log(made, createHash("sha256").update(bytes).digest("hex"));
    }
  }
}
