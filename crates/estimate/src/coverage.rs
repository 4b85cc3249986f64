//! What an estimate says about the true value: the chance that it is not negative, and the interval that holds it.

use crate::{Doubts, Estimate, Length, student};

/// Probability that the true margin is not negative: Student's t distribution about the value,
/// with the margin's standard uncertainty and effective degrees of freedom. A margin without
/// uncertainty fits or does not; zero fits.
///
/// From 0 to 1.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Estimate, Length, Origin, probability};
/// let mut doubts = Doubts::<()>::default();
/// // With one degree of freedom Student's distribution is Cauchy's: one u over nought, 1/2 + arctan 1 / π.
/// let poor = doubts.enter(Doubt::new(None, Origin::Stated, 1.0), Length::from_mm(0.1));
/// let margin = poor.moved_to(Length::from_mm(0.1));
/// assert!((probability(&margin, &doubts) - 0.75).abs() < 1e-12);
/// assert!((probability(&-margin, &doubts) - 0.25).abs() < 1e-12);
/// assert_eq!(probability(&Estimate::exact(Length::ZERO), &doubts), 1.0);
/// assert_eq!(probability(&Estimate::exact(Length::from_mm(-0.01)), &doubts), 0.0);
/// ```
pub fn probability<Q: Clone + PartialEq>(margin: &Estimate, doubts: &Doubts<Q>) -> f64 {
    let (m, u) = (margin.value().as_mm(), margin.uncertainty().as_mm());
    // Below a nanometre an uncertainty is rounding noise of exact figures.
    if u < 1e-6 {
        return if m >= -1e-9 { 1.0 } else { 0.0 };
    }
    let (t, freedom) = (m / u, doubts.freedom(margin));
    // Beyond these less than 2e-7 is left in the tail, which nobody would see; most margins are.
    let far = (t.abs() > 8.0 && freedom > 30.0) || (t.abs() > 12.0 && freedom > 10.0);
    if far { f64::from(t > 0.0) } else { student::below(t, freedom) }
}

/// Half the interval round an estimate's value that holds the true one with a probability, the
/// expanded uncertainty: Student's t for the effective degrees of freedom times the standard
/// uncertainty (JCGM 100 G.3).
///
/// The probability is from 0 to less than 1.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, expanded};
/// let mut doubts = Doubts::<()>::default();
/// let mut of = |freedom| doubts.enter(Doubt::new(None, Origin::Stated, freedom), Length::from_mm(0.01));
/// let (sure, poor) = (of(f64::INFINITY), of(1.0));
/// // Half of all: within 0.6745 u of a normal variable, and within u of Cauchy's, whose quartiles are -1 and 1.
/// assert!((expanded(&sure, &doubts, 0.5).as_mm() - 0.006_745).abs() < 1e-6);
/// assert!((expanded(&poor, &doubts, 0.5).as_mm() - 0.01).abs() < 1e-9);
/// ```
pub fn expanded<Q: Clone + PartialEq>(estimate: &Estimate, doubts: &Doubts<Q>, coverage: f64) -> Length {
    let freedom = doubts.freedom(estimate);
    let below = f64::midpoint(1.0, coverage);
    let (mut low, mut high) = (0.0, 1.0);
    while student::below(high, freedom) < below && high < 1e6 {
        high *= 2.0;
    }
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if student::below(middle, freedom) < below {
            low = middle;
        } else {
            high = middle;
        }
    }
    estimate.uncertainty() * high
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Doubt, Origin};

    /// Two-sided 95 % points of Student's t, from printed tables (JCGM 100 table G.2 prints them
    /// to two decimals: 12.71, 2.57, 2.23, 2.09, 1.96).
    #[test]
    fn agrees_with_the_printed_table_of_student_t() {
        let table = [(1.0, 12.706), (5.0, 2.571), (10.0, 2.228), (20.0, 2.086), (f64::INFINITY, 1.960)];
        for (freedom, t) in table {
            let p = student::below(t, freedom);
            assert!((p - 0.975).abs() < 1e-4, "ν = {freedom}: P = {p}");
            assert!((student::below(-t, freedom) - 0.025).abs() < 1e-4);
        }
    }

    /// The same table read the other way, and 99 %: 63.66, 4.03, 3.17, 2.85, 2.58 (JCGM 100 table G.2).
    #[test]
    fn expanded_uncertainty_has_the_printed_factors() {
        let table = [
            (1.0, 12.71, 63.66),
            (5.0, 2.57, 4.03),
            (10.0, 2.23, 3.17),
            (20.0, 2.09, 2.85),
            (f64::INFINITY, 1.96, 2.58),
        ];
        for (freedom, at_95, at_99) in table {
            let mut doubts = Doubts::<()>::default();
            let doubt = Doubt::new(None, Origin::Stated, freedom);
            let one = doubts.enter(doubt, Length::from_mm(1.0));
            for (coverage, factor) in [(0.95, at_95), (0.99, at_99)] {
                let found = expanded(&one, &doubts, coverage).as_mm();
                assert!((found - factor).abs() < 5.1e-3, "ν = {freedom}, {coverage}: {found}");
            }
        }
    }
}
