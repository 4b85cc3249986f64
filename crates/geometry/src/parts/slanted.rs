//! Outlines whose sides are slanted on purpose.

use bobbinwright_kernel::plane::{Contour, Point, Vector, cross};
use bobbinwright_spec::{Corners, Handed, Length, Outline, RoutSide, Side, Sides};

/// The borders of the half plane in which a body lies: what is `reach` mm from the middle in the direction `out`, and nearer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Border {
    /// Outwards, of length 1.
    pub out: Vector,
    /// How far it is from the middle that way, mm.
    pub reach: f64,
}

impl Border {
    /// Where it is at a place along the row, or across it, mm: its y at an x, or its x at a y.
    fn at(&self, along: f64) -> f64 {
        if self.is_end() {
            (self.reach - self.out.y * along) / self.out.x
        } else {
            (self.reach - self.out.x * along) / self.out.y
        }
    }

    fn is_end(&self) -> bool {
        self.out.x.abs() > self.out.y.abs()
    }

    fn meets(&self, other: &Self) -> Point {
        let turn = cross(self.out, other.out);
        let (a, b) = (self.reach, other.reach);
        Point::new((a * other.out.y - b * self.out.y) / turn, (b * self.out.x - a * other.out.x) / turn)
    }
}

/// Four straight sides that are not all square to each other, counter-clockwise from the right end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slanted([Border; 4]);

/// The corners of a body counter-clockwise from that right of the middle and below it, as signs of x and y.
pub(super) const AROUND: [[f64; 2]; 4] = [[1.0, -1.0], [1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0]];

impl Slanted {
    /// The sides of a rout as straight lines where nothing of it stands further in; none of a rectangle.
    pub fn of(outline: Outline, sides: &Sides, handed: Handed) -> Option<Self> {
        if outline.is_square() {
            return None;
        }
        let [along, across] = sides.half;
        let slope = |side: &RoutSide, half: f64| side.line()[1] / half;
        let [mut treble, mut bass] = [&sides.treble, &sides.bass].map(|side| slope(side, across));
        let [mut neck, mut bridge] = [&sides.neck, &sides.bridge].map(|side| slope(side, along));
        if outline.is_parallel() {
            // What it differs from a parallelogram is an error of the hand.
            let lean = (treble - bass) / 2.0;
            (treble, bass, neck, bridge) = (lean, -lean, 0.0, 0.0);
        }
        let border = |side: &RoutSide, out: Vector, slope: f64, half: f64| {
            let slope = thousandth(slope * half) / half;
            let further_in = |at: f64| side.reach(at).value().as_mm() - slope * half * at;
            let reach = hundredth([-1.0, 0.0, 1.0].map(further_in).into_iter().fold(f64::INFINITY, f64::min));
            // Along an end that is y, along a side x towards treble.
            let rises = if out.x == 0.0 {
                Vector::new(-slope * handed.treble(), out.y)
            } else {
                Vector::new(out.x, -slope)
            };
            let long = rises.norm();
            Border { out: rises / long, reach: reach / long }
        };
        let treble_out = handed.treble();
        let end = |x: f64| {
            let (side, slope) =
                if x * treble_out > 0.0 { (&sides.treble, treble) } else { (&sides.bass, bass) };
            border(side, Vector::new(x, 0.0), slope, across)
        };
        let mut all = [
            end(1.0),
            border(&sides.neck, Vector::new(0.0, 1.0), neck, along),
            end(-1.0),
            border(&sides.bridge, Vector::new(0.0, -1.0), bridge, along),
        ];
        if outline.is_parallel() {
            for [one, other] in [[0, 2], [1, 3]] {
                let reach = all[one].reach.min(all[other].reach);
                (all[one].reach, all[other].reach) = (reach, reach);
            }
        }
        Some(Self(all))
    }

