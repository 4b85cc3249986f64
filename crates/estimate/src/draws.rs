//! The chance of something that is no linear function of what it hangs on: by drawing.
//!
//! Estimates are drawn together, with all that they share (JCGM 101), always from the same points: a Latin hypercube
//! (`McKay`, Beckman and Conover 1979, from memory), in which each variable is as evenly spread as can be. 4096 of them
//! tell a chance of 95 % to 0.003, in the worst of a thousand directions to 0.012; and as the points stay, a larger play
//! never has a smaller chance.

use std::sync::OnceLock;

use bobbinwright_elementary::Elementary;

use crate::Estimate;

const POINTS: usize = 4096;

/// So many estimates can be drawn together.
const MOST: usize = 64;

/// How often something holds for estimates drawn together, at most sixty-four of them: from 0 to 1.
///
/// `holds` is given the drawn values, mm, in the order of the
/// inputs.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, chance};
/// let mut doubts = Doubts::<()>::default();
/// let mut one = |u| doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(u));
/// let (x, y) = (one(0.1), one(0.1));
/// // Within a circle of two sigma: 1 - exp(-2²/2), which Rayleigh's distribution says.
/// let found = chance(&[&x, &y], |v| v[0].hypot(v[1]) < 0.2);
/// assert!((found - (1.0 - (-2f64).exp())).abs() < 0.012);
/// // One sigma up is 84.13 % of the normal table, and what is drawn together hangs together.
/// assert!((chance(&[&x], |v| v[0] < 0.1) - 0.8413).abs() < 0.003);
/// assert_eq!(chance(&[&x, &(x.clone() * 2.0)], |v| v[0] * v[1] >= 0.0), 1.0);
/// ```
///
/// # Panics
///
/// When there are more than sixty-four: what the next has of its own would be lost.
pub fn chance(inputs: &[&Estimate], holds: impl Fn(&[f64]) -> bool) -> f64 {
    chance_where(inputs, |values| Some(holds(values)))
}

/// The same among those draws for which an answer is given; nought where there is none: nothing is promised of what never comes about.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, chance_where};
/// let mut doubts = Doubts::<()>::default();
/// let x = doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(1.0));
/// // Of those above nought 0.3413 / 0.5 are below one sigma.
/// let found = chance_where(&[&x], |v| (v[0] > 0.0).then_some(v[0] < 1.0));
/// assert!((found - 0.6827).abs() < 0.003);
/// ```
///
/// # Panics
///
/// When there are more than sixty-four: what the next has of its own would be lost.
pub fn chance_where(inputs: &[&Estimate], holds: impl Fn(&[f64]) -> Option<bool>) -> f64 {
    assert!(inputs.len() <= MOST, "{} estimates are more than there are variables", inputs.len());
    // What depends wholly on others has no share of its own, and what hangs on nothing else few of theirs.
    let factor: Vec<Vec<(usize, f64)>> = cholesky(inputs)
        .into_iter()
        .map(|row| row.into_iter().enumerate().filter(|(_, share)| *share != 0.0).collect())
        .collect();
    let mut values = vec![0.0; inputs.len()];
    let (mut asked, mut held) = (0u32, 0u32);
    for point in points().chunks(MOST) {
        for (i, input) in inputs.iter().enumerate() {
            let off: f64 = factor[i].iter().map(|(variable, share)| share * point[*variable]).sum();
            values[i] = input.value().as_mm() + off;
        }
        if let Some(holds) = holds(&values) {
            asked += 1;
            held += u32::from(holds);
        }
    }
    if asked == 0 { 0.0 } else { f64::from(held) / f64::from(asked) }
}

