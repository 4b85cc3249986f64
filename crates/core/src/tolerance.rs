//! A printer or a cutter that keeps less than it is said to: sizes that were read on parts contradict the stated tolerance.

use bobbinwright_fit::Printed;
use bobbinwright_geometry::parts::{Lie, PartKind, PositionParts, pieces};
use bobbinwright_spec::printer::Trueness;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{CutSheet, Estimate, Family, Length, PieceSize, Problem, Severity};

use crate::Prepared;

/// A size that came out further off than printer or cutter is said to keep it.
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
    by: By,
    stated: Length,
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
        // Of plates that were cut the cutter tells, and only of itself.
        let sheet = parts.layout.wanted.sheet(size.part);
        let now = family.positions[index].wanted.sheet(size.part);
        let (by, stated) = match (sheet, now, &family.printer.trueness) {
            (None, None, Trueness::Within(within)) => (By::Printer, within.stated),
            (Some(_), Some(now), _) if is_high(piece.made) => (By::Sheet, now.thickness_tolerance),
            (Some(_), Some(now), _) => (By::Cutter, now.tolerance),
            _ => return None,
        };
        let off = (read.value() - piece.wanted).abs();
        let is_beyond = off > stated + read.uncertainty() * CLEAR;
        let (position, read) = (position.clone(), read.clone());
        let (wanted, made) = (piece.wanted, piece.made);
        is_beyond.then_some(Beyond { position, size: *size, wanted, read, by, stated, made })
    };
    read.filter_map(of).collect()
}

/// Who is said to keep a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum By {
    Printer,
    Cutter,
    Sheet,
}

/// Is it as the sheet is thick?
fn is_high(made: Made) -> bool {
    matches!(made, Made::Height | Made::Depth)
}

/// The family with as much doubt about sizes that nobody read as those ask for that were; and with a notice of each.
pub fn doubted(mut family: Family, beyond: &[Beyond]) -> Family {
    for one in beyond {
        let off = one.off().abs();
        let raise = |counts: &mut Length| *counts = (*counts).max(off);
        match (one.by, &mut family.printer.trueness) {
            (By::Printer, Trueness::Within(within)) if one.made == Made::Hole => raise(&mut within.holes),
            (By::Printer, Trueness::Within(within)) => raise(&mut within.others),
            (By::Printer, Trueness::Profile(_)) => {}
            // One cutter, one sheet: what came out so for one pickup does for another that is cut alike.
            (By::Cutter, _) => {
                for sheet in sheets(&mut family, one) {
                    raise(&mut sheet.tolerance);
                }
            }
            (By::Sheet, _) => {
                for sheet in sheets(&mut family, one) {
                    raise(&mut sheet.thickness_tolerance);
                }
            }
        }
    }
    let notices: Vec<Problem> = beyond.iter().map(|one| notice(one, &family)).collect();
    family.notices.extend(notices);
    family
}

/// The sheets of all positions that are cut as the one that a size is of.
fn sheets<'f>(family: &'f mut Family, of: &Beyond) -> Vec<&'f mut CutSheet> {
    let Some(own) = sheet_of(family, of) else { return Vec::new() };
    let is_alike = |other: &CutSheet| {
        let CutSheet { tolerance, thickness_tolerance, .. } = *other;
        CutSheet { tolerance, thickness_tolerance, ..own } == *other
    };
    let all = family.positions.iter_mut().filter_map(|position| position.wanted.flatwork.sheet.as_mut());
    all.filter(|sheet| is_alike(sheet)).collect()
}

fn sheet_of(family: &Family, of: &Beyond) -> Option<CutSheet> {
    family.positions.iter().find(|position| position.name == of.position)?.wanted.flatwork.sheet
}

impl Beyond {
    fn off(&self) -> Length {
        self.read.value() - self.wanted
    }
}

fn notice(one: &Beyond, family: &Family) -> Problem {
    let unit = family.unit();
    let side = if one.off() < Length::ZERO { "smaller" } else { "larger" };
    let of_sheets =
        |of: fn(&CutSheet) -> Length| sheet_of(family, one).as_ref().map_or(one.stated, of).max(one.stated);
    let (who, which, counts) = match (one.by, &family.printer.trueness) {
        (By::Cutter, _) => ("the cutter is said to keep each size", "cut sizes", of_sheets(|s| s.tolerance)),
        (By::Sheet, _) => {
            ("the sheet's thickness is said to be", "plates", of_sheets(|s| s.thickness_tolerance))
        }
        (By::Printer, Trueness::Within(within)) if one.made == Made::Hole => {
            ("the printer is said to keep each size", "holes", within.holes)
        }
        (By::Printer, Trueness::Within(within)) => {
            ("the printer is said to keep each size", "other sizes", within.others)
        }
        (By::Printer, Trueness::Profile(_)) => ("the printer is said to keep each size", "sizes", one.stated),
    };
    let message = format!(
        "{}.{} came out {} {side} than it was wanted, where {who} within \u{b1} {}: {which} that were not read count as within \u{b1} {} now",
        one.position,
        one.size,
        unit.shown(one.off().abs()),
        unit.shown(one.stated),
        unit.shown(counts)
    );
    let hint = if one.by == By::Printer {
        "if it was misread, or is of another part, withdraw it; a coupon tells what the printer does: bobbinwright coupon FOLDER --for FAMILY"
    } else {
        "if it was misread, or is of another plate, withdraw it; else say what holds, in flatwork.sheet"
    };
    Problem { severity: Severity::Notice, ..Problem::anywhere(message) }.hint(hint)
}
