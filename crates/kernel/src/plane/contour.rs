//! A closed chain of lines and arcs.

use super::{Bounds, Point, SNAP, Segment, Vector, intersect};
use bobbinwright_elementary::Elementary;

/// A closed chain of segments that does not cross itself. The constructors in this module and
/// [`super::offset`] make it counter-clockwise: material of an outline lies to its left.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// let triangle = Contour::polygon(&[Point::new(0.0, 0.0), Point::new(4.0, 0.0), Point::new(0.0, 3.0)]);
/// // 4 · 3 / 2, and the sides of Pythagoras' triangle.
/// assert_eq!((triangle.area(), triangle.length()), (6.0, 12.0));
/// assert!(triangle.contains(Point::new(1.0, 1.0)) && !triangle.contains(Point::new(3.0, 3.0)));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    segments: Vec<Segment>,
}

impl Contour {
    /// Closes `segments` into a contour, dropping those shorter than [`SNAP`] and turning the
    /// chain counter-clockwise. Arcs of more than half a turn must have been split before.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point, Segment};
    /// // Up, to the right and back: clockwise, which comes out turned round.
    /// let corners = [Point::new(0.0, 0.0), Point::new(0.0, 2.0), Point::new(2.0, 2.0)];
    /// let sides = (0..3).map(|i| Segment::line(corners[i], corners[(i + 1) % 3]));
    /// let contour = Contour::new(sides.collect());
    /// assert_eq!(contour.area(), 2.0);
    /// assert_eq!(contour.segments()[0], Segment::line(corners[0], corners[2]));
    /// ```
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
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// let circle = Contour::circle(Point::new(10.0, 0.0), 5.0);
    /// // 3, 4, 5: on either side of the border.
    /// assert!(circle.contains(Point::new(12.99, 3.99)) && !circle.contains(Point::new(13.01, 4.01)));
    /// ```
    pub fn contains(&self, p: Point) -> bool {
        let crossings: u32 = self.segments.iter().map(|s| s.crossings_right_of(p)).sum();
        crossings % 2 == 1
    }

    /// Where the level line at height `y` crosses or touches the border, each place at least once, mm.
    ///
    /// The x of these places, in the order of the segments; a corner on the line is met by both its segments.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// // Half the chord of a circle of 5 mm, 3 mm off its centre: sqrt(25 - 9).
    /// let mut x = Contour::circle(Point::new(1.0, 0.0), 5.0).crossings_at(3.0);
    /// x.sort_by(f64::total_cmp);
    /// assert!(x.len() == 2 && (x[0] + 3.0).abs() < 1e-12 && (x[1] - 5.0).abs() < 1e-12);
    /// ```
    pub fn crossings_at(&self, y: f64) -> Vec<f64> {
        let bounds = self.bounds();
        let line = Segment::line(Point::new(bounds.min.x - 1.0, y), Point::new(bounds.max.x + 1.0, y));
        self.segments.iter().flat_map(|s| intersect::crossings(s, &line)).map(|p| p.x).collect()
    }

    /// The first corner at which the direction jumps by more than a thousandth of a radian, or
    /// `None` when the contour is smooth all round.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// let (low, high) = (Point::origin(), Point::new(4.0, 2.0));
    /// assert_eq!(Contour::rectangle(low, high).first_sharp_corner(), Some(Point::new(4.0, 0.0)));
    /// assert_eq!(Contour::rounded_rectangle(low, 4.0, 2.0, 0.5).first_sharp_corner(), None);
    /// ```
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
    ///
    /// Infinite where no arc bends that way; a sharp corner does not count.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// let plate = |radius| Contour::rounded_rectangle(Point::origin(), 40.0, 20.0, radius);
    /// assert!((plate(3.0).smallest_convex_radius() - 3.0).abs() < 1e-12);
    /// assert_eq!(plate(0.0).smallest_convex_radius(), f64::INFINITY);
    /// ```
    pub fn smallest_convex_radius(&self) -> f64 {
        self.segments
            .iter()
            .filter_map(|s| s.bend)
            .filter(|b| b.ccw)
            .map(|b| b.radius)
            .fold(f64::INFINITY, f64::min)
    }

    /// Centre and radius of a whole circle; none when it is anything else.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// let at = Point::new(7.0, -1.0);
    /// assert_eq!(Contour::circle(at, 2.5).as_circle(), Some((at, 2.5)));
    /// // A stadium has two half circles, but not about one centre.
    /// assert_eq!(Contour::rounded_rectangle(at, 9.0, 5.0, 2.5).as_circle(), None);
    /// ```
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
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use std::f64::consts::FRAC_PI_2;
    /// // A quarter turn brings what lies to the right to the top.
    /// let box_on_the_right = Contour::rectangle(Point::new(5.0, -1.0), Point::new(8.0, 1.0));
    /// let turned = box_on_the_right.turned(FRAC_PI_2);
    /// assert!(turned.contains(Point::new(0.0, 6.5)) && (turned.area() - 6.0).abs() < 1e-12);
    /// ```
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

    /// The contour mirrored in the y axis (left and right exchanged), still counter-clockwise.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// let corners = [Point::new(0.0, 0.0), Point::new(4.0, 0.0), Point::new(4.0, 3.0)];
    /// let mirrored = Contour::polygon(&corners).mirrored_x();
    /// assert_eq!(mirrored.area(), 6.0);
    /// assert!(mirrored.contains(Point::new(-3.0, 1.0)) && !mirrored.contains(Point::new(3.0, 1.0)));
    /// ```
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
