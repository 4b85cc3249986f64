//! Volumes, areas and counts of solids against sums done by hand, one for each feature.

#![allow(clippy::disallowed_methods, reason = "what is expected may differ in its last bit")]

mod common;

use std::f64::consts::PI;

use bobbinwright_kernel::plane::{Contour, Point, offset};
use bobbinwright_kernel::solid::{Solid, Surface, build};
use bobbinwright_kernel::{Rounding, StackError};
use common::{Role, Stack};

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-11 * expected.abs(), "found {found}, expected {expected}");
}

fn block(l: f64, w: f64) -> Contour {
    Contour::rectangle(Point::new(-l / 2.0, -w / 2.0), Point::new(l / 2.0, w / 2.0))
}

fn round_block(l: f64, w: f64, r: f64) -> Contour {
    Contour::rounded_rectangle(Point::origin(), l, w, r)
}

/// Area of a rounded rectangle.
fn round_area(l: f64, w: f64, r: f64) -> f64 {
    l * w - (4.0 - PI) * r * r
}

fn count(solid: &Solid, kind: impl Fn(&Surface) -> bool) -> usize {
    solid.faces.iter().filter(|f| kind(&f.surface)).count()
}

#[test]
fn a_block_is_length_by_width_by_height() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, block(10.0, 4.0), 0.0, 3.0);
    let solid = build(&stack).unwrap();
    near(solid.volume, 10.0 * 4.0 * 3.0);
    near(solid.area, 2.0 * (10.0 * 4.0 + 10.0 * 3.0 + 4.0 * 3.0));
    assert_eq!((solid.vertices.len(), solid.edges.len(), solid.faces.len()), (8, 12, 6));
    assert_eq!(solid.through_holes, 0);
}

#[test]
fn a_drilled_plate_loses_its_holes() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, round_block(40.0, 20.0, 4.0), 0.0, 2.0);
    for x in [-10.0, 0.0, 10.0] {
        stack.cut(Role::Hole, Contour::circle(Point::new(x, 0.0), 2.5), 0.0, 2.0);
    }
    let solid = build(&stack).unwrap();
    let plan = round_area(40.0, 20.0, 4.0) - 3.0 * PI * 6.25;
    near(solid.volume, plan * 2.0);
    let border = 2.0 * (32.0 + 12.0) + 2.0 * PI * 4.0 + 3.0 * 2.0 * PI * 2.5;
    near(solid.area, 2.0 * plan + 2.0 * border);
    assert_eq!(solid.through_holes, 3);
}

/// Quarter-round on a rounded rectangle: straight sides lose (1 - π/4) r² each, the four corners
/// together the ring between a quarter-round's profile and its box (Pappus). Where the rounding
/// equals the corner radius the corners are eighths of a sphere.
#[test]
fn a_rounding_takes_what_pappus_says() {
    for (corner, r, spheres) in
        [(4.0, 1.5, 0), (4.0, 4.0, 4), (4.0, 3.999, 0), (10.0, 10.0, 4), (4.0, 1e-3, 0)]
    {
        let (l, w, h): (f64, f64, f64) = (40.0, 20.0 + 1e-2, 12.0);
        let mut stack = Stack::default();
        let feature = stack.add(Role::Outline, round_block(l, w, corner), 0.0, h);
        stack.rounding = Some(Rounding { feature, radius: r });
        let solid = build(&stack).unwrap();
        let straight = 2.0 * (l + w - 4.0 * corner);
        let profile = (1.0 - PI / 4.0) * r * r;
        // ∫ (r - sqrt(r² - t²)) t dt = r³/2 - r³/3, t measured from the rounding's centre line.
        let corners = 2.0 * PI * ((corner - r) * profile + r * r * r / 6.0);
        near(solid.volume, round_area(l, w, corner) * h - straight * profile - corners);
        assert_eq!(solid.through_holes, 0);
        assert_eq!(count(&solid, |s| matches!(s, Surface::Sphere { .. })), spheres);
        assert_eq!(count(&solid, |s| matches!(s, Surface::Torus { .. })), 4 - spheres);
    }
}

