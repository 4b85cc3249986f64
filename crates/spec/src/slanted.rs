//! What jaws read of a rout whose sides are slanted on purpose: by more than a hand errs, so that nothing is linear.
//!
//! The sides are straight lines, each at its distance from the middle and rising along its length. Between two that face each
//! other jaws are turned until they read least, which is square to the line in the middle between both. A diagonal is the
//! longest way from the arc in one corner to that in the opposite one: between their centres and a radius at each end.

use bobbinwright_elementary::Elementary;

use crate::corners::Corners;
use crate::form::OPENINGS;
use crate::sides::bowed;
use crate::told::{OF_FORM, SKEW};
use crate::wanted::Side;

/// What jaws are put across.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Across {
    /// A length or a width, at a place along the sides between which it is, from -1 to 1, or anywhere; from 0 at the top edge to
    /// 1 at the floor.
    Opening { which: usize, place: Option<f64>, depth: f64 },
    /// From the treble or bass corner on the neck side to the opposite one.
    Diagonal(Side),
}

/// Four sides and the corners between them.
pub(crate) struct Slanted {
    /// Half of length and width as they were read, which only tell what 1 is along a side, mm.
    pub half: [f64; 2],
    pub radii: Corners<f64>,
}

impl Slanted {
    /// What jaws read with these unknowns, mm.
    pub fn reads(&self, across: Across, unknowns: &[f64]) -> f64 {
        match across {
            Across::Opening { which, place, depth } => {
                let opening = &OPENINGS[which];
                let mut far = unknowns[opening.size] - 2.0 * depth * unknowns[opening.lean];
                if let Some(place) = place {
                    let bows: f64 = opening.bows.iter().map(|bow| unknowns[*bow]).sum();
                    far += unknowns[opening.taper] * place + bows * bowed(place);
                }
                // Only the ends lean together; the long sides' mean direction is that of the row.
                let leans = if which == 0 { unknowns[SKEW] / self.half[1] } else { 0.0 };
                far / (1.0 + leans * leans).sqrt()
            }
            Across::Diagonal(from) => {
                let end = if from == Side::Treble { 1.0 } else { -1.0 };
                let [near, far] = [[end, 1.0], [-end, -1.0]];
                let ([a, b], [c, d]) = (self.centre(near, unknowns), self.centre(far, unknowns));
                (a - c).hypotenuse(b - d) + self.radii.at(near) + self.radii.at(far)
            }
        }
    }

    /// The same as a linear equation about these unknowns: what each of them has in it, and what to add to what was read.
    pub fn equation(&self, across: Across, unknowns: &[f64]) -> (Vec<(usize, f64)>, f64) {
        const STEP: f64 = 1e-3;
        let mut at = unknowns[..OF_FORM].to_vec();
        let mut terms = Vec::new();
        for unknown in 0..OF_FORM {
            let own = at[unknown];
            let [more, less] = [own + STEP, own - STEP].map(|value| {
                at[unknown] = value;
                self.reads(across, &at)
            });
            at[unknown] = own;
            let slope = (more - less) / (2.0 * STEP);
            if slope.abs() > 1e-9 {
                terms.push((unknown, slope));
            }
        }
        let linear: f64 = terms.iter().map(|(unknown, slope)| unknowns[*unknown] * slope).sum();
        (terms, linear - self.reads(across, unknowns))
    }

    /// The middle of the arc in a corner, treble and neck positive, mm.
    fn centre(&self, corner @ [end, side]: [f64; 2], unknowns: &[f64]) -> [f64; 2] {
        let radius = self.radii.at(corner);
        let line = |i: usize, towards: f64| {
            let opening = &OPENINGS[i];
            let bow = opening.bows[usize::from(towards < 0.0)];
            let skew = if i == 0 { towards * unknowns[SKEW] } else { 0.0 };
            let slope = (unknowns[opening.taper] / 2.0 + skew) / self.half[1 - i];
            let reach = unknowns[opening.size] / 2.0 + unknowns[bow] * bowed(1.0);
            // Moved in by the radius, square to itself.
            (reach - radius * (1.0 + slope * slope).sqrt(), slope)
        };
        // end · x = a + p · y, side · y = b + q · x.
        let ((a, p), (b, q)) = (line(0, end), line(1, side));
        let x = end * (a + p * side * b) / (1.0 - end * side * p * q);
        [x, side * (b + q * x)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::told::{LENGTH, WIDENS, WIDTH};

    fn slanted(radius: f64) -> Slanted {
        Slanted { half: [40.0, 15.0], radii: Corners::of(|_| radius) }
    }

    fn unknowns(of: &[(usize, f64)]) -> Vec<f64> {
        let mut all = vec![0.0; OF_FORM];
        for (unknown, value) in of {
            all[*unknown] = *value;
        }
        all
    }

    /// A parallelogram of 80 by 30 whose ends run 8 to treble on their way to the neck: ends are 80 · cos(arctan(8 / 30)) apart,
    /// and its diagonals by Pythagoras from corner to corner are 88 by 30 and 72 by 30.
    #[test]
    fn a_parallelogram_is_read_square_to_its_ends_and_from_corner_to_corner() {
        let unknowns = unknowns(&[(LENGTH, 80.0), (WIDTH, 30.0), (SKEW, 4.0)]);
        let sharp = slanted(0.0);
        let apart = sharp.reads(Across::Opening { which: 0, place: Some(0.7), depth: 0.0 }, &unknowns);
        assert!((apart - 80.0 / (1.0 + 8.0 * 8.0 / 900.0f64).sqrt()).abs() < 1e-12, "{apart}");
        for (from, along) in [(Side::Treble, 88.0f64), (Side::Bass, 72.0)] {
            let found = sharp.reads(Across::Diagonal(from), &unknowns);
            assert!((found - along.hypotenuse(30.0)).abs() < 1e-12, "{found}");
        }
        // Round corners cut the acute ones off most.
        let round = slanted(5.0);
        let lost = |from| {
            sharp.reads(Across::Diagonal(from), &unknowns) - round.reads(Across::Diagonal(from), &unknowns)
        };
        assert!(lost(Side::Treble) > lost(Side::Bass) && lost(Side::Bass) > 0.0);
    }

    /// A trapezoid that is 34 wide at x = 40 and 26 at x = -40, with square ends 80 apart: both diagonals go from 17 to -13.
    #[test]
    fn a_trapezoid_has_alike_diagonals() {
        let unknowns = unknowns(&[(LENGTH, 80.0), (WIDTH, 30.0), (WIDENS, 4.0)]);
        for from in [Side::Treble, Side::Bass] {
            let found = slanted(0.0).reads(Across::Diagonal(from), &unknowns);
            assert!((found - 80f64.hypotenuse(30.0)).abs() < 1e-12, "{found}");
        }
    }

    #[test]
    fn what_is_linear_is_as_it_is() {
        let about = unknowns(&[(LENGTH, 80.0), (WIDTH, 30.0), (SKEW, 4.0), (WIDENS, 1.0)]);
        let slanted = slanted(5.0);
        for across in [
            Across::Diagonal(Side::Bass),
            Across::Opening { which: 0, place: None, depth: 0.0 },
            Across::Opening { which: 1, place: Some(-0.8), depth: 1.0 },
        ] {
            let (terms, more) = slanted.equation(across, &about);
            let sum: f64 = terms.iter().map(|(unknown, slope)| about[*unknown] * slope).sum();
            assert!((sum - more - slanted.reads(across, &about)).abs() < 1e-9);
        }
    }
}
