// What runs first in the page in one file: it unpacks the page's own script, and lets it run.

import { bytesOf } from "./letters.js";

const held = document.getElementById("page");
try {
  const packed = bytesOf(held.textContent, Number(held.dataset.bytes));
  const plain = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  const script = document.createElement("script");
  script.textContent = await new Response(plain).text();
  document.body.append(script);
} catch (e) {
  document.body.append(`This browser can't run the page (${e.message}). A newer one can.`);
}
