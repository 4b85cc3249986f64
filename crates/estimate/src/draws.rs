//! The chance of something that is no linear function of what it hangs on: by drawing.
//!
//! Estimates are drawn together, with all that they share (JCGM 101), always from the same points: a Latin hypercube
//! (`McKay`, Beckman and Conover 1979, from memory), in which each variable is as evenly spread as can be. 4096 of them
//! tell a chance of 95 % to 0.003, in the worst of a thousand directions to 0.012; and as the points stay, a larger play
//! never has a smaller chance.

use std::sync::OnceLock;

use bobbinwright_elementary::Elementary;
use nalgebra::DMatrix;

use crate::causes::Causes;
use crate::doubt::DoubtId;
use crate::doubts::Doubts;
use crate::estimate::Estimate;

const POINTS: usize = 4096;

/// So many points are reckoned at a time, variable by variable, as fits the cache.
const BLOCK: usize = 64;

/// So many sums at a time stay in a processor's registers.
const LANES: usize = 8;

/// So many variables a point has. Estimates that are drawn together need one each at most, and those that rest on few
/// readings a few more.
const MOST: usize = 256;

/// What more degrees of freedom are told by is known as well as if by any number.
const MANY: f64 = 100.0;

/// Nothing scatters so many times more than it is believed to: Student's t has tails that no bench has seen, and they would
/// decide what is called sure.
const WIDEST: f64 = 3.0;

/// How often something holds for estimates drawn together, from 0 to 1, among those draws for which an answer is given; nought
/// where there is none: nothing is promised of what never comes about.
///
/// `holds` is given the drawn values, mm, in the order of the inputs. Causes whose scatter was told by few readings are drawn with
/// a scatter that may be so; those of one pool with the same.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, chance_where};
/// let mut doubts = Doubts::<()>::default();
/// let doubt = |freedom| Doubt::new(None, Origin::Stated, freedom);
/// let mut one = |freedom, u| doubts.enter(doubt(freedom), Length::from_mm(u));
/// let (x, y, seldom) = (one(f64::INFINITY, 0.1), one(f64::INFINITY, 0.1), one(4.0, 0.1));
/// // Within a circle of two sigma: 1 - exp(-2²/2), which Rayleigh's distribution says.
/// let found = chance_where(&[&x, &y], &doubts, |v| Some(v[0].hypot(v[1]) < 0.2));
/// assert!((found - (1.0 - (-2f64).exp())).abs() < 0.012);
/// // What is drawn together hangs together.
/// assert_eq!(chance_where(&[&x, &(x.clone() * 2.0)], &doubts, |v| Some(v[0] * v[1] >= 0.0)), 1.0);
/// // Of those above nought 0.3413 / 0.5 are below one sigma (normal table).
/// let found = chance_where(&[&x], &doubts, |v| (v[0] > 0.0).then_some(v[0] < 0.1));
/// assert!((found - 0.6827).abs() < 0.003);
/// // With four degrees of freedom 95 % are below 2.132 (Student's table).
/// let found = chance_where(&[&seldom], &doubts, |v| Some(v[0] < 0.2132));
/// assert!((found - 0.95).abs() < 0.005);
/// ```
///
/// # Panics
///
/// When more than 256 variables are needed: what the next estimate has of its own would be lost.
pub fn chance_where<Q: Clone + PartialEq>(
    inputs: &[&Estimate],
    doubts: &Doubts<Q>,
    holds: impl Fn(&[f64]) -> Option<bool>,
) -> f64 {
    let drawn = Drawn::of(inputs, doubts);
    assert!(drawn.variables <= MOST, "{} variables are more than there are", drawn.variables);
    let mut scores = vec![[0.0; BLOCK]; drawn.variables];
    let mut columns = vec![[0.0; BLOCK]; inputs.len()];
    let mut values = vec![0.0; inputs.len()];
    let (mut asked, mut held) = (0u32, 0u32);
    for from in (0..POINTS).step_by(BLOCK) {
        drawn.scores(from, &mut scores);
        drawn.values(inputs, &scores, &mut columns);
        for point in 0..BLOCK {
            for (value, column) in values.iter_mut().zip(&columns) {
                *value = column[point];
            }
            if let Some(holds) = holds(&values) {
                asked += 1;
                held += u32::from(holds);
            }
        }
    }
    if asked == 0 { 0.0 } else { f64::from(held) / f64::from(asked) }
}

