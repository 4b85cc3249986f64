//! Pickups held by screws and ears anywhere: what moves what.

use bobbinwright_core::Prepared;
use bobbinwright_fit::{Check, Verdict};
use bobbinwright_spec::{Estimate, Family, Length, SourceFile};
use bobbinwright_tests::{demo, folder};

fn mm(value: f64) -> Estimate {
    Estimate::exact(Length::from_mm(value))
}

fn check(family: Family, name: &str) -> Check {
    let prepared = Prepared::new(family).unwrap_or_else(|e| panic!("{e}"));
    prepared.fit.checks.iter().find(|c| c.kind.name() == name).unwrap().clone()
}

/// Parts for the body as it is, judged in the body as it is known later.
fn judged_later(family: &Family, later: &Family, name: &str) -> Check {
    let built = bobbinwright_geometry::parts::build_family(family).unwrap();
    let fit = bobbinwright_fit::check(later, &built, &[]);
    fit.checks.iter().find(|c| c.kind.name() == name).unwrap().clone()
}

/// Each of four screws counts: one that stands 0.9 mm from where it was read is met by no hole, whichever it is; all of them
/// moved alike by what the rout leaves are.
#[test]
fn each_of_four_screws_counts() {
    let family = demo("capstan");
    for screw in 0..4 {
        let mut later = family.clone();
        let at = &mut later.positions[0].rout.screws[screw];
        at.across = at.across.clone() + mm(1.2);
        let found = judged_later(&family, &later, "cover-screw-holes");
        assert_eq!(found.verdict, Verdict::Clashes, "{screw}: {:?}", found.margin);
    }
    let mut later = family.clone();
    for at in &mut later.positions[0].rout.screws {
        at.across = at.across.clone() + mm(0.3);
    }
    let found = judged_later(&family, &later, "cover-screw-holes");
    assert_eq!(found.verdict, Verdict::Fits, "{:?}", found.margin);
}

/// A body with one recess 0.9 mm off where it was read: moved and turned by a degree both ears would go in, but the rout does
/// not let the cover lie so. Parts drawn for that body fit as before.
#[test]
fn ears_follow_their_recesses_as_far_as_the_rout_lets_them() {
    let family = demo("halyard");
    let before = check(family.clone(), "ears-in-recesses").margin.value().as_mm();
    for (ear, sign) in [(0, 1.0), (1, -1.0)] {
        let mut later = family.clone();
        let at = &mut later.positions[0].rout.ears.as_mut().unwrap().at[ear];
        at.offset = at.offset.clone() + mm(0.9 * sign);
        let built = bobbinwright_geometry::parts::build_family(&family).unwrap();
        let fit = bobbinwright_fit::check(&later, &built, &[]);
        let ears = fit.checks.iter().find(|c| c.kind.name() == "ears-in-recesses").unwrap();
        assert!(ears.margin.value() < Length::ZERO, "{ear}: {}", ears.margin.value());
        assert_ne!(fit.verdict(), Verdict::Fits, "{ear}: {:?}", fit.wholes());
        let drawn = check(later, "ears-in-recesses").margin.value().as_mm();
        assert!((drawn - before).abs() < 0.03, "{ear}: {drawn} {before}");
    }
}

/// An end that has no recess goes on through its middle, and may bow inwards there: by 0.6 mm in all, 0.3 are
/// missing at each.
#[test]
fn an_end_without_a_recess_bows_inwards() {
    let family = demo("halyard");
    let file = |name: &str| std::fs::read_to_string(folder("halyard").join(name)).unwrap();
    let middle = "of: \"bridge.rout.length\", spot: \"middle\", got: mm([";
    let log = file("readings.ron");
    let (before, read) = log.split_once(middle).unwrap();
    let (_, rest) = read.split_once("])").unwrap();
    let bowed = format!("{before}{middle}101.70, 101.71]){rest}");
    let source = |name: &str, text: String| SourceFile { name: name.into(), text };
    let later =
        Family::read("halyard", source("family.ron", file("family.ron")), source("readings.ron", bowed));
    let later = later.unwrap_or_else(|e| panic!("{e}"));
    let [before, after] =
        [&family, &later].map(|f| judged_later(&family, f, "cover-in-rout").margin.value().as_mm());
    assert!(after < before - 0.2, "{before} {after}");
}

/// A head lies in its ear's recess: wider than the recess leaves room for, it meets the body.
#[test]
fn a_head_meets_the_walls_of_its_recess() {
    let mut family = demo("halyard");
    let screw = family.positions[0].rout.screws[0].along.clone();
    let at = &mut family.positions[0].rout.ears.as_mut().unwrap().at[0];
    // The screw 4.9 mm off its recess's middle, which is 15.8 wide: 3.0 to the flank. The head is 5.3.
    at.offset = screw + mm(4.9);
    let found = check(family.clone(), "head-on-ear");
    assert!(
        (found.margin.value().as_mm() - (15.82 / 2.0 - 4.9 - 5.3 / 2.0)).abs() < 0.05,
        "{:?}",
        found.margin
    );
    family.hardware.screw_head = mm(7.0);
    assert_eq!(check(family, "head-on-ear").verdict, Verdict::Clashes);
}

/// Bosses beside the row are cut out of the plates, and the coil keeps clear of them; in the row they end the plates.
#[test]
fn plates_go_round_bosses_beside_the_row() {
    let prepared = Prepared::new(demo("capstan")).unwrap_or_else(|e| panic!("{e}"));
    let layout = &prepared.positions[0].layout;
    assert_eq!(layout.reliefs.len(), 4);
    // Wall to wall less wall, lip and play.
    let inside = layout.length.as_mm() - 2.0 * (2.2 + 0.25 + 1.2 + 0.3);
    assert!((layout.plate.length.as_mm() - inside).abs() < 1e-9);
    for (relief, screw) in layout.reliefs.iter().zip(&layout.screws) {
        assert!((relief.radius - (8.8 / 2.0 + 0.25 + 1.2 + 0.3)).abs() < 1e-9 && relief.corner);
        assert_eq!(relief.center, *screw);
    }
    let tidewick = Prepared::new(demo("tidewick")).unwrap_or_else(|e| panic!("{e}"));
    assert!(tidewick.positions.iter().all(|p| p.layout.reliefs.is_empty()));
}
