//! Dimension lines with the rows' numbers on them.

use bobbinwright_kernel::plane::{Contour, Point};

use crate::dimension_lines;
use bobbinwright_paper::{Align, BLACK, Look, Page, Pen, Type, WHITE};

use super::Row;

/// The layer that the numbers are in.
pub(super) const NUMBERS: &str = "numbers";

/// Radius of a number's disc, mm.
const DISC: f64 = 2.1;

/// From left to right at the height `y`; help lines come from the heights `from`.
pub(super) fn across(page: &mut Page, x: (f64, f64), y: f64, from: (f64, f64), row: &Row) {
    let (a, b) = dimension_lines::across(page, x, y, from);
    // Where the disc finds no room between the heads it stands beside the line.
    let middle = if b.x - a.x > 2.0 * DISC { f64::midpoint(a.x, b.x) } else { b.x + DISC + 2.5 };
    disc(page, Point::new(middle, y), row);
}

/// From below to above at `x`; help lines come from `from`.
pub(super) fn upright(page: &mut Page, y: (f64, f64), x: f64, from: (f64, f64), row: &Row) {
    let (a, b) = dimension_lines::upright(page, y, x, from);
    let middle = if b.y - a.y > 2.0 * DISC { f64::midpoint(a.y, b.y) } else { b.y + DISC + 2.0 };
    disc(page, Point::new(x, middle), row);
}

/// From a place to a number beside it.
pub(super) fn leader(page: &mut Page, to: Point, at: Point, row: &Row) {
    dimension_lines::leader(page, to, at);
    disc(page, at, row);
}

/// The number: white on black for what is still to be measured or to be read again, black on white
/// for what is known.
pub(super) fn disc(page: &mut Page, at: Point, row: &Row) {
    let open = row.known.missing || row.known.until_read.is_some() || row.again.is_some();
    let (fill, ink) = if open { (BLACK, WHITE) } else { (WHITE, BLACK) };
    let look = Look { pen: Some(Pen::new(BLACK, 0.2)), fill: Some(fill) };
    page.spot(row.number, at);
    page.upon(|page| {
        page.layer(NUMBERS, |page| {
            page.outline(&Contour::circle(at, DISC), look);
            page.text(at, Type::new(2.5).bold().ink(ink).align(Align::Middle), row.number.to_string());
        });
    });
}
