//! Two versions of a part laid over each other, to look at.

use std::f64::consts::{FRAC_PI_4, PI};

use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector};
use bobbinwright_kernel::{Cut, Movement, TooManyContours, lengthwise_cut, level_cuts};
use bobbinwright_spec::{Handed, Length, SizeOf, Unit};

use bobbinwright_core::changes::{PartChange, from_middle, sizes_of};

use crate::dimension_lines::{across, upright};
use bobbinwright_paper::{Align, BLACK, GREY, Ink, Look, Page, Pen, Type, WHITE, wrapped};

/// What stays.
const KEPT: Look = Look { pen: Some(Pen::new(GREY, 0.1)), fill: Some(STAYS) };
const STAYS: Ink = Ink(0xe4, 0xe4, 0xe4);
/// The same in slices, whose borders are nothing to see.
const KEPT_SLICE: Look = Look { pen: Some(Pen::new(STAYS, 0.1)), fill: Some(STAYS) };
/// What comes off: white, hatched and bordered in red-brown; also without colour it is the hatched one.
const OFF: Ink = Ink(0xb0, 0x40, 0x10);
const REMOVED: Look = Look { pen: Some(Pen::new(OFF, 0.2)), fill: Some(WHITE) };
/// What comes on: filled dark blue; also without colour it is the black one.
const ADDED: Look = Look { pen: Some(Pen::new(ON, 0.2)), fill: Some(ON) };
const ON: Ink = Ink(0x10, 0x30, 0x80);

const TITLE: Type = Type::new(4.2).bold();
const HEADING: Type = Type::new(2.8);
const SMALL: Type = Type::new(2.5);

/// Free paper on every side, mm.
const EDGE: f64 = 8.0;
/// Left of a drawing, for `treble` and its like; right of it, for upright dimensions.
const BESIDE: (f64, f64) = (14.0, 62.0);
/// Between two dimension lines, mm.
const STEP: f64 = 5.5;
/// Level cuts beyond this many show less and less.
const MOST: usize = 2;
/// The page is no narrower: titles and notes need it.
const NARROWEST: f64 = 130.0;

/// The picture of a part that changed.
pub(super) fn page(part: &PartChange, changed: &str, unit: Unit) -> Result<Page, TooManyContours> {
    let (was, now) = (&part.earlier.0.stack, &part.later.0.stack);
    let bounds = [was, now].into_iter().flat_map(|s| s.features.iter().map(|f| f.contour.bounds()));
    let bounds = bounds.reduce(Bounds::union).unwrap_or(Bounds::of(Point::origin(), Point::origin()));
    let sizes = Sizes::new(part, unit);
    let left = bounds.min.x - BESIDE.0 - EDGE;
    let right = (bounds.max.x + BESIDE.1 + EDGE).max(left + NARROWEST);
    let sheet = Bounds { min: Point::new(left, 0.0), max: Point::new(right, 0.0) };
    let mut page = Page::new(sheet, format!("{}: earlier and later version", part.id));
    let mut drawing = Drawing { page: &mut page, left: left + EDGE, top: -EDGE };
    drawing.head(part, changed);
    let levels = level_cuts(was, now)?;
    let shown = levels.len().min(MOST);
    for (i, level) in levels[..shown].iter().enumerate() {
        let heading = format!(
            "cut level between {} and {} above its underside",
            unit.figure(Length::from_mm(level.from)),
            unit.shown(Length::from_mm(level.to))
        );
        drawing.plan(&heading, &level.cut, part.later.1.handed, if i == 0 { Some(&sizes) } else { None });
    }
    if levels.len() > shown {
        drawing.line(SMALL, &format!("{} more level cuts differ less", levels.len() - shown));
    }
    let lengthwise = lengthwise_cut(was, now, part.later.1.row);
    if !lengthwise.is_same() {
        drawing.section(&lengthwise, now, &sizes);
    }
    drawing.notes(part, &sizes, levels.is_empty());
    let bottom = drawing.top - EDGE;
    page.crop(Bounds { min: Point::new(left, bottom), max: Point::new(right, 0.0) });
    Ok(page)
}

/// Sizes that moved, by where they are drawn.
struct Sizes {
    /// Along the row of strings: from, to, and the words.
    along: Vec<(f64, f64, String)>,
    /// Across it.
    across: Vec<(f64, f64, String)>,
    /// Heights.
    heights: Vec<(f64, f64, String)>,
    /// Without a place in these views.
    others: Vec<String>,
    /// In which they are said.
    unit: Unit,
}

