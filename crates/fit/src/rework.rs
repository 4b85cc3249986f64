//! How much to take off a printed part so that a check fits.

use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{Estimate, Length, PieceSize, Unit};

use crate::pieces::{FURTHEST, Place, factor, sizes_in, sizes_of_place};
use crate::pose::Pose;
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
    ///
    /// A margin m with standard uncertainty u that changes by c for a millimetre of a size is a fit from k u on (see
    /// [`crate::deciding`]): from (k u - m) / c more of it.
    pub fn rework(&self, check: &Check, unit: Unit, made: impl Fn(PieceSize) -> Option<Made>) -> Vec<Rework> {
        let mut all = match &check.pose {
            Some(pose) => self.rework_of_place(check, pose, unit, made),
            None => self.rework_of_margins(check, unit, made),
        };
        all.sort_by(|a, b| (a.to - a.from).abs().as_mm().total_cmp(&(b.to - b.from).abs().as_mm()));
        all
    }

    fn rework_of_place(
        &self,
        check: &Check,
        pose: &Pose,
        unit: Unit,
        made: impl Fn(PieceSize) -> Option<Made>,
    ) -> Vec<Rework> {
        let one = |(size, printed): (PieceSize, &Estimate)| {
            let way = if made(size).and_then(grows)? { 1.0 } else { -1.0 };
            let place = Place { fit: self, check, pose, size };
            let ends = if way > 0.0 { [0.0, FURTHEST] } else { [-FURTHEST, 0.0] };
            let best = place.best(ends);
            if place.is_enough(0.0) || !place.is_enough(best) {
                return None;
            }
            let from = printed.value();
            let to = whole(from.as_mm() + place.last(best, 0.0), way > 0.0, unit);
            place.is_enough(to - from.as_mm()).then_some(Rework { size, from, to: Length::from_mm(to) })
        };
        sizes_of_place(self, check, pose).into_iter().filter_map(one).collect()
    }

    fn rework_of_margins(
        &self,
        check: &Check,
        unit: Unit,
        made: impl Fn(PieceSize) -> Option<Made>,
    ) -> Vec<Rework> {
        let margins: Vec<_> = check.margins().collect();
        let of = |margin| sizes_in(margin, self, &check.position);
        let lacks = |margin| {
            let needed = factor(margin, &self.doubts) * margin.uncertainty().as_mm();
            needed - margin.value().as_mm()
        };
        let mut sizes: Vec<(PieceSize, Length)> =
            margins.iter().flat_map(|m| of(m)).map(|(size, printed, _)| (size, printed.value())).collect();
        sizes.sort_by_key(|(size, _)| *size);
        sizes.dedup_by_key(|(size, _)| *size);
        let mut all: Vec<Rework> = Vec::new();
        for (size, from) in sizes {
            let Some(grows) = made(size).and_then(grows) else { continue };
            // Of every margin: from how much on it is a fit, and up to how much.
            let (mut least, mut most) = (0.0f64, f64::INFINITY);
            for margin in &margins {
                let slope = of(margin).iter().find(|(s, ..)| *s == size).map_or(0.0, |(.., slope)| *slope);
                let gain = if grows { slope } else { -slope };
                let lacks = lacks(margin);
                if gain > 0.0 {
                    least = least.max(lacks / gain);
                } else if gain < 0.0 {
                    most = most.min(lacks / gain);
                } else if lacks > 0.0 {
                    most = f64::NEG_INFINITY;
                }
            }
            let to = whole(from.as_mm() + if grows { least } else { -least }, grows, unit);
            if least > 0.0 && (to - from.as_mm()).abs() <= most {
                all.push(Rework { size, from, to: Length::from_mm(to) });
            }
        }
        all
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
