//! Parts that can't be made: the refusal names the dimension, its value, and a value that works.

use std::path::Path;

use bobbinwright_geometry::parts::{PartKind, Refusal, Remedy, build_family, build_part};
use bobbinwright_spec::{Family, Folder, Length, Mounting, parameter};

/// A demo family.
fn demo(name: &str) -> Family {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs").join(name);
    Family::load(&Folder::on_disk(&folder)).unwrap_or_else(|e| panic!("{e}"))
}

/// A demo family with one dimension changed at every position.
fn changed(name: &str, path: &str, mm: f64) -> Family {
    let mut family = demo(name);
    for position in &mut family.positions {
        let field = parameter(path).and_then(|p| (p.field)(&mut position.wanted));
        *field.unwrap_or_else(|| panic!("{name} has no {path}")) = Length::from_mm(mm);
    }
    family
}

fn refusal(family: &Family) -> Refusal {
    let Err(refusals) = build_family(family) else { panic!("it was built") };
    refusals.into_iter().next().expect("a refusal for a family that was not built")
}

/// Everything that is refused is refused with a value that builds, for the part that was refused.
#[test]
fn the_value_that_is_said_to_work_works() {
    let cases = [
        ("tidewick", "cover.rounding", 7.0, "cover.rounding"),
        ("tidewick", "cover.rounding", 5.7, "cover.rounding"),
        ("tidewick", "cover.roof", 18.5, "cover.roof"),
        ("tidewick", "cover.corner_radius", 30.0, "cover.corner_radius"),
        ("tidewick", "cover.mounting.recess_diameter", 9.5, "cover.mounting.recess_diameter"),
        ("tidewick", "cover.mounting.diameter", 3.0, "cover.mounting.diameter"),
        ("tidewick", "cover.lead_out.height", 17.0, "cover.lead_out.height"),
        ("tidewick", "cover.lead_out.offset", 44.0, "cover.lead_out.offset"),
        ("tidewick", "flatwork.pole_hole", 5.0, "flatwork.pole_hole"),
        ("tidewick", "flatwork.eyelets.inset", 14.0, "flatwork.eyelets.inset"),
        ("tidewick", "flatwork.waists.depth", 3.0, "flatwork.waists.depth"),
        ("tidewick", "flatwork.mark_radius", 6.0, "flatwork.mark_radius"),
        ("saltern", "cover.pole_hole", 9.6, "cover.pole_hole"),
        ("gunwale", "cover.mounting.thickness", 17.0, "cover.mounting.thickness"),
    ];
    for (name, path, value, blamed) in cases {
        let family = changed(name, path, value);
        let refusal = refusal(&family);
        assert_eq!(refusal.parameter, blamed, "{name} {path} = {value}: {refusal}");
        let Some(works) = refusal.works else {
            panic!("{name} {path} = {value}: {refusal}, and nothing is said to work");
        };
        let mended = changed_from(&family, refusal.parameter, works);
        let position = mended.positions.iter().find(|p| p.name == refusal.position).unwrap();
        let built = build_part(position, &mended.hardware, refusal.part);
        assert!(built.is_ok(), "{name} {path} = {value}: {works} does not work: {}", built.unwrap_err());
        println!("{refusal}; {} {works} works", refusal.parameter);
    }
}

fn changed_from(family: &Family, path: &str, value: Length) -> Family {
    let mut family = family.clone();
    for position in &mut family.positions {
        if let Some(field) = parameter(path).and_then(|p| (p.field)(&mut position.wanted)) {
            *field = value;
        }
    }
    family
}

/// The largest rounding is the corner radius, the largest value that is named is that.
#[test]
fn the_largest_rounding_is_the_corner_radius_or_the_nearest_hole() {
    // Bosses: a head recess ends 2.78 mm from the end of the cover.
    let refused = refusal(&changed("tidewick", "cover.rounding", 7.0));
    assert_eq!(refused.part, PartKind::Cover);
    let family = demo("tidewick");
    let half = family.positions[0].rout.length.value() / 2.0 - Length::from_mm(0.35);
    let far =
        family.positions[0].rout.screws.iter().map(|s| s.along.value().abs()).fold(Length::ZERO, Length::max);
    let limit = half - far - Length::from_mm(3.2);
    let works = refused.works.unwrap();
    // The cover's length and the screws' places are drawn to a hundredth.
    assert!((limit - works).as_mm().abs() < 0.02, "{works} of {limit}");
    // Ears: nothing stands on the top, so the corner radius of 0.150 in decides.
    let refused = refusal(&changed("gunwale", "cover.rounding", 9.0));
    let works = refused.works.unwrap();
    assert!((works.as_mm() - 3.81).abs() < 1e-9, "{works}");
}

/// Equality is allowed where it makes sense.
#[test]
fn rounding_may_equal_the_corner_radius() {
    let mut family = demo("gunwale");
    let radius = family.positions[0].wanted.cover.corner_radius;
    family.positions[0].wanted.cover.rounding = radius.unwrap();
    assert!(build_family(&family).is_ok());
}

