//! Angles that know their unit.

use std::fmt;

use crate::MINUS;

/// An angle.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// From degrees.
    pub const fn from_degrees(degrees: f64) -> Self {
        Self(degrees)
    }

    /// A row's slant as somebody types it, in degrees: `8`, `-8`, `7,5°`. None for what is no number, or
    /// lies beyond the 30° either way that a row of poles can be slanted.
    pub fn typed_slant(text: &str) -> Option<Self> {
        let number = text.trim().trim_end_matches('\u{b0}').replace(',', ".").replace(MINUS, "-");
        number.parse().ok().filter(|degrees: &f64| degrees.abs() <= 30.0).map(Self)
    }

    /// In degrees.
    pub const fn as_degrees(self) -> f64 {
        self.0
    }

    /// From the length of a circle's arc beside its radius.
    pub fn from_radians(radians: f64) -> Self {
        Self(radians.to_degrees())
    }

    /// In radians.
    pub fn as_radians(self) -> f64 {
        self.0.to_radians()
    }
}

/// In whole degrees: `45°`.
impl fmt::Display for Angle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.0}°", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::Angle;

    #[test]
    fn a_slant_is_read_as_people_type_it() {
        for (text, degrees) in [("8", 8.0), (" -8 ", -8.0), ("\u{2212}7,5\u{b0}", -7.5)] {
            assert_eq!(Angle::typed_slant(text), Some(Angle::from_degrees(degrees)), "{text}");
        }
        for text in ["", "steep", "nan", "inf", "31", "-500"] {
            assert_eq!(Angle::typed_slant(text), None, "{text}");
        }
    }
}
