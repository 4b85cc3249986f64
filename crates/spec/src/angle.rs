//! Angles that know their unit.

use std::fmt;

/// An angle.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// From degrees.
    pub const fn from_degrees(degrees: f64) -> Self {
        Self(degrees)
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
