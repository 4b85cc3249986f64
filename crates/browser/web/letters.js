// Bytes that stand in a page as text: fifteen bits in a letter. What is filled up at the end is left out.

const FIRST = 0x100;

export function bytesOf(text, length) {
  const bytes = new Uint8Array(length);
  let held = 0;
  let bits = 0;
  let at = 0;
  for (let i = 0; i < text.length; i++) {
    held = (held << 15) | (text.charCodeAt(i) - FIRST);
    for (bits += 15; bits >= 8; held &= (1 << bits) - 1) {
      bits -= 8;
      bytes[at++] = held >> bits;
    }
  }
  return bytes;
}
