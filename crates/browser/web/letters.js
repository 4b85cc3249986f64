// Bytes that stand in a page as text: seven bits in a letter, two sevens where the first would be no plain one. What is
// filled up at the end is left out.

const NOT_PLAIN = [0, 13, 60];
const FIRST = 0x100;

export function bytesOf(text, length) {
  const bytes = new Uint8Array(length);
  let held = 0;
  let bits = 0;
  let at = 0;
  const take = (seven) => {
    held = (held << 7) | seven;
    bits += 7;
    if (bits < 8) return;
    bits -= 8;
    bytes[at++] = held >> bits;
    held &= (1 << bits) - 1;
  };
  for (let i = 0; i < text.length; i++) {
    const letter = text.charCodeAt(i);
    if (letter < FIRST) {
      take(letter);
    } else {
      take(NOT_PLAIN[(letter - FIRST) >> 7]);
      take((letter - FIRST) & 127);
    }
  }
  return bytes;
}
