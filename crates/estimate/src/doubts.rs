//! All causes of doubt, and what more readings would leave of them.

use crate::Length;
use crate::doubt::{Doubt, DoubtId, Origin};
use crate::estimate::Estimate;
use bobbinwright_elementary::Elementary;

/// All independent causes of doubt of one family.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin};
/// let mut doubts = Doubts::<&str>::default();
/// let scatter = doubts.enter(Doubt::new(Some("width"), Origin::Resolution, f64::INFINITY), Length::from_mm(0.01));
/// // What comes back is nought, with that in doubt, and knows its cause.
/// assert_eq!((scatter.value(), scatter.uncertainty()), (Length::ZERO, Length::from_mm(0.01)));
/// let (cause, _) = scatter.contributions().next().unwrap();
/// assert_eq!(doubts.get(cause).unwrap().quantity, Some("width"));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Doubts<Q> {
    all: Vec<Doubt<Q>>,
}

impl<Q> Default for Doubts<Q> {
    fn default() -> Self {
        Self { all: Vec::new() }
    }
}

impl<Q: Clone + PartialEq> Doubts<Q> {
    /// Enters a cause and gives an estimate of zero that carries it with standard uncertainty `u`.
    pub fn enter(&mut self, doubt: Doubt<Q>, u: Length) -> Estimate {
        self.all.push(doubt);
        let id = DoubtId(self.all.len() as u32 - 1);
        Estimate { value: 0.0, parts: vec![(id, u.as_mm())] }
    }

    /// Was something read, so that its readings scatter?
    ///
    /// ```
    /// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin};
    /// let mut doubts = Doubts::default();
    /// let mut enter = |of, origin| {
    ///     doubts.enter(Doubt::new(Some(of), origin, f64::INFINITY), Length::from_mm(0.02));
    /// };
    /// enter("depth", Origin::Scatter { readings: 2 });
    /// enter("width", Origin::Assumed);
    /// assert!(doubts.is_read(&"depth") && !doubts.is_read(&"width"));
    /// ```
    pub fn is_read(&self, of: &Q) -> bool {
        let scatters = |doubt: &Doubt<Q>| matches!(doubt.origin, Origin::Scatter { .. });
        self.all.iter().any(|doubt| scatters(doubt) && doubt.quantity.as_ref() == Some(of))
    }

    /// In which spots a quantity was read; none is of no spot.
    pub fn spots_read(&self, of: &Q) -> impl Iterator<Item = Option<&str>> {
        let is_of = move |doubt: &&Doubt<Q>| {
            doubt.origin == Origin::Resolution && doubt.quantity.as_ref() == Some(of)
        };
        self.all.iter().filter(is_of).map(|doubt| doubt.spot.as_deref())
    }

    /// Looks a cause up.
    pub fn get(&self, id: DoubtId) -> Option<&Doubt<Q>> {
        self.all.get(id.0 as usize)
    }

    /// How many causes there are.
    pub fn count(&self) -> usize {
        self.all.len()
    }

    /// Takes in the causes that a copy of this table got since it had so many, and says how estimates over that copy are told
    /// here.
    ///
    /// ```
    /// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin};
    /// let mut doubts = Doubts::<&str>::default();
    /// let enter = |doubts: &mut Doubts<&'static str>, what| {
    ///     doubts.enter(Doubt::new(Some(what), Origin::Stated, f64::INFINITY), Length::from_mm(0.1))
    /// };
    /// let shared = enter(&mut doubts, "shared");
    /// let (mut copy, since) = (doubts.clone(), doubts.count());
    /// let (here, there) = (enter(&mut doubts, "here"), enter(&mut copy, "there"));
    /// let told = doubts.absorb(copy, since).of(shared + there);
    /// // What both had is the same; what is new is another cause than any here.
    /// let names: Vec<_> = told.contributions().filter_map(|(id, _)| doubts.get(id)?.quantity).collect();
    /// assert!(names == ["shared", "there"] && told.covariance(&here) == 0.0);
    /// ```
    pub fn absorb(&mut self, copy: Self, since: usize) -> Moved {
        let moved = Moved { from: since as u32, by: self.all.len().saturating_sub(since) as u32 };
        self.all.extend(copy.all.into_iter().skip(since));
        moved
    }

    /// A number for a pool of causes that is not taken.
    pub fn next_pool(&self) -> usize {
        self.all.iter().filter_map(|d| d.pool).max().map_or(0, |last| last + 1)
    }

