//! What changed between two versions of a family, and what that means for the parts that are printed.

mod parts;
mod stated;
mod words;

use bobbinwright_fit::{Contradicted, Whole};
use bobbinwright_kernel::TooManyContours;
use bobbinwright_spec::{Copy, Length, PartKind, PieceSize, Problems, Quantity, Survey, Unit};

use crate::Prepared;

pub use parts::{PartChange, PositionChanges, sizes_of};
pub use stated::{readings, wanted};
pub use words::from_middle;

/// A family, read and built.
pub struct Version {
    /// What it is called beside another: a folder, a day of it, a build of it.
    pub name: String,
    /// What is known of it.
    pub survey: Survey,
    /// Its parts and checks.
    pub prepared: Prepared,
}

impl Version {
    /// Builds what is known of a family.
    pub fn new(name: impl Into<String>, survey: Survey) -> Result<Self, Problems> {
        let prepared = Prepared::new(survey.clone().family()?)?;
        Ok(Self { name: name.into(), survey, prepared })
    }
}

/// What changed from an earlier to a later version.
pub struct Changes {
    /// The later family's folder name.
    pub slug: String,
    /// The later family's title.
    pub title: String,
    /// In which the later family was measured.
    pub unit: Unit,
    /// What the earlier and the later version are called.
    pub between: [String; 2],
    /// Readings that give something else, a line each.
    pub readings: Vec<String>,
    /// Of what the readings contradict each other or others, so that what stays and what goes hangs on it.
    pub contradicted: Vec<Quantity>,
    /// What is wanted otherwise, a line each.
    pub wanted: Vec<String>,
    /// The printer is another, or known otherwise.
    pub printer: bool,
    /// Sizes of parts that follow.
    pub sizes: Vec<SizeChange>,
    /// Positions that only the later version has.
    pub new: Vec<String>,
    /// Positions that only the earlier version has.
    pub gone: Vec<String>,
    /// Positions of both.
    pub positions: Vec<PositionChanges>,
}

/// What readings contradict that a pickup's verdict hangs on.
fn contradicted(b: &Prepared) -> Vec<Quantity> {
    let of = |whole: &Whole| match &whole.contradicted {
        Some(Contradicted::Readings(of)) => Some(of.clone()),
        _ => None,
    };
    b.fit.wholes().iter().filter_map(of).collect()
}

/// A size that is another than it was.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeChange {
    /// The position's name.
    pub position: String,
    /// Which size.
    pub size: PieceSize,
    /// What it was; none where the part had no such size.
    pub before: Option<Length>,
    /// What it is; none where the part has no such size any more.
    pub now: Option<Length>,
}

impl Changes {
    /// Compares two versions, on as many threads as the machine has cores.
    pub fn between(earlier: &Version, later: &Version) -> Result<Self, TooManyContours> {
        let (a, b) = (&earlier.prepared, &later.prepared);
        let names = |p: &Prepared| p.family.positions.iter().map(|p| p.name.clone()).collect::<Vec<_>>();
        let (before, now) = (names(a), names(b));
        let only = |some: &[String], others: &[String]| {
            some.iter().filter(|name| !others.contains(name)).cloned().collect::<Vec<_>>()
        };
        let benches = parts::printed_whole(a, b);
        Ok(Self {
            slug: b.family.slug.clone(),
            title: b.family.title.clone(),
            contradicted: contradicted(b),
            unit: b.family.unit(),
            between: [&earlier.name, &later.name].map(Clone::clone),
            readings: readings(&earlier.survey, &later.survey),
            wanted: wanted(earlier, later),
            printer: stated::printer(&a.family.printer, Unit::Mm)
                != stated::printer(&b.family.printer, Unit::Mm),
            sizes: parts::sizes(&benches, b),
            new: only(&now, &before),
            gone: only(&before, &now),
            positions: parts::positions(&benches, b)?,
        })
    }

    /// Compares the copies that lie on the bench, each with the version that it was drawn for where that is known, with what
    /// would be made now; none where it is known of none. What was read and wanted otherwise is since the last of them was
    /// printed.
    pub fn of_copies(
        copies: &[(&Copy, Option<&Version>)],
        later: &Version,
    ) -> Option<Result<Self, TooManyContours>> {
        let known = || copies.iter().filter_map(|(copy, version)| Some((*copy, (*version)?)));
        let (_, newest) = known().max_by_key(|(copy, _)| copy.entry)?;
        let b = &later.prepared;
        let bench = |j: usize| {
            let position = &b.family.positions[j];
            let copies = PartKind::ALL.map(|kind| {
                copies.iter().find(|(copy, _)| copy.position == position.name && copy.kind == kind)
            });
            let earlier = copies.map(|copy| {
                let before = &copy?.1?.prepared;
                let i = before.family.positions.iter().position(|p| p.name == position.name)?;
                before.positions.get(i)
            });
            let copies = copies.map(|copy| copy.map(|(copy, _)| *copy));
            parts::Bench { name: &position.name, later: j, earlier, copies }
        };
        let is_printed = |bench: &parts::Bench| bench.copies.iter().any(Option::is_some);
        let benches = (0..b.family.positions.len()).map(bench).filter(is_printed);
        let benches: Vec<parts::Bench> = benches.collect();
        let names = || b.family.positions.iter().map(|p| p.name.clone());
        let mut gone: Vec<String> = copies.iter().map(|(copy, _)| copy.position.clone()).collect();
        gone.retain(|name| names().all(|known| known != *name));
        gone.dedup();
        let printer = |prepared: &Prepared| stated::printer(&prepared.family.printer, Unit::Mm);
        Some(parts::positions(&benches, b).map(|positions| Self {
            slug: b.family.slug.clone(),
            title: b.family.title.clone(),
            contradicted: contradicted(b),
            unit: b.family.unit(),
            between: ["what lies on the bench".to_owned(), later.name.clone()],
            readings: readings(&newest.survey, &later.survey),
            wanted: wanted(newest, later),
            // Any of them may have been drawn for another printer, or for one that was known otherwise.
            printer: known().any(|(_, version)| printer(&version.prepared) != printer(b)),
            sizes: parts::sizes(&benches, b),
            new: names().filter(|name| benches.iter().all(|bench| bench.name != name)).collect(),
            gone,
            positions,
        }))
    }

    /// Parts that changed by more than can be seen.
    pub fn changed_parts(&self) -> impl Iterator<Item = &PartChange> {
        self.positions.iter().flat_map(|p| &p.parts).filter(|p| !p.is_small())
    }

    /// Nothing changed, neither what is read or wanted nor any part, and all parts can stay.
    pub fn is_none(&self) -> bool {
        let same = |p: &PositionChanges| p.parts.iter().all(|part| part.found.is_none() && part.choice.stays);
        self.readings.is_empty()
            && self.wanted.is_empty()
            && self.new.is_empty()
            && self.gone.is_empty()
            && self.positions.iter().all(same)
    }
}

/// Positions that two versions both have: the name and the indices in each.
fn both<'p>(a: &'p Prepared, b: &Prepared) -> Vec<(&'p str, usize, usize)> {
    let find = |name: &str| b.family.positions.iter().position(|p| p.name == name);
    let named = a.family.positions.iter().enumerate();
    named.filter_map(|(i, p)| Some((p.name.as_str(), i, find(&p.name)?))).collect()
}
