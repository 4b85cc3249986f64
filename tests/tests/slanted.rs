//! Covers for routs that are parallelograms and trapezoids.

use bobbinwright_core::Prepared;
use bobbinwright_fit::{CheckKind, Verdict};
use bobbinwright_geometry::parts::{rout_body, rout_outline};
use bobbinwright_kernel::plane::{Contour, Point, contour_distance};
use bobbinwright_spec::{CoverOutline, Handed, Length, Poles, Side};
use bobbinwright_tests::demo;
use bobbinwright_tests::slanted_bodies::eared_family;

fn prepared(handed: Handed) -> Prepared {
    let mut family = demo("transom");
    family.positions[0].handed = handed;
    Prepared::new(family).unwrap_or_else(|e| panic!("{e}"))
}

/// The cover is the rout with the gap off all round: the area of a parallelogram by its sides' distances, less what the corners
/// lack, r² (tan(t/2) - t/2) for a turn by t.
#[test]
fn a_cover_follows_slanted_sides() {
    for handed in [Handed::Right, Handed::Left] {
        let prepared = prepared(handed);
        let (position, layout) = (&prepared.family.positions[0], &prepared.positions[0].layout);
        let [length, width] = layout.square_size().map(Length::as_mm);
        let lean = (length / layout.length.as_mm()).acos();
        assert!((lean.tan() - 0.17).abs() < 0.003, "{lean}");
        let lost = |radius: f64, turn: f64| radius * radius * ((turn / 2.0).tan() - turn / 2.0);
        let corners: f64 = layout
            .corners
            .iter()
            .map(|([x, y], radius)| {
                // The ends lean towards bass at the neck: there, and opposite, the corners are sharp.
                let turn = std::f64::consts::FRAC_PI_2 - x * y * lean;
                lost(radius.as_mm(), turn)
            })
            .sum();
        let by_hand = length / lean.cos() * width - corners;
        assert!((layout.body.area() - by_hand).abs() < 1e-6, "{} {by_hand}", layout.body.area());
        let gap = layout.wanted.cover.fit_gap.as_mm();
        let beside = contour_distance(&layout.body, &rout_body(&position.rout, handed));
        assert!((beside - gap).abs() < 0.02, "{beside} {gap}");
        for screw in &layout.screws {
            assert!(layout.outline.contains(*screw));
        }
        // Left-handed it is the mirror image.
        let middle = rout_outline(&position.rout, handed).into_iter().next().unwrap().bounds();
        assert!((middle.max.x + middle.min.x).abs() < 0.3, "{middle:?}");
    }
}

/// The plates keep their play to the hollow: along slanted ends their corners come nearest.
#[test]
fn plates_keep_clear_of_slanted_walls() {
    let prepared = prepared(Handed::Right);
    let layout = &prepared.positions[0].layout;
    let (hollow, _) = layout.single_hollow(Length::ZERO).unwrap();
    let clear = contour_distance(&layout.plate_outline(layout.plate), &hollow);
    let play = layout.wanted.flatwork.play.as_mm();
    assert!((clear - play).abs() < 1e-6, "{clear} {play}");
    assert!(
        layout.poles.iter().all(|pole| Contour::circle(*pole, 1.0).bounds().max.x < layout.length.as_mm())
    );
    assert!(layout.body.contains(Point::origin()));
}

/// The largest rectangle along the row: as wide as the rout less the gap, its corners at the ends, or narrower where that
/// makes it larger; and it goes in.
#[test]
fn a_rectangle_goes_into_a_parallelogram() {
    const RADIUS: f64 = 6.6;
    let mut family = demo("transom");
    family.positions[0].wanted.cover.outline = CoverOutline::Rectangle;
    // Rounder than the rout, so that its corners are beside it where its sides are.
    family.positions[0].wanted.cover.corner_radius = Some(Length::from_mm(RADIUS));
    let prepared = Prepared::new(family).unwrap_or_else(|e| panic!("{e}"));
    let (position, layout) = (&prepared.family.positions[0], &prepared.positions[0].layout);
    let gap = layout.wanted.cover.fit_gap.as_mm();
    let bounds = layout.body.bounds();
    let [along, across] = [bounds.max.x - bounds.min.x, bounds.max.y - bounds.min.y];
    assert!(
        (along * across - (4.0 - std::f64::consts::PI) * RADIUS * RADIUS - layout.body.area()).abs() < 1e-6
    );
    let rout = rout_body(&position.rout, position.handed);
    assert!(contour_distance(&layout.body, &rout) > gap - 0.02, "{along} {across}");
    // Any longer, or any wider, it comes nearer to a side than the gap.
    let larger = |x: f64, y: f64| {
        let body = Contour::rounded_rectangle(Point::origin(), along + x, across + y, RADIUS);
        contour_distance(&body, &rout)
    };
    assert!(larger(0.2, 0.0) < gap && larger(0.0, 1.5) < gap);
    let check = prepared.fit.checks.iter().find(|c| c.kind == CheckKind::CoverInRout).unwrap();
    assert_eq!(check.verdict, Verdict::Fits, "{}", check.margin.value());
}

#[test]
fn it_goes_in_as_its_gap_says() {
    for handed in [Handed::Right, Handed::Left] {
        let prepared = prepared(handed);
        let check = prepared.fit.checks.iter().find(|c| c.kind == CheckKind::CoverInRout).unwrap();
        let gap = prepared.positions[0].layout.wanted.cover.fit_gap.as_mm();
        assert_eq!(check.verdict, Verdict::Fits, "{}", check.margin.value());
        // Beside bowed sides a little less, and what it may turn a little more.
        assert!((check.margin.value().as_mm() - gap).abs() < 0.08, "{} {gap}", check.margin.value());
    }
}