/// A ball's upper half standing on a disc: rounding = corner radius = half of both sides would
/// leave no flat top; with a sliver of length left the volume tends to the closed forms of a
/// half cylinder and half a ball.
#[test]
fn a_fully_rounded_bar_is_half_a_cylinder_and_half_a_ball() {
    let (l, r): (f64, f64) = (30.0, 5.0);
    let mut stack = Stack::default();
    let feature = stack.add(Role::Outline, round_block(l, 2.0 * r + 1e-4, r), 0.0, r);
    stack.rounding = Some(Rounding { feature, radius: r });
    let solid = build(&stack).unwrap();
    let expected = (l - 2.0 * r) * PI * r * r / 2.0 + 2.0 / 3.0 * PI * r.powi(3);
    // The sliver of 1e-4 adds about its width times the profile's area.
    assert!((solid.volume - expected).abs() < 1e-4 * l * r * 1.1, "{} {expected}", solid.volume);
}

/// A counterbored hole: two cylinders, one through hole.
#[test]
fn a_screw_hole_with_its_recess() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, block(20.0, 12.0), 0.0, 6.0);
    stack.cut(Role::Hole, Contour::circle(Point::origin(), 1.7), 0.0, 6.0);
    stack.cut(Role::Seat, Contour::circle(Point::origin(), 3.0), 4.0, 6.0);
    let solid = build(&stack).unwrap();
    near(solid.volume, 20.0 * 12.0 * 6.0 - PI * 1.7 * 1.7 * 4.0 - PI * 9.0 * 2.0);
    near(
        solid.area,
        2.0 * (20.0 * 12.0 + 20.0 * 6.0 + 12.0 * 6.0) - 2.0 * PI * 1.7 * 1.7
            + 2.0 * PI * 1.7 * 4.0
            + 2.0 * PI * 3.0 * 2.0,
    );
    assert_eq!(solid.through_holes, 1);
}

/// A hollow box with a notch in one wall: the wall stays one face.
#[test]
fn a_notch_does_not_split_its_wall() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, block(40.0, 20.0), 0.0, 10.0);
    stack.cut(Role::Hollow, block(36.0, 16.0), 0.0, 8.0);
    stack.cut(Role::Notch, Contour::rectangle(Point::new(-2.0, 7.0), Point::new(2.0, 11.0)), 0.0, 3.0);
    let solid = build(&stack).unwrap();
    near(solid.volume, 40.0 * 20.0 * 10.0 - 36.0 * 16.0 * 8.0 - 4.0 * 2.0 * 3.0);
    // Top, rim underneath, 4 outer walls, 4 inner walls, inner roof, notch: two cheeks, one ceiling.
    assert_eq!(solid.faces.len(), 1 + 1 + 4 + 4 + 1 + 3);
    assert_eq!(solid.through_holes, 0);
}

/// A window in a wall is a hole in one face and adds one to the genus: hollow and outside are
/// then joined by two ways.
#[test]
fn a_window_is_a_hole_in_one_face() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, round_block(40.0, 20.0, 3.0), 0.0, 10.0);
    stack.cut(Role::Hollow, block(36.0, 16.0), 0.0, 8.0);
    stack.cut(Role::Notch, Contour::rectangle(Point::new(-2.0, 7.0), Point::new(2.0, 11.0)), 2.0, 5.0);
    let solid = build(&stack).unwrap();
    near(solid.volume, round_area(40.0, 20.0, 3.0) * 10.0 - 36.0 * 16.0 * 8.0 - 4.0 * 2.0 * 3.0);
    assert_eq!(solid.through_holes, 1);
    assert!(solid.faces.iter().any(
        |f| f.borders.len() == 2 && matches!(f.surface, Surface::Plane { normal, .. } if normal.y > 0.5)
    ));
}

/// A hole bored straight through a wall's end, cutting a rounded corner: arcs cut by lines.
#[test]
fn a_notch_in_a_rounded_corner() {
    let r = 6.0;
    let mut stack = Stack::default();
    stack.add(Role::Outline, round_block(40.0, 30.0, r), 0.0, 10.0);
    // A square cut from the corner up to the arc's centre lines: takes away a quarter disc.
    stack.cut(
        Role::Notch,
        Contour::rectangle(Point::new(20.0 - r, 15.0 - r), Point::new(25.0, 20.0)),
        2.0,
        5.0,
    );
    let solid = build(&stack).unwrap();
    near(solid.volume, round_area(40.0, 30.0, r) * 10.0 - PI * r * r / 4.0 * 3.0);
}

