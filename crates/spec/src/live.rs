//! Which readings of a log count.

use std::collections::HashSet;

use crate::copies::Copies;
use crate::log::{Entry, Log, Matter, Reading};
use crate::quantity::Quantity;

/// Readings that count: not withdrawn, and not older than a reading afresh. What was read of a part's face since it was
/// finished stands in the place of what was read before.
pub(crate) fn live_readings(log: &Log) -> Vec<(&Entry, &Reading)> {
    let copies = Copies::of(log);
    let mut live = not_withdrawn(log, &copies);
    let is_of_finished = |(e, r): &(&Entry, &Reading)| copies.is_of_finished(&r.quantity, e);
    let again: Vec<&Quantity> = live.iter().filter(|l| is_of_finished(l)).map(|(_, r)| &r.quantity).collect();
    live.retain(|l| is_of_finished(l) || !again.contains(&&l.1.quantity));
    live
}

/// The same of parts as they were printed, whatever was done to them since.
pub(crate) fn readings_as_printed(log: &Log) -> Vec<(&Entry, &Reading)> {
    let copies = Copies::of(log);
    let mut live = not_withdrawn(log, &copies);
    live.retain(|(e, r)| !copies.is_of_finished(&r.quantity, e));
    live
}

fn not_withdrawn<'l>(log: &'l Log, copies: &Copies) -> Vec<(&'l Entry, &'l Reading)> {
    let withdrawn: HashSet<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
    let mut live: Vec<(&Entry, &Reading)> = Vec::new();
    for (i, entry) in log.entries.iter().enumerate() {
        let Matter::Reading(reading) = &entry.matter else { continue };
        if withdrawn.contains(&(i + 1)) {
            continue;
        }
        if let Quantity::Piece(position, size) = &reading.quantity
            && !copies.is_of_current(position, size.part, entry)
        {
            continue;
        }
        if reading.afresh {
            let replaced = |r: &Reading| {
                r.quantity == reading.quantity && (reading.spot.is_none() || r.spot == reading.spot)
            };
            live.retain(|(_, r)| !replaced(r));
        }
        live.push((entry, reading));
    }
    live
}
