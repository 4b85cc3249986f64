//! The probability that several margins hold at once.
//!
//! What must go in somewhere must go in at every place and on either side, and these margins share
//! causes of doubt: the play of a cover moves all its poles alike, twelve rods go through what one printer made. Of one or two
//! that may fail it is worked out; of more it is drawn ([`chance_where`]).

use std::f64::consts::PI;

use bobbinwright_elementary::Elementary;

use crate::student::normal_below;
use crate::{Doubts, Estimate, chance_where, probability};

/// A margin that fails more seldom than this is added up without a look at what it shares.
const SELDOM: f64 = 1e-5;

/// Below a nanometre an uncertainty is rounding noise of exact figures.
const EXACT: f64 = 1e-6;

/// So many margins are drawn together at most; what fails more seldom is added up.
const MOST: usize = 48;

/// What fails together more seldom than this is not worth drawing.
const CLEAR: f64 = 1e-3;

/// Probability that none of the margins is negative.
///
/// Of two it is exact for normal margins; of more it is drawn, always from the same points, to half a point.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, holds};
/// let mut doubts = Doubts::<()>::default();
/// let mut one = || doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(0.1));
/// let (a, b, shared) = (one(), one(), one());
/// // Each holds half the time: independent ones a quarter, the same one twice a half, a margin and its opposite never.
/// assert!((holds([&a, &b], &doubts) - 0.25).abs() < 1e-9 && (holds([&a, &a], &doubts) - 0.5).abs() < 1e-9);
/// assert!(holds([&a, &-a.clone()], &doubts) < 1e-9);
/// // Two that share half their variance: 1/4 + arcsin(1/2) / 2π (Sheppard), one third.
/// assert!((holds([&(a + shared.clone()), &(b + shared)], &doubts) - 1.0 / 3.0).abs() < 1e-4);
/// ```
pub fn holds<'e, Q: Clone + PartialEq>(
    margins: impl IntoIterator<Item = &'e Estimate>,
    doubts: &Doubts<Q>,
) -> f64 {
    let mut rated: Vec<(&Estimate, f64)> =
        margins.into_iter().map(|m| (m, 1.0 - probability(m, doubts))).collect();
    rated.sort_by(|a, b| b.1.total_cmp(&a.1));
    let sum: f64 = rated.iter().map(|r| r.1).sum();
    let often = rated.iter().take_while(|(_, fails)| *fails > SELDOM).count().min(MOST);
    let (often, seldom) = rated.split_at(often);
    let beside: f64 = seldom.iter().map(|r| r.1).sum();
    let holds = match often {
        [] => 1.0 - sum,
        [(_, fails)] => 1.0 - fails - beside,
        [a, b] => 1.0 - (a.1 + b.1 - both_fail(a, b)).max(a.1) - beside,
        _ if sum < CLEAR => 1.0 - sum,
        // One that is sure to fail is enough.
        [(_, fails), ..] if 1.0 - fails < SELDOM => 1.0 - fails,
        _ => {
            let inputs: Vec<&Estimate> = often.iter().map(|r| r.0).collect();
            chance_where(&inputs, doubts, |values| Some(values.iter().all(|v| *v >= 0.0))) - beside
        }
    };
    holds.clamp(0.0, 1.0)
}

/// Is the probability that none of the margins is negative at least this?
///
/// The same answer as [`holds`] would give, mostly sooner: a sum that is small enough settles it.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, holds_with};
/// let mut doubts = Doubts::<()>::default();
/// let doubt = || Doubt::new(None, Origin::Stated, f64::INFINITY);
/// let mut two_sigma = || doubts.enter(doubt(), Length::from_mm(0.1)).moved_to(Length::from_mm(0.2));
/// let (a, b) = (two_sigma(), two_sigma());
/// // Independent: 0.97725² = 0.95502.
/// assert!(holds_with(0.954, [&a, &b], &doubts) && !holds_with(0.956, [&a, &b], &doubts));
/// ```
pub fn holds_with<'e, Q: Clone + PartialEq>(
    confidence: f64,
    margins: impl IntoIterator<Item = &'e Estimate> + Clone,
    doubts: &Doubts<Q>,
) -> bool {
    // What they share can only make it more likely.
    let fails: f64 = margins.clone().into_iter().map(|m| 1.0 - probability(m, doubts)).sum();
    fails <= 1.0 - confidence || holds(margins, doubts) >= confidence
}

/// Probability that both of two margins are negative, each with its own probability of that: two normal
/// variables with these probabilities and the margins' correlation (a Gaussian copula).
fn both_fail((a, a_fails): &(&Estimate, f64), (b, b_fails): &(&Estimate, f64)) -> f64 {
    let (u, v) = (a.uncertainty().as_mm(), b.uncertainty().as_mm());
    if u < EXACT || v < EXACT {
        // One that is certain fails always or never.
        return a_fails * b_fails;
    }
    let correlation = (a.covariance(b) / (u * v)).clamp(-1.0, 1.0);
    both_below(quantile(*a_fails), quantile(*b_fails), correlation).min(a_fails.min(*b_fails))
}

