//! Which readings to take again, so that what is too close to call gets called.

use bobbinwright_spec::{Doubt, Doubts, Estimate, Origin, PositionQuantity as P, Quantity};

use crate::assumed::listed;
use crate::kind::CheckKind;
use crate::pose::Pose;
use crate::verdict::Verdict;
use crate::{Check, Fit};
use bobbinwright_estimate::{More, holds};

/// More repeats than this of one reading nobody takes at a bench, and they hardly tell more.
const MOST: usize = 10;

/// Of so many readings every combination is tried; those with a smaller share of the doubt are not.
const CANDIDATES: usize = 8;

/// What would settle the checks that are too close to call.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToRepeat {
    /// The fewest quantities to read again, the one that tells most first. If the new readings come
    /// out like the old ones, every check is settled but the [`ToRepeat::open`] ones.
    pub again: Vec<Again>,
    /// Checks that no reading settles.
    pub open: Vec<Open>,
}

/// A quantity to read again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Again {
    /// What.
    pub quantity: Quantity,
    /// In which of its spots, when it is read in several.
    pub spot: Option<String>,
    /// How many readings more.
    pub times: usize,
}

/// A check that stays too close to call however often anything is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Open {
    /// Its position.
    pub position: String,
    /// What it is about.
    pub kind: CheckKind,
    /// What most of its doubt comes from, and its share of the variance.
    pub cause: Option<(Cause, f64)>,
}

impl Fit {
    /// The shortest list of readings to take again, and what no reading settles.
    pub fn to_repeat(&self) -> ToRepeat {
        let close: Vec<&Check> = self.checks.iter().filter(|c| c.verdict == Verdict::TooClose).collect();
        let candidates = candidates(&close, &self.doubts);
        let with_all: Vec<More<Quantity>> = candidates.iter().map(|read| read.times(MOST)).collect();
        let (can, open): (Vec<&Check>, Vec<&Check>) =
            close.into_iter().partition(|c| c.is_settled_by(&with_all, &self.doubts));
        let settles = |more: &[More<Quantity>]| can.iter().all(|c| c.is_settled_by(more, &self.doubts));
        let fewest = combinations(&candidates).into_iter().find(|some| {
            let more: Vec<More<Quantity>> = some.iter().map(|read| read.times(MOST)).collect();
            settles(&more)
        });
        let again = fewest.map(|some| fewest_times(&some, settles)).unwrap_or_default();
        let open = open.into_iter().map(|c| Open {
            position: c.position.clone(),
            kind: c.kind,
            cause: self.doubts.shares(&c.margin, |doubt| Cause::of(doubt, c.kind)).into_iter().next(),
        });
        ToRepeat { again, open: open.collect() }
    }
}

impl ToRepeat {
    /// The same for a person, a line each; none where nothing is too close to call.
    pub fn lines(&self) -> Vec<String> {
        self.again_lines().into_iter().chain(self.open_lines()).collect()
    }

    /// What stays open; of several for the same reason one line.
    fn open_lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for (i, open) in self.open.iter().enumerate() {
            let Some(what) = open.other() else {
                lines.push(open.words());
                continue;
            };
            if self.open[..i].iter().any(|before| before.other() == Some(what)) {
                continue;
            }
            let alike = self.open[i..].iter().filter(|o| o.other() == Some(what));
            let names: Vec<String> = alike.map(|o| format!("{} {}", o.position, o.kind.name())).collect();
            lines.push(match &names[..] {
                [_] => open.words(),
                all => format!(
                    "{MOST} more readings of anything would not settle {}: most of their doubt is {what}.",
                    listed(all)
                ),
            });
        }
        lines
    }

    fn again_lines(&self) -> Vec<String> {
        if self.again.is_empty() {
            return Vec::new();
        }
        let one = |a: &Again| {
            let times = if a.times == 1 { "once more".into() } else { format!("{} times more", a.times) };
            let spot = a.spot.as_ref().map_or(String::new(), |spot| format!(" at its spot {spot:?}"));
            let on = if matches!(a.quantity, Quantity::Coupon(_)) { "on the printer's coupon " } else { "" };
            format!("  {on}{}{spot}, {times} ({})", a.quantity, a.quantity.describe())
        };
        let head = "To settle what is too close to call, read again:".to_owned();
        std::iter::once(head).chain(self.again.iter().map(one)).collect()
    }
}

