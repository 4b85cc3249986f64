//! Two coils joined, drawn: in series and in parallel, with the coils' symbols of IEC 60617, a dot at each start.

use bobbinwright_elementary::Elementary;
use bobbinwright_kernel::plane::{Bounds, Contour, Point};
use bobbinwright_spec::coil::End;

use super::Winding;
use super::ends::Ends;
use bobbinwright_paper::{Align, BLACK, GREY, Look, Page, Pen, Type};

const SMALL: Type = Type::new(2.6);
const WIRE: Pen = Pen::new(BLACK, 0.35);
/// Width of one of the two drawings, height of a coil, and how far its leads reach over it.
const WIDE: f64 = 74.0;
const COIL: f64 = 24.0;
const LEAD: f64 = 4.0;
/// Loops of a coil's symbol.
const LOOPS: u32 = 4;

/// Both ways to join two coils.
pub(super) fn page(a: &Winding, b: &Winding) -> Page {
    let name = format!("{} and {}", a.position.name, b.position.name);
    let sheet = Bounds { min: Point::new(-6.0, -16.0), max: Point::new(2.0 * WIDE + 28.0, 84.0) };
    let mut page = Page::new(sheet, format!("{name}: joined"));
    page.text(Point::new(0.0, 78.0), SMALL.bold(), format!("{name}: in series, and in parallel"));
    series(&mut page, a, b);
    parallel(&mut page, a, b);
    let key = "the dot is where the coil's wire starts; leads are joined only where a filled circle is drawn";
    page.text(Point::new(0.0, -12.0), SMALL.ink(GREY), key);
    page
}

/// The one's ground is the other's hot end.
fn series(page: &mut Page, a: &Winding, b: &Winding) {
    let x = 16.0;
    let low = coil(page, b, Point::new(x, 4.0));
    let high = coil(page, a, Point::new(x, low.y));
    output(page, high, 60.0);
    ground(page, Point::new(x, 4.0), 60.0);
}

/// Hot to hot and ground to ground.
fn parallel(page: &mut Page, a: &Winding, b: &Winding) {
    let (left, right) = (Point::new(WIDE + 8.0, 20.0), Point::new(WIDE + 54.0, 20.0));
    let (one, other) = (coil(page, a, left), coil(page, b, right));
    page.line(one, other, WIRE);
    page.line(left, right, WIRE);
    joint(page, other);
    joint(page, right);
    output(page, other, 40.0);
    ground(page, right, 40.0);
}

/// A coil that stands on its ground; gives its hot end.
pub(super) fn coil(page: &mut Page, winding: &Winding, foot: Point) -> Point {
    let top = Point::new(foot.x, foot.y + COIL + 2.0 * LEAD);
    page.line(foot, Point::new(foot.x, foot.y + LEAD), WIRE);
    page.line(Point::new(top.x, top.y - LEAD), top, WIRE);
    let radius = COIL / f64::from(2 * LOOPS);
    for i in 0..LOOPS {
        let middle = foot.y + LEAD + radius * f64::from(2 * i + 1);
        let at = |step: u32| {
            let angle = std::f64::consts::PI * (f64::from(step) / 12.0 - 0.5);
            Point::new(foot.x + radius * angle.cosine(), middle + radius * angle.sine())
        };
        for step in 0..12 {
            page.line(at(step), at(step + 1), WIRE);
        }
    }
    let hot = Ends::of(winding).hot;
    let grounded = hot.other();
    let label = |end: End| format!("{} ({} eyelet)", end.word(), winding.wanted.start.of(end).word());
    let left = Point::new(foot.x + 5.5, foot.y + LEAD + COIL / 2.0);
    page.text(left, SMALL.bold(), winding.position.name.clone());
    page.text(Point::new(left.x, top.y - LEAD - 1.0), SMALL, label(hot));
    page.text(Point::new(left.x, foot.y + LEAD), SMALL, label(grounded));
    let start = if hot == End::Start { top.y - LEAD - 1.5 } else { foot.y + LEAD + 1.5 };
    page.outline(&Contour::circle(Point::new(foot.x - 2.0, start), 0.7), Look::solid(BLACK));
    top
}

pub(super) fn joint(page: &mut Page, at: Point) {
    page.outline(&Contour::circle(at, 0.8), Look::solid(BLACK));
}

fn output(page: &mut Page, from: Point, long: f64) {
    let end = Point::new(from.x + long, from.y);
    page.line(from, end, WIRE);
    page.text(Point::new(end.x, end.y + 2.2), SMALL.align(Align::End), "hot, to the controls");
}

/// Three bars, each shorter than the one above.
pub(super) fn ground(page: &mut Page, from: Point, long: f64) {
    let end = Point::new(from.x + long, from.y);
    page.line(from, end, WIRE);
    let foot = Point::new(end.x, end.y - 2.5);
    page.line(end, foot, WIRE);
    for (half, under) in [(3.0, 0.0), (2.0, 0.9), (1.0, 1.8)] {
        let y = foot.y - under;
        page.line(Point::new(end.x - half, y), Point::new(end.x + half, y), WIRE);
    }
}
