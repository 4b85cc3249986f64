//! The coil cut across its row of rods, to scale.

use bobbinwright_kernel::plane::{Bounds, Contour, Point};
use bobbinwright_spec::magnets::North;

use super::Winding;
use crate::dimension_lines::{across, upright};
use bobbinwright_paper::{Align, BLACK, GREY, Ink, Look, Page, Pen, Type, WHITE};

const SMALL: Type = Type::new(2.6);
const SCALE: f64 = 4.0;
/// Right of a dimension, mm.
const WORDS: f64 = 48.0;
const PLATE: Look = Look { pen: Some(Pen::new(BLACK, 0.25)), fill: Some(Ink(0xe4, 0xe4, 0xe4)) };
const ROD: Look = Look { pen: Some(Pen::new(BLACK, 0.3)), fill: Some(WHITE) };
const COIL: Look =
    Look { pen: Some(Pen::new(Ink(0x8a, 0x4b, 0x10), 0.2)), fill: Some(Ink(0xec, 0xe4, 0xd8)) };
const TURNS: Pen = Pen::new(Ink(0x8a, 0x4b, 0x10), 0.1);
const ROOM: Pen = Pen::new(BLACK, 0.2).dashed(1.4, 0.9);
const HOLLOW: Look = Look::line(Pen::new(GREY, 0.3));

/// Heights and widths of the section, mm on the paper.
struct Section {
    /// Half of the plates' width, of the core's and of the coil's.
    plate: f64,
    core: f64,
    coil: f64,
    rod: f64,
    /// From the lower plate's underside: its top, the upper plate's underside, its top, the rod's end.
    heights: [f64; 4],
}

impl Section {
    fn of(winding: &Winding) -> Self {
        let (layout, core) = (winding.layout, winding.coil.bobbin.core);
        let flatwork = &layout.wanted.flatwork;
        let low = flatwork.bottom;
        let high = low + layout.coil_height;
        let heights = [low, high, high + flatwork.top, winding.hardware.rod_length.value()];
        Self {
            plate: layout.plate.width.as_mm() / 2.0 * SCALE,
            core: core.radius.as_mm() * SCALE,
            coil: (core.radius + winding.coil.build()).as_mm() * SCALE,
            rod: winding.hardware.rod_diameter.value().as_mm() / 2.0 * SCALE,
            heights: heights.map(|h| h.as_mm() * SCALE),
        }
    }
}

/// The drawing, at four times the size.
pub(super) fn page(winding: &Winding) -> Page {
    let section = Section::of(winding);
    let [.., top] = section.heights;
    let hollow = (winding.layout.width - winding.layout.wanted.cover.wall * 2.0).as_mm() / 2.0 * SCALE;
    let wide = hollow.max(section.plate).max(section.coil);
    let room = section.core + winding.coil.bobbin.room.as_mm() * SCALE;
    let right = (wide + 8.0).max(room + WORDS);
    let sheet = Bounds { min: Point::new(-wide - 26.0, -30.0), max: Point::new(right, top + 16.0) };
    let name = &winding.position.name;
    let mut page = Page::new(sheet, format!("{name}: coil in section"));
    let title = format!("{name}: coil cut across the row of rods, 4:1");
    page.text(Point::new(-wide - 22.0, top + 10.0), SMALL.bold(), title);
    bobbin(&mut page, winding, &section);
    walls(&mut page, hollow, top);
    dimensions(&mut page, winding, &section, wide);
    page
}

fn bobbin(page: &mut Page, winding: &Winding, section: &Section) {
    let [low, high, upper, top] = section.heights;
    let rectangle =
        |x: (f64, f64), y: (f64, f64)| Contour::rectangle(Point::new(x.0, y.0), Point::new(x.1, y.1));
    for (from, to) in [(0.0, low), (high, upper)] {
        page.outline(&rectangle((-section.plate, section.plate), (from, to)), PLATE);
    }
    for side in [-1.0, 1.0] {
        let (inner, outer) = (side * section.core, side * section.coil);
        let coil = rectangle((inner, outer), (low, high));
        page.outline(&coil, COIL);
        page.hatching(&[coil], std::f64::consts::FRAC_PI_4 * side, 1.2, TURNS);
        let limit = side * (section.core + winding.coil.bobbin.room.as_mm() * SCALE);
        page.line(Point::new(limit, low), Point::new(limit, high), ROOM);
    }
    page.outline(&rectangle((-section.rod, section.rod), (0.0, top)), ROD);
    let (above, below) = match winding.position.wanted.north {
        North::Up => ("N", "S"),
        North::Down => ("S", "N"),
    };
    for (y, letter) in [(top - 3.0, above), (3.0, below)] {
        page.text(Point::new(0.0, y), SMALL.bold().align(Align::Middle), letter);
    }
}

/// The cover's inside on both sides.
fn walls(page: &mut Page, hollow: f64, top: f64) {
    for side in [-1.0, 1.0] {
        let (from, to) = (Point::new(side * hollow, -3.0), Point::new(side * (hollow + 2.0), top + 3.0));
        page.outline(&Contour::rectangle(from, to), HOLLOW);
    }
}

fn dimensions(page: &mut Page, winding: &Winding, section: &Section, wide: f64) {
    let [low, high, ..] = section.heights;
    let (coil, unit) = (&winding.coil, winding.unit());
    let mut line = |x: (f64, f64), y: f64, from: f64, words: String| {
        let (_, right) = across(page, x, y, (from, from));
        page.text(Point::new(right.x.max(x.0.max(x.1)) + 5.0, y), SMALL, words);
    };
    line((section.core, section.coil), -5.0, low, format!("coil {}", unit.shown(coil.build())));
    let room = section.core + coil.bobbin.room.as_mm() * SCALE;
    line((section.core, room), -11.0, low, format!("room {} (dashed)", unit.shown(coil.bobbin.room)));
    line(
        (-section.core, section.core),
        -17.0,
        low,
        format!("core {}", unit.shown(coil.bobbin.core.radius * 2.0)),
    );
    let key = "grey strips: the cover's inside; hatched: wire";
    page.text(Point::new(-wide - 22.0, -26.0), SMALL.ink(GREY), key);
    let x = -wide - 6.0;
    let (a, b) = upright(page, (low, high), x, (-section.plate, -section.plate));
    let words = unit.shown(coil.bobbin.height);
    page.text(Point::new(x - 1.5, f64::midpoint(a.y, b.y)), SMALL.align(Align::End), words);
}
