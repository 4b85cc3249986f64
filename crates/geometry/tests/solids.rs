//! Volumes, areas and counts of solids against sums done by hand.

use std::f64::consts::PI;

use bobbinwright_geometry::plane::{Contour, Point};
use bobbinwright_geometry::solid::build;
use bobbinwright_geometry::{Role, Rounding, Stack, StackError};

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-11 * expected.abs(), "found {found}, expected {expected}");
}

#[test]
fn a_block_is_length_by_width_by_height() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::rectangle(Point::new(-5.0, -2.0), Point::new(5.0, 2.0)), 0.0, 3.0);
    let solid = build(&stack).unwrap();
    near(solid.volume, 10.0 * 4.0 * 3.0);
    near(solid.area, 2.0 * (10.0 * 4.0 + 10.0 * 3.0 + 4.0 * 3.0));
    assert_eq!((solid.vertices.len(), solid.edges.len(), solid.faces.len()), (8, 12, 6));
    assert_eq!(solid.through_holes, 0);
}

#[test]
fn a_drilled_plate_loses_its_holes() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::rounded_rectangle(Point::origin(), 40.0, 20.0, 4.0), 0.0, 2.0);
    for x in [-10.0, 0.0, 10.0] {
        stack.cut(Role::PoleHole, Contour::circle(Point::new(x, 0.0), 2.5), 0.0, 2.0);
    }
    let solid = build(&stack).unwrap();
    let plan = 40.0 * 20.0 - (4.0 - PI) * 16.0 - 3.0 * PI * 6.25;
    near(solid.volume, plan * 2.0);
    let border = 2.0 * (32.0 + 12.0) + 2.0 * PI * 4.0 + 3.0 * 2.0 * PI * 2.5;
    near(solid.area, 2.0 * plan + 2.0 * border);
    assert_eq!(solid.through_holes, 3);
}

/// Quarter-round on a rounded rectangle: straight sides lose (1 - π/4) r² each, the four corners
/// together the ring between a quarter-round's profile and its box (Pappus).
#[test]
fn a_rounding_takes_what_pappus_says() {
    for (corner, r) in [(4.0_f64, 1.5_f64), (4.0, 4.0), (4.0, 3.999)] {
        let (l, w, h) = (40.0, 20.0, 10.0);
        let mut stack = Stack::default();
        let feature =
            stack.add(Role::Outline, Contour::rounded_rectangle(Point::origin(), l, w, corner), 0.0, h);
        stack.rounding = Some(Rounding { feature, radius: r });
        println!("case {corner} {r}");
        let solid = build(&stack).unwrap();
        let plan = l * w - (4.0 - PI) * corner * corner;
        let straight = 2.0 * (l + w - 4.0 * corner);
        let profile = (1.0 - PI / 4.0) * r * r;
        // ∫ (r - sqrt(r² - t²)) t dt = r³/2 - r³/3, t measured from the rounding's centre line.
        let corners = 2.0 * PI * ((corner - r) * profile + r * r * r / 6.0);
        near(solid.volume, plan * h - straight * profile - corners);
        assert_eq!(solid.through_holes, 0);
    }
}

fn cover() -> Stack {
    let mut s = Stack::default();
    let (l, w, h) = (96.0, 34.0, 16.0);
    let body = s.add(Role::Outline, Contour::rounded_rectangle(Point::origin(), l, w, 6.0), 0.0, h);
    s.rounding = Some(Rounding { feature: body, radius: 3.0 });
    s.cut(Role::Hollow, Contour::rounded_rectangle(Point::origin(), 70.0, 30.0, 4.0), 0.0, h - 2.0);
    for x in [-41.0, 41.0] {
        s.cut(Role::ScrewHole, Contour::circle(Point::new(x, 0.0), 1.7), 0.0, h);
        s.cut(Role::HeadRecess, Contour::circle(Point::new(x, 0.0), 3.0), h - 2.5, h);
    }
    s.cut(Role::LeadOut, Contour::rectangle(Point::new(-3.0, 14.0), Point::new(3.0, 18.0)), 0.0, 4.0);
    s
}

#[test]
fn a_cover_is_one_shell_with_a_notch_in_one_wall() {
    let solid = build(&cover()).unwrap();
    assert_eq!(solid.through_holes, 2);
    // Outer walls: four sides and four corners; the notch does not split the side it is in.
    let m = bobbinwright_geometry::mesh::mesh(&solid, 0.01).unwrap();
    println!("{} triangles, mesh volume {}", m.triangles.len(), m.volume());
    let outside = solid.faces.len();
    println!("{outside} faces, {} edges, volume {}", solid.edges.len(), solid.volume);
}

#[test]
fn what_falls_apart_is_refused() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::rectangle(Point::new(-5.0, -2.0), Point::new(5.0, 2.0)), 0.0, 3.0);
    stack.cut(Role::LeadOut, Contour::rectangle(Point::new(-1.0, -3.0), Point::new(1.0, 3.0)), 0.0, 3.0);
    assert_eq!(build(&stack).unwrap_err(), StackError::Pieces { pieces: 2 });
}
