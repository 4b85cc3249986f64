//! How far a contour strays from another one.

use super::{Contour, Point, SNAP, Segment};

/// The largest distance of a contour's points from another contour, mm, and where it is.
///
/// Stretches of the contour are halved until none can hold a point further than the furthest found. No
/// point of a stretch is further than its middle's distance and half its length; a straight stretch is from
/// a line nowhere further than at its ends (the distance from a convex set is convex); and an arc from
/// another arc nowhere further than the two radii and the two centres differ together.
pub fn furthest(from: &Contour, to: &Contour) -> (f64, Point) {
    let distance = |p: Point| to.segments().iter().map(|s| s.distance_to(p)).fold(f64::INFINITY, f64::min);
    let mut best = (0.0, Point::origin());
    let mut look = |p: Point| {
        let d = distance(p);
        if d > best.0 {
            best = (d, p);
        }
        (d, best.0)
    };
    let mut open: Vec<(&Segment, f64, f64)> = from.segments().iter().map(|s| (s, 0.0, 1.0)).collect();
    from.segments().iter().for_each(|s| {
        look(s.from);
    });
    while let Some((s, low, high)) = open.pop() {
        let middle = f64::midpoint(low, high);
        let (ends, p) = ([s.at(low), s.at(high)], s.at(middle));
        let half = s.length() * (high - low) / 2.0;
        let (d, so_far) = look(p);
        let most = to.segments().iter().map(|t| bound(s, ends, p, t)).fold(d + half, f64::min);
        if most > so_far + SNAP && half > SNAP {
            open.extend([(s, low, middle), (s, middle, high)]);
        }
    }
    best
}

/// No point of a stretch of `s` is further than this from `t`.
fn bound(s: &Segment, ends: [Point; 2], middle: Point, t: &Segment) -> f64 {
    match (s.bend, t.bend) {
        (None, None) => t.distance_to(ends[0]).max(t.distance_to(ends[1])),
        (Some(a), Some(b)) if t.spans(ends[0]) && t.spans(ends[1]) && t.spans(middle) => {
            (a.center - b.center).norm() + (a.radius - b.radius).abs()
        }
        _ => f64::INFINITY,
    }
}
