//! Exact boundary representation: planes, cylinders, tori and spheres bounded by lines and arcs.
//!
//! A [`Solid`] comes from a [`crate::Stack`] by construction ([`build()`]); meshes, STEP files and
//! `truck` solids are three readers of it.

use bobbinwright_elementary::Elementary;

pub(crate) mod bands;
mod build;
mod invariants;
mod join;
mod levels;
mod measure;
mod plan;
mod walls;

pub use build::build;

/// A place in space, mm.
pub type Point3 = nalgebra::Point3<f64>;
/// A displacement in space, mm.
pub type Vector3 = nalgebra::Vector3<f64>;

/// The curve under an edge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    /// The straight line between the edge's ends.
    Line,
    /// An arc of at most half a turn, counter-clockwise about `axis` from start to end.
    Arc {
        /// Centre of the circle.
        center: Point3,
        /// Unit normal of the circle's plane.
        axis: Vector3,
        /// Radius, mm.
        radius: f64,
    },
}

/// An edge between two vertices; exactly two faces share it, once in each direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// Start vertex.
    pub start: usize,
    /// End vertex.
    pub end: usize,
    /// Its shape.
    pub curve: Curve,
}

/// The surface under a face.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Stack, solid::{self, Surface}};
/// # let disc = |radius| Contour::circle(Point::origin(), radius);
/// let mut ring = Stack::default();
/// ring.add((), disc(5.0), 0.0, 2.0);
/// ring.cut((), disc(3.0), 0.0, 2.0);
/// for face in solid::build(&ring)?.faces {
///     match face.surface {
///         // The outer wall is a post's, the inner one a hole's.
///         Surface::Cylinder { radius, convex, .. } => assert_eq!(convex, radius == 5.0),
///         // The underside looks down, the top up.
///         Surface::Plane { origin, normal } => assert_eq!(normal.z, if origin.z > 1.0 { 1.0 } else { -1.0 }),
///         _ => unreachable!("nothing is rounded"),
///     }
/// }
/// # Ok::<(), bobbinwright_kernel::StackError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Surface {
    /// A plane; the normal points out of the material.
    Plane {
        /// A point of the plane.
        origin: Point3,
        /// Unit normal, outwards.
        normal: Vector3,
    },
    /// A circular cylinder.
    Cylinder {
        /// A point on the axis.
        origin: Point3,
        /// Unit direction of the axis.
        axis: Vector3,
        /// Radius, mm.
        radius: f64,
        /// True when the material lies on the axis' side (a post), false for a hole.
        convex: bool,
    },
    /// A torus about the z direction; the material lies inside the tube.
    Torus {
        /// Centre.
        center: Point3,
        /// Distance from the axis to the middle of the tube, mm.
        major: f64,
        /// Radius of the tube, mm.
        minor: f64,
    },
    /// A sphere; the material lies inside.
    Sphere {
        /// Centre.
        center: Point3,
        /// Radius, mm.
        radius: f64,
    },
}

/// A step along a face's border: an edge, and whether it is taken from start to end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// Index of the edge.
    pub edge: usize,
    /// True from start to end.
    pub forward: bool,
}

/// A face: a piece of surface with its borders, counter-clockwise seen from outside.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// The surface.
    pub surface: Surface,
    /// The outer border, then any holes in the face.
    pub borders: Vec<Vec<Step>>,
}

/// One sound solid: a single closed, oriented shell.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Stack, solid};
/// let mut block = Stack::default();
/// block.add((), Contour::rectangle(Point::new(0.0, 0.0), Point::new(4.0, 3.0)), 0.0, 2.0);
/// let solid = solid::build(&block)?;
/// // Eight corners, twelve edges, six faces: Euler's 2.
/// assert_eq!((solid.vertices.len(), solid.edges.len(), solid.faces.len()), (8, 12, 6));
/// // mm³ and mm²: 4 · 3 · 2, and twice 12 + 8 + 6.
/// assert!((solid.volume - 24.0).abs() < 1e-12 && (solid.area - 52.0).abs() < 1e-12);
/// # Ok::<(), bobbinwright_kernel::StackError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    /// Corners, mm.
    pub vertices: Vec<Point3>,
    /// Edges.
    pub edges: Vec<Edge>,
    /// Faces.
    pub faces: Vec<Face>,
    /// Volume of the material, mm³, exact.
    pub volume: f64,
    /// Area of the surface, mm², exact.
    pub area: f64,
    /// Number of through holes (the genus of the surface).
    pub through_holes: usize,
}

impl Solid {
    /// The vertex at which a step begins.
    pub fn step_start(&self, step: Step) -> usize {
        let e = &self.edges[step.edge];
        if step.forward { e.start } else { e.end }
    }

