//! Where a position's bobbin is another than it was: on other rods, or on other plates since the last of one kind broke. What was
//! wound on the one before stays what it was, and is not on this one.

use std::collections::HashSet;

use crate::copies::{Copies, Plate};
use crate::live::readings_until;
use crate::log::{Log, Matter};
use crate::part::PartKind;
use crate::quantity::{InstrumentQuantity, Quantity};
use crate::series::Series;

/// What rods are known by.
pub(crate) const OF_RODS: [Quantity; 2] = [
    Quantity::Instrument(InstrumentQuantity::RodDiameter),
    Quantity::Instrument(InstrumentQuantity::RodLength),
];

/// Rods that were read afresh: others.
#[derive(Clone, Debug, PartialEq)]
struct OtherRods {
    of: Quantity,
    /// From which entry on they are there.
    from: usize,
    /// The entry that says so: a later one where that in its place was withdrawn.
    entry: usize,
}

/// From where on bobbins are others.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Bobbins {
    rods: Vec<OtherRods>,
    plates: Vec<Plate>,
}

/// Since when a bobbin is another, and by which entry.
#[derive(Clone, Copy)]
pub(crate) struct Since {
    pub from: usize,
    pub entry: usize,
}

impl Bobbins {
    /// Of a log in which something was wound; where nothing was nobody asks.
    pub fn of(log: &Log) -> Self {
        if !log.entries.iter().any(|entry| matches!(entry.matter, Matter::Wound(_))) {
            return Self::default();
        }
        let rods = OF_RODS.iter().flat_map(|of| others(log, of)).collect();
        Self { rods, plates: Copies::of(log).plates() }
    }

    /// What was read of rods before each time that others were.
    pub fn series<'l>(&self, log: &'l Log) -> Vec<((Quantity, usize), Vec<Series<'l>>)> {
        let of_one = |rods: &OtherRods| {
            let mut all = Vec::new();
            for read in readings_until(log, &rods.of, rods.from) {
                Series::sort_in(&mut all, read, &[]);
            }
            ((rods.of.clone(), rods.from), all)
        };
        self.rods.iter().map(of_one).collect()
    }

    /// Since when a position's bobbin is another than that on which a coil was begun in an entry: others of its rods were read, or
    /// all plates of a kind broke that it can be on.
    pub fn other_since(&self, position: &str, begun: usize) -> Option<Since> {
        let rods = self.rods.iter().filter(|rods| rods.from > begun);
        let rods = rods.map(|OtherRods { from, entry, .. }| Since { from: *from, entry: *entry });
        let of_kind = |kind: PartKind| {
            let is_there =
                |p: &&Plate| (p.position.as_str(), p.kind) == (position, kind) && p.printed < begun;
            let there = self.plates.iter().filter(is_there).map(|plate| plate.broken);
            let last = there.collect::<Option<Vec<usize>>>()?.into_iter().max()?;
            (last > begun).then_some(Since { from: last, entry: last })
        };
        let plates = [PartKind::FlatworkTop, PartKind::FlatworkBottom].into_iter().filter_map(of_kind);
        rods.chain(plates).min_by_key(|since| since.from)
    }

    /// The first entry after another one from which on that is another of the rods.
    pub fn rods_since(&self, of: &Quantity, after: usize) -> Option<usize> {
        self.rods.iter().find(|rods| rods.from > after && rods.of == *of).map(|rods| rods.from)
    }

    /// The last entry from which on rods are others.
    pub fn last_rods(&self) -> Option<usize> {
        self.rods.iter().map(|rods| rods.from).max()
    }
}

/// Where rods were read afresh after they had been read. A reading that stands in the place of one that was withdrawn tells of the
/// same rods as that.
fn others(log: &Log, of: &Quantity) -> Vec<OtherRods> {
    let withdrawn: HashSet<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
    let mut all = Vec::new();
    let mut was_read = false;
    let mut taken_back = None;
    for entry in &log.entries {
        let Matter::Reading(reading) = &entry.matter else { continue };
        if reading.quantity != *of || log.not_believed.contains(&entry.number) {
            continue;
        }
        let is_withdrawn = withdrawn.contains(&entry.number);
        if reading.afresh && was_read {
            if is_withdrawn {
                taken_back = taken_back.or(Some(entry.number));
            } else {
                let from = taken_back.take().unwrap_or(entry.number);
                all.push(OtherRods { of: of.clone(), from, entry: entry.number });
            }
        }
        was_read |= !is_withdrawn;
    }
    all
}
