//! What a rod keeps of its magnetisation among others.
//!
//! Rods of a row stand with the same pole up, so that each one's poles work against the magnetisation of its neighbours
//! as its own do. Both together are a demagnetising factor, here of rods that are magnetised evenly. How much is lost to
//! it hangs on the curve of the alloy: at most along its recoil line, which is what an alloy does that was magnetised where it
//! stands, and at worst as far as its coercivity holds, which is what rods do that were magnetised before and lay about.

use bobbinwright_spec::Length;
use bobbinwright_spec::magnets::Alloy;

use super::alloy::{MU_0, Material, SCATTER, demagnetising_factor};
use super::cylinder::{Rod, Tesla};
use crate::quadrature::nodes;

/// Rods that lose more than a tenth lose more of it at their ends, which the strings are next to: their field there is that
/// of rods with up to so much less (17 % at worst, with the spread of recoil; magpylib-material-response).
const UNEVEN: f64 = 0.1;
const LOSES: f64 = 0.1;

/// What rods are magnetised to in their row: all of them in the mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kept {
    /// The least.
    pub least: Tesla,
    /// Between the two.
    pub best: Tesla,
    /// The most.
    pub most: Tesla,
}

impl Kept {
    /// By rods of an alloy at places along their row.
    ///
    /// ```
    /// # use bobbinwright_coil::magnet::{alloy::Material, in_row::Kept};
    /// # use bobbinwright_spec::{Length, magnets::Alloy};
    /// let mm = Length::from_mm;
    /// let of = |places: &[Length]| Kept::of(Alloy::Alnico5, mm(5.0), mm(16.0), places);
    /// // Alone, what it keeps by itself is between the two.
    /// let alone = Material::of(Alloy::Alnico5).polarisation(mm(5.0), mm(16.0));
    /// let one = of(&[mm(0.0)]);
    /// assert!(one.least < alone && alone < one.most);
    /// // Among others it keeps less.
    /// let row: Vec<Length> = (0..6).map(|i| mm(10.0 * f64::from(i))).collect();
    /// assert!(of(&row).least < one.least && of(&row).most < one.most);
    /// ```
    pub fn of(alloy: Alloy, diameter: Length, length: Length, places: &[Length]) -> Self {
        let material = Material::of(alloy);
        let line = |factor: f64, recoil: f64| material.remanence / (1.0 + factor * (recoil - 1.0));
        let all = poles(diameter, length, places);
        let mean =
            |of: &dyn Fn(f64) -> f64| all.iter().map(|n| of(*n)).sum::<f64>() / all.len().max(1) as f64;
        let held = |n: f64| line(n, material.recoils[1]).min(MU_0 * material.coercivity / n);
        let uneven = |n: f64| {
            let lost = 1.0 - held(n) / material.remanence;
            held(n) * (1.0 - UNEVEN * (lost / LOSES).min(1.0))
        };
        let least = mean(&uneven) * (1.0 - SCATTER);
        let most = mean(&|n| line(n, material.recoils[0])) * (1.0 + SCATTER);
        Self { least: Tesla(least), best: Tesla(f64::midpoint(least, most)), most: Tesla(most) }
    }
}

/// For each rod the demagnetising factor of its own poles and, as if all were magnetised alike, its neighbours'.
pub(crate) fn poles(diameter: Length, length: Length, places: &[Length]) -> Vec<f64> {
    let own = demagnetising_factor(diameter, length);
    let rod = Rod { diameter, length, polarisation: Tesla(1.0) };
    let half = length.as_mm() / 2.0;
    // The mean field along a neighbour's axis; it runs against the polarisation.
    let of_neighbour = |away: Length| {
        let mean = nodes(half, 1).map(|(z, w)| w * rod.field(away, Length::from_mm(z))[1].0);
        -mean.sum::<f64>() / half
    };
    let total = |(i, place): (usize, &Length)| {
        let others = places.iter().enumerate().filter(|(j, _)| *j != i);
        own + others.map(|(_, other)| of_neighbour((*place - *other).abs())).sum::<f64>()
    };
    places.iter().enumerate().map(total).collect()
}