impl Open {
    /// What most of its doubt is, where that is no reading.
    fn other(&self) -> Option<&str> {
        match &self.cause {
            Some((Cause::Other(what), _)) => Some(what),
            _ => None,
        }
    }

    fn words(&self) -> String {
        let (position, name) = (&self.position, self.kind.name());
        match &self.cause {
            Some((Cause::Contradiction(of), share)) => format!(
                "{position} {name}: {:.0} % of its doubt is that the readings of {of} contradict each other, or others; settle that first.",
                share * 100.0
            ),
            Some((Cause::Elsewhere(of), share)) => format!(
                "{position} {name}: {:.0} % of its doubt is what {of} is where it was not read; read it at another spot.",
                share * 100.0
            ),
            Some((Cause::OtherHoles(of), share)) => format!(
                "{position} {name}: {:.0} % of its doubt is what {of} is in the holes that were not read; read another one.",
                share * 100.0
            ),
            Some((Cause::Unread(of), share)) => format!(
                "{position} {name}: {:.0} % of its doubt is what is assumed of {of}, which was not read; read it.",
                share * 100.0
            ),
            Some((Cause::Other(what), share)) => format!(
                "{MOST} more readings of anything would not settle {position} {name}: {:.0} % of its doubt is {what}.",
                share * 100.0
            ),
            None => format!("{MOST} more readings of anything would not settle {position} {name}."),
        }
    }
}

impl Check {
    /// Would the check be called, one way or the other, with so many readings more?
    fn is_settled_by(&self, more: &[More<Quantity>], doubts: &Doubts) -> bool {
        // What is open now is not settled by nothing, however else its chance was worked out.
        if more.is_empty() {
            return self.verdict != Verdict::TooClose;
        }
        let then = doubts.if_repeated(more);
        let margins: Vec<Estimate> = self.margins().map(|m| then.of(m)).collect();
        let chance = match &self.pose {
            None => holds(&margins, then.doubts()),
            Some(pose) => pose.with(|e| then.of(e)).chance(margins.iter(), then.doubts()),
        };
        Verdict::of(chance) != Verdict::TooClose
    }
}

impl Check {
    /// What must hold, as conditions on a place where it is about one.
    pub(crate) fn conditions(&self) -> Pose {
        self.pose.clone().unwrap_or_else(|| Pose::of_margins(self.margins()))
    }

    /// All margins that must hold.
    pub(crate) fn margins(&self) -> impl Iterator<Item = &Estimate> {
        std::iter::once(&self.margin).chain(&self.others)
    }
}

/// Something that was read, in one of its spots.
#[derive(Clone, PartialEq)]
struct Read {
    quantity: Quantity,
    spot: Option<String>,
}

impl Read {
    /// It, read so many times more.
    fn times(&self, times: usize) -> More<Quantity> {
        (self.quantity.clone(), self.spot.clone(), times)
    }
}

/// Readings whose scatter is part of the doubt, by their share in all checks together.
fn candidates(close: &[&Check], doubts: &Doubts) -> Vec<Read> {
    let scatter = |d: &Doubt| match d.origin {
        Origin::Scatter { .. } => d.quantity.clone().map(|quantity| Read { quantity, spot: d.spot.clone() }),
        _ => None,
    };
    let mut shares: Vec<(Read, f64)> = Vec::new();
    for check in close {
        let of_all = check.margins().flat_map(|m| doubts.shares(m, scatter));
        for (read, share) in of_all.filter_map(|(read, share)| Some((read?, share))) {
            match shares.iter_mut().find(|(known, _)| *known == read) {
                Some((_, sum)) => *sum += share,
                None => shares.push((read, share)),
            }
        }
    }
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    shares.into_iter().take(CANDIDATES).map(|(read, _)| read).collect()
}

