//! A row of rods beside the middle line: where strings cross it, and what stands in its way.

use bobbinwright_coil::bobbin::{Limit, core, rooms};
use bobbinwright_core::Prepared;
use bobbinwright_fit::{CheckKind, Verdict};
use bobbinwright_geometry::parts::{Layout, Refusal, build_family};
use bobbinwright_spec::{Family, Handed, Length, Poles};
use bobbinwright_tests::{demo, stated};

fn mm(mm: f64) -> Length {
    Length::from_mm(mm)
}

/// A demo whose file states the row's place.
fn beside(name: &str, offset: f64) -> Family {
    stated(name, &format!("row: (offset: mm({offset})),"))
}

fn prepared(family: Family) -> Prepared {
    Prepared::new(family).unwrap_or_else(|e| panic!("{e}"))
}

/// Each string's place over its rods by the layout, treble positive, string 1 first.
fn over(layout: &Layout, strings: usize) -> Vec<f64> {
    let each = layout.poles.len() / strings;
    let middle = |n: usize| {
        let rods = &layout.poles[each * (strings - 1 - n)..][..each];
        layout.handed.treble() * rods.iter().map(|rod| rod.x).sum::<f64>() / each as f64
    };
    (0..strings).map(middle).collect()
}

/// Strings that run square to the row fan out by what bridge and nut say; slanted ones run aside by the slant's tangent too:
/// that much further each rod stands when the row is moved, in the parts of either hand.
#[test]
fn rods_stand_where_the_strings_cross_the_row() {
    for name in ["tidewick", "transom"] {
        for handed in [Handed::Right, Handed::Left] {
            let there = |offset: f64| {
                let mut family = beside(name, offset);
                for position in &mut family.positions {
                    position.handed = handed;
                }
                let built = build_family(&family).unwrap_or_else(|e| panic!("{}", e[0]));
                let layout = built.into_iter().next().unwrap().layout;
                assert!(layout.poles.iter().all(|pole| (pole.y - offset).abs() < 1e-12));
                (over(&layout, family.strings), layout, family.positions[0].slant.as_radians())
            };
            let (before, middle, slant) = there(0.0);
            assert!(name == "tidewick" || (slant.to_degrees() - 11.0).abs() < 0.5);
            for offset in [4.0, -2.5] {
                let (after, layout, _) = there(offset);
                // The outer strings' distances in nut and bridge, less the mean of both gauges, over the scale.
                let fan = if name == "tidewick" { (53.35 - 37.15) / 685.75 } else { (53.0 - 36.3) / 648.25 };
                for (n, (a, b)) in after.iter().zip(&before).enumerate() {
                    let from_middle = 0.5 - n as f64 / 5.0;
                    // The bass end is nearer to the neck: towards the neck strings run towards bass.
                    let runs = -slant.tan() - fan * from_middle;
                    // Both were drawn to a hundredth.
                    assert!((a - b - offset * runs).abs() < 0.015, "{name} {n}: {} {}", a - b, offset * runs);
                }
                assert_eq!(layout.plate, middle.plate, "the plates stay in the middle of the hollow");
            }
        }
    }
}

/// Straight strings over rods that stand where these cross: the check is as good as in the middle, less what is not known of
/// how square they run.
#[test]
fn strings_fit_over_a_row_beside_the_middle() {
    for (name, offset) in [("tidewick", 3.0), ("tidewick", -3.0), ("transom", 2.0), ("transom", -2.0)] {
        let check = |family: Family| {
            let fit = prepared(family).fit;
            fit.checks.into_iter().find(|c| c.kind == CheckKind::StringBetweenPoles).unwrap()
        };
        let (there, here) = (check(beside(name, offset)), check(demo(name)));
        let changed = (there.margin.value() - here.margin.value()).as_mm();
        assert!(changed.abs() < 0.03, "{name}: {changed}");
        assert_eq!(there.verdict, Verdict::Fits);
        // Rods that stayed in the middle are beside slanted strings.
        let mut moved = beside(name, offset);
        let position = &mut moved.positions[0];
        let was: Vec<f64> = position.strings.iter().map(|s| s.place.value().as_mm()).collect();
        let is: Vec<f64> = position.strings.iter().map(|s| position.over_rods(s).value().as_mm()).collect();
        let most = was.iter().zip(&is).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        assert!(if name == "transom" { most > 0.3 } else { most < 0.1 }, "{most}");
    }
}

