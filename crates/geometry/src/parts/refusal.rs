//! Why a part can't be made, and what would work.

use bobbinwright_spec::{Hardware, Length, PARAMETERS, Parameter, Position, Side, parameter};

use super::{PartKind, try_part};

/// What stands in the way, before a value that works has been looked for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fault {
    pub parameter: &'static str,
    pub why: String,
}

impl Fault {
    pub fn new(parameter: &'static str, why: impl Into<String>) -> Self {
        Self { parameter, why: why.into() }
    }
}

/// A part that can't be made as wanted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{position}, {}: {why}", part.name())]
pub struct Refusal {
    /// The position.
    pub position: String,
    /// The part.
    pub part: PartKind,
    /// Path of the dimension to change.
    pub parameter: &'static str,
    /// What was wanted; `None` when the dimension follows from others.
    pub value: Option<Length>,
    /// The value nearest to the wanted one with which the part builds, to 0.01 mm, everything
    /// else left as it is; `None` when no value of this dimension alone helps.
    pub works: Option<Length>,
    /// Where none helps: another dimension, and the value of it that does; the one that has to move least.
    pub instead: Option<(&'static str, Length)>,
    /// Where no dimension helps: another side for the lead-out that does, and its offset there.
    pub lead_out: Option<(Side, Length)>,
    /// In words.
    pub why: String,
}

impl Refusal {
    /// Gives a position the value with which the part builds; false where none is known.
    pub fn mend_in(&self, position: &mut Position) -> bool {
        let dimension = self.works.map(|works| (self.parameter, works)).or(self.instead);
        if let Some((path, works)) = dimension {
            let field = parameter(path).and_then(|p| (p.field)(&mut position.wanted));
            return field.map(|field| *field = works).is_some();
        }
        let Some((side, offset)) = self.lead_out else { return false };
        position.wanted.cover.lead_out.side = side;
        position.wanted.cover.lead_out.offset = offset;
        true
    }
}

/// Finds the value that works.
pub(super) fn explain(position: &Position, hardware: &Hardware, part: PartKind, fault: Fault) -> Refusal {
    let mut trial = position.clone();
    let mut mend = |p: &Parameter, probes: u32| {
        let value = (p.field)(&mut trial.wanted).copied()?;
        let works = nearest_that_works([p.low, value.as_mm(), p.high], probes, |mm| {
            if let Some(field) = (p.field)(&mut trial.wanted) {
                *field = Length::from_mm(mm);
            }
            try_part(&trial, hardware, part).is_ok()
        });
        if let Some(field) = (p.field)(&mut trial.wanted) {
            *field = value;
        }
        works.map(|works| ((works - value.as_mm()).abs(), Length::from_mm(works)))
    };
    let blamed = parameter(fault.parameter);
    let works = blamed.and_then(|p| mend(p, PROBES)).map(|(_, works)| works);
    let mut any = |probes| {
        let all = PARAMETERS.iter().filter_map(|p| Some((p.path, mend(p, probes)?)));
        all.min_by(|a, b| a.1.0.total_cmp(&b.1.0)).map(|(path, (_, works))| (path, works))
    };
    let instead = if works.is_none() { any(FEW_PROBES).or_else(|| any(PROBES)) } else { None };
    let lead_out =
        if works.is_none() && instead.is_none() { other_side(position, hardware, part) } else { None };
    let value = blamed.and_then(|p| (p.field)(&mut position.wanted.clone()).copied());
    Refusal {
        position: position.name.clone(),
        part,
        parameter: fault.parameter,
        value,
        works,
        instead,
        lead_out,
        why: fault.why,
    }
}

/// A side of the lead-out with which the part builds, its offset as it is or in the middle.
fn other_side(position: &Position, hardware: &Hardware, part: PartKind) -> Option<(Side, Length)> {
    let mut trial = position.clone();
    let offsets = [position.wanted.cover.lead_out.offset, Length::ZERO];
    let all = offsets.into_iter().flat_map(|offset| Side::ALL.map(|(_, side)| (side, offset)));
    all.into_iter().find(|(side, offset)| {
        trial.wanted.cover.lead_out.side = *side;
        trial.wanted.cover.lead_out.offset = *offset;
        try_part(&trial, hardware, part).is_ok()
    })
}

/// Steps of the search between a wanted value and the end of the sensible range.
const PROBES: u32 = 40;

/// The same at first, where all dimensions are gone through.
const FEW_PROBES: u32 = 6;

/// The value nearest to `wanted` that works, in steps of 0.01 where one works. What works need not be
/// one range, so both sides are probed from `wanted` outwards.
fn nearest_that_works(
    [low, wanted, high]: [f64; 3],
    probes: u32,
    mut works: impl FnMut(f64) -> bool,
) -> Option<f64> {
    let sides = [low, high].into_iter().filter_map(|end| {
        let at = |i: u32| wanted + (end - wanted) * f64::from(i) / f64::from(probes);
        let first = (1..=probes).find(|i| works(at(*i)))?;
        let (mut bad, mut good) = (at(first - 1), at(first));
        while (bad - good).abs() > 1e-4 {
            let middle = f64::midpoint(bad, good);
            if works(middle) {
                good = middle;
            } else {
                bad = middle;
            }
        }
        // The limit itself when it is a round figure, else the nearest round figure inside.
        let inside = if end < wanted { (good * 100.0).floor() } else { (good * 100.0).ceil() };
        [(good * 100.0).round() / 100.0, inside / 100.0, good].into_iter().find(|v| works(*v))
    });
    sides.min_by(|a, b| (a - wanted).abs().total_cmp(&(b - wanted).abs()))
}
