// What runs first in the page in one file: it unpacks the worker's script and the page's own, and lets the latter run.

import { bytesOf } from "./letters.js";

async function unpacked(id) {
  const held = document.getElementById(id);
  const packed = bytesOf(held.textContent, Number(held.dataset.bytes));
  const plain = new Blob([packed]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  held.textContent = await new Response(plain).text();
  return held.textContent;
}

try {
  await unpacked("worker");
  const script = document.createElement("script");
  script.textContent = await unpacked("page");
  document.body.append(script);
} catch (e) {
  document.body.append(`This browser can't run the page (${e.message}). A newer one can.`);
}
