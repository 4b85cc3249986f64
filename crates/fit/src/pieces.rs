//! What to measure on printed parts, what is allowed there, and what was read.

use std::collections::BTreeMap;

use bobbinwright_geometry::parts::{Lie, PartKind, Piece, PositionParts, pieces};
use bobbinwright_spec::{Estimate, Family, Length, PieceSize};

use crate::bench::MARK;
use crate::finish;
use crate::pose::Pose;
use crate::set::{PartSet, Printed};
use crate::verdict::{CONFIDENCE, Verdict};
use crate::{Check, Fit, PrintedSize, Tried, check_pieces};

/// A size that decides whether a printed part fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Deciding {
    /// Index of the position.
    pub position: usize,
    /// The size, what it shall be, and how it is made. Of a size that was read since its part is finished, both of what it
    /// shall be are the finished one.
    pub piece: Piece,
    /// What was read on the printed part.
    pub read: Option<Estimate>,
    /// The least and the most that it may be for everything to fit, everything else as it is.
    pub allowed: [Option<Length>; 2],
    /// Does what hangs on it fit, with what was read?
    pub verdict: Option<Verdict>,
    /// What it decides: the check that leaves it the least room.
    pub decides: String,
    /// How many of its standard uncertainties lie between it and what is no longer allowed; the smaller,
    /// the more it matters.
    pub room: f64,
}

/// Every size that a check hangs on, what matters most before anything was read first. `printed` is as [`check_pieces`] has it.
pub fn deciding(
    family: &Family,
    built: &[PositionParts],
    printed: &[Printed],
    tried: &[Tried],
    lie: impl Fn(usize, PartKind) -> Lie,
) -> Vec<Deciding> {
    let mut all = bounded(family, built, printed, tried, &lie);
    // Numbers on a sheet that was printed stay what they are, whatever was read since.
    let unread = Family { pieces: BTreeMap::new(), wider: BTreeMap::new(), ..family.clone() };
    let mut first = bounded(&unread, built, printed, tried, &lie);
    first.sort_by(|a, b| a.room.total_cmp(&b.room));
    let place = |one: &Deciding| {
        first.iter().position(|other| (other.position, other.piece.size) == (one.position, one.piece.size))
    };
    all.sort_by_cached_key(place);
    all
}

fn bounded(
    family: &Family,
    built: &[PositionParts],
    printed: &[Printed],
    tried: &[Tried],
    lie: impl Fn(usize, PartKind) -> Lie,
) -> Vec<Deciding> {
    let fit = check_pieces(family, built, printed, tried);
    let mut all = Vec::new();
    for (index, (position, parts)) in family.positions.iter().zip(built).enumerate() {
        let bounds = bounds(&fit, &position.name);
        let set = PartSet::with_printed(parts, printed.get(index).copied().unwrap_or_default());
        for part in PartKind::ALL {
            for mut piece in pieces(set.layout(part), part, lie(index, part)) {
                let Some(bound) = bounds.get(&piece.size) else { continue };
                let key = (position.name.clone(), piece.size);
                if family.finished.read.contains(&key) {
                    piece.wanted = piece.finished;
                }
                let coat = finish::adds(family, position, set.layout(part), piece.size);
                all.push(bound.deciding(index, piece, family.pieces.get(&key).cloned(), coat));
            }
        }
    }
    all
}

/// No print is further off than this, mm.
pub(crate) const FURTHEST: f64 = 5.0;

/// How large a size may be before a check no longer fits.
struct Bound<'f> {
    /// The size as it is, or as it will be printed.
    size: &'f Estimate,
    /// The least and the most, mm.
    allowed: [Option<f64>; 2],
    /// The check that leaves the least room.
    check: &'f Check,
    /// The least chance of a margin that it is part of.
    chance: f64,
}

impl Bound<'_> {
    /// Told as it is read, before its coat is on.
    fn deciding(&self, position: usize, piece: Piece, read: Option<Estimate>, coat: Length) -> Deciding {
        Deciding {
            position,
            piece,
            verdict: read.is_some().then(|| Verdict::of(self.chance)),
            read,
            allowed: self.allowed.map(|mm| mm.map(|mm| Length::from_mm(mm) - coat)),
            decides: self.check.title.clone(),
            room: self.room(),
        }
    }

    /// To the nearest limit, in standard uncertainties of the size; negative beyond it.
    fn room(&self) -> f64 {
        let (value, u) = (self.size.value().as_mm(), self.size.uncertainty().as_mm());
        let [least, most] = self.allowed;
        let over = least.map_or(f64::INFINITY, |l| value - l);
        let under = most.map_or(f64::INFINITY, |m| m - value);
        over.min(under) / u
    }

    /// Takes in a limit, of a margin with this chance.
    fn take(&mut self, limit: f64, side: usize, chance: f64) {
        self.chance = self.chance.min(chance);
        self.allowed[side] = Some(match (self.allowed[side], side) {
            (None, _) => limit,
            (Some(known), 0) => known.max(limit),
            (Some(known), _) => known.min(limit),
        });
    }
}

