//! What the program writes into files, in the unit of whoever reads them.

use std::fmt::Write;

use bobbinwright_estimate::{Length, Unit};

/// A length as files have it: `mm(0.01)`, `inch(0.0005)`.
pub(crate) fn written(length: Length, unit: Unit) -> String {
    match unit {
        Unit::Mm => format!("mm({})", length.as_mm()),
        // A millionth is finer than any tool; what was typed with fewer digits comes back with these.
        Unit::Inch => format!("inch({})", (length.as_inch() * 1e6).round() / 1e6),
    }
}

/// A text in which every `mm(1.5)` and `mm([220, 240])` is said in a unit, to its step.
pub(crate) fn said_in(unit: Unit, text: &str) -> String {
    if unit == Unit::Mm {
        return text.to_owned();
    }
    let mut parts = text.split("mm(");
    let mut said = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (figures, rest) = part.split_once(')').unwrap_or((part, ""));
        let is_digit = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-');
        let mut left = figures;
        said.push_str("inch(");
        while let Some(from) = left.find(is_digit) {
            let digits = &left[from..];
            let digits = &digits[..digits.find(|c| !is_digit(c)).unwrap_or(digits.len())];
            let figure = digits.parse().map(Length::from_mm).map(|l| unit.figure(l));
            // Writing to a String does not fail.
            let _ = write!(said, "{}{}", &left[..from], figure.as_deref().unwrap_or(digits));
            left = &left[from + digits.len()..];
        }
        said.push_str(left);
        said.push(')');
        said.push_str(rest);
    }
    said
}

/// A sentence in which every `20.70 mm` is said in a unit.
///
/// Messages are made where lengths have no unit yet; whoever thinks in inches is told in inches all the same. What stands
/// between quotes is a person's own words, a spot's for one, by which it is found again.
pub(crate) fn told_in(unit: Unit, text: &str) -> String {
    if unit == Unit::Mm {
        return text.to_owned();
    }
    let between_quotes = text.split('"').enumerate();
    let told = between_quotes.map(|(i, part)| if i % 2 == 1 { part.to_owned() } else { in_inches(part) });
    told.collect::<Vec<_>>().join("\"")
}

fn in_inches(text: &str) -> String {
    let unit = Unit::Inch;
    let mut parts = text.split(" mm").peekable();
    let mut told = String::new();
    while let Some(part) = parts.next() {
        let digits = part.len() - part.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.').len();
        let (before, digits) = part.split_at(part.len() - digits);
        let before_sign = before.strip_suffix('-').filter(|rest| rest.is_empty() || rest.ends_with(' '));
        let is_word = parts.peek().is_some_and(|rest| rest.starts_with(|c: char| c.is_alphanumeric()));
        match (parts.peek(), digits.parse().map(Length::from_mm)) {
            (Some(_), Ok(length)) if !is_word => {
                let (before, length) = before_sign.map_or((before, length), |rest| (rest, length * -1.0));
                told.push_str(before);
                told.push_str(&unit.shown(length));
            }
            (Some(_), _) => {
                told.push_str(part);
                told.push_str(" mm");
            }
            (None, _) => told.push_str(part),
        }
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_are_told_in_inches() {
        let told = |text| told_in(Unit::Inch, text);
        assert_eq!(
            told("one of these is about 0.51 mm off: a, b"),
            "one of these is about 0.020 in off: a, b"
        );
        assert_eq!(told("read as 25.40 mm, -2.54 mm, entry 73"), "read as 1.000 in, -0.100 in, entry 73");
        assert_eq!(
            told("write mm(0.30), not 5 mmm or -mm; x-1.00 mm"),
            "write mm(0.30), not 5 mmm or -mm; x-0.039 in"
        );
        assert_eq!(told_in(Unit::Mm, "0.51 mm off"), "0.51 mm off");
        assert_eq!(
            told("read it at \"neck side, 6 mm\" again: 2.54 mm"),
            "read it at \"neck side, 6 mm\" again: 0.100 in"
        );
    }

    #[test]
    fn lengths_are_said_in_inches_and_nothing_else_is_touched() {
        let text = "wall: mm(2.0), // mm(1.5) or so\n bed: mm([220, 240]), turns(7500), lift: mm(0.0)";
        let said = said_in(Unit::Inch, text);
        assert_eq!(
            said,
            "wall: inch(0.079), // inch(0.059) or so\n bed: inch([8.661, 9.449]), turns(7500), lift: inch(0.000)"
        );
        assert_eq!(said_in(Unit::Mm, text), text);
    }

    #[test]
    fn what_was_typed_comes_back() {
        for inch in [0.0005, 0.001, 0.015_625] {
            assert_eq!(written(Length::from_inch(inch), Unit::Inch), format!("inch({inch})"));
        }
        assert_eq!(written(Length::from_mm(0.01), Unit::Mm), "mm(0.01)");
    }
}
