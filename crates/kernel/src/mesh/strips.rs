//! Walls and bands as strips of triangles.

use bobbinwright_elementary::Elementary;
use std::collections::BTreeMap;

use super::Builder;
use super::edges::{Divided, Stop};
use crate::solid::{Curve, Face, Point3, Solid, Step, Surface, Vector3};

/// Fills the area between two chains that run the same way, the area on the left of `right`.
/// A chain is a list of (position along the way, point). Triangles come out counter-clockwise, or
/// clockwise when `flip` is set.
fn zip(right: &[(f64, u32)], left: &[(f64, u32)], flip: bool, builder: &mut Builder) {
    let (mut i, mut j) = (0, 0);
    while i + 1 < right.len() || j + 1 < left.len() {
        let on_right = j + 1 == left.len() || (i + 1 < right.len() && right[i + 1].0 <= left[j + 1].0);
        let [a, b, c] = if on_right {
            [right[i].1, right[i + 1].1, left[j].1]
        } else {
            [right[i].1, left[j + 1].1, left[j].1]
        };
        if on_right {
            i += 1;
        } else {
            j += 1;
        }
        if flip {
            builder.triangle(a, c, b);
        } else {
            builder.triangle(a, b, c);
        }
    }
}

/// A vertical cylinder wall, however many notches and windows it has: for each gap between
/// neighbouring stations, a quad between each pair of border lines that span it. Border points on
/// an upright belong to the quads on both its sides.
pub(super) fn wall(solid: &Solid, face: &Face, convex: bool, divided: &Divided, builder: &mut Builder) {
    // (station, height, point) of border points, and (stations on both sides, height) of border lines.
    let mut uprights: Vec<(usize, f64, u32)> = Vec::new();
    let mut lines: Vec<([usize; 2], f64)> = Vec::new();
    for step in face.borders.iter().flatten() {
        if solid.edges[step.edge].curve == Curve::Line {
            continue;
        }
        // Level arcs of walls are stored counter-clockwise, so stations ascend along them.
        let stops = &divided.edges[step.edge];
        let z = builder.points[stops[0].point as usize].z;
        uprights.extend(stops.iter().map(|s| (s.station, z, s.point)));
        lines.extend(stops.windows(2).map(|w| ([w[0].station, w[1].station], z)));
    }
    for (station, point) in on_uprights(solid, face, divided) {
        uprights.push((station, builder.points[point as usize].z, point));
    }
    uprights.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    uprights.dedup_by_key(|p| p.2);
    lines.sort_by(|p, q| p.0.cmp(&q.0).then(p.1.total_cmp(&q.1)));
    for gap in lines.chunk_by(|p, q| p.0 == q.0) {
        for pair in gap.chunks_exact(2) {
            let between = |station: usize| -> Vec<(f64, u32)> {
                let from = uprights.partition_point(|p| (p.0, p.1) < (station, pair[0].1));
                let all = uprights[from..].iter().take_while(|p| p.0 == station && p.1 <= pair[1].1);
                all.map(|p| (p.1, p.2)).collect()
            };
            let [left, right] = pair[0].0;
            zip(&between(right), &between(left), !convex, builder);
        }
    }
}

/// The ends of a wall's upright edges with their stations. An upright may be divided where a
/// neighbour ends half way up; such a vertex is the end of no arc of this wall, so its station is
/// that of the vertices above and below it.
fn on_uprights(solid: &Solid, face: &Face, divided: &Divided) -> Vec<(usize, u32)> {
    let mut station: BTreeMap<u32, usize> = BTreeMap::new();
    let steps = || face.borders.iter().flatten();
    for step in steps().filter(|s| solid.edges[s.edge].curve != Curve::Line) {
        station.extend(divided.edges[step.edge].iter().map(|s| (s.point, s.station)));
    }
    let uprights: Vec<[u32; 2]> = steps()
        .filter(|s| solid.edges[s.edge].curve == Curve::Line)
        .map(|s| [solid.step_start(*s) as u32, solid.step_end(*s) as u32])
        .collect();
    let mut found = Vec::new();
    let mut spreading = true;
    while spreading {
        spreading = false;
        for [a, b] in &uprights {
            for (from, to) in [(a, b), (b, a)] {
                if let (Some(at), None) = (station.get(from).copied(), station.get(to)) {
                    station.insert(*to, at);
                    found.push((at, *to));
                    spreading = true;
                }
            }
        }
    }
    found
}

