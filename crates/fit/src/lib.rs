//! Whether the parts fit the instrument, in numbers.
//!
//! [`check`] holds every part of a family against rout, strings, bought parts and printer. Each
//! [`Check`] has a margin in mm (positive: it fits, with that much to spare), the margin's
//! uncertainty, the figures it was made from, and what to change when it does not fit. Distances
//! are taken between exact lines and arcs, never between meshes.

mod act;
mod assumed;
mod bench;
mod coil;
mod cut;
mod finish;
mod help;
mod inside;
mod keep;
mod kind;
mod lead;
mod lie;
mod next;
mod next_words;
mod pieces;
mod place;
mod pose;
mod print;
mod repeat;
mod rework;
mod rods;
mod rout;
mod screws;
mod set;
mod snug;
mod strings;
mod tried;
mod unguarded;
mod verdict;
mod webs;
mod whole;

pub use act::Act;
pub use assumed::{Assumed, Belief, in_words};
pub use help::{Bought, Help};
pub use keep::{Choice, Keeping, keep};
pub use kind::{CheckKind, Where};
pub use lie::{AtScrew, Beside, Lie};
pub use next::{Next, ToDo};
pub use pieces::{Deciding, deciding};
pub use place::{Place, Standpoint};
pub use repeat::{Again, Cause, Open, ToRepeat};
pub use rework::Rework;
pub use snug::{NotSnug, make_snug};
pub use tried::{Told, Tried};
pub use unguarded::Unguarded;
pub use verdict::{COMFORT, CONFIDENCE, Verdict};
pub use whole::{Contradicted, Whole};

use std::sync::OnceLock;

use bench::Bench;
use bobbinwright_estimate::{Moved, probability};
use bobbinwright_geometry::parts::PositionParts;
use bobbinwright_kernel::threads;
use bobbinwright_spec::{
    DoubtId, Doubts, Estimate, Family, FanOut, Length, PartKind, PieceSize, Quantity, Sentence,
};
use pose::Pose;
use set::PartSet;
pub use set::Printed;

/// Something that must hold for the parts to fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// The position it concerns.
    pub position: String,
    /// What it is about.
    pub kind: CheckKind,
    /// Where it is decided.
    pub at: Where,
    /// What is checked, in words, with the place where it is tightest.
    pub title: String,
    /// What is to spare at the place where that is least likely to be enough; negative when it does not
    /// fit.
    pub margin: Estimate,
    /// Probability that it fits, 0 to 1: that no margin is negative, at this place or at any other of
    /// the same check.
    pub probability: f64,
    /// In one of three words.
    pub verdict: Verdict,
    /// What the margin was worked out from.
    pub figures: Vec<Figure>,
    /// What is wrong if it does not fit.
    pub why: Sentence,
    /// What may help then, the likeliest first.
    pub help: Vec<Help>,
    /// The reading that contributes most to the doubt, and its share of the variance.
    pub doubt: Option<(Quantity, f64)>,
    /// What it takes for granted that nobody measured; the doubt of that is in the margins.
    pub assumed: Vec<Assumed>,
    /// The margins of other places, and of the other side, which must hold too.
    others: Vec<Estimate>,
    /// The conditions on the place of a part, where it is about one: the margins are what holds it.
    pose: Option<Pose>,
}

/// A length that went into a check.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is.
    pub label: String,
    /// Its value.
    pub value: Length,
    /// Its standard uncertainty; zero for what is wanted.
    pub uncertainty: Length,
}

/// A size of a printed part, as it was read or as the printer makes it.
#[derive(Clone, Debug, PartialEq)]
struct PrintedSize {
    position: String,
    size: PieceSize,
    printed: Estimate,
    /// A doubt that only this size has.
    mark: DoubtId,
    /// What the finish adds to it after it is read.
    coat: Length,
}

