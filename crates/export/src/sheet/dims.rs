//! Dimension lines with numbers on them.

use bobbinwright_geometry::plane::{Contour, Point, Vector};

use crate::paper::{Align, BLACK, GREY, Look, Page, Pen, Type, WHITE};

use super::Row;

const LINE: Pen = Pen::new(BLACK, 0.15);
const HELP: Pen = Pen::new(GREY, 0.1);
/// Length of an arrowhead, and half its width, mm.
const HEAD: (f64, f64) = (1.6, 0.4);
/// How far a help line stands out beyond its dimension line, mm.
const BEYOND: f64 = 1.0;
/// Radius of a number's disc, mm.
const DISC: f64 = 2.1;

/// From left to right at the height `y`; help lines come from the heights `from`.
pub(super) fn across(page: &mut Page, x: (f64, f64), y: f64, from: (f64, f64), row: &Row) {
    let (left, right) = (x.0.min(x.1), x.0.max(x.1));
    let ends = if x.0 <= x.1 { from } else { (from.1, from.0) };
    for (x, start) in [(left, ends.0), (right, ends.1)] {
        let beyond = if y >= start { BEYOND } else { -BEYOND };
        page.line(Point::new(x, start), Point::new(x, y + beyond), HELP);
    }
    let (a, b) = (Point::new(left, y), Point::new(right, y));
    let apart = right - left;
    measure(page, a, b, apart);
    // Where the disc finds no room between the heads it stands beside the line.
    let middle = if apart > 2.0 * DISC { f64::midpoint(left, right) } else { right + DISC + 2.5 };
    disc(page, Point::new(middle, y), row);
}

/// From below to above at `x`; help lines come from `from`.
pub(super) fn upright(page: &mut Page, y: (f64, f64), x: f64, from: (f64, f64), row: &Row) {
    let (low, high) = (y.0.min(y.1), y.0.max(y.1));
    let ends = if y.0 <= y.1 { from } else { (from.1, from.0) };
    for (y, start) in [(low, ends.0), (high, ends.1)] {
        let beyond = if x >= start { BEYOND } else { -BEYOND };
        page.line(Point::new(start, y), Point::new(x + beyond, y), HELP);
    }
    let (a, b) = (Point::new(x, low), Point::new(x, high));
    let apart = high - low;
    measure(page, a, b, apart);
    let middle = if apart > 2.0 * DISC { f64::midpoint(low, high) } else { high + DISC + 2.0 };
    disc(page, Point::new(x, middle), row);
}

/// From a place to a number beside it.
pub(super) fn leader(page: &mut Page, to: Point, at: Point, row: &Row) {
    page.line(at, to, LINE);
    head(page, to, (to - at).normalize());
    disc(page, at, row);
}

/// A line with heads at both ends, pointing outwards where they have room between them.
fn measure(page: &mut Page, a: Point, b: Point, apart: f64) {
    let along = (b - a) / apart.max(1e-9);
    if apart > 2.5 * HEAD.0 {
        page.line(a, b, LINE);
        head(page, a, -along);
        head(page, b, along);
    } else {
        page.line(a - along * 3.0, b + along * 3.0, LINE);
        head(page, a, along);
        head(page, b, -along);
    }
}

/// A head whose tip is at `tip`.
fn head(page: &mut Page, tip: Point, along: Vector) {
    let (foot, across) = (tip - along * HEAD.0, Vector::new(-along.y, along.x) * HEAD.1);
    page.outline(&Contour::polygon(&[tip, foot - across, foot + across]), Look::solid(BLACK));
}

/// The number: white on black for what is still to be measured or to be read again, black on white
/// for what is known.
pub(super) fn disc(page: &mut Page, at: Point, row: &Row) {
    let open = row.known.missing || row.again.is_some();
    let (fill, ink) = if open { (BLACK, WHITE) } else { (WHITE, BLACK) };
    let look = Look { pen: Some(Pen::new(BLACK, 0.2)), fill: Some(fill) };
    page.upon(|page| {
        page.outline(&Contour::circle(at, DISC), look);
        page.text(at, Type::new(2.5).bold().ink(ink).align(Align::Middle), row.number.to_string());
    });
}
