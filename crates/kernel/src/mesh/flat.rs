//! Flat faces: a constrained Delaunay triangulation of their borders.

use std::collections::VecDeque;
use std::rc::Rc;

use rustc_hash::FxHashMap;
use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};

use super::Builder;
use super::ears::lift;
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

/// Why a flat face has no triangles.
pub(super) enum Unfilled {
    /// Two border chords cross: a web is thinner than the chord tolerance.
    Crossed,
    /// The triangulation refuses the points, and says why.
    Refused(String),
}

/// Triangulates a flat face.
pub(super) fn fill(
    face: &Face,
    normal: Vector3,
    divided: &Divided,
    builder: &mut Builder,
) -> Result<(), Unfilled> {
    let (points, constraints) = lay(face, normal, divided, builder);
    if let [a, b, c, d] = points[..]
        && is_convex(&points)
    {
        builder.triangle(a.point, b.point, c.point);
        builder.triangle(a.point, c.point, d.point);
        return Ok(());
    }
    let first = builder.triangles.len();
    if normal.z == 0.0 {
        triangulate(points, constraints, builder)?;
        lift(&mut builder.triangles[first..], &builder.points, normal);
        return Ok(());
    }
    let key = Key::of(&points, &constraints, builder);
    let up = normal.z > 0.0;
    if let Some(twin) = builder.twins.iter().find(|t| t.key.is_twin_of(&key)).cloned() {
        for [a, b, c] in &twin.triangles {
            let [a, b, c] = [a, b, c].map(|i| key.order[*i as usize]);
            if up == twin.up { builder.triangle(a, b, c) } else { builder.triangle(a, c, b) }
        }
        return Ok(());
    }
    triangulate(points, constraints, builder)?;
    lift(&mut builder.triangles[first..], &builder.points, normal);
    let place: FxHashMap<u32, u32> = key.order.iter().zip(0..).map(|(point, i)| (*point, i)).collect();
    let triangles = builder.triangles[first..].iter().map(|t| t.map(|p| place[&p])).collect();
    builder.twins.push(Rc::new(Twin { key, up, triangles }));
    Ok(())
}

/// A triangulated level face, kept because the face on a plate's other side is usually the same:
/// the same places in plan, joined by the same lines.
pub(super) struct Twin {
    key: Key,
    up: bool,
    /// Corners as numbers in the key's order.
    triangles: Vec<[u32; 3]>,
}

/// What makes two level faces the same in plan.
struct Key {
    /// Exact places in plan, sorted.
    places: Vec<[u64; 2]>,
    /// Border lines between them, sorted.
    lines: Vec<[u32; 2]>,
    /// The mesh's points in the order of `places`.
    order: Vec<u32>,
}

impl Key {
    fn of(points: &[Laid], constraints: &[[usize; 2]], builder: &Builder) -> Self {
        let place = |p: &Laid| {
            let at = builder.points[p.point as usize];
            [at.x.to_bits(), at.y.to_bits()]
        };
        let mut order: Vec<usize> = (0..points.len()).collect();
        order.sort_by_key(|i| place(&points[*i]));
        let mut rank = vec![0u32; points.len()];
        for (r, i) in order.iter().enumerate() {
            rank[*i] = r as u32;
        }
        let line = |c: &[usize; 2]| {
            let [a, b] = c.map(|i| rank[i]);
            [a.min(b), a.max(b)]
        };
        let mut lines: Vec<[u32; 2]> = constraints.iter().map(line).collect();
        lines.sort_unstable();
        Self {
            places: order.iter().map(|i| place(&points[*i])).collect(),
            lines,
            order: order.iter().map(|i| points[*i].point).collect(),
        }
    }

    /// Same places in plan and same lines.
    fn is_twin_of(&self, other: &Self) -> bool {
        self.places == other.places && self.lines == other.lines
    }
}

/// Triangles of the area between the borders.
fn triangulate(
    points: Vec<Laid>,
    constraints: Vec<[usize; 2]>,
    builder: &mut Builder,
) -> Result<(), Unfilled> {
    let count = points.len();
    let mut crossed = false;
    let cdt =
        ConstrainedDelaunayTriangulation::<Laid>::try_bulk_load_cdt(points, constraints, |_| crossed = true)
            .map_err(|e| Unfilled::Refused(e.to_string()))?;
    if crossed {
        return Err(Unfilled::Crossed);
    }
    if cdt.num_vertices() != count {
        let lost = count - cdt.num_vertices();
        return Err(Unfilled::Refused(format!("{lost} of {count} border points coincide")));
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
            points.extend(along.iter().enumerate().map(|(i, p)| {
                let exact = at(&builder.points[*p as usize]);
                // The first point is a vertex of the solid, the others divide an arc.
                Laid { at: if i == 0 { exact } else { unsettled(exact, *p) }, point: *p }
            }));
        }
        let n = points.len() - first;
        constraints.extend((0..n).map(|i| [first + i, first + (i + 1) % n]));
    }
    (points, constraints)
}

/// Points that divide an arc lie on one circle, where no triangle is more Delaunay than another and
/// deciding it takes exact arithmetic every time. Moved by a nanometre, for the triangulation only,
/// they decide easily; a third of the time for a whole family was spent there. Vertices stay: those
/// on a straight line must not make a triangle of no area.
fn unsettled(p: Point2<f64>, point: u32) -> Point2<f64> {
    const MOVE: f64 = 1e-6;
    // A fixed hash of the point's number (Fibonacci hashing), two values in -0.5 to 0.5.
    let hash = point.wrapping_mul(0x9E37_79B9);
    let part = |shift: u32| f64::from((hash >> shift) & 0xFFFF) / 65_536.0 - 0.5;
    Point2::new(p.x + MOVE * part(0), p.y + MOVE * part(16))
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
