//! What must hold for the demo families as a whole.

use bobbinwright_core::Prepared;
use bobbinwright_export::{CHORD, drawing, report};
use bobbinwright_fit::{CheckKind, Verdict};
use bobbinwright_geometry::Role;
use bobbinwright_geometry::parts::PartKind;
use bobbinwright_print::lay;
use bobbinwright_spec::printer::{Trueness, Within};
use bobbinwright_spec::{Length, PARAMETERS, Poles, Side};
use bobbinwright_tests::{FITTING, demo};

/// Every path in the registry of dimensions is read from files: some demo states it, or it has a
/// default there.
#[test]
fn every_dimension_is_in_the_registry() {
    let mut stated: Vec<&str> = Vec::new();
    for name in FITTING {
        for position in demo(name).positions {
            stated.extend(position.wanted.origins.keys());
        }
    }
    // These follow from readings, or from what is usual, unless they are stated; no demo states them.
    let defaulted = [
        "cover.mounting.length",
        "cover.mounting.width",
        "cover.mounting.corner_radius",
        "row.offset",
        "flatwork.length",
        "flatwork.width",
        "finish.cover.adds",
        "finish.baseplate.adds",
    ];
    for p in &PARAMETERS {
        // The demos' flatwork is printed; `cut.rs` reads a sheet.
        let is_of_sheet = p.path.starts_with("flatwork.sheet.");
        let is_read = stated.contains(&p.path) || defaulted.contains(&p.path) || is_of_sheet;
        assert!(is_read, "{} is never read", p.path);
        assert!(p.low < p.high, "{}", p.path);
        assert_eq!(PARAMETERS.iter().filter(|q| q.path == p.path).count(), 1, "{} twice", p.path);
    }
}

/// Bass is left in every part, right for the left hand: the mark sits in the bass end, poles follow the strings, the
/// thick strings lie at negative x.
#[test]
fn bass_stays_bass() {
    for name in FITTING {
        let family = demo(name);
        let prepared = Prepared::new(family.clone()).unwrap_or_else(|e| panic!("{e}"));
        for (position, built) in family.positions.iter().zip(&prepared.positions) {
            let place = |n: usize| position.strings[n - 1].place.value().as_mm();
            assert!(place(family.strings) < 0.0 && place(1) > 0.0);
            let treble = position.handed.treble();
            assert!(built.layout.mark.0.x * treble < 0.0);
            let top = built.parts.iter().find(|p| p.kind == PartKind::FlatworkTop).unwrap();
            let mark = top.stack.with_role(Role::Mark).next().unwrap();
            let bounds = mark.contour.bounds();
            assert!(bounds.max.x * treble < 0.0 && bounds.min.x * treble < 0.0);
            // The last string's poles come first from the bass side.
            let first = built.layout.poles.iter().map(|pole| pole.x * treble).fold(f64::INFINITY, f64::min);
            let expected = match position.wanted.poles {
                Poles::Single => place(family.strings),
                Poles::Pair { spread } => place(family.strings) - spread.as_mm() / 2.0,
            };
            // Poles are drawn to a hundredth.
            assert!((first - expected).abs() < 0.006);
            let eyelet_y = built.layout.eyelets[0].y;
            assert_eq!(eyelet_y > 0.0, position.wanted.flatwork.eyelet_side == Side::Neck);
        }
    }
}

/// Strings fan out, so the plates of the two positions differ, and the wider row is the bridge's.
#[test]
fn neck_and_bridge_differ() {
    let family = demo("tidewick");
    let prepared = Prepared::new(family.clone()).unwrap_or_else(|e| panic!("{e}"));
    let row = |i: usize| {
        let poles = &prepared.positions[i].layout.poles;
        poles[poles.len() - 1].x - poles[0].x
    };
    assert!(row(1) - row(0) > 2.0, "{} {}", row(0), row(1));
}

/// Where both are known, spread by fan-out and spread as read agree in the demo.
#[test]
fn fan_out_agrees_with_the_readings() {
    let family = demo("tidewick");
    let prepared = Prepared::new(family.clone()).unwrap_or_else(|e| panic!("{e}"));
    // Read over all strings at the neck, by the chain of spacings at the bridge.
    assert_eq!(prepared.fit.agreements.len(), 2);
    assert!(prepared.fit.agreements.iter().all(|a| a.agrees && a.ratio < 2.6));
}