/// A lip is a ring on a plate.
#[test]
fn a_lip_is_a_ring() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, round_block(40.0, 20.0, 4.0), 0.0, 2.0);
    stack.add(Role::Rim, round_block(36.0, 16.0, 2.0), 2.0, 3.5);
    stack.cut(Role::Hollow, round_block(33.0, 13.0, 1.0), 2.0, 3.5);
    let solid = build(&stack).unwrap();
    let ring = round_area(36.0, 16.0, 2.0) - round_area(33.0, 13.0, 1.0);
    near(solid.volume, round_area(40.0, 20.0, 4.0) * 2.0 + ring * 1.5);
    assert_eq!(solid.through_holes, 0);
}

/// A mark is half a disc out of a straight edge.
#[test]
fn a_mark_is_half_a_disc() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, block(30.0, 10.0), 0.0, 2.0);
    stack.cut(Role::Mark, Contour::circle(Point::new(-15.0, 0.0), 1.5), 0.0, 2.0);
    let solid = build(&stack).unwrap();
    near(solid.volume, (300.0 - PI * 1.5 * 1.5 / 2.0) * 2.0);
    assert_eq!(solid.through_holes, 0);
}

/// Ears with blends: body, two tabs, and at each of the four inward corners a square less a
/// quarter disc.
#[test]
fn a_blend_fills_a_square_less_a_quarter_disc() {
    let (blend, tab) = (3.0, 8.0);
    let united = offset::borders(&[block(60.0, 30.0), block(60.0 + 2.0 * tab, 12.0)], &[]);
    assert_eq!(united.len(), 1);
    let grown = offset::outset(&united[0].contour, blend);
    let outline = offset::inset(&grown[0], blend).remove(0);
    near(outline.area(), 60.0 * 30.0 + 2.0 * tab * 12.0 + 4.0 * (1.0 - PI / 4.0) * blend * blend);
    let mut stack = Stack::default();
    stack.add(Role::Ears, outline.clone(), 0.0, 3.0);
    let body = stack.add(Role::Outline, round_block(60.0, 30.0, 5.0), 0.0, 15.0);
    stack.rounding = Some(Rounding { feature: body, radius: 2.0 });
    let solid = build(&stack).unwrap();
    let profile = (1.0 - PI / 4.0) * 4.0;
    let rounding = 2.0 * (50.0 + 20.0) * profile + 2.0 * PI * (3.0 * profile + 8.0 / 6.0);
    near(solid.volume, outline.area() * 3.0 + round_area(60.0, 30.0, 5.0) * 12.0 - rounding);
}

/// The hollow between free-standing bosses: the opening leaves a boss' border as it is and rounds
/// the corners of the wall. Its area is the inset body less two discs.
#[test]
fn a_hollow_with_free_bosses_is_the_inset_less_two_discs() {
    let body = round_block(96.0, 34.0, 6.0);
    let hollow = |r: f64| {
        let shrink = |extra: f64| {
            let discs = [-30.0, 30.0].map(|x| Contour::circle(Point::new(x, 0.0), 4.5 + extra));
            (offset::inset(&body, 2.0 + extra), discs.to_vec())
        };
        let area = |b: &offset::Border| if b.hole { -b.contour.area() } else { b.contour.area() };
        offset::opened(r, shrink).iter().map(area).sum::<f64>()
    };
    near(hollow(1.0), round_area(92.0, 30.0, 4.0) - 2.0 * PI * 4.5 * 4.5);
    // An inner radius larger than the corner's makes the corner that large.
    near(hollow(5.0), round_area(92.0, 30.0, 5.0) - 2.0 * PI * 4.5 * 4.5);
}

