//! What several test files share: roles of their own, and distances from points to surfaces.

#![allow(dead_code, reason = "each test file uses its share")]

use bobbinwright_kernel::mesh::Mesh;
use bobbinwright_kernel::solid::{Point3, Solid, Surface};

/// What features are for, as somebody might call it who makes boxes with lids.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    Outline,
    Ears,
    Hollow,
    Boss,
    Hole,
    Seat,
    Mark,
    Notch,
    Rim,
}

pub type Stack = bobbinwright_kernel::Stack<Role>;

/// Distance of a point from the (unbounded) surface under a face, mm.
pub fn distance_to_surface(surface: Surface, p: Point3) -> f64 {
    match surface {
        Surface::Plane { origin, normal } => (p - origin).dot(&normal).abs(),
        Surface::Cylinder { origin, axis, radius, .. } => {
            let v = p - origin;
            ((v - axis * v.dot(&axis)).norm() - radius).abs()
        }
        Surface::Torus { center, major, minor } => {
            let v = p - center;
            // The nearer of the two circles in which a half plane cuts the tube's middle.
            let rho = v.xy().norm();
            let to = |side: f64| ((rho - side * major).hypot(v.z) - minor).abs();
            to(1.0).min(to(-1.0))
        }
        Surface::Sphere { center, radius } => ((p - center).norm() - radius).abs(),
    }
}

/// The largest distance of any sampled point of a mesh from its surface, by kind of surface:
/// plane, cylinder, torus, sphere. 45 points a triangle.
pub fn chord_errors(solid: &Solid, mesh: &Mesh) -> [f64; 4] {
    let mut worst = [0.0f64; 4];
    for (triangle, face) in mesh.triangles.iter().zip(&mesh.faces) {
        let surface = solid.faces[*face as usize].surface;
        let kind = match surface {
            Surface::Plane { .. } => 0,
            Surface::Cylinder { .. } => 1,
            Surface::Torus { .. } => 2,
            Surface::Sphere { .. } => 3,
        };
        let [a, b, c] = triangle.map(|i| mesh.points[i as usize]);
        for i in 0..=8 {
            for j in 0..=8 - i {
                let (u, v) = (f64::from(i) / 8.0, f64::from(j) / 8.0);
                let p = a + (b - a) * u + (c - a) * v;
                worst[kind] = worst[kind].max(distance_to_surface(surface, p));
            }
        }
    }
    worst
}
