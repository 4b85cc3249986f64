//! Readings of one thing in rounds.
//!
//! Whoever reads twice straight on makes the same slip twice: the jaws stand on the same wrong edge, the eye has the figure.
//! Whoever comes back to it after something else sets the caliper anew. Readings of one thing that follow each other in the
//! log are a round; pieces that were bought are each another thing, and two of them tell of a slip as well as three rounds do.

use std::collections::BTreeMap;

use crate::Length;
use crate::hand::Hand;
use crate::log::{Entry, Reading};
use crate::quantity::Quantity;
use crate::series::Series;

/// What was read: a quantity, in one of its spots.
pub(crate) type Read = (Quantity, Option<String>);

/// Of so many rounds a slip in one is outvoted.
const OUTVOTED: usize = 3;

/// In how many rounds each was read, by the readings that count, in the log's order.
pub(crate) fn count(live: &[(&Entry, &Reading)]) -> BTreeMap<Read, usize> {
    let mut rounds: BTreeMap<Read, usize> = BTreeMap::new();
    let mut before = None;
    for (entry, reading) in live.iter().filter(|(_, reading)| reading.tool.is_some()) {
        let read = (reading.quantity.clone(), reading.spot.clone());
        let now = (read.clone(), reading.tool, reading.how, entry.on);
        let is_bought = reading.quantity.is_bought();
        let of_pieces = if reading.values.len() > 1 { OUTVOTED } else { 1 };
        let more = if is_bought { of_pieces } else { usize::from(before.as_ref() != Some(&now)) };
        *rounds.entry(read).or_default() += more;
        before = Some(now);
    }
    rounds
}

/// From what on a slip in one of several rounds would show, as far as it moves their mean; none where one round is all there
/// is.
pub(crate) fn least_slip(hand: &Hand, series: &Series, rounds: usize) -> Option<Length> {
    let far = hand.far(series)?;
    match rounds {
        0 | 1 => None,
        // Either may be wrong, so that both are as far from their middle, and the mean is.
        2..OUTVOTED => Some(far),
        _ => Some(Length::ZERO),
    }
}
