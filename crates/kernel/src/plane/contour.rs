//! A closed chain of lines and arcs.

use super::{Bounds, Point, SNAP, Segment, Vector, intersect};
use bobbinwright_elementary::Elementary;

/// A closed chain of segments that does not cross itself. The constructors in this module and
/// [`super::offset`] make it counter-clockwise: material of an outline lies to its left.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    segments: Vec<Segment>,
}

impl Contour {
    /// Closes `segments` into a contour, dropping those shorter than [`SNAP`] and turning the
    /// chain counter-clockwise. Arcs of more than half a turn must have been split before.
    pub fn new(segments: Vec<Segment>) -> Self {
        let mut kept: Vec<Segment> = segments.into_iter().filter(|s| s.length() > SNAP).collect();
        // Ends moved by a dropped piece are pulled onto each other, so the chain stays closed.
        for i in 0..kept.len() {
            let next = kept[(i + 1) % kept.len()].from;
            kept[i].to = next;
        }
        let contour = Self { segments: kept };
        if contour.area() < 0.0 { contour.reversed() } else { contour }
    }

    /// The segments in order.
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// The same border, run through the other way.
    fn reversed(mut self) -> Self {
        self.segments.reverse();
        for s in &mut self.segments {
            *s = s.reversed();
        }
        self
    }

    /// Enclosed area, mm²; positive, as contours run counter-clockwise.
    pub fn area(&self) -> f64 {
        self.segments.iter().map(Segment::twice_area).sum::<f64>() / 2.0
    }

    /// Length of the border, mm.
    pub fn length(&self) -> f64 {
        self.segments.iter().map(Segment::length).sum()
    }

    /// Smallest box round the contour.
    ///
    /// A contour without segments (something that an offset shrank to nothing) has the empty box
    /// at the origin.
    pub fn bounds(&self) -> Bounds {
        self.segments
            .iter()
            .map(Segment::bounds)
            .reduce(Bounds::union)
            .unwrap_or(Bounds::of(Point::origin(), Point::origin()))
    }

    /// True when `p` lies inside. A point on the border may come out either way.
    pub fn contains(&self, p: Point) -> bool {
        let crossings: u32 = self.segments.iter().map(|s| s.crossings_right_of(p)).sum();
        crossings % 2 == 1
    }

    /// Where the level line at height `y` crosses or touches the border, each place at least once, mm.
    pub fn crossings_at(&self, y: f64) -> Vec<f64> {
        let bounds = self.bounds();
        let line = Segment::line(Point::new(bounds.min.x - 1.0, y), Point::new(bounds.max.x + 1.0, y));
        self.segments.iter().flat_map(|s| intersect::crossings(s, &line)).map(|p| p.x).collect()
    }

    /// The first corner at which the direction jumps by more than a thousandth of a radian, or
    /// `None` when the contour is smooth all round.
    pub fn first_sharp_corner(&self) -> Option<Point> {
        const JUMP: f64 = 1e-3;
        let n = self.segments.len();
        (0..n).find_map(|i| {
            let (a, b) = (&self.segments[i], &self.segments[(i + 1) % n]);
            let jump = a.direction_at(a.to) - b.direction_at(b.from);
            (jump.norm() > JUMP).then_some(a.to)
        })
    }

    /// The smallest radius by which the contour bends to the left (a convex corner), mm.
    pub fn smallest_convex_radius(&self) -> f64 {
        self.segments
            .iter()
            .filter_map(|s| s.bend)
            .filter(|b| b.ccw)
            .map(|b| b.radius)
            .fold(f64::INFINITY, f64::min)
    }

    /// Centre and radius of a whole circle; none when it is anything else.
    pub fn as_circle(&self) -> Option<(Point, f64)> {
        let first = self.segments.first()?.bend?;
        let same = |s: &Segment| {
            s.bend.is_some_and(|b| {
                (b.center - first.center).norm() < SNAP && (b.radius - first.radius).abs() < SNAP
            })
        };
        self.segments.iter().all(same).then_some((first.center, first.radius))
    }

    /// The contour turned round the origin, counter-clockwise by so many radians.
    #[must_use]
    pub fn turned(&self, angle: f64) -> Self {
        let (sin, cos) = angle.sine_cosine();
        let turn = |p: Point| Point::new(p.x * cos - p.y * sin, p.x * sin + p.y * cos);
        let at = |s: &Segment| Segment {
            from: turn(s.from),
            to: turn(s.to),
            bend: s.bend.map(|b| super::Bend { center: turn(b.center), ..b }),
        };
        Self { segments: self.segments.iter().map(at).collect() }
    }

    /// The contour at another place.
    #[must_use]
    pub fn moved(&self, by: Vector) -> Self {
        let at = |s: &Segment| Segment {
            from: s.from + by,
            to: s.to + by,
            bend: s.bend.map(|b| super::Bend { center: b.center + by, ..b }),
        };
        Self { segments: self.segments.iter().map(at).collect() }
    }

    /// The contour mirrored in the y axis (bass and treble exchanged), still counter-clockwise.
    #[must_use]
    pub fn mirrored_x(&self) -> Self {
        let flip = |p: Point| Point::new(-p.x, p.y);
        let segments = self
            .segments
            .iter()
            .map(|s| Segment {
                from: flip(s.from),
                to: flip(s.to),
                bend: s.bend.map(|b| super::Bend { center: flip(b.center), ccw: !b.ccw, ..b }),
            })
            .collect();
        Self::new(segments)
    }
}