/// All combinations, the shortest first; among equally long ones those of the first items first.
fn combinations(all: &[Read]) -> Vec<Vec<&Read>> {
    let chosen =
        |mask: usize| all.iter().enumerate().filter(move |(i, _)| mask >> i & 1 == 1).map(|(_, q)| q);
    let mut sets: Vec<Vec<&Read>> = (0..1usize << all.len()).map(|mask| chosen(mask).collect()).collect();
    sets.sort_by_key(Vec::len);
    sets
}

/// The fewest repeats of each: first as many of all as are needed, then less of each where that does.
fn fewest_times(some: &[&Read], settles: impl Fn(&[More<Quantity>]) -> bool) -> Vec<Again> {
    let alike = |n: usize| some.iter().map(|read| read.times(n)).collect::<Vec<_>>();
    let Some(mut more) = (1..=MOST).map(alike).find(|more| settles(more)) else { return Vec::new() };
    for i in (0..more.len()).rev() {
        while more[i].2 > 1 {
            more[i].2 -= 1;
            if !settles(&more) {
                more[i].2 += 1;
                break;
            }
        }
    }
    more.into_iter().map(|(quantity, spot, times)| Again { quantity, spot, times }).collect()
}

/// What a doubt comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cause {
    /// Readings that can't all be true, of this.
    Contradiction(String),
    /// What this is in places where it was not read.
    Elsewhere(String),
    /// What this is in the holes that were not read.
    OtherHoles(String),
    /// What this is, which was not read at all.
    Unread(String),
    /// In words.
    Other(String),
}

impl Cause {
    fn of(doubt: &Doubt, kind: CheckKind) -> Self {
        let of = |what: &str| match &doubt.quantity {
            Some(quantity) => format!("{what} {quantity}"),
            None => what.to_owned(),
        };
        Self::Other(match doubt.origin {
            Origin::Contradiction => {
                let quantity = doubt.quantity.as_ref().map(ToString::to_string);
                return Self::Contradiction(quantity.unwrap_or_default());
            }
            Origin::Print => "the printer's tolerance".into(),
            Origin::Cut => "the cutter's tolerance, and the sheet's".into(),
            Origin::Finish => {
                "how thick the finish gets; a scrap of the same print that you finish first would tell (finish: adds)".into()
            }
            Origin::Scatter { .. } => of("the scatter of"),
            Origin::OfOnePiece => of("how one piece differs from the next in"),
            Origin::ToolError if doubt.quantity.is_none() => {
                "what the caliper is off by in all that it reads, which no repeat shows; the same read with another one would tell".into()
            }
            Origin::Resolution | Origin::ToolError => of("the tool's own error in"),
            Origin::Stated => of("the stated tolerance of"),
            Origin::Elsewhere { .. } if matches!(doubt.quantity, Some(Quantity::Piece(..))) => {
                return Self::OtherHoles(doubt.quantity.as_ref().map(ToString::to_string).unwrap_or_default());
            }
            Origin::Elsewhere { .. } => {
                let quantity = doubt.quantity.as_ref().map(ToString::to_string);
                return Self::Elsewhere(quantity.unwrap_or_default());
            }
            Origin::Station => of("where along a slanted side jaws stood for") + "; a spot that says how far from the side, like \"neck side, 6 mm\", would tell",
            Origin::Straightness => "how straight the rout's sides are".into(),
            // Strings that were read at one edge of the rout.
            Origin::Assumed if matches!(doubt.quantity, Some(Quantity::At(_, P::BassSide))) => {
                return Self::Elsewhere(doubt.quantity.as_ref().map(ToString::to_string).unwrap_or_default());
            }
            Origin::Planned => of("that nothing is routed yet of"),
            Origin::Assumed if matches!(doubt.quantity, Some(Quantity::At(..))) => {
                let quantity = doubt.quantity.as_ref().map(ToString::to_string);
                return Self::Unread(quantity.unwrap_or_default());
            }
            Origin::Assumed if doubt.quantity.is_some() => of("what is assumed of"),
            Origin::Assumed if kind == CheckKind::CoilOnBobbin => {
                "how tightly it is wound, which is taken as is usual; a coil that you wound and measured would tell (packing: measured)".into()
            }
            Origin::Assumed => "where cover and bobbin lie within their play".into(),
        })
    }
}
