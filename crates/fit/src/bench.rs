//! What all checks of one position share.

use std::borrow::Cow;
use std::collections::BTreeMap;

use bobbinwright_geometry::parts::{Layout, Lie, Part, PartKind, Piece, pieces};
use bobbinwright_spec::printer::coupon::Axis;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{
    Doubt, DoubtId, Doubts, Estimate, Family, Length, Origin, PieceSize, Position, Quantity, Sentence, SizeOf,
};

use crate::assumed::in_margins;
use crate::finish;
use crate::help::Help;
use crate::kind::{CheckKind, Where};
use crate::pose::Pose;
use crate::set::PartSet;
use crate::verdict::{CONFIDENCE, Verdict};
use crate::{Check, Figure, PrintedSize};
use bobbinwright_estimate::{holds, holds_with, probability};

/// One position on the bench, and the checks made so far.
pub(crate) struct Bench<'a> {
    pub family: &'a Family,
    pub position: &'a Position,
    set: PartSet<'a>,
    pub doubts: Doubts,
    pub checks: Vec<Check>,
    /// The sizes that the parts met so far have.
    pieces: BTreeMap<PartKind, Vec<Piece>>,
    /// Printed sizes met so far, each with what was wanted.
    sizes: BTreeMap<PieceSize, Sized>,
    /// What each piece of many that are alike has of its own, by the cause that the first of them has and its number.
    own: BTreeMap<(DoubtId, usize), Estimate>,
    /// Parts that lie loose in the rout, as far as they were asked for.
    pub loose: BTreeMap<PartKind, Pose>,
    /// How far off the usual the finish of each part gets, on a face.
    coats: BTreeMap<PartKind, Estimate>,
    /// Sizes that were read on the printed pieces count in place of wanted ones.
    pub of_pieces: bool,
    /// Parts are as they were printed, before they are finished.
    pub is_bare: bool,
    /// Where only one kind of check is asked for, which, and below what chance it does not matter how unlikely it is: drawing
    /// is what takes time.
    pub only: Option<(CheckKind, f64)>,
}

/// A printed size.
#[derive(Clone, Debug)]
struct Sized {
    wanted: Length,
    printed: Estimate,
    /// What the finish adds to it after it is read.
    coat: Length,
    /// A doubt that only this size has, see [`MARK`].
    mark: Option<DoubtId>,
}

/// Every printed size has a doubt of its own of a nanometre, by which its part in a margin can be found
/// whatever else it shares with other sizes.
pub(crate) const MARK: Length = Length::from_mm(1e-6);

/// A check before its verdict.
pub(crate) struct Draft {
    pub kind: CheckKind,
    pub at: Where,
    pub title: String,
    /// The margin that is least likely to hold.
    pub margin: Estimate,
    /// Those of other places, and of the other side, which must hold too.
    pub others: Vec<Estimate>,
    pub figures: Vec<Figure>,
    /// What is wrong where it does not hold.
    pub why: Sentence,
    /// What may help, the likeliest first.
    pub help: Vec<Help>,
}

/// What holds more often than this is shown as `> 99.9 %`.
const SURE: f64 = 0.999;

/// What holds a part elsewhere with so much more to spare, mm, is not what a person wants to know: more than any play.
const MORE: f64 = 0.5;

impl<'a> Bench<'a> {
    pub fn new(family: &'a Family, position: &'a Position, set: PartSet<'a>, doubts: Doubts) -> Self {
        Self {
            family,
            position,
            set,
            doubts,
            checks: Vec::new(),
            pieces: BTreeMap::new(),
            sizes: BTreeMap::new(),
            own: BTreeMap::new(),
            loose: BTreeMap::new(),
            coats: BTreeMap::new(),
            of_pieces: false,
            is_bare: false,
            only: None,
        }
    }

