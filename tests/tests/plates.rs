//! Parts on the bed: plates, ways to lie, and what they cost.

use bobbinwright_kernel::mesh::mesh;
use bobbinwright_kernel::solid::build;
use bobbinwright_print::cost::cost;
use bobbinwright_print::plates::{Place, plates};
use bobbinwright_print::{Marked, Seen, coupon, lay};
use bobbinwright_spec::printer::coupon::Coupon;
use bobbinwright_spec::{BedSide, Length, PartKind};
use bobbinwright_tests::{FITTING, demo};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};

fn mm(v: f64) -> Length {
    Length::from_mm(v)
}

/// Random parts on random beds: each lies on a plate once, inside the bed, and no two are nearer than
/// the spacing.
#[test]
fn parts_lie_apart_on_the_bed() {
    let mut printer = demo("tidewick").printer;
    for run in 0..500 {
        let mut rng = ChaCha8Rng::seed_from_u64(run);
        printer.bed = [mm(rng.random_range(100.0..250.0)), mm(rng.random_range(100.0..250.0)), mm(100.0)];
        printer.spacing = mm(rng.random_range(1.0..12.0));
        let mut size = || [mm(rng.random_range(5.0..100.0)), mm(rng.random_range(5.0..100.0)), mm(10.0)];
        let sizes: Vec<[Length; 3]> = (0..12).map(|_| size()).collect();
        let all = plates(&sizes, &printer).unwrap();
        let mut seen: Vec<usize> = all.iter().flatten().map(|p| p.part).collect();
        seen.sort_unstable();
        assert_eq!(seen, (0..12).collect::<Vec<_>>());
        for plate in &all {
            for (i, a) in plate.iter().enumerate() {
                let end = |p: &Place, axis: usize| (p.at[axis] + sizes[p.part][axis]).as_mm();
                for axis in [0, 1] {
                    assert!(a.at[axis].as_mm() >= -1e-9 && end(a, axis) <= printer.bed[axis].as_mm() + 1e-9);
                }
                for b in &plate[i + 1..] {
                    let gap = |axis: usize| {
                        (b.at[axis].as_mm() - end(a, axis)).max(a.at[axis].as_mm() - end(b, axis))
                    };
                    assert!(gap(0).max(gap(1)) >= printer.spacing.as_mm() - 1e-9, "run {run}");
                }
            }
        }
    }
}

/// Covers lie on their tops, where nothing in the hollow needs support; the bed and the rounded edge's
/// first layers mark what is seen, and the numbers say how much. Plates lie as they are drawn.
#[test]
fn the_recommended_way_to_lie() {
    for name in FITTING {
        let family = demo(name);
        let prepared = bobbinwright_core::Prepared::new(family).unwrap_or_else(|e| panic!("{e}"));
        let laid = lay(&prepared.family, &prepared.positions, 0.05).unwrap();
        for part in &laid.parts {
            let layout = &prepared.positions[part.position].layout;
            let upright = part.weighed.with(BedSide::Underside);
            if part.kind != PartKind::Cover {
                assert_eq!(part.chosen.lie.side, BedSide::Underside, "{name} {:?}", part.kind);
                assert_eq!(part.chosen.support_volume, 0.0);
                continue;
            }
            // Over the bed lies the hollow, less what stands in it: never more than its box.
            let inside = layout.hollow_height().as_mm();
            let boxed = (layout.length - layout.wanted.cover.wall * 2.0).as_mm()
                * (layout.width - layout.wanted.cover.wall * 2.0).as_mm()
                * inside;
            assert!(upright.support_volume > 0.6 * boxed && upright.support_volume < boxed, "{name}");
            assert!(upright.marks.iter().all(|m| m.by == Marked::Bed), "{name}");
            let over = part.weighed.with(BedSide::Top);
            let marked = |seen, by| over.marks.iter().find(|m| m.seen == seen && m.by == by);
            assert!(marked(Seen::Top, Marked::Bed).is_some(), "{name}");
            if layout.ears.is_none() {
                assert_eq!(part.chosen.lie.side, BedSide::Top, "{name}");
            } else {
                // Upside down the ears' seen faces would stand on support.
                assert!(marked(Seen::Ears, Marked::Support).is_some(), "{name}");
            }
        }
    }
}

/// A rounding of radius r that begins on the bed leans more than 45° up to r (1 - sin 45°) over it. On a
/// straight edge that is an eighth of a turn: r π/4 wide; on a corner of radius R the arc's centre line
/// lies nearer by what an eighth of a turn is off on average.
#[test]
fn the_rounded_edge_droops_by_the_closed_form() {
    let prepared = bobbinwright_core::Prepared::new(demo("tidewick")).unwrap_or_else(|e| panic!("{e}"));
    let laid = lay(&prepared.family, &prepared.positions, 0.05).unwrap();
    let (part, layout) = (&laid.parts[0], &prepared.positions[0].layout);
    let (r, corner) = (layout.wanted.cover.rounding.as_mm(), layout.sharpest().as_mm());
    let straight = 2.0 * (layout.length + layout.width).as_mm() - 8.0 * corner;
    let eighth = std::f64::consts::FRAC_PI_4;
    // A turn at the distance R - r + r sin φ, from the bottom (φ = 0) to φ = 45°.
    let corners = std::f64::consts::TAU * r * ((corner - r) * eighth + r * (1.0 - eighth.cos()));
    let expected = straight * r * eighth + corners;
    let drooping: f64 =
        part.weighed.with(BedSide::Top).marks.iter().filter(|m| m.by == Marked::Droop).map(|m| m.area).sum();
    // The mesh's facets are as wide as the chord tolerance of 0.01 mm lets them be: φ = 2 acos(1 - 0.01/r)
    // or 14° at r = 1.4; the one that straddles 45° counts whole or not at all.
    let facet = straight * r * 2.0 * (1.0f64 - 0.01 / r).acos();
    assert!((drooping - expected).abs() <= facet, "{drooping} {expected} {facet}");
}

/// A litre of PLA weighs 1.24 kg, and a metre of filament of 1.75 mm holds 2405.28 mm³ (π/4 · 1.75² ·
/// 1000).
#[test]
fn mass_and_filament() {
    let printer = demo("tidewick").printer;
    let found = cost(1e6, 0.0, 0, &printer);
    assert!((found.mass - 1240.0).abs() < 1e-9);
    assert!((found.filament.as_mm() / 1000.0 - 1e6 / 2_405.281_875).abs() < 1e-3);
    assert!(found.time[0] < found.time[1]);
}

/// The coupon against a sum done by hand: an angle of 90 and 60 by 16, 3 thick, less window and holes,
/// with step and tower of 14 and 7 by 14, and two posts, each 6 high.
#[test]
fn the_coupons_volume() {
    let holes = [2.6, 3.6, 5.0, 6.4];
    let coupon_of = Coupon::new(mm(0.2), &holes.map(mm));
    let solid = build(&coupon::stack(&coupon_of)).unwrap();
    let circle = |d: f64| std::f64::consts::FRAC_PI_4 * d * d;
    let plate = 3.0 * (90.0 * 16.0 + 44.0 * 16.0 - 64.0 - holes.iter().map(|d| circle(*d)).sum::<f64>());
    let tops = 6.0 * (14.0 * 14.0 + 7.0 * 14.0 + circle(6.0) + circle(10.0));
    assert!((solid.volume - plate - tops).abs() < 1e-9, "{} {}", solid.volume, plate + tops);
    assert_eq!(solid.through_holes, 5);
    assert!(mesh(&solid, 0.01).is_ok());
}
