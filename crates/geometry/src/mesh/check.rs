//! What must hold for every mesh.

use rustc_hash::FxHashMap;
use std::fmt;

use super::Mesh;

/// What is wrong with a mesh.
#[derive(Clone, Debug, PartialEq)]
pub enum MeshDefect {
    /// An edge is not used once in each direction.
    Open(u32, u32),
    /// A triangle has no area to speak of.
    Flat(usize),
}

impl fmt::Display for MeshDefect {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            MeshDefect::Open(a, b) => {
                write!(f, "the edge from point {a} to {b} is not shared by two triangles")
            }
            MeshDefect::Flat(t) => write!(f, "triangle {t} has no area"),
        }
    }
}

impl Mesh {
    /// Twice the area of a triangle that counts as degenerate, mm²: what the float32 numbers of
    /// an STL file can still tell apart at 100 mm (spacing 8e-6 mm), squared.
    const NO_AREA: f64 = 1e-10;

    /// Closed (each edge once in each direction) and without degenerate triangles.
    pub fn check(&self) -> Result<(), MeshDefect> {
        let mut open: FxHashMap<(u32, u32), i32> =
            FxHashMap::with_capacity_and_hasher(self.triangles.len() * 2, rustc_hash::FxBuildHasher);
        for t in &self.triangles {
            for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
                if a < b {
                    *open.entry((a, b)).or_insert(0) += 1;
                } else {
                    *open.entry((b, a)).or_insert(0) -= 1;
                }
            }
        }
        // The smallest offender, so that the message does not depend on hash order.
        if let Some((a, b)) = open.iter().filter(|(_, n)| **n != 0).map(|(e, _)| *e).min() {
            return Err(MeshDefect::Open(a, b));
        }
        let flat = |t: &[u32; 3]| {
            let [a, b, c] = t.map(|i| self.points[i as usize]);
            (b - a).cross(&(c - a)).norm() < Self::NO_AREA
        };
        match self.triangles.iter().position(flat) {
            Some(t) => Err(MeshDefect::Flat(t)),
            None => Ok(()),
        }
    }

    /// Enclosed volume, mm³ (sum of tetrahedra with the origin).
    pub fn volume(&self) -> f64 {
        let six = |t: &[u32; 3]| {
            let [a, b, c] = t.map(|i| self.points[i as usize].coords);
            a.dot(&b.cross(&c))
        };
        self.triangles.iter().map(six).sum::<f64>() / 6.0
    }
}
