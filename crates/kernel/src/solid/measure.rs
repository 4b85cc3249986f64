//! Exact volume and area.
//!
//! Volume by the divergence theorem with the field (0, 0, z): V = ∮ z `n_z` dA. Vertical walls give
//! nothing, a horizontal face gives ± z · area, and a band gives an integral over its profile.
//! With t the distance from the rounding's centre line, z = z₀ + sqrt(r² - t²), t from 0 to r:
//!
//! - ∫ z dt = z₀ r + π r²/4,
//! - ∫ z t dt = z₀ r²/2 + r³/3.

use bobbinwright_elementary::Elementary;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

use super::plan::Plan;
use super::{Curve, Face, Point3, Solid, Step, Surface, Vector3};
use crate::plane::{Point, Segment, Vector};

/// Fills in volume and area.
pub(super) fn measure(solid: &mut Solid) {
    let (mut volume, mut area) = (0.0, 0.0);
    for face in &solid.faces {
        let (v, a) = of_face(solid, face);
        volume += v;
        area += a;
    }
    solid.volume = volume;
    solid.area = area;
}

/// A face's share of the volume, and its area.
pub(super) fn of_face(solid: &Solid, face: &Face) -> (f64, f64) {
    let flat = || face.borders.iter().map(|b| signed_area(solid, face.surface, b)).sum::<f64>();
    match face.surface {
        Surface::Plane { origin, normal } => {
            let area = flat();
            (origin.z * normal.z * area, area)
        }
        Surface::Cylinder { axis, .. } if axis.z != 0.0 => (0.0, flat()),
        Surface::Cylinder { origin, radius: r, .. } => {
            let length = base_length(solid, face);
            (length * profile(origin.z, r).0, length * r * FRAC_PI_2)
        }
        Surface::Torus { center, major, minor: r } => {
            let (sweep, convex) = base_sweep(solid, face);
            let (flat, bent) = profile(center.z, r);
            // On a concave corner the rounding's material lies on the far side of its centre line.
            let bent_sign = if convex { 1.0 } else { -1.0 };
            let area = sweep * r * (major * FRAC_PI_2 + bent_sign * r);
            (sweep * (major * flat + bent_sign * bent), area)
        }
        Surface::Sphere { center, radius } => {
            let (sweep, _) = base_sweep(solid, face);
            (sweep * profile(center.z, radius).1, sweep * radius * radius)
        }
    }
}

/// (∫ z dt, ∫ z t dt) over the quarter-round, see the module's head.
fn profile(z0: f64, r: f64) -> (f64, f64) {
    (z0 * r + FRAC_PI_4 * r * r, z0 * r * r / 2.0 + r.power(3) / 3.0)
}

/// The steps of a band along its lower border: those that stay at the lowest level.
fn base(solid: &Solid, face: &Face) -> impl Iterator<Item = Step> {
    let steps = face.borders[0].clone();
    let z = |v: usize| solid.vertices[v].z;
    let lowest = steps.iter().map(|s| z(solid.step_start(*s))).fold(f64::INFINITY, f64::min);
    let ends: Vec<bool> =
        steps.iter().map(|s| z(solid.step_start(*s)) == lowest && z(solid.step_end(*s)) == lowest).collect();
    steps.into_iter().zip(ends).filter(|(_, low)| *low).map(|(s, _)| s)
}

fn base_length(solid: &Solid, face: &Face) -> f64 {
    let length = |s: Step| (solid.vertices[solid.step_end(s)] - solid.vertices[solid.step_start(s)]).norm();
    base(solid, face).map(length).sum()
}

/// Turn of a band round its axis, and whether the outline is convex there.
fn base_sweep(solid: &Solid, face: &Face) -> (f64, bool) {
    let mut convex = true;
    let mut sweep = 0.0;
    for step in base(solid, face) {
        let edge = &solid.edges[step.edge];
        sweep += edge.sweep(&solid.vertices);
        if let Curve::Arc { axis, .. } = edge.curve {
            // The face lies to the left of the step; counter-clockwise means convex.
            convex = (axis.z > 0.0) == step.forward;
        }
    }
    (sweep, convex)
}

/// Signed area of a border of a horizontal face or a vertical wall, mm²: positive for an outer
/// border, negative for a hole.
pub(super) fn signed_area(solid: &Solid, surface: Surface, border: &[Step]) -> f64 {
    let segments = Chart::of(solid, surface, border).lay(solid, border);
    segments.iter().map(Segment::twice_area).sum::<f64>() / 2.0
}

/// How a face's points are laid into the plane, keeping areas. Walls are unrolled: along the wall
/// by z.
pub(super) enum Chart {
    /// A horizontal face; mirrored when it looks down.
    Level { up: bool },
    /// A vertical plane: distance along `right`, height.
    Wall { origin: Point3, right: Vector3 },
    /// A vertical cylinder: arc length from `start`, height.
    Round { center: Point3, start: Vector3, radius: f64, convex: bool },
}