impl PrintedSize {
    /// The same over another table of doubts.
    fn told(self, moved: Moved) -> Self {
        Self { printed: moved.of(self.printed), mark: moved.id(self.mark), ..self }
    }
}

/// How well two independent ways to the strings' spread agree.
#[derive(Clone, Debug, PartialEq)]
pub struct Agreement {
    /// The position.
    pub position: String,
    /// By fan-out from nut and bridge.
    pub predicted: Estimate,
    /// Read over the position.
    pub read: Estimate,
    /// Difference over its standard uncertainty.
    pub ratio: f64,
    /// The readings' doubts explain it, 99 times of 100.
    pub agrees: bool,
}

/// All checks of a family.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Position by position, in a fixed order.
    pub checks: Vec<Check>,
    /// Spread of the strings in two ways, where both are known.
    pub agreements: Vec<Agreement>,
    /// The family's causes of doubt, printed sizes added.
    pub doubts: Doubts,
    /// The printed sizes that went into the checks.
    sizes: Vec<PrintedSize>,
    /// What was tried of printed parts, and what that says.
    pub told: Vec<Told>,
    /// The pickups as wholes, once somebody has asked.
    wholes: OnceLock<Vec<Whole>>,
    /// Readings that verdicts believe and nothing guards, once somebody has asked.
    unguarded: OnceLock<Vec<Unguarded>>,
}

impl Fit {
    /// Checks from the worst verdict to the best, each with the smaller chance first and, where chances are alike or
    /// nothing can help, with the smaller margin first.
    pub fn worst_first(&self) -> Vec<&Check> {
        let mut order: Vec<&Check> = self.checks.iter().collect();
        // What clashes does so for certain; the rest by its chance, as far as that is told apart.
        let thousandths = |c: &Check| match c.verdict {
            Verdict::Clashes => 0,
            _ => (c.probability.min(0.999) * 1000.0) as u32,
        };
        order.sort_by(|a, b| {
            let margin = |c: &Check| c.margin.value().as_mm();
            a.verdict
                .cmp(&b.verdict)
                .then(thousandths(a).cmp(&thousandths(b)))
                .then(margin(a).total_cmp(&margin(b)))
        });
        order
    }

    /// The chance that a check's margin holds by itself, 0 to 1: of one rod, one screw, one place, as if there were no other.
    pub fn alone(&self, check: &Check) -> f64 {
        probability(&check.margin, &self.doubts)
    }

    /// The worst verdict on a whole pickup.
    pub fn verdict(&self) -> Verdict {
        self.wholes().iter().map(|w| w.verdict).min().unwrap_or(Verdict::Fits)
    }
}

/// Checks a family against the parts that were built for it, as the printer will make them. What went into the body before
/// tells of it: `tried`.
pub fn check(family: &Family, built: &[PositionParts], tried: &[Tried]) -> Fit {
    check_as(family, built, None, tried)
}

/// One kind of check of a position by its index, as [`check`] has it; none where that is not asked there. For whoever tries many
/// families and wants to know of each whether one thing has a chance of `aim`: where it surely has less, that is not drawn, and
/// what is told is more than it has.
pub fn check_one(
    family: &Family,
    built: &[PositionParts],
    tried: &[Tried],
    (index, kind, aim): (usize, CheckKind, f64),
) -> Option<Check> {
    let (position, parts) = (family.positions.get(index)?, built.get(index)?);
    let mut bench = Bench::new(family, position, PartSet::new(parts), family.doubts.clone());
    // With what was tried in the body a chance may be larger than it was.
    bench.only = Some((kind, if tried.is_empty() { aim } else { 0.0 }));
    bench.check();
    tried::tell(&mut bench, tried);
    bench.checks.into_iter().next()
}

/// Checks the printed pieces: sizes that were read on them count in place of wanted ones. `printed` says which of them are
/// of other builds, position by position; it may be empty.
pub fn check_pieces(family: &Family, built: &[PositionParts], printed: &[Printed], tried: &[Tried]) -> Fit {
    check_as(family, built, Some(printed), tried)
}

