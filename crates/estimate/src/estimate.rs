//! Values with their standard uncertainty, as JCGM 100 (GUM) has it.
//!
//! An [`Estimate`] remembers *which* independent doubts it depends on and how strongly, not only
//! how large its uncertainty is. Two centre distances that share a string's gauge are therefore
//! correlated without anybody having to say so, and "which reading contributes most" is a look at
//! the list.

use bobbinwright_elementary::Elementary;
use std::ops::{Add, Mul, Neg, Sub};

use crate::Length;

/// Where a doubt comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Scatter of repeated readings (type A).
    Scatter(Repeats),
    /// The step of the tool's display (type B).
    Resolution,
    /// The tool's maximum permissible error (type B).
    ToolError,
    /// A tolerance that the maker states (type B).
    Stated,
    /// An assumption made where nothing was measured (type B).
    Assumed,
    /// What an opening is where it was not read, of that many spots read (type B).
    Elsewhere {
        /// How many.
        spots: usize,
    },
    /// Where a side lies beside one thing that was read from it, seen from another (type B).
    Straightness,
    /// The printed part's size (type B).
    Print,
    /// Readings that can't all be true: how far they are apart (type B).
    Contradiction,
}

/// How often something was read, and what of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Repeats {
    /// How many readings.
    pub count: usize,
    /// What is wanted to know is not their mean but every single piece, of which these are samples.
    pub of_each: bool,
}

impl Repeats {
    /// Scatter of what is wanted to know, in units of one reading's: 1/√n for a mean (JCGM 100
    /// 4.2.3), √(1 + 1/n) for one more piece like those read.
    ///
    /// ```
    /// # use bobbinwright_estimate::Repeats;
    /// let four = Repeats { count: 4, of_each: false };
    /// assert_eq!(four.factor(), 0.5);
    /// // The next piece scatters as one does, and about a mean that is known to 1/√4: sqrt(1 + 1/4).
    /// let next = Repeats { of_each: true, ..four };
    /// assert!((next.factor() - 1.25f64.sqrt()).abs() < 1e-15);
    /// ```
    pub fn factor(self) -> f64 {
        let n = self.count.max(1) as f64;
        if self.of_each { (1.0 + 1.0 / n).sqrt() } else { 1.0 / n.sqrt() }
    }
}

/// One independent cause of doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Doubt<Q> {
    /// The quantity whose reading it belongs to, or that will be printed; `None` for anything else.
    pub quantity: Option<Q>,
    /// What kind of cause.
    pub origin: Origin,
    /// Degrees of freedom; infinite when the figure itself is taken as sure.
    pub freedom: f64,
    /// Causes of one pool share one estimate of their scatter, and with it its degrees of freedom.
    pub pool: Option<usize>,
    /// Where the reading was taken, when a quantity is read in several spots.
    pub spot: Option<String>,
}

impl<Q> Doubt<Q> {
    /// A cause that shares its degrees of freedom with none.
    pub fn new(quantity: Option<Q>, origin: Origin, freedom: f64) -> Self {
        Self { quantity, origin, freedom, pool: None, spot: None }
    }
}

