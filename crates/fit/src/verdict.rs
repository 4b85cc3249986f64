//! One of three words, by the rule of ISO 14253-1.
//!
//! *Fits* is said only when the probability that the true margin is not negative reaches the
//! stated confidence, *clashes* only when the opposite has that probability; between them nothing
//! is proved and it is *too close to call*. The default confidence of 95 % is that of the
//! standard's 2017 edition (from memory).

use bobbinwright_spec::{Doubts, Estimate};

/// Probability that a claim must have.
pub const CONFIDENCE: f64 = 0.95;

/// Whether something fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// It does not fit.
    Clashes,
    /// The readings do not decide it.
    TooClose,
    /// It fits.
    Fits,
}

impl Verdict {
    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Clashes => "clashes",
            Verdict::TooClose => "too close to call",
            Verdict::Fits => "fits",
        }
    }

    /// The verdict for a probability of fitting.
    pub fn of(probability: f64) -> Self {
        if probability >= CONFIDENCE {
            Verdict::Fits
        } else if probability <= 1.0 - CONFIDENCE {
            Verdict::Clashes
        } else {
            Verdict::TooClose
        }
    }
}

/// Steps of the integral over a play's values: six to a standard uncertainty, so that even a step of
/// the integrand costs less than 0.5 %.
const STEPS: u32 = 60;

/// On how many sides a margin can be used up.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Sides {
    /// Only if the true value is smaller.
    One,
    /// On either side alike: the margin is a play on both sides less how far something is off the
    /// middle, which this is.
    Two(Estimate),
}

/// Probability that the true margin is not negative: Student's t distribution about the value,
/// with the margin's standard uncertainty and effective degrees of freedom. A margin without
/// uncertainty fits or does not; zero fits.
pub fn probability(margin: &Estimate, doubts: &Doubts) -> f64 {
    let (m, u) = (margin.value().as_mm(), margin.uncertainty().as_mm());
    // Below a nanometre an uncertainty is rounding noise of exact figures.
    if u < 1e-6 {
        return if m >= -1e-9 { 1.0 } else { 0.0 };
    }
    student_t_below(m / u, doubts.freedom(margin))
}

/// Probability that a margin holds. For something centred it is the probability that neither side's
/// play is used up: E[T((p - d)/u) - T((-p - d)/u)] over the play p, taken as normal, with the offset
/// d, its uncertainty u and Student's t distribution T of its degrees of freedom.
pub(crate) fn probability_on(sides: &Sides, margin: &Estimate, doubts: &Doubts) -> f64 {
    let Sides::Two(off) = sides else { return probability(margin, doubts) };
    let (d, u) = (off.value().as_mm().abs(), off.uncertainty().as_mm().max(1e-9));
    let play = margin.clone() + if off.value().as_mm() < 0.0 { -off.clone() } else { off.clone() };
    let (p, s) = (play.value().as_mm(), play.uncertainty().as_mm());
    let freedom = doubts.freedom(off);
    let below = |z: f64| student_t_below(z, freedom);
    let inside = |p: f64| if p < 0.0 { 0.0 } else { below((p - d) / u) - below((-p - d) / u) };
    if s < 1e-9 {
        return inside(p);
    }
    // Simpson's rule over five standard uncertainties either way.
    let term = |i: u32| {
        let z = -5.0 + 10.0 * f64::from(i) / f64::from(STEPS);
        let weight = if i == 0 || i == STEPS {
            1.0
        } else if i % 2 == 1 {
            4.0
        } else {
            2.0
        };
        (weight * (-z * z / 2.0).exp(), inside(p + s * z))
    };
    let (mass, held) = (0..=STEPS).map(term).fold((0.0, 0.0), |sum, (w, f)| (sum.0 + w, sum.1 + w * f));
    held / mass
}

/// P(T ≤ t) for Student's t with `freedom` degrees of freedom, by the regularised incomplete beta
/// function; the normal distribution above a million degrees.
fn student_t_below(t: f64, freedom: f64) -> f64 {
    let tail = if freedom > 1e6 {
        0.5 * puruspe::erfc(t.abs() / std::f64::consts::SQRT_2)
    } else {
        0.5 * puruspe::betai(freedom / 2.0, 0.5, freedom / (freedom + t * t))
    };
    if t > 0.0 { 1.0 - tail } else { tail }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bobbinwright_spec::{Doubt, Length, Origin};

    /// A screw in its hole whose play is nought, play normal with u = 0.03, offset with u = 0.02. In
    /// polar coordinates it fits within an angle of 2 arctan(0.03/0.02) out of 2π (worked by hand).
    #[test]
    fn a_play_of_nought_holds_as_often_as_polar_coordinates_say() {
        let mut doubts = Doubts::default();
        let doubt = || Doubt { quantity: None, origin: Origin::Stated, freedom: f64::INFINITY };
        let play = doubts.enter(doubt(), Length::from_mm(0.03));
        let off = doubts.enter(doubt(), Length::from_mm(0.02));
        let margin = play - off.clone();
        let p = probability_on(&Sides::Two(off), &margin, &doubts);
        let expected = (0.03f64 / 0.02).atan() / std::f64::consts::PI;
        assert!((p - expected).abs() < 5e-3, "{p} {expected}");
    }

    /// Two-sided 95 % points of Student's t, from printed tables (JCGM 100 table G.2 prints them
    /// to two decimals: 12.71, 2.57, 2.23, 2.09, 1.96).
    #[test]
    fn agrees_with_the_printed_table_of_student_t() {
        let table = [(1.0, 12.706), (5.0, 2.571), (10.0, 2.228), (20.0, 2.086), (f64::INFINITY, 1.960)];
        for (freedom, t) in table {
            let p = student_t_below(t, freedom);
            assert!((p - 0.975).abs() < 1e-4, "ν = {freedom}: P = {p}");
            assert!((student_t_below(-t, freedom) - 0.025).abs() < 1e-4);
        }
    }
}
