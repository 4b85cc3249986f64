//! Rods and winding seen from the strings: which pole is up, which way the wire runs, where it starts and ends.

use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector, offset};
use bobbinwright_spec::coil::{End, Start, Turning};
use bobbinwright_spec::magnets::North;

use super::Winding;
use super::ends::Ends;
use bobbinwright_paper::{Align, BLACK, GREY, Ink, Look, Page, Pen, Type, WHITE};

const SMALL: Type = Type::new(2.6);
const PLATE: Look = Look::line(Pen::new(BLACK, 0.25));
const COIL: Look = Look { pen: Some(Pen::new(GREY, 0.2)), fill: Some(Ink(0xec, 0xe4, 0xd8)) };
const CORE: Look = Look { pen: Some(Pen::new(GREY, 0.2)), fill: Some(WHITE) };
/// A rod with north up is white, one with south up is black; each has its letter too.
const NORTH: Look = Look { pen: Some(Pen::new(BLACK, 0.3)), fill: Some(WHITE) };
const SOUTH: Look = Look { pen: Some(Pen::new(BLACK, 0.3)), fill: Some(BLACK) };

/// Above and below a plate: for letters and labels, mm.
pub(super) const AROUND: f64 = 9.0;

/// A drawing of its own, at twice the size.
pub(super) fn page(winding: &Winding) -> Page {
    let plate = winding.layout.plate;
    let half = Point::new(plate.length.as_mm() + 16.0, plate.width.as_mm() + AROUND);
    let half = Point::new(half.x.max(64.0), half.y);
    let sheet = Bounds { min: Point::new(-half.x, -half.y), max: Point::new(half.x, half.y + 8.0) };
    let name = &winding.position.name;
    let mut page = Page::new(sheet, format!("{name}: rods and winding seen from the strings"));
    let title = format!("{name}: rods and winding seen from the strings, neck up");
    page.text(Point::new(-half.x + 4.0, half.y + 3.0), SMALL.bold(), title);
    draw(&mut page, winding, Point::origin(), 2.0);
    page
}

/// Draws it about a place, enlarged.
pub(super) fn draw(page: &mut Page, winding: &Winding, middle: Point, scale: f64) {
    let at = |p: Point| middle + (p - Point::origin()) * scale;
    let layout = winding.layout;
    let plate = layout.plate;
    let (length, width) = (plate.length.as_mm() * scale, plate.width.as_mm() * scale);
    let whole = Contour::rounded_rectangle(middle, length, width, plate.corner_radius.as_mm() * scale);
    let bites = layout.waists.map(|(center, radius)| Contour::circle(at(center), radius * scale));
    for border in offset::borders(&[whole], &bites) {
        page.outline(&border.contour, PLATE);
    }
    let core = winding.coil.bobbin.core;
    let row = at(Point::new(0.0, layout.row));
    let turn = |radius: f64| {
        let round = 2.0 * radius * scale;
        Contour::rounded_rectangle(row, core.span.as_mm() * scale + round, round, radius * scale)
    };
    let outer = (core.radius + winding.coil.build()).as_mm();
    page.outline(&turn(outer), COIL);
    page.outline(&turn(core.radius.as_mm()), CORE);
    rods(page, winding, at, scale);
    arrows(page, winding, [middle, row], f64::midpoint(outer, core.radius.as_mm()) * scale, width / 2.0);
    eyelets(page, winding, at, scale);
    let [left, right] = layout.handed.ends();
    page.text(middle - Vector::new(length / 2.0 + 2.0, 0.0), SMALL.align(Align::End), left);
    page.text(middle + Vector::new(length / 2.0 + 2.0, 0.0), SMALL, right);
}

fn rods(page: &mut Page, winding: &Winding, at: impl Fn(Point) -> Point, scale: f64) {
    let (look, letter, ink) = match winding.position.wanted.north {
        North::Up => (NORTH, "N", BLACK),
        North::Down => (SOUTH, "S", WHITE),
    };
    let radius = winding.hardware.rod_diameter.value().as_mm() / 2.0 * scale;
    for pole in &winding.layout.poles {
        page.outline(&Contour::circle(at(*pole), radius), look);
        let kind = Type::new((radius * 1.3).min(2.6)).bold().ink(ink).align(Align::Middle);
        page.text(at(*pole), kind, letter);
    }
}

/// Which way the wire is laid on, and which way the bobbin turns for that.
fn arrows(page: &mut Page, winding: &Winding, [middle, row]: [Point; 2], away: f64, edge: f64) {
    let way = match winding.wanted.turning {
        Turning::Clockwise => 1.0,
        Turning::Anticlockwise => -1.0,
    };
    for side in [1.0, -1.0] {
        arrow(page, row + Vector::new(0.0, side * away), side * way);
    }
    // The bobbin turns against that; its arrow stands outside the plate, where no eyelet is.
    let [bass, _] = winding.layout.eyelets;
    let side = if bass.y < 0.0 { 1.0 } else { -1.0 };
    let beside = middle + Vector::new(0.0, side * (edge + 3.0));
    page.text(beside - Vector::new(2.0, 0.0), SMALL.align(Align::End), "the bobbin turns");
    arrow(page, beside + Vector::new(6.0, 0.0), -side * way);
}

/// Five millimetres to both sides of a place, towards the right or towards the left.
fn arrow(page: &mut Page, foot: Point, way: f64) {
    let along = Vector::new(way, 0.0);
    let tip = foot + along * 5.0;
    page.line(foot - along * 5.0, tip, Pen::new(BLACK, 0.35));
    let across = Vector::new(0.0, 0.9);
    let back = tip - along * 2.4;
    page.outline(&Contour::polygon(&[tip, back + across, back - across]), Look::solid(BLACK));
}

fn eyelets(page: &mut Page, winding: &Winding, at: impl Fn(Point) -> Point, scale: f64) {
    let [bass, treble] = winding.layout.eyelets;
    let (start, finish) = match winding.wanted.start {
        Start::Bass => (bass, treble),
        Start::Treble => (treble, bass),
    };
    let radius = winding.hardware.eyelet_flange.value().as_mm() / 2.0 * scale;
    let edge = winding.layout.plate.width.as_mm() / 2.0 * scale;
    for (eyelet, other, end) in [(start, finish, End::Start), (finish, start, End::Finish)] {
        let place = at(eyelet);
        let is = if end == Ends::of(winding).hot { "hot" } else { "ground" };
        let word = format!("{}: {is}", end.word());
        page.outline(&Contour::circle(place, radius), NORTH);
        // Labels stand outside the plate, on the eyelet's side of it.
        let side = if eyelet.y < 0.0 { -1.0 } else { 1.0 };
        let middle = at(Point::origin()).y;
        // Each runs away from the other, which may be near.
        let (align, back) = if eyelet.x < other.x { (Align::End, 3.0) } else { (Align::Start, -3.0) };
        let label = Point::new(place.x + back, middle + side * (edge + 3.0));
        page.line(
            Point::new(place.x, place.y + side * radius),
            Point::new(place.x, middle + side * (edge + 1.2)),
            Pen::new(BLACK, 0.15),
        );
        page.text(label, SMALL.align(align), word);
    }
}
