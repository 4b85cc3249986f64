//! The same solid as a `truck` solid, with exact curves and surfaces.
//!
//! Two uses: `truck`'s own checks (closed shell, no singular vertex) are an independent judge of
//! every solid, and who works with `truck` can go on from here. Arcs become rational curves,
//! cylinders, tori and spheres surfaces of revolution, planes planes; all of them exact.
//!
//! Built with the feature `truck` only: the program itself does not need it, and `truck` takes
//! longer to compile than everything else together.

use truck_modeling::{
    Curve as TruckCurve, Edge as TruckEdge, Face as TruckFace, Invertible, Line, ParametricSurface3D, Plane,
    Point3 as P3, Processor, RevolutedCurve, Shell, Solid as TruckSolid, Surface as TruckSurface,
    Vector3 as V3, Vertex, Wire, builder,
};

use crate::solid::{Curve, Face, Point3, Solid, Step, Surface, Vector3};

/// `truck` does not accept the solid.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("truck refuses {what}: {why}")]
pub struct TruckError {
    /// Which part of the solid.
    what: String,
    /// What `truck` said.
    why: String,
}

/// Converts a solid. `Solid::try_new` accepts only connected, closed, manifold shells.
pub fn solid(solid: &Solid) -> Result<TruckSolid, TruckError> {
    let vertices: Vec<Vertex> = solid.vertices.iter().map(|v| builder::vertex(place(*v))).collect();
    let edges: Vec<TruckEdge> = solid
        .edges
        .iter()
        .map(|edge| {
            let (start, end) = (&vertices[edge.start], &vertices[edge.end]);
            match edge.curve {
                Curve::Line => builder::line(start, end),
                Curve::Arc { .. } => {
                    let middle = edge.polyline(&solid.vertices, 2)[1];
                    builder::circle_arc(start, end, place(middle))
                }
            }
        })
        .collect();
    let mut faces = Vec::with_capacity(solid.faces.len());
    for (i, face) in solid.faces.iter().enumerate() {
        let wires = face.borders.iter().map(|border| wire(border, &edges)).collect();
        let made = TruckFace::try_new(wires, surface(solid, face));
        faces.push(made.map_err(|e| TruckError { what: format!("face {i}"), why: e.to_string() })?);
    }
    let shell: Shell = faces.into();
    TruckSolid::try_new(vec![shell]).map_err(|e| TruckError { what: "the shell".into(), why: e.to_string() })
}

fn place(p: Point3) -> P3 {
    P3::new(p.x, p.y, p.z)
}

fn way(v: Vector3) -> V3 {
    V3::new(v.x, v.y, v.z)
}

fn wire(border: &[Step], edges: &[TruckEdge]) -> Wire {
    border.iter().map(|s| if s.forward { edges[s.edge].clone() } else { edges[s.edge].inverse() }).collect()
}

/// The surface with its normal outwards.
fn surface(solid: &Solid, face: &Face) -> TruckSurface {
    let inside = middle_of(solid, face);
    match face.surface {
        Surface::Plane { origin, normal } => {
            let across = if normal.z.abs() > 0.5 { Vector3::x() } else { Vector3::z() };
            let up = normal.cross(&across);
            TruckSurface::Plane(Plane::new(place(origin), place(origin + across), place(origin + up)))
        }
        Surface::Cylinder { origin, axis, radius, convex } => {
            // The seam lies on the far side of the axis, away from the face.
            let radial = across(inside - origin, axis) * -radius;
            let along = |v: &Point3| (v - origin).dot(&axis);
            let (low, high) = span(solid, face, along);
            let line = Line(place(origin + radial + axis * low), place(origin + radial + axis * high));
            let turned = revolved(TruckCurve::Line(line), origin, axis);
            outwards(turned, convex)
        }
        Surface::Torus { center, major, minor } => {
            let foot = across(inside - center, Vector3::z());
            // On a concave corner the outline lies on the near side of the tube's middle.
            let side = if across_distance(solid, face, center) < major { -1.0 } else { 1.0 };
            let far = -foot;
            profile(center + far * major, far * side, minor, center)
        }
        Surface::Sphere { center, radius } => {
            let foot = across(inside - center, Vector3::z());
            profile(center, -foot, radius, center)
        }
    }
}

/// A quarter-round from `middle + out · r` up to `middle + z · r`, revolved about the vertical
/// through `center`, its normal away from `middle`.
fn profile(middle: Point3, out: Vector3, r: f64, center: Point3) -> TruckSurface {
    let (low, high) = (middle + out * r, middle + Vector3::z() * r);
    let transit = middle + (out + Vector3::z()) * (r * std::f64::consts::FRAC_1_SQRT_2);
    let ends = (builder::vertex(place(low)), builder::vertex(place(high)));
    let arc = builder::circle_arc(&ends.0, &ends.1, place(transit)).curve();
    let turned = revolved(arc, center, Vector3::z());
    let normal = turned.normal(0.5, 0.0);
    let wanted = way(transit - middle);
    let agrees = normal.x * wanted.x + normal.y * wanted.y + normal.z * wanted.z > 0.0;
    if agrees { turned } else { turned.inverse() }
}

fn revolved(curve: TruckCurve, origin: Point3, axis: Vector3) -> TruckSurface {
    TruckSurface::RevolutedCurve(Processor::new(RevolutedCurve::by_revolution(
        curve,
        place(origin),
        way(axis),
    )))
}

/// A line revolved about its own direction has its normal inwards.
fn outwards(turned: TruckSurface, convex: bool) -> TruckSurface {
    if convex { turned.inverse() } else { turned }
}

/// The unit part of `v` at right angles to `axis`.
fn across(v: Vector3, axis: Vector3) -> Vector3 {
    (v - axis * v.dot(&axis)).normalize()
}

/// Mean of the points half way along the face's border: a place near the middle of the face.
fn middle_of(solid: &Solid, face: &Face) -> Point3 {
    let border = &face.borders[0];
    let middles = border.iter().map(|s| solid.edges[s.edge].polyline(&solid.vertices, 2));
    let sum: Vector3 =
        middles.map(|p| nalgebra::center(&p[0], &p[p.len() - 1]).coords + p[p.len() / 2].coords).sum();
    Point3::from(sum / (2.0 * border.len() as f64))
}

fn span(solid: &Solid, face: &Face, along: impl Fn(&Point3) -> f64) -> (f64, f64) {
    let steps = face.borders.iter().flatten();
    let values = steps.map(|s| along(&solid.vertices[solid.step_start(*s)]));
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
}

/// Distance of the band's foot from the axis through `center`.
fn across_distance(solid: &Solid, face: &Face, center: Point3) -> f64 {
    let feet = face.borders[0].iter().map(|s| solid.vertices[solid.step_start(*s)]);
    let lowest = feet.min_by(|a, b| a.z.total_cmp(&b.z)).unwrap_or(center);
    (lowest - center).xy().norm()
}
