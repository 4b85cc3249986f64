//! How loud a string comes out, beside others.
//!
//! The rods magnetise the string, the moving string changes the flux through the coil (Horton and Moore 2009;
//! Faraday's law as `McDonald` 2007 applies it). Taken here: a string is a thin round rod of steel far from
//! saturation that takes a moment per length in proportion to its section and to the field; and by reciprocity
//! the coil sees that moment through its rods with the same weight as the rods' own field has there. The voltage
//! of a string that moves up and down then goes with its speed, its steel, and the slope over the height of the
//! field's square, added up along the string. Strings of one set are stretched about equally, so that of two pulled
//! equally far, or given equal energy, the heavier one is slower as the gauge is larger.
//!
//! Across its axis a string of any permeability takes nearly the same moment, along its axis one that steel
//! decides; which of the two matters more is not known here, so both are worked out. Level differences between
//! strings of the same make are of use; the level itself is not.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::Length;

use super::row::Row;
use crate::quadrature::nodes;

/// Relative to something, in dB.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Level(pub f64);

/// What a string that counts for 1 gives, T²: magnetised across, and along its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Signal {
    across: f64,
    along: f64,
}

/// Along the string this far to both sides; beyond, the field's square is too small to count.
const REACH: f64 = 40.0;
/// A field changes within no less than about a rod's radius, mm.
const CLOSEST: f64 = 2.5;
/// Enough for 0.01 dB.
const PANELS: u32 = 2;
/// Half of the step over the height that the slope is taken from, mm.
const STEP: f64 = 0.02;

impl Signal {
    /// Of a string so far along the row, its middle so far above the body's face.
    pub fn of(row: &Row, along: Length, height: Length) -> Self {
        Self::added_up(row, along.as_mm(), height.as_mm(), PANELS)
    }

    fn added_up(row: &Row, x: f64, z: f64, panels: u32) -> Self {
        let top = row.places.iter().map(|p| p.top.as_mm()).fold(f64::NEG_INFINITY, f64::max);
        // The field changes along the string within about the height over the rods.
        let scale = (z - top).abs().max(CLOSEST);
        let mut sum = Self { across: 0.0, along: 0.0 };
        for (t, weight) in nodes((REACH / scale).hyperbolic_arcsine(), panels) {
            let y = scale * t.hyperbolic_sine();
            let [below, above] = [z - STEP, z + STEP].map(|z| row.field_mm([x, y, z]).map(|b| b * b));
            // Both halves of the string, and the slope between the two heights.
            let counts = 2.0 * weight * scale * t.hyperbolic_cosine() / (2.0 * STEP);
            sum.across += counts * (above[0] - below[0] + above[2] - below[2]);
            sum.along += counts * (above[1] - below[1]);
        }
        sum
    }

    /// Its level beside that of a signal of 1, magnetised across and along the string.
    ///
    /// ```
    /// # use bobbinwright_coil::magnet::{cylinder::{Rod, Tesla}, output::Signal, row::{Place, Row}};
    /// # use bobbinwright_spec::Length;
    /// # let mm = Length::from_mm;
    /// let signal = |strength: f64| {
    ///     let rod = Rod { diameter: mm(5.0), length: mm(16.0), polarisation: Tesla(strength) };
    ///     Signal::of(&Row { rod, places: vec![Place { along: mm(0.0), top: mm(0.0) }] }, mm(0.0), mm(3.0))
    /// };
    /// // Ten times the steel is 20 dB. Twice the field magnetises twice as much and is seen twice as well: 40 log 2.
    /// let [across, _] = signal(0.4).levels(0.1);
    /// assert!((signal(0.4).levels(1.0)[0].0 - across.0 - 20.0).abs() < 1e-9);
    /// assert!((signal(0.8).levels(0.1)[0].0 - across.0 - 40.0 * 2f64.log10()).abs() < 1e-9);
    /// ```
    pub fn levels(self, counts: f64) -> [Level; 2] {
        [self.across, self.along].map(|of| Level(20.0 * (counts * of.abs()).decadic_logarithm()))
    }

    /// Between the two.
    pub fn level(self, counts: f64) -> Level {
        let [across, along] = self.levels(counts);
        Level(f64::midpoint(across.0, along.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::magnet::cylinder::{Rod, Tesla};
    use crate::magnet::row::Place;

    fn row(diameter: f64, length: f64, places: &[f64]) -> Row {
        let mm = Length::from_mm;
        let rod = Rod { diameter: mm(diameter), length: mm(length), polarisation: Tesla(1.0) };
        let places = places.iter().map(|x| Place { along: mm(*x), top: mm(length / 2.0) }).collect();
        Row { rod, places }
    }

    /// From afar a rod is a dipole: its field's square falls with the sixth power of the distance, its sum along
    /// the string with the fifth, and the slope of that with the sixth.
    #[test]
    fn from_afar_the_signal_falls_with_the_sixth_power() {
        let of = |z: f64| Signal::added_up(&row(0.5, 0.5, &[0.0]), 0.0, z, 4).levels(1.0);
        for (near, far) in of(4.0).into_iter().zip(of(8.0)) {
            assert!(
                (near.0 - far.0 - 20.0 * 2f64.power(6).decadic_logarithm()).abs() < 0.05,
                "{near:?} {far:?}"
            );
        }
    }

    /// Of a dipole's field m/4πr⁵ (3xz, 3yz, 3z² - r²) the squares along a string over its middle add up, by the
    /// beta function, to (m/4π)² z⁻⁵ times ∫9 sin² cos⁶ = 45π/128 along it and ∫(3 cos² - 1)² cos⁴ = 123π/128
    /// across.
    #[test]
    fn from_afar_both_ways_are_in_the_proportion_of_a_dipole() {
        let far = Signal::added_up(&row(0.5, 0.5, &[0.0]), 0.0, 8.0, 4);
        assert!((far.across / far.along / (123.0 / 45.0) - 1.0).abs() < 5e-3, "{far:?}");
    }

    /// More nodes along the string change nothing that could be heard, for one rod and between two.
    #[test]
    fn few_nodes_are_enough() {
        let pairs: Vec<f64> = (-3..=3).flat_map(|i| [-2.6, 2.6].map(|d| 10.0 * f64::from(i) + d)).collect();
        for (row, x) in [(row(5.0, 16.0, &[-10.0, 0.0, 10.0]), 0.4), (row(2.5, 16.0, &pairs), 0.3)] {
            for z in [10.0, 12.0, 15.0, 18.0] {
                let (few, many) = (
                    Signal::of(&row, Length::from_mm(x), Length::from_mm(z)),
                    Signal::added_up(&row, x, z, 8),
                );
                for (few, many) in few.levels(1.0).into_iter().zip(many.levels(1.0)) {
                    assert!((few.0 - many.0).abs() < 0.01, "{z} {few:?} {many:?}");
                }
            }
        }
    }
}
