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

#[cfg(test)]
mod tests {
    use super::*;

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
