//! Meshes of all demo parts: chord error on every kind of surface, volume within the bound that
//! the tolerance implies.

#![allow(clippy::disallowed_methods, reason = "what is expected may differ in its last bit")]

#[path = "../../crates/kernel/tests/common/mod.rs"]
mod surfaces;

use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::Rounding;
use bobbinwright_kernel::mesh::{MeshError, mesh};
use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_kernel::solid::{Surface, build};
use bobbinwright_tests::demo_parts;
use surfaces::chord_errors;

#[test]
fn no_triangle_is_further_from_its_surface_than_was_asked() {
    for chord in [0.05, 0.01, 0.002] {
        let mut worst = [0.0f64; 4];
        for (name, part) in demo_parts() {
            let mesh = mesh(&part.solid, chord).unwrap_or_else(|e| panic!("{name}: {e}"));
            let errors = chord_errors(&part.solid, &mesh);
            for (w, e) in worst.iter_mut().zip(errors) {
                *w = w.max(e);
            }
            // Rounding noise at 50 mm from the origin.
            assert!(errors.iter().all(|e| *e <= chord + 1e-12), "{name} at {chord} mm: {errors:?}");
        }
        println!("asked {chord}: plane, cylinder, torus, sphere off by {worst:.5?}");
    }
}

/// Spheres are in no demo: a cover whose rounding equals its corner radius has them.
#[test]
fn spheres_and_thick_tori_keep_the_tolerance() {
    for (corner, radius) in [(5.0, 5.0), (5.0, 4.2), (5.0, 0.3)] {
        let mut stack = Stack::default();
        let outline = Contour::rounded_rectangle(Point::origin(), 60.0, 30.0, corner);
        let feature = stack.add(Role::Outline, outline, 0.0, 12.0);
        stack.rounding = Some(Rounding { feature, radius });
        let solid = build(&stack).unwrap();
        for chord in [0.05, 0.01, 0.002] {
            let errors = chord_errors(&solid, &mesh(&solid, chord).unwrap());
            assert!(errors.iter().all(|e| *e <= chord), "{corner} {radius} at {chord}: {errors:?}");
            assert!(errors[2].max(errors[3]) > chord / 20.0, "the bands were sampled: {errors:?}");
        }
    }
}

/// The arcs that a rounding leaves of a corner have triangles as long as they are not smaller than a part's layout lets
/// them be, 5 µm.
#[test]
fn a_rounding_may_leave_little_of_a_corner() {
    for corner in [1.0, 5.0, 15.0, 30.0] {
        let mut stack = Stack::default();
        let outline = Contour::rounded_rectangle(Point::origin(), 90.0, 70.0, corner);
        let feature = stack.add(Role::Outline, outline, 0.0, 40.0);
        stack.rounding = Some(Rounding { feature, radius: corner - 0.005 });
        let solid = build(&stack).unwrap();
        assert!(mesh(&solid, 0.01).is_ok(), "{corner}: {:?}", mesh(&solid, 0.01).err());
    }
}

/// The volume between mesh and solid is at most chord tolerance times curved area.
#[test]
fn the_meshs_volume_is_within_the_tolerances_bound() {
    let chord = 0.01;
    for (name, part) in demo_parts() {
        let mesh = mesh(&part.solid, chord).unwrap();
        let curved: f64 = mesh
            .triangles
            .iter()
            .zip(&mesh.faces)
            .filter(|(_, f)| !matches!(part.solid.faces[**f as usize].surface, Surface::Plane { .. }))
            .map(|(t, _)| {
                let [a, b, c] = t.map(|i| mesh.points[i as usize]);
                (b - a).cross(&(c - a)).norm() / 2.0
            })
            .sum();
        let difference = (mesh.volume() - part.solid.volume).abs();
        // The mesh's own curved area falls short of the solid's by far less than a tenth.
        assert!(difference <= chord * curved * 1.1, "{name}: {difference} mm³, bound {}", chord * curved);
    }
}

/// Halving the tolerance of a cylinder multiplies its triangles by about sqrt 2.
#[test]
fn triangles_grow_as_the_inverse_square_root() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::circle(Point::origin(), 20.0), 0.0, 5.0);
    let solid = build(&stack).unwrap();
    let count = |chord: f64| mesh(&solid, chord).unwrap().triangles.len() as f64;
    let ratio = count(0.0005) / count(0.001);
    assert!((ratio - 2f64.sqrt()).abs() < 0.05, "{ratio}");
}

/// A round plate of radius 10 mm with a hole of radius 9 mm beside its middle: at one place a web of
/// 2 µm is left, and 10 µm chords of the rim would cut through the hole.
#[test]
fn a_web_thinner_than_the_tolerance_is_meshed_finer() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::circle(Point::origin(), 10.0), 0.0, 2.0);
    stack.cut(Role::Hollow, Contour::circle(Point::new(0.5988, 0.7984), 9.0), -1.0, 3.0);
    let solid = build(&stack).unwrap();
    let errors = chord_errors(&solid, &mesh(&solid, 0.01).unwrap());
    assert!(errors[1] < 0.005, "finer than asked: {errors:?}");
    let asked_finer = chord_errors(&solid, &mesh(&solid, 0.002).unwrap());
    assert!(asked_finer[1] > 0.0015, "and not without need: {asked_finer:?}");
}

#[test]
fn a_tolerance_must_be_a_length() {
    let (_, part) = demo_parts().remove(0);
    for bad in [0.0, -0.01, f64::NAN, f64::INFINITY] {
        assert!(matches!(mesh(&part.solid, bad), Err(MeshError::Tolerance(_))));
    }
}
