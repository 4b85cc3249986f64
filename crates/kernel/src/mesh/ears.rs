//! Ears that hardly rise over their longest side.
//!
//! Points of a very short piece of an arc are almost in a line, and a triangulation is free to join three of them,
//! since no triangle of points on one circle is more Delaunay than another. Such an ear is taken together with the
//! triangle behind it and divided the other way.

use crate::solid::{Point3, Vector3};

/// Heights below this are lifted, mm: what the float32 numbers of an STL file tell apart at 100 mm (spacing 8e-6 mm).
const THIN: f64 = 1e-5;

/// Divides pairs of a flat face's triangles the other way until none that is thinner than [`THIN`] gets higher by
/// it. The face's border and its number of triangles stay.
pub(super) fn lift(triangles: &mut [[u32; 3]], points: &[Point3], normal: Vector3) {
    loop {
        let mut lifted = false;
        for i in 0..triangles.len() {
            if height(triangles[i], points, normal) < THIN {
                lifted |= flip(i, triangles, points, normal);
            }
        }
        // Every turn makes the lower of two heights larger, so it comes to an end.
        if !lifted {
            return;
        }
    }
}

/// Divides a triangle and the one behind its longest side the other way, if that makes the lower of both higher.
fn flip(i: usize, triangles: &mut [[u32; 3]], points: &[Point3], normal: Vector3) -> bool {
    let [a, b, tip] = on_longest_side(triangles[i], points);
    let behind = triangles.iter().enumerate().find_map(|(j, [x, y, z])| match () {
        () if (*x, *y) == (b, a) => Some((j, *z)),
        () if (*y, *z) == (b, a) => Some((j, *x)),
        () if (*z, *x) == (b, a) => Some((j, *y)),
        () => None,
    });
    let Some((j, far)) = behind else { return false };
    let of = |t| height(t, points, normal);
    let new = [[tip, a, far], [far, b, tip]];
    let higher = of(new[0]).min(of(new[1])) > of(triangles[i]).min(of(triangles[j]));
    if higher {
        [triangles[i], triangles[j]] = new;
    }
    higher
}

/// The corners turned so that the first two are the ends of the longest side.
fn on_longest_side([a, b, c]: [u32; 3], points: &[Point3]) -> [u32; 3] {
    let length = |a: u32, b: u32| (points[b as usize] - points[a as usize]).norm_squared();
    let (ab, bc, ca) = (length(a, b), length(b, c), length(c, a));
    match () {
        () if ab >= bc && ab >= ca => [a, b, c],
        () if bc >= ca => [b, c, a],
        () => [c, a, b],
    }
}

/// Height over the longest side, mm; less than nothing where the corners run clockwise, seen against the normal.
fn height(triangle: [u32; 3], points: &[Point3], normal: Vector3) -> f64 {
    let [a, b, c] = on_longest_side(triangle, points).map(|i| points[i as usize]);
    (b - a).cross(&(c - a)).dot(&normal) / (b - a).norm()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square with a side that bulges by less than can be told apart, its ear cut off first.
    fn bulging(by: [f64; 2]) -> Vec<Point3> {
        let at = |x, y| Point3::new(x, y, 0.0);
        vec![at(0.0, 0.0), at(1.0, -by[0]), at(2.0, -by[1]), at(3.0, 0.0), at(3.0, 3.0), at(0.0, 3.0)]
    }

    fn least(triangles: &[[u32; 3]], points: &[Point3]) -> f64 {
        triangles.iter().map(|t| height(*t, points, Vector3::z())).fold(f64::INFINITY, f64::min)
    }

    fn area(triangles: &[[u32; 3]], points: &[Point3]) -> f64 {
        let of = |t: &[u32; 3]| {
            let [a, b, c] = t.map(|i| points[i as usize]);
            (b - a).cross(&(c - a)).z / 2.0
        };
        triangles.iter().map(of).sum()
    }

    #[test]
    fn one_ear_is_joined_with_what_is_behind_it() {
        let points = bulging([1e-7, 0.0]);
        let mut triangles = vec![[0, 1, 2], [0, 2, 5], [2, 3, 4], [2, 4, 5]];
        let before = area(&triangles, &points);
        lift(&mut triangles, &points, Vector3::z());
        assert!(least(&triangles, &points) > 0.5, "{triangles:?}");
        assert!((area(&triangles, &points) - before).abs() < 1e-12);
    }

    /// Ears behind ears, one of them inside out.
    #[test]
    fn several_ears_are_joined_one_by_one() {
        let points = bulging([1e-7, -1e-8]);
        let mut triangles = vec![[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 5]];
        let before = area(&triangles, &points);
        lift(&mut triangles, &points, Vector3::z());
        assert!(least(&triangles, &points) > 0.3, "{triangles:?}");
        assert!((area(&triangles, &points) - before).abs() < 1e-12);
    }

    /// Where nothing is behind it an ear stays.
    #[test]
    fn the_border_stays() {
        let points = bulging([1e-7, 0.0]);
        let mut triangles = vec![[0, 1, 2]];
        lift(&mut triangles, &points, Vector3::z());
        assert_eq!(triangles, [[0, 1, 2]]);
    }
}
