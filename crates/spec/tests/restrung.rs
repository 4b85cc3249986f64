//! What was read over strings or holes keeps the diameters of those that were there then.

mod common;

use bobbinwright_spec::Family;
use common::{READINGS, near, with_readings};

const GAUGES: [&str; 6] =
    ["0.33, 0.34", "0.44, 0.43", "0.66, 0.66", "0.91, 0.92", "1.17, 1.16", "1.57, 1.58"];

/// The demo with a set of strings read afresh that are all thicker by so much, mm.
fn restrung(by: f64, more: &str) -> Family {
    let entry = |(i, read): (usize, &&str)| {
        let figures: Vec<String> =
            read.split(", ").map(|v| format!("{:.2}", v.parse::<f64>().unwrap() + by)).collect();
        let of = format!("strings.gauge.{}", i + 1);
        format!(
            "reading(on: \"2026-10-01\", of: \"{of}\", with: \"caliper\", got: mm([{}]), afresh: true)\n",
            figures.join(", ")
        )
    };
    let gauges: String = GAUGES.iter().enumerate().map(entry).collect();
    with_readings(&format!("{READINGS}\n{gauges}{more}")).unwrap_or_else(|e| panic!("{e}"))
}

fn places(family: &Family) -> Vec<f64> {
    family.positions.iter().flat_map(|p| &p.strings).map(|s| s.place.value().as_mm()).collect()
}

/// Strings in the same slots lie where they lay, whatever their gauge; by the new gauges the outer ones would be 0.3 mm nearer
/// to each other.
#[test]
fn strings_of_another_gauge_lie_where_the_old_ones_lay() {
    let before = with_readings(READINGS).unwrap();
    let family = restrung(0.3, "");
    for (found, expected) in places(&family).into_iter().zip(places(&before)) {
        // That the readings' scatter counts the new gauges too moves weights by a little.
        near(found, expected, 0.003, "place of a string");
    }
    near(family.positions[0].strings[0].gauge.value().as_mm(), 0.635, 0.001, "gauge of today");
    let said: Vec<&str> = family.notices.iter().map(|n| n.message.as_str()).collect();
    let of = |position: &str| {
        said.iter().any(|m| m.contains(position) && m.contains("read over strings of other gauges"))
    };
    assert!(of("neck.strings") && of("bridge.strings") && of("bridge.spread"), "{said:#?}");
    assert!(!said.iter().any(|m| m.contains("contradict")), "{said:#?}");
}

/// What is read again over the new strings counts with theirs, and is no more among what was read over others.
#[test]
fn what_is_read_again_counts_with_the_new_gauges() {
    let again = "reading(on: \"2026-10-01\", of: \"neck.strings.1-2\", with: \"caliper\", how: strings_outer, got: mm([10.37, 10.38]), afresh: true)\n";
    let family = restrung(0.3, again);
    let before = with_readings(READINGS).unwrap();
    let between = |family: &Family| {
        let strings = &family.positions[0].strings;
        (strings[0].place.clone() - strings[1].place.clone()).value().as_mm()
    };
    near(between(&family), between(&before), 0.02, "strings 1 and 2");
    let said = family.notices.iter().find(|n| n.message.starts_with("neck.strings")).unwrap();
    assert!(!said.message.contains("neck.strings.1-2"), "{said:?}");
}

/// A gauge that was only misread is withdrawn: then there never was another string.
#[test]
fn a_gauge_that_was_misread_is_withdrawn() {
    let entries = READINGS.lines().filter(|l| l.starts_with("tool(") || l.starts_with("reading("));
    let wrong = entries.into_iter().position(|l| l.contains("\"strings.gauge.1\"")).unwrap() + 1;
    let before = with_readings(READINGS).unwrap();
    let family = restrung(0.3, &format!("withdraw(on: \"2026-10-01\", entry: {wrong})\n"));
    let moved = places(&family)[0] - places(&before)[0];
    assert!(moved.abs() > 0.05, "half of 0.3 mm less what its neighbours say: {moved}");
}

/// Holes drilled wider: their middles stay, and what was read from hole to hole over the old ones stays what it was.
#[test]
fn holes_that_were_drilled_again_stay_where_they_were() {
    let wider = "reading(on: \"2026-10-01\", of: \"neck.screws.hole\", with: \"caliper\", got: mm([3.02, 3.05]), afresh: true)\n";
    let family = with_readings(&format!("{READINGS}\n{wider}")).unwrap();
    let before = with_readings(READINGS).unwrap();
    let pitch = |family: &Family| family.positions[0].rout.screw_pitch.clone().unwrap().value().as_mm();
    near(pitch(&family), pitch(&before), 1e-9, "pitch");
    assert!(
        family.notices.iter().any(|n| n.message.contains("neck.screws.pitch")
            && n.message.contains("read over holes of other diameters")),
        "{:#?}",
        family.notices
    );
}
