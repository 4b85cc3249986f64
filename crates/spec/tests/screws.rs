//! Screws and ears anywhere: places that a body has, read by a caliper, come out of its readings.

use bobbinwright_spec::{Estimate, Family, Problems, Side, SourceFile};

/// One of the demos, with its readings changed.
fn family(name: &str, change: impl Fn(String) -> String) -> Result<Family, Problems> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs").join(name);
    let file = |name: &str| {
        let text = std::fs::read_to_string(folder.join(name)).unwrap();
        SourceFile { name: name.into(), text }
    };
    let mut readings = file("readings.ron");
    readings.text = change(readings.text);
    Family::read(name, file("family.ron"), readings)
}

/// The demo's readings without those of some quantities.
fn without(text: &str, names: &[&str]) -> String {
    let kept =
        text.lines().filter(|line| !names.iter().any(|name| line.contains(&format!("of: \"{name}\""))));
    kept.flat_map(|line| [line, "\n"]).collect()
}

fn mm(estimate: &Estimate) -> f64 {
    estimate.value().as_mm()
}

/// Where the Capstan's body has its screws: what its readings were drawn from, with a hand that scatters by 0.015 mm.
const CAPSTAN: [[f64; 2]; 4] = [[40.12, 15.61], [39.84, -15.72], [-40.21, 15.55], [-39.93, -15.66]];

#[test]
fn four_screws_are_where_the_body_has_them() {
    let family = family("capstan", |text| text).unwrap_or_else(|e| panic!("{e}"));
    let screws = &family.positions[0].rout.screws;
    assert_eq!(screws.len(), 4);
    for (screw, [along, across]) in screws.iter().zip(CAPSTAN) {
        assert!((mm(&screw.along) - along).abs() < 0.04, "{screw:?}");
        assert!((mm(&screw.across) - across).abs() < 0.04, "{screw:?}");
        let doubts = [&screw.along, &screw.across].map(|place| place.uncertainty().as_mm());
        assert!(doubts.iter().all(|u| (0.01..0.05).contains(u)), "{doubts:?}");
    }
}

/// Of four screws nothing is taken for granted: what ties a screw is asked for, either side will do, and the distances
/// between screws tie none.
#[test]
fn a_loose_screw_is_asked_for() {
    let problems = family("capstan", |text| without(&text, &["middle.screws.3.bass_side"])).unwrap_err();
    let [one] = &problems.all[..] else { panic!("{problems}") };
    assert!(one.message.contains("middle.screws.3.treble_side: distance of screw 3"), "{}", one.message);
    let other = family("capstan", |text| {
        let line = text.lines().find(|l| l.contains("middle.screws.3.bass_side")).unwrap().to_owned();
        let other = "reading(on: \"2026-10-21\", of: \"middle.screws.3.treble_side\", how: hole_near, got: mm([87.70, 87.71]))";
        text.replace(&line, other)
    });
    let other = other.unwrap_or_else(|e| panic!("{e}"));
    let along = mm(&other.positions[0].rout.screws[2].along);
    assert!(other.notices.is_empty() && (along - CAPSTAN[2][0]).abs() < 0.04, "{along}");
}

/// Six distances between four screws whose places are read too: a slip of 0.6 mm in any of them shows, and it is named.
#[test]
fn a_slip_at_one_of_four_screws_shows() {
    for (name, found) in
        [("middle.screws.2.bridge_side", "middle.screws.2"), ("middle.screws.1-4", "middle.screws.1-4")]
    {
        let slipped = family("capstan", |text| {
            let line = text.lines().find(|l| l.contains(&format!("of: \"{name}\""))).unwrap().to_owned();
            let (before, got) = line.split_once("got: mm([").unwrap();
            let read = got
                .trim_end_matches("]))")
                .split(", ")
                .map(|n| format!("{:.2}", n.parse::<f64>().unwrap() + 0.6));
            let slipped = format!("{before}got: mm([{}]))", read.collect::<Vec<_>>().join(", "));
            text.replace(&line, &slipped)
        });
        let slipped = slipped.unwrap_or_else(|e| panic!("{e}"));
        let said = slipped.notices.iter().map(|n| n.message.as_str()).collect::<Vec<_>>().join("\n");
        assert!(said.contains("contradict each other") && said.contains(found), "{name}: {said}");
    }
}

#[test]
fn readings_of_screws_that_are_not_there_are_pointed_out() {
    let line = "reading(on: \"2026-10-21\", of: \"middle.screws.5.bridge_side\", how: hole_near, got: mm([20.0, 20.0]))\n";
    let family = family("capstan", |text| text + line).unwrap_or_else(|e| panic!("{e}"));
    let said: Vec<&str> = family.notices.iter().map(|n| n.message.as_str()).collect();
    assert!(
        said.iter()
            .any(|s| s.ends_with("middle.screws.5.bridge_side counts for nothing: middle has 4 screws")),
        "{said:?}"
    );
}

