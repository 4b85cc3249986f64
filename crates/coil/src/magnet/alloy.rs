//! What a rod of an alloy is magnetised to when it stands alone.
//!
//! A rod's own poles work against its magnetisation. Its permeance follows from its shape by the magnetometric
//! demagnetising factor, which for a cylinder of little susceptibility is one less Nagaoka's factor (Chen, Brug
//! and Goldfarb 1991). That is the approximation it is: the middle is magnetised more than the ends, and alnico
//! remembers where it has been.

use bobbinwright_spec::Length;
use bobbinwright_spec::magnets::Alloy;

use super::cylinder::Tesla;
use super::elliptic::cel;

/// Magnetic constant, T m/A.
pub(crate) const MU_0: f64 = 4e-7 * std::f64::consts::PI;

/// A magnet's material at 20 °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// Remanence, T.
    pub remanence: f64,
    /// Intrinsic coercivity, A/m.
    pub coercivity: f64,
    /// Recoil permeability, relative.
    pub recoil: f64,
    /// The least and the most that is given for it.
    pub recoils: [f64; 2],
}

/// Grades scatter by so much of themselves (common practice).
pub const SCATTER: f64 = 0.10;

/// Demagnetising factor of a cylinder along its axis, averaged over it, 0 to 1.
///
/// ```
/// # use bobbinwright_coil::magnet::alloy::demagnetising_factor;
/// # use bobbinwright_spec::Length;
/// let factor = |slender: f64| demagnetising_factor(Length::from_mm(1.0), Length::from_mm(slender));
/// // A long needle's ends are far from most of it, a flat disc is all ends.
/// assert!(factor(1000.0) < 1e-3 && factor(0.001) > 0.99);
/// // As long as thick: one less Nagaoka's 0.688423.
/// assert!((factor(1.0) - 0.311_577).abs() < 1e-5);
/// // And of a long one, from the first term of his series: 4 / 3π times thickness over length.
/// assert!((factor(100.0) * 100.0 * 3.0 * std::f64::consts::PI / 4.0 - 1.0).abs() < 0.01);
/// ```
pub fn demagnetising_factor(diameter: Length, length: Length) -> f64 {
    1.0 - nagaoka(diameter / length)
}

/// By how much a coil of one layer has less inductance than the same piece of an endless one (Nagaoka 1909, in
/// Lorenz' closed form), for its diameter over its length.
fn nagaoka(slender: f64) -> f64 {
    let k2 = slender * slender / (1.0 + slender * slender);
    let (k, other) = (k2.sqrt(), (1.0 - k2).sqrt());
    let (first, second) = (cel(other, [1.0, 1.0, 1.0]), cel(other, [1.0, 1.0, other * other]));
    4.0 / (3.0 * std::f64::consts::PI * other) * (other * other / k2 * (first - second) + second - k)
}

impl Material {
    /// Of rods, as makers' tables give it (MMPA 0100-00 and suppliers; recoil of alnico 5 and 8 published and from
    /// memory, which are its ends, of the others from memory).
    pub fn of(alloy: Alloy) -> Self {
        let (remanence, coercivity, recoil, recoils) = match alloy {
            Alloy::Alnico2 => (0.75, 45e3, 6.4, [5.0, 7.0]),
            Alloy::Alnico3 => (0.70, 40e3, 6.5, [5.0, 7.0]),
            Alloy::Alnico4 => (0.56, 60e3, 4.0, [3.5, 4.5]),
            Alloy::Alnico5 => (1.25, 51e3, 4.0, [3.6, 4.3]),
            Alloy::Alnico8 => (0.86, 127e3, 2.0, [2.0, 3.6]),
            Alloy::Ferrite => (0.38, 240e3, 1.06, [1.05, 1.10]),
            Alloy::Neodymium => (1.20, 900e3, 1.05, [1.03, 1.08]),
        };
        Self { remanence, coercivity, recoil, recoils }
    }

    /// What a rod alone in the air keeps: on its recoil line, and no more than its coercivity holds against its
    /// own poles.
    ///
    /// Positive, T; which pole is up is not this function's.
    ///
    /// ```
    /// # use bobbinwright_coil::magnet::alloy::Material;
    /// # use bobbinwright_spec::{Length, magnets::Alloy};
    /// let of = |alloy, long: f64| Material::of(alloy).polarisation(Length::from_mm(5.0), Length::from_mm(long)).0;
    /// // A needle has no poles to speak of and keeps its remanence; a shorter rod keeps less.
    /// assert!((of(Alloy::Alnico5, 50_000.0) / Material::of(Alloy::Alnico5).remanence - 1.0).abs() < 1e-3);
    /// assert!(of(Alloy::Alnico5, 10.0) < of(Alloy::Alnico5, 20.0));
    /// ```
    pub fn polarisation(&self, diameter: Length, length: Length) -> Tesla {
        let factor = demagnetising_factor(diameter, length);
        let line = self.remanence / (1.0 + factor * (self.recoil - 1.0));
        Tesla(line.min(MU_0 * self.coercivity / factor))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Nagaoka's table of 1909, in which the last row is 4e-5 low.
    #[test]
    fn coils_agree_with_nagaokas_table() {
        for (slender, expected) in [
            (0.25, 0.901_649),
            (0.5, 0.818_136),
            (1.0, 0.688_423),
            (1.5, 0.595_045),
            (2.0, 0.525_510),
            (3.0, 0.429_199),
            (5.0, 0.319_825),
            (10.0, 0.203_315),
        ] {
            assert!((nagaoka(slender) / expected - 1.0f64).abs() < 1e-4, "{slender} {}", nagaoka(slender));
        }
    }

    /// Magnetometric factors of cylinders by length over diameter (Chen, Brug and Goldfarb 1991 print 0.3116 for
    /// 1, from memory; the others by magpylib's average field).
    #[test]
    fn demagnetising_factors_agree_with_the_published_ones() {
        for (slender, expected) in [
            (0.8, 0.361_91),
            (1.0, 0.311_58),
            (2.0, 0.181_86),
            (3.2, 0.120_57),
            (5.0, 0.079_91),
            (10.0, 0.041_19),
        ] {
            let found = demagnetising_factor(Length::from_mm(5.0), Length::from_mm(5.0 * slender));
            assert!((found - expected).abs() < 1e-5, "{slender} {found}");
        }
    }

    /// Rods 3.2 times as long as thick: ferrite and neodymium on their lines, alnico 5 held by its coercivity.
    #[test]
    fn working_points_are_those_of_the_example() {
        let of =
            |alloy: Alloy| Material::of(alloy).polarisation(Length::from_mm(5.0), Length::from_mm(16.0)).0;
        assert!((of(Alloy::Ferrite) - 0.377_3).abs() < 1e-4, "{}", of(Alloy::Ferrite));
        assert!((of(Alloy::Neodymium) - 1.20 / (1.0 + 0.120_57 * 0.05)).abs() < 1e-4);
        assert!((of(Alloy::Alnico5) - 0.532).abs() < 1e-3, "{}", of(Alloy::Alnico5));
        assert!((of(Alloy::Alnico3) - 0.417).abs() < 1e-3);
    }
}
