//! Everything of a family as triangles and edges, for a viewer: one block of bytes.
//!
//! `bwm1`, the length of a JSON head in bytes (u32), the head padded to a multiple of four, then numbers of four bytes
//! each, all little-endian. The head lists the things; where it says `{"at": a, "count": n}` it means n numbers from the
//! a-th on. Points, normals and edges are f32, mm; triangles and their faces u32. Carriers are the exact surfaces
//! under the faces, so that distances can be worked out from them and not from triangles.

use bobbinwright_elementary::Elementary;
use bobbinwright_geometry::parts::{PositionParts, ear_recesses, rout_body};
use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::mesh::{Mesh, MeshError, mesh};
use bobbinwright_kernel::plane::Contour;
use bobbinwright_kernel::solid::{Edge, Point3, Solid, Surface, Vector3, build};
use bobbinwright_kernel::{StackError, threads};
use bobbinwright_spec::{Estimate, PartKind, Position};
use rustc_hash::FxHashMap;
use serde_json::{Value, json};

use bobbinwright_core::Prepared;

use crate::stand::{Lies, Stand, face};

/// Why it can't be made.
#[derive(Debug, thiserror::Error)]
pub enum SceneError {
    /// A solid could not be meshed.
    #[error(transparent)]
    Mesh(#[from] MeshError),
    /// What surrounds the parts could not be built.
    #[error(transparent)]
    Around(#[from] StackError),
}

/// How far the parts go apart for each step of `pull`, mm.
const APART: f64 = 14.0;

/// An arc's edge is drawn in so many pieces.
const STEPS: usize = 24;

/// Two faces that meet at less than this angle are one to the eye: their edge is not drawn.
const SMOOTH: f64 = 0.999;

/// All parts of a family, with rods, strings and routs, as they stand; no triangle further than `chord` mm from its surface.
/// Cover and baseplate lie where they lie best in the rout.
pub fn scene(prepared: &Prepared, stands: &[Stand], chord: f64) -> Result<Vec<u8>, SceneError> {
    let mut out = Scene { chord, ..Scene::default() };
    let all = prepared.family.positions.iter().zip(&prepared.positions);
    for ((position, built), stand) in all.zip(stands) {
        out.position(prepared, stand, position, built)?;
    }
    Ok(out.bytes())
}

/// A thing's name, place and looks.
struct About<'a> {
    id: String,
    name: String,
    group: &'a str,
    kind: &'static str,
    ink: &'static str,
    place: [f64; 3],
    pull: f64,
    lies: Lies,
}

#[derive(Default)]
struct Scene {
    chord: f64,
    things: Vec<Value>,
    blob: Vec<u8>,
}

impl Scene {
    fn position(
        &mut self,
        prepared: &Prepared,
        stand: &Stand,
        position: &Position,
        built: &PositionParts,
    ) -> Result<(), SceneError> {
        let name = position.name.as_str();
        let [x, y, lift] = stand.at;
        let lies = |part| Lies::of(prepared, name, part);
        let parts: Vec<_> = built.parts.iter().collect();
        let chord = self.chord;
        let meshes = threads::map(&parts, |part| mesh(&part.solid, chord));
        for (part, mesh) in parts.into_iter().zip(meshes) {
            let about = About {
                id: Prepared::part_id(name, part),
                name: format!("{name} {}", part.kind.name()),
                group: name,
                kind: "part",
                ink: part.kind.name(),
                place: [x, y, lift + part.place.as_mm()],
                pull: pull(part.kind),
                lies: lies(part.kind),
            };
            self.solid(&about, &part.solid, &mesh?, true);
        }
        let thing = |what: &str, kind, pull, z| About {
            id: format!("{name}-{what}"),
            name: format!("{name} {what}"),
            group: name,
            kind,
            ink: kind,
            place: [x, y, lift + z],
            pull,
            lies: Lies::default(),
        };
        let hardware = &prepared.family.hardware;
        let radius = hardware.rod_diameter.value().as_mm() / 2.0;
        let rods = prisms(
            built.layout.poles.iter().map(|pole| Contour::circle(*pole, radius)),
            hardware.rod_length.value().as_mm(),
        );
        let floor = built.layout.wanted.baseplate.thickness.as_mm();
        for (n, rod) in (1..).zip(rods?) {
            let thing = thing(&format!("rod {n}"), "rods", pull(PartKind::FlatworkBottom), floor);
            let about = About { lies: lies(PartKind::FlatworkBottom), ..thing };
            self.solid(&about, &rod, &mesh(&rod, self.chord)?, false);
        }
        let face = face(position);
        let rout = rout(position)?;
        let mut around = mesh(&rout, self.chord)?;
        open_on_top(&rout, &mut around);
        self.solid(&About { kind: "ghost", ..thing("rout", "rout", 0.0, face) }, &rout, &around, false);
        self.strings(&thing("strings", "strings", 0.0, face), position, stand);
        Ok(())
    }

