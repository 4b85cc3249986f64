//! Figures as they are typed: `92.24`, `3.631in`, `1/4in`, `3 53/64in`.

use std::str::FromStr;

use bobbinwright_estimate::{Length, Unit};

/// The true minus sign; in files it is a hyphen.
pub const MINUS: char = '\u{2212}';

/// A figure with its digits as they were typed, and its unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// The digits: `92.20`.
    pub digits: String,
    /// Millimetres unless inches were typed.
    pub unit: Unit,
}

impl Figure {
    /// The length that it says.
    ///
    /// ```
    /// # use bobbinwright_spec::{Figure, Length};
    /// let figure: Figure = "1/64in".parse().unwrap();
    /// assert_eq!(figure.length(), Length::from_inch(1.0 / 64.0));
    /// ```
    pub fn length(&self) -> Length {
        // What was parsed is in digits.
        let figure = self.digits.parse().unwrap_or_default();
        match self.unit {
            Unit::Mm => Length::from_mm(figure),
            Unit::Inch => Length::from_inch(figure),
        }
    }
}

impl FromStr for Figure {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        Self::typed(typed, Unit::Mm)
    }
}

impl Figure {
    /// What somebody typed who thinks in a unit, which counts where none was said. A fraction is of an inch, and a
    /// comma is a decimal point; where it may stand between thousands it is asked about.
    ///
    /// ```
    /// # use bobbinwright_spec::{Figure, Unit};
    /// let digits = |typed: &str| Figure::typed(typed, Unit::Mm).map(|figure| (figure.digits, figure.unit));
    /// assert_eq!(digits("97,2"), Ok(("97.2".to_owned(), Unit::Mm)));
    /// assert_eq!(digits("3-53/64"), Ok(("3.828125".to_owned(), Unit::Inch)));
    /// assert!(digits("1,234").is_err());
    /// ```
    ///
    /// # Errors
    /// What would do instead, in words.
    pub fn typed(typed: &str, usual: Unit) -> Result<Self, String> {
        let typed = typed
            .replace([MINUS, '\u{2013}'], "-")
            .replace(['\u{201d}', '\u{2033}'], "\"")
            .to_ascii_lowercase();
        let units = [("mm", Unit::Mm), ("inch", Unit::Inch), ("in", Unit::Inch), ("\"", Unit::Inch)];
        let said = units.iter().find_map(|(word, unit)| Some((typed.strip_suffix(word)?, *unit)));
        let (number, unit) = said.map_or((typed.as_str(), None), |(number, unit)| (number, Some(unit)));
        let number = number.trim();
        if let Some((above, below)) = number.split_once('/') {
            if unit == Some(Unit::Mm) {
                return Err(format!("write {number}in: only inches are read in fractions"));
            }
            return Ok(Self {
                digits: fraction(above, below)
                    .ok_or_else(|| format!("{number} is no fraction of an inch, like 1/4 or 3 53/64"))?,
                unit: Unit::Inch,
            });
        }
        let unit = unit.unwrap_or(usual);
        let number = with_point(number)?;
        let plain = number.bytes().all(|b| b.is_ascii_digit() || b == b'.' || b == b'-');
        if plain && number.parse::<f64>().is_ok() {
            // The log knows no bare point at either end.
            let digits = match number.strip_prefix('.') {
                Some(rest) => format!("0.{rest}"),
                None => number.trim_end_matches('.').to_owned(),
            };
            return Ok(Self { digits, unit });
        }
        Err("write it in digits, like 92.24 or 0.484in".into())
    }
}

/// A fraction of an inch in digits: `-3-1/2`, `3 53/64`. Halves to 1024ths are finite decimals.
fn fraction(above: &str, below: &str) -> Option<String> {
    let (sign, above) = above.strip_prefix('-').map_or(("", above), |above| ("-", above));
    // Whole inches before the fraction.
    let (whole, above) = above.rsplit_once([' ', '-']).unwrap_or(("0", above));
    let whole = whole.trim().parse::<u16>().ok()?;
    let (above, below) = above.parse::<u32>().ok().zip(below.parse::<u32>().ok())?;
    let figure = f64::from(whole) + f64::from(above) / f64::from(below);
    below.is_power_of_two().then(|| format!("{sign}{figure}"))
}

/// A decimal comma as a point: one, with digits on both sides. With three of them after it and something before it, it may
/// stand between thousands.
fn with_point(number: &str) -> Result<String, String> {
    let Some((whole, decimals)) = number.split_once(',') else { return Ok(number.to_owned()) };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let unsigned = whole.trim_start_matches('-');
    if !digits(unsigned) || !digits(decimals) {
        return Err("write a decimal point, and a space between figures".into());
    }
    if decimals.len() == 3 && unsigned != "0" {
        return Err(format!("is that {whole}.{decimals} or {whole}{decimals}? Write it without a comma"));
    }
    Ok(format!("{whole}.{decimals}"))
}

/// The digits of all figures and their one unit; none when units are mixed.
pub fn in_one_unit(figures: &[Figure]) -> Option<(Vec<String>, Unit)> {
    let unit = figures.first()?.unit;
    let alike = figures.iter().all(|f| f.unit == unit);
    alike.then(|| (figures.iter().map(|f| f.digits.clone()).collect(), unit))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_keep_their_digits_and_units() {
        let read = |typed: &str| typed.parse::<Figure>().map(|f| (f.digits, f.unit));
        for (typed, digits, unit) in [
            ("92.20", "92.20", Unit::Mm),
            ("92.2mm", "92.2", Unit::Mm),
            ("-0.45in", "-0.45", Unit::Inch),
            (".484in", "0.484", Unit::Inch),
            ("15/32in", "0.46875", Unit::Inch),
            ("1/4\"", "0.25", Unit::Inch),
            ("3 53/64in", "3.828125", Unit::Inch),
            ("3-53/64 in", "3.828125", Unit::Inch),
            ("-3-1/2\"", "-3.5", Unit::Inch),
            ("\u{2212}29/64in", "-0.453125", Unit::Inch),
            ("97,2", "97.2", Unit::Mm),
            ("0,436", "0.436", Unit::Mm),
            ("-4,43 mm", "-4.43", Unit::Mm),
            ("3,6255in", "3.6255", Unit::Inch),
            ("1/4", "0.25", Unit::Inch),
            ("3-53/64", "3.828125", Unit::Inch),
            ("3 53/64\u{2033}", "3.828125", Unit::Inch),
        ] {
            assert_eq!(read(typed), Ok((digits.to_owned(), unit)), "{typed}");
        }
        assert_eq!(Figure::typed("3.631", Unit::Inch).map(|f| f.unit), Ok(Unit::Inch));
        assert_eq!(Figure::typed("92.2mm", Unit::Inch).map(|f| f.unit), Ok(Unit::Mm));
        for wrong in
            ["1,234", "1,2,3", ",5", "97.2,97.3", "1/4mm", "1/3in", "1/0in", "nan", "1e3", "", "ninety"]
        {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }
}
