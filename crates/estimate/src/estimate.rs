//! Values with their standard uncertainty, as JCGM 100 (GUM) has it.
//!
//! An [`Estimate`] remembers *which* independent doubts it depends on and how strongly, not only
//! how large its uncertainty is. Two centre distances that share a string's gauge are therefore
//! correlated without anybody having to say so, and "which reading contributes most" is a look at
//! the list.

use std::ops::{Add, Mul, Neg, Sub};

use crate::Length;
use crate::doubt::DoubtId;

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
    pub(crate) value: f64,
    /// Standard uncertainty from each cause with its sign, mm; ascending by cause.
    pub(crate) parts: Vec<(DoubtId, f64)>,
}

impl Estimate {
    /// A value without any doubt: what is wanted, not measured.
    pub fn exact(value: Length) -> Self {
        Self { value: value.as_mm(), parts: Vec::new() }
    }

    /// What one cause of doubt adds to it, about nought.
    #[must_use]
    pub fn only(mut self, cause: DoubtId) -> Self {
        self.parts.retain(|(id, _)| *id == cause);
        Self { value: 0.0, ..self }
    }

    /// The same without one cause of its doubt.
    #[must_use]
    pub fn without(mut self, cause: DoubtId) -> Self {
        self.parts.retain(|(id, _)| *id != cause);
        self
    }

    /// The same value with each contribution taken so many times.
    ///
    /// ```
    /// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin};
    /// let mut doubts = Doubts::<()>::default();
    /// let mut one = |u| doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(u));
    /// let sum = one(0.3) + one(0.4);
    /// assert!((sum.clone().each(|_| 0.5).uncertainty().as_mm() - 0.25).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn each(mut self, times: impl Fn(DoubtId) -> f64) -> Self {
        for (id, u) in &mut self.parts {
            *u *= times(*id);
        }
        self.parts.retain(|(_, u)| *u != 0.0);
        self
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