/// A looser fit never has a smaller margin, a thicker printer's doubt never a larger chance.
#[test]
fn margins_follow_the_wishes() {
    let margin = |gap: f64, tolerance: f64| {
        let mut family = demo("gunwale");
        family.positions[0].wanted.cover.fit_gap = Length::from_mm(gap);
        family.printer.trueness = Trueness::Within(Within::stated(Length::from_mm(tolerance)));
        let prepared = Prepared::new(family.clone()).unwrap_or_else(|e| panic!("{e}"));
        let check = prepared.fit.checks.iter().find(|c| c.kind.name() == "cover-in-rout").unwrap();
        (check.margin.value().as_mm(), check.probability)
    };
    let steps = [0.02, 0.05, 0.1, 0.2, 0.4];
    for pair in steps.windows(2) {
        assert!(margin(pair[0], 0.1).0 < margin(pair[1], 0.1).0);
        // A fit that is likely becomes less so when the printer is less exact.
        // Chances are drawn, to half a point.
        assert!(margin(0.2, pair[0]).1 >= margin(0.2, pair[1]).1 - 0.005);
    }
    // A tenth of the printer's tolerance as a gap can't be called a fit.
    assert_ne!(Verdict::of(margin(0.02, 0.2).1), Verdict::Fits);
}

/// The report names every check, and the drawing is well-formed enough to have as
/// many closing as opening groups.
#[test]
fn report_and_drawing_are_complete() {
    for name in FITTING {
        let family = demo(name);
        let prepared = Prepared::new(family.clone()).unwrap_or_else(|e| panic!("{e}"));
        let laid = lay(&prepared.family, &prepared.positions, CHORD).unwrap_or_else(|e| panic!("{e}"));
        let text = report::markdown(
            &prepared,
            &laid,
            &report::Files { parts: &[], printed: &[], plates: &[], sheets: &[] },
        );
        for check in &prepared.fit.checks {
            assert!(text.contains(&check.title), "{name}: {}", check.title);
        }
        for (position, built) in family.positions.iter().zip(&prepared.positions) {
            let svg = drawing::plan(position, &built.layout);
            assert_eq!(svg.matches("<g ").count(), svg.matches("</g>").count());
            assert!(!svg.contains("NaN"));
        }
    }
}

/// A rout that is shallower than its ear recesses carries the baseplate: that clashes, by the
/// difference of the two depths.
#[test]
fn a_rout_shallower_than_its_ear_recesses_clashes() {
    let mut family = demo("gunwale");
    let rout = &mut family.positions[0].rout;
    let recess = rout.ears.as_ref().unwrap().depth.value();
    rout.depth = rout.depth.clone().moved_to(recess - Length::from_mm(2.0));
    let prepared = Prepared::new(family.clone()).unwrap_or_else(|e| panic!("{e}"));
    let check = prepared.fit.checks.iter().find(|c| c.kind.name() == "rout-floor-under-baseplate").unwrap();
    assert!((check.margin.value().as_mm() + 2.0).abs() < 1e-9);
    assert_eq!(check.verdict, Verdict::Clashes);
}

/// Whatever is not about making alone is about some part, so that no check is left out where it is decided which printed
/// parts can stay; and no two kinds are called alike.
#[test]
fn every_check_of_parts_names_its_parts() {
    let mut kinds: Vec<CheckKind> = Vec::new();
    for name in FITTING.into_iter().chain(["bulkhead", "wherry"]) {
        let prepared = Prepared::new(demo(name)).unwrap_or_else(|e| panic!("{e}"));
        kinds.extend(prepared.fit.checks.iter().map(|c| c.kind));
    }
    kinds.sort();
    kinds.dedup();
    assert!(kinds.len() > 28, "{kinds:?}");
    for kind in &kinds {
        assert!(kind.is_of_making() || !kind.parts().is_empty(), "{}", kind.name());
        assert_eq!(kinds.iter().filter(|k| k.name() == kind.name()).count(), 1, "{}", kind.name());
    }
}
