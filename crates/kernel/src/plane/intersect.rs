//! Where two segments cross.

use super::{Point, SNAP, Segment, TANGENT, Vector, cross, left_of};

/// Points in which two segments cross or touch, ends included. Where they run along each other
/// the ends of the common stretch are given.
pub(super) fn crossings(a: &Segment, b: &Segment) -> Vec<Point> {
    let mut found: Vec<Point> = Vec::new();
    // Ends first: a crossing computed near one of them is then the same vertex, exactly.
    for p in [a.from, a.to] {
        if b.distance_to(p) < SNAP {
            add(&mut found, p);
        }
    }
    for p in [b.from, b.to] {
        if a.distance_to(p) < SNAP {
            add(&mut found, p);
        }
    }
    for p in carriers_cross(a, b) {
        if a.distance_to(p) < SNAP && b.distance_to(p) < SNAP {
            add(&mut found, p);
        }
    }
    found
}

fn add(found: &mut Vec<Point>, p: Point) {
    if found.iter().all(|q| (p - q).norm() >= SNAP) {
        found.push(p);
    }
}

/// Crossings of the full line or circle under each segment; none when they are the same carrier.
fn carriers_cross(a: &Segment, b: &Segment) -> Vec<Point> {
    match (a.bend, b.bend) {
        (None, None) => {
            let (u, v) = (a.to - a.from, b.to - b.from);
            let det = cross(u, v);
            // Parallel within 1e-12 rad: no crossing that the ends have not given already.
            if det.abs() <= 1e-12 * u.norm() * v.norm() {
                return vec![];
            }
            vec![a.from + u * (cross(b.from - a.from, v) / det)]
        }
        (None, Some(arc)) => line_circle(a, arc.center, arc.radius),
        (Some(arc), None) => line_circle(b, arc.center, arc.radius),
        (Some(p), Some(q)) => circle_circle(p.center, p.radius, q.center, q.radius),
    }
}

fn line_circle(line: &Segment, center: Point, radius: f64) -> Vec<Point> {
    let d = (line.to - line.from).normalize();
    let foot = line.from + d * (center - line.from).dot(&d);
    around_foot(foot, (foot - center).norm(), radius, d)
}

fn circle_circle(c1: Point, r1: f64, c2: Point, r2: f64) -> Vec<Point> {
    let span = c2 - c1;
    let d = span.norm();
    if d < SNAP {
        return vec![];
    }
    let u = span / d;
    if (d - (r1 + r2)).abs() < TANGENT {
        return vec![c1 + u * r1];
    }
    if (d - (r1 - r2).abs()).abs() < TANGENT {
        return vec![c1 + u * if r1 > r2 { r1 } else { -r1 }];
    }
    let along = (d * d + r1 * r1 - r2 * r2) / (2.0 * d);
    around_foot(c1 + u * along, along.abs(), r1, left_of(u))
}

/// The points at the half chord left and right of `foot`, which lies `height` from the centre.
fn around_foot(foot: Point, height: f64, radius: f64, direction: Vector) -> Vec<Point> {
    if (height - radius).abs() < TANGENT {
        return vec![foot];
    }
    if height > radius {
        return vec![];
    }
    let half = ((radius - height) * (radius + height)).sqrt();
    vec![foot + direction * half, foot - direction * half]
}