/// Names a [`Doubt`] in a [`Doubts`] table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DoubtId(u32);

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

    /// Looks a cause up.
    pub fn get(&self, id: DoubtId) -> Option<&Doubt<Q>> {
        self.all.get(id.0 as usize)
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
    /// What printing adds is not measured and does not count, though it is part of the variance.
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
            Origin::Print => None,
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
    /// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, Repeats};
    /// let mut doubts = Doubts::<&str>::default();
    /// // Read three times: scatter of the mean, two degrees of freedom; and the step of the display.
    /// let scatter = Origin::Scatter(Repeats { count: 3, of_each: false });
    /// let read = doubts.enter(Doubt::new(Some("width"), scatter, 2.0), Length::from_mm(0.08));
    /// let step = doubts.enter(Doubt::new(Some("width"), Origin::Resolution, f64::INFINITY), Length::from_mm(0.03));
    /// let repeated = doubts.if_repeated(&[("width", 9)]);
    /// // Twelve readings instead of three halve the scatter and leave the step: sqrt(0.04² + 0.03²).
    /// let then = repeated.of(&(read.clone() + step));
    /// assert!((then.uncertainty().as_mm() - 0.05).abs() < 1e-12);
    /// assert_eq!(repeated.doubts().freedom(&repeated.of(&read)), 11.0);
    /// ```
    pub fn if_repeated<'m>(&self, more: &'m [(Q, usize)]) -> IfRepeated<'m, Q> {
        let mut doubts = self.clone();
        // What is read more often tells more of the whole pool's scatter.
        let mut grown: Vec<(usize, usize)> = Vec::new();
        for doubt in &mut doubts.all {
            let of = |(q, _): &&(Q, usize)| doubt.quantity.as_ref() == Some(q);
            let (Origin::Scatter(_), Some((_, extra))) = (doubt.origin, more.iter().find(of)) else {
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

/// What more readings would leave in doubt: scatter shrinks, its degrees of freedom grow by one a
/// reading, and what the tool leaves in doubt stays.
#[derive(Clone, Debug)]
pub struct IfRepeated<'m, Q> {
    doubts: Doubts<Q>,
    more: &'m [(Q, usize)],
}

impl<Q: Clone + PartialEq> IfRepeated<'_, Q> {
    /// The causes, with their degrees of freedom.
    pub fn doubts(&self) -> &Doubts<Q> {
        &self.doubts
    }

    /// An estimate as it would be.
    pub fn of(&self, estimate: &Estimate) -> Estimate {
        let mut result = estimate.clone();
        for (quantity, extra) in self.more {
            let scatter = |id: DoubtId| match self.doubts.get(id) {
                Some(Doubt { quantity: Some(q), origin: Origin::Scatter(repeats), .. }) if q == quantity => {
                    Some(*repeats)
                }
                _ => None,
            };
            // Of a quantity read in several spots only those count that decide.
            let count = result.parts.iter().filter_map(|(id, _)| scatter(*id)).map(|r| r.count).sum();
            for (id, u) in &mut result.parts {
                let Some(now) = scatter(*id) else { continue };
                let with = |count| Repeats { count, ..now }.factor();
                *u *= with(count + extra) / with(count);
            }
        }
        result
    }
}

/// A length with everything that makes it uncertain.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin};
/// let mut doubts = Doubts::<()>::default();
/// let mut one = |u| doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(u));
/// let (a, b) = (one(0.3), one(0.4));
/// let u = |estimate: bobbinwright_estimate::Estimate| estimate.uncertainty().as_mm();
/// // Different causes add by squares: 3, 4, 5. The same one adds to itself, or goes out.
/// assert!((u(a.clone() + b.clone()) - 0.5).abs() < 1e-12 && (u(a.clone() - b) - 0.5).abs() < 1e-12);
/// assert!((u(a.clone() + a.clone()) - 0.6).abs() < 1e-12 && u(a.clone() - a) == 0.0);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Estimate {
    /// Best value, mm.
    value: f64,
    /// Standard uncertainty from each cause with its sign, mm; ascending by cause.
    parts: Vec<(DoubtId, f64)>,
}

impl Estimate {
    /// A value without any doubt: what is wanted, not measured.
    pub fn exact(value: Length) -> Self {
        Self { value: value.as_mm(), parts: Vec::new() }
    }

    /// The best value.
    pub fn value(&self) -> Length {
        Length::from_mm(self.value)
    }

    /// Combined standard uncertainty: root of the sum of squares over independent causes
    /// (GUM 5.1.2).
    pub fn uncertainty(&self) -> Length {
        // Folded from +0: the sum of nothing is -0.
        Length::from_mm(self.parts.iter().fold(0.0, |sum, (_, u)| sum + u * u).sqrt())
    }

    /// Covariance with another estimate, mm²: what they have in common.
    ///
    /// ```
    /// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin};
    /// let mut doubts = Doubts::<()>::default();
    /// let mut one = |u| doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(u));
    /// let (shared, own) = (one(0.1), one(0.2));
    /// let (x, y) = (shared.clone() + own, shared * -3.0);
    /// // 0.1 · (-0.3); with itself it is the variance, 0.1² + 0.2².
    /// assert!((x.covariance(&y) + 0.03).abs() < 1e-12 && (x.covariance(&x) - 0.05).abs() < 1e-12);
    /// ```
    pub fn covariance(&self, other: &Self) -> f64 {
        let (mut sum, mut rest) = (0.0, other.parts.as_slice());
        for (id, u) in &self.parts {
            let from = rest.partition_point(|(other, _)| other < id);
            rest = &rest[from..];
            if let Some((other, v)) = rest.first()
                && other == id
            {
                sum += u * v;
            }
        }
        sum
    }

