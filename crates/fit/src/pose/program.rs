//! The best place of a part by linear programming.
//!
//! Conditions `a · p + c ≥ w t` on a small motion p = (dx, dy, turn) are to be met with the largest t: w is 1 for what
//! shall have a margin and 0 for what must only hold. The dual asks for weights λ ≥ 0, Σ λ w = 1, Σ λ a = 0 with the least
//! Σ λ c. It has four rows however many conditions there are, so its simplex method goes from basis to basis of four
//! conditions; t falls on the way, and the weights at the end say which conditions hold the part. (Farkas' lemma; the
//! revised simplex method, from memory.)

use super::condition::Touch;

/// A condition: slopes by dx, dy and turn, and the room that is there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cut {
    pub slope: [f64; 3],
    pub room: f64,
    /// How much of the common margin it shall have.
    pub share: f64,
    /// The caller's name for it.
    pub of: usize,
    /// Where it was looked at.
    pub touch: Touch,
}

/// Conditions of which the worst at a place can be told.
pub(super) trait Conditions {
    /// The condition that lacks most at a place, if all are to have their share of a margin, and what it lacks, as a
    /// negative number.
    fn worst(&self, pose: [f64; 3], margin: f64) -> Option<(Cut, f64)>;
}

/// The best place.
#[derive(Clone, Debug)]
pub(super) struct Best {
    /// dx, dy, and turn times [`REACH`], mm.
    pub pose: [f64; 3],
    /// The margin that all share there, mm.
    pub margin: f64,
    /// The conditions that hold it, with their weights.
    pub held: Vec<(Cut, f64)>,
}

impl Best {
    /// A place that one condition holds by itself.
    pub fn of(cut: Cut) -> Self {
        Self { pose: [0.0; 3], margin: cut.room, held: vec![(cut, 1.0)] }
    }
}

/// A turn is counted by what it moves at this distance, mm, so that all three are lengths.
pub(super) const REACH: f64 = 50.0;

/// Nothing is moved further than this, mm: it keeps the search where a small motion is one.
const FAR: f64 = 10.0;

/// Steps of the method; degenerate places may take long.
const STEPS: usize = 200;

/// What overlaps by less touches, mm.
const TOUCH: f64 = 1e-6;

/// The method, at a basis.
struct Simplex {
    basis: [Cut; 4],
    /// Inverse of the matrix whose columns are (slope, share).
    inverse: [[f64; 4]; 4],
}

impl Simplex {
    /// Four far conditions round everything.
    fn start() -> Self {
        let far =
            |slope| Cut { slope, room: FAR, share: 1.0, of: usize::MAX, touch: Touch::Towards([0.0; 2]) };
        let basis = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [-1.0, -1.0, -1.0]].map(far);
        let q = 0.25;
        let inverse = [[0.75, -q, -q, q], [-q, 0.75, -q, q], [-q, -q, 0.75, q], [-q, -q, -q, q]];
        Self { basis, inverse }
    }

    /// The place and the margin at which the basis' conditions are equal.
    fn dual(&self) -> ([f64; 3], f64) {
        let mut y = [0.0; 4];
        for (k, cut) in self.basis.iter().enumerate() {
            for (i, v) in y.iter_mut().enumerate() {
                *v += cut.room * self.inverse[k][i];
            }
        }
        // For y B = c each condition of the basis has a · p + c = w t with p = -(y₁, y₂, y₃) and t = y₄.
        ([-y[0], -y[1], -y[2]], y[3])
    }

    fn weights(&self) -> [f64; 4] {
        std::array::from_fn(|k| self.inverse[k][3])
    }

    /// Takes a condition in for the one that its weight drives out; false where none is.
    fn enter(&mut self, cut: Cut) -> bool {
        let column = [cut.slope[0], cut.slope[1], cut.slope[2], cut.share];
        let by: [f64; 4] =
            std::array::from_fn(|k| (0..4).map(|i| self.inverse[k][i] * column[i]).sum::<f64>());
        let weights = self.weights();
        let ratios = (0..4).filter(|k| by[*k] > 1e-9).map(|k| (weights[k].max(0.0) / by[k], k));
        let Some((_, out)) = ratios.min_by(|a, b| a.0.total_cmp(&b.0)) else { return false };
        let pivot = self.inverse[out].map(|v| v / by[out]);
        for (k, row) in self.inverse.iter_mut().enumerate() {
            if k != out {
                for (v, p) in row.iter_mut().zip(pivot) {
                    *v -= by[k] * p;
                }
            }
        }
        self.inverse[out] = pivot;
        self.basis[out] = cut;
        true
    }

    fn best(&self) -> Best {
        let (pose, margin) = self.dual();
        let weights = self.weights();
        let held = self.basis.iter().zip(weights).filter(|(cut, w)| cut.of != usize::MAX && *w > 1e-9);
        Best { pose, margin, held: held.map(|(cut, w)| (*cut, w)).collect() }
    }
}

/// The place with the largest common margin; none where what must hold can't.
pub(super) fn best(conditions: &impl Conditions) -> Option<Best> {
    const NEAR: f64 = 1e-7;
    let mut simplex = Simplex::start();
    for _ in 0..STEPS {
        let (pose, margin) = simplex.dual();
        match conditions.worst(pose, margin) {
            Some((cut, lacks)) if lacks < -NEAR => {
                if !simplex.enter(cut) {
                    return None;
                }
            }
            _ => break,
        }
    }
    Some(simplex.best())
}

/// Is there a place that meets all conditions?
pub(super) fn is_possible(conditions: &impl Conditions) -> bool {
    let mut simplex = Simplex::start();
    for _ in 0..STEPS {
        let (pose, margin) = simplex.dual();
        if margin < 0.0 {
            return false;
        }
        match conditions.worst(pose, 0.0) {
            Some((cut, lacks)) if lacks < -TOUCH => {
                if !simplex.enter(cut) {
                    return false;
                }
            }
            _ => return true,
        }
    }
    // Neither yes nor no after so many steps is a touch.
    true
}
