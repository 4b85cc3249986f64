//! What all checks of one position share.

use bobbinwright_geometry::parts::{Layout, Part, PartKind, PositionParts};
use bobbinwright_spec::{Doubt, Doubts, Estimate, Family, Length, Origin, Position};

use crate::verdict::{Sides, Verdict, probability, probability_on};
use crate::{Check, Figure};

/// One position on the bench, and the checks made so far.
pub(crate) struct Bench<'a> {
    pub family: &'a Family,
    pub position: &'a Position,
    pub layout: &'a Layout,
    parts: &'a [Part],
    pub doubts: Doubts,
    pub checks: Vec<Check>,
}

/// A check before its verdict.
pub(crate) struct Draft {
    pub name: &'static str,
    pub title: String,
    pub margin: Estimate,
    pub sides: Sides,
    pub figures: Vec<Figure>,
    pub advice: String,
    pub parameter: Option<&'static str>,
}

impl<'a> Bench<'a> {
    pub fn new(family: &'a Family, position: &'a Position, parts: &'a PositionParts, doubts: Doubts) -> Self {
        Self { family, position, layout: &parts.layout, parts: &parts.parts, doubts, checks: Vec::new() }
    }

    pub fn part(&self, kind: PartKind) -> Option<&'a Part> {
        self.parts.iter().find(|p| p.kind == kind)
    }

    /// A wanted size as the printer makes it: plus or minus its tolerance, taken as the half-width
    /// of a rectangular distribution. Each printed size errs on its own.
    pub fn printed(&mut self, size: Length) -> Estimate {
        self.spread(size, self.family.printer.tolerance, Origin::Print)
    }

    /// A size that is known to lie within plus or minus `half`.
    pub fn spread(&mut self, size: Length, half: Length, origin: Origin) -> Estimate {
        let doubt = Doubt { quantity: None, origin, freedom: f64::INFINITY };
        self.doubts.enter(doubt, half / 3f64.sqrt()).moved_to(size)
    }

    /// Of several margins the one that is least likely to hold, with what it belongs to; among equally
    /// likely ones the smallest. (The smallest margin need not be the most doubtful.)
    pub fn least_likely<T>(&self, all: impl IntoIterator<Item = (Estimate, T)>) -> Option<(Estimate, T)> {
        let rated = all.into_iter().map(|(m, of)| (probability(&m, &self.doubts), m, of));
        let least = rated.min_by(|a, b| {
            let margin = |e: &Estimate| e.value().as_mm();
            a.0.total_cmp(&b.0).then(margin(&a.1).total_cmp(&margin(&b.1)))
        })?;
        Some((least.1, least.2))
    }

    /// Enters a check with its verdict.
    pub fn enter(&mut self, draft: Draft) {
        let probability = probability_on(&draft.sides, &draft.margin, &self.doubts);
        self.checks.push(Check {
            position: self.position.name.clone(),
            name: draft.name,
            title: draft.title,
            probability,
            verdict: Verdict::of(probability),
            figures: draft.figures,
            advice: draft.advice,
            parameter: draft.parameter,
            doubt: self.doubts.main_doubt(&draft.margin),
            margin: draft.margin,
            sides: draft.sides,
        });
    }
}

/// A figure from an estimate.
pub(crate) fn figure(label: impl Into<String>, value: &Estimate) -> Figure {
    Figure { label: label.into(), value: value.value(), uncertainty: value.uncertainty() }
}

/// What a margin lacks to be called a fit, rounded up to 0.01 mm: its value must reach 1.645
/// standard uncertainties for 95 % on one side, 1.960 on two (normal distribution). Zero when
/// nothing is lacking.
pub(crate) fn short(margin: &Estimate, sides: &Sides) -> Length {
    let factor = match sides {
        Sides::One => 1.645,
        Sides::Two(_) => 1.960,
    };
    let lacking = factor * margin.uncertainty().as_mm() - margin.value().as_mm();
    Length::from_mm((lacking * 100.0).ceil().max(0.0) / 100.0)
}