    /// Effective degrees of freedom by Welch-Satterthwaite (GUM G.4.1):
    /// ν = u⁴ / Σ (uᵢ⁴ / νᵢ), where causes whose scatter was pooled count as one, since they are wrong
    /// about it together. Infinite for an exact value.
    ///
    /// ```
    /// # use bobbinwright_estimate::{Doubt, Doubts, Estimate, Length, Origin};
    /// let mut doubts = Doubts::<()>::default();
    /// let four = |pool| Doubt { pool, ..Doubt::new(None, Origin::Stated, 4.0) };
    /// let mut enter = |pool| doubts.enter(four(pool), Length::from_mm(0.1));
    /// let apart = enter(None) + enter(None);
    /// let pooled = enter(Some(0)) + enter(Some(0));
    /// // Two causes of the same size: (2 u²)² / (2 u⁴ / 4) = 8. Of one pool they are one cause: 4.
    /// assert!((doubts.freedom(&apart) - 8.0).abs() < 1e-9 && (doubts.freedom(&pooled) - 4.0).abs() < 1e-9);
    /// assert_eq!(doubts.freedom(&Estimate::exact(Length::from_mm(3.0))), f64::INFINITY);
    /// ```
    pub fn freedom(&self, estimate: &Estimate) -> f64 {
        let u2: f64 = estimate.parts.iter().map(|(_, u)| u * u).sum();
        let mut pools: Vec<(usize, f64, f64)> = Vec::new();
        let mut sum = 0.0;
        for (id, u) in &estimate.parts {
            let Some(doubt) = self.get(*id).filter(|d| d.freedom.is_finite()) else { continue };
            let Some(pool) = doubt.pool else {
                sum += u.power(4) / doubt.freedom;
                continue;
            };
            match pools.iter_mut().find(|(known, ..)| *known == pool) {
                Some((_, of_pool, _)) => *of_pool += u * u,
                None => pools.push((pool, u * u, doubt.freedom)),
            }
        }
        sum += pools.into_iter().map(|(_, of_pool, freedom)| of_pool * of_pool / freedom).sum::<f64>();
        if sum > 0.0 { u2 * u2 / sum } else { f64::INFINITY }
    }

    /// The quantity whose readings contribute most to an estimate's uncertainty, with its share of
    /// the variance from 0 to 1; `None` when nothing measured contributes.
    ///
    /// What printing and cutting add is not measured and does not count, though it is part of the variance.
    ///
    /// ```
    /// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin};
    /// let mut doubts = Doubts::<&str>::default();
    /// let mut of = |what, origin, u| doubts.enter(Doubt::new(Some(what), origin, f64::INFINITY), Length::from_mm(u));
    /// let width = of("width", Origin::Resolution, 0.02);
    /// let depth = of("depth", Origin::Resolution, 0.01);
    /// let cover = of("cover", Origin::Print, 0.02);
    /// // 4 parts of 4 + 1 + 4.
    /// let (what, share) = doubts.main_doubt(&(width + depth + cover)).unwrap();
    /// assert!(what == "width" && (share - 4.0 / 9.0).abs() < 1e-12);
    /// ```
    pub fn main_doubt(&self, estimate: &Estimate) -> Option<(Q, f64)> {
        let read = |doubt: &Doubt<Q>| match doubt.origin {
            Origin::Print | Origin::Cut => None,
            _ => doubt.quantity.clone(),
        };
        let shares = self.shares(estimate, read);
        shares.into_iter().find_map(|(quantity, share)| Some((quantity?, share)))
    }
}

