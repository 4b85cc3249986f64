//! A position's rout, screws and strings seen from above, with the readings' numbers.

use bobbinwright_geometry::parts::outwards;
use bobbinwright_kernel::plane::{Contour, Point, offset};
use bobbinwright_spec::{PositionQuantity as P, Quantity, Side, Survey, SurveyedPosition};

use bobbinwright_paper::{Align, BLACK, GREY, Page, Pen};

use super::dims::{across, disc, leader, upright};
use super::looks::{BODY, NOTES, SMALL, STRING};
use super::sizes::Sizes;
use super::{EDGE, Row, section};
use crate::dimension_lines;

const CENTRE: Pen = Pen::new(GREY, 0.1).dashed(4.0, 1.0);

/// Draws a position below the height `top`, and gives the height below the drawing.
pub(super) fn position(
    page: &mut Page,
    top: f64,
    survey: &Survey,
    position: &SurveyedPosition,
    rows: &[&Row],
) -> f64 {
    let sizes = Sizes::new(survey, position, rows);
    let sheet = page.sheet();
    let room = sheet.max.x - 2.0 * EDGE - 44.0;
    // A long list needs the room more than the drawing does.
    let smaller = if rows.len() > 18 { 0.8 } else { 1.0 };
    let scale =
        (room / (2.0 * sizes.reach())).min(38.0 / sizes.width).min(27.0 / (sizes.depth + 12.0)).min(1.2)
            * smaller;
    let middle = sheet.max.x / 2.0;
    // Above the rout: the chain of spacings, and wider pairs upon it.
    let wider = sizes.pairs().filter(|(a, b, _)| b - a > 1).count() as f64;
    let y = top - 12.0 - 5.5 * wider - sizes.width * scale / 2.0;
    let drawing = Plan { sizes: &sizes, scale, at: Point::new(middle, y) };
    drawing.outline(page);
    drawing.screws(page);
    drawing.rout(page);
    drawing.strings(page);
    if let Some(side) = position.channel {
        drawing.channel(page, side);
    }
    let below = y - sizes.width * scale / 2.0 - 18.5;
    let note = format!("{}, from above, neck up; not to scale", position.name);
    page.layer(NOTES, |page| page.text(Point::new(EDGE, top - 2.0), SMALL.ink(GREY), note));
    section::draw(page, below, &sizes, scale)
}

struct Plan<'a> {
    sizes: &'a Sizes<'a>,
    scale: f64,
    /// The rout's middle on the page.
    at: Point,
}

