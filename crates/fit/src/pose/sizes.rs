//! What a search for margins knows of the estimates: values and covariances.

use bobbinwright_estimate::{covariances, probability};
use bobbinwright_spec::{Doubts, Estimate};

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
    fn with_all(&self, shares: &[f64]) -> Vec<f64> {
        let of = |row: &Vec<f64>| row.iter().zip(shares).map(|(c, s)| c * s).sum();
        self.covariances.iter().map(of).collect()
    }

    /// A margin and its standard uncertainty.
    pub fn margin(&self, shares: &[f64]) -> (f64, f64) {
        let value = self.values.iter().zip(shares).map(|(v, s)| v * s).sum();
        let var: f64 = self.with_all(shares).iter().zip(shares).map(|(c, s)| c * s).sum();
        (value, var.max(0.0).sqrt())
    }

    /// The sizes at which a margin is most likely to be a little less than nought: `beyond` times its uncertainty.
    pub fn failing(&self, shares: &[f64], beyond: f64) -> Vec<f64> {
        self.failing_from(shares, 0.0, beyond).unwrap_or_else(|| self.values.clone())
    }

    /// The same for a margin to which something is added; none where it has no doubt.
    pub fn failing_from(&self, shares: &[f64], added: f64, beyond: f64) -> Option<Vec<f64>> {
        let (margin, u) = self.margin(shares);
        let by = (-(margin + added) - beyond * u) / (u * u);
        let moved = self.values.iter().zip(self.with_all(shares)).map(|(v, c)| v + c * by);
        (u > 0.0).then(|| moved.collect())
    }
}

/// The least and the greatest chance that all margins hold, by those of each: whether they fail together or one by one.
pub(super) fn between<'e>(margins: impl Iterator<Item = &'e Estimate>, doubts: &Doubts) -> [f64; 2] {
    margins.map(|m| probability(m, doubts)).fold([1.0, 1.0], |[low, high], p| [low - (1.0 - p), high.min(p)])
}

/// Do two certificates weigh the sizes differently?
pub(super) fn differ(one: &[f64], other: &[f64]) -> bool {
    one.iter().zip(other).any(|(a, b)| (a - b).abs() > 0.02)
}
