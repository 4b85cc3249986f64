//! Exact distances between lines, arcs and contours.
//!
//! The nearest pair of points of two segments is among a few candidates: an end of one and its
//! nearest point on the other; the foot of an arc's centre on a line; the two points on the line
//! through both centres. The smallest candidate distance is therefore the distance.

use super::{Contour, Point, Segment, Vector, intersect};

/// Distance between two contours' borders, mm; 0 when they cross or touch.
///
/// It is the borders that count: a contour inside another is not at 0.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point, contour_distance};
/// let circle = |x, radius| Contour::circle(Point::new(x, 0.0), radius);
/// // Side by side, one in the other, and across each other.
/// assert!((contour_distance(&circle(0.0, 2.0), &circle(10.0, 3.0)) - 5.0).abs() < 1e-12);
/// assert!((contour_distance(&circle(0.0, 9.0), &circle(2.0, 3.0)) - 4.0).abs() < 1e-12);
/// assert_eq!(contour_distance(&circle(0.0, 2.0), &circle(3.0, 2.0)), 0.0);
/// ```
pub fn contour_distance(a: &Contour, b: &Contour) -> f64 {
    contour_distance_below(a, b, f64::INFINITY)
}

/// The same, but `limit` when the distance is not below it: pairs of segments whose boxes are
/// further apart than the nearest pair so far are passed over.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point, contour_distance_below};
/// let circle = |x| Contour::circle(Point::new(x, 0.0), 1.0);
/// // 3 mm apart.
/// assert!((contour_distance_below(&circle(0.0), &circle(5.0), 4.0) - 3.0).abs() < 1e-12);
/// assert_eq!(contour_distance_below(&circle(0.0), &circle(5.0), 0.5), 0.5);
/// ```
pub fn contour_distance_below(a: &Contour, b: &Contour, limit: f64) -> f64 {
    let mut best = limit;
    let (box_a, box_b) = (a.bounds(), b.bounds());
    if box_a.distance(&box_b) >= best {
        return best;
    }
    let boxes: Vec<_> = b.segments().iter().map(Segment::bounds).collect();
    for s in a.segments() {
        let around = s.bounds();
        if around.distance(&box_b) >= best {
            continue;
        }
        for (t, box_t) in b.segments().iter().zip(&boxes) {
            if around.distance(box_t) < best {
                best = best.min(segment_distance(s, t));
            }
        }
    }
    best
}

/// Distance between two segments, mm; 0 when they cross or touch.
///
/// ```
/// # use bobbinwright_kernel::plane::{Point, Segment, segment_distance};
/// let floor = Segment::line(Point::new(-9.0, 0.0), Point::new(9.0, 0.0));
/// // A half circle over it and one that hangs down from 7 mm, each of 2 mm.
/// let half = |ccw| Segment::arc(Point::new(2.0, 7.0), Point::new(-2.0, 7.0), Point::new(0.0, 7.0), ccw);
/// assert!((segment_distance(&floor, &half(true)) - 7.0).abs() < 1e-12);
/// assert!((segment_distance(&floor, &half(false)) - 5.0).abs() < 1e-12);
/// ```
pub fn segment_distance(a: &Segment, b: &Segment) -> f64 {
    if !intersect::crossings(a, b).is_empty() {
        return 0.0;
    }
    let ends = [b.distance_to(a.from), b.distance_to(a.to), a.distance_to(b.from), a.distance_to(b.to)];
    let inner = inner_candidates(a, b).into_iter().map(|p| a.distance_to(p) + b.distance_to(p));
    ends.into_iter().chain(inner).fold(f64::INFINITY, f64::min)
}

/// Points on one of two segments where the distance to the other may be smallest although neither
/// is at an end. (A point lies on one segment, so the sum of its distances is that to the other;
/// candidates that fall beside the arc they were made for only make the sum larger.)
fn inner_candidates(a: &Segment, b: &Segment) -> Vec<Point> {
    match (a.bend, b.bend) {
        (None, None) => vec![],
        (Some(arc), None) => on_circle_towards(arc.center, arc.radius, b.nearest(arc.center) - arc.center),
        (None, Some(arc)) => on_circle_towards(arc.center, arc.radius, a.nearest(arc.center) - arc.center),
        (Some(p), Some(q)) => on_circle_towards(p.center, p.radius, q.center - p.center),
    }
}

/// The points of a circle in a direction and opposite to it.
fn on_circle_towards(center: Point, radius: f64, direction: Vector) -> Vec<Point> {
    match direction.try_normalize(super::TANGENT) {
        Some(d) => vec![center + d * radius, center - d * radius],
        None => vec![],
    }
}

impl Segment {
    /// The point of the segment that is nearest to `p`.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Point, Segment};
    /// let line = Segment::line(Point::new(0.0, 0.0), Point::new(4.0, 0.0));
    /// assert_eq!(line.nearest(Point::new(3.0, 5.0)), Point::new(3.0, 0.0));
    /// // Beyond its end the line goes no further: 3, 4, 5.
    /// assert_eq!(line.nearest(Point::new(7.0, 4.0)), line.to);
    /// assert_eq!(line.distance_to(Point::new(7.0, 4.0)), 5.0);
    /// ```
    pub fn nearest(&self, p: Point) -> Point {
        match self.bend {
            None => {
                let d = self.to - self.from;
                let t = (p - self.from).dot(&d) / d.norm_squared();
                self.from + d * t.clamp(0.0, 1.0)
            }
            Some(b) => {
                let on_circle = (p - b.center)
                    .try_normalize(super::TANGENT)
                    .map(|d| b.center + d * b.radius)
                    .filter(|q| self.spans(*q));
                on_circle.unwrap_or(if (self.from - p).norm() <= (self.to - p).norm() {
                    self.from
                } else {
                    self.to
                })
            }
        }
    }

    /// Distance of `p` from the segment, mm.
    pub fn distance_to(&self, p: Point) -> f64 {
        (self.nearest(p) - p).norm()
    }
}

impl Contour {
    /// Distance of `p` from the border, mm, positive inside and negative outside.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// let plate = Contour::rectangle(Point::new(0.0, 0.0), Point::new(30.0, 20.0));
    /// assert_eq!(plate.depth_of(Point::new(15.0, 6.0)), 6.0);
    /// assert_eq!(plate.depth_of(Point::new(33.0, 24.0)), -5.0);
    /// ```
    pub fn depth_of(&self, p: Point) -> f64 {
        let d = self.segments().iter().map(|s| s.distance_to(p)).fold(f64::INFINITY, f64::min);
        if self.contains(p) { d } else { -d }
    }
}