#[test]
fn what_can_not_be_built_is_refused() {
    let part = |edit: &dyn Fn(&mut Stack)| {
        let mut stack = Stack::default();
        stack.add(Role::Outline, round_block(40.0, 20.0, 3.0), 0.0, 6.0);
        edit(&mut stack);
        build(&stack).unwrap_err()
    };
    let rounding = |radius: f64| Some(Rounding { feature: 0, radius });
    let slot = Contour::rectangle(Point::new(-1.0, -11.0), Point::new(1.0, 11.0));
    let refusals = [
        part(&|s| {
            s.cut(Role::Notch, slot.clone(), 0.0, 6.0);
        }),
        part(&|s| s.rounding = rounding(3.5)),
        part(&|s| {
            s.rounding = rounding(2.0)
                .filter(|_| s.cut(Role::Hole, Contour::circle(Point::new(16.0, 0.0), 2.5), 0.0, 6.0) > 0);
        }),
        part(&|s| s.rounding = rounding(2.0).filter(|_| s.cut(Role::Notch, slot.clone(), 3.0, 5.0) > 0)),
        part(&|s| {
            s.cut(Role::Hollow, block(10.0, 5.0), 2.0, 4.0);
        }),
        part(&|s| {
            s.cut(Role::Hole, Contour::circle(Point::origin(), 0.0), 0.0, 6.0);
        }),
        part(&|s| {
            s.cut(Role::Outline, block(50.0, 50.0), 0.0, 6.0);
        }),
    ];
    assert_eq!(refusals[0], StackError::Pieces { pieces: 2 });
    assert_eq!(refusals[1], StackError::RoundingOverCorner { corner: 3.0 });
    assert_eq!(refusals[2], StackError::RoundingMeets { feature: 1 });
    assert_eq!(refusals[3], StackError::RoundingInterrupted { feature: Some(1) });
    assert_eq!(refusals[4], StackError::Bubble);
    assert_eq!(refusals[5], StackError::Empty { feature: 1 });
    assert_eq!(refusals[6], StackError::Nothing);
    let mut corner = Stack::default();
    corner.add(Role::Outline, block(10.0, 10.0), 0.0, 3.0);
    corner.rounding = rounding(1.0);
    assert!(matches!(build(&corner), Err(StackError::RoundingOnCorner { .. })));
    // Two blocks that share one upright edge: four walls meet there.
    let mut touching = Stack::default();
    touching.add(Role::Outline, Contour::rectangle(Point::new(-5.0, -5.0), Point::origin()), 0.0, 3.0);
    touching.add(Role::Outline, Contour::rectangle(Point::origin(), Point::new(5.0, 5.0)), 0.0, 3.0);
    assert!(matches!(build(&touching), Err(StackError::Touching { .. })));
}

/// A rounding larger than the roof is thick: fine as long as the hollow keeps clear of it.
#[test]
fn a_rounding_may_reach_below_the_roof() {
    let build_with = |wall: f64| {
        let mut stack = Stack::default();
        let body = stack.add(Role::Outline, round_block(40.0, 20.0, 5.0), 0.0, 10.0);
        let corner = |wall: f64| (5.0 - wall).max(0.0);
        stack.cut(Role::Hollow, round_block(40.0 - 2.0 * wall, 20.0 - 2.0 * wall, corner(wall)), 0.0, 8.5);
        stack.rounding = Some(Rounding { feature: body, radius: 4.0 });
        build(&stack)
    };
    // At the hollow's top the rounding stands back 4 - sqrt(16 - 2.5²) = 0.878 mm.
    assert!(build_with(1.5).is_ok());
    assert_eq!(build_with(0.85).unwrap_err(), StackError::RoundingMeets { feature: 1 });
}

/// A rounding of a feature that there is not is refused; a chord as large as the part still gives a solid of it.
#[test]
fn what_makes_no_sense_is_refused_or_coarse() {
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::circle(Point::origin(), 5.0), 0.0, 2.0);
    let disc = build(&stack).unwrap();
    // A square of four chords: 2 r² high times.
    let coarse = bobbinwright_kernel::mesh::mesh(&disc, 10.0).unwrap();
    assert!((coarse.volume() - 2.0 * 25.0 * 2.0).abs() < 1e-9, "{}", coarse.volume());
    stack.rounding = Some(Rounding { feature: 7, radius: 1.0 });
    assert_eq!(build(&stack).unwrap_err(), StackError::NoSuchFeature { feature: 7 });
}

/// A ring whose channel is a little narrower than the disc that opens it is cut, and closes again as it grows: outer
/// border and hole, as of any ring; its area is less by what the disc can't reach.
#[test]
fn a_ring_that_closes_again_keeps_its_hole() {
    let ring = |bump: f64| {
        offset::opened(4.0, |r| {
            let hole = Contour::circle(Point::origin(), 10.0 + r);
            let beside = Contour::circle(Point::new(20.0, 0.0), bump + r);
            (offset::inset(&Contour::circle(Point::origin(), 20.0), r), vec![hole, beside])
        })
    };
    for bump in [1.9, 2.05, 2.2, 2.5] {
        let found = ring(bump);
        let holes: Vec<f64> = found.iter().filter(|b| b.hole).map(|b| b.contour.area()).collect();
        assert_eq!((found.len(), holes.len()), (2, 1), "{bump}: {found:?}");
        assert!((holes[0] - 100.0 * PI).abs() < 0.5, "{bump}: {holes:?}");
    }
}
