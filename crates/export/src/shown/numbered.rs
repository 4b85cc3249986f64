//! A printed part with all its sizes to be read, numbered as in the list of them.

use bobbinwright_core::Prepared;
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector};
use bobbinwright_paper::{Align, BLACK, GREY, Look, Page, Pen, Type, WHITE};
use bobbinwright_spec::{Length, PartKind, SizeOf, Unit};

use super::mark::Mark;
use super::{EMPTY, Model, View, sizes, views};
use crate::dimension_lines::{across, leader, upright};

/// Between two dimension lines, mm.
const STEP: f64 = 6.5;
/// Between two upright ones, whose figures stand beside them.
const WIDE_STEP: f64 = 17.0;
/// Radius of a number's disc, mm.
const DISC: f64 = 2.4;
const EDGE: f64 = 6.0;
const NUMBER: Type = Type::new(3.0).bold().align(Align::Middle);
const FIGURE: Type = Type::new(2.8);

/// A size to be read: its number, which it is, and what it shall be.
pub struct ToRead {
    /// In the list of them.
    pub number: usize,
    /// Which.
    pub size: SizeOf,
    /// What it shall be.
    pub wanted: Length,
}

/// The drawing of a part with the sizes to be read on it; none where there is no such part.
pub fn numbered(prepared: &Prepared, index: usize, kind: PartKind, all: &[ToRead]) -> Option<Page> {
    let model = Model::of(prepared, index)?;
    model.stack(kind)?;
    let title = format!("{} {}: where to read", model.position.name, kind.name());
    let mut drawing = Drawing { page: Page::new(EMPTY, title), room: None, unit: prepared.family.unit() };
    let marks: Vec<(View, Mark, &ToRead)> = all
        .iter()
        .filter_map(|one| sizes::mark(&model, kind, one.size).map(|(view, mark)| (view, mark, one)))
        .collect();
    let of = |view: View| {
        marks
            .iter()
            .filter(move |(own, ..)| *own == view)
            .map(|(_, mark, one)| (mark, *one))
            .collect::<Vec<_>>()
    };
    let above = views::draw(&mut drawing.page, &model, View::Above(kind), Vector::new(0.0, 0.0));
    drawing.take(above);
    drawing.marks(&of(View::Above(kind)), above, 0.0);
    let cut = of(View::Cut(kind));
    if !cut.is_empty() {
        let high = model.stack(kind)?.height();
        let lowest = drawing.room.map_or(0.0, |room| room.min.y);
        let down = lowest - 8.0 - high;
        let own = views::draw(&mut drawing.page, &model, View::Cut(kind), Vector::new(0.0, down));
        let own = Bounds { min: own.min + Vector::new(0.0, down), max: own.max + Vector::new(0.0, down) };
        drawing.take(own);
        drawing.marks(&cut, own, down);
    }
    let out = Vector::new(EDGE, EDGE);
    let room = drawing.room?;
    let mut page = drawing.page;
    page.crop(Bounds { min: room.min - out, max: room.max + out });
    Some(page)
}

struct Drawing {
    page: Page,
    /// What is drawn on so far.
    room: Option<Bounds>,
    unit: Unit,
}

impl Drawing {
    fn take(&mut self, more: Bounds) {
        self.room = Some(self.room.map_or(more, |room| room.union(more)));
    }

    /// The marks of a view that is drawn so far up: lines stand outside of it, the shorter the nearer.
    fn marks(&mut self, all: &[(&Mark, &ToRead)], view: Bounds, up: f64) {
        let mut order: Vec<_> = all.to_vec();
        order.sort_by(|a, b| a.1.wanted.as_mm().total_cmp(&b.1.wanted.as_mm()));
        let (mut above, mut right) = (view.max.y + STEP, view.max.x + STEP);
        let mut leaders: Vec<f64> = Vec::new();
        for (mark, one) in order {
            match mark {
                Mark::Across { x, from, .. } => {
                    across(&mut self.page, (x[0], x[1]), above, (from + up, from + up));
                    self.number(Point::new(f64::midpoint(x[0], x[1]), above), one);
                    above += STEP;
                }
                Mark::Upright { y, from, .. } => {
                    let y = y.map(|y| y + up);
                    upright(&mut self.page, (y[0], y[1]), right, (*from, *from));
                    let short = y[1] - y[0] < 4.0 * DISC;
                    // Beside what has no room for it.
                    let at = if short { y[1] + 2.0 + DISC } else { f64::midpoint(y[0], y[1]) };
                    self.number(Point::new(right, at), one);
                    right += WIDE_STEP;
                }
                Mark::Round { middle, radius } => {
                    let to = *middle - Vector::new(0.0, *radius);
                    let mut x = middle.x;
                    while leaders.iter().any(|taken| (taken - x).abs() < WIDE_STEP) {
                        x -= WIDE_STEP;
                    }
                    leaders.push(x);
                    let at = Point::new(x, view.min.y - STEP);
                    leader(&mut self.page, to, at);
                    self.number(at, one);
                }
                Mark::Corner { .. } | Mark::Here(_) => {}
            }
        }
    }

    /// The number in its disc, and what the size shall be beside it.
    fn number(&mut self, at: Point, one: &ToRead) {
        let words = self.unit.figure(one.wanted);
        let end = at + Vector::new(DISC + 1.0 + 0.62 * FIGURE.size * words.len() as f64, DISC);
        self.take(Bounds { min: at - Vector::new(DISC, DISC), max: end });
        self.page.spot(one.number, at);
        self.page.upon(|page| {
            let behind = Contour::rectangle(at + Vector::new(0.0, -1.6), Point::new(end.x, at.y + 1.6));
            page.outline(&behind, Look::solid(WHITE));
            page.outline(
                &Contour::circle(at, DISC),
                Look { pen: Some(Pen::new(BLACK, 0.25)), fill: Some(WHITE) },
            );
            page.text(at, NUMBER, one.number.to_string());
            page.text(at + Vector::new(DISC + 0.8, 0.0), FIGURE.ink(GREY), words);
        });
    }
}