/// The Halyard's ears stand at its long sides: a recess is where its flank is from its screw.
#[test]
fn ears_are_where_their_flanks_are() {
    let family = family("halyard", |text| text).unwrap_or_else(|e| panic!("{e}"));
    let rout = &family.positions[0].rout;
    let ears = rout.ears.as_ref().unwrap();
    let sides: Vec<Side> = ears.at.iter().map(|ear| ear.side).collect();
    assert_eq!(sides, [Side::Neck, Side::Bridge]);
    // The screws are 0.10 mm towards treble and 0.15 mm towards treble of their recesses' middles.
    for ((ear, screw), off) in ears.at.iter().zip(&rout.screws).zip([0.10, 0.15]) {
        assert!((mm(&screw.along) - mm(&ear.offset) - off).abs() < 0.06, "{ear:?}");
    }
    // The bass flank is a recess' half towards bass of its middle, and was read to the near edge of a hole of 2.38.
    let flank = mm(&rout.screws[0].along) - (6.80 + 2.38 / 2.0);
    assert!((mm(&ears.at[0].offset) - (flank + mm(&ears.width) / 2.0)).abs() < 0.01);
}

/// An unread recess at an end is taken on the middle line, with the doubt of what is cut by hand; a stated count that
/// contradicts the ears is refused.
#[test]
fn what_is_believed_and_what_is_refused() {
    let unread =
        family("gunwale", |text| without(&text, &["middle.ears.1.bridge_side", "middle.ears.2.bridge_side"]));
    let unread = unread.unwrap_or_else(|e| panic!("{e}"));
    for ear in &unread.positions[0].rout.ears.as_ref().unwrap().at {
        assert_eq!((mm(&ear.offset), ear.offset.uncertainty().as_mm()), (0.0, 0.25));
    }
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs/halyard");
    let file = |name: &str| std::fs::read_to_string(folder.join(name)).unwrap();
    let text =
        file("family.ron").replace("ear_recesses: [neck, bridge]", "ear_recesses: [neck, bridge], screws: 3");
    let source = |name: &str, text: String| SourceFile { name: name.into(), text };
    let refused =
        Family::read("halyard", source("family.ron", text), source("readings.ron", file("readings.ron")));
    let said = refused.unwrap_err().to_string();
    assert!(said.contains("rout.screws is 3, but there are 2 ears, each with a screw"), "{said}");
}

fn halyard_with(line: &str) -> Family {
    family("halyard", |text| text + line).unwrap_or_else(|e| panic!("{e}"))
}

fn said(family: &Family) -> String {
    family.notices.iter().map(|n| n.message.as_str()).collect::<Vec<_>>().join("\n")
}

/// A recess's two flanks and its width are redundant: a hole read to its far edge shows.
#[test]
fn flanks_that_contradict_each_other_are_pointed_out() {
    let entry = |read: &str| {
        format!(
            "reading(on: \"2026-10-24\", of: \"bridge.ears.1.treble_side\", how: hole_near, got: mm([{read}]))\n"
        )
    };
    // 15.8 less what is on the other side of the hole: 8.0 and its 2.38.
    let sound = halyard_with(&entry("6.62, 6.60"));
    assert!(sound.notices.is_empty(), "{}", said(&sound));
    let doubt = |f: &Family| f.positions[0].rout.ears.as_ref().unwrap().at[0].offset.uncertainty().as_mm();
    let slipped = halyard_with(&entry("9.00, 8.98"));
    assert!(said(&slipped).contains("put the middle of that recess 2.3"), "{}", said(&slipped));
    assert!(doubt(&slipped) > doubt(&sound) + 0.3);
}

/// A recess at the neck has no flank towards the neck.
#[test]
fn a_flank_that_is_none_is_pointed_out() {
    let entry =
        "reading(on: \"2026-10-24\", of: \"bridge.ears.1.neck_side\", how: hole_near, got: mm([4.0, 4.0]))\n";
    let family = halyard_with(entry);
    assert!(
        said(&family).contains("counts for nothing: no such recess has a flank there"),
        "{}",
        said(&family)
    );
}

/// A hole read too wide or too narrow is in all that was read over its edges: half of it is added to near ones and taken off far
/// ones. Where that shows it is named first or beside others, innocent readings are not accused without it, and the hole is
/// known no better than that.
#[test]
fn a_slip_in_the_screw_hole_is_named_and_doubted() {
    let with = |hundredths: i32| {
        let off = f64::from(hundredths) / 100.0;
        let read = format!("mm([{:.2}, {:.2}])", 2.44 + off, 2.43 + off);
        let changed = family("thwart", |text| {
            text.replace(
                "middle.screws.hole\", got: mm([2.44, 2.43])",
                &format!("middle.screws.hole\", got: {read}"),
            )
        });
        changed.unwrap_or_else(|e| panic!("{e}"))
    };
    let truth = mm(&with(0).positions[0].rout.screw_hole);
    let (mut shown, mut first) = (0, 0);
    for hundredths in (-90..=90).step_by(5) {
        let family = with(hundredths);
        let said: Vec<&_> = family.notices.iter().filter(|n| n.message.contains("contradict")).collect();
        if said.is_empty() {
            assert!(hundredths.abs() < 50, "{hundredths}: nothing is said");
            continue;
        }
        shown += 1;
        let is_named = |n: &&&_| -> bool { format!("{n:?}").contains("middle.screws.hole read as about") };
        assert!(said.iter().any(|n| is_named(&n)), "{hundredths}: {said:#?}");
        first += usize::from(said[0].message.contains("middle.screws.hole read as about"));
        let hole = &family.positions[0].rout.screw_hole;
        let off = (mm(hole) - truth).abs();
        assert!(hole.uncertainty().as_mm() > 0.75 * off / 1.645, "{hundredths}: {off} {hole:?}");
    }
    assert!(shown > 15 && first * 2 > shown, "{shown} {first}");
}
