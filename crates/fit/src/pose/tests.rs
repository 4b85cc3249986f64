//! The place of a part against closed forms and another search.

use super::program::Conditions;
use super::*;
use bobbinwright_elementary::Elementary;
use bobbinwright_spec::{Doubt, Doubts, Length, Origin};

fn exact(mm: f64) -> Estimate {
    Estimate::exact(Length::from_mm(mm))
}

/// A cover of 91.4 by 37.4 mm in a rout of 92 by 38, screws of 2.95 mm in holes of 3.6, 80 mm apart, each so far off
/// its hole.
fn body(sides: f64, play: f64, off: [[f64; 2]; 2]) -> Pose {
    let mut pose = Pose::default();
    for [u, v] in [[1.0, 1.0], [-1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]] {
        for (point, towards) in [([u * 45.7, v * 13.0], [u, 0.0]), ([u * 40.0, v * 18.7], [0.0, v])] {
            pose.must(Condition::Side { point, towards, room: exact(sides) }, Where::Sides);
        }
    }
    for (x, [along, across]) in [40.0, -40.0].into_iter().zip(off) {
        let off = [exact(-along), exact(-across)];
        pose.must(Condition::Round { point: [x, 0.0], off, room: exact(play), corner: None }, Where::Alike);
    }
    pose
}

fn margin(pose: &Pose) -> f64 {
    pose.certificates()[0].margin.value().as_mm()
}

/// A part that is 0.2 mm too wide at its bass end and has 0.4 mm to spare at the other: with room at the bass end it goes in,
/// with room at the treble end it does not.
#[test]
fn room_where_it_jams_lets_a_part_in() {
    let mut pose = Pose::default();
    for side in [1.0, -1.0] {
        let ends = [[-40.0, side * 19.0], [40.0, side * 19.0]];
        let rooms = [exact(-0.1), exact(0.05), exact(0.2)];
        pose.must(Condition::Along { ends, towards: [0.0, side], rooms }, Where::Sides);
        pose.must(
            Condition::Side { point: [side * 45.0, 0.0], towards: [side, 0.0], room: exact(0.3) },
            Where::Ends,
        );
    }
    let left = |towards| pose.relieved(towards).left();
    // Moved towards treble until the end has as little left as the sides, it is beside a wider place of these.
    let slope = 0.3 / 80.0;
    let by_hand = (0.3 * slope - 0.1) / (1.0 + slope);
    assert!((pose.left() - by_hand).abs() < 1e-6, "{} {by_hand}", pose.left());
    assert!((left([-1.0, 0.0]) - 0.05).abs() < 1e-6, "{}", left([-1.0, 0.0]));
    assert!((left([1.0, 0.0]) + 0.1).abs() < 1e-6, "{}", left([1.0, 0.0]));
}

/// Closed forms: what the sides and the screws leave is shared where the part goes half the way to the screws.
#[test]
fn a_part_goes_half_the_way_to_its_screws() {
    let (sides, play) = (0.3, 0.325);
    assert!((margin(&body(sides, play, [[0.0; 2]; 2])) - 0.3).abs() < 1e-9);
    for (by, expected) in [(0.45, 0.0875), (1.5, -0.4375)] {
        for [x, y] in [[by, 0.0], [0.0, by], [0.0, -by]] {
            let found = margin(&body(sides, play, [[x, y]; 2]));
            assert!((found - expected).abs() < 1e-6, "{x} {y}: {found}");
        }
    }
    // Screws that stand apart by 0.5 more than the holes take a quarter of it each, wherever the part lies.
    let found = margin(&body(2.0, play, [[0.25, 0.0], [-0.25, 0.0]]));
    assert!((found - 0.075).abs() < 1e-6, "{found}");
    // One screw to the neck and one to the bridge: the part turns about its middle, and its sides' ends at 40 go
    // as far as its screws.
    let found = margin(&body(sides, play, [[0.0, 0.4], [0.0, -0.4]]));
    assert!((found - (0.3 + 0.325 - 0.4) / 2.0).abs() < 1e-6, "{found}");
}

/// Closed form: sides leave 0.3 either way, and screws that stand 0.1 towards treble with 0.2 round them leave -0.1 to 0.3; across
/// they leave 0.2 either way, what Pythagoras takes off it included.
#[test]
fn a_part_is_moved_as_far_as_sides_and_screws_let_it() {
    let mut pose = Pose::default();
    for (condition, _) in &body(0.3, 0.2, [[0.1, 0.0]; 2]).conditions {
        pose.within(condition.clone());
    }
    let reaches = |towards| pose.reaches([0.0; 2], towards).unwrap().map(|e| e.value().as_mm());
    let [to_treble, to_bass] = reaches([1.0, 0.0]);
    assert!((to_treble - 0.3).abs() < 1e-6 && (to_bass - 0.1).abs() < 1e-6, "{to_treble} {to_bass}");
    let [to_neck, to_bridge] = reaches([0.0, 1.0]);
    assert!((to_neck - 0.2).abs() < 1e-6 && (to_bridge - 0.2).abs() < 1e-6, "{to_neck} {to_bridge}");
}