    /// As such an outline often is, of which nobody read anything yet; none of a rectangle.
    pub fn usual(outline: Outline, [length, width]: [f64; 2], handed: Handed) -> Option<Self> {
        const LEANS: f64 = 0.17;
        const NARROWS: f64 = 0.04;
        let treble = handed.treble();
        let [lean, narrow] = match outline {
            Outline::Rectangle => return None,
            Outline::Parallelogram => [LEANS * treble, 0.0],
            Outline::Trapezoid => [0.0, NARROWS * treble],
        };
        let border = |x: f64, y: f64, reach: f64| {
            let out = Vector::new(x, y);
            Border { out: out / out.norm(), reach: reach / 2.0 / out.norm() }
        };
        Some(Self([
            border(1.0, -lean, length),
            border(-narrow, 1.0, width),
            border(-1.0, lean, length),
            border(-narrow, -1.0, width),
        ]))
    }

    /// The same with every side so much further in, mm.
    #[must_use]
    pub fn inset(&self, by: f64) -> Self {
        Self(self.0.map(|border| Border { reach: border.reach - by, ..border }))
    }

    /// The same after a change of every place, which leaves lines straight.
    #[must_use]
    pub fn mapped(&self, to: impl Fn(Point) -> Point) -> Self {
        Self(self.0.map(|border| {
            let foot = Point::origin() + border.out * border.reach;
            let run = Vector::new(-border.out.y, border.out.x);
            let (from, along) = (to(foot), to(foot + run) - to(foot));
            let out = Vector::new(along.y, -along.x).normalize();
            Border { out, reach: from.coords.dot(&out) }
        }))
    }

    /// The border of a side.
    pub fn border(&self, side: Side, handed: Handed) -> Border {
        let right = if handed.treble() > 0.0 { Side::Treble } else { Side::Bass };
        self.0[match side {
            Side::Neck => 1,
            Side::Bridge => 3,
            end if end == right => 0,
            _ => 2,
        }]
    }

    /// How far from the middle a side is at a place along it, outwards along the row or across it, mm.
    pub fn reach_at(&self, side: Side, along: f64, handed: Handed) -> f64 {
        self.border(side, handed).at(along).abs()
    }

    /// The sides of the largest rectangle along the row in it, with corners of this radius.
    #[must_use]
    pub fn largest_rectangle(&self, radius: f64) -> Self {
        const STEPS: u32 = 200;
        let most = self.rectangle(0.0, radius, None)[1].max(self.size()[1].as_mm() / 2.0);
        let of = |step: u32| {
            let width = most * f64::from(step) / f64::from(STEPS);
            let [along, across] = self.rectangle(0.0, radius, Some(width));
            let [_, room] = self.rectangle_of_length(along, radius);
            [along, across.min(room)]
        };
        let area = |[along, across]: &[f64; 2]| along * across;
        let all = (1..=STEPS).map(of).filter(|[along, across]| along.min(*across) > 0.0);
        let [along, across] = all.max_by(|a, b| area(a).total_cmp(&area(b))).unwrap_or_default();
        // Down to a caliper's hundredth, so that it goes in.
        let down = |mm: f64| (mm * 100.0 + 1e-6).floor() / 100.0;
        let side = |x: f64, y: f64, reach: f64| Border { out: Vector::new(x, y), reach: down(reach) };
        Self([side(1.0, 0.0, along), side(0.0, 1.0, across), side(-1.0, 0.0, along), side(0.0, -1.0, across)])
    }

    /// Half length and half width that a rectangle of this half length can have between the long sides.
    fn rectangle_of_length(&self, half_length: f64, radius: f64) -> [f64; 2] {
        [half_length, self.room(half_length, 0.0, radius, false)]
    }

    /// Half of what a rectangle can have from end to end, or from side to side, by its other half size.
    fn room(&self, other: f64, clear: f64, radius: f64, ends: bool) -> f64 {
        let of = |border: &Border| {
            let (out, beside) =
                if ends { (border.out.x, border.out.y) } else { (border.out.y, border.out.x) };
            let middle = (other - radius).max(0.0);
            (border.reach - clear - radius - beside.abs() * middle) / out.abs() + radius
        };
        self.0.iter().filter(|border| border.is_end() == ends).map(of).fold(f64::INFINITY, f64::min)
    }