/// So many draws of estimates together, each with the values, mm, in the order of the inputs; never more than 4096.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, drawn};
/// let mut doubts = Doubts::<()>::default();
/// let x = doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(0.1));
/// let all = drawn(&[&x, &(x.clone() * 2.0)], &doubts, 1000);
/// let square: f64 = all.iter().map(|v| v[0] * v[0]).sum::<f64>() / 1000.0;
/// assert!((square.sqrt() - 0.1).abs() < 0.01 && all.iter().all(|v| (v[1] - 2.0 * v[0]).abs() < 1e-12));
/// ```
///
/// # Panics
///
/// As [`chance_where`].
pub fn drawn<Q: Clone + PartialEq>(inputs: &[&Estimate], doubts: &Doubts<Q>, count: usize) -> Vec<Vec<f64>> {
    let drawn = Drawn::of(inputs, doubts);
    assert!(drawn.variables <= MOST, "{} variables are more than there are", drawn.variables);
    let mut scores = vec![[0.0; BLOCK]; drawn.variables];
    let mut columns = vec![[0.0; BLOCK]; inputs.len()];
    let mut all = Vec::with_capacity(count);
    for from in (0..POINTS).step_by(BLOCK).take(count.div_ceil(BLOCK)) {
        drawn.scores(from, &mut scores);
        drawn.values(inputs, &scores, &mut columns);
        all.extend((0..BLOCK).map(|point| columns.iter().map(|column| column[point]).collect()));
    }
    all.truncate(count);
    all
}

/// How many variables estimates that are drawn together may need; none where that is more than there are.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, variables};
/// let mut doubts = Doubts::<()>::default();
/// let mut one = || doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(0.1));
/// let (x, y) = (one(), one());
/// // However many sums there are of two causes, two variables make them.
/// let sums: Vec<_> = (0..300).map(|n| x.clone() * f64::from(n) + y.clone()).collect();
/// assert_eq!(variables(&sums.iter().collect::<Vec<_>>(), &doubts), Some(2));
/// ```
pub fn variables<Q: Clone + PartialEq>(inputs: &[&Estimate], doubts: &Doubts<Q>) -> Option<usize> {
    let causes = Causes::of(inputs);
    let of_group = |group: &Alike| {
        let own = causes.ids().iter().filter(|id| Alike::of(**id, doubts) == *group).count();
        own.min(inputs.len()) + usize::from(*group != Alike::Known)
    };
    let needed = Alike::all(&causes, doubts).iter().map(of_group).sum();
    (needed <= MOST).then_some(needed)
}

/// How estimates are drawn from independent variables.
struct Drawn {
    variables: usize,
    /// Of each estimate: variables, and their shares.
    shares: Vec<Vec<(usize, f64)>>,
    /// Variables that are drawn wider or narrower together: from and to, the degrees of freedom of that, and the variable that
    /// says how much.
    pools: Vec<(std::ops::Range<usize>, f64, usize)>,
}

/// Causes of doubt that are drawn alike: those of one pool, one by itself, or all whose scatter is known.
#[derive(Clone, Copy, PartialEq)]
enum Alike {
    Known,
    Pool(usize, f64),
    Alone(DoubtId, f64),
}

impl Alike {
    fn of<Q: Clone + PartialEq>(id: DoubtId, doubts: &Doubts<Q>) -> Self {
        match doubts.get(id) {
            Some(doubt) if doubt.freedom < MANY => match doubt.pool {
                Some(pool) => Alike::Pool(pool, doubt.freedom),
                None => Alike::Alone(id, doubt.freedom),
            },
            _ => Alike::Known,
        }
    }

    fn all<Q: Clone + PartialEq>(causes: &Causes, doubts: &Doubts<Q>) -> Vec<Self> {
        let mut groups = vec![Alike::Known];
        for id in causes.ids() {
            let of = Self::of(*id, doubts);
            if !groups.contains(&of) {
                groups.push(of);
            }
        }
        groups
    }
}

impl Drawn {
    fn of<Q: Clone + PartialEq>(inputs: &[&Estimate], doubts: &Doubts<Q>) -> Self {
        let causes = Causes::of(inputs);
        let mut drawn = Self { variables: 0, shares: vec![Vec::new(); inputs.len()], pools: Vec::new() };
        for group in Alike::all(&causes, doubts) {
            let from = drawn.variables;
            drawn.add(&causes.only(|id| Alike::of(id, doubts) == group).covariances());
            if let Alike::Pool(_, freedom) | Alike::Alone(_, freedom) = group {
                drawn.pools.push((from..drawn.variables, freedom.max(1.0), drawn.variables));
                drawn.variables += 1;
            }
        }
        drawn
    }

    /// Adds the lower triangle whose square is a covariance; what depends on others wholly has no variable of its own.
    fn add(&mut self, covariance: &DMatrix<f64>) {
        // Of each estimate: the shares in the variables so far, and which of them is its own.
        let mut rows: Vec<(Vec<f64>, Option<f64>)> = Vec::with_capacity(covariance.nrows());
        let from = self.variables;
        for i in 0..covariance.nrows() {
            let mut row: Vec<f64> = Vec::new();
            for (k, (other, own)) in rows.iter().enumerate() {
                let Some(own) = own else { continue };
                let known: f64 = row.iter().zip(other).map(|(a, b)| a * b).sum();
                row.push((covariance[(i, k)] - known) / own);
            }
            let known: f64 = row.iter().map(|a| a * a).sum();
            let own = (covariance[(i, i)] - known).max(0.0).sqrt();
            let own = (own > 1e-9).then_some(own);
            row.extend(own);
            self.shares[i]
                .extend(row.iter().enumerate().filter(|(_, s)| **s != 0.0).map(|(v, s)| (from + v, *s)));
            self.variables += usize::from(own.is_some());
            rows.push((row, own));
        }
    }

