//! The largest cover that goes in with the chance that was asked for.

use bobbinwright_geometry::parts::{PositionParts, laid_out};
use bobbinwright_spec::{Family, Length, Sentence};

use crate::bench::Bench;
use crate::help::Help;
use crate::rout;
use crate::set::PartSet;

/// Gaps are tried in steps of this; a printer knows no finer ones.
const STEP: f64 = 0.01;

/// More play than this, in steps, is not snug: something else than the doubt stands in the way.
const LARGEST: u32 = 100;

/// A position for which no gap up to 1 mm is enough.
#[derive(Clone, Debug, PartialEq)]
pub struct NotSnug {
    /// Index of the position.
    pub position: usize,
    /// The chance that was asked for.
    pub asked: f64,
    /// The largest gap that was tried: 1 mm, or the last that can be laid out.
    pub largest: Length,
    /// The chance with it.
    pub best: f64,
    /// What is in the way.
    pub why: Sentence,
    /// What may help.
    pub help: Vec<Help>,
}

/// Sets every `cover.fit_gap` that is to be snug to the smallest one, in steps of 0.01 mm, with which
/// cover and ears go into the rout with the chance asked for.
pub fn make_snug(family: &mut Family) -> Result<(), Vec<NotSnug>> {
    let mut failed = Vec::new();
    for position in 0..family.positions.len() {
        let Some(asked) = family.positions[position].wanted.cover.snug else { continue };
        match smallest(family, position, asked) {
            Ok(gap) => family.positions[position].wanted.cover.fit_gap = gap,
            Err(not) => failed.push(not),
        }
    }
    if failed.is_empty() { Ok(()) } else { Err(failed) }
}

/// The chance grows with the gap, so halving finds the place.
fn smallest(family: &Family, position: usize, asked: f64) -> Result<Length, NotSnug> {
    let gap = |steps: u32| Length::from_mm(f64::from(steps) * STEP);
    let as_it_is = family.positions[position].wanted.cover.fit_gap;
    // What can't be laid out at the gap that is there is refused for another reason; the build says so.
    if chance(family, position, as_it_is).is_none() {
        return Ok(as_it_is);
    }
    let start = ((as_it_is.as_mm() / STEP).round() as u32).min(LARGEST);
    // Too large a gap leaves nothing of the cover.
    let largest = last(start, LARGEST, |steps| chance(family, position, gap(steps)).is_some());
    let enough = |steps: u32| chance(family, position, gap(steps)).is_some_and(|(p, ..)| p >= asked);
    if !enough(largest) {
        let (best, why, help) = chance(family, position, gap(largest)).unwrap_or_default();
        return Err(NotSnug { position, asked, largest: gap(largest), best, why, help });
    }
    let short = last(0, largest, |steps| !enough(steps));
    Ok(if short == 0 && enough(0) { gap(0) } else { gap(short + 1) })
}

/// The last number from `low` on up to `high` for which something holds that holds no more once it has
/// stopped; `low` is taken for granted.
fn last(mut low: u32, mut high: u32, holds: impl Fn(u32) -> bool) -> u32 {
    if holds(high) {
        return high;
    }
    while high - low > 1 {
        let middle = low.midpoint(high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// The least chance among the checks against the rout with a gap, and what is in the way; none where
/// such a cover can't be laid out.
fn chance(family: &Family, position: usize, gap: Length) -> Option<(f64, Sentence, Vec<Help>)> {
    let mut trial = family.positions[position].clone();
    trial.wanted.cover.fit_gap = gap;
    let layout = laid_out(&trial, &family.hardware)?;
    let parts = PositionParts { layout, parts: Vec::new() };
    let mut bench = Bench::new(family, &trial, PartSet::new(&parts), family.doubts.clone());
    rout::check(&mut bench);
    let worst = bench.checks.iter().min_by(|a, b| a.probability.total_cmp(&b.probability))?;
    Some((worst.probability, worst.why.clone(), worst.help.clone()))
}
