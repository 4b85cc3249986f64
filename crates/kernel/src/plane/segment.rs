//! One straight line or one circular arc.

use bobbinwright_elementary::Elementary;
use std::f64::consts::{FRAC_PI_2, TAU};

use super::{Point, Vector, cross, left_of};

/// What makes a segment an arc: its circle and the way it turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Centre of the circle.
    pub center: Point,
    /// Radius, mm, positive.
    pub radius: f64,
    /// True when the arc runs counter-clockwise from `from` to `to`.
    pub ccw: bool,
}

/// A directed line or arc. An arc never exceeds half a turn, so that its two ends, its circle and
/// its sense say everything; a full circle is two of them.
///
/// ```
/// # use bobbinwright_kernel::plane::{Point, Segment};
/// let (right, left, center) = (Point::new(2.0, 0.0), Point::new(-2.0, 0.0), Point::origin());
/// // From the right end to the left one counter-clockwise is over the top; clockwise, along the bottom.
/// assert!((Segment::arc(right, left, center, true).at(0.5) - Point::new(0.0, 2.0)).norm() < 1e-12);
/// assert!((Segment::arc(right, left, center, false).at(0.5) - Point::new(0.0, -2.0)).norm() < 1e-12);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Segment {
    /// Start.
    pub from: Point,
    /// End.
    pub to: Point,
    /// `None` for a straight line.
    pub bend: Option<Bend>,
}

/// An axis-parallel box in the plane, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds {
    /// Corner with the smallest coordinates.
    pub min: Point,
    /// Corner with the largest coordinates.
    pub max: Point,
}

impl Bounds {
    /// The smallest box round two points.
    pub fn of(a: Point, b: Point) -> Self {
        Self { min: Point::new(a.x.min(b.x), a.y.min(b.y)), max: Point::new(a.x.max(b.x), a.y.max(b.y)) }
    }

    /// The smallest box that holds both.
    #[must_use]
    pub fn union(self, other: Self) -> Self {
        Self {
            min: Point::new(self.min.x.min(other.min.x), self.min.y.min(other.min.y)),
            max: Point::new(self.max.x.max(other.max.x), self.max.y.max(other.max.y)),
        }
    }

    /// True when the boxes come within `margin` of each other.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Bounds, Point};
    /// let low = Bounds::of(Point::new(0.0, 0.0), Point::new(1.0, 1.0));
    /// let high = Bounds::of(Point::new(0.0, 3.0), Point::new(1.0, 4.0));
    /// assert!(low.near(&high, 2.0) && !low.near(&high, 1.9));
    /// ```
    pub fn near(&self, other: &Self, margin: f64) -> bool {
        self.min.x <= other.max.x + margin
            && other.min.x <= self.max.x + margin
            && self.min.y <= other.max.y + margin
            && other.min.y <= self.max.y + margin
    }

    /// Distance between two boxes, mm; 0 when they share a point.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Bounds, Point};
    /// let one = Bounds::of(Point::new(0.0, 0.0), Point::new(1.0, 1.0));
    /// // 3 mm to the right and 4 mm up from corner to corner.
    /// let other = Bounds::of(Point::new(4.0, 5.0), Point::new(6.0, 6.0));
    /// assert!((one.distance(&other) - 5.0).abs() < 1e-12);
    /// assert_eq!(one.distance(&Bounds::of(Point::new(1.0, 1.0), Point::new(2.0, 2.0))), 0.0);
    /// ```
    pub fn distance(&self, other: &Self) -> f64 {
        let apart = |low: f64, high: f64| (low - high).max(0.0);
        let dx = apart(self.min.x, other.max.x).max(apart(other.min.x, self.max.x));
        let dy = apart(self.min.y, other.max.y).max(apart(other.min.y, self.max.y));
        dx.hypotenuse(dy)
    }

    /// True when `p` lies in the box or on its border.
    pub fn contains(&self, p: Point) -> bool {
        self.min.x <= p.x && p.x <= self.max.x && self.min.y <= p.y && p.y <= self.max.y
    }
}

impl Segment {
    /// A straight line.
    pub fn line(from: Point, to: Point) -> Self {
        Self { from, to, bend: None }
    }

    /// An arc of at most half a turn round `center`.
    ///
    /// The radius is the distance of `from` from `center`, mm; `to` has to be as far from it, which is not checked.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Point, Segment};
    /// # use std::f64::consts::PI;
    /// let quarter = Segment::arc(Point::new(2.0, 0.0), Point::new(0.0, 2.0), Point::origin(), true);
    /// // A quarter of 2 π r.
    /// assert!((quarter.length() - PI).abs() < 1e-12);
    /// ```
    pub fn arc(from: Point, to: Point, center: Point, ccw: bool) -> Self {
        let radius = (from - center).norm();
        Self { from, to, bend: Some(Bend { center, radius, ccw }) }
    }