    /// What each independent cause adds to the standard uncertainty, with its sign.
    pub fn contributions(&self) -> impl Iterator<Item = (DoubtId, Length)> + '_ {
        self.parts.iter().map(|(id, u)| (*id, Length::from_mm(*u)))
    }

    /// The same doubt about another value.
    #[must_use]
    pub fn moved_to(mut self, value: Length) -> Self {
        self.value = value.as_mm();
        self
    }

    /// A function of several estimates, linearised at their values (GUM 5.1.3). Sensitivities are
    /// central differences over `step`; the functions here are distances between lines and arcs,
    /// so a step well under the caliper's is exact enough and clear of rounding noise.
    ///
    /// ```
    /// # use bobbinwright_estimate::{Doubt, Doubts, Estimate, Length, Origin};
    /// let mut doubts = Doubts::<()>::default();
    /// let mut leg = |mm, u| {
    ///     let doubt = Doubt::new(None, Origin::Stated, f64::INFINITY);
    ///     doubts.enter(doubt, Length::from_mm(u)).moved_to(Length::from_mm(mm))
    /// };
    /// let (a, b) = (leg(30.0, 0.05), leg(40.0, 0.10));
    /// let hypotenuse = Estimate::of(&[&a, &b], |l| Length::from_mm(l[0].as_mm().hypot(l[1].as_mm())));
    /// // Its slopes are 30/50 and 40/50: u² = (0.6 · 0.05)² + (0.8 · 0.10)².
    /// let u = (0.03f64.powi(2) + 0.08f64.powi(2)).sqrt();
    /// assert!(hypotenuse.value() == Length::from_mm(50.0) && (hypotenuse.uncertainty().as_mm() - u).abs() < 1e-9);
    /// ```
    pub fn of(inputs: &[&Estimate], f: impl Fn(&[Length]) -> Length) -> Self {
        let step = Length::from_mm(1e-4);
        let values: Vec<Length> = inputs.iter().map(|e| e.value()).collect();
        let mut result = Self::exact(f(&values));
        for (i, input) in inputs.iter().enumerate() {
            if input.parts.is_empty() {
                continue;
            }
            let at = |x: Length| {
                let mut moved = values.clone();
                moved[i] = x;
                f(&moved)
            };
            let slope = (at(values[i] + step) - at(values[i] - step)).as_mm() / (2.0 * step.as_mm());
            let doubt = Self { value: 0.0, parts: input.parts.clone() };
            result = result + doubt * slope;
        }
        result
    }
}

impl Add for Estimate {
    type Output = Self;

    /// Sum; parts from the same cause add with their signs.
    fn add(self, other: Self) -> Self {
        let mut parts = Vec::with_capacity(self.parts.len() + other.parts.len());
        let (mut a, mut b) = (self.parts.into_iter().peekable(), other.parts.into_iter().peekable());
        loop {
            let next = match (a.peek(), b.peek()) {
                (Some(x), Some(y)) if x.0 == y.0 => {
                    let both = (x.0, x.1 + y.1);
                    a.next();
                    b.next();
                    Some(both)
                }
                (Some(x), Some(y)) if x.0 < y.0 => a.next(),
                (None, None) => None,
                (Some(_), None) => a.next(),
                _ => b.next(),
            };
            match next {
                Some(part) => parts.push(part),
                None => return Self { value: self.value + other.value, parts },
            }
        }
    }
}

impl Mul<f64> for Estimate {
    type Output = Self;
    fn mul(mut self, factor: f64) -> Self {
        self.value *= factor;
        for part in &mut self.parts {
            part.1 *= factor;
        }
        self
    }
}

impl Neg for Estimate {
    type Output = Self;
    fn neg(self) -> Self {
        self * -1.0
    }
}

impl Sub for Estimate {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl From<Length> for Estimate {
    fn from(value: Length) -> Self {
        Self::exact(value)
    }
}
