//! Which readings of a log count.

use std::collections::HashSet;

use crate::copies::Copies;
use crate::log::{Entry, Log, Matter, Reading};
use crate::quantity::Quantity;
use crate::spot;

/// Readings that count: not withdrawn, and not older than a reading afresh. What was read of a part's face since it was
/// finished stands in the place of what was read before.
pub(crate) fn live_readings(log: &Log) -> Vec<(&Entry, &Reading)> {
    let copies = Copies::of(log);
    let mut live = counting(log, &copies, |entry, _| !log.not_believed.contains(&entry.number));
    let is_of_finished = |(e, r): &(&Entry, &Reading)| copies.is_of_finished(&r.quantity, e);
    let again: Vec<&Quantity> = live.iter().filter(|l| is_of_finished(l)).map(|(_, r)| &r.quantity).collect();
    live.retain(|l| is_of_finished(l) || !again.contains(&&l.1.quantity));
    live
}

/// What counted of a quantity before an entry.
pub(crate) fn readings_until<'l>(
    log: &'l Log,
    quantity: &Quantity,
    until: usize,
) -> Vec<(&'l Entry, &'l Reading)> {
    let is_of = |entry: &Entry, reading: &Reading| {
        entry.number < until && reading.quantity == *quantity && !log.not_believed.contains(&entry.number)
    };
    counting(log, &Copies::of(log), is_of)
}

/// The same of parts as they were printed, whatever was done to them since.
pub(crate) fn readings_as_printed(log: &Log) -> Vec<(&Entry, &Reading)> {
    let copies = Copies::of(log);
    // One afresh of the finished part takes nothing from what the bare print was.
    counting(log, &copies, |entry, reading| !copies.is_of_finished(&reading.quantity, entry))
}

/// Was a thing read, and then read afresh, both after so many entries? Then it was worked on. A finish that was read is no
/// work on the print.
pub(crate) fn was_changed(log: &Log, quantity: &Quantity, after: usize) -> bool {
    let copies = Copies::of(log);
    let withdrawn: HashSet<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
    let is_later = |e: &&Entry| e.number > after && !withdrawn.contains(&e.number);
    let later = log.entries.iter().filter(is_later).filter(|e| !copies.is_of_finished(quantity, e));
    let mut readings = later.filter_map(|e| match &e.matter {
        Matter::Reading(r) if r.quantity == *quantity => Some(r.afresh),
        _ => None,
    });
    readings.next().is_some() && readings.any(|afresh| afresh)
}

/// Is a reading of a part one of another copy than that on the bench?
pub(crate) fn is_of_another_copy(quantity: &Quantity, entry: &Entry, copies: &Copies) -> bool {
    matches!(quantity, Quantity::Piece(position, size) if !copies.is_of_current(position, size.part, entry))
}

fn counting<'l>(
    log: &'l Log,
    copies: &Copies,
    is_asked_for: impl Fn(&Entry, &Reading) -> bool,
) -> Vec<(&'l Entry, &'l Reading)> {
    let withdrawn: HashSet<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
    let mut live: Vec<(&Entry, &Reading)> = Vec::new();
    for (i, entry) in log.entries.iter().enumerate() {
        let Matter::Reading(reading) = &entry.matter else { continue };
        if withdrawn.contains(&(i + 1))
            || !is_asked_for(entry, reading)
            || is_of_another_copy(&reading.quantity, entry, copies)
        {
            continue;
        }
        if reading.afresh {
            // Where a spot is only a word, it means those of that word, or all where none has it.
            let is_word = !spot::has_spots(&reading.quantity);
            let is_alike = |r: &Reading| r.quantity == reading.quantity && r.spot == reading.spot;
            let is_whole = reading.spot.is_none() || is_word && !live.iter().any(|(_, r)| is_alike(r));
            let replaced = |r: &Reading| if is_whole { r.quantity == reading.quantity } else { is_alike(r) };
            live.retain(|(_, r)| !replaced(r));
        }
        live.push((entry, reading));
    }
    live
}