fn check_as(family: &Family, built: &[PositionParts], pieces: Option<&[Printed]>, tried: &[Tried]) -> Fit {
    let printed = pieces.unwrap_or_default().iter().copied().chain(std::iter::repeat([None; 4]));
    let positions: Vec<_> = family.positions.iter().zip(built).zip(printed).collect();
    let checked = threads::map(&positions, |((position, parts), printed)| {
        let set = PartSet::with_printed(parts, *printed);
        let mut bench = Bench::new(family, position, set, family.doubts.clone());
        bench.of_pieces = pieces.is_some();
        bench.check();
        let told = tried::tell(&mut bench, tried);
        (bench, told)
    });
    let fan_outs = positions.iter().filter_map(|((p, _), _)| Some((&p.name, p.fan_out.as_ref()?)));
    let mut fit = Fit {
        checks: Vec::new(),
        agreements: fan_outs.filter_map(|(name, fan)| agreement(name, fan, &family.doubts)).collect(),
        doubts: family.doubts.clone(),
        sizes: Vec::new(),
        told: Vec::new(),
        wholes: OnceLock::new(),
        unguarded: OnceLock::new(),
    };
    for (bench, told) in checked {
        let sizes: Vec<PrintedSize> = bench.sizes().collect();
        let moved = fit.doubts.absorb(bench.doubts, family.doubts.count());
        fit.checks.extend(bench.checks.into_iter().map(|check| check.told(moved)));
        fit.told.extend(told.into_iter().map(|told| told.moved(|e| moved.of(e.clone()))));
        fit.sizes.extend(sizes.into_iter().map(|size| size.told(moved)));
    }
    fit
}

impl Bench<'_> {
    /// Makes all checks.
    fn check(&mut self) {
        for part in [PartKind::Cover, PartKind::Baseplate] {
            rout::check(self, part);
        }
        strings::check(self);
        screws::check(self);
        inside::check(self);
        rods::check(self);
        coil::check(self);
        webs::check(self);
        print::check(self);
        cut::check(self);
        lead::check(self);
    }
}

fn agreement(position: &str, fan: &FanOut, doubts: &Doubts) -> Option<Agreement> {
    let read = fan.read.clone()?;
    let difference = fan.predicted.clone() - read.clone();
    let ratio = difference.value().as_mm().abs() / difference.uncertainty().as_mm().max(1e-9);
    let agrees = fan.contradiction(doubts).is_none();
    Some(Agreement { position: position.to_owned(), predicted: fan.predicted.clone(), read, ratio, agrees })
}

impl Check {
    /// What it hangs on, where it is drawn with others.
    pub(crate) fn inputs(&self) -> Vec<&Estimate> {
        match &self.pose {
            Some(pose) => pose.inputs(),
            None => self.margins().collect(),
        }
    }

    /// Path of the dimension that decides it most, where one does.
    pub fn parameter(&self) -> Option<&'static str> {
        self.help.iter().find_map(|help| match help {
            Help::Dimension(path) => Some(*path),
            _ => None,
        })
    }

    /// The same over another table of doubts.
    fn told(self, moved: Moved) -> Self {
        Self {
            margin: moved.of(self.margin),
            others: self.others.into_iter().map(|other| moved.of(other)).collect(),
            pose: self.pose.map(|pose| pose.with(|e| moved.of(e.clone()))),
            ..self
        }
    }

    /// The least of its margins: what is left in the best place, whichever of them is least likely to hold.
    pub fn least(&self) -> Length {
        let all = std::iter::once(&self.margin).chain(&self.others);
        all.map(Estimate::value).fold(self.margin.value(), Length::min)
    }

    /// The same check of the same position, in another judgement?
    pub fn is_same(&self, other: &Check) -> bool {
        self.position == other.position && self.kind.is_like(other.kind)
    }
}