    pub fn part(&self, kind: PartKind) -> Option<&'a Part> {
        self.set.part(kind)
    }

    /// A part as it comes off a printer that makes no error.
    pub fn bare(&self, kind: PartKind) -> Option<Cow<'a, Part>> {
        self.set.bare(kind)
    }

    /// The sizes that a part was made from.
    pub fn layout(&self, kind: PartKind) -> &'a Layout {
        self.set.layout(kind)
    }

    /// Is this part one of an earlier build?
    pub fn is_kept(&self, kind: PartKind) -> bool {
        self.set.is_kept(kind)
    }

    /// Are parts of different builds on the bench?
    pub fn is_mixed(&self) -> bool {
        self.set.is_mixed()
    }

    /// Parts that are wanted alike may differ, each in its own way: they were read, or are of different
    /// builds. Until then a check of what they are alike in is about one of them.
    pub fn is_separate(&self) -> bool {
        self.of_pieces || self.is_mixed()
    }

    /// A part's size: as it was read on the piece itself where that counts, or else the wanted one as the printer makes it,
    /// or the cutter. Each printed size errs on its own, but the same in every check.
    pub fn printed(&mut self, part: PartKind, size: SizeOf) -> Estimate {
        self.size(PieceSize { part, size }).printed
    }

    /// The same of the widest of several holes, for what a wide one lets through.
    pub fn widest(&mut self, part: PartKind, size: SizeOf) -> Estimate {
        let printed = self.printed(part, size);
        let is_there = self.of_pieces || self.set.is_kept(part);
        let key = (self.position.name.clone(), PieceSize { part, size });
        let wider = self.family.wider.get(&key).filter(|_| is_there).copied().unwrap_or_default();
        printed + Estimate::exact(wider)
    }

    /// So many pieces of which one is known: all have what their mean is off, and each how it differs from it.
    pub fn pieces_alike(&mut self, one: &Estimate, count: usize) -> Vec<Estimate> {
        let is_own = |doubt: &&Doubt| doubt.origin == Origin::OfOnePiece;
        let own: Vec<(DoubtId, Length, Doubt)> = one
            .contributions()
            .filter_map(|(id, u)| Some((id, u, self.doubts.get(id).filter(is_own)?.clone())))
            .collect();
        let mut piece = |number: usize| {
            own.iter().fold(one.clone(), |piece, (id, u, doubt)| {
                if number == 0 {
                    return piece;
                }
                let doubts = &mut self.doubts;
                let own = self.own.entry((*id, number)).or_insert_with(|| doubts.enter(doubt.clone(), *u));
                piece.without(*id) + own.clone()
            })
        };
        (0..count).map(&mut piece).collect()
    }

    /// By how much a part's size differs from the wanted one.
    pub fn error(&mut self, part: PartKind, size: SizeOf) -> Estimate {
        let Sized { wanted, printed, .. } = self.size(PieceSize { part, size });
        printed - Estimate::exact(wanted)
    }

    fn size(&mut self, size: PieceSize) -> Sized {
        if let Some(known) = self.sizes.get(&size) {
            return known.clone();
        }
        let layout = self.set.layout(size.part);
        let all = self.pieces.entry(size.part).or_insert_with(|| {
            pieces(layout, size.part, Lie::usual(layout, size.part, self.family.printer.bed))
        });
        // Checks ask for sizes that their part has; anything else is no size at all. But screw holes of which no distance
        // can be read stand where the printer puts them too.
        let found = all.iter().find(|p| p.size == size).map(|p| (p.wanted, p.finished, p.made));
        let (bare, wanted, made) = found.unwrap_or_else(|| match size.size {
            SizeOf::ScrewPitch => (layout.screw_pitch(), layout.screw_pitch(), Made::Between(Axis::X)),
            _ => (Length::ZERO, Length::ZERO, Made::Depth),
        });
        let key = || (self.position.name.clone(), size);
        // What is kept is printed, and may have been read.
        let is_there = self.of_pieces || self.set.is_kept(size.part);
        let read = if is_there { self.family.pieces.get(&key()) } else { None };
        let printed = read.cloned().unwrap_or_else(|| {
            let of = Quantity::Piece(self.position.name.clone(), size);
            match layout.wanted.sheet(size.part) {
                Some(sheet) => sheet.made(bare, made, Some(of), &mut self.doubts),
                None => self.family.printer.made(bare, made, Some(of), &mut self.doubts),
            }
        });
        let coat = self.coat(layout, size, read.is_some());
        let of = Some(Quantity::Piece(self.position.name.clone(), size));
        let mark = self.doubts.enter(Doubt::new(of, Origin::Print, f64::INFINITY), MARK);
        let mark_id = mark.contributions().next().map(|(id, _)| id);
        let added = coat.as_ref().map_or(Length::ZERO, Estimate::value);
        let printed = coat.into_iter().fold(printed + mark, |printed, coat| printed + coat);
        let sized = Sized { wanted, printed, coat: added, mark: mark_id };
        self.sizes.insert(size, sized.clone());
        sized
    }

    /// What the finish adds to a size of a part with this layout; none where nothing is put on it, or it was read since.
    fn coat(&mut self, layout: &Layout, size: PieceSize, is_read: bool) -> Option<Estimate> {
        let key = (self.position.name.clone(), size);
        let is_after = is_read && self.family.finished.read.contains(&key);
        if self.is_bare || size.finished_faces() == 0 || is_after {
            return None;
        }
        let finish = finish::of(self.family, self.position, layout, size.part)?;
        let doubts = &mut self.doubts;
        let face = self.coats.entry(size.part).or_insert_with(|| {
            let doubt = Doubt::new(None, Origin::Finish, f64::INFINITY);
            doubts.enter(doubt, finish.within() / 3f64.sqrt()).moved_to(finish.adds())
        });
        Some(face.clone() * size.finished_faces() as f64)
    }

    /// All printed sizes met so far.
    pub fn sizes(&self) -> impl Iterator<Item = PrintedSize> {
        let position = &self.position.name;
        let of = |(size, sized): (&PieceSize, &Sized)| {
            let printed = sized.printed.clone();
            let (position, mark, coat) = (position.clone(), sized.mark?, sized.coat);
            Some(PrintedSize { position, size: *size, printed, mark, coat })
        };
        self.sizes.iter().filter_map(of)
    }

    /// A size of a part that is not measured on any piece, as the printer makes it, or the cutter.
    pub fn unread(&mut self, part: PartKind, wanted: Length, made: Made) -> Estimate {
        match self.set.layout(part).wanted.sheet(part) {
            Some(sheet) => sheet.made(wanted, made, None, &mut self.doubts),
            None => self.family.printer.made(wanted, made, None, &mut self.doubts),
        }
    }

    /// What is left between a hole and an edge, or between two holes: as thick as walls grow and holes
    /// shrink.
    pub fn web(&mut self, part: PartKind, wanted: Length) -> Estimate {
        let one = self.unread(part, wanted, Made::Between(Axis::X));
        let is_cut = self.set.layout(part).wanted.sheet(part).is_some();
        let Some(profile) = self.family.printer.profile().filter(|_| !is_cut) else { return one };
        let doubt = |made: Made, size: Length| {
            let printed = profile.printed(profile.drawn(size, made), made);
            printed.moved_to(Length::ZERO)
        };
        // Half of a short outer length's error, and half of a small hole's.
        let short = Length::from_mm(3.0);
        one + doubt(Made::Outer(Axis::X), short) * 0.5 - doubt(Made::Hole, short) * 0.5
    }

    /// A size that is known to lie within plus or minus `half`.
    pub fn spread(&mut self, size: Length, half: Length, origin: Origin) -> Estimate {
        let doubt = Doubt::new(None, origin, f64::INFINITY);
        self.doubts.enter(doubt, half / 3f64.sqrt()).moved_to(size)
    }

    /// Of several margins the one that is least likely to hold, with what it belongs to, and all the
    /// others; among equally likely ones the smallest. (The smallest margin need not be the most
    /// doubtful.) Beyond 99.9 % all are equally likely, and below 0.1 % too: nobody asks which fails once in a million, but how
    /// much there is to spare, or lacking.
    pub fn least_likely<T>(
        &self,
        all: impl IntoIterator<Item = (Estimate, T)>,
    ) -> Option<(Estimate, T, Vec<Estimate>)> {
        let mut all: Vec<(Estimate, T)> = all.into_iter().collect();
        let rated = all.iter().map(|(m, _)| {
            // What differs by less than a nanometre is alike: then the more doubtful one.
            let value = (m.value().as_mm() * 1e6).round();
            (probability(m, &self.doubts).clamp(1.0 - SURE, SURE), value, -m.uncertainty().as_mm())
        });
        let order = |a: &(f64, f64, f64), b: &(f64, f64, f64)| {
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
        };
        let least = rated.enumerate().min_by(|(_, a), (_, b)| order(a, b))?.0;
        let (margin, of) = all.swap_remove(least);
        Some((margin, of, all.into_iter().map(|(m, _)| m).collect()))
    }

    /// Of what holds a part at its place the margin that is least likely to hold, where that is decided, and all others.
    pub fn least_likely_of(&self, pose: &Pose) -> Option<(Estimate, Where, Vec<Estimate>)> {
        let all: Vec<(Estimate, Where)> = pose.certificates().into_iter().map(|c| (c.margin, c.at)).collect();
        let least = all.iter().map(|c| c.0.value().as_mm()).fold(f64::INFINITY, f64::min);
        let (all, ample): (Vec<_>, Vec<_>) =
            all.into_iter().partition(|c| c.0.value().as_mm() <= least + MORE);
        let (margin, at, mut rest) = self.least_likely_at(all)?;
        rest.extend(ample.into_iter().map(|c| c.0));
        Some((margin, at, rest))
    }

    /// Of margins of one part in its place.
    fn least_likely_at(&self, all: Vec<(Estimate, Where)>) -> Option<(Estimate, Where, Vec<Estimate>)> {
        // Where arcs run side by side a corner is as tight as the sides, which are simpler to read.
        let (corners, others): (Vec<_>, Vec<_>) = all.into_iter().partition(|c| c.1 == Where::Corners);
        let least = others
            .iter()
            .map(|c| c.0.value())
            .fold(None, |least: Option<Length>, value| Some(least.map_or(value, |least| least.min(value))));
        let is_tighter = |c: &&(Estimate, Where)| {
            least.is_none_or(|least| c.0.value() < least - MARK) || probability(&c.0, &self.doubts) < SURE
        };
        if corners.iter().any(|c| is_tighter(&c)) {
            return self.least_likely(others.into_iter().chain(corners));
        }
        let (margin, at, mut rest) = self.least_likely(others)?;
        rest.extend(corners.into_iter().map(|c| c.0));
        Some((margin, at, rest))
    }

    /// A play that something off the middle uses up on either side: the margin on the side where it
    /// lies, and that on the other.
    pub fn either_side(play: &Estimate, off: &Estimate) -> (Estimate, Estimate) {
        let (right, left) = (play.clone() - off.clone(), play.clone() + off.clone());
        if off.value() < Length::ZERO { (left, right) } else { (right, left) }
    }

    /// What margins lack together to be called a fit, rounded up to 0.01 mm; zero when nothing is
    /// lacking.
    pub fn short(&self, margin: &Estimate, others: &[Estimate]) -> Length {
        let enough = |more: f64| {
            let raised = std::iter::once(margin).chain(others).map(|m| {
                let value = m.value() + Length::from_mm(more);
                m.clone().moved_to(value)
            });
            holds_with(CONFIDENCE, &raised.collect::<Vec<_>>(), &self.doubts)
        };
        // One margin alone lacks this much where its doubt is normal; a few steps from there do it.
        let lacking = 1.645 * margin.uncertainty().as_mm() - margin.value().as_mm();
        shortfall(lacking, enough)
    }

    /// Enters a check with its verdict.
    pub fn enter(&mut self, draft: Draft) {
        if self.is_beside(draft.kind) {
            return;
        }
        let probability = holds(std::iter::once(&draft.margin).chain(&draft.others), &self.doubts);
        self.enter_with_chance(draft, probability, None);
    }

    /// Enters a check of a part that lies where it lies best.
    pub fn enter_posed(&mut self, draft: Draft, pose: Pose) {
        if self.is_beside(draft.kind) {
            return;
        }
        // All of it holds no more often than what holds least.
        let at_most = probability(&draft.margin, &self.doubts);
        let probability = match self.only {
            Some((_, aim)) if at_most < aim => at_most,
            _ => pose.chance(std::iter::once(&draft.margin).chain(&draft.others), &self.doubts),
        };
        self.enter_with_chance(draft, probability, Some(pose));
    }

    /// Is something else asked for?
    fn is_beside(&self, kind: CheckKind) -> bool {
        self.only.is_some_and(|(only, _)| only != kind)
    }

    fn enter_with_chance(&mut self, draft: Draft, probability: f64, pose: Option<Pose>) {
        self.checks.push(Check {
            position: self.position.name.clone(),
            kind: draft.kind,
            at: draft.at,
            title: draft.title,
            probability,
            verdict: Verdict::of(probability),
            figures: draft.figures,
            why: draft.why,
            help: draft.help,
            doubt: self.doubts.main_doubt(&draft.margin),
            assumed: in_margins(std::iter::once(&draft.margin).chain(&draft.others), &self.doubts),
            margin: draft.margin,
            others: draft.others,
            pose,
        });
    }
}