    /// How far the middle of a side is from the middle line, towards treble or the neck, mm.
    pub fn middle(&self, side: Side, handed: Handed) -> f64 {
        let [low_right, high_right, high_left, low_left] = self.corners();
        let half = |a: Point, b: Point| Point::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
        match side {
            Side::Neck => half(high_right, high_left).x * handed.treble(),
            Side::Bridge => half(low_right, low_left).x * handed.treble(),
            end if self.border(end, handed).out.x > 0.0 => half(low_right, high_right).y,
            _ => half(low_left, high_left).y,
        }
    }

    /// Along the row and across it, through the middle.
    pub fn size(&self) -> [Length; 2] {
        let [right, neck, left, bridge] = &self.0;
        [right.at(0.0) - left.at(0.0), neck.at(0.0) - bridge.at(0.0)].map(Length::from_mm)
    }

    /// A place on a side, mm, so far from its middle towards treble or the neck.
    pub fn on_side(&self, side: Side, offset: Length, handed: Handed) -> Point {
        let along = self.middle(side, handed) + offset.as_mm();
        let border = self.border(side, handed);
        if side.is_end() {
            return Point::new(border.at(along), along);
        }
        let x = along * handed.treble();
        Point::new(x, border.at(x))
    }

    /// From end to end and from side to side, square to the line in the middle between both.
    pub fn square_size(&self) -> [Length; 2] {
        let [right, neck, left, bridge] = &self.0;
        let square = |one: &Border, other: &Border, size: Length| {
            let middle = (one.out - other.out).normalize();
            size * (middle.x.abs().max(middle.y.abs()))
        };
        let [length, width] = self.size();
        [square(right, left, length), square(neck, bridge, width)]
    }

    /// Where the middle of the arc in a corner is, by its radius; treble and neck positive.
    pub fn centre(&self, [end, side]: [f64; 2], radius: f64, handed: Handed) -> Point {
        let inside = self.inset(radius);
        let end = if end > 0.0 { Side::Treble } else { Side::Bass };
        let side = if side > 0.0 { Side::Neck } else { Side::Bridge };
        inside.border(end, handed).meets(&inside.border(side, handed))
    }

    /// Where its sides meet, as `AROUND` has the corners.
    pub fn corners(&self) -> [Point; 4] {
        [3, 0, 1, 2].map(|before| self.0[before].meets(&self.0[(before + 1) % 4]))
    }

    /// The outline with a radius in each corner, treble and neck positive; none where a side is too short for its
    /// corners, or two of them cross.
    pub fn outline(&self, corners: &Corners<Length>, handed: Handed) -> Option<Contour> {
        let radii = AROUND.map(|[x, y]| corners.at([x * handed.treble(), y]).as_mm());
        let places = self.corners();
        for n in 0..4 {
            let next = (n + 1) % 4;
            let reach = |corner: usize| {
                let (before, after) = (self.0[(corner + 3) % 4].out, self.0[corner].out);
                radii[corner] * cross(before, after) / (1.0 + before.dot(&after))
            };
            let along = Vector::new(-self.0[n].out.y, self.0[n].out.x);
            if reach(n) + reach(next) > (places[next] - places[n]).dot(&along) {
                return None;
            }
        }
        Some(Contour::rounded_polygon(&[0, 1, 2, 3].map(|n| (places[n], radii[n]))))
    }

    /// Half length and half width of the rectangle round the middle, with corners of this radius, that lies in it so far from
    /// every side; of this half width where that is given.
    pub fn rectangle(&self, clear: f64, radius: f64, half_width: Option<f64>) -> [f64; 2] {
        const ROUNDS: usize = 12;
        let [length, width] = self.size().map(|size| size.as_mm() / 2.0);
        let room = |other: f64, ends: bool| self.room(other, clear, radius, ends);
        let mut size = [length, half_width.unwrap_or(width)];
        for _ in 0..ROUNDS {
            size[0] = room(size[1], true);
            size[1] = half_width.unwrap_or_else(|| room(size[0], false));
        }
        size
    }
}

/// What was read is drawn to a caliper's hundredth.
fn hundredth(mm: f64) -> f64 {
    (mm * 100.0).round() / 100.0
}

fn thousandth(mm: f64) -> f64 {
    (mm * 1000.0).round() / 1000.0
}
