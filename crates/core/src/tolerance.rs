//! A printer that keeps less than it is said to: sizes that were read on printed parts contradict the stated tolerance.

use bobbinwright_fit::Printed;
use bobbinwright_geometry::parts::{Lie, PartKind, PositionParts, pieces};
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::printer::{Trueness, Within};
use bobbinwright_spec::{Estimate, Family, Length, PieceSize, Problem, Severity};

use crate::Prepared;

/// A size that came out further off than the printer is said to keep it.
#[derive(Clone, Debug, PartialEq)]
pub struct Beyond {
    /// Where its part belongs.
    pub position: String,
    /// Which size.
    pub size: PieceSize,
    /// As the part's own build wanted it.
    pub wanted: Length,
    /// As it was read.
    pub read: Estimate,
    made: Made,
}

/// So many standard uncertainties of a reading beyond the tolerance are no scatter any more.
const CLEAR: f64 = 2.0;

/// The sizes that contradict the tolerance that a family states. `printed` has the parts that were drawn otherwise than they
/// would be now; only parts of which it `is_known` how they were drawn tell anything.
pub fn beyond(
    prepared: &Prepared,
    printed: &[Printed],
    is_known: impl Fn(&str, PartKind) -> bool,
) -> Vec<Beyond> {
    let family = &prepared.family;
    let Trueness::Within(within) = &family.printer.trueness else { return Vec::new() };
    // What was read since its part is finished does not tell of the printer.
    let read = family.pieces.iter().filter(|(key, _)| !family.finished.read.contains(key));
    let read = read.filter(|((position, size), _)| is_known(position, size.part));
    let of = |((position, size), read): (&(String, PieceSize), &Estimate)| {
        let index = family.positions.iter().position(|p| p.name == *position)?;
        let other = PartKind::ALL.iter().zip(printed.get(index).copied().unwrap_or_default());
        let other = other.filter(|(kind, _)| **kind == size.part).find_map(|(_, parts)| parts);
        let parts: &PositionParts = other.unwrap_or(&prepared.positions[index]);
        let lie = Lie::usual(&parts.layout, size.part, family.printer.bed);
        let piece = pieces(&parts.layout, size.part, lie).into_iter().find(|piece| piece.size == *size)?;
        let off = (read.value() - piece.wanted).abs();
        let is_beyond = off > within.stated + read.uncertainty() * CLEAR;
        let (position, read) = (position.clone(), read.clone());
        is_beyond.then_some(Beyond { position, size: *size, wanted: piece.wanted, read, made: piece.made })
    };
    read.filter_map(of).collect()
}

/// The family with as much doubt about sizes that nobody read as those ask for that were; and with a notice of each.
pub fn doubted(mut family: Family, beyond: &[Beyond]) -> Family {
    let unit = family.unit();
    let Trueness::Within(within) = &mut family.printer.trueness else { return family };
    let off = |one: &Beyond| one.read.value() - one.wanted;
    for one in beyond {
        let counts = if one.made == Made::Hole { &mut within.holes } else { &mut within.others };
        *counts = (*counts).max(off(one).abs());
    }
    let Within { stated, holes, others } = *within;
    let notice = |one: &Beyond| {
        let side = if off(one) < Length::ZERO { "smaller" } else { "larger" };
        let (which, counts) = if one.made == Made::Hole { ("holes", holes) } else { ("other sizes", others) };
        let message = format!(
            "{}.{} came out {} {side} than it was wanted, where the printer is said to keep each size within \u{b1} {}: {which} that were not read count as within \u{b1} {} now",
            one.position,
            one.size,
            unit.shown(off(one).abs()),
            unit.shown(stated),
            unit.shown(counts)
        );
        let hint = "if it was misread, or is of another part, withdraw it; a coupon tells what the printer does: bobbinwright coupon FOLDER --for FAMILY";
        Problem { severity: Severity::Notice, ..Problem::anywhere(message) }.hint(hint)
    };
    let notices: Vec<Problem> = beyond.iter().map(notice).collect();
    family.notices.extend(notices);
    family
}
