//! `truck`'s own judgement of every demo part: `Solid::try_new` accepts it, its shell is closed,
//! its edges lie on its surfaces, its normals point out of the material. Source: truck-topology's
//! shell conditions, truck-geometry's curves and surfaces.

#![allow(clippy::disallowed_methods, reason = "what is expected may differ in its last bit")]

#[path = "../../crates/kernel/tests/common/mod.rs"]
mod surfaces;

use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_kernel::solid::{Solid, build};
use bobbinwright_kernel::{Rounding, truck};
use bobbinwright_tests::demo_parts;
use surfaces::distance_to_surface;
use truck_meshalgo::prelude::*;
use truck_modeling::{ParametricCurve, ShellCondition};

fn accepted(name: &str, solid: &Solid) {
    let converted = truck::solid(solid).unwrap_or_else(|e| panic!("{name}: {e}"));
    let shell = &converted.boundaries()[0];
    assert_eq!(shell.shell_condition(), ShellCondition::Closed, "{name}");
    assert_eq!(shell.len(), solid.faces.len(), "{name}");
    for (ours, theirs) in solid.faces.iter().zip(shell.face_iter()) {
        let surface = theirs.oriented_surface();
        for edge in theirs.boundaries().iter().flat_map(|w| w.iter()) {
            let curve = edge.oriented_curve();
            let (from, to) = curve.range_tuple();
            for i in 0..=4 {
                let p = curve.subs(from + (to - from) * f64::from(i) / 4.0);
                let p3 = bobbinwright_kernel::solid::Point3::new(p.x, p.y, p.z);
                let off = distance_to_surface(ours.surface, p3);
                assert!(off < 1e-9, "{name}: an edge of {:?} is {off} mm off", ours.surface);
                if let Some((u, v)) = surface.search_parameter(p, None, 100) {
                    let q = surface.subs(u, v);
                    assert!((q - p).magnitude() < 1e-6, "{name}: truck's surface is off by {:?}", q - p);
                }
            }
        }
    }
}

#[test]
fn truck_accepts_every_demo_part() {
    for (name, part) in demo_parts() {
        accepted(&name, &part.solid);
    }
}

#[test]
fn truck_accepts_tori_spheres_and_ears() {
    for radius in [1.0, 4.0, 5.0] {
        let mut stack = Stack::default();
        let outline = Contour::rounded_rectangle(Point::origin(), 60.0, 30.0, 5.0);
        let feature = stack.add(Role::Outline, outline, 0.0, 12.0);
        stack.rounding = Some(Rounding { feature, radius });
        accepted(&format!("rounding {radius}"), &build(&stack).unwrap());
    }
}

/// A second opinion on volume from truck-meshalgo, on parts whose curved walls are plain patches
/// (others it meshes wrongly): plates with holes.
#[test]
fn trucks_mesh_of_a_drilled_plate_has_our_volume() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::rounded_rectangle(Point::origin(), 40.0, 20.0, 4.0), 0.0, 2.0);
    for x in [-12.0, 0.0, 12.0] {
        stack.cut(Role::PoleHole, Contour::circle(Point::new(x, 0.0), 2.5), 0.0, 2.0);
    }
    let solid = build(&stack).unwrap();
    let mut polygon = truck::solid(&solid).unwrap().triangulation(0.005).to_polygon();
    polygon.put_together_same_attrs(1e-6);
    assert_eq!(polygon.shell_condition(), ShellCondition::Closed);
    let volume = polygon.volume();
    assert!((volume - solid.volume).abs() < 0.005 * solid.area, "{volume} and {}", solid.volume);
}
