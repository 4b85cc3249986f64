//! Several estimates as a table: a row each, a column for every cause of doubt that any of them has.

use nalgebra::DMatrix;

use crate::doubt::DoubtId;
use crate::estimate::Estimate;

pub(crate) struct Causes {
    ids: Vec<DoubtId>,
    /// Standard uncertainties with their signs, mm.
    pub parts: DMatrix<f64>,
}

impl Causes {
    pub fn of(inputs: &[&Estimate]) -> Self {
        let all = || inputs.iter().flat_map(|e| &e.parts);
        let most = all().map(|(id, _)| id.0 as usize).max().map_or(0, |last| last + 1);
        // Causes are numbered from nought on and few: each one's column is looked up.
        let mut columns: Vec<Option<usize>> = vec![None; most];
        for (id, _) in all() {
            columns[id.0 as usize] = Some(0);
        }
        let mut ids = Vec::new();
        for (id, column) in columns.iter_mut().enumerate().filter(|(_, column)| column.is_some()) {
            *column = Some(ids.len());
            ids.push(DoubtId(id as u32));
        }
        let mut parts = DMatrix::zeros(inputs.len(), ids.len());
        for (row, input) in inputs.iter().enumerate() {
            for (id, u) in &input.parts {
                // Every cause is among them.
                parts[(row, columns[id.0 as usize].unwrap_or_default())] = *u;
            }
        }
        Self { ids, parts }
    }

    /// The same with those causes only for which something holds.
    pub fn only(&self, of: impl Fn(DoubtId) -> bool) -> Self {
        let kept: Vec<usize> = (0..self.ids.len()).filter(|i| of(self.ids[*i])).collect();
        Self { ids: kept.iter().map(|i| self.ids[*i]).collect(), parts: self.parts.select_columns(&kept) }
    }

    pub fn ids(&self) -> &[DoubtId] {
        &self.ids
    }

    /// What each two have in common, mm².
    pub fn covariances(&self) -> DMatrix<f64> {
        // A column lies together in memory; and what one has in common with another, that one has with it.
        let columns = self.parts.transpose();
        let mut all = DMatrix::zeros(columns.ncols(), columns.ncols());
        for one in 0..columns.ncols() {
            for other in 0..=one {
                let common = columns.column(one).dot(&columns.column(other));
                all[(one, other)] = common;
                all[(other, one)] = common;
            }
        }
        all
    }

    /// Sums of the estimates, each times a share: a row of shares for every sum.
    pub fn sums(&self, inputs: &[&Estimate], shares: &DMatrix<f64>) -> Vec<Estimate> {
        let parts = shares * &self.parts;
        let sum = |row: usize| {
            let value = inputs.iter().enumerate().map(|(i, input)| shares[(row, i)] * input.value).sum();
            let of = self.ids.iter().enumerate().map(|(k, id)| (*id, parts[(row, k)]));
            Estimate { value, parts: of.filter(|(_, u)| *u != 0.0).collect() }
        };
        (0..shares.nrows()).map(sum).collect()
    }
}

/// What each two of several estimates have in common, mm²: a row for each.
///
/// ```
/// # use bobbinwright_estimate::{Doubt, Doubts, Length, Origin, covariances};
/// let mut doubts = Doubts::<()>::default();
/// let mut one = |u| doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(u));
/// let (shared, own) = (one(0.1), one(0.2));
/// let (x, y) = (shared.clone() + own, shared * -3.0);
/// let table = covariances(&[&x, &y]);
/// assert!((table[0][1] - x.covariance(&y)).abs() < 1e-15 && (table[0][0] - 0.05).abs() < 1e-12);
/// ```
pub fn covariances(inputs: &[&Estimate]) -> Vec<Vec<f64>> {
    Causes::of(inputs).covariances().row_iter().map(|row| row.iter().copied().collect()).collect()
}
