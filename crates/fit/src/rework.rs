//! How much to take off a printed part so that a check fits.

use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{Estimate, Length, PieceSize, Unit};

use crate::pieces::{FURTHEST, Place, sizes_of_place};
use crate::verdict::{COMFORT, CONFIDENCE};
use crate::{Check, Fit};

/// A size of a printed part that is worked over: an outer one is made smaller, a hole or a hollow larger.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rework {
    /// Which size.
    pub size: PieceSize,
    /// What it is.
    pub from: Length,
    /// What it must be, to the step of the unit that was asked for.
    pub to: Length,
}

impl Fit {
    /// Sizes of which one alone, worked over, makes a check fit; the least work first. `made` says how a size came to
    /// be, for those that may be worked on.
    pub fn rework(&self, check: &Check, unit: Unit, made: impl Fn(PieceSize) -> Option<Made>) -> Vec<Rework> {
        let pose = check.conditions();
        let one = |(size, printed): (PieceSize, &Estimate)| {
            let way = if made(size).and_then(grows)? { 1.0 } else { -1.0 };
            let fits = Place { fit: self, check, pose: &pose, size, chance: CONFIDENCE };
            let ends = if way > 0.0 { [0.0, FURTHEST] } else { [-FURTHEST, 0.0] };
            let best = fits.best(ends);
            if fits.is_enough(0.0) || !fits.is_enough(best) {
                return None;
            }
            // So that the pickup as a whole fits, or else comfortably, where that can be.
            let wanted = [self.left_by_others(check), COMFORT];
            let mut wanted = wanted.into_iter().map(|chance| Place { chance, ..fits });
            let place = wanted.find(|place| place.is_enough(best)).unwrap_or(fits);
            // As it is read, before its coat is on.
            let coat = self.coat_of(&check.position, size);
            let from = printed.value() - coat;
            let to = whole(from.as_mm() + place.last(best, 0.0), way > 0.0, unit);
            place.is_enough(to - from.as_mm()).then_some(Rework { size, from, to: Length::from_mm(to) })
        };
        let mut all: Vec<Rework> = sizes_of_place(self, check, &pose).into_iter().filter_map(one).collect();
        all.sort_by(|a, b| (a.to - a.from).abs().as_mm().total_cmp(&(b.to - b.from).abs().as_mm()));
        all
    }
}

impl Fit {
    fn coat_of(&self, position: &str, size: PieceSize) -> Length {
        let of = self.sizes.iter().find(|s| s.position == position && s.size == size);
        of.map_or(Length::ZERO, |s| s.coat)
    }

    /// The chance that a check must have for its pickup to fit, whatever the others share with it; a comfortable one where they
    /// alone leave nothing.
    fn left_by_others(&self, check: &Check) -> f64 {
        let others = self.checks.iter().filter(|c| c.position == check.position && c.kind != check.kind);
        let fail: f64 = others.map(|c| 1.0 - c.probability).sum();
        let left = 1.0 - CONFIDENCE - fail;
        if left > 0.0 { COMFORT.max(1.0 - left) } else { COMFORT }
    }
}

/// The figure that is asked for is a whole step, on the side that fits.
fn whole(mm: f64, grows: bool, unit: Unit) -> f64 {
    let steps = mm / unit.step().as_mm();
    if grows { steps.ceil() * unit.step().as_mm() } else { steps.floor() * unit.step().as_mm() }
}

/// Can a file or a drill make it larger, or only smaller? Neither between middles.
fn grows(made: Made) -> Option<bool> {
    match made {
        Made::Hole | Made::Inner(_) | Made::Depth => Some(true),
        Made::Outer(_) | Made::Height => Some(false),
        Made::Between(_) => None,
    }
}
