//! One length, radius or place, and how it is marked on a drawing.

use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector};
use bobbinwright_paper::{Ink, Look, Page, Pen};

/// Dark on white, and told from the part's own black.
const INK: Ink = Ink(0xb0, 0x40, 0x10);
const PALE: Ink = Ink(0xf6, 0xd9, 0xc8);

/// What is marked.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Mark {
    /// From left to right at a height; help lines come from another.
    Across { x: [f64; 2], y: f64, from: f64 },
    /// From below to above beside something; help lines come from there.
    Upright { y: [f64; 2], x: f64, from: f64 },
    /// A hole's diameter.
    Round { middle: Point, radius: f64 },
    /// A corner's radius, from its middle to the arc.
    Corner { middle: Point, on: Point },
    /// Something as a whole.
    Here(Vec<Contour>),
}

/// No picture shows less than this, mm.
const LEAST: f64 = 12.0;

/// A picture's width to its height.
const ASPECT: f64 = 1.8;

impl Mark {
    /// A length at its own place.
    pub(super) fn across(x: [f64; 2], y: f64) -> Self {
        Mark::Across { x, y, from: y }
    }

    /// A height at its own place.
    pub(super) fn upright(y: [f64; 2], x: f64) -> Self {
        Mark::Upright { y, x, from: x }
    }

    fn bounds(&self) -> Bounds {
        match self {
            Mark::Across { x, y, from } => Bounds::of(Point::new(x[0], *y), Point::new(x[1], *from)),
            Mark::Upright { y, x, from } => Bounds::of(Point::new(*x, y[0]), Point::new(*from, y[1])),
            Mark::Round { middle, radius } => {
                let out = Vector::new(*radius, *radius);
                Bounds { min: middle - out, max: middle + out }
            }
            Mark::Corner { middle, on } => Bounds::of(*middle, *on),
            Mark::Here(all) => all.iter().map(Contour::bounds).reduce(Bounds::union).unwrap_or(super::EMPTY),
        }
    }

    /// What is shown of a drawing, so that it is seen where the mark stands.
    pub(super) fn frame(&self, whole: Bounds) -> Bounds {
        let own = self.bounds();
        let size = own.max - own.min;
        let most = (whole.max.x - whole.min.x).max((whole.max.y - whole.min.y) * ASPECT) * 1.1;
        let wide = (2.0 * size.x).max(2.0 * size.y * ASPECT).max(LEAST).min(most);
        // What is as large as the part stands in the frame with it.
        let wide = wide.max(1.1 * size.x).max(1.1 * size.y * ASPECT);
        let middle = Point::new(f64::midpoint(own.min.x, own.max.x), f64::midpoint(own.min.y, own.max.y));
        let half = Vector::new(wide / 2.0, wide / ASPECT / 2.0);
        Bounds { min: middle - half, max: middle + half }
    }

    /// Draws it in a picture of that width.
    pub(super) fn draw(&self, page: &mut Page, wide: f64) {
        let pen = Pen::new(INK, wide / 90.0);
        match self {
            Mark::Across { x, y, from } => {
                let [a, b] = x.map(|x| Point::new(x, *y));
                ends(page, [a, b], Vector::new(0.0, *from - *y), wide);
            }
            Mark::Upright { y, x, from } => {
                let [a, b] = y.map(|y| Point::new(*x, y));
                ends(page, [a, b], Vector::new(*from - *x, 0.0), wide);
            }
            Mark::Round { middle, radius } => {
                page.outline(&Contour::circle(*middle, *radius), Look::line(pen));
                let out = Vector::new(0.8, 0.6) * *radius;
                ends(page, [*middle - out, *middle + out], Vector::new(0.0, 0.0), wide);
            }
            Mark::Corner { middle, on } => {
                page.outline(&Contour::circle(*middle, wide / 90.0), Look::solid(INK));
                page.line(*middle, *on, pen);
                let along = *on - *middle;
                head(page, *on, along / along.norm().max(1e-9), wide);
            }
            Mark::Here(all) => page.region(all, Look { pen: Some(pen), fill: Some(PALE) }),
        }
    }
}

/// A line between two points with heads, that point inwards where there is no room for them; and the help lines, which come
/// from `help` beside it.
fn ends(page: &mut Page, [a, b]: [Point; 2], help: Vector, wide: f64) {
    let pen = Pen::new(INK, wide / 90.0);
    let apart = (b - a).norm();
    let along = if apart > 1e-9 { (b - a) / apart } else { Vector::new(1.0, 0.0) };
    let side = Vector::new(-along.y, along.x) * (wide / 30.0);
    for end in [a, b] {
        page.line(end - side, end + side, pen);
        if help.norm() > 1e-9 {
            page.line(end, end + help, Pen::new(INK, wide / 220.0));
        }
    }
    if apart > wide / 6.0 {
        page.line(a, b, pen);
        head(page, a, -along, wide);
        head(page, b, along, wide);
    } else {
        page.line(a - along * (wide / 7.0), a, pen);
        page.line(b, b + along * (wide / 7.0), pen);
        head(page, a, along, wide);
        head(page, b, -along, wide);
    }
}

/// An arrow's head whose tip is at `tip`.
fn head(page: &mut Page, tip: Point, along: Vector, wide: f64) {
    let (foot, across) = (tip - along * (wide / 22.0), Vector::new(-along.y, along.x) * (wide / 60.0));
    page.outline(&Contour::polygon(&[tip, foot - across, foot + across]), Look::solid(INK));
}
