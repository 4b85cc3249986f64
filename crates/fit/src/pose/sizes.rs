//! What a search for margins knows of the estimates: values and covariances.

use bobbinwright_estimate::{covariances, probability};
use bobbinwright_spec::{Doubts, Estimate};

/// What has so many times its uncertainty to spare is not pursued: it fails once in a million.
pub(super) const UNLIKELY: f64 = 4.75;

/// Values and covariances of all estimates, so that the search does without them.
pub(super) struct Sizes {
    pub values: Vec<f64>,
    covariances: Vec<Vec<f64>>,
}

impl Sizes {
    pub fn of(inputs: &[&Estimate]) -> Self {
        let values = inputs.iter().map(|e| e.value().as_mm()).collect();
        let covariances = covariances(inputs);
        Self { values, covariances }
    }

    /// A margin's covariances with all estimates.
    fn with_all(&self, shares: &Shares) -> Vec<f64> {
        let mut all = vec![0.0; self.values.len()];
        for (i, share) in &shares.0 {
            for (sum, covariance) in all.iter_mut().zip(&self.covariances[*i]) {
                *sum += covariance * share;
            }
        }
        all
    }

    /// A margin and its standard uncertainty.
    pub fn margin(&self, shares: &Shares) -> (f64, f64) {
        let row = |(i, share): &(usize, f64)| {
            share * shares.0.iter().map(|(k, other)| self.covariances[*i][*k] * other).sum::<f64>()
        };
        let variance: f64 = shares.0.iter().map(row).sum();
        (shares.margin(&self.values), variance.max(0.0).sqrt())
    }

    /// The sizes at which a margin is most likely to be a little less than nought: `beyond` times its uncertainty.
    pub fn failing(&self, shares: &Shares, beyond: f64) -> Vec<f64> {
        self.failing_from(shares, 0.0, beyond, f64::INFINITY).unwrap_or_else(|| self.values.clone())
    }

    /// The same for a margin to which something is added; none where it has no doubt, or more than so many times that to spare.
    pub fn failing_from(&self, shares: &Shares, added: f64, beyond: f64, spare: f64) -> Option<Vec<f64>> {
        let (margin, u) = self.margin(shares);
        if u <= 0.0 || margin + added > spare * u {
            return None;
        }
        let by = (-(margin + added) - beyond * u) / (u * u);
        Some(self.values.iter().zip(self.with_all(shares)).map(|(v, c)| v + c * by).collect())
    }
}

/// What estimates have in a margin, of each that has something in it: its number and its share.
#[derive(Clone, Debug, Default)]
pub(super) struct Shares(Vec<(usize, f64)>);

impl Shares {
    /// Adds to what an estimate has in it.
    pub fn add(&mut self, estimate: usize, share: f64) {
        match self.0.iter_mut().find(|(known, _)| *known == estimate) {
            Some((_, all)) => *all += share,
            None => self.0.push((estimate, share)),
        }
    }

    /// The margin with values of all estimates.
    pub fn margin(&self, values: &[f64]) -> f64 {
        self.0.iter().map(|(i, share)| share * values[*i]).sum()
    }

    /// Estimates and their shares.
    pub fn iter(&self) -> impl Iterator<Item = (usize, f64)> {
        self.0.iter().copied()
    }

    /// Do two certificates weigh the sizes differently?
    pub fn differ(&self, other: &Self) -> bool {
        let of = |shares: &Self, i| shares.0.iter().find(|(k, _)| *k == i).map_or(0.0, |(_, share)| *share);
        let all = self.0.iter().chain(&other.0);
        all.map(|(i, _)| *i).any(|i| (of(self, i) - of(other, i)).abs() > 0.02)
    }
}

/// The least and the greatest chance that all margins hold, by those of each: whether they fail together or one by one.
pub(super) fn between<'e>(margins: impl Iterator<Item = &'e Estimate>, doubts: &Doubts) -> [f64; 2] {
    margins.map(|m| probability(m, doubts)).fold([1.0, 1.0], |[low, high], p| [low - (1.0 - p), high.min(p)])
}