/// Bosses that stand free in the hollow, air all round them: cover and lip build, each boss keeps its
/// screw hole, and the hole makes a through hole.
#[test]
fn free_standing_bosses_build() {
    let mut family = demo("tidewick");
    family.positions.truncate(1);
    let position = &mut family.positions[0];
    for (screw, along) in position.rout.screws.iter_mut().zip([35.0, -35.0]) {
        screw.along = bobbinwright_spec::Estimate::exact(Length::from_mm(along));
    }
    position.wanted.flatwork.length = Some(Length::from_mm(58.8));
    position.wanted.flatwork.mark_radius = Length::from_mm(0.5);
    let built = build_family(&family).unwrap_or_else(|e| panic!("{}", e[0]));
    let cover = &built[0].parts[0];
    assert_eq!(cover.solid.through_holes, 2);
    let baseplate = &built[0].parts[1];
    assert_eq!(baseplate.solid.through_holes, 2);
    assert_eq!(cover.stack.with_role(bobbinwright_geometry::Role::Boss).count(), 2);
}

/// Found by random families: a slot that goes on under the lip, where a boss makes the lip wide, left a bridge over a
/// tunnel. Above the slot the lip is open as far as the slot reaches.
#[test]
fn no_lip_bridges_the_leads_slot() {
    let family = demo("tidewick");
    let mut position = family.positions[0].clone();
    position.wanted.cover.lead_out.side = bobbinwright_spec::Side::Bass;
    position.wanted.cover.lead_out.offset = Length::from_mm(6.0);
    position.wanted.baseplate.lead_depth = Some(Length::from_mm(20.0));
    position.wanted.baseplate.lip.as_mut().unwrap().wall = Length::from_mm(6.0);
    let plate =
        build_part(&position, &family.hardware, PartKind::Baseplate).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(plate.solid.through_holes, 2, "two screw holes and no tunnel");
}

/// Found by random families: the recess ended where the hollow did, or pole holes left a web of a few thousandths of a
/// millimetre between them.
#[test]
fn cuts_that_nearly_meet_are_refused() {
    // Both end at 16.70 mm, and the recess is wider than its boss.
    let deep = changed("tidewick", "cover.mounting.recess_depth", 1.8);
    let family = changed_from(&deep, "cover.mounting.diameter", Length::from_mm(5.0));
    assert_eq!(refusal(&family).parameter, "cover.mounting.recess_diameter");
    let spread = demo("tidewick").positions[0].wanted.flatwork.pole_hole + Length::from_mm(0.01);
    let refused = refusal(&changed("tidewick", "poles.spread", spread.as_mm()));
    assert_eq!(refused.parameter, "flatwork.pole_hole");
    assert!(refused.why.to_string().contains("run into each other"), "{refused}");
}

/// What is wrong is the kind of mounting, so another kind is named, and it can be made: with the recesses that the
/// body has, and where it has none with ears round the heads.
#[test]
fn bosses_that_do_not_reach_the_screws_are_answered_with_ears() {
    let bosses = Mounting::Bosses {
        diameter: Length::from_mm(8.6),
        recess_diameter: Length::from_mm(6.2),
        recess_depth: Length::from_mm(2.0),
    };
    for recesses in [true, false] {
        let mut family = demo("gunwale");
        let position = &mut family.positions[0];
        position.wanted.cover.mounting = bosses;
        if !recesses {
            position.rout.ears = None;
        }
        let Err(refusals) = build_family(&family) else { panic!("it was built") };
        assert_eq!(refusals.len(), 2, "cover and baseplate: {refusals:?}");
        for refused in refusals {
            assert_eq!((refused.parameter, refused.value), ("cover.mounting", None));
            let Some(Remedy::Mounting(ears)) = refused.instead.as_deref() else { panic!("{refused:?}") };
            let Mounting::Ears { length, .. } = ears else { panic!("{ears}") };
            assert_eq!(length.is_none(), recesses, "{ears}");
            let mut mended = family.clone();
            assert!(refused.mend_in(&mut mended.positions[0]));
            build_family(&mended).unwrap_or_else(|e| panic!("{ears}: {e:?}"));
        }
    }
}

/// Ears whose length is stated too short for the screws: the length that reaches them is named.
#[test]
fn ears_that_do_not_reach_the_screws_are_made_longer() {
    let mut family = demo("gunwale");
    let Mounting::Ears { length, .. } = &mut family.positions[0].wanted.cover.mounting else {
        panic!("no ears")
    };
    *length = Some(Length::from_mm(5.0));
    let refused = refusal(&family);
    assert_eq!(refused.parameter, "cover.mounting.length");
    assert!(refused.mend_in(&mut family.positions[0]), "{refused:?}");
    build_family(&family).unwrap_or_else(|e| panic!("{e:?}"));
}