/// Closed form: screws at (40, 2) and (-40, -2) are further from the middle than holes at 40, however the part is turned, by
/// the root of 40² + 2² less 40. A turn taken for linear would bring the holes over the screws.
#[test]
fn a_turn_is_a_turn() {
    let pose = body(9.0, 0.3, [[0.0, 2.0], [0.0, -2.0]]).at_its_turn();
    let expected = 0.3 - (1604f64.sqrt() - 40.0);
    assert!((margin(&pose) - expected).abs() < 1e-6, "{} {expected}", margin(&pose));
    assert!((pose.turned - 0.05f64.arctangent()).abs() < 1e-4, "{}", pose.turned);
}

/// Closed form: beside a side that bows inwards by 0.1 as a parabola over 2 · 40, and lies askew by 0.02 at either end, a
/// straight side touches where the bow's slope is the side's own: 0.02²/(4 · 0.1) deeper than in the middle. Held where it is
/// by the other side, it has that less to spare.
#[test]
fn a_straight_side_touches_a_bow_where_their_slopes_are_alike() {
    let mut pose = Pose::default();
    let rooms = [0.3 - 0.02, 0.2, 0.3 + 0.02].map(exact);
    let ends = [[-40.0, 18.0], [40.0, 18.0]];
    pose.must(Condition::Along { ends, towards: [0.0, 1.0], rooms }, Where::Sides);
    for x in [40.0, -40.0] {
        pose.within(Condition::Side { point: [x, -18.0], towards: [0.0, -1.0], room: exact(0.0) });
        pose.within(Condition::Side { point: [x, -18.0], towards: [0.0, 1.0], room: exact(0.0) });
        pose.within(Condition::Side { point: [x, 0.0], towards: [x.signum(), 0.0], room: exact(0.0) });
    }
    let expected = 0.2 - 0.02f64.power(2) / (4.0 * 0.1);
    assert!((margin(&pose) - expected).abs() < 1e-6, "{} {expected}", margin(&pose));
    // Bowed outwards it touches at an end only.
    let outwards = pose.with(|e| if e.value().as_mm() == 0.2 { exact(0.4) } else { e.clone() });
    assert!((margin(&outwards) - 0.28).abs() < 1e-6, "{}", margin(&outwards));
}

/// Thirds over dx, dy and the turn find the best place of the same conditions, which are concave.
#[test]
fn no_other_place_is_better() {
    let mut state = 7u64;
    let mut draw = |reach: f64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((state >> 33) as f64 / f64::from(1u32 << 31) * 2.0 - 1.0) * reach
    };
    for _ in 0..12 {
        let pose = body(0.2 + draw(0.1), 0.3, [[draw(0.4), draw(0.4)], [draw(0.4), draw(0.4)]]);
        let values: Vec<f64> = pose.inputs().iter().map(|e| e.value().as_mm()).collect();
        let at = pose.at(&values, true);
        let left = |dx, dy, turn| at.worst([dx, dy, turn], 0.0).map_or(0.0, |w| w.1);
        let best = thirds(|dx| thirds(|dy| thirds(|turn| left(dx, dy, turn)).1).1).1;
        assert!((best - margin(&pose)).abs() < 1e-4, "{best} {}", margin(&pose));
    }
}

fn thirds(f: impl Fn(f64) -> f64) -> (f64, f64) {
    let (mut low, mut high) = (-1.0, 1.0);
    for _ in 0..34 {
        let third = (high - low) / 3.0;
        if f(low + third) < f(high - third) { low += third } else { high -= third }
    }
    (low, f(low))
}

/// Of what must only hold nothing is shared: holes have the margin that is left where the sides stop the part.
#[test]
fn what_must_only_hold_stops_the_part() {
    let mut pose = Pose::default();
    for towards in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
        for end in [40.0, -40.0] {
            pose.within(Condition::Side { point: [end, end], towards, room: exact(0.3) });
        }
    }
    let off = [exact(-0.5), exact(0.0)];
    pose.must(Condition::Round { point: [0.0; 2], off, room: exact(0.4), corner: None }, Where::Alike);
    assert!((margin(&pose) - 0.2).abs() < 1e-9, "{}", margin(&pose));
}

/// The chance of a disc, in closed form: a screw that is off by σ each way is within r with 1 - exp(-r²/2σ²).
#[test]
fn a_screw_off_both_ways_is_in_a_disc() {
    let mut doubts = Doubts::default();
    let mut one = || doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(0.2));
    let mut pose = Pose::default();
    for towards in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
        for end in [40.0, -40.0] {
            pose.within(Condition::Side { point: [end, end], towards, room: exact(0.0) });
        }
    }
    let off = [one(), one()];
    pose.must(Condition::Round { point: [0.0; 2], off, room: exact(0.4), corner: None }, Where::Alike);
    let expected = 1.0 - (-2.0f64).exponential();
    assert!((pose.drawn(&doubts) - expected).abs() < 0.012, "{} {expected}", pose.drawn(&doubts));
}
