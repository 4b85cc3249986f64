//! Parts turned as they lie on the bed.

use bobbinwright_geometry::mesh::Mesh;
use bobbinwright_geometry::parts::Lie;
use bobbinwright_geometry::solid::{Point3, Vector3};
use bobbinwright_spec::BedSide;
use nalgebra::Matrix3;

/// The rotation from a part's own frame to the bed's: x along the bed's length, z up.
pub fn rotation(lie: Lie) -> Matrix3<f64> {
    let rows = match lie.side {
        BedSide::Underside => [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
        BedSide::Top => [[1, 0, 0], [0, -1, 0], [0, 0, -1]],
        BedSide::Bass => [[0, 0, -1], [0, 1, 0], [1, 0, 0]],
        BedSide::Treble => [[0, 0, 1], [0, 1, 0], [-1, 0, 0]],
        BedSide::Bridge => [[1, 0, 0], [0, 0, -1], [0, 1, 0]],
        BedSide::Neck => [[1, 0, 0], [0, 0, 1], [0, -1, 0]],
    };
    let laid = Matrix3::from_fn(|i, j| f64::from(rows[i][j]));
    let quarter = Matrix3::new(0.0, -1.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 1.0);
    if lie.turned { quarter * laid } else { laid }
}

/// A part's mesh as it lies, and the shift that brought its box' least corner to the origin after the
/// rotation, mm.
pub fn posed(mesh: &Mesh, lie: Lie) -> (Mesh, Vector3) {
    let turn = rotation(lie);
    let points: Vec<Point3> = mesh.points.iter().map(|p| turn * p).collect();
    let least = points.iter().fold(Point3::new(f64::INFINITY, f64::INFINITY, f64::INFINITY), |a, b| a.inf(b));
    let shift = -least.coords;
    let points = points.into_iter().map(|p| p + shift).collect();
    (Mesh { points, triangles: mesh.triangles.clone(), faces: mesh.faces.clone() }, shift)
}

/// Length, width and height of a mesh whose box begins at the origin, mm.
pub fn extent(mesh: &Mesh) -> [f64; 3] {
    mesh.points.iter().fold(Point3::origin(), |a, b| a.sup(b)).coords.into()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rotations keep the handedness, and the side that is named comes to lie below.
    #[test]
    fn the_named_side_lies_on_the_bed() {
        let down = [
            (BedSide::Underside, [0.0, 0.0, -1.0]),
            (BedSide::Top, [0.0, 0.0, 1.0]),
            (BedSide::Bass, [-1.0, 0.0, 0.0]),
            (BedSide::Treble, [1.0, 0.0, 0.0]),
            (BedSide::Neck, [0.0, 1.0, 0.0]),
            (BedSide::Bridge, [0.0, -1.0, 0.0]),
        ];
        for (side, outwards) in down {
            for turned in [false, true] {
                let turn = rotation(Lie { side, turned });
                assert_eq!(turn.determinant(), 1.0, "{side:?}");
                assert_eq!(turn * Vector3::from(outwards), Vector3::new(0.0, 0.0, -1.0), "{side:?}");
            }
        }
    }
}
