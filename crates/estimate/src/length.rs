//! Lengths that know their unit.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A length. Built and read through doors that name the unit, so a bare number never stands for
/// one.
///
/// ```
/// use bobbinwright_estimate::Length;
/// // 3/16 in = 3 × 25.4 / 16 mm
/// assert!((Length::from_inch(3.0 / 16.0).as_mm() - 4.7625).abs() < 1e-12);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Length(f64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0.0);

    /// From millimetres.
    pub const fn from_mm(mm: f64) -> Self {
        Self(mm)
    }

    /// From inches; the international inch is 25.4 mm exactly.
    ///
    /// ```
    /// # use bobbinwright_estimate::Length;
    /// assert_eq!(Length::from_inch(1.0).as_mm(), 25.4);
    /// // Lengths add and scale, and one goes into another without a unit.
    /// let half = Length::from_inch(0.5);
    /// assert_eq!(half + half, Length::from_inch(1.0));
    /// assert_eq!(half * 4.0 / Length::from_mm(25.4), 2.0);
    /// ```
    pub const fn from_inch(inch: f64) -> Self {
        Self(inch * 25.4)
    }

    /// In inches.
    pub const fn as_inch(self) -> f64 {
        self.0 / 25.4
    }

    /// In millimetres.
    pub const fn as_mm(self) -> f64 {
        self.0
    }

    /// The smaller of two.
    ///
    /// With the sign: of two lengths below nought the one that is further below.
    ///
    /// ```
    /// # use bobbinwright_estimate::Length;
    /// let (short, long) = (Length::from_mm(-3.0), Length::from_mm(2.0));
    /// assert_eq!((short.min(long), short.max(long)), (short, long));
    /// assert_eq!(short.abs().max(long).as_mm(), 3.0);
    /// ```
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// The larger of two.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// Without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        Self(self.0.abs())
    }
}

/// In millimetres with two decimals, the last digit that a caliper shows: `101.58 mm`. A negative
/// zero is shown as zero.
///
/// A width asks for room, a precision for other decimals.
///
/// ```
/// # use bobbinwright_estimate::Length;
/// let length = Length::from_inch(4.0);
/// assert_eq!(format!("{length}|{length:>11}|{length:<11}|"), "101.60 mm|  101.60 mm|101.60 mm  |");
/// assert_eq!(format!("{length:.0}|{length:>9.1}"), "102 mm| 101.6 mm");
/// assert_eq!(Length::from_mm(-0.004).to_string(), "0.00 mm");
/// ```
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = format!("{:.*}", f.precision().unwrap_or(2), self.0);
        let zero = shown.trim_start_matches('-').bytes().all(|b| b == b'0' || b == b'.');
        let shown = format!("{} mm", if zero { shown.trim_start_matches('-') } else { &shown });
        // `pad` would take the precision for the most letters to show.
        let (width, shown) = (f.width().unwrap_or_default(), shown.as_str());
        match f.align() {
            Some(fmt::Alignment::Right) => write!(f, "{shown:>width$}"),
            Some(fmt::Alignment::Center) => write!(f, "{shown:^width$}"),
            _ => write!(f, "{shown:<width$}"),
        }
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for Length {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Length {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

/// How many times one goes into the other.
impl Div for Length {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        items.fold(Self::ZERO, Add::add)
    }
}