/// The coil's room ends at the plates' nearer edge.
#[test]
fn a_coil_has_the_room_on_the_nearer_side() {
    let room = |family: Family, limit: Limit| {
        let prepared = prepared(family);
        let (layout, hardware) = (&prepared.positions[0].layout, &prepared.family.hardware);
        let all = rooms(layout, hardware, core(layout, hardware, Length::ZERO));
        all.into_iter()
            .filter(|(_, l)| *l == limit)
            .map(|(room, _)| room.as_mm())
            .fold(f64::INFINITY, f64::min)
    };
    let of = |limit| [0.0, 2.0, -2.0].map(|offset| room(beside("tidewick", offset), limit));
    let [middle, neck, bridge] = of(Limit::Edge);
    assert!((middle - neck - 2.0).abs() < 1e-9 && (neck - bridge).abs() < 1e-9);
    let [middle, neck, bridge] = of(Limit::Eyelet);
    // Its eyelets are at one long edge: nearer to them there is less, further away more.
    assert!((middle - neck.min(bridge) - 2.0).abs() < 0.02 && (neck.max(bridge) - middle - 2.0).abs() < 0.02);
    // Bosses beside the row come nearer too, those on one side of it.
    let [middle, neck, bridge] = [0.0, 2.0, -2.0].map(|offset| room(beside("capstan", offset), Limit::Boss));
    assert!(neck < middle && bridge < middle, "{middle} {neck} {bridge}");
}

/// Bosses that stood in the row stand beside it when it is moved: they are cut out of the plates, on the other side.
#[test]
fn bosses_that_the_row_leaves_are_cut_out() {
    for (offset, to_neck) in [(7.0, false), (-7.0, true)] {
        let mut family = demo("tidewick");
        family.positions.truncate(1);
        let wanted = &mut family.positions[0].wanted;
        wanted.row_offset = Some(mm(offset));
        // Room for rods near a long edge, without eyelets and waists in their way.
        wanted.flatwork.eyelet_side =
            if to_neck { bobbinwright_spec::Side::Neck } else { bobbinwright_spec::Side::Bridge };
        let built = build_family(&family).unwrap_or_else(|e| panic!("{}", e[0]));
        let layout = &built[0].layout;
        assert_eq!(layout.reliefs.len(), 2);
        assert!(layout.reliefs.iter().all(|relief| relief.to_neck == to_neck && relief.corner));
        let outline = layout.plate_outline(layout.plate);
        for pole in &layout.poles {
            assert!(outline.contains(*pole));
        }
        for screw in &layout.screws {
            assert!(!outline.contains(*screw));
        }
    }
}

/// A row that runs out of its plates, into the eyelets or into bosses is refused by name, with the nearest place that works.
#[test]
fn a_row_that_is_too_far_off_is_refused_with_a_place_that_works() {
    let refusal = |family: &Family| -> Refusal {
        let Err(refused) = build_family(family) else { panic!("it was built") };
        refused.into_iter().next().unwrap()
    };
    for (name, offset) in [
        ("tidewick", 30.0),
        ("tidewick", -16.0),
        ("tidewick", 15.0),
        ("capstan", 14.0),
        ("capstan", -14.0),
        ("transom", -13.0),
        ("transom", 20.0),
        ("saltern", 60.0),
    ] {
        let mut family = demo(name);
        family.positions.truncate(1);
        family.positions[0].wanted.row_offset = Some(mm(offset));
        let refused = refusal(&family);
        assert_eq!((refused.parameter, refused.value), ("row.offset", Some(mm(offset))), "{name}: {refused}");
        let works = refused.works.unwrap_or_else(|| panic!("{name} {offset}: {refused}"));
        assert!(works.as_mm() * offset > 0.0 && works.abs() < mm(offset).abs(), "{name}: {works}");
        family.positions[0].wanted.row_offset = Some(works);
        assert!(build_family(&family).is_ok(), "{name}: {works} does not work");
        // A little further it does not.
        family.positions[0].wanted.row_offset = Some(works + mm(0.02 * offset.signum()));
        assert!(build_family(&family).is_err(), "{name}: {works} is not the limit");
    }
    let single = demo("saltern");
    assert!(single.positions.iter().all(|p| p.wanted.poles == Poles::Single));
}
