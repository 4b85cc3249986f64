//! Flat faces: a constrained Delaunay triangulation of their borders.

use std::collections::VecDeque;

use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};

use super::Builder;
use super::edges::Divided;
use crate::solid::{Face, Point3, Vector3};

/// A border point laid into the plane of its face.
#[derive(Clone, Copy)]
struct Laid {
    at: Point2<f64>,
    point: u32,
}

impl HasPosition for Laid {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        self.at
    }
}

/// Triangulates a flat face.
pub(super) fn fill(
    face: &Face,
    normal: Vector3,
    divided: &Divided,
    builder: &mut Builder,
) -> Result<(), String> {
    let (points, constraints) = lay(face, normal, divided, builder);
    if let [a, b, c, d] = points[..]
        && is_convex(&points)
    {
        builder.triangle(a.point, b.point, c.point);
        builder.triangle(a.point, c.point, d.point);
        return Ok(());
    }
    let count = points.len();
    // Where a web is thinner than the chord tolerance, chords of its two sides may cross.
    let mut crossed = false;
    let cdt =
        ConstrainedDelaunayTriangulation::<Laid>::try_bulk_load_cdt(points, constraints, |_| crossed = true)
            .map_err(|e| e.to_string())?;
    if crossed {
        return Err("a web is thinner than the chord tolerance".into());
    }
    if cdt.num_vertices() != count {
        return Err(format!("{} of {count} border points coincide", count - cdt.num_vertices()));
    }
    // From the outside in, every crossing of a border changes between outside and inside.
    let mut inside: Vec<Option<bool>> = vec![None; cdt.num_all_faces()];
    let mut todo = VecDeque::new();
    inside[cdt.outer_face().index()] = Some(false);
    for edge in cdt.convex_hull() {
        // `edge` has the outer face on its left: the face beyond it is the first one in.
        let inner = edge.rev().face();
        if inside[inner.index()].is_none() {
            inside[inner.index()] = Some(edge.is_constraint_edge());
            todo.push_back(inner);
        }
    }
    while let Some(face) = todo.pop_front() {
        let here = inside[face.index()].unwrap_or(false);
        let Some(triangle) = face.as_inner() else { continue };
        if here {
            let [a, b, c] = triangle.vertices().map(|v| v.data().point);
            builder.triangle(a, b, c);
        }
        for edge in triangle.adjacent_edges() {
            let next = edge.rev().face();
            if inside[next.index()].is_none() {
                inside[next.index()] = Some(here != edge.is_constraint_edge());
                todo.push_back(next);
            }
        }
    }
    Ok(())
}

/// The face's border points in its plane, seen from outside, and the border lines between them.
fn lay(face: &Face, normal: Vector3, divided: &Divided, builder: &Builder) -> (Vec<Laid>, Vec<[usize; 2]>) {
    let (right, up) = axes(normal);
    let at = |p: &Point3| Point2::new(p.coords.dot(&right), p.coords.dot(&up));
    let mut points = Vec::new();
    let mut constraints = Vec::new();
    for border in &face.borders {
        let first = points.len();
        for &step in border {
            let stops = &divided.edges[step.edge];
            let mut along: Vec<u32> = stops.iter().map(|s| s.point).collect();
            if !step.forward {
                along.reverse();
            }
            along.pop();
            points.extend(along.iter().map(|p| Laid { at: at(&builder.points[*p as usize]), point: *p }));
        }
        let n = points.len() - first;
        constraints.extend((0..n).map(|i| [first + i, first + (i + 1) % n]));
    }
    (points, constraints)
}

/// Two unit directions in the plane: right and up, seen against the normal.
fn axes(normal: Vector3) -> (Vector3, Vector3) {
    if normal.z.abs() > 0.5 {
        (Vector3::x() * normal.z, Vector3::y())
    } else {
        (Vector3::z().cross(&normal), Vector3::z())
    }
}

fn is_convex(points: &[Laid]) -> bool {
    let n = points.len();
    (0..n).all(|i| {
        let (a, b, c) = (points[i].at, points[(i + 1) % n].at, points[(i + 2) % n].at);
        (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x) > 0.0
    })
}
