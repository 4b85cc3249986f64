//! Bytes as text that a page can hold: fifteen bits in a letter of two bytes, where base64 has twelve.

/// The first letter: past all that a page would read otherwise, and the last one is before the halves of longer letters.
const FIRST: u32 = 0x100;
/// Bits in each.
const BITS: u32 = 15;

/// The text, all of whose letters are one unit of UTF-16. `letters.js` reads it.
pub fn of(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len() * 8 / 5);
    let (mut held, mut bits) = (0u32, 0);
    // What is lacking at the end is filled up with nothing.
    for byte in bytes.iter().copied().chain([0; 2]) {
        held = held << 8 | u32::from(byte);
        bits += 8;
        if bits >= BITS {
            bits -= BITS;
            // From 0x100 to 0x80ff: all of these are letters.
            text.extend(char::from_u32(FIRST + (held >> bits)));
            held &= (1 << bits) - 1;
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::{BITS, FIRST, of};

    /// As `letters.js` does it.
    fn back(text: &str, length: usize) -> Vec<u8> {
        let letters = text.chars().map(|letter| u32::from(letter) - FIRST);
        let bits: Vec<u32> =
            letters.flat_map(|letter| (0..BITS).rev().map(move |at| letter >> at & 1)).collect();
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
            assert_eq!(back(&text, length), bytes, "{length}");
            assert_eq!(text.encode_utf16().count(), text.chars().count());
        }
        let most = of(&[255; 15]);
        assert!(most.chars().take(8).all(|letter| letter == '\u{80ff}'), "{most:?}");
    }
}