/// For each size of a position's parts, how large it may be.
fn bounds<'f>(fit: &'f Fit, position: &str) -> BTreeMap<PieceSize, Bound<'f>> {
    let mut all: BTreeMap<PieceSize, Bound> = BTreeMap::new();
    for check in fit.checks.iter().filter(|c| c.position == position) {
        of_check(fit, check, &check.conditions(), &mut all);
    }
    all
}

/// Each size is changed until what it is part of holds no more surely enough, other sizes as they are; a part that is moved
/// lies where it lies best then.
fn of_check<'f>(fit: &'f Fit, check: &'f Check, pose: &Pose, all: &mut BTreeMap<PieceSize, Bound<'f>>) {
    let sizes = sizes_of_place(fit, check, pose).into_iter().map(|(size, printed)| {
        let place = Place { fit, check, pose, size, chance: CONFIDENCE };
        let best = if check.probability >= CONFIDENCE { 0.0 } else { place.best([-FURTHEST, FURTHEST]) };
        let is_enough = place.is_enough(best);
        (place, printed, best, is_enough)
    });
    let sizes: Vec<_> = sizes.collect();
    // That it was tried says that it goes in, not by how much: no size is to blame, and none is bounded.
    if check.probability >= CONFIDENCE && !sizes.iter().all(|s| s.3) {
        return;
    }
    // Where one of them alone would do, the others are not to blame: what they may be is told for when that is mended.
    let mended = sizes.iter().find(|s| s.3).map(|(place, _, best, _)| place.with(*best));
    for (place, printed, best, is_enough) in &sizes {
        let not_to_blame = mended.as_ref().filter(|_| !is_enough);
        let (place, best, chance) = match not_to_blame {
            Some(pose) => (Place { pose, ..*place }, 0.0, 1.0),
            None => (Place { ..*place }, *best, check.probability),
        };
        let value = printed.value().as_mm();
        for (side, end) in [(0, -FURTHEST), (1, FURTHEST)] {
            let limit = if mended.is_none() {
                // However large it is: beside what else is wrong nothing of it fits.
                Some(if side == 0 { f64::INFINITY } else { f64::NEG_INFINITY })
            } else {
                (!place.is_enough(end)).then(|| value + place.last(best, end))
            };
            let Some(limit) = limit else { continue };
            let bound = all.entry(place.size).or_insert(Bound {
                size: printed,
                allowed: [None, None],
                check,
                chance,
            });
            if chance < bound.chance {
                bound.check = check;
            }
            bound.take(limit, side, chance);
        }
    }
}

/// The printed sizes that the place of a part hangs on.
pub(crate) fn sizes_of_place<'f>(fit: &'f Fit, check: &Check, pose: &Pose) -> Vec<(PieceSize, &'f Estimate)> {
    let all = pose.inputs().into_iter().flat_map(|e| sizes_in(e, fit, &check.position));
    let mut sizes: Vec<_> = all.map(|(size, printed, _)| (size, printed)).collect();
    sizes.sort_by_key(|(size, _)| *size);
    sizes.dedup_by_key(|(size, _)| *size);
    sizes
}

/// A part where it lies best, and one of its sizes that is changed.
#[derive(Clone, Copy)]
pub(crate) struct Place<'f> {
    pub fit: &'f Fit,
    pub check: &'f Check,
    pub pose: &'f Pose,
    pub size: PieceSize,
    /// The chance that is enough.
    pub chance: f64,
}

impl Place<'_> {
    fn with(&self, by: f64) -> Pose {
        self.pose.with(|e| {
            let sizes = sizes_in(e, self.fit, &self.check.position);
            let slope = sizes.iter().find(|s| s.0 == self.size).map_or(0.0, |s| s.2);
            e.clone().moved_to(e.value() + Length::from_mm(slope * by))
        })
    }

    /// Does the part go where it must, with the size larger by so much, mm?
    pub fn is_enough(&self, by: f64) -> bool {
        self.with(by).holds_with(self.chance, &self.fit.doubts)
    }

    /// The change with which most is left; that is concave in a size, so thirds lead to it.
    pub fn best(&self, [mut low, mut high]: [f64; 2]) -> f64 {
        while high - low > 1e-3 {
            let third = (high - low) / 3.0;
            if self.with(low + third).left() < self.with(high - third).left() {
                low += third;
            } else {
                high -= third;
            }
        }
        f64::midpoint(low, high)
    }

    /// The last change from one that is enough towards one that is not, to a micrometre.
    pub fn last(&self, mut good: f64, mut bad: f64) -> f64 {
        while (bad - good).abs() > 1e-3 {
            let middle = f64::midpoint(good, bad);
            if self.is_enough(middle) { good = middle } else { bad = middle }
        }
        good
    }
}

/// The sizes of printed parts that a margin hangs on, and what it changes by for a millimetre of each.
pub(crate) fn sizes_in<'f>(
    margin: &Estimate,
    fit: &'f Fit,
    position: &str,
) -> Vec<(PieceSize, &'f Estimate, f64)> {
    let of_here = fit.sizes.iter().filter(|s| s.position == position);
    let slope = |s: &'f PrintedSize| {
        let (_, share) = margin.contributions().find(|(id, _)| *id == s.mark)?;
        let slope = share.as_mm() / MARK.as_mm();
        (slope.abs() > 1e-6).then_some((s.size, &s.printed, slope))
    };
    of_here.filter_map(slope).collect()
}
