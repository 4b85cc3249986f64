//! Volumes and movements between two versions, against closed forms.

#![allow(clippy::disallowed_methods, reason = "what is expected may differ in its last bit")]

mod common;

use std::f64::consts::PI;

use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_kernel::solid::build;
use bobbinwright_kernel::{Rounding, difference, lengthwise_cut, level_cuts};
use common::{Role, Stack};

/// A block of 40 by 20 by 10 with corners of 5, a hole of 4 in it, its top edge rounded.
fn block(length: f64, height: f64, hole: f64, rounding: f64) -> Stack {
    let mut stack = Stack::default();
    let outline = Contour::rounded_rectangle(Point::origin(), length, 20.0, 5.0);
    let feature = stack.add(Role::Outline, outline, 0.0, height);
    stack.cut(Role::Hole, Contour::circle(Point::new(3.0, 0.0), hole / 2.0), 0.0, height);
    if rounding > 0.0 {
        stack.rounding = Some(Rounding { feature, radius: rounding });
    }
    stack
}

#[test]
fn a_part_does_not_differ_from_itself() {
    let found = difference(&block(40.0, 10.0, 4.0, 2.0), &block(40.0, 10.0, 4.0, 2.0)).unwrap();
    assert!(found.is_none() && found.removed == 0.0 && found.added == 0.0);
}

/// A wider hole takes a ring; a longer block adds its width times the difference.
#[test]
fn prisms_differ_by_what_is_between_them() {
    let found = difference(&block(40.0, 10.0, 4.0, 0.0), &block(40.6, 10.0, 5.0, 0.0)).unwrap();
    assert!((found.removed - 10.0 * PI / 4.0 * (25.0 - 16.0)).abs() < 1e-9, "{found:?}");
    assert!((found.added - 0.6 * 20.0 * 10.0).abs() < 1e-9, "{found:?}");
    assert_eq!(found.moved[0].role, Role::Hole);
    assert!((found.moved[0].distance - 0.5).abs() < 1e-5);
    assert!((found.moved[1].distance - 0.3).abs() < 1e-5);
}

/// The rim of a hole that gets wider in a block that gets lower is the hypotenuse of both from where it was;
/// a hole that stays as wide has not moved.
#[test]
fn the_rim_of_a_hole_moves_with_the_face() {
    let of_hole = |a: &Stack, b: &Stack| {
        let found = difference(a, b).unwrap();
        found.moved.iter().find(|m| m.role == Role::Hole).map(|m| m.distance)
    };
    let block = |height, hole| block(40.0, height, hole, 0.0);
    assert!((of_hole(&block(10.0, 4.0), &block(9.7, 4.8)).unwrap() - 0.5).abs() < 1e-9);
    assert_eq!(of_hole(&block(10.0, 4.0), &block(9.7, 4.0)), None);
}

/// A wall is no nearer for a wall of the same role above it.
#[test]
fn features_of_a_role_at_other_heights_are_not_taken_for_each_other() {
    let notched = |low: f64, high: f64| {
        let mut stack = block(40.0, 10.0, 4.0, 0.0);
        for (depth, bottom, top) in [(low, 0.0, 5.0), (high, 5.0, 10.0)] {
            let notch =
                Contour::rounded_rectangle(Point::new(22.0 - depth / 2.0, 0.0), depth + 4.0, 6.0, 0.0);
            stack.cut(Role::Notch, notch, bottom, top);
        }
        stack
    };
    let found = difference(&notched(4.0, 4.6), &notched(4.5, 4.6)).unwrap();
    assert_eq!(found.moved.len(), 1);
    assert!((found.moved[0].distance - 0.5).abs() < 1e-9, "{found:?}");
}

/// A quarter-round on an edge of which both faces go in is furthest along the line between the centres: for a
/// radius wider by w on an edge gone in by p and down by l, hypot(p + w, l + w) - w; where the edge goes out
/// and up by as much as the radius grows, the arcs share their centre and are w apart.
#[test]
fn a_rounding_adds_up_with_what_it_is_tangent_to() {
    let far = |a: &Stack, b: &Stack| difference(a, b).unwrap().moved[0].distance;
    let was = block(40.0, 10.0, 4.0, 1.0);
    let wide = |outwards: f64, height: f64, rounding: f64| {
        let mut stack = block(40.0, height, 4.0, 0.0);
        let (length, width, corner) = (40.0 + 2.0 * outwards, 20.0 + 2.0 * outwards, 5.0 + outwards);
        stack.features[0].contour = Contour::rounded_rectangle(Point::origin(), length, width, corner);
        stack.rounding = Some(Rounding { feature: 0, radius: rounding });
        stack
    };
    assert!((far(&was, &wide(-0.3, 9.8, 1.5)) - (0.8_f64.hypot(0.7) - 0.5)).abs() < 1e-9);
    assert!((far(&was, &wide(0.5, 10.5, 1.5)) - 0.5).abs() < 1e-9);
    assert!((far(&was, &wide(0.0, 9.8, 1.5)) - (0.5_f64.hypot(0.7) - 0.5)).abs() < 1e-9);
}

