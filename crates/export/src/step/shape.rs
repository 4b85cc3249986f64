//! A solid as a `MANIFOLD_SOLID_BREP`.

use std::fmt::Write;

use bobbinwright_kernel::solid::{Curve, Edge, Face, Solid, Surface, Vector3};

use super::entities::{Entities, Real, quoted};

/// Writes the solid and gives its entity's number.
pub(super) fn write(entities: &mut Entities, name: &str, solid: &Solid) -> u32 {
    let points: Vec<u32> = solid.vertices.iter().map(|v| entities.point([v.x, v.y, v.z])).collect();
    let vertices: Vec<u32> =
        points.iter().map(|p| entities.add(format_args!("VERTEX_POINT('',#{p})"))).collect();
    let edges: Vec<u32> = solid
        .edges
        .iter()
        .map(|e| {
            let curve = curve(entities, solid, e, points[e.start]);
            let (a, b) = (vertices[e.start], vertices[e.end]);
            entities.add(format_args!("EDGE_CURVE('',#{a},#{b},#{curve},.T.)"))
        })
        .collect();
    let faces: Vec<u32> = solid.faces.iter().map(|f| face(entities, solid, f, &edges)).collect();
    let shell = entities.add(format_args!("CLOSED_SHELL('',({}))", list(&faces)));
    entities.add(format_args!("MANIFOLD_SOLID_BREP('{}',#{shell})", quoted(name)))
}

/// The curve under an edge that starts at the point entity `origin`.
fn curve(entities: &mut Entities, solid: &Solid, edge: &Edge, origin: u32) -> u32 {
    let (start, end) = (solid.vertices[edge.start], solid.vertices[edge.end]);
    match edge.curve {
        Curve::Line => {
            let way = end - start;
            let length = way.norm();
            let direction = entities.direction((way / length).into());
            let vector = entities.add(format_args!("VECTOR('',#{direction},{})", Real(length)));
            entities.add(format_args!("LINE('',#{origin},#{vector})"))
        }
        Curve::Arc { center, axis, radius } => {
            let reference = (start - center) / radius;
            let frame = entities.frame([center.x, center.y, center.z], axis.into(), reference.into());
            entities.add(format_args!("CIRCLE('',#{frame},{})", Real(radius)))
        }
    }
}

fn face(entities: &mut Entities, solid: &Solid, face: &Face, edges: &[u32]) -> u32 {
    let mut bounds = Vec::with_capacity(face.borders.len());
    for (i, border) in face.borders.iter().enumerate() {
        let steps: Vec<u32> = border
            .iter()
            .map(|step| {
                let sense = if step.forward { ".T." } else { ".F." };
                entities.add(format_args!("ORIENTED_EDGE('',*,*,#{},{sense})", edges[step.edge]))
            })
            .collect();
        let border = entities.add(format_args!("EDGE_LOOP('',({}))", list(&steps)));
        let kind = if i == 0 { "FACE_OUTER_BOUND" } else { "FACE_BOUND" };
        bounds.push(entities.add(format_args!("{kind}('',#{border},.T.)")));
    }
    let (surface, same_sense) = surface(entities, solid, face);
    let sense = if same_sense { ".T." } else { ".F." };
    entities.add(format_args!("ADVANCED_FACE('',({}),#{surface},{sense})", list(&bounds)))
}

/// The surface, and whether its own normal points out of the material.
fn surface(entities: &mut Entities, solid: &Solid, face: &Face) -> (u32, bool) {
    let up = Vector3::z();
    match face.surface {
        Surface::Plane { origin, normal } => {
            let frame = entities.frame(origin.into(), normal.into(), across(normal).into());
            (entities.add(format_args!("PLANE('',#{frame})")), true)
        }
        Surface::Cylinder { origin, axis, radius, convex } => {
            let frame = entities.frame(origin.into(), axis.into(), across(axis).into());
            (entities.add(format_args!("CYLINDRICAL_SURFACE('',#{frame},{})", Real(radius))), convex)
        }
        Surface::Torus { center, major, minor } => {
            let frame = entities.frame(center.into(), up.into(), Vector3::x().into());
            let (major, minor) = (Real(major), Real(minor));
            // A tube thicker than its ring crosses itself; its outer part is a face of its own kind.
            let entity = if major.0 < minor.0 {
                entities.add(format_args!("DEGENERATE_TOROIDAL_SURFACE('',#{frame},{major},{minor},.T.)"))
            } else {
                entities.add(format_args!("TOROIDAL_SURFACE('',#{frame},{major},{minor})"))
            };
            (entity, true)
        }
        Surface::Sphere { center, radius } => {
            // The axis lies level and at right angles to the middle of the corner, so that no pole
            // lies on the face.
            let corners = face.borders[0].iter().map(|s| solid.vertices[solid.step_start(*s)] - center);
            let middle: Vector3 = corners.sum();
            let level = up.cross(&middle).normalize();
            let frame = entities.frame(center.into(), level.into(), up.into());
            (entities.add(format_args!("SPHERICAL_SURFACE('',#{frame},{})", Real(radius))), true)
        }
    }
}

/// A unit direction at right angles to `axis`.
fn across(axis: Vector3) -> Vector3 {
    let other = if axis.z.abs() > 0.5 { Vector3::x() } else { Vector3::z() };
    (other - axis * axis.dot(&other)).normalize()
}

fn list(numbers: &[u32]) -> String {
    let mut text = String::with_capacity(numbers.len() * 7);
    for (i, n) in numbers.iter().enumerate() {
        let comma = if i == 0 { "" } else { "," };
        let _ = write!(text, "{comma}#{n}");
    }
    text
}
