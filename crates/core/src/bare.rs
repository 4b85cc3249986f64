//! Sizes that were entered as those of a finished part, and are what the printer makes of a bare one.
//!
//! Where a face was read before its part was finished, its readings are held against each other (in `spec`, which does not
//! believe them then). Where it was not, only the printer tells what the bare print was, which is less sure: that is said,
//! and changes nothing.

use bobbinwright_fit::Printed;
use bobbinwright_geometry::parts::{Lie, PartKind, PositionParts, pieces};
use bobbinwright_spec::{Length, PieceSize, Problem, Quantity, Severity};

use crate::Prepared;

/// So many standard uncertainties from what it would be finished it is no finished one,
const FINISHED: f64 = 2.0;

/// and so many from what the printer makes it is no bare one.
const BARE: f64 = 3.0;

/// What is odd about sizes of finished parts that nobody read bare, nor once more afresh. `printed` has the parts that were drawn
/// otherwise than they would be now; only of parts of which it `is_known` how they were drawn anything is said.
pub fn odd(
    prepared: &Prepared,
    printed: &[Printed],
    is_known: impl Fn(&str, PartKind) -> bool,
) -> Vec<Problem> {
    let alone = prepared.family.finished.alone.iter();
    let known = alone.filter(|(position, size)| is_known(position, size.part));
    known.filter_map(|(position, size)| of_size(prepared, printed, position, *size)).collect()
}

fn of_size(prepared: &Prepared, printed: &[Printed], position: &str, size: PieceSize) -> Option<Problem> {
    let family = &prepared.family;
    let read = family.pieces.get(&(position.to_owned(), size))?;
    let index = family.positions.iter().position(|p| p.name == position)?;
    let other = PartKind::ALL.iter().zip(printed.get(index).copied().unwrap_or_default());
    let other = other.filter(|(kind, _)| **kind == size.part).find_map(|(_, parts)| parts);
    let parts: &PositionParts = other.unwrap_or(&prepared.positions[index]);
    let lie = Lie::usual(&parts.layout, size.part, family.printer.bed);
    let piece = pieces(&parts.layout, size.part, lie).into_iter().find(|piece| piece.size == size)?;
    // As its own build has it: it may be wanted otherwise by now.
    let finish = parts.layout.wanted.finish.of(size.part)?;
    let within = finish.within() * size.finished_faces() as f64;
    let [least, most] = [piece.finished - within, piece.finished + within];
    let of = Quantity::Piece(position.to_owned(), size);
    let bare = family.printer.made(piece.wanted, piece.made, Some(of.clone()), &mut family.doubts.clone());
    let off = read.clone() - bare;
    let u = off.uncertainty().as_mm();
    let beyond = if least > piece.wanted { least - read.value() } else { read.value() - most };
    let can_be_told = least > piece.wanted || most < piece.wanted;
    let is_bare = beyond.as_mm() > FINISHED * u && off.value().abs().as_mm() < BARE * u;
    if !can_be_told || !is_bare {
        return None;
    }
    let unit = family.unit();
    let shown = |length: Length| unit.shown(length);
    let message = format!(
        "{of} is {} since its part is finished; the bare print comes out as {}, and finished it would be {} to {}",
        shown(read.value()),
        shown(piece.wanted),
        shown(least),
        shown(most)
    );
    let hint = "was it read before it was finished, or on another copy? Then withdraw it, and enter what was read before with the day on which it was; else read it once more, afresh (worked over since)";
    Some(Problem { severity: Severity::Notice, ..Problem::anywhere(message) }.hint(hint))
}
