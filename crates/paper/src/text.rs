//! Widths of texts, and breaking them into lines.

use super::Type;
use super::helvetica::{BOLD, REGULAR};

/// Codes 128 to 159 of `WinAnsiEncoding`; 0 where there is no character.
const FROM_128: [char; 32] = [
    '€', '\0', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\0', 'Ž', '\0', '\0', '‘', '’', '“',
    '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\0', 'ž', 'Ÿ',
];

/// A text in the one-byte encoding that the built-in fonts have. What they lack becomes a question
/// mark.
pub(super) fn encoded(text: &str) -> Vec<u8> {
    text.chars().map(code).collect()
}

fn code(c: char) -> u8 {
    match c {
        ' '..='~' | '\u{a0}'..='\u{ff}' => c as u32 as u8,
        '\u{2212}' => b'-',
        _ => FROM_128.iter().position(|known| *known == c && c != '\0').map_or(b'?', |i| 128 + i as u8),
    }
}

/// A text with its units spelt so that the built-in fonts, which have no omega, can show them.
pub fn spelt(text: &str) -> String {
    text.replace('Ω', "ohm")
}

/// Width of a text, mm.
pub fn width(text: &str, kind: &Type) -> f64 {
    let table = if kind.bold { &BOLD } else { &REGULAR };
    let sum: u32 = encoded(text).into_iter().map(|c| u32::from(table[usize::from(c) - 32])).sum();
    f64::from(sum) / 1000.0 * kind.size
}

/// A text in lines no wider than `most` mm, broken at spaces; a longer word stands alone.
pub fn wrapped(text: &str, kind: &Type, most: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if width(&format!("{line} {word}"), kind) <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the printed metrics: H 722, a 556, m 833, b 556, u 556, r 333, g 556 of Helvetica.
    #[test]
    fn a_word_is_as_wide_as_its_letters() {
        let found = width("Hamburg", &Type::new(10.0));
        assert!((found - 41.12).abs() < 1e-9, "{found}");
    }

    #[test]
    fn lines_are_no_wider_than_asked_and_lose_nothing() {
        let kind = Type::new(3.0);
        let text = "inside jaws, straight across the middle of both ends, at the top and halfway down";
        let lines = wrapped(text, &kind, 40.0);
        assert!(lines.len() > 1 && lines.iter().all(|l| width(l, &kind) <= 40.0), "{lines:?}");
        assert_eq!(lines.join(" "), text);
    }

    #[test]
    fn what_the_font_lacks_is_marked() {
        assert_eq!(encoded("ø 2,5 ± ½ – π"), b"\xf8 2,5 \xb1 \xbd \x96 ?");
    }
}
