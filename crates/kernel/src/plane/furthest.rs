//! How far lines and arcs stray from others.

use super::{Point, SNAP, Segment};
use bobbinwright_elementary::Elementary;

/// The largest distance of points on some segments from others, mm, and where it is.
///
/// Stretches of them are halved until none can hold a point further than the furthest found. No
/// point of a stretch is further than its middle's distance and half its length. From a line it is nowhere
/// further than at the corners of a polygon round it (the distance from a convex set is convex), and from an
/// arc nowhere further than at its ends or where a line through both centres meets it.
///
/// Where nothing strays the place is the origin. It is not the same both ways: a short line lies near a long one, whose
/// ends are far from the short one.
///
/// ```
/// # use bobbinwright_kernel::plane::{Point, Segment, furthest};
/// let short = [Segment::line(Point::new(0.0, 3.0), Point::new(6.0, 3.0))];
/// let long = [Segment::line(Point::new(0.0, 0.0), Point::new(10.0, 0.0))];
/// assert!((furthest(&short, &long).0 - 3.0).abs() < 1e-12);
/// // From the far end 4 mm back and 3 mm up.
/// let (distance, at) = furthest(&long, &short);
/// assert!((distance - 5.0).abs() < 1e-12 && at == Point::new(10.0, 0.0));
/// ```
pub fn furthest(from: &[Segment], to: &[Segment]) -> (f64, Point) {
    let distance = |p: Point| to.iter().map(|s| s.distance_to(p)).fold(f64::INFINITY, f64::min);
    let mut best = (0.0, Point::origin());
    let mut look = |p: Point| {
        let d = distance(p);
        if d > best.0 {
            best = (d, p);
        }
        (d, best.0)
    };
    let mut open: Vec<(&Segment, f64, f64)> = from.iter().map(|s| (s, 0.0, 1.0)).collect();
    for s in from {
        look(s.from);
        look(s.to);
    }
    while let Some((s, low, high)) = open.pop() {
        let middle = f64::midpoint(low, high);
        let (ends, p) = ([s.at(low), s.at(high)], s.at(middle));
        let half = s.length() * (high - low) / 2.0;
        let (d, so_far) = look(p);
        let most = to.iter().map(|t| bound(s, ends, p, t)).fold(d + half, f64::min);
        if most > so_far + SNAP && half > SNAP {
            open.extend([(s, low, middle), (s, middle, high)]);
        }
    }
    best
}

/// No point of a stretch of `s` is further than this from `t`; infinite where nothing is known.
fn bound(s: &Segment, ends: [Point; 2], middle: Point, t: &Segment) -> f64 {
    let at_ends = |to: &dyn Fn(Point) -> f64| to(ends[0]).max(to(ends[1]));
    match (s.bend, t.bend) {
        (None, None) => at_ends(&|p| t.distance_to(p)),
        // The arc lies in the triangle of its ends and the crossing of its tangents.
        (Some(a), None) => {
            let tip = tip(a.center, ends, middle);
            tip.map_or(f64::INFINITY, |tip| at_ends(&|p| t.distance_to(p)).max(t.distance_to(tip)))
        }
        (_, Some(b)) if ends.iter().chain([&middle]).all(|p| t.spans(*p)) => {
            let from_circle = |p: Point| ((p - b.center).norm() - b.radius).abs();
            // Between the ends the distance from the centre is least or most where a normal goes through it.
            let normals = match s.bend {
                None => {
                    let along = (ends[1] - ends[0]).normalize();
                    let foot = ends[0] + along * (b.center - ends[0]).dot(&along);
                    [foot, foot]
                }
                Some(a) => {
                    let out = a.center - b.center;
                    if out.norm() < SNAP {
                        return at_ends(&from_circle);
                    }
                    let out = out.normalize() * a.radius;
                    [a.center + out, a.center - out]
                }
            };
            let half = (ends[1] - ends[0]).norm() / 2.0;
            let chord = Point::from((ends[0].coords + ends[1].coords) / 2.0);
            let reach = half.max((middle - ends[0]).norm()) + SNAP;
            let within = |p: &Point| (p - chord).norm() <= reach;
            normals.into_iter().filter(within).map(from_circle).fold(at_ends(&from_circle), f64::max)
        }
        _ => f64::INFINITY,
    }
}

/// Where the tangents at an arc's ends cross; none for half a turn and more.
fn tip(center: Point, ends: [Point; 2], middle: Point) -> Option<Point> {
    let out = middle - center;
    let (chord, radius) = ((ends[1] - ends[0]).norm() / 2.0, out.norm());
    let cos = (1.0 - (chord / radius).power(2)).max(0.0).sqrt();
    // An end on the far side of the centre: the arc is longer than half a turn.
    let near = (ends[0] - center).dot(&out) > 1e-3 * radius * radius;
    (near && cos > 1e-3).then(|| center + out / cos)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plane::Contour;

    const STEPS: u32 = 400;

    /// No sampled point is further than what was found, and some sampled point is nearly as far.
    #[test]
    fn no_sampled_point_is_further() {
        let boxed = |dx: f64, length: f64, width: f64, radius: f64| {
            Contour::rounded_rectangle(Point::new(dx, 0.3 * dx), length, width, radius)
        };
        let circle = |dx: f64, radius: f64| Contour::circle(Point::new(dx, 0.1), radius);
        let all = [
            boxed(0.0, 40.0, 20.0, 5.0),
            boxed(0.0, 40.0, 20.0, 5.7),
            boxed(0.4, 41.0, 19.5, 1.0),
            boxed(0.0, 39.0, 20.0, 0.0),
            boxed(1.0, 30.0, 30.0, 15.0),
            circle(0.0, 10.0),
            circle(2.0, 11.0),
        ];
        for (from, to) in all.iter().flat_map(|a| all.iter().map(move |b| (a, b))) {
            let (found, at) = furthest(from.segments(), to.segments());
            let distance =
                |p: Point| to.segments().iter().map(|s| s.distance_to(p)).fold(f64::INFINITY, f64::min);
            let mut sampled: f64 = 0.0;
            for s in from.segments() {
                let points = (0..STEPS).map(|i| s.at(f64::from(i) / f64::from(STEPS)));
                sampled = points.map(distance).fold(sampled, f64::max);
            }
            let step = from.length() / f64::from(STEPS);
            assert!(sampled <= found + 1e-6 && found <= sampled + step, "{found} {sampled}");
            assert!(found == 0.0 || (distance(at) - found).abs() < 1e-9);
        }
    }
}
