//! How loud a string comes out, beside others.
//!
//! The rods magnetise the string, the moving string changes the flux through the coil (Horton and Moore 2009;
//! Faraday's law as `McDonald` 2007 applies it). Taken here: a string is a thin round rod of steel far from
//! saturation that takes a moment per length in proportion to its section and to the rods' field; and by reciprocity
//! the coil sees that moment through the field that it makes there itself, with what its rods pass on (`sees`). The
//! voltage of a string that moves up and down then goes with its speed, its steel, and the slope over the height of the
//! product of both fields, added up along the string. Strings of one set are stretched about equally, so that of two
//! pulled equally far, or given equal energy, the heavier one is slower as the gauge is larger.
//!
//! Across its axis a string of any permeability takes nearly the same moment, along its axis one that steel
//! decides; which of the two matters more is not known here, so both are worked out. Level differences between
//! strings of the same make are of use; the level itself is not.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::Length;

use super::row::Row;
use super::sees::{Rods, Sees};
use crate::quadrature::nodes;

/// Relative to something, in dB.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Level(pub f64);

/// By so much the levels of two strings may be further apart or nearer than is worked out here, of rods and coils that are as they
/// are stated (95 of 100 of 200 random ones are nearer, `tests/levels.rs`).
pub const MODEL: Level = Level(0.45);

/// What a string that counts for 1 gives, T/m: magnetised across, and along its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Signal {
    across: f64,
    along: f64,
}

/// Along the string this far to both sides; beyond, both fields are too small to count.
const REACH: f64 = 40.0;
/// A field changes within no less than about a rod's radius, mm.
const CLOSEST: f64 = 2.5;
/// Enough for 0.01 dB.
pub(super) const PANELS: u32 = 2;
/// Half of the step over the height that the slope is taken from, mm.
const STEP: f64 = 0.02;

/// Places along one half of a string, mm, and how much each counts.
pub(super) type Places = Vec<(f64, f64)>;

/// Along a string so far above a row's highest rod, where its field changes within about that.
pub(super) fn places(over: f64, panels: u32) -> Places {
    let scale = over.abs().max(CLOSEST);
    let of =
        |(t, weight): (f64, f64)| (scale * t.hyperbolic_sine(), 2.0 * weight * scale * t.hyperbolic_cosine());
    nodes((REACH / scale).hyperbolic_arcsine(), panels).map(of).collect()
}

/// How far a height is above a row's highest rod, mm.
pub(super) fn over(row: &Row, height: f64) -> f64 {
    height - row.places.iter().map(|p| p.top.as_mm()).fold(f64::NEG_INFINITY, f64::max)
}

impl Signal {
    /// Of a string so far along the row, its middle so far above the body's face.
    pub fn of(row: &Row, sees: &Sees, along: Length, height: Length) -> Self {
        let (x, z) = (along.as_mm(), height.as_mm());
        Self::added_up([x, z], &places(over(row, z), PANELS), |_, place| {
            let (own, Rods { field, pass_on }) = (sees.own_mm(place), sees.rods_mm(row, place));
            [field, [0, 1, 2].map(|i| own[i] + pass_on[i])]
        })
    }

    /// By the rods' field at a place, which is the so manieth of those, and what the coil makes of it.
    pub(super) fn added_up(
        [x, z]: [f64; 2],
        places: &Places,
        at: impl Fn(usize, [f64; 3]) -> [[f64; 3]; 2],
    ) -> Self {
        let mut sum = Self { across: 0.0, along: 0.0 };
        for (i, (y, counts)) in places.iter().enumerate() {
            let [below, above] = [z - STEP, z + STEP].map(|z| {
                let [field, seen] = at(i, [x, *y, z]);
                [0, 1, 2].map(|i| field[i] * seen[i])
            });
            // Both halves of the string, and the slope between the two heights.
            let counts = counts / (2.0 * STEP);
            sum.across += counts * (above[0] - below[0] + above[2] - below[2]);
            sum.along += counts * (above[1] - below[1]);
        }
        sum
    }

    /// Its level beside that of a signal of 1, magnetised across and along the string.
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

    /// As if the coil saw through its rods alone, and they passed on as much as they have themselves.
    fn through_rods(row: &Row, x: f64, z: f64, panels: u32) -> Signal {
        Signal::added_up([x, z], &places(over(row, z), panels), |_, place| [row.field_mm(place); 2])
    }

    /// Ten times the steel is 20 dB. Twice the field magnetises twice as much, here seen twice as well: 40 log 2.
    #[test]
    fn steel_and_field_count_by_their_logarithms() {
        let signal = |strength: f64| {
            let mut row = row(5.0, 16.0, &[0.0]);
            row.rod.polarisation = Tesla(strength);
            through_rods(&row, 0.0, 11.0, PANELS)
        };
        let [across, _] = signal(0.4).levels(0.1);
        assert!((signal(0.4).levels(1.0)[0].0 - across.0 - 20.0).abs() < 1e-9);
        assert!((signal(0.8).levels(0.1)[0].0 - across.0 - 40.0 * 2f64.decadic_logarithm()).abs() < 1e-9);
    }

    /// From afar a rod is a dipole: its field's square falls with the sixth power of the distance, its sum along
    /// the string with the fifth, and the slope of that with the sixth.
    #[test]
    fn from_afar_the_signal_falls_with_the_sixth_power() {
        let of = |z: f64| through_rods(&row(0.5, 0.5, &[0.0]), 0.0, z, 4).levels(1.0);
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
        let far = through_rods(&row(0.5, 0.5, &[0.0]), 0.0, 8.0, 4);
        assert!((far.across / far.along / (123.0 / 45.0) - 1.0).abs() < 5e-3, "{far:?}");
    }

    /// More nodes along the string change nothing that could be heard, for one rod and between two.
    #[test]
    fn few_nodes_are_enough() {
        let pairs: Vec<f64> = (-3..=3).flat_map(|i| [-2.6, 2.6].map(|d| 10.0 * f64::from(i) + d)).collect();
        for (row, x) in [(row(5.0, 16.0, &[-10.0, 0.0, 10.0]), 0.4), (row(2.5, 16.0, &pairs), 0.3)] {
            for z in [10.0, 12.0, 15.0, 18.0] {
                let (few, many) = (through_rods(&row, x, z, PANELS), through_rods(&row, x, z, 8));
                for (few, many) in few.levels(1.0).into_iter().zip(many.levels(1.0)) {
                    assert!((few.0 - many.0).abs() < 0.01, "{z} {few:?} {many:?}");
                }
            }
        }
    }
}
