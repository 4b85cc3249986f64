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
    pub fn step_end(&self, step: Step) -> usize {
        let e = &self.edges[step.edge];
        if step.forward { e.end } else { e.start }
    }
}

impl Edge {
    /// Turn of an arc, radians in (0, π]; 0 for a line.
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
