//! Why a part can't be made, and what would work.

use bobbinwright_spec::{Hardware, Length, Position, parameter};

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
    /// In words.
    pub why: String,
}

/// Finds the value that works.
pub(super) fn explain(position: &Position, hardware: &Hardware, part: PartKind, fault: Fault) -> Refusal {
    let mut trial = position.clone();
    let value = parameter(fault.parameter).and_then(|p| (p.field)(&mut trial.wanted).copied());
    let works = value.and_then(|value| {
        let p = parameter(fault.parameter)?;
        nearest_that_works(p.low, value.as_mm(), p.high, |mm| {
            let mut trial = position.clone();
            if let Some(field) = (p.field)(&mut trial.wanted) {
                *field = Length::from_mm(mm);
            }
            try_part(&trial, hardware, part).is_ok()
        })
    });
    Refusal {
        position: position.name.clone(),
        part,
        parameter: fault.parameter,
        value,
        works: works.map(Length::from_mm),
        why: fault.why,
    }
}

/// Steps of the search between a wanted value and the end of the sensible range.
const PROBES: u32 = 40;

/// The value nearest to `wanted` that works, in steps of 0.01 where one works. What works need not be
/// one range, so both sides are probed from `wanted` outwards.
fn nearest_that_works(low: f64, wanted: f64, high: f64, works: impl Fn(f64) -> bool) -> Option<f64> {
    let sides = [low, high].into_iter().filter_map(|end| {
        let at = |i: u32| wanted + (end - wanted) * f64::from(i) / f64::from(PROBES);
        let first = (1..=PROBES).find(|i| works(at(*i)))?;
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