    fn solid(&mut self, about: &About, solid: &Solid, mesh: &Mesh, edges: bool) {
        let (mut points, mut normals, mut known) = (Vec::new(), Vec::new(), FxHashMap::default());
        let mut corner = |face: u32, point: u32| {
            *known.entry((face, point)).or_insert_with(|| {
                let at = mesh.points[point as usize];
                points.push(about.lies.point(at));
                normals.push(about.lies.way(normal(&solid.faces[face as usize].surface, at)));
                points.len() as u32 - 1
            })
        };
        let triangles: Vec<u32> = mesh
            .triangles
            .iter()
            .zip(&mesh.faces)
            .flat_map(|(corners, face)| corners.map(|c| (c, *face)))
            .map(|(c, face)| corner(face, c))
            .collect();
        let mut lines = if edges { edge_lines(solid) } else { Vec::new() };
        for p in &mut lines {
            *p = about.lies.point(*p);
        }
        let carriers: Vec<Value> = solid.faces.iter().map(|f| carrier(&f.surface, &about.lies)).collect();
        self.thing(
            about,
            &Drawn {
                points,
                normals: &normals,
                triangles: &triangles,
                faces: &mesh.faces,
                lines: &lines,
                carriers,
            },
        );
    }

    /// Strings over a position.
    fn strings(&mut self, about: &About, position: &Position, stand: &Stand) {
        const SIDES: u32 = 12;
        let (mut points, mut normals, mut triangles) = (Vec::new(), Vec::new(), Vec::new());
        for (n, string) in position.strings.iter().enumerate() {
            let [run, rise] = stand.way(position, n);
            let radius = string.gauge.value().as_mm() / 2.0;
            let x = position.handed.x(string.place.value());
            let z = string.height.value().as_mm() + radius;
            let first = points.len() as u32;
            for i in 0..SIDES {
                let (s, c) = (f64::from(i) / f64::from(SIDES) * std::f64::consts::TAU).sine_cosine();
                for y in stand.strings {
                    points.push(Point3::new(x + run * y + radius * c, y, z + rise * y + radius * s));
                    normals.push(Vector3::new(c, 0.0, s));
                }
                let (a, b) = (first + 2 * i, first + 2 * ((i + 1) % SIDES));
                triangles.extend([a, a + 1, b, b, a + 1, b + 1]);
            }
        }
        let faces = vec![0; triangles.len() / 3];
        let carriers = vec![json!({ "kind": "rounded" })];
        self.thing(
            about,
            &Drawn { points, normals: &normals, triangles: &triangles, faces: &faces, lines: &[], carriers },
        );
    }

    fn thing(&mut self, about: &About, drawn: &Drawn) {
        let points = self.vectors(drawn.points.iter().map(|p| p.coords));
        let normals = self.vectors(drawn.normals.iter().copied());
        let triangles = self.numbers(drawn.triangles);
        let faces = self.numbers(drawn.faces);
        let edges = self.vectors(drawn.lines.iter().map(|p| p.coords));
        self.things.push(json!({
            "id": about.id, "name": about.name, "group": about.group, "kind": about.kind, "ink": about.ink,
            "place": about.place, "pull": about.pull, "points": points, "normals": normals,
            "triangles": triangles, "faces": faces, "carriers": drawn.carriers, "edges": edges,
        }));
    }

    fn vectors(&mut self, all: impl Iterator<Item = Vector3>) -> Value {
        let at = self.blob.len() / 4;
        self.blob.extend(all.flat_map(|v| [v.x, v.y, v.z]).flat_map(|n| (n as f32).to_le_bytes()));
        json!({ "at": at, "count": self.blob.len() / 4 - at })
    }

    fn numbers(&mut self, all: &[u32]) -> Value {
        let at = self.blob.len() / 4;
        self.blob.extend(all.iter().flat_map(|n| n.to_le_bytes()));
        json!({ "at": at, "count": all.len() })
    }

    fn bytes(self) -> Vec<u8> {
        let mut head = json!({ "things": self.things, "apart": APART }).to_string();
        while !head.len().is_multiple_of(4) {
            head.push(' ');
        }
        let mut out = b"bwm1".to_vec();
        out.extend((head.len() as u32).to_le_bytes());
        out.extend(head.into_bytes());
        out.extend(self.blob);
        out
    }
}

/// What is drawn of a thing.
struct Drawn<'a> {
    points: Vec<Point3>,
    normals: &'a [Vector3],
    triangles: &'a [u32],
    faces: &'a [u32],
    lines: &'a [Point3],
    carriers: Vec<Value>,
}

