//! The Gaussian process behind a coil that is wound: what readings share, and what they make one expect of others.
//!
//! What is read is taken as the logarithm of it over what was expected. It hangs on the spool, on how the coil grows and on
//! its core; on a wander of the wire along the spool and of the hand along the coil; on errors that several readings have
//! from the same cause; and on what each has of its own (kriging; Rasmussen and Williams 2006, chapter 2).

use bobbinwright_elementary::Elementary;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// Turns round the rods, tape and the first layers, by which the core's length may be off (common practice).
const CORE: f64 = 0.005;
/// By how much the wire differs along a spool, and what a hand's tension adds (common practice), and along how many
/// metres that stays about the same.
const WIRE_WANDERS: f64 = 0.004;
const WIRE_FOR: f64 = 150.0;
/// The same of how tightly a hand lays turns, along so many parts of the coil (common practice).
pub(crate) const HAND_WANDERS: f64 = 0.03;
const HAND_FOR: f64 = 0.3;

/// Standard uncertainties before any reading: of the wire, and of the coil's growth.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Own {
    pub wire: f64,
    pub grows: f64,
    /// Turns of the whole coil.
    pub whole: f64,
}

/// What makes several readings err alike.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Cause {
    /// A meter on one of its ranges, by the step of its display there.
    Meter { name: String, step: f64 },
    /// A thermometer.
    Thermometer(String),
    /// The workshop's temperature, which nobody read.
    Workshop,
}

/// Something that is read or asked for: how it hangs on the spool, on the coil's growth and on the core, and where it
/// stands.
#[derive(Clone, Debug)]
pub(crate) struct Point {
    /// The logarithm of what was read over what was expected.
    pub off: f64,
    pub hangs: [f64; 3],
    pub turns: f64,
    pub metres: f64,
    /// Errors with what causes them, standard uncertainties as parts of the reading.
    pub shares: Vec<(Cause, f64)>,
    /// Variance of its own.
    pub anew: f64,
}

/// What is known of a coil by its readings.
#[derive(Clone, Debug)]
pub(crate) struct Process {
    pub own: Own,
    points: Vec<Point>,
    /// What all points come to; none before the first.
    learnt: Option<Learnt>,
}

#[derive(Clone, Debug)]
struct Learnt {
    factor: Cholesky<f64, Dyn>,
    weights: DVector<f64>,
}

impl Process {
    pub fn new(own: Own) -> Self {
        Self { own, points: Vec::new(), learnt: None }
    }

    /// Learns from one more reading.
    pub fn learn(&mut self, point: Point) {
        self.points.push(point);
        let n = self.points.len();
        let of = |i: usize, j: usize| {
            let (a, b) = (&self.points[i], &self.points[j]);
            self.covariance(a, b) + if i == j { a.anew } else { 0.0 }
        };
        let all = DMatrix::from_fn(n, n, of);
        // Every point has a variance of its own, so that the matrix is positive definite.
        self.learnt = Cholesky::new(all).map(|factor| {
            let off = DVector::from_iterator(n, self.points.iter().map(|p| p.off));
            Learnt { weights: factor.solve(&off), factor }
        });
    }

    /// The logarithm of what a point will be over what was expected before winding began, and its standard uncertainty.
    pub fn ask(&self, point: &Point) -> (f64, f64) {
        let own = self.covariance(point, point) + point.anew;
        let Some(learnt) = &self.learnt else { return (0.0, own.sqrt()) };
        let with = self.points.iter().map(|p| self.covariance(p, point));
        let with = DVector::from_iterator(self.points.len(), with);
        let explained = with.dot(&learnt.factor.solve(&with));
        // What is left is never less than what is the point's own, but for rounding.
        (with.dot(&learnt.weights), (own - explained).max(point.anew).max(1e-12).sqrt())
    }

    fn covariance(&self, a: &Point, b: &Point) -> f64 {
        let of = [self.own.wire, self.own.grows, CORE];
        let known: f64 = (0..3).map(|i| a.hangs[i] * b.hangs[i] * of[i] * of[i]).sum();
        let wire = a.hangs[0] * b.hangs[0] * WIRE_WANDERS.power(2) * alike(a.metres, b.metres, WIRE_FOR);
        let lays = HAND_WANDERS.power(2) * alike(a.turns, b.turns, HAND_FOR * self.own.whole);
        let of_cause = |(cause, u): &(Cause, f64)| {
            let same = b.shares.iter().filter(|(other, _)| other == cause);
            same.map(|(_, v)| u * v).sum::<f64>()
        };
        let shared: f64 = a.shares.iter().map(of_cause).sum();
        known + wire + a.hangs[1] * b.hangs[1] * lays + shared
    }
}

/// How alike the means of something are from its beginning up to two places, if it stays about the same for so long: the
/// mean of exp(-|u - v| / long) over all u below the one and v below the other.
fn alike(a: f64, b: f64, long: f64) -> f64 {
    // Nearer than this to the beginning nothing has changed, and figures would be lost.
    let [a, b] = [a.min(b), a.max(b)].map(|at| (at / long).max(1e-4));
    let falls = |x: f64| (-x).exponential();
    (2.0 * a - 1.0 + falls(a) + falls(b) - falls(b - a)) / (a * b)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(cause: Cause, off: f64) -> Point {
        let hangs = [1.0, 0.1, 0.9];
        Point { off, hangs, turns: 500.0, metres: 60.0, shares: vec![(cause, 0.01)], anew: 1e-6 }
    }

    /// What one instrument errs is learnt by its own readings and tells nothing of another's: a temperature that was read
    /// says nothing of one that nobody read.
    #[test]
    fn causes_are_kept_apart() {
        let own = Own { wire: 1e-4, grows: 1e-4, whole: 7000.0 };
        let mut process = Process::new(own);
        let of = |name: &str| Cause::Thermometer(name.to_owned());
        process.learn(point(of("one"), 0.01));
        let spread = |cause| process.ask(&point(cause, 0.0)).1;
        let same = spread(of("one"));
        for other in [of("two"), Cause::Workshop, Cause::Meter { name: "one".to_owned(), step: 0.1 }] {
            assert!(spread(other.clone()) > same * 1.4, "{other:?} {same}");
        }
    }
}