impl Sizes {
    fn new(part: &PartChange, unit: Unit) -> Self {
        let mut sizes =
            Self { along: Vec::new(), across: Vec::new(), heights: Vec::new(), others: Vec::new(), unit };
        let (was, now) = (&part.earlier.1, &part.later.1);
        for (size, before, after) in sizes_of(was, now, part.choice.kind) {
            let name = size.size.word().replace('_', " ");
            let words = match (before, after) {
                (Some(before), Some(after)) => {
                    format!("{name} {}, was {}", unit.figure(after), unit.figure(before))
                }
                (None, Some(after)) => format!("{name} {}, new", unit.figure(after)),
                (before, None) => {
                    sizes.others.push(format!(
                        "{name} gone{}",
                        before.map_or(String::new(), |b| format!(", was {}", unit.shown(b)))
                    ));
                    continue;
                }
            };
            let mm = after.unwrap_or(Length::ZERO).as_mm();
            let ends = |half: f64| (-half, half);
            let pole = |pick: fn(f64, f64) -> f64, from: f64| now.poles.iter().map(|p| p.x).fold(from, pick);
            match size.size {
                SizeOf::Length
                | SizeOf::EarToEar
                | SizeOf::ScrewPitch
                | SizeOf::HollowLength
                | SizeOf::LipLength => {
                    sizes.along.push((ends(mm / 2.0).0, ends(mm / 2.0).1, words));
                }
                SizeOf::PoleSpan => {
                    sizes.along.push((
                        pole(f64::min, f64::INFINITY),
                        pole(f64::max, f64::NEG_INFINITY),
                        words,
                    ));
                }
                SizeOf::Width | SizeOf::EarWidth | SizeOf::HollowWidth | SizeOf::LipWidth => {
                    sizes.across.push((-mm / 2.0, mm / 2.0, words));
                }
                SizeOf::Height | SizeOf::EarThickness | SizeOf::HollowDepth => {
                    sizes.heights.push((0.0, mm, words));
                }
                SizeOf::RecessDepth | SizeOf::LipHeight => {
                    let top = part.later.0.stack.height();
                    sizes.heights.push((top - mm, top, words));
                }
                SizeOf::ScrewHole | SizeOf::Recess | SizeOf::PoleHole | SizeOf::EyeletHole => {
                    sizes.others.push(words);
                }
            }
        }
        sizes
    }
}

struct Drawing<'p> {
    page: &'p mut Page,
    left: f64,
    /// Where the next thing begins.
    top: f64,
}

