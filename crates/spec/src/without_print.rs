//! What was read of a printed part while the log said that it was printed, and that is withdrawn by now.
//!
//! Of which part it is nobody can tell any more: it might be of one that is painted, or thrown away. So it counts for none,
//! unless one was entered in its place, and that is said.

use std::collections::{BTreeMap, HashSet};

use crate::copies::Copies;
use crate::log::{Log, Matter};
use crate::problem::Problem;
use crate::reader::Noted;

/// Notes readings that count for none since a print is withdrawn.
pub(crate) fn note(log: &Log, noted: &mut Noted) {
    let copies = Copies::of(log);
    let withdrawn: HashSet<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
    let mut lost = BTreeMap::new();
    for entry in log.entries.iter().filter(|entry| !withdrawn.contains(&entry.number)) {
        let Matter::Reading(reading) = &entry.matter else { continue };
        if let Some(copy) = copies.lost_with(&reading.quantity, entry) {
            lost.entry(copy.entry).or_insert_with(|| (copy, Vec::new())).1.push(entry);
        }
    }
    for (copy, entries) in lost.into_values() {
        let numbers: Vec<String> = entries.iter().map(|entry| entry.number.to_string()).collect();
        let (word, count, they) = match numbers.len() {
            1 => ("entry", "counts", "it is"),
            _ => ("entries", "count", "they are"),
        };
        let message = format!(
            "{word} {} {count} for no part: read of {copy}, and that it was printed is withdrawn",
            numbers.join(", ")
        );
        let hint = format!("if {they} of the one on the bench, withdraw what was read and enter it again");
        let last = entries.last().map(|entry| entry.span);
        noted.problems.extend(last.map(|span| Problem::notice(span, message).hint(hint)));
    }
}