/// The value below which a standard normal variable is with a probability, by halving.
fn quantile(probability: f64) -> f64 {
    let (mut low, mut high) = (-9.0, 9.0);
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        if normal_below(middle) < probability {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// P(X < h and Y < k) for two standard normal variables with correlation ρ, by Plackett's integral over the
/// angle whose sine is the correlation (Gauss and Legendre's rule, whose nodes do not touch the end at 1).
fn both_below(h: f64, k: f64, correlation: f64) -> f64 {
    let half = correlation.arcsine() / 2.0;
    let density = |angle: f64| {
        let sine = angle.sine();
        (-(h * h + k * k - 2.0 * h * k * sine) / (2.0 * (1.0 - sine * sine))).exponential()
    };
    let pair =
        |(node, weight): &(f64, f64)| weight * (density(half * (1.0 - node)) + density(half * (1.0 + node)));
    let integral: f64 = GAUSS.iter().map(pair).sum::<f64>() * half;
    (normal_below(h) * normal_below(k) + integral / (2.0 * PI)).clamp(0.0, 1.0)
}

/// Nodes and weights of Gauss and Legendre's rule with ten points (Abramowitz and Stegun table 25.4).
const GAUSS: [(f64, f64); 5] = [
    (0.148_874_338_981_631_2, 0.295_524_224_714_752_9),
    (0.433_395_394_129_247_2, 0.269_266_719_309_996_4),
    (0.679_409_568_299_024_4, 0.219_086_362_515_982_04),
    (0.865_063_366_688_984_5, 0.149_451_349_150_580_6),
    (0.973_906_528_517_171_7, 0.066_671_344_308_688_14),
];

#[cfg(test)]
mod tests {

    use super::*;
    use crate::{Doubt, Length, Origin};

    fn doubt() -> Doubt<()> {
        Doubt::new(None, Origin::Stated, f64::INFINITY)
    }

    /// A quarter and the angle: P(X < 0 and Y < 0) = 1/4 + arcsin ρ / 2π (Sheppard 1899, closed form).
    #[test]
    fn two_halves_follow_sheppards_formula() {
        for correlation in [-1.0f64, -0.9, -0.3, 0.0, 0.5, 0.8, 0.99, 1.0] {
            let expected = 0.25 + correlation.arcsine() / (2.0 * PI);
            let found = both_below(0.0, 0.0, correlation);
            assert!((found - expected).abs() < 1e-4, "{correlation}: {found} {expected}");
        }
    }

    /// Independent, and the same: products and the smaller one.
    #[test]
    fn independent_and_equal_variables() {
        for (h, k) in [(-1.0, -2.0), (-0.5, 0.3), (-1.6, -1.7)] {
            assert!((both_below(h, k, 0.0) - normal_below(h) * normal_below(k)).abs() < 1e-12);
            let found = both_below(h, k, 0.999_999);
            assert!((found - normal_below(h).min(normal_below(k))).abs() < 2e-3, "{h} {k}: {found}");
        }
    }

    /// A screw in its hole whose play is nought, play normal with u = 0.03, offset with u = 0.02. In
    /// polar coordinates it fits within an angle of 2 arctan(0.03/0.02) out of 2π (worked by hand).
    #[test]
    fn a_play_of_nought_holds_as_often_as_polar_coordinates_say() {
        let mut doubts = Doubts::<()>::default();
        let play = doubts.enter(doubt(), Length::from_mm(0.03));
        let off = doubts.enter(doubt(), Length::from_mm(0.02));
        let found = holds([&(play.clone() - off.clone()), &(play + off)], &doubts);
        let expected = (0.03f64 / 0.02).arctangent() / PI;
        assert!((found - expected).abs() < 1e-3, "{found} {expected}");
    }

    /// Places that share their doubt hold together as one; places that do not fail one by one; and between: twelve margins of
    /// two standard uncertainties, of which half of the variance is common, all hold with 0.8516 (Gauss and Hermite's rule with
    /// 80 nodes).
    #[test]
    fn what_is_shared_is_not_counted_twice() {
        for (common, expected) in [(1.0f64, 0.9772), (0.5, 0.8516), (0.0, 0.7587)] {
            let mut doubts = Doubts::<()>::default();
            let mut one = |share: f64| doubts.enter(doubt(), Length::from_mm(0.1 * share.sqrt()));
            let shared = one(common);
            let all: Vec<Estimate> = (0..12)
                .map(|_| (shared.clone() + one(1.0 - common)).moved_to(Length::from_mm(0.2)))
                .collect();
            let found = holds(&all, &doubts);
            assert!((found - expected).abs() < 0.01, "{common}: {found} {expected}");
        }
    }

    /// Five alike that were told by four readings: the scatter of all of them is wrong together, which seven standard deviations
    /// of a normal variable are not. 0.2 mm are beyond Student's 97.5 % point of 0.196 (his table: 2.776 with four degrees of
    /// freedom) for each.
    #[test]
    fn what_one_pool_tells_is_wrong_together() {
        let mut doubts = Doubts::<()>::default();
        let four = || Doubt { pool: Some(0), ..Doubt::new(None, Origin::Stated, 4.0) };
        let one = 0.2 / 2.776;
        let all: Vec<Estimate> = (0..5)
            .map(|_| doubts.enter(four(), Length::from_mm(one)).moved_to(Length::from_mm(0.2)))
            .collect();
        let alone = probability(&all[0], &doubts);
        let found = holds(&all, &doubts);
        // More than were each wrong by itself, and less than one of them.
        assert!(found > alone.power(5) + 0.01 && found < alone, "{found} {alone}");
    }

    /// A place that is sure to fail fails the whole.
    #[test]
    fn an_exact_clash_is_a_clash() {
        let mut doubts = Doubts::<()>::default();
        let fine = doubts.enter(doubt(), Length::from_mm(0.1)).moved_to(Length::from_mm(0.2));
        let clash = Estimate::exact(Length::from_mm(-0.1));
        assert!(holds([&fine, &clash], &doubts) < 1e-12);
    }
}
