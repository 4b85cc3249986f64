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
///
/// ```
/// assert_eq!(bobbinwright_paper::spelt("6.5 kΩ at 20 °C"), "6.5 kohm at 20 °C");
/// assert_eq!(bobbinwright_paper::spelt("22 nF ± 5 %"), "22 nF ± 5 %");
/// ```
pub fn spelt(text: &str) -> String {
    text.replace('Ω', "ohm")
}

/// Width of a text, mm.
///
/// By the metrics of the built-in fonts, without kerning; [`crate::png()`] sets its text in letters of one width.
///
/// ```
/// # use bobbinwright_paper::{Type, width};
/// // Every figure is 0.556 of the size wide and a point 0.278.
/// assert!((width("16.25", &Type::new(10.0)) - (4.0 * 5.56 + 2.78)).abs() < 1e-9);
/// // In capitals the heavy letters are as wide or wider: A is 0.722 instead of 0.667.
/// assert!((width("A", &Type::new(3.0).bold()) - 2.166).abs() < 1e-9);
/// ```
pub fn width(text: &str, kind: &Type) -> f64 {
    let table = if kind.bold { &BOLD } else { &REGULAR };
    let sum: u32 = encoded(text).into_iter().map(|c| u32::from(table[usize::from(c) - 32])).sum();
    f64::from(sum) / 1000.0 * kind.size
}

/// A text in lines no wider than `most` mm, broken at spaces; a longer word stands alone.
///
/// ```
/// # use bobbinwright_paper::{Type, width, wrapped};
/// let kind = Type::new(10.0);
/// // Two figures are 11.12 mm, the space between two words 2.78: 25.02 for two of them.
/// assert_eq!(wrapped("10 20 30", &kind, 25.1), ["10 20", "30"]);
/// assert_eq!(wrapped("10 20 30", &kind, 24.9), ["10", "20", "30"]);
/// // What does not fit alone is not cut.
/// assert_eq!(wrapped("1000000 20", &kind, 15.0), ["1000000", "20"]);
/// ```
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
