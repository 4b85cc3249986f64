//! Slips of the hand are pointed out with their entry, and none of them is dropped.

mod common;

use bobbinwright_spec::{Family, Length, Problem};
use common::{READINGS, replaced, with_readings};

/// The entry of the demo's log that names a quantity first.
fn entry_of(quantity: &str) -> usize {
    let entries = READINGS.lines().filter(|l| l.starts_with("tool(") || l.starts_with("reading("));
    entries.into_iter().position(|l| l.contains(&format!("of: \"{quantity}\""))).unwrap() + 1
}

fn added(entry: &str) -> Family {
    with_readings(&format!("{READINGS}\n{entry}\n")).unwrap_or_else(|e| panic!("{e}"))
}

fn only(family: &Family) -> &Problem {
    let [notice] = &family.notices[..] else { panic!("{:#?}", family.notices) };
    notice
}

fn scatter_elsewhere(family: &Family) -> Length {
    family.positions[1].rout.length.uncertainty()
}

/// 38.31, 38.28, 38.33 and then 39.31: a whole millimetre misread. It still counts, its own quantity is
/// in doubt, and everything else read with the same caliper is as sure as before.
#[test]
fn a_reading_far_from_its_repeats() {
    let sound = with_readings(READINGS).unwrap();
    let family =
        added("reading(on: \"2026-09-20\", of: \"neck.rout.width\", with: \"caliper\", got: mm(39.31))");
    let notice = only(&family);
    let last = READINGS.lines().filter(|l| l.starts_with("tool(") || l.starts_with("reading(")).count() + 1;
    assert!(
        notice.message.contains(&format!("39.31 mm in entry {last} is 1.00 mm off its other 3")),
        "{notice:?}"
    );
    assert!(notice.hint.as_ref().unwrap().contains("1 mm apart: was the scale misread"), "{notice:?}");
    let width = &family.positions[0].rout.width;
    assert!(
        (width.value().as_mm() - (38.31 + 38.28 + 38.33 + 39.31) / 4.0).abs() < 1e-9,
        "it is not dropped"
    );
    assert!(width.uncertainty().as_mm() > 0.2, "{width:?}");
    let (before, after) = (scatter_elsewhere(&sound).as_mm(), scatter_elsewhere(&family).as_mm());
    assert!((after / before - 1.0).abs() < 0.02, "{before} {after}");
}

/// Two readings that differ by more than a hand's scatter: nobody can say which is wrong.
#[test]
fn two_readings_that_contradict_each_other() {
    let family = replaced(
        "neck.rout.width",
        "reading(on: \"2026-09-20\", of: \"neck.rout.width\", with: \"caliper\", got: mm([38.31, 38.81]))",
    );
    let notice = only(&family);
    assert!(notice.message.contains("38.31 mm") && notice.message.contains("38.81 mm"), "{notice:?}");
    assert!(notice.message.contains("contradict each other"), "{notice:?}");
}

/// A quarter of an inch typed as a quarter of a millimetre makes a sensible corner radius.
#[test]
fn an_inch_that_would_do_as_a_millimetre() {
    let family = replaced(
        "neck.rout.corner_radius",
        "reading(on: \"2026-09-20\", of: \"neck.rout.corner_radius\", how: packet, within: mm(0.15), got: mm(0.25))",
    );
    let notice = only(&family);
    assert!(notice.message.contains("neck.rout.corner_radius is 0.25 mm"), "{notice:?}");
    assert!(notice.message.contains("read in inch it would be 6.35 mm"), "{notice:?}");
    assert!((family.positions[0].rout.corner_radius.value().as_mm() - 0.25).abs() < 1e-12, "no silent guess");
}

/// A spacing misread by 2 mm where nothing else ties the two strings: only the neighbours tell.
#[test]
fn a_spacing_against_the_fan_out_of_its_neighbours() {
    let bridge = "reading(on: \"2026-09-20\", of: \"bridge.strings.3-4\", with: \"caliper\", how: strings_outer, got: mm([13.06, 13.09]), afresh: true)";
    // Without the treble side no sum contradicts.
    let treble = READINGS.lines().filter(|l| !l.contains("bridge.strings.treble_side"));
    let log = treble.collect::<Vec<_>>().join("\n");
    let family = with_readings(&format!("{log}\n{bridge}\n")).unwrap_or_else(|e| panic!("{e}"));
    let notice = only(&family);
    assert!(notice.message.contains("bridge.strings.3-4 is 12.29 mm"), "{notice:?}");
    assert!(notice.message.contains("expect about 10.2"), "{notice:?}");
}

/// What was read once is named with its entry; figures from packets are not read at all.
#[test]
fn one_reading_only() {
    let log = READINGS.replace("got: mm([2.7, 2.8])", "got: mm(2.7)");
    let family = with_readings(&log).unwrap_or_else(|e| panic!("{e}"));
    let expected = format!("lead.diameter (entry {})", entry_of("lead.diameter"));
    assert!(only(&family).message.ends_with(&expected), "{:?}", family.notices);
}

/// Careful readings of all demos give no notice.
#[test]
fn sound_logs_are_left_alone() {
    for name in ["tidewick", "gunwale", "saltern", "bulkhead"] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs").join(name);
        let family = Family::load(&folder).unwrap_or_else(|e| panic!("{e}"));
        assert!(family.notices.is_empty(), "{name}: {:?}", family.notices);
    }
}