    /// The same place, run through the other way.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Point, Segment};
    /// let arc = Segment::arc(Point::new(2.0, 0.0), Point::new(0.0, 2.0), Point::origin(), true);
    /// let back = arc.reversed();
    /// assert!(back.from == arc.to && !back.bend.unwrap().ccw);
    /// // The same length, and the area on its left is now on its right.
    /// assert_eq!(back.length(), arc.length());
    /// assert!((back.twice_area() + arc.twice_area()).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn reversed(self) -> Self {
        let bend = self.bend.map(|b| Bend { ccw: !b.ccw, ..b });
        Self { from: self.to, to: self.from, bend }
    }

    /// Turn from start to end, radians in (0, π], however the arc turns; 0 for a line.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Point, Segment};
    /// # use std::f64::consts::FRAC_PI_2;
    /// let (right, top) = (Point::new(5.0, 0.0), Point::new(0.0, 5.0));
    /// let there = Segment::arc(right, top, Point::origin(), true);
    /// let back = Segment::arc(top, right, Point::origin(), false);
    /// assert!((there.sweep() - FRAC_PI_2).abs() < 1e-12 && (back.sweep() - FRAC_PI_2).abs() < 1e-12);
    /// assert_eq!(Segment::line(right, top).sweep(), 0.0);
    /// ```
    pub fn sweep(&self) -> f64 {
        let Some(b) = self.bend else { return 0.0 };
        let (u, v) = (self.from - b.center, self.to - b.center);
        let turn = cross(u, v).direction_with(u.dot(&v));
        let turn = if b.ccw { turn } else { -turn };
        // Half a turn comes out as -π as often as π.
        if turn < -FRAC_PI_2 { turn + TAU } else { turn.max(0.0) }
    }

    /// Length, mm.
    pub fn length(&self) -> f64 {
        match self.bend {
            None => (self.to - self.from).norm(),
            Some(b) => b.radius * self.sweep(),
        }
    }

    /// The place at the fraction `t` of the way, 0 to 1.
    ///
    /// Along an arc it goes by the angle, so that equal steps of `t` are equal lengths.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Point, Segment};
    /// let half = Segment::arc(Point::new(2.0, 0.0), Point::new(-2.0, 0.0), Point::origin(), true);
    /// // A third of half a turn: 60 degrees.
    /// assert!((half.at(1.0 / 3.0) - Point::new(1.0, 3f64.sqrt())).norm() < 1e-12);
    /// assert_eq!(Segment::line(Point::origin(), Point::new(8.0, 4.0)).at(0.25), Point::new(2.0, 1.0));
    /// ```
    pub fn at(&self, t: f64) -> Point {
        match self.bend {
            None => self.from + (self.to - self.from) * t,
            Some(b) => {
                let u = self.from - b.center;
                let a = self.sweep() * if b.ccw { t } else { -t };
                let (s, c) = a.sine_cosine();
                b.center + Vector::new(u.x * c - u.y * s, u.x * s + u.y * c)
            }
        }
    }

    /// The unit direction of travel at a place on the segment.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Point, Segment, Vector};
    /// let arc = Segment::arc(Point::new(2.0, 0.0), Point::new(0.0, 2.0), Point::origin(), true);
    /// // Counter-clockwise it leaves the right end upwards, and the other way round it arrives there downwards.
    /// assert_eq!(arc.direction_at(arc.from), Vector::new(0.0, 1.0));
    /// assert_eq!(arc.reversed().direction_at(arc.from), Vector::new(0.0, -1.0));
    /// ```
    pub fn direction_at(&self, p: Point) -> Vector {
        match self.bend {
            None => (self.to - self.from).normalize(),
            Some(b) => {
                let t = left_of(p - b.center).normalize();
                if b.ccw { t } else { -t }
            }
        }
    }

    /// This segment's share of twice the signed area of a closed chain (Green's theorem):
    /// the triangle with the origin plus, for an arc, twice the circular segment over its chord.
    ///
    /// In mm², positive where the chain runs counter-clockwise.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Point, Segment};
    /// # use std::f64::consts::PI;
    /// let (right, top, center) = (Point::new(2.0, 0.0), Point::new(0.0, 2.0), Point::origin());
    /// // Out to the right, round to the top, back: a quarter of π r².
    /// let round = Segment::arc(right, top, center, true);
    /// let chain = [Segment::line(center, right), round, Segment::line(top, center)];
    /// let twice: f64 = chain.iter().map(Segment::twice_area).sum();
    /// assert!((twice / 2.0 - PI).abs() < 1e-12);
    /// ```
    pub fn twice_area(&self) -> f64 {
        let chord = cross(self.from.coords, self.to.coords);
        match self.bend {
            None => chord,
            Some(b) => {
                let a = self.sweep();
                let cap = b.radius * b.radius * (a - a.sine());
                if b.ccw { chord + cap } else { chord - cap }
            }
        }
    }

    /// The angle of `p` seen from the arc's centre, measured along the arc from its start,
    /// radians; negative or beyond [`Segment::sweep`] when `p` is not on the arc.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Point, Segment};
    /// # use std::f64::consts::PI;
    /// let quarter = Segment::arc(Point::new(2.0, 0.0), Point::new(0.0, 2.0), Point::origin(), true);
    /// // Seen from the centre, before the start, and half a turn from it: beyond the end.
    /// assert!((quarter.angle_along(Point::new(3.0, -3.0)) + PI / 4.0).abs() < 1e-12);
    /// assert!((quarter.angle_along(Point::new(-1.0, 0.0)) - PI).abs() < 1e-12 && PI > quarter.sweep());
    /// ```
    pub fn angle_along(&self, p: Point) -> f64 {
        let Some(b) = self.bend else { return 0.0 };
        let mid = self.at(0.5) - b.center;
        let v = p - b.center;
        let off = cross(mid, v).direction_with(mid.dot(&v));
        self.sweep() / 2.0 + if b.ccw { off } else { -off }
    }

    /// Smallest box round the segment.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Bounds, Point, Segment};
    /// // Over the top of its circle, which neither end is.
    /// let (from, to) = (Point::new(3.0, 4.0), Point::new(-3.0, 4.0));
    /// let bounds = Segment::arc(from, to, Point::origin(), true).bounds();
    /// assert_eq!(bounds, Bounds::of(Point::new(-3.0, 4.0), Point::new(3.0, 5.0)));
    /// ```
    pub fn bounds(&self) -> Bounds {
        let mut bounds = Bounds::of(self.from, self.to);
        if let Some(b) = self.bend {
            // Only an extreme point of the circle can lie outside the box of the ends.
            for p in b.extremes() {
                if self.spans(p) {
                    bounds = bounds.union(Bounds::of(p, p));
                }
            }
        }
        bounds
    }

    /// For a point on the segment's circle: does the arc pass through it? An arc of at most half a
    /// turn lies where a point is left of its start's radius and right of its end's, or the other
    /// way round.
    pub(super) fn spans(&self, p: Point) -> bool {
        let Some(b) = self.bend else { return false };
        let (from, to) = if b.ccw { (self.from, self.to) } else { (self.to, self.from) };
        let w = p - b.center;
        cross(from - b.center, w) >= 0.0 && cross(w, to - b.center) >= 0.0
    }

    /// The place half way along.
    pub fn middle(&self) -> Point {
        let Some(b) = self.bend else { return nalgebra::center(&self.from, &self.to) };
        // The bisector of the chord goes through the centre; counter-clockwise the arc lies to the
        // right of its chord.
        let chord = self.to - self.from;
        let out = if b.ccw { -left_of(chord) } else { left_of(chord) };
        b.center + out * (b.radius / out.norm())
    }

    /// How often a ray from `p` in the direction of +x crosses the segment, by the half-open
    /// rule that counts a vertex shared by two segments exactly once. `p` must not lie on it.
    pub(super) fn crossings_right_of(&self, p: Point) -> u32 {
        let Some(b) = self.bend else {
            if (self.from.y <= p.y) == (self.to.y <= p.y) {
                return 0;
            }
            let t = (p.y - self.from.y) / (self.to.y - self.from.y);
            return u32::from(self.from.x + t * (self.to.x - self.from.x) > p.x);
        };
        // Level with the circle's highest or lowest point the ends decide, as they do for the neighbours:
        // whatever rounding makes of the circle there, a vertex counts once.
        if (p.y - b.center.y).abs() > b.radius + super::SNAP || p.x - b.center.x > b.radius {
            return 0;
        }
        // At most one of the circle's highest and lowest points lies within half a turn.
        let turning = [b.radius, -b.radius].map(|dy| b.center + Vector::new(0.0, dy));
        let inside = |e: &Point| self.spans(*e) && *e != self.from && *e != self.to;
        match turning.into_iter().find(inside) {
            None => {
                let side = self.from.x + self.to.x - 2.0 * b.center.x;
                monotone_crossing(b, self.from, self.to, side, p)
            }
            Some(e) => {
                monotone_crossing(b, self.from, e, self.from.x - b.center.x, p)
                    + monotone_crossing(b, e, self.to, self.to.x - b.center.x, p)
            }
        }
    }
}

/// Crossings of the ray with a stretch of arc without a turning point in y, on the half of the
/// circle that `side` is the sign of.
fn monotone_crossing(b: Bend, from: Point, to: Point, side: f64, p: Point) -> u32 {
    if (from.y <= p.y) == (to.y <= p.y) {
        return 0;
    }
    let rise = p.y - b.center.y;
    let half = (b.radius * b.radius - rise * rise).max(0.0).sqrt();
    u32::from(b.center.x + half.copysign(side) > p.x)
}

impl Bend {
    /// The four outermost points of the circle.
    fn extremes(&self) -> [Point; 4] {
        let (c, r) = (self.center, self.radius);
        [
            Point::new(c.x + r, c.y),
            Point::new(c.x, c.y + r),
            Point::new(c.x - r, c.y),
            Point::new(c.x, c.y - r),
        ]
    }
}
