//! Binary STL files, millimetres.

use bobbinwright_kernel::mesh::Mesh;
use stl_io::{Triangle, Vector};

/// Chord tolerance of the STL files, mm: a tenth of what a good printer resolves.
pub const CHORD: f64 = 0.01;

/// The mesh as a binary STL file: 84 bytes and 50 for each triangle, points as 32-bit floats.
pub fn write(mesh: &Mesh) -> std::io::Result<Vec<u8>> {
    let triangles = mesh.triangles.iter().map(|t| {
        let [a, b, c] = t.map(|i| mesh.points[i as usize]);
        let normal = (b - a).cross(&(c - a)).normalize();
        let single = |v: [f64; 3]| Vector::new(v.map(|x| x as f32));
        Triangle {
            normal: single(normal.into()),
            vertices: [single(a.into()), single(b.into()), single(c.into())],
        }
    });
    let mut bytes = Vec::with_capacity(84 + 50 * mesh.triangles.len());
    stl_io::write_stl(&mut bytes, triangles)?;
    Ok(bytes)
}