/// How many steps a part is lifted when all are pulled apart.
fn pull(kind: PartKind) -> f64 {
    match kind {
        PartKind::Baseplate => 0.0,
        PartKind::FlatworkBottom => 1.0,
        PartKind::FlatworkTop => 2.0,
        PartKind::Cover => 3.5,
    }
}

/// The room that the rout is, its top in the body's face at z = 0.
fn rout(position: &Position) -> Result<Solid, StackError> {
    let mm = |e: &Estimate| e.value().as_mm();
    let rout = &position.rout;
    let mut stack = Stack::default();
    stack.add(Role::Outline, rout_body(rout, position.handed), -mm(&rout.depth), 0.0);
    if let Some(ear) = &rout.ears {
        for tab in ear_recesses(rout, position.handed) {
            stack.add(Role::Ears, tab, -mm(&ear.depth), 0.0);
        }
    }
    build(&stack)
}

fn prisms(outlines: impl Iterator<Item = Contour>, height: f64) -> Result<Vec<Solid>, StackError> {
    let of = |outline| {
        let mut stack = Stack::default();
        stack.add(Role::Outline, outline, 0.0, height);
        build(&stack)
    };
    outlines.map(of).collect()
}

/// A rout has no lid.
fn open_on_top(rout: &Solid, mesh: &mut Mesh) {
    let is_lid = |face: u32| matches!(rout.faces[face as usize].surface, Surface::Plane { normal, .. } if normal.z > 0.5);
    let kept: Vec<usize> = (0..mesh.faces.len()).filter(|i| !is_lid(mesh.faces[*i])).collect();
    mesh.triangles = kept.iter().map(|i| mesh.triangles[*i]).collect();
    mesh.faces = kept.iter().map(|i| mesh.faces[*i]).collect();
}

/// Outwards, at a point of the surface.
fn normal(surface: &Surface, at: Point3) -> Vector3 {
    let unit = |v: Vector3| v.try_normalize(1e-9).unwrap_or(Vector3::z());
    match *surface {
        Surface::Plane { normal, .. } => normal,
        Surface::Cylinder { origin, axis, convex, .. } => {
            let from = at - origin;
            let out = unit(from - axis * from.dot(&axis));
            if convex { out } else { -out }
        }
        Surface::Torus { center, major, .. } => {
            let flat = Vector3::new(at.x - center.x, at.y - center.y, 0.0);
            unit(at - (center + unit(flat) * major))
        }
        Surface::Sphere { center, .. } => unit(at - center),
    }
}

fn carrier(surface: &Surface, lies: &Lies) -> Value {
    let list = |v: Vector3| json!([v.x, v.y, v.z]);
    match *surface {
        Surface::Plane { origin, normal } => {
            json!({ "kind": "plane", "at": list(lies.point(origin).coords), "normal": list(lies.way(normal)) })
        }
        Surface::Cylinder { origin, axis, radius, convex } => json!({
            "kind": "cylinder", "at": list(lies.point(origin).coords), "axis": list(lies.way(axis)), "radius": radius, "hollow": !convex,
        }),
        Surface::Torus { .. } | Surface::Sphere { .. } => json!({ "kind": "rounded" }),
    }
}

/// The edges that the eye sees, as pairs of points.
fn edge_lines(solid: &Solid) -> Vec<Point3> {
    let mut beside: Vec<Vec<&Surface>> = vec![Vec::new(); solid.edges.len()];
    for face in &solid.faces {
        for step in face.borders.iter().flatten() {
            beside[step.edge].push(&face.surface);
        }
    }
    let is_seen = |(edge, faces): &(&Edge, Vec<&Surface>)| {
        let middle = edge.polyline(&solid.vertices, 2);
        let middle = match middle[..] {
            [a, b] => a + (b - a) / 2.0,
            _ => middle[1],
        };
        let [a, b] = faces[..] else { return true };
        normal(a, middle).dot(&normal(b, middle)) < SMOOTH
    };
    let seen = solid.edges.iter().zip(beside).filter(is_seen);
    seen.flat_map(|(edge, _)| {
        let line = edge.polyline(&solid.vertices, STEPS);
        line.windows(2).flat_map(|pair| [pair[0], pair[1]]).collect::<Vec<_>>()
    })
    .collect()
}
