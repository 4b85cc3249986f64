//! Triangles at a stated chord tolerance.
//!
//! Every edge of the solid is divided once, and the faces on both its sides use the same points:
//! nothing has to be welded, and there are no T-junctions. All arcs about one vertical axis are
//! divided at the same angles, so walls and bands are strips; only flat faces need a
//! triangulation.
//!
//! **Chord tolerance**: no point of a triangle lies further than this from the surface that it
//! stands for. A smaller tolerance costs triangles as its inverse square root (arcs) or inverse
//! (bands, which bend both ways).

mod check;
mod ears;
mod edges;
mod flat;
mod strips;

pub use check::MeshDefect;

use crate::solid::{Point3, Solid, Surface};

/// A closed triangle mesh with shared points.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Stack, mesh, solid};
/// let mut block = Stack::default();
/// block.add((), Contour::rectangle(Point::new(0.0, 0.0), Point::new(4.0, 3.0)), 0.0, 2.0);
/// let mesh = mesh::mesh(&solid::build(&block)?, 0.1)?;
/// // What is flat needs no fine mesh: two triangles a face, and the volume is exact.
/// assert_eq!((mesh.points.len(), mesh.triangles.len()), (8, 12));
/// assert!((mesh.volume() - 24.0).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh {
    /// Corners, mm.
    pub points: Vec<Point3>,
    /// Corner indices, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// For each triangle, the face of the solid it belongs to.
    pub faces: Vec<u32>,
}

/// Why a solid could not be meshed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MeshError {
    /// The tolerance is not a positive length.
    #[error("a chord tolerance of {0} mm is not a positive length")]
    Tolerance(f64),
    /// A web of a flat face is so thin that chords of its two sides cross at every tolerance tried.
    #[error("a web of face {face} is thinner than its sides can be drawn")]
    Web {
        /// Index of the face.
        face: usize,
    },
    /// A flat face could not be triangulated.
    #[error("face {face} could not be triangulated: {why}")]
    Flat {
        /// Index of the face.
        face: usize,
        /// What the triangulation said.
        why: String,
    },
    /// The mesh fails its own check: a defect of this program.
    #[error("the mesh is unsound: {0}")]
    Unsound(MeshDefect),
}

/// Collects points and triangles.
struct Builder {
    points: Vec<Point3>,
    triangles: Vec<[u32; 3]>,
    faces: Vec<u32>,
    face: u32,
    /// Level faces triangulated so far.
    twins: Vec<std::rc::Rc<flat::Twin>>,
}

impl Builder {
    fn triangle(&mut self, a: u32, b: u32, c: u32) {
        self.triangles.push([a, b, c]);
        self.faces.push(self.face);
    }

    fn point(&mut self, p: Point3) -> u32 {
        self.points.push(p);
        self.points.len() as u32 - 1
    }
}

/// Meshes a solid so that no triangle is further than `chord` mm from its surface.
///
/// A part with a web thinner than `chord` is meshed finer, so that chords of the web's two sides do
/// not cross. The mesh is checked: closed, consistently oriented, no triangle without area. An error is a tolerance
/// that is no length, a web too thin at a thousandth of it, or a defect of this program.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Stack, mesh::{self, MeshError}, solid};
/// let mut disc = Stack::default();
/// disc.add((), Contour::circle(Point::origin(), 10.0), 0.0, 1.0);
/// let solid = solid::build(&disc)?;
/// // Chords lie inside a circle, here nowhere more than 0.1 mm: between the discs of 9.9 and of 10 mm.
/// let volume = mesh::mesh(&solid, 0.1)?.volume();
/// assert!(volume < solid.volume && volume > solid.volume * 0.99 * 0.99);
/// assert_eq!(mesh::mesh(&solid, 0.0), Err(MeshError::Tolerance(0.0)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn mesh(solid: &Solid, chord: f64) -> Result<Mesh, MeshError> {
    if !(chord.is_finite() && chord > 0.0) {
        return Err(MeshError::Tolerance(chord));
    }
    let mut finer = chord;
    loop {
        match mesh_at(solid, finer) {
            Err(MeshError::Web { .. }) if finer > chord * FINEST => finer /= 2.0,
            done => return done,
        }
    }
}

/// How much finer than asked a part with a thin web is meshed at most: an arc then has 32 times as
/// many points.
const FINEST: f64 = 1.0 / 1024.0;

/// Meshes at exactly this tolerance.
fn mesh_at(solid: &Solid, chord: f64) -> Result<Mesh, MeshError> {
    let mut builder =
        Builder { points: Vec::new(), triangles: Vec::new(), faces: Vec::new(), face: 0, twins: Vec::new() };
    let divided = edges::divide(solid, chord, &mut builder);
    for (i, face) in solid.faces.iter().enumerate() {
        builder.face = i as u32;
        match face.surface {
            Surface::Plane { normal, .. } => {
                flat::fill(face, normal, &divided, &mut builder).map_err(|defect| match defect {
                    flat::Unfilled::Crossed => MeshError::Web { face: i },
                    flat::Unfilled::Refused(why) => MeshError::Flat { face: i, why },
                })?;
            }
            Surface::Cylinder { axis, convex, .. } if axis.z != 0.0 => {
                strips::wall(solid, face, convex, &divided, &mut builder);
            }
            Surface::Cylinder { .. } | Surface::Torus { .. } | Surface::Sphere { .. } => {
                strips::band(solid, face, &divided, &mut builder);
            }
        }
    }
    let mesh = Mesh { points: builder.points, triangles: builder.triangles, faces: builder.faces };
    mesh.check().map_err(MeshError::Unsound)?;
    Ok(mesh)
}