/// How much more is enough, from what seems to be lacking, mm; rounded up to 0.01 mm, zero where nothing lacks.
pub(crate) fn shortfall(lacking: f64, enough: impl Fn(f64) -> bool) -> Length {
    if enough(0.0) {
        return Length::ZERO;
    }
    let guess = (lacking * 100.0).ceil().max(1.0) as u32;
    Length::from_mm(f64::from(least(guess, |n| enough(f64::from(n) / 100.0))) / 100.0)
}

/// The least whole number that is enough, from a guess outwards in doubling steps, then by halves; what
/// is not enough at a million is taken for enough.
fn least(guess: u32, enough: impl Fn(u32) -> bool) -> u32 {
    const MOST: u32 = 1_000_000;
    let (mut low, mut high, mut step) = (0, guess.min(MOST), 1);
    if enough(high) {
        while high > step && enough(high - step) {
            (high, step) = (high - step, step * 2);
        }
        low = high.saturating_sub(step);
    } else {
        while high < MOST && !enough(high) {
            (low, high, step) = (high, high + step, step * 2);
        }
    }
    while high - low > 1 {
        let middle = low.midpoint(high);
        if enough(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

/// A figure from an estimate.
pub(crate) fn figure(label: impl Into<String>, value: &Estimate) -> Figure {
    Figure { label: label.into(), value: value.value(), uncertainty: value.uncertainty() }
}

#[cfg(test)]
mod tests {
    use super::least;

    #[test]
    fn the_least_is_found_from_any_guess() {
        for truth in [1, 2, 3, 57, 1000, 99_999] {
            for guess in [1, 2, 56, 57, 58, 400, 250_000] {
                assert_eq!(least(guess, |n| n >= truth), truth, "from {guess}");
            }
        }
    }
}