/// Where both are rounded, volumes of the versions and of their difference add up, and a rounding of
/// another radius takes (1 - π/4)(R² - r²) a length of straight edge and, by Pappus, what the corners'
/// profile goes round.
#[test]
fn rounded_parts_differ_by_the_closed_form() {
    for (a, b) in [
        (block(40.0, 10.0, 4.0, 2.0), block(40.6, 10.4, 4.2, 2.0)),
        (block(40.0, 10.0, 4.0, 1.0), block(40.0, 10.0, 4.0, 2.0)),
        (block(41.0, 9.5, 4.0, 0.0), block(40.0, 10.0, 4.0, 1.5)),
    ] {
        let found = difference(&a, &b).unwrap();
        let (before, after) = (build(&a).unwrap().volume, build(&b).unwrap().volume);
        assert!((after - before - (found.added - found.removed)).abs() < 1e-4, "{found:?}");
    }
    let found = difference(&block(40.0, 10.0, 4.0, 1.0), &block(40.0, 10.0, 4.0, 2.0)).unwrap();
    let straight = 2.0 * (40.0 + 20.0) - 8.0 * 5.0;
    let taken = |r: f64| {
        let corner = r * r * (1.0 - PI / 4.0);
        straight * corner + 2.0 * PI * ((5.0 - r) * corner + r.powi(3) / 6.0)
    };
    assert!((found.removed - (taken(2.0) - taken(1.0))).abs() < 1e-4, "{found:?}");
    assert!(found.added.abs() < 1e-6);
    // From the middle of one quarter-round to that of the other.
    assert!((found.moved[0].distance - (2f64.sqrt() - 1.0)).abs() < 1e-12);
}

/// Features that only one version has are named.
#[test]
fn new_and_gone_features_are_named() {
    let (plain, mut with) = (block(40.0, 10.0, 4.0, 0.0), block(40.0, 10.0, 4.0, 0.0));
    with.cut(Role::Mark, Contour::circle(Point::new(-8.0, 0.0), 1.0), 0.0, 10.0);
    let found = difference(&plain, &with).unwrap();
    assert_eq!((found.new.as_slice(), found.gone.as_slice()), (&[Role::Mark][..], &[][..]));
    assert!((found.removed - 10.0 * PI).abs() < 1e-9);
    assert_eq!(difference(&with, &plain).unwrap().gone, [Role::Mark]);
}

/// The area of a region by its borders: outer ones less holes, which lie inside an odd number of others.
fn area(region: &[Contour]) -> f64 {
    let depth = |c: &Contour| {
        let p = c.segments()[0].middle();
        region.iter().filter(|o| !std::ptr::eq(*o, c) && o.contains(p)).count()
    };
    region.iter().map(|c| if depth(c) % 2 == 0 { c.area() } else { -c.area() }).sum()
}

/// A level cut's regions have the areas that make up the volumes, and both versions' areas.
#[test]
fn level_cuts_show_what_comes_off_and_on() {
    let (a, b) = (block(40.0, 10.0, 4.0, 0.0), block(40.6, 10.5, 5.0, 0.0));
    let cuts = level_cuts(&a, &b).unwrap();
    assert_eq!(cuts.len(), 1, "the part that is only higher is no outline to compare");
    let level = &cuts[0];
    assert_eq!((level.from, level.to), (0.0, 10.0));
    assert!((area(&level.cut.removed) - PI / 4.0 * (25.0 - 16.0)).abs() < 1e-9);
    assert!((area(&level.cut.added) - 0.6 * 20.0).abs() < 1e-9);
    let earlier = 40.0 * 20.0 - (4.0 - PI) * 25.0 - PI * 4.0;
    assert!((area(&level.cut.kept) + area(&level.cut.removed) - earlier).abs() < 1e-9);
    assert!(level_cuts(&a, &a).unwrap().is_empty());
}

/// The lengthwise cut of two blocks, sums by hand: the hole is half a millimetre wider on both sides over the
/// common height, each end 0.3 mm longer, and the top 0.5 mm higher beside the hole.
#[test]
fn a_lengthwise_cut_shows_heights() {
    let cut = lengthwise_cut(&block(40.0, 10.0, 4.0, 0.0), &block(40.6, 10.5, 5.0, 0.0), 0.0);
    let sum = |region: &[Contour]| region.iter().map(Contour::area).sum::<f64>();
    assert!((sum(&cut.removed) - 2.0 * 0.5 * 10.0).abs() < 1e-9);
    assert!((sum(&cut.added) - (2.0 * 0.3 * 10.0 + (40.6 - 5.0) * 0.5)).abs() < 1e-9);
    assert!((sum(&cut.kept) - (40.0 - 5.0) * 10.0).abs() < 1e-9);
}

/// Rounder corners take (4 - π)(R² - r²) off, also where the sides of both run along each other and every ray
/// along a side grazes the other's corners.
#[test]
fn rounder_corners_take_the_closed_form_off() {
    let plate = |radius: f64, inset: f64| {
        let outline =
            Contour::rounded_rectangle(Point::origin(), 91.536_666_666_666_66, 37.606_666_666_666_66, radius);
        let outline = bobbinwright_kernel::plane::offset::inset(&outline, inset).remove(0);
        let mut stack = Stack::default();
        stack.add(Role::Outline, outline, 0.0, 2.0);
        stack
    };
    for inset in [0.0, 0.01, 0.1, 0.3, 0.5, 1.0 / 3.0, 0.7] {
        for (sharp, round) in [(5.7, 6.4), (5.0, 5.5), (4.9, 6.1), (3.0, 9.0)] {
            let found = difference(&plate(sharp, inset), &plate(round, inset)).unwrap();
            let taken = |r: f64| (4.0 - PI) * (r - inset).powi(2) * 2.0;
            assert!(
                (found.removed - (taken(round) - taken(sharp))).abs() < 1e-8,
                "{inset} {sharp} {found:?}"
            );
            assert!(found.added.abs() < 1e-8, "{found:?}");
        }
    }
}