    /// The vertex at which a step ends.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use bobbinwright_kernel::{Stack, solid};
    /// # let mut block = Stack::default();
    /// # block.add((), Contour::circle(Point::origin(), 4.0), 0.0, 2.0);
    /// # let solid = solid::build(&block)?;
    /// // Every border is closed: a step ends where the next one begins.
    /// for border in solid.faces.iter().flat_map(|f| &f.borders) {
    ///     for (i, step) in border.iter().enumerate() {
    ///         let next = border[(i + 1) % border.len()];
    ///         assert_eq!(solid.step_end(*step), solid.step_start(next));
    ///     }
    /// }
    /// # Ok::<(), bobbinwright_kernel::StackError>(())
    /// ```
    pub fn step_end(&self, step: Step) -> usize {
        let e = &self.edges[step.edge];
        if step.forward { e.end } else { e.start }
    }
}

impl Edge {
    /// Turn of an arc, radians in (0, π]; 0 for a line.
    ///
    /// ```
    /// # use bobbinwright_kernel::solid::{Curve, Edge, Point3, Vector3};
    /// # use std::f64::consts::FRAC_PI_2;
    /// let vertices = [Point3::new(2.0, 0.0, 0.0), Point3::new(0.0, 2.0, 0.0)];
    /// // From x to y about an axis that points up: counter-clockwise, a quarter turn.
    /// let curve = Curve::Arc { center: Point3::origin(), axis: Vector3::z(), radius: 2.0 };
    /// let edge = Edge { start: 0, end: 1, curve };
    /// assert!((edge.sweep(&vertices) - FRAC_PI_2).abs() < 1e-12);
    /// assert_eq!(Edge { curve: Curve::Line, ..edge }.sweep(&vertices), 0.0);
    /// ```
    pub fn sweep(&self, vertices: &[Point3]) -> f64 {
        let Curve::Arc { center, axis, .. } = self.curve else { return 0.0 };
        let (u, v) = (vertices[self.start] - center, vertices[self.end] - center);
        let turn = axis.dot(&u.cross(&v)).direction_with(u.dot(&v));
        if turn < 0.0 { turn + std::f64::consts::TAU } else { turn }
    }
}

impl Solid {
    /// The smallest box round the solid: least and largest coordinates. Only level arcs can reach
    /// beyond the vertices of these solids; a rounding stays inside the outline it starts from.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use bobbinwright_kernel::{Stack, solid::{self, Point3}};
    /// let mut disc = Stack::default();
    /// disc.add((), Contour::circle(Point::new(10.0, 0.0), 5.0), 1.0, 3.0);
    /// // A circle has two vertices, on the level through its centre; its box reaches beyond them.
    /// let (min, max) = solid::build(&disc)?.bounds();
    /// assert_eq!((min, max), (Point3::new(5.0, -5.0, 1.0), Point3::new(15.0, 5.0, 3.0)));
    /// # Ok::<(), bobbinwright_kernel::StackError>(())
    /// ```
    pub fn bounds(&self) -> (Point3, Point3) {
        let mut min = Point3::new(f64::INFINITY, f64::INFINITY, f64::INFINITY);
        let mut max = -min;
        let mut include = |p: Point3| {
            min = min.inf(&p);
            max = max.sup(&p);
        };
        self.vertices.iter().for_each(|v| include(*v));
        for edge in &self.edges {
            let Curve::Arc { center, axis, .. } = edge.curve else { continue };
            if axis.z == 0.0 {
                continue;
            }
            let flat = |v: usize| crate::plane::Point::new(self.vertices[v].x, self.vertices[v].y);
            let middle = crate::plane::Point::new(center.x, center.y);
            let arc = crate::plane::Segment::arc(flat(edge.start), flat(edge.end), middle, axis.z > 0.0);
            let b = arc.bounds();
            include(Point3::new(b.min.x, b.min.y, center.z));
            include(Point3::new(b.max.x, b.max.y, center.z));
        }
        (min, max)
    }
}

impl Edge {
    /// Points along the edge from start to end: both ends of a line, `steps` + 1 of an arc.
    ///
    /// ```
    /// # use bobbinwright_kernel::solid::{Curve, Edge, Point3, Vector3};
    /// let vertices = [Point3::new(2.0, 0.0, 7.0), Point3::new(-2.0, 0.0, 7.0)];
    /// let curve = Curve::Arc { center: Point3::new(0.0, 0.0, 7.0), axis: Vector3::z(), radius: 2.0 };
    /// let points = Edge { start: 0, end: 1, curve }.polyline(&vertices, 2);
    /// // Half a turn about an axis that points up goes by way of y.
    /// assert!(points.len() == 3 && (points[1] - Point3::new(0.0, 2.0, 7.0)).norm() < 1e-12);
    /// ```
    pub fn polyline(&self, vertices: &[Point3], steps: usize) -> Vec<Point3> {
        let (start, end) = (vertices[self.start], vertices[self.end]);
        let Curve::Arc { center, axis, .. } = self.curve else { return vec![start, end] };
        let sweep = self.sweep(vertices);
        let turned = |i: usize| {
            let (s, c) = (sweep * i as f64 / steps as f64).sine_cosine();
            let u = start - center;
            center + u * c + axis.cross(&u) * s
        };
        (0..=steps).map(turned).collect()
    }
}
