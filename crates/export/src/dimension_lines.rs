//! Dimension lines: a line with heads between two help lines.

use bobbinwright_kernel::plane::{Contour, Point, Vector};

use bobbinwright_paper::{BLACK, GREY, Look, Page, Pen};

const LINE: Pen = Pen::new(BLACK, 0.15);
const HELP: Pen = Pen::new(GREY, 0.1);
/// Length of an arrowhead, and half its width, mm.
const HEAD: (f64, f64) = (1.6, 0.4);
/// How far a help line stands out beyond its dimension line, mm.
const BEYOND: f64 = 1.0;

/// From left to right at the height `y`; help lines come from the heights `from`. Gives the line's ends.
pub(crate) fn across(page: &mut Page, x: (f64, f64), y: f64, from: (f64, f64)) -> (Point, Point) {
    let (left, right) = (x.0.min(x.1), x.0.max(x.1));
    let ends = if x.0 <= x.1 { from } else { (from.1, from.0) };
    for (x, start) in [(left, ends.0), (right, ends.1)] {
        let beyond = if y >= start { BEYOND } else { -BEYOND };
        page.line(Point::new(x, start), Point::new(x, y + beyond), HELP);
    }
    let (a, b) = (Point::new(left, y), Point::new(right, y));
    measure(page, a, b, right - left);
    (a, b)
}

/// From below to above at `x`; help lines come from `from`. Gives the line's ends.
pub(crate) fn upright(page: &mut Page, y: (f64, f64), x: f64, from: (f64, f64)) -> (Point, Point) {
    let (low, high) = (y.0.min(y.1), y.0.max(y.1));
    let ends = if y.0 <= y.1 { from } else { (from.1, from.0) };
    for (y, start) in [(low, ends.0), (high, ends.1)] {
        let beyond = if x >= start { BEYOND } else { -BEYOND };
        page.line(Point::new(start, y), Point::new(x + beyond, y), HELP);
    }
    let (a, b) = (Point::new(x, low), Point::new(x, high));
    measure(page, a, b, high - low);
    (a, b)
}

/// From a place to what it is about.
pub(crate) fn leader(page: &mut Page, to: Point, at: Point) {
    page.line(at, to, LINE);
    head(page, to, (to - at).normalize());
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