/// The lower triangle whose square is the covariance; what depends on others wholly has no share of its own.
fn cholesky(inputs: &[&Estimate]) -> Vec<Vec<f64>> {
    let mut rows: Vec<Vec<f64>> = Vec::with_capacity(inputs.len());
    for (i, input) in inputs.iter().enumerate() {
        let mut row = Vec::with_capacity(i + 1);
        for (k, other) in inputs[..i].iter().enumerate() {
            let known: f64 = row.iter().zip(&rows[k]).map(|(a, b): (&f64, &f64)| a * b).sum();
            let own = rows[k][k];
            row.push(if own > 1e-9 { (input.covariance(other) - known) / own } else { 0.0 });
        }
        let known: f64 = row.iter().map(|a| a * a).sum();
        row.push((input.covariance(input) - known).max(0.0).sqrt());
        rows.push(row);
    }
    rows
}

/// Standard normal scores, [`MOST`] for each point.
fn points() -> &'static [f64] {
    static ALL: OnceLock<Vec<f64>> = OnceLock::new();
    ALL.get_or_init(|| {
        let even: Vec<f64> = (0..POINTS).map(|n| score((n as f64 + 0.5) / POINTS as f64)).collect();
        let mut all = vec![0.0; POINTS * MOST];
        let mut state = 1;
        for variable in 0..MOST {
            let mut order: Vec<usize> = (0..POINTS).collect();
            for i in (1..POINTS).rev() {
                order.swap(i, (next(&mut state) % (i as u64 + 1)) as usize);
            }
            for (point, place) in order.into_iter().enumerate() {
                all[point * MOST + variable] = even[place];
            }
        }
        all
    })
}

/// `SplitMix64` (Steele, Lea and Flood 2014, from memory).
pub(crate) fn next(state: &mut u64) -> u64 {
    *state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    let mut z = *state;
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// The standard normal variable below which one is with this probability, to 4.5e-4 (Abramowitz and Stegun 26.2.23).
pub(crate) fn score(probability: f64) -> f64 {
    let beyond = probability.min(1.0 - probability).max(1e-12);
    let t = (-2.0 * beyond.logarithm()).sqrt();
    let above = 2.515_517 + t * (0.802_853 + t * 0.010_328);
    let below = 1.0 + t * (1.432_788 + t * (0.189_269 + t * 0.001_308));
    let size = t - above / below;
    if probability < 0.5 { -size } else { size }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Doubt, Doubts, Length, Origin};

    /// Two that share half of their variance are both below nought with 1/4 + arcsin ρ / 2π, ρ = 1/2: one third (Sheppard,
    /// closed form); and a sum of two is drawn as the sum of the two.
    #[test]
    fn what_is_shared_is_drawn_together() {
        let mut doubts = Doubts::<()>::default();
        let mut one = || doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(0.1));
        let (shared, a, b) = (one(), one(), one());
        let (x, y) = (shared.clone() + a, shared + b);
        let both = x.clone() + y.clone();
        let all = [&x, &y, &both];
        assert!((chance(&all, |v| v[0] < 0.0 && v[1] < 0.0) - 1.0 / 3.0).abs() < 0.015);
        assert!((chance(&all, |v| (v[0] + v[1] - v[2]).abs() < 1e-12) - 1.0).abs() < 1e-12);
        // The normal table's 97.5 % point.
        assert!((chance(&all[..1], |v| v[0] < 1.96 * 0.02f64.sqrt()) - 0.975).abs() < 0.002);
    }

    /// Whichever two variables make up a margin, its 95 % point is that of the normal table: 1.645.
    #[test]
    fn no_two_variables_hang_together() {
        let mut doubts = Doubts::<()>::default();
        let doubt = || Doubt::new(None, Origin::Stated, f64::INFINITY);
        let all: Vec<Estimate> = (0..MOST).map(|_| doubts.enter(doubt(), Length::from_mm(1.0))).collect();
        let all: Vec<&Estimate> = all.iter().collect();
        for a in 0..MOST {
            for b in 0..a {
                for sign in [1.0, -1.0] {
                    let found = chance(&all, |v| (v[a] + sign * v[b]) / 2f64.sqrt() < 1.645);
                    assert!((found - 0.95).abs() < 0.012, "{a} {b} {sign}: {found}");
                }
            }
        }
    }
}
