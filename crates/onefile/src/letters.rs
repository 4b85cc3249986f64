//! Bytes as text that a page can hold: seven bits in a letter of one byte, where base64 has six.

/// Those of the 128 that a page would read otherwise: no letter at all, the end of a line (which is read as another one), and
/// what begins a tag. Each stands with the one after it in a letter of two bytes.
const NOT_PLAIN: [u32; 3] = [0, 13, 60];
/// The first of these letters.
const FIRST: u32 = 0x100;

/// The text. `letters.js` reads it.
pub fn of(bytes: &[u8]) -> String {
    let mut sevens = Sevens { bytes: bytes.iter(), held: 0, bits: 0 };
    let mut text = String::with_capacity(bytes.len() * 8 / 7 + 2);
    while let Some(seven) = sevens.next() {
        let letter = match NOT_PLAIN.iter().zip(0..).find(|(one, _)| **one == seven) {
            Some((_, which)) => FIRST + which * 128 + sevens.next().unwrap_or_default(),
            None => seven,
        };
        // Below 128, or between 256 and 640: both are letters.
        text.extend(char::from_u32(letter));
    }
    text
}

/// Seven bits at a time, the first first; the last are filled up with nothing.
struct Sevens<'b> {
    bytes: std::slice::Iter<'b, u8>,
    held: u32,
    bits: u32,
}

impl Iterator for Sevens<'_> {
    type Item = u32;

    fn next(&mut self) -> Option<u32> {
        if self.bits < 7 {
            match self.bytes.next() {
                Some(byte) => {
                    self.held = self.held << 8 | u32::from(*byte);
                    self.bits += 8;
                }
                None if self.bits == 0 => return None,
                None => {
                    self.held <<= 7 - self.bits;
                    self.bits = 7;
                }
            }
        }
        self.bits -= 7;
        let seven = self.held >> self.bits & 127;
        self.held &= (1 << self.bits) - 1;
        Some(seven)
    }
}

#[cfg(test)]
mod tests {
    use super::{FIRST, NOT_PLAIN, of};

    /// As `letters.js` does it.
    fn back(text: &str, length: usize) -> Vec<u8> {
        let sevens = text.chars().map(u32::from).flat_map(|letter| match letter.checked_sub(FIRST) {
            Some(two) => vec![NOT_PLAIN[two as usize / 128], two % 128],
            None => vec![letter],
        });
        let bits: Vec<u32> = sevens.flat_map(|seven| (0..7).rev().map(move |at| seven >> at & 1)).collect();
        bits.chunks_exact(8)
            .take(length)
            .map(|byte| byte.iter().fold(0, |all, bit| all << 1 | *bit as u8))
            .collect()
    }

    #[test]
    fn every_byte_comes_back() {
        for length in 0..600usize {
            let bytes: Vec<u8> = (0..length).map(|i| (i * 89 + length * 7) as u8).collect();
            let text = of(&bytes);
            assert_eq!(back(&text, length), bytes);
            assert!(!text.contains(['\0', '\r', '<']), "{text:?}");
        }
        assert_eq!(of(&[0; 7]).chars().count(), 4);
    }
}