impl Plan<'_> {
    fn point(&self, x: f64, y: f64) -> Point {
        Point::new(self.at.x + x * self.scale, self.at.y + y * self.scale)
    }

    /// The body's edges. First of all: numbers must stand over them.
    fn outline(&self, page: &mut Page) {
        let (s, k) = (self.sizes, self.scale);
        let mut body = vec![Contour::rounded_rectangle(self.at, s.length * k, s.width * k, s.radius * k)];
        if let Some([reach, width, _, radius]) = s.ear {
            let long = s.length + 2.0 * reach;
            body.push(Contour::rounded_rectangle(self.at, long * k, width * k, radius * k));
        }
        for border in offset::borders(&body, &[]) {
            page.outline(&border.contour, BODY);
        }
    }

    fn rout(&self, page: &mut Page) {
        let s = self.sizes;
        let (half, side) = (s.length / 2.0, s.width / 2.0);
        let k = self.scale;
        page.line(self.point(-s.reach() - 4.0, 0.0), self.point(s.reach() + 4.0, 0.0), CENTRE);
        page.line(self.point(0.0, -side - 3.0), self.point(0.0, side + 3.0), CENTRE);
        let [left, right] = s.handed.ends();
        page.text(self.point(-s.reach() - 6.0, -2.6), SMALL.align(Align::End), left);
        page.text(self.point(s.reach() + 6.0, -2.6), SMALL, right);
        let (low, left) = (self.at.y - side * k, self.point(-half, 0.0).x);
        let right = self.point(half, 0.0).x;
        if let Some(row) = s.row(P::RoutLength) {
            across(page, (left, right), low - 8.0, (low, low), row);
        }
        if let Some(row) = s.row(P::RoutWidth) {
            let x = self.point(-s.reach(), 0.0).x - 15.0;
            upright(page, (low, self.at.y + side * k), x, (left, left), row);
        }
        if let Some(row) = s.row(P::RoutCornerRadius) {
            let r = s.radius * (1.0 - 0.5f64.sqrt());
            let corner = self.point(half - r, -side + r);
            leader(page, corner, Point::new(corner.x + 9.0, corner.y - 4.5), row);
        }
        self.diagonals(page);
        self.ears(page, (low, right));
    }

    /// From corner to corner, as lines with the number near the corner that gives them their name.
    fn diagonals(&self, page: &mut Page) {
        let s = self.sizes;
        for from in [Side::Bass, Side::Treble] {
            let Some(row) = s.row(P::Diagonal(from)) else { continue };
            let x = outwards(from, s.handed).x * s.length / 2.0;
            // Inside of the arc in the corner.
            let inside = 1.0 - s.radius * 0.3 / (s.length / 2.0);
            let [start, end] =
                [1.0, -1.0].map(|sign| self.point(sign * x * inside, sign * s.width / 2.0 * inside));
            page.line(start, end, CENTRE);
            disc(page, start + (end - start) * 0.3, row);
        }
    }

    /// The recess at the treble end; the other is alike.
    fn ears(&self, page: &mut Page, (low, right): (f64, f64)) {
        let s = self.sizes;
        let Some([reach, width, _, radius]) = s.ear else { return };
        let end = self.point(s.length / 2.0 + reach, 0.0).x;
        let (under, over) = (self.point(0.0, -width / 2.0).y, self.point(0.0, width / 2.0).y);
        if let Some(row) = s.row(P::EarLength) {
            across(page, (right, end), low - 8.0, (low, under), row);
        }
        if let Some(row) = s.row(P::EarWidth) {
            upright(page, (under, over), end + 18.0, (end, end), row);
        }
        if let Some(row) = s.row(P::EarCornerRadius) {
            let r = radius * (1.0 - 0.5f64.sqrt());
            let corner = self.point(s.length / 2.0 + reach - r, width / 2.0 - r);
            leader(page, corner, Point::new(corner.x + 5.0, corner.y + 7.0), row);
        }
    }

    fn screws(&self, page: &mut Page) {
        let s = self.sizes;
        let usual = if s.ear.is_some() { s.length + 10.0 } else { s.length - 11.0 };
        let x = (s.or(P::ScrewPitch, usual) / 2.0).min(s.reach() - 1.5);
        let hole = s.or(P::ScrewHole, 2.5);
        for x in [-x, x] {
            page.outline(&Contour::circle(self.point(x, 0.0), hole / 2.0 * self.scale), BODY);
        }
        if let Some(row) = s.row(P::ScrewPitch) {
            let y = self.at.y - s.width / 2.0 * self.scale - 13.5;
            across(page, (self.point(-x, 0.0).x, self.point(x, 0.0).x), y, (self.at.y, self.at.y), row);
        }
        self.screw_places(page, x);
        if let Some(row) = s.row(P::ScrewHole) {
            let hole = Point::new(self.point(-x, 0.0).x, self.at.y + hole / 2.0 * self.scale);
            // Beside an ear the rout's corner is in the way; the number stands over the ear then.
            let at = match s.ear {
                Some([_, width, ..]) => Point::new(hole.x - 4.0, self.at.y + width / 2.0 * self.scale + 4.0),
                None => Point::new(hole.x + 3.0, hole.y + 9.0),
            };
            leader(page, hole, at, row);
        }
    }

    /// Each screw's distances from the rout's sides.
    fn screw_places(&self, page: &mut Page, from_middle: f64) {
        let s = self.sizes;
        for row in s.rows {
            let Quantity::At(_, P::ScrewSide(number, side)) = row.known.quantity else { continue };
            let x = s.handed.treble() * if number == 1 { from_middle } else { -from_middle };
            let hole = self.point(x, 0.0);
            let out = outwards(side, s.handed);
            let edge = self.point(out.x * s.length / 2.0, out.y * s.width / 2.0);
            if matches!(side, Side::Neck | Side::Bridge) {
                let (low, high) = (hole.y.min(edge.y), hole.y.max(edge.y));
                upright(page, (low, high), hole.x, (hole.x, hole.x), row);
            } else {
                let (left, right) = (hole.x.min(edge.x), hole.x.max(edge.x));
                // Beside the rout: over the hole stand its distances from the long sides.
                let y = hole.y + 3.4;
                dimension_lines::across(page, (left, right), y, (hole.y, hole.y));
                disc(page, Point::new(edge.x + out.x * 4.0, y), row);
            }
        }
    }

    fn strings(&self, page: &mut Page) {
        let s = self.sizes;
        let side = s.width / 2.0;
        let (low, high) = (self.at.y - side * self.scale, self.at.y + side * self.scale);
        let x = |n: usize| self.point(s.string(n), 0.0).x;
        for n in 1..=s.strings {
            let pen = Pen::new(STRING, 0.35 + 0.9 * (n - 1) as f64 / s.strings as f64);
            page.line(Point::new(x(n), low - 2.0), Point::new(x(n), high + 3.0), pen);
            page.text(Point::new(x(n), low - 4.0), SMALL.align(Align::Middle), n.to_string());
        }
        let chain = high + 6.0;
        let mut level = chain;
        for (a, b, row) in s.pairs() {
            let y = if b - a == 1 {
                chain
            } else {
                level += 5.5;
                level
            };
            across(page, (x(b), x(a)), y, (high, high), row);
        }
        let end = s.handed.treble() * (self.point(s.length / 2.0, 0.0).x - self.at.x);
        if let Some(row) = s.row(P::BassSide) {
            across(page, (self.at.x - end, x(s.strings)), chain, (high, high), row);
        }
        if let Some(row) = s.row(P::TrebleSide) {
            across(page, (x(1), self.at.x + end), chain, (high, high), row);
        }
    }

    /// The channel's mouth, and its distance from the side's middle.
    fn channel(&self, page: &mut Page, side: Side) {
        let s = self.sizes;
        // Towards treble on the long sides, towards the neck on the ends.
        let treble = s.handed.treble();
        let (half, side_y) = (s.length / 2.0, s.width / 2.0);
        let across_the_rout = matches!(side, Side::Neck | Side::Bridge);
        let along = s.or(P::ChannelOffset, 12.0) * if across_the_rout { treble } else { 1.0 };
        let out = outwards(side, s.handed);
        let sign = out.x + out.y;
        for edge in [-2.5, 2.5] {
            let (from, to) = if across_the_rout {
                {
                    let (x, edge) = (self.point(along + edge, 0.0).x, self.point(0.0, sign * side_y).y);
                    (Point::new(x, edge), Point::new(x, edge + sign * 2.0))
                }
            } else {
                {
                    let (edge, y) = (self.point(sign * half, 0.0).x, self.point(0.0, along + edge).y);
                    (Point::new(edge, y), Point::new(edge + sign * 2.0, y))
                }
            };
            page.line(from, to, Pen::new(BLACK, 0.3));
        }
        let Some(row) = s.row(P::ChannelOffset) else { return };
        if across_the_rout {
            let edge = self.at.y + sign * side_y * self.scale;
            let x = (self.at.x, self.point(along, 0.0).x);
            across(page, x, edge - sign * 5.0, (edge, edge), row);
        } else {
            let edge = self.at.x + sign * half * self.scale;
            let y = (self.at.y, self.point(0.0, along).y);
            // Outside: inside there are the screws.
            upright(page, y, edge + sign * 7.0, (edge, edge), row);
        }
    }
}
