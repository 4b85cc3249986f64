//! Parts turned as they lie on the bed.

use bobbinwright_geometry::parts::Lie;
use bobbinwright_kernel::mesh::Mesh;
use bobbinwright_kernel::solid::{Point3, Vector3};
use bobbinwright_spec::{BedSide, Handed};
use nalgebra::Matrix3;

/// The rotation from a part's own frame to the bed's: x along the bed's length, z up.
pub fn rotation(lie: Lie, handed: Handed) -> Matrix3<f64> {
    let rows = match on_the_right(lie.side, handed) {
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

/// The side of a right-handed part that lies where this one does.
fn on_the_right(side: BedSide, handed: Handed) -> BedSide {
    match (side, handed) {
        (BedSide::Bass, Handed::Left) => BedSide::Treble,
        (BedSide::Treble, Handed::Left) => BedSide::Bass,
        _ => side,
    }
}

/// A part's mesh as it lies, and the shift that brought its box' least corner to the origin after the
/// rotation, mm.
pub fn posed(mesh: &Mesh, lie: Lie, handed: Handed) -> (Mesh, Vector3) {
    let turn = rotation(lie, handed);
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
            for (turned, handed) in
                [(false, Handed::Right), (true, Handed::Right), (false, Handed::Left), (true, Handed::Left)]
            {
                let turn = rotation(Lie { side, turned }, handed);
                let outwards = [handed.treble() * outwards[0], outwards[1], outwards[2]];
                assert_eq!(turn.determinant(), 1.0, "{side:?}");
                assert_eq!(turn * Vector3::from(outwards), Vector3::new(0.0, 0.0, -1.0), "{side:?}");
            }
        }
    }
}