impl Chart {
    /// The chart of a face; of a round wall centred on `border`, which must be its outer one if
    /// others are to be laid beside it.
    pub fn of(solid: &Solid, surface: Surface, border: &[Step]) -> Self {
        match surface {
            Surface::Plane { normal, .. } if normal.z != 0.0 => Chart::Level { up: normal.z > 0.0 },
            Surface::Plane { origin, normal } => Chart::Wall { origin, right: Vector3::z().cross(&normal) },
            Surface::Cylinder { origin, radius, convex, .. } => {
                // Measured from the middle of the border, so that the cut of the unrolled
                // cylinder lies on the far side: no wall goes round by more than half a turn.
                let middle: Vector3 = border.iter().map(|s| mid_direction(solid, *s, origin)).sum();
                Chart::Round { center: origin, start: middle, radius, convex }
            }
            // Bands are measured by their profile and never have holes.
            Surface::Torus { .. } | Surface::Sphere { .. } => Chart::Level { up: true },
        }
    }

    /// A border in the plane.
    pub fn lay(&self, solid: &Solid, border: &[Step]) -> Vec<Segment> {
        border.iter().map(|s| self.segment(solid, *s)).collect()
    }

    fn point(&self, p: Point3) -> Point {
        match *self {
            Chart::Level { up } => Point::new(if up { p.x } else { -p.x }, p.y),
            Chart::Wall { origin, right } => Point::new((p - origin).dot(&right), p.z),
            Chart::Round { center, start, radius, convex } => {
                let u = Vector::new(start.x, start.y);
                let v = Vector::new(p.x - center.x, p.y - center.y);
                let angle = crate::plane::cross(u, v).direction_with(u.dot(&v));
                Point::new(if convex { angle } else { -angle } * radius, p.z)
            }
        }
    }

    fn segment(&self, solid: &Solid, step: Step) -> Segment {
        let edge = &solid.edges[step.edge];
        let from = self.point(solid.vertices[solid.step_start(step)]);
        let to = self.point(solid.vertices[solid.step_end(step)]);
        match (self, edge.curve) {
            (Chart::Level { up }, Curve::Arc { center, axis, .. }) => {
                let ccw = ((axis.z > 0.0) == step.forward) == *up;
                Segment::arc(from, to, self.point(center), ccw)
            }
            _ => Segment::line(from, to),
        }
    }
}

/// Direction from the axis to the middle of a step, horizontal.
fn mid_direction(solid: &Solid, step: Step, axis: Point3) -> Vector3 {
    let (a, b) = (solid.vertices[solid.step_start(step)], solid.vertices[solid.step_end(step)]);
    let flat = |p: Point3| Vector3::new(p.x - axis.x, p.y - axis.y, 0.0);
    let edge = &solid.edges[step.edge];
    match edge.curve {
        Curve::Line => flat(a) + flat(b),
        Curve::Arc { axis: normal, .. } => {
            // For half a turn the chord's middle is the centre itself: turn the start instead.
            let start = flat(solid.vertices[edge.start]);
            let half = edge.sweep(&solid.vertices) / 2.0 * normal.z.signum();
            let (s, c) = half.sine_cosine();
            Vector3::new(start.x * c - start.y * s, start.x * s + start.y * c, 0.0)
        }
    }
}

/// Volume as the sum of slabs less what the rounding takes away: an independent way to the same
/// figure, used as a check.
pub(super) fn volume_of_slabs(plan: &Plan) -> f64 {
    let slabs = plan.levels.windows(2).enumerate();
    let full: f64 = slabs
        .map(|(slab, z)| {
            let twice: f64 = plan
                .arrangement
                .pieces
                .iter()
                .filter_map(|p| {
                    let left = plan.wall_side(p, slab)?;
                    Some(if left { p.segment.twice_area() } else { -p.segment.twice_area() })
                })
                .sum();
            twice / 2.0 * (z[1] - z[0])
        })
        .sum();
    let taken = plan.crest.as_ref().map_or(0.0, |crest| {
        let r = crest.radius;
        let corner = r * r * (1.0 - FRAC_PI_4);
        let outline = plan.stack.features[crest.contour].contour.segments();
        outline
            .iter()
            .map(|s| match s.bend {
                None => s.length() * corner,
                // Pappus: the profile's moment about the axis, see the module's head.
                Some(b) if b.ccw => s.sweep() * ((b.radius - r) * corner + r.power(3) / 6.0),
                Some(b) => s.sweep() * ((b.radius + r) * corner - r.power(3) / 6.0),
            })
            .sum()
    });
    full - taken
}
