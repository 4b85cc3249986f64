//! Printed parts that are finished, and what was read of them since.

use std::collections::BTreeSet;

use crate::bare;
use crate::copies::Copies;
use crate::live::live_readings;
use crate::log::Log;
use crate::part::{PartKind, PieceSize};
use crate::quantity::Quantity;

/// Printed parts on the bench whose outside is finished.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Finished {
    /// Where they belong, and what they are.
    pub parts: BTreeSet<(String, PartKind)>,
    /// Sizes that were read since; others were read as they were printed, or not at all.
    pub read: BTreeSet<(String, PieceSize)>,
    /// Those of which nothing was read before, nor once more afresh since: nothing in the log tells whether they are the
    /// bare print's.
    pub alone: BTreeSet<(String, PieceSize)>,
}

impl Finished {
    pub(crate) fn of(log: &Log) -> Self {
        let copies = Copies::of(log);
        let alone = bare::alone(log, &copies);
        let read = live_readings(log).into_iter().filter_map(|(entry, reading)| match &reading.quantity {
            Quantity::Piece(position, size) if copies.is_of_finished(&reading.quantity, entry) => {
                Some((position.clone(), *size))
            }
            _ => None,
        });
        let read = read.collect();
        let on_bench = copies.into_all().into_iter().filter(|copy| copy.is_current && copy.is_finished());
        Self { parts: on_bench.map(|copy| (copy.position, copy.kind)).collect(), read, alone }
    }
}
