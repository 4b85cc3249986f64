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
        let typed = typed.replace(MINUS, "-").to_ascii_lowercase();
        let (number, unit) = match typed.as_str() {
            t if t.ends_with("mm") => (&t[..t.len() - 2], Unit::Mm),
            t if t.ends_with("inch") => (&t[..t.len() - 4], Unit::Inch),
            t if t.ends_with("in") => (&t[..t.len() - 2], Unit::Inch),
            t if t.ends_with('"') => (&t[..t.len() - 1], Unit::Inch),
            t => (t, Unit::Mm),
        };
        let number = number.trim();
        if let Some((above, below)) = number.split_once('/') {
            let (sign, above) = above.strip_prefix('-').map_or(("", above), |above| ("-", above));
            // Whole inches before the fraction: `3 53/64`, or `3-53/64`.
            let (whole, above) = above.rsplit_once([' ', '-']).unwrap_or(("0", above));
            let Ok(whole) = whole.trim().parse::<u16>() else {
                return Err(format!("{number} is no fraction of an inch, like 1/4 or 3 53/64"));
            };
            let parts = above.parse::<u32>().ok().zip(below.parse::<u32>().ok());
            let Some((above, below)) = parts.filter(|(_, below)| below.is_power_of_two()) else {
                return Err(format!("{number} is no fraction of an inch, like 1/4 or 3 53/64"));
            };
            if unit != Unit::Inch {
                return Err(format!("write {number}in: only inches are read in fractions"));
            }
            // Halves to 1024ths are finite decimals.
            let figure = f64::from(whole) + f64::from(above) / f64::from(below);
            return Ok(Self { digits: format!("{sign}{figure}"), unit });
        }
        let plain = number.bytes().all(|b| b.is_ascii_digit() || b == b'.' || b == b'-');
        if plain && number.parse::<f64>().is_ok() {
            // The log knows no bare point at either end.
            let digits = match number.strip_prefix('.') {
                Some(rest) => format!("0.{rest}"),
                None => number.trim_end_matches('.').to_owned(),
            };
            return Ok(Self { digits, unit });
        }
        if number.contains(',') {
            return Err("write a decimal point, and a space between figures".into());
        }
        Err("write it in digits, like 92.24 or 0.484in".into())
    }
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
        ] {
            assert_eq!(read(typed), Ok((digits.to_owned(), unit)), "{typed}");
        }
        for wrong in ["92,2", "1/4", "1/3in", "1/0in", "nan", "1e3", "", "ninety"] {
            assert!(read(wrong).is_err(), "{wrong}");
        }
    }
}