impl Drawing<'_> {
    fn line(&mut self, kind: Type, text: &str) {
        self.top -= kind.size;
        self.page.text(Point::new(self.left, self.top), kind, text);
        self.top -= kind.size * 0.7;
    }

    fn head(&mut self, part: &PartChange, changed: &str) {
        self.line(TITLE, &part.id);
        // Pixels are set in wider letters than these are measured by.
        let room = (self.page.sheet().max.x - EDGE - self.left) / 1.15;
        for line in wrapped(changed, &HEADING, room) {
            self.line(HEADING, &line);
        }
        self.top -= 3.0;
        let y = self.top;
        let mut x = self.left;
        for (look, words) in [(KEPT, "stays"), (REMOVED, "comes off"), (ADDED, "comes on")] {
            let swatch = [Contour::rectangle(Point::new(x, y - 1.6), Point::new(x + 8.0, y + 1.6))];
            self.region(&swatch, look);
            self.page.text(Point::new(x + 10.0, y), SMALL, words);
            x += 34.0;
        }
        self.top -= 5.0;
    }

    fn region(&mut self, borders: &[Contour], look: Look) {
        if borders.is_empty() {
            return;
        }
        self.page.region(borders, look);
        if look == REMOVED {
            self.page.hatching(borders, FRAC_PI_4, 1.1, Pen::new(OFF, 0.15));
            self.page.hatching(borders, PI - FRAC_PI_4, 1.1, Pen::new(OFF, 0.15));
        }
    }

    fn cut(&mut self, cut: &Cut, kept: Look, by: Vector) {
        let moved = |all: &[Contour]| all.iter().map(|c| c.moved(by)).collect::<Vec<_>>();
        for (borders, look) in [(&cut.kept, kept), (&cut.removed, REMOVED), (&cut.added, ADDED)] {
            self.region(&moved(borders), look);
        }
    }

    /// A level cut from above, neck up.
    fn plan(&mut self, heading: &str, cut: &Cut, handed: Handed, sizes: Option<&Sizes>) {
        self.line(HEADING, heading);
        let Some(bounds) = bounds_of(cut) else { return };
        let by = Vector::new(0.0, self.top - 3.0 - bounds.max.y);
        self.cut(cut, KEPT, by);
        let [left, right] = handed.ends();
        self.page.text(Point::new(bounds.min.x - 2.0, by.y), SMALL.align(Align::End), left);
        self.page.text(Point::new(bounds.max.x + 2.0, by.y), SMALL, right);
        let low = bounds.min.y + by.y;
        self.top = low - 3.0;
        let Some(sizes) = sizes else { return };
        for (from, to, words) in &sizes.along {
            self.top -= STEP;
            let (a, b) = across(self.page, (*from, *to), self.top, (low, low));
            self.label(Point::new(f64::midpoint(a.x, b.x), self.top), words);
        }
        let mut x = bounds.max.x + 12.0;
        for (i, (from, to, words)) in sizes.across.iter().enumerate() {
            let edge = bounds.max.x;
            upright(self.page, (from + by.y, to + by.y), x, (edge, edge));
            let at = Point::new(x + 1.5, bounds.max.y + by.y - 4.0 - 4.0 * i as f64);
            self.page.text(at, SMALL, words.clone());
            x += STEP;
        }
        self.top -= 4.0;
    }

    /// A cut along the row of strings, seen from the bridge.
    fn section(&mut self, cut: &Cut, now: &Stack, sizes: &Sizes) {
        self.line(HEADING, "cut upright along the row of strings, seen from the bridge");
        let Some(bounds) = bounds_of(cut) else { return };
        let by = Vector::new(0.0, self.top - 3.0 - bounds.max.y);
        self.cut(cut, KEPT_SLICE, by);
        let right = now.features.iter().map(|f| f.contour.bounds().max.x).fold(bounds.max.x, f64::max);
        let mut x = right + 4.0;
        for (i, (from, to, words)) in sizes.heights.iter().enumerate() {
            upright(self.page, (from + by.y, to + by.y), x, (bounds.max.x, bounds.max.x));
            let at = Point::new(
                right + 5.5 + STEP * sizes.heights.len() as f64,
                by.y + bounds.max.y - 2.0 - 4.0 * i as f64,
            );
            self.page.text(at, SMALL, words.clone());
            x += STEP;
        }
        let names = 4.0 * sizes.heights.len() as f64;
        self.top = by.y + bounds.min.y.min(bounds.max.y - names) - 5.0;
    }

    /// A number on its line.
    fn label(&mut self, at: Point, words: &str) {
        // Pixels are set in letters of one width, wider than most.
        let half = 0.3 * SMALL.size * words.chars().count() as f64 + 0.8;
        let back = Contour::rectangle(at - Vector::new(half, 1.6), at + Vector::new(half, 1.6));
        self.page.outline(&back, Look::solid(WHITE));
        self.page.text(at, SMALL.align(Align::Middle).ink(BLACK), words);
    }

    fn notes(&mut self, part: &PartChange, sizes: &Sizes, no_plan: bool) {
        let mut lines = sizes.others.clone();
        if no_plan {
            lines.extend(sizes.along.iter().chain(&sizes.across).map(|(.., words)| words.clone()));
        }
        for moved in part.found.moved.iter().take(4) {
            lines.push(moved_words(moved, part.later.1.handed, sizes.unit));
        }
        for line in lines {
            self.line(SMALL, &line);
        }
    }
}

/// `hollow moves by up to 0.40 mm, furthest 44 mm towards treble, 4 mm towards the bridge`.
fn moved_words(moved: &Movement<Role>, handed: Handed, unit: Unit) -> String {
    let name = moved.role.name();
    let [far, level] = [moved.distance, moved.level].map(|mm| unit.shown(Length::from_mm(mm)));
    if moved.level > moved.plan {
        return format!("{name} moves by up to {far}, {level} of it up or down");
    }
    format!("{name} moves by up to {far}, furthest {}", from_middle(moved.at, handed, unit))
}

fn bounds_of(cut: &Cut) -> Option<Bounds> {
    let all = cut.kept.iter().chain(&cut.removed).chain(&cut.added);
    all.map(Contour::bounds).reduce(Bounds::union)
}