/// The middle of a parallelogram's bridge side stands aside of the middle line by half the width times the lean; that of a
/// rectangular cover in it does not, so its lead-out at the same offset is as far from the channel's mouth.
#[test]
fn a_lead_out_is_held_against_the_mouth_on_the_routs_own_side() {
    for handed in [Handed::Right, Handed::Left] {
        let margin = |outline| {
            let mut family = demo("transom");
            family.positions[0].handed = handed;
            family.positions[0].wanted.cover.outline = outline;
            let prepared = Prepared::new(family).unwrap_or_else(|e| panic!("{e}"));
            let check = prepared.fit.checks.iter().find(|c| c.kind == CheckKind::LeadOutAtChannel).unwrap();
            // Of a lead-out of 6 mm what the lead leaves on either side.
            let room = (6.0 - prepared.family.hardware.lead_diameter.value().as_mm()) / 2.0;
            let width = prepared.family.positions[0].rout.width.value().as_mm();
            (check.margin.value().as_mm(), room, width)
        };
        let (follows, room, _) = margin(CoverOutline::AsRouted);
        assert!((follows - (room - 0.06)).abs() < 0.06, "{follows} {room}");
        let (rectangle, room, width) = margin(CoverOutline::Rectangle);
        let aside = 0.06 + 0.17 * width / 2.0;
        assert!((rectangle - (room - aside)).abs() < 0.06, "{rectangle} {room} {aside}");
    }
}

/// Ears stand square to slanted sides, so that each adds its rectangle less what its corners lack, and what its blends fill:
/// r² (1 - π/4) each. They go into their recesses with the gap all round, for either hand.
#[test]
fn ears_stand_square_to_slanted_sides() {
    let all = [
        &[Side::Treble, Side::Bass][..],
        &[Side::Neck, Side::Bridge],
        &[Side::Bass, Side::Neck, Side::Bridge],
    ];
    for number in 0..6 {
        for sides in all {
            for handed in [Handed::Right, Handed::Left] {
                let mut family = eared_family(number, sides);
                family.positions[0].handed = handed;
                let prepared = Prepared::new(family).unwrap_or_else(|e| panic!("{number} {sides:?}: {e}"));
                let (position, layout) = (&prepared.family.positions[0], &prepared.positions[0].layout);
                let ear = layout.ears.unwrap();
                let [length, width, radius, blend] =
                    [ear.length, ear.width, ear.corner_radius, ear.blend].map(Length::as_mm);
                let corners = 2.0 * (1.0 - std::f64::consts::FRAC_PI_4) * (blend * blend - radius * radius);
                let by_hand = (length * width + corners) * sides.len() as f64;
                let found = layout.outline.area() - layout.body.area();
                assert!((found - by_hand).abs() < 1e-6, "{number} {sides:?}: {found} {by_hand}");
                for (tab, side) in layout.tabs.iter().zip(sides) {
                    let facing = position.rout.facing(*side);
                    let [x, y] = [tab.out.x * handed.treble(), tab.out.y];
                    assert!((x * facing.out[0] + y * facing.out[1] - 1.0).abs() < 1e-4, "{x} {y} {facing:?}");
                }
                let [rout] = &rout_outline(&position.rout, handed)[..] else { panic!("it fell apart") };
                assert!(layout.screws.iter().all(|screw| layout.outline.contains(*screw)));
                // The body's sharp corners come nearer to the blends' arcs, whose middles are as far from both sides.
                let gap = layout.wanted.cover.fit_gap.as_mm();
                let gap = gap.min(blend - (blend - gap).max(0.0) * std::f64::consts::SQRT_2);
                let beside = contour_distance(&layout.outline, rout);
                // Sides are drawn to a hundredth.
                assert!((beside - gap).abs() < 0.02, "{number} {sides:?}: {beside} {gap}");
                let check = |kind| prepared.fit.checks.iter().find(|c| c.kind == kind).unwrap();
                for kind in [CheckKind::EarsInRecesses, CheckKind::BaseplateEarsInRecesses] {
                    let margin = check(kind).least().as_mm();
                    assert!((margin - gap).abs() < 0.02, "{number} {sides:?}: {margin} {gap}");
                }
                assert!(check(CheckKind::HeadOnEar).margin.value().as_mm() > 1.0);
            }
        }
    }
}

/// A string between two rods passes them square to itself: of half their distance along the row the slant's cosine is left.
#[test]
fn rods_are_as_near_to_a_slanted_string_as_they_are_square_to_it() {
    let family = demo("leeward");
    let position = &family.positions[0];
    let Poles::Pair { spread } = position.wanted.poles else { panic!("the leeward has pairs") };
    let slant = position.slant.as_degrees().to_radians();
    assert!(slant > 0.15, "{slant}");
    let rod = family.hardware.rod_diameter.value().as_mm();
    let prepared = Prepared::new(family.clone()).unwrap();
    let check = prepared.fit.checks.iter().find(|c| c.kind == CheckKind::StringBetweenPoles).unwrap();
    let figure =
        |label: &str| check.figures.iter().find(|f| f.label.starts_with(label)).unwrap().value.as_mm();
    let (aside, thickest) = (figure("middle of that play"), figure("diameter of string"));
    let string = position.strings.last().unwrap();
    // Rods stand on hundredths.
    let poles = &prepared.positions[0].layout.poles;
    let off =
        string.at(position.wanted.row()).value().as_mm() - aside - f64::midpoint(poles[0].x, poles[1].x);
    let by_hand = (spread.as_mm() / 2.0 - off.abs()) * slant.cos() - rod / 2.0 - thickest / 2.0;
    let found = check.margin.value().as_mm();
    assert!((found - by_hand).abs() < 1e-6, "{found} {by_hand}");
}
