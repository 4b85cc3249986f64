//! What a new entry in a family's log changes.

use bobbinwright_clock as clock;
use bobbinwright_export::bench;
use bobbinwright_geometry::parts::pieces;
use bobbinwright_spec::{
    Book, Estimate, Folder, Length, PartKind, PieceSize, Quantity, Severity, Survey, Taken,
};

use crate::{changes, complain, say, table};

/// What the entry changes: its quantity, what is still to be measured, or the verdicts.
pub(crate) fn family(folder: &Folder, before: &Survey, after: &Survey, quantity: Option<Quantity>) {
    let all = after.quantities.iter().chain(&before.quantities).map(|q| &q.quantity);
    let moved = all.filter(|q| stands(before, q) != stands(after, q)).cloned();
    let changed: Vec<Quantity> = quantity.into_iter().chain(moved).collect();
    for (i, quantity) in changed.iter().enumerate() {
        if !changed[..i].contains(quantity) {
            say::text(changes::of_quantity(quantity, before, after));
        }
    }
    if let Some(Quantity::Piece(position, size)) = changed.first() {
        of_piece(folder, after, position, *size);
        return;
    }
    if after.missing().next().is_some() {
        say::text(changes::to_measure(after));
        return;
    }
    let was_missing = before.missing().next().is_some();
    let told = after.problems.all.clone();
    let was = bench::prepared(folder, before, clock::now());
    let now = match bench::prepared(folder, after, clock::now()) {
        Ok(now) => now,
        Err(problems) => {
            say::line("Everything is measured; what is wanted can't be made yet:");
            complain::each(&problems.files, problems.all.iter().filter(|p| p.severity == Severity::Error));
            return;
        }
    };
    // What shows only when everything is known: string readings that contradict each other.
    let known = was.as_ref().map_or(&before.problems.all, |was| &was.family.notices);
    let new = now.family.notices.iter().filter(|n| !told.contains(n) && !known.contains(n));
    complain::each(&now.family.files, new);
    match was {
        Ok(was) if !was_missing => {
            say::text(changes::of_parts(&was, &now));
            say::text(changes::of_verdicts(&was, &now));
            say::text(table::conclusion_since(&was, &now));
        }
        _ => {
            say::line("Everything is measured.\n");
            say::text(table::checks(&now, false));
        }
    }
}

/// What a reading of a printed part comes to, held against what was wanted.
fn of_piece(folder: &Folder, after: &Survey, position: &str, size: PieceSize) {
    let lying = bench::lying(&after.log_folder(folder), after, clock::now());
    let Ok(prepared) = bench::prepared(folder, after, clock::now()) else { return };
    let Some(index) = prepared.family.positions.iter().position(|p| p.name == position) else { return };
    // As its own build wanted it.
    let printed = bench::printed(&lying, &prepared);
    let of_copy = PartKind::ALL.iter().zip(printed[index]).find(|(kind, _)| **kind == size.part);
    let parts = of_copy.and_then(|(_, parts)| parts).unwrap_or(&prepared.positions[index]);
    let all = pieces(&parts.layout, size.part, prepared.lie(index, size.part));
    let Some(piece) = all.iter().find(|p| p.size == size) else {
        say::line(format_args!("The {} has no such size: the reading counts for nothing.", size.part.name()));
        return;
    };
    if let Some(read) = prepared.family.pieces.get(&(position.to_owned(), size)) {
        let is_finished = prepared.family.finished.read.contains(&(position.to_owned(), size));
        let wanted = if is_finished { piece.finished } else { piece.wanted };
        let off = (read.value() - wanted).abs();
        let inches = (read.value() * 25.4 - wanted).abs() < off;
        let doubt = match off {
            off if off < Length::from_mm(1.0) => "",
            _ if inches => "; was it read in inches? Then withdraw it and write 4.27in",
            _ => "; was it misread, or on another part? Then withdraw it",
        };
        let unit = prepared.family.unit();
        let then = if wanted == piece.finished {
            String::new()
        } else {
            format!(" before it is finished, {} then", unit.shown(piece.finished))
        };
        say::line(format_args!("Wanted is {}{then}{doubt}.", unit.shown(wanted)));
    }
    // That it contradicts what the printer is said to keep shows only beside what was wanted.
    let name = format!("{position}.{size} ");
    let new = prepared
        .family
        .notices
        .iter()
        .filter(|n| n.message.starts_with(&name) && !after.problems.all.contains(n));
    complain::each(&prepared.family.files, new);
    say::line("bobbinwright inspect says whether the printed parts fit.");
}

/// Readings of a quantity that count, with their last entry, and what they give.
fn stands(survey: &Survey, quantity: &Quantity) -> Option<(Option<Taken>, Option<Length>)> {
    let known = survey.quantities.iter().find(|q| q.quantity == *quantity)?;
    // The doubt changes with every other reading of the same tool.
    let packet = known.estimate.as_ref().filter(|_| known.taken.is_none()).map(Estimate::value);
    Some((known.taken, packet))
}
