//! Rods cut into discs, each magnetised evenly, and how they work against each other's magnetisation.
//!
//! A rod's middle is magnetised more than its ends, and its neighbours' poles reach each part of it otherwise. Two discs of
//! one rod are averaged over both in closed form; a disc of another rod counts by its field on the axis.

use bobbinwright_spec::Length;
use nalgebra::DMatrix;

use crate::magnet::alloy::demagnetising_factor;
use crate::magnet::cylinder::{Rod, Tesla};

/// Discs of a rod: twice as many change what they add to an inductance by less than a thousandth.
pub(crate) const EACH: usize = 16;

/// For every disc, rod by rod from below, by how much of each other's magnetisation it is demagnetised.
pub(crate) fn factors(diameter: Length, length: Length, places: &[Length]) -> DMatrix<f64> {
    let own = of_one_rod(diameter, length);
    let mut apart: Vec<(f64, Vec<f64>)> = Vec::new();
    let disc = Rod { diameter, length: length / EACH as f64, polarisation: Tesla(1.0) };
    let mut all = DMatrix::zeros(EACH * places.len(), EACH * places.len());
    for (i, a) in places.iter().enumerate() {
        for (j, b) in places.iter().enumerate() {
            let away = (*a - *b).abs();
            let known = apart.iter().position(|(known, _)| (known - away.as_mm()).abs() < SAME);
            let table = if i == j {
                &own
            } else {
                let at = known.unwrap_or_else(|| {
                    apart.push((away.as_mm(), of_neighbour(&disc, away)));
                    apart.len() - 1
                });
                &apart[at].1
            };
            for (k, l) in (0..EACH).flat_map(|k| (0..EACH).map(move |l| (k, l))) {
                all[(i * EACH + k, j * EACH + l)] = table[k.abs_diff(l)];
            }
        }
    }
    all
}

/// Distances that differ by less are the same, mm.
const SAME: f64 = 1e-6;

/// By how many discs apart two of one rod are. A rod of m discs that are all magnetised alike has the mean of all of them, and
/// what that is is known for every m: its second differences are twice what two discs do to each other.
fn of_one_rod(diameter: Length, length: Length) -> Vec<f64> {
    let disc = length / EACH as f64;
    let whole = |discs: usize| match discs {
        0 => 0.0,
        m => m as f64 * demagnetising_factor(diameter, disc * m as f64),
    };
    let of = |m: usize| match m {
        0 => whole(1),
        m => f64::midpoint(whole(m + 1), whole(m - 1)) - whole(m),
    };
    (0..EACH).map(of).collect()
}

fn of_neighbour(disc: &Rod, away: Length) -> Vec<f64> {
    (0..EACH).map(|m| -disc.field(away, disc.length * m as f64)[1].0).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use bobbinwright_elementary::Elementary;

    fn mm(length: f64) -> Length {
        Length::from_mm(length)
    }

    /// All discs of a rod together are the rod: the mean of what they do to each other is its own factor.
    #[test]
    fn discs_add_up_to_their_rod() {
        let found = factors(mm(5.0), mm(16.0), &[mm(0.0)]);
        let mean = found.sum() / EACH as f64;
        assert!((mean / demagnetising_factor(mm(5.0), mm(16.0)) - 1.0).abs() < 1e-9, "{mean}");
        // Of itself each has its own factor; those above and below it add to its magnetisation.
        assert!((found[(0, 0)] - demagnetising_factor(mm(5.0), mm(1.0))).abs() < 1e-12);
        assert!(found[(0, 1)] < 0.0);
    }

    /// Far discs are dipoles: on one axis -V / 2πr³, side by side V / 4πr³.
    #[test]
    fn far_discs_are_dipoles() {
        let found = factors(mm(1.0), mm(16.0), &[mm(0.0), mm(40.0)]);
        let volume = std::f64::consts::FRAC_PI_4;
        let (far, beside) = (found[(0, 15)], found[(0, EACH)]);
        assert!(
            (far / (-volume / (2.0 * std::f64::consts::PI * 15f64.power(3))) - 1.0).abs() < 0.01,
            "{far}"
        );
        let expected = volume / (4.0 * std::f64::consts::PI * 40f64.power(3));
        assert!((beside / expected - 1.0).abs() < 0.01, "{beside}");
        assert_eq!(found[(3, 20)], found[(20, 3)]);
    }
}
