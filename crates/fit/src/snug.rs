//! The largest cover that goes in with the chance that was asked for.

use bobbinwright_geometry::parts::{PositionParts, laid_out};
use bobbinwright_kernel::threads;
use bobbinwright_spec::{Family, Length, PartKind, Position, Quantity, Sentence};

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
    /// Of readings that contradict each other, or others, what they are of, where most of the doubt comes from that.
    pub contradicted: Option<Quantity>,
}

/// Sets every `cover.fit_gap` that is to be snug to the smallest one, in steps of 0.01 mm, with which
/// cover and ears go into the rout with the chance asked for.
pub fn make_snug(family: &mut Family) -> Result<(), Vec<NotSnug>> {
    let asked: Vec<(usize, f64)> =
        family.positions.iter().enumerate().filter_map(|(i, p)| Some((i, p.wanted.cover.snug?))).collect();
    let found = threads::map(&asked, |(position, asked)| (*position, smallest(family, *position, *asked)));
    let mut failed = Vec::new();
    for (position, gap) in found {
        match gap {
            Ok(gap) => family.positions[position].wanted.cover.fit_gap = gap,
            Err(not) => failed.push(*not),
        }
    }
    if failed.is_empty() { Ok(()) } else { Err(failed) }
}

/// The chance grows with the gap, so halving finds the place.
fn smallest(family: &Family, position: usize, asked: f64) -> Result<Length, Box<NotSnug>> {
    let gap = |steps: u32| Length::from_mm(f64::from(steps) * STEP);
    let can_be = |gap: Length| laid(family, position, gap).is_some();
    let as_it_is = family.positions[position].wanted.cover.fit_gap;
    // What can't be laid out at the gap that is there is refused for another reason; the build says so.
    if !can_be(as_it_is) {
        return Ok(as_it_is);
    }
    let start = ((as_it_is.as_mm() / STEP).round() as u32).min(LARGEST);
    // Too large a gap leaves nothing of the cover.
    let largest =
        if can_be(gap(LARGEST)) { LARGEST } else { last(start, LARGEST, |steps| can_be(gap(steps))) };
    let enough = |steps: u32| is_enough(family, position, gap(steps), asked);
    if !enough(largest) {
        return not_enough(family, position, asked, gap(largest))
            .map_or(Ok(as_it_is), |not| Err(Box::new(not)));
    }
    let short = last(0, largest, |steps| !enough(steps));
    Ok(if short == 0 && enough(0) { gap(0) } else { gap(short + 1) })
}

/// The last number for which something holds, which does from `low` on and does no more at `high`.
fn last(mut low: u32, mut high: u32, holds: impl Fn(u32) -> bool) -> u32 {
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

/// The position with a gap, laid out; none where it can't be.
fn laid(family: &Family, position: usize, gap: Length) -> Option<(Position, PositionParts)> {
    let mut trial = family.positions[position].clone();
    trial.wanted.cover.fit_gap = gap;
    let layout = laid_out(&trial, &family.hardware)?;
    Some((trial, PositionParts { layout, parts: Vec::new() }))
}

/// Do the cover and its ears go in with that chance, if they can be laid out with a gap? Most gaps are so far off that nothing
/// is drawn to tell.
fn is_enough(family: &Family, position: usize, gap: Length, asked: f64) -> bool {
    laid(family, position, gap).is_some_and(|(trial, parts)| {
        let mut bench = Bench::new(family, &trial, PartSet::new(&parts), family.doubts.clone());
        rout::places(&mut bench, PartKind::Cover).iter().all(|pose| pose.holds_with(asked, &bench.doubts))
    })
}

/// The check against the rout that is least likely to hold with a gap; none where such a cover can't be laid out.
fn not_enough(family: &Family, position: usize, asked: f64, largest: Length) -> Option<NotSnug> {
    let (trial, parts) = laid(family, position, largest)?;
    let mut bench = Bench::new(family, &trial, PartSet::new(&parts), family.doubts.clone());
    rout::check(&mut bench, PartKind::Cover);
    let worst = bench.checks.iter().min_by(|a, b| a.probability.total_cmp(&b.probability))?;
    Some(NotSnug {
        position,
        asked,
        largest,
        best: worst.probability,
        why: worst.why.clone(),
        help: worst.help.clone(),
        contradicted: worst.contradicted(&bench.doubts),
    })
}
