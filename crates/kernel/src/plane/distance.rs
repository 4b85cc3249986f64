//! Exact distances between lines, arcs and contours.
//!
//! The nearest pair of points of two segments is among a few candidates: an end of one and its
//! nearest point on the other; the foot of an arc's centre on a line; the two points on the line
//! through both centres. The smallest candidate distance is therefore the distance.

use super::{Contour, Point, Segment, Vector, intersect};

/// Distance between two contours' borders, mm; 0 when they cross or touch.
pub fn contour_distance(a: &Contour, b: &Contour) -> f64 {
    contour_distance_below(a, b, f64::INFINITY)
}

/// The same, but `limit` when the distance is not below it: pairs of segments whose boxes are
/// further apart than the nearest pair so far are passed over.
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
    pub fn depth_of(&self, p: Point) -> f64 {
        let d = self.segments().iter().map(|s| s.distance_to(p)).fold(f64::INFINITY, f64::min);
        if self.contains(p) { d } else { -d }
    }
}
