//! Meshes of solids with known measures.

use super::Shape;
use bobbinwright_elementary::Elementary;

#[derive(Clone, Debug, Default)]
pub(super) struct Solid {
    pub(super) points: Vec<[f64; 3]>,
    pub(super) triangles: Vec<[u32; 3]>,
    pub(super) faces: Vec<u32>,
}

impl Solid {
    pub(super) fn shape(&self) -> Shape<'_> {
        Shape { points: &self.points, triangles: &self.triangles, faces: &self.faces }
    }

    pub(super) fn moved(mut self, x: f64, y: f64) -> Solid {
        for p in &mut self.points {
            *p = [p[0] + x, p[1] + y, p[2]];
        }
        self
    }

    /// Turned about z.
    pub(super) fn turned(mut self, angle: f64) -> Solid {
        let (sin, cos) = angle.sine_cosine();
        for p in &mut self.points {
            *p = [cos * p[0] - sin * p[1], sin * p[0] + cos * p[1], p[2]];
        }
        self
    }

    /// A quarter turn about z, without rounding.
    pub(super) fn quartered(mut self) -> Solid {
        for p in &mut self.points {
            *p = [-p[1], p[0], p[2]];
        }
        self
    }

    /// With another solid beside it; that one's faces are numbered from `first_face`.
    pub(super) fn with(mut self, other: &Solid, first_face: u32) -> Solid {
        let offset = self.points.len() as u32;
        self.points.extend(&other.points);
        self.triangles.extend(other.triangles.iter().map(|t| t.map(|p| p + offset)));
        self.faces.extend(other.faces.iter().map(|f| f + first_face));
        self
    }

    fn triangle(&mut self, corners: [usize; 3], face: usize) {
        self.triangles.push(corners.map(|p| p as u32));
        self.faces.push(face as u32);
    }
}

/// A profile of radii and heights turned about z, from one point of the axis to another, rising on
/// the outside. Each segment of the profile is a face.
pub(super) fn revolved(profile: &[[f64; 2]], sides: usize) -> Solid {
    let mut solid = Solid::default();
    let mut rings = Vec::new();
    for &[r, z] in profile {
        let count = if r > 0.0 { sides } else { 1 };
        rings.push((solid.points.len(), count));
        solid.points.extend((0..count).map(|k| {
            let (sin, cos) = (k as f64 / sides as f64 * std::f64::consts::TAU).sine_cosine();
            [r * cos, r * sin, z]
        }));
    }
    for (face, pair) in rings.windows(2).enumerate() {
        let at = |ring: (usize, usize), k: usize| ring.0 + k % ring.1;
        for k in 0..sides {
            let (a, b) = (at(pair[0], k), at(pair[0], k + 1));
            let (c, d) = (at(pair[1], k + 1), at(pair[1], k));
            if a != b {
                solid.triangle([a, b, c], face);
            }
            if c != d {
                solid.triangle([a, c, d], face);
            }
        }
    }
    solid
}

/// A profile in x and z, counter-clockwise seen against y, from y = 0 to `length`, with its ends
/// divided into `ends`. Side k of the profile is face k, the ends are the next two faces.
pub(super) fn prism(profile: &[[f64; 2]], ends: &[[usize; 3]], length: f64) -> Solid {
    let n = profile.len();
    let mut solid = Solid::default();
    for y in [0.0, length] {
        solid.points.extend(profile.iter().map(|&[x, z]| [x, y, z]));
    }
    for k in 0..n {
        let next = (k + 1) % n;
        solid.triangle([k, n + next, next], k);
        solid.triangle([k, n + k, n + next], k);
    }
    for &[a, b, c] in ends {
        solid.triangle([a, b, c], n);
        solid.triangle([n + a, n + c, n + b], n + 1);
    }
    solid
}

/// Face of [`blocks`]: in the plane of z-division `k`, facing up or down.
pub(super) fn level_face(k: usize, up: bool) -> u32 {
    400 + 100 * u32::from(up) + k as u32
}

/// The boxes between divisions of x, y and z that are filled, as one solid.
pub(super) fn blocks(divisions: [&[f64]; 3], filled: impl Fn([usize; 3]) -> bool) -> Solid {
    let cells = divisions.map(|d| d.len() - 1);
    let index = |p: [usize; 3]| (p[2] * divisions[1].len() + p[1]) * divisions[0].len() + p[0];
    let is_filled = |p: [usize; 3], axis: usize, up: bool| {
        let place = if up { p[axis] + 1 } else { p[axis].wrapping_sub(1) };
        let mut beside = p;
        beside[axis] = place;
        place < cells[axis] && filled(beside)
    };
    let mut solid = Solid::default();
    for z in divisions[2] {
        for y in divisions[1] {
            solid.points.extend(divisions[0].iter().map(|x| [*x, *y, *z]));
        }
    }
    for n in 0..cells[0] * cells[1] * cells[2] {
        let p = [n % cells[0], n / cells[0] % cells[1], n / cells[0] / cells[1]];
        if !filled(p) {
            continue;
        }
        for (axis, up) in (0..3).flat_map(|axis| [(axis, false), (axis, true)]) {
            if is_filled(p, axis, up) {
                continue;
            }
            let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
            let corner = |du: usize, dv: usize| {
                let mut c = p;
                (c[axis], c[u], c[v]) = (p[axis] + usize::from(up), p[u] + du, p[v] + dv);
                index(c)
            };
            let [a, b, c, d] = [corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)];
            let face = 200 * axis + 100 * usize::from(up) + p[axis] + usize::from(up);
            for [p, q, r] in [[a, b, c], [a, c, d]] {
                solid.triangle(if up { [p, q, r] } else { [p, r, q] }, face);
            }
        }
    }
    solid
}
