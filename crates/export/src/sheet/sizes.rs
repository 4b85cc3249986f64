//! What a sheet's drawing is drawn with.

use bobbinwright_spec::{Handed, PositionQuantity as P, Quantity, Survey, SurveyedPosition};

use super::Row;

/// Sizes of what is drawn, mm: what is known, and usual ones for what is not.
pub(super) struct Sizes<'a> {
    pub rows: &'a [&'a Row<'a>],
    pub strings: usize,
    pub handed: Handed,
    pub length: f64,
    pub width: f64,
    pub radius: f64,
    pub depth: f64,
    /// Reach, width, depth and corner radius of an ear recess.
    pub ear: Option<[f64; 4]>,
}

impl<'a> Sizes<'a> {
    pub fn new(survey: &Survey, position: &SurveyedPosition, rows: &'a [&'a Row<'a>]) -> Self {
        let mut sizes = Self {
            rows,
            strings: survey.strings,
            handed: survey.handed,
            length: 0.0,
            width: 0.0,
            radius: 0.0,
            depth: 0.0,
            ear: None,
        };
        sizes.length = sizes.or(P::RoutLength, 10.0 * (survey.strings - 1) as f64 + 42.0);
        sizes.width = sizes.or(P::RoutWidth, 38.0);
        sizes.radius = sizes.or(P::RoutCornerRadius, 6.0).min(sizes.width / 2.0);
        sizes.depth = sizes.or(P::RoutDepth, 20.0);
        sizes.ear = position.has_ears.then(|| {
            let width = sizes.or(P::EarWidth, 14.0);
            let radius = sizes.or(P::EarCornerRadius, 3.0).min(width / 2.0);
            [sizes.or(P::EarLength, 10.0), width, sizes.or(P::EarDepth, 8.0), radius]
        });
        sizes
    }

    /// The row of a quantity of this position.
    pub fn row(&self, of: P) -> Option<&'a Row<'a>> {
        self.rows.iter().copied().find(|r| matches!(&r.known.quantity, Quantity::At(_, q) if *q == of))
    }

    /// A quantity's best value, or a usual one.
    pub fn or(&self, of: P, usual: f64) -> f64 {
        self.row(of).and_then(|r| r.known.estimate.as_ref()).map_or(usual, |e| e.value().as_mm())
    }

    /// Half the drawing's width, ears included.
    pub fn reach(&self) -> f64 {
        self.length / 2.0 + self.ear.map_or(0.0, |e| e[0])
    }

    /// The x of string `n`: evenly between the outer ones.
    pub fn string(&self, n: usize) -> f64 {
        let bass =
            -self.length / 2.0 + self.or(P::BassSide, self.length * 0.22).clamp(2.0, self.length * 0.4);
        let treble = self.length / 2.0
            - self.or(P::TrebleSide, -bass.abs() + self.length / 2.0).clamp(2.0, self.length * 0.4);
        self.handed.treble() * (treble + (bass - treble) * (n - 1) as f64 / (self.strings - 1) as f64)
    }

    /// String pairs that are read: neighbours, and others.
    pub fn pairs(&self) -> impl Iterator<Item = (usize, usize, &'a Row<'a>)> {
        self.rows.iter().filter_map(|r| match r.known.quantity {
            Quantity::At(_, P::StringPair(a, b)) => Some((a, b, *r)),
            _ => None,
        })
    }
}
