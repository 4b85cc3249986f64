//! What a new entry in a family's log changes.

use bobbinwright_export::Prepared;
use bobbinwright_spec::{Estimate, Length, Quantity, Severity, Survey, Taken};

use crate::{changes, complain, say, table};

/// What the entry changes: its quantity, what is still to be measured, or the verdicts.
pub(crate) fn family(before: Survey, after: Survey, quantity: Option<Quantity>) {
    let all = after.quantities.iter().chain(&before.quantities).map(|q| &q.quantity);
    let moved = all.filter(|q| stands(&before, q) != stands(&after, q)).cloned();
    let changed: Vec<Quantity> = quantity.into_iter().chain(moved).collect();
    for (i, quantity) in changed.iter().enumerate() {
        if !changed[..i].contains(quantity) {
            say::text(changes::of_quantity(quantity, &before, &after));
        }
    }
    if let Some(Quantity::Piece(..)) = changed.first() {
        say::line("bobbinwright inspect says whether the printed parts fit.");
        return;
    }
    if after.missing().next().is_some() {
        say::text(changes::to_measure(&after));
        return;
    }
    let was_missing = before.missing().next().is_some();
    let told = after.problems.all.clone();
    let was = before.family();
    let now = after.family();
    // What shows only when everything is known: string readings that contradict each other.
    if let Ok(now) = &now {
        let known = was.as_ref().map_or(&[][..], |was| &was.notices[..]);
        let new = now.notices.iter().filter(|n| !told.contains(n) && !known.contains(n));
        complain::each(&now.files, new);
    }
    let now = match now.and_then(Prepared::new) {
        Ok(now) => now,
        Err(problems) => {
            say::line("Everything is measured; what is wanted can't be made yet:");
            complain::each(&problems.files, problems.all.iter().filter(|p| p.severity == Severity::Error));
            return;
        }
    };
    match was.and_then(Prepared::new) {
        Ok(was) if !was_missing => {
            say::text(changes::of_verdicts(&was, &now));
            say::text(table::conclusion(&now.fit));
        }
        _ => {
            say::line("Everything is measured.\n");
            say::text(table::checks(&now, false));
        }
    }
}

/// Readings of a quantity that count, with their last entry, and what they give.
fn stands(survey: &Survey, quantity: &Quantity) -> Option<(Option<Taken>, Option<Length>)> {
    let known = survey.quantities.iter().find(|q| q.quantity == *quantity)?;
    // The doubt changes with every other reading of the same tool.
    let packet = known.estimate.as_ref().filter(|_| known.taken.is_none()).map(Estimate::value);
    Some((known.taken, packet))
}