    /// The variables' values at the points of a block.
    fn scores(&self, from: usize, scores: &mut [[f64; BLOCK]]) {
        for (variable, column) in scores.iter_mut().enumerate() {
            column.copy_from_slice(&points(variable)[from..from + BLOCK]);
        }
        for (of, freedom, by) in &self.pools {
            let wider = scores[*by].map(|normal| (1.0 / scatter(*freedom, normal)).min(WIDEST));
            for column in &mut scores[of.clone()] {
                for (score, wider) in column.iter_mut().zip(&wider) {
                    *score *= wider;
                }
            }
        }
    }

    /// The estimates' values there, mm.
    fn values(&self, inputs: &[&Estimate], scores: &[[f64; BLOCK]], values: &mut [[f64; BLOCK]]) {
        for ((column, input), shares) in values.iter_mut().zip(inputs).zip(&self.shares) {
            for (part, values) in column.chunks_exact_mut(LANES).enumerate() {
                let mut sums = [0.0; LANES];
                for (variable, share) in shares {
                    let scores = &scores[*variable][part * LANES..][..LANES];
                    for (sum, score) in sums.iter_mut().zip(scores) {
                        *sum += share * score;
                    }
                }
                for (value, sum) in values.iter_mut().zip(sums) {
                    *value = sum + input.value;
                }
            }
        }
    }
}

/// A standard deviation as so many degrees of freedom tell it, over the true one: the root of χ²/ν, by Wilson and Hilferty's
/// approximation (1931, from memory) from a normal score.
pub(crate) fn scatter(freedom: f64, normal: f64) -> f64 {
    let share = 2.0 / (9.0 * freedom);
    (1.0 - share + normal * share.sqrt()).max(0.05).power(3).sqrt()
}

/// Standard normal scores of a variable, one for each point. Each is shuffled when it is first asked for: few programmes need many.
fn points(variable: usize) -> &'static [f64] {
    static EVEN: OnceLock<Vec<f64>> = OnceLock::new();
    static ALL: [OnceLock<Vec<f64>>; MOST] = [const { OnceLock::new() }; MOST];
    if let Some(known) = ALL[variable].get() {
        return known;
    }
    let even = EVEN.get_or_init(|| {
        let lower = (0..POINTS / 2).map(|n| score((n as f64 + 0.5) / POINTS as f64));
        let lower: Vec<f64> = lower.collect();
        lower.iter().copied().chain(lower.iter().rev().map(|score| -score)).collect()
    });
    let mut all = even.clone();
    // A shuffle takes one number less than there are points: here the variable's own begin.
    let mut state = 1u64.wrapping_add(((variable * (POINTS - 1)) as u64).wrapping_mul(GOLDEN));
    for i in (1..POINTS).rev() {
        all.swap(i, (next(&mut state) % (i as u64 + 1)) as usize);
    }
    // Threads that need it at the same time have made it twice, which is sooner done than waited for.
    ALL[variable].get_or_init(|| all)
}

/// What `SplitMix64` counts by: 2^64 over the golden ratio.
const GOLDEN: u64 = 0x9e37_79b9_7f4a_7c15;

/// `SplitMix64` (Steele, Lea and Flood 2014, from memory).
pub(crate) fn next(state: &mut u64) -> u64 {
    *state = state.wrapping_add(GOLDEN);
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
        let chance =
            |of: &[&Estimate], holds: &dyn Fn(&[f64]) -> bool| chance_where(of, &doubts, |v| Some(holds(v)));
        assert!((chance(&all, &|v| v[0] < 0.0 && v[1] < 0.0) - 1.0 / 3.0).abs() < 0.015);
        assert!((chance(&all, &|v| (v[0] + v[1] - v[2]).abs() < 1e-12) - 1.0).abs() < 1e-12);
        // The normal table's 97.5 % point.
        assert!((chance(&all[..1], &|v| v[0] < 1.96 * 0.02f64.sqrt()) - 0.975).abs() < 0.002);
    }

    /// Whichever two of the first variables make up a margin, its 95 % point is that of the normal table: 1.645.
    #[test]
    fn no_two_variables_hang_together() {
        let mut doubts = Doubts::<()>::default();
        let doubt = || Doubt::new(None, Origin::Stated, f64::INFINITY);
        let all: Vec<Estimate> = (0..64).map(|_| doubts.enter(doubt(), Length::from_mm(1.0))).collect();
        let all: Vec<&Estimate> = all.iter().collect();
        for a in 0..all.len() {
            for b in 0..a {
                for sign in [1.0, -1.0] {
                    let found =
                        chance_where(&all, &doubts, |v| Some((v[a] + sign * v[b]) / 2f64.sqrt() < 1.645));
                    assert!((found - 0.95).abs() < 0.012, "{a} {b} {sign}: {found}");
                }
            }
        }
    }
}
