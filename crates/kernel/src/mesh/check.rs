//! What must hold for every mesh.

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
    ///
    /// The first defect found is the error.
    ///
    /// ```
    /// # use bobbinwright_kernel::mesh::{Mesh, MeshDefect};
    /// # use bobbinwright_kernel::solid::Point3;
    /// let points = [[0., 0., 0.], [1., 0., 0.], [0., 1., 0.], [0., 0., 1.]].map(Point3::from).to_vec();
    /// let mut mesh = Mesh { points, triangles: vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]], faces: vec![0; 4] };
    /// assert_eq!(mesh.check(), Ok(()));
    /// // One triangle seen from inside: its sides run the way its neighbours' do.
    /// mesh.triangles[0].reverse();
    /// assert_eq!(mesh.check(), Err(MeshDefect::Open(0, 1)));
    /// ```
    pub fn check(&self) -> Result<(), MeshDefect> {
        if let Some((a, b)) = self.open_edge() {
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

    /// The first edge, from its lower point to its higher one, that is not used once in each direction. Sides are
    /// sorted by their lower point by counting, and what each point has is then few enough to sort: sorting all
    /// at once makes meshing take a quarter longer.
    fn open_edge(&self) -> Option<(u32, u32)> {
        let sides = || self.triangles.iter().flat_map(|&[a, b, c]| [(a, b), (b, c), (c, a)]);
        let mut first = vec![0; self.points.len() + 1];
        for (a, b) in sides() {
            first[a.min(b) as usize + 1] += 1;
        }
        for i in 1..first.len() {
            first[i] += first[i - 1];
        }
        // The higher point, and which way the side runs.
        let mut others = vec![(0, false); self.triangles.len() * 3];
        let mut next = first.clone();
        for (a, b) in sides() {
            let low = a.min(b) as usize;
            others[next[low]] = (a.max(b), a < b);
            next[low] += 1;
        }
        (0..self.points.len()).find_map(|low| {
            let here = &mut others[first[low]..first[low + 1]];
            here.sort_unstable();
            let mut edges = here.chunk_by(|p, q| p.0 == q.0);
            let open = edges.find(|uses| uses.len() != 2 || uses[0].1 == uses[1].1)?;
            Some((low as u32, open[0].0))
        })
    }

    /// Enclosed volume, mm³ (sum of tetrahedra with the origin).
    ///
    /// Positive where the triangles run counter-clockwise seen from outside.
    ///
    /// ```
    /// # use bobbinwright_kernel::mesh::Mesh;
    /// # use bobbinwright_kernel::solid::Point3;
    /// let points = [[0., 0., 0.], [3., 0., 0.], [0., 3., 0.], [0., 0., 2.]].map(Point3::from).to_vec();
    /// let mut mesh = Mesh { points, triangles: vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]], faces: vec![0; 4] };
    /// // A third of its base, 4.5 mm², times its height.
    /// assert_eq!(mesh.volume(), 3.0);
    /// mesh.triangles.iter_mut().for_each(|t| t.reverse());
    /// assert_eq!(mesh.volume(), -3.0);
    /// ```
    pub fn volume(&self) -> f64 {
        let six = |t: &[u32; 3]| {
            let [a, b, c] = t.map(|i| self.points[i as usize].coords);
            a.dot(&b.cross(&c))
        };
        self.triangles.iter().map(six).sum::<f64>() / 6.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solid::Point3;

    /// A tetrahedron over the unit triangle, its peak `high` above it.
    fn tetrahedron(high: f64) -> Mesh {
        let corners = [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, high]];
        let triangles = vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]];
        Mesh { points: corners.map(Point3::from).to_vec(), triangles, faces: vec![0; 4] }
    }

    #[test]
    fn a_closed_body_is_sound() {
        assert_eq!(tetrahedron(1.0).check(), Ok(()));
    }

    #[test]
    fn a_hole_and_a_triangle_turned_round_are_found() {
        let mut holed = tetrahedron(1.0);
        holed.triangles.pop();
        assert_eq!(holed.check(), Err(MeshDefect::Open(0, 2)));
        let mut turned = tetrahedron(1.0);
        turned.triangles[2].reverse();
        assert_eq!(turned.check(), Err(MeshDefect::Open(1, 2)));
    }

    /// Each direction is used as often as the other, and still nobody can say which triangles are neighbours.
    #[test]
    fn two_bodies_that_meet_in_an_edge_are_refused() {
        let mut two = tetrahedron(1.0);
        two.points.extend([[-1.0, 0.0, 0.0], [0.0, -1.0, 0.0]].map(Point3::from));
        two.triangles.extend([[0, 5, 4], [0, 4, 3], [4, 5, 3], [5, 0, 3]]);
        assert_eq!(two.check(), Err(MeshDefect::Open(0, 3)));
    }

    #[test]
    fn a_triangle_without_area_is_found() {
        assert_eq!(tetrahedron(0.0).check(), Err(MeshDefect::Flat(1)));
    }
}
