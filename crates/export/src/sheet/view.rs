//! A position's rout, screws and strings seen from above, with the readings' numbers.

use bobbinwright_geometry::parts::{Tab, outwards, rounded_body};
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector, offset};
use bobbinwright_spec::{Angle, Length, PositionQuantity as P, Quantity, Side, Survey, SurveyedPosition};

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
        (room / (2.0 * sizes.reach())).min(19.0 / sizes.rise()).min(27.0 / (sizes.depth + 12.0)).min(1.2)
            * smaller;
    let middle = sheet.max.x / 2.0;
    // Above the rout: the chain of spacings, and wider pairs upon it.
    let wider = sizes.pairs().filter(|(a, b, _)| b - a > 1).count() as f64;
    let y = top - 12.0 - 5.5 * wider - sizes.rise() * scale;
    let drawing = Plan { sizes: &sizes, scale, at: Point::new(middle, y) };
    // Slanted ones cross what is read beside them, whose numbers stand over them.
    drawing.string_lines(page);
    drawing.outline(page);
    drawing.screws(page);
    drawing.rout(page);
    drawing.strings(page);
    if let Some(side) = position.channel {
        drawing.channel(page, side);
    }
    let below = y - sizes.rise() * scale - 18.5;
    let slanted = match (position.slant == Angle::default(), position.outline.is_square()) {
        (true, true) => "",
        (true, false) => "; from a side to a screw square to that side",
        (false, true) => "; string to string is read square to the strings, to the rout along it",
        (false, false) => {
            "; string to string square to the strings, from a side to a screw square to that side"
        }
    };
    let note = format!("{}, from above, neck up; not to scale{slanted}", position.name);
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
        let size = [s.length * k, s.width * k].map(Length::from_mm);
        let radii = s.corners.map(|radius| *radius * k);
        let slanted = s.slanted.map(|sides| sides.mapped(|p| Point::from(p.coords * k)));
        let slanted = slanted.and_then(|sides| sides.outline(&radii, s.handed));
        let rout = slanted.unwrap_or_else(|| rounded_body(s.handed, size, &radii));
        let mut body = vec![rout.moved(self.at - Point::origin())];
        for (ear, at) in s.ear.iter().flat_map(|ear| s.ears.iter().map(move |at| (ear, at))) {
            if let Some(askew) = self.askew(*at, *ear) {
                body.push(askew);
                continue;
            }
            let Bounds { min, max } = self.recess(*at, *ear);
            let (length, width) = (max.x - min.x, max.y - min.y);
            let middle = Point::new(f64::midpoint(min.x, max.x), f64::midpoint(min.y, max.y));
            body.push(Contour::rounded_rectangle(middle, length, width, ear[3] * k));
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
            across(page, (left, right), self.at.y - s.rise() * k - 8.0, (low, low), row);
        }
        if let Some(row) = s.row(P::RoutWidth) {
            let x = self.point(-s.reach(), 0.0).x - 15.0;
            upright(page, (low, self.at.y + side * k), x, (left, left), row);
        }
        if let Some(row) = s.row(P::RoutCornerRadius) {
            let radius = s.corners.at([s.handed.treble(), -1.0]).as_mm();
            let r = radius * (1.0 - 0.5f64.sqrt());
            let corner = self.point(half - r, -side + r);
            leader(page, corner, Point::new(corner.x + 9.0, corner.y - 4.5), row);
        }
        self.diagonals(page);
        self.ears(page, (low, right));
        self.ear_places(page);
    }

    /// From corner to corner, as lines with the number near the corner that gives them their name.
    fn diagonals(&self, page: &mut Page) {
        let s = self.sizes;
        for from in [Side::Bass, Side::Treble] {
            let Some(row) = s.row(P::Diagonal(from)) else { continue };
            let x = outwards(from, s.handed).x * s.length / 2.0;
            // Inside of the arc in the corner.
            let radius = s.corners.at([x.signum() * s.handed.treble(), 1.0]).as_mm();
            let inside = 1.0 - radius * 0.3 / (s.length / 2.0);
            let [start, end] =
                [1.0, -1.0].map(|sign| self.point(sign * x * inside, sign * s.width / 2.0 * inside));
            let [start, end] = s.slanted.map_or([start, end], |slanted| {
                let [low_right, high_right, high_left, low_left] = slanted.corners();
                let ends = if x > 0.0 { [high_right, low_left] } else { [high_left, low_right] };
                ends.map(|corner| self.point(corner.x * inside, corner.y * inside))
            });
            page.line(start, end, CENTRE);
            disc(page, start + (end - start) * 0.3, row);
        }
    }

    /// A recess that stands square to a slanted side, on the page.
    fn askew(&self, (side, offset): (Side, f64), [reach, width, _, radius]: [f64; 4]) -> Option<Contour> {
        let (s, k) = (self.sizes, self.scale);
        let border = s.slanted?.border(side, s.handed);
        if border.out.x == 0.0 || border.out.y == 0.0 {
            return None;
        }
        let [reach, width] = [border.reach + reach, width].map(|mm| Length::from_mm(mm * k));
        let tab = Tab { side, out: border.out, offset: Length::ZERO, reach, width };
        // From the side's middle, as sheets have it, to what is along it from the rout's.
        let out = outwards(side, s.handed);
        let place = if side.is_end() { offset } else { offset * s.handed.treble() };
        let far = s.slanted?.reach_at(side, place, s.handed);
        let at = Point::origin() + out * far + Vector::new(out.y.abs(), out.x.abs()) * place;
        let tab = Tab { offset: Length::from_mm(at.coords.dot(&tab.along(s.handed)) * k), ..tab };
        Some(tab.contour(s.handed, 0.0, radius * k).moved(self.at - Point::origin()))
    }

    /// The rectangle of a recess, on the page.
    fn recess(&self, (side, offset): (Side, f64), [reach, width, ..]: [f64; 4]) -> Bounds {
        let s = self.sizes;
        let out = outwards(side, s.handed);
        let (half, edge) = (s.length / 2.0, s.width / 2.0);
        // Rooted in the rout.
        let [near, far] = if side.is_end() { [half * 0.5, half + reach] } else { [edge * 0.5, edge + reach] };
        let corner = |outside: f64, along: f64| {
            if side.is_end() {
                self.point(out.x * outside, along)
            } else {
                self.point(s.handed.treble() * along, out.y * outside)
            }
        };
        Bounds::of(corner(near, offset - width / 2.0), corner(far, offset + width / 2.0))
    }

    /// Numbers on the recess of screw 1; the others are alike.
    fn ears(&self, page: &mut Page, (low, right): (f64, f64)) {
        let s = self.sizes;
        let (Some(ear), Some(first)) = (s.ear, s.ears.first()) else { return };
        let Bounds { min, max } = self.recess(*first, ear);
        let r = ear[3] * (1.0 - 0.5f64.sqrt()) * self.scale;
        let is_right = first.0.is_end() && max.x > right;
        let is_end = first.0.is_end();
        let edge = self.at.y + s.width / 2.0 * self.scale * if max.y > self.at.y { 1.0 } else { -1.0 };
        let tip = if max.y > self.at.y { max.y } else { min.y };
        if let Some(row) = s.row(P::EarLength) {
            if is_right {
                across(page, (right, max.x), low - 8.0, (low, min.y), row);
            } else if is_end {
                across(page, (min.x, 2.0 * self.at.x - right), low - 8.0, (min.y, low), row);
            } else {
                upright(page, (edge.min(tip), edge.max(tip)), max.x + 11.0, (max.x, max.x), row);
            }
        }
        if let Some(row) = s.row(P::EarWidth) {
            if is_end {
                let (x, end) = if is_right { (max.x + 18.0, max.x) } else { (min.x - 18.0, min.x) };
                upright(page, (min.y, max.y), x, (end, end), row);
            } else {
                let y = f64::midpoint(edge, tip) - (tip - edge).signum() * 1.5;
                across(page, (min.x, max.x), y, (y, y), row);
            }
        }
        if let Some(row) = s.row(P::EarCornerRadius) {
            if is_end {
                let corner = Point::new(max.x - r, max.y - r);
                leader(page, corner, Point::new(corner.x + 5.0, corner.y + 7.0), row);
            } else {
                let outwards = (tip - edge).signum();
                // Beside the flank from which nothing is read.
                let beside = self.beside_flank(1).unwrap_or(-1.0);
                // On the right the ear's length stands further out.
                let away = if beside < 0.0 { 8.0 } else { 5.0 };
                let corner = Point::new(if beside < 0.0 { min.x + r } else { max.x - r }, tip - outwards * r);
                leader(page, corner, Point::new(corner.x + beside * away, corner.y - outwards * 1.0), row);
            }
        }
    }

    /// On which side of an ear in a long side nothing is read from its flank; none where nothing is on either.
    fn beside_flank(&self, number: usize) -> Option<f64> {
        let read = self.sizes.rows.iter().find_map(|row| match row.known.quantity {
            Quantity::At(_, P::EarSide(n, flank)) if n == number => Some(flank),
            _ => None,
        });
        read.map(|flank| -outwards(flank, self.sizes.handed).x)
    }

    /// Each screw's distance from a flank of its recess.
    fn ear_places(&self, page: &mut Page) {
        let s = self.sizes;
        for row in s.rows {
            let Quantity::At(_, P::EarSide(number, flank)) = row.known.quantity else { continue };
            let (Some(ear), Some(at), Some(screw)) =
                (s.ear, s.ears.get(number - 1), s.screws.get(number - 1))
            else {
                continue;
            };
            let Bounds { min, max } = self.recess(*at, ear);
            let hole = self.point(screw.x, screw.y);
            let towards = outwards(flank, s.handed);
            let flank = |low: f64, high: f64, out: f64| if out > 0.0 { high } else { low };
            // Further out than the hole, where its other numbers are not.
            let out = outwards(at.0, s.handed);
            if at.0.is_end() {
                let (y, x) = (flank(min.y, max.y, towards.y), hole.x + out.x * 3.2);
                dimension_lines::upright(page, (hole.y.min(y), hole.y.max(y)), x, (hole.x, hole.x));
                let beside = if out.x > 0.0 { max.x + 5.0 } else { min.x - 5.0 };
                leader(
                    page,
                    Point::new(x, f64::midpoint(hole.y, y)),
                    Point::new(beside, y + towards.y * 1.5),
                    row,
                );
            } else {
                let (x, y) = (flank(min.x, max.x, towards.x), hole.y + out.y * 2.4);
                dimension_lines::across(page, (hole.x.min(x), hole.x.max(x)), y, (hole.y, hole.y));
                disc(page, Point::new(x + towards.x * 4.0, y), row);
            }
        }
    }

    fn screws(&self, page: &mut Page) {
        let s = self.sizes;
        let hole = s.or(P::ScrewHole, 2.5);
        let on_page: Vec<Point> = s.screws.iter().map(|at| self.point(at.x, at.y)).collect();
        for at in &on_page {
            page.outline(&Contour::circle(*at, hole / 2.0 * self.scale), BODY);
        }
        self.screw_pairs(page, &on_page);
        self.screw_places(page);
        // Ears at the long sides leave room beside the lowest.
        let at_sides = s.ear.is_some() && s.ears.iter().all(|(side, _)| !side.is_end());
        let by = |at: &Point| if at_sides { at.y } else { at.x };
        let leftmost = on_page.iter().min_by(|a, b| by(a).total_cmp(&by(b)));
        if let (Some(row), Some(at)) = (s.row(P::ScrewHole), leftmost) {
            let hole = Point::new(at.x, at.y + hole / 2.0 * self.scale);
            // Beside an ear the rout's corner is in the way; the number stands over the ear then.
            let at = match s.ear {
                Some([_, width, ..]) if s.ears.iter().any(|(side, _)| side.is_end()) => {
                    Point::new(hole.x - 4.0, self.at.y + width / 2.0 * self.scale + 4.0)
                }
                Some(_) => {
                    let number = on_page.iter().position(|screw| screw == at).map_or(1, |i| i + 1);
                    Point::new(hole.x + 7.0 * self.beside_flank(number).unwrap_or(1.0), hole.y - 1.5)
                }
                _ if s.screws.len() > 2 => Point::new(hole.x + 9.0, hole.y - 7.0),
                _ => Point::new(hole.x + 3.0, hole.y + 9.0),
            };
            leader(page, hole, at, row);
        }
    }

    /// The screws' distances from each other: below the rout where there are two, else from one to the other.
    fn screw_pairs(&self, page: &mut Page, on_page: &[Point]) {
        let s = self.sizes;
        for row in s.rows {
            let (a, b) = match row.known.quantity {
                Quantity::At(_, P::ScrewPitch) => (1, 2),
                Quantity::At(_, P::ScrewPair(a, b)) => (a, b),
                _ => continue,
            };
            let (Some(from), Some(to)) = (on_page.get(a - 1), on_page.get(b - 1)) else { continue };
            if on_page.len() == 2 && s.ears.iter().all(|(side, _)| side.is_end()) {
                let y = self.at.y - s.width / 2.0 * self.scale - 13.5;
                let x = (from.x.min(to.x), from.x.max(to.x));
                across(page, x, y, (self.at.y, self.at.y), row);
            } else {
                page.line(*from, *to, CENTRE);
                disc(page, from + (to - from) * 0.35, row);
            }
        }
    }

    /// Each screw's distances from the rout's sides.
    fn screw_places(&self, page: &mut Page) {
        let s = self.sizes;
        for row in s.rows {
            let Quantity::At(_, P::ScrewSide(number, side)) = row.known.quantity else { continue };
            let Some(at) = s.screws.get(number - 1) else { continue };
            let hole = self.point(at.x, at.y);
            if let Some(slanted) = &s.slanted {
                // Square to the side, as it is read.
                let border = slanted.border(side, s.handed);
                let foot = *at + border.out * (border.reach - at.coords.dot(&border.out));
                let foot = self.point(foot.x, foot.y);
                // Clear of what stands beside: further out at an end, and in the rout at a long side.
                let aside = Vector::new(border.out.y.abs(), 0.0);
                let beside = if side.is_end() { border.out * 9.0 } else { aside * 5.0 - border.out * 4.0 };
                page.line(hole, if side.is_end() { foot + beside } else { foot }, CENTRE);
                disc(page, foot + beside, row);
                continue;
            }
            let out = outwards(side, s.handed);
            let edge = self.point(out.x * s.length / 2.0, out.y * s.width / 2.0);
            if side.is_end() {
                let (left, right) = (hole.x.min(edge.x), hole.x.max(edge.x));
                // Beside the rout: over the hole stand its distances from the long sides. What comes from the far end
                // runs below what comes from the near one.
                let is_near = (hole.x - self.at.x) * out.x > 0.0;
                let y = hole.y + if is_near || s.screws.len() == 2 { 3.4 } else { -3.4 };
                dimension_lines::across(page, (left, right), y, (hole.y, hole.y));
                disc(page, Point::new(edge.x + out.x * 4.0, y), row);
            } else {
                let (low, high) = (hole.y.min(edge.y), hole.y.max(edge.y));
                // Of two screws over each other each has a line of its own.
                let beside = match (s.screws.len(), number % 2) {
                    (0..=2, _) => 0.0,
                    (_, 0) => 3.0,
                    _ => -3.0,
                };
                upright(page, (low, high), hole.x + beside, (hole.x, hole.x), row);
            }
        }
    }

    fn string_lines(&self, page: &mut Page) {
        let s = self.sizes;
        let [low, high] = self.over_strings();
        for n in 1..=s.strings {
            let pen = Pen::new(STRING, 0.35 + 0.9 * (n - 1) as f64 / s.strings as f64);
            page.line(self.string_at(n, low - 2.0), self.string_at(n, high + 3.0), pen);
            page.text(self.string_at(n, low - 4.0), SMALL.align(Align::Middle), n.to_string());
        }
    }

    /// From where to where strings are drawn, about.
    fn over_strings(&self) -> [f64; 2] {
        let side = self.sizes.rise() * self.scale;
        [self.at.y - side, self.at.y + side]
    }

    /// Where a string is at a height of the paper.
    fn string_at(&self, n: usize, y: f64) -> Point {
        Point::new(self.point(self.sizes.string(n), 0.0).x + self.sizes.run * (y - self.at.y), y)
    }

    /// The strings' distances from each other and from the rout's ends.
    fn strings(&self, page: &mut Page) {
        let s = self.sizes;
        let [_, high] = self.over_strings();
        let x = |n: usize| self.string_at(n, high).x;
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
