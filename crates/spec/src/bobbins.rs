//! Where a position's bobbin is another than it was: on other rods, or on other plates since the last of one kind broke. What was
//! wound on the one before stays what it was, and is not on this one.

use std::collections::{BTreeMap, HashSet};

use crate::copies::Copies;
use crate::live::readings_until;
use crate::log::{Log, Matter};
use crate::quantity::{InstrumentQuantity, Quantity};
use crate::series::Series;

/// What rods are known by.
pub(crate) const OF_RODS: [Quantity; 2] = [
    Quantity::Instrument(InstrumentQuantity::RodDiameter),
    Quantity::Instrument(InstrumentQuantity::RodLength),
];

/// The entries from which on bobbins are others.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Bobbins {
    /// Where rods were read afresh, each with the quantity.
    rods: Vec<(usize, Quantity)>,
    /// Where no plate of a kind was left, each with its position.
    plates: Vec<(usize, String)>,
}

impl Bobbins {
    /// Of a log in which something was wound; where nothing was nobody asks.
    pub fn of(log: &Log) -> Self {
        if !log.entries.iter().any(|entry| matches!(entry.matter, Matter::Wound(_))) {
            return Self::default();
        }
        let withdrawn: HashSet<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
        let mut read: BTreeMap<&Quantity, usize> = BTreeMap::new();
        let mut rods = Vec::new();
        for entry in &log.entries {
            let Matter::Reading(reading) = &entry.matter else { continue };
            if !OF_RODS.contains(&reading.quantity)
                || withdrawn.contains(&entry.number)
                || log.not_believed.contains(&entry.number)
            {
                continue;
            }
            let before = read.entry(&reading.quantity).or_default();
            if reading.afresh && *before > 0 {
                rods.push((entry.number, reading.quantity.clone()));
            }
            *before += 1;
        }
        Self { rods, plates: Copies::of(log).last_plates_broken() }
    }

    /// What was read of rods before each time that others were.
    pub fn series<'l>(&self, log: &'l Log) -> Vec<((Quantity, usize), Vec<Series<'l>>)> {
        let of_one = |(entry, of): &(usize, Quantity)| {
            let mut all = Vec::new();
            for read in readings_until(log, of, *entry) {
                Series::sort_in(&mut all, read, &[]);
            }
            ((of.clone(), *entry), all)
        };
        self.rods.iter().map(of_one).collect()
    }

    /// The first entry after another one from which on a position's bobbin is another.
    pub fn other_since(&self, position: &str, after: usize) -> Option<usize> {
        let plates = self.plates.iter().filter(|(_, of)| of == position).map(|(entry, _)| *entry);
        self.rods.iter().map(|(entry, _)| *entry).chain(plates).filter(|entry| *entry > after).min()
    }

    /// The first entry after another one in which that was read afresh of the rods.
    pub fn rods_since(&self, of: &Quantity, after: usize) -> Option<usize> {
        self.rods.iter().find(|(entry, read)| *entry > after && read == of).map(|(entry, _)| *entry)
    }

    /// The last entry in which rods became others.
    pub fn last_rods(&self) -> Option<usize> {
        self.rods.last().map(|(entry, _)| *entry)
    }
}