/// The four sides of a band, the lower and upper one in the outline's direction, the two quarter
/// arcs upwards.
struct Sides {
    lower: Vec<Stop>,
    upper: Vec<Stop>,
    start: Vec<Stop>,
    end: Vec<Stop>,
}

impl Sides {
    fn of(solid: &Solid, face: &Face, divided: &Divided) -> Self {
        let border = &face.borders[0];
        let z = |v: usize| solid.vertices[v].z;
        let rise = |s: &Step| z(solid.step_end(*s)) - z(solid.step_start(*s));
        let along = |s: Step| {
            let mut stops = divided.edges[s.edge].clone();
            if !s.forward {
                stops.reverse();
            }
            stops
        };
        // Travel: down at the start, along the outline, up at the end, back along the crest.
        let down = border.iter().position(|s| rise(s) < 0.0).unwrap_or(0);
        let mut order = border.iter().cycle().skip(down).take(border.len()).copied();
        let mut start = order.next().map(along).unwrap_or_default();
        start.reverse();
        let mut sides = Self { lower: Vec::new(), upper: Vec::new(), start, end: Vec::new() };
        for step in order {
            let stops = along(step);
            if rise(&step) > 0.0 {
                sides.end = stops;
            } else if sides.end.is_empty() {
                let joint = usize::from(!sides.lower.is_empty());
                sides.lower.extend(&stops[joint..]);
            } else {
                sides.upper = stops.into_iter().rev().collect();
            }
        }
        if sides.upper.is_empty() {
            sides.upper = sides.end.last().copied().into_iter().collect();
        }
        sides
    }
}

/// A band of the rounding: rows of points from the outline up to the crest.
pub(super) fn band(solid: &Solid, face: &Face, divided: &Divided, builder: &mut Builder) {
    let sides = Sides::of(solid, face, divided);
    let steps = divided.profile_steps;
    let mut below: Vec<u32> = sides.lower.iter().map(|s| s.point).collect();
    let columns: Vec<Point3> = match face.surface {
        Surface::Cylinder { .. } => Vec::new(),
        _ => below[1..below.len() - 1].iter().map(|p| builder.points[*p as usize]).collect(),
    };
    for row in 1..=steps {
        let above: Vec<u32> = if row == steps {
            sides.upper.iter().map(|s| s.point).collect()
        } else {
            let turn = std::f64::consts::FRAC_PI_2 * row as f64 / steps as f64;
            let inner: Vec<u32> =
                columns.iter().map(|p| builder.point(lifted(face.surface, *p, turn))).collect();
            std::iter::once(sides.start[row].point)
                .chain(inner)
                .chain(std::iter::once(sides.end[row].point))
                .collect()
        };
        zip(&spread(&below), &spread(&above), false, builder);
        below = above;
    }
}

/// A chain's points with evenly spread positions.
fn spread(points: &[u32]) -> Vec<(f64, u32)> {
    let last = points.len().saturating_sub(1).max(1) as f64;
    points.iter().enumerate().map(|(i, p)| (i as f64 / last, *p)).collect()
}

/// A point at the foot of a torus or sphere band, moved up the profile by `turn` radians.
fn lifted(surface: Surface, foot: Point3, turn: f64) -> Point3 {
    let (center, major, minor) = match surface {
        Surface::Torus { center, major, minor } => (center, major, minor),
        Surface::Sphere { center, radius } => (center, 0.0, radius),
        Surface::Plane { .. } | Surface::Cylinder { .. } => return foot,
    };
    let radial = foot - center;
    let distance = radial.norm();
    let out = radial / distance;
    let middle = center + out * major;
    // On a concave corner the foot lies on the near side of the tube's middle.
    let side = if distance < major { -1.0 } else { 1.0 };
    middle + out * (side * minor * turn.cosine()) + Vector3::z() * (minor * turn.sine())
}