impl<Q: Clone + PartialEq> Doubts<Q> {
    /// The doubts as they would be if some quantities were read so many times more and the new readings
    /// came out like the old ones.
    ///
    /// ```
    /// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin};
    /// let mut doubts = Doubts::<&str>::default();
    /// // Read three times: scatter of the mean, two degrees of freedom; and the step of the display.
    /// let scatter = Origin::Scatter { readings: 3 };
    /// let read = doubts.enter(Doubt::new(Some("width"), scatter, 2.0), Length::from_mm(0.08));
    /// let step = doubts.enter(Doubt::new(Some("width"), Origin::Resolution, f64::INFINITY), Length::from_mm(0.03));
    /// let repeated = doubts.if_repeated(&[("width", None, 9)]);
    /// // Twelve readings instead of three halve the scatter and leave the step: sqrt(0.04² + 0.03²).
    /// let then = repeated.of(&(read.clone() + step));
    /// assert!((then.uncertainty().as_mm() - 0.05).abs() < 1e-12);
    /// assert_eq!(repeated.doubts().freedom(&repeated.of(&read)), 11.0);
    /// ```
    pub fn if_repeated<'m>(&self, more: &'m [More<Q>]) -> IfRepeated<'m, Q> {
        let mut doubts = self.clone();
        // What is read more often tells more of the whole pool's scatter.
        let mut grown: Vec<(usize, usize)> = Vec::new();
        for doubt in &mut doubts.all {
            let of = |(q, spot, _): &&More<Q>| doubt.quantity.as_ref() == Some(q) && doubt.spot == *spot;
            let (Origin::Scatter { .. }, Some((.., extra))) = (doubt.origin, more.iter().find(of)) else {
                continue;
            };
            match doubt.pool {
                Some(pool) => grown.push((pool, *extra)),
                None => doubt.freedom += *extra as f64,
            }
        }
        for doubt in &mut doubts.all {
            let extra = grown.iter().filter(|(pool, _)| doubt.pool == Some(*pool)).map(|(_, extra)| extra);
            doubt.freedom += extra.sum::<usize>() as f64;
        }
        IfRepeated { doubts, more }
    }

    /// Shares of an estimate's variance, from 0 to 1, of what `of` tells apart; the largest first.
    ///
    /// Empty where there is no doubt.
    ///
    /// ```
    /// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin};
    /// let mut doubts = Doubts::<()>::default();
    /// let mut of = |origin, u| doubts.enter(Doubt::new(None, origin, f64::INFINITY), Length::from_mm(u));
    /// // Variances in the proportion of 1 to 4 + 4.
    /// let sum = of(Origin::Resolution, 0.01) + of(Origin::Print, 0.02) + of(Origin::Print, 0.02);
    /// let shares = doubts.shares(&sum, |doubt| doubt.origin);
    /// assert!(shares[0].0 == Origin::Print && (shares[0].1 - 8.0 / 9.0).abs() < 1e-12);
    /// ```
    pub fn shares<K: PartialEq>(&self, estimate: &Estimate, of: impl Fn(&Doubt<Q>) -> K) -> Vec<(K, f64)> {
        let total: f64 = estimate.parts.iter().map(|(_, u)| u * u).sum();
        let mut shares: Vec<(K, f64)> = Vec::new();
        if total <= 0.0 {
            return shares;
        }
        for (id, u) in &estimate.parts {
            let Some(key) = self.get(*id).map(&of) else { continue };
            match shares.iter_mut().find(|(k, _)| *k == key) {
                Some((_, share)) => *share += u * u / total,
                None => shares.push((key, u * u / total)),
            }
        }
        shares.sort_by(|a, b| b.1.total_cmp(&a.1));
        shares
    }
}

/// How causes of one table are told in another that took them in.
#[derive(Clone, Copy, Debug)]
pub struct Moved {
    from: u32,
    by: u32,
}

impl Moved {
    /// A cause.
    pub fn id(self, DoubtId(id): DoubtId) -> DoubtId {
        DoubtId(if id < self.from { id } else { id + self.by })
    }

    /// An estimate.
    pub fn of(self, mut estimate: Estimate) -> Estimate {
        for (id, _) in &mut estimate.parts {
            *id = self.id(*id);
        }
        estimate
    }
}

/// A quantity, in which of its spots, and how many readings more of it.
pub type More<Q> = (Q, Option<String>, usize);

/// What more readings would leave in doubt: scatter shrinks, its degrees of freedom grow by one a
/// reading, and what the tool leaves in doubt stays.
#[derive(Clone, Debug)]
pub struct IfRepeated<'m, Q> {
    doubts: Doubts<Q>,
    more: &'m [More<Q>],
}

impl<Q: Clone + PartialEq> IfRepeated<'_, Q> {
    /// The causes, with their degrees of freedom.
    pub fn doubts(&self) -> &Doubts<Q> {
        &self.doubts
    }

    /// An estimate as it would be.
    pub fn of(&self, estimate: &Estimate) -> Estimate {
        let mut result = estimate.clone();
        for (quantity, spot, extra) in self.more {
            let scatter =
                |id: DoubtId| match self.doubts.get(id) {
                    Some(Doubt {
                        quantity: Some(q), origin: Origin::Scatter { readings }, spot: at, ..
                    }) if q == quantity && at == spot => Some(*readings),
                    _ => None,
                };
            // The mean of n readings scatters by 1/√n (JCGM 100 4.2.3).
            let count: usize = result.parts.iter().filter_map(|(id, _)| scatter(*id)).sum();
            for (id, u) in &mut result.parts {
                if scatter(*id).is_some() {
                    *u *= (count as f64 / (count + extra) as f64).sqrt();
                }
            }
        }
        result
    }
}
