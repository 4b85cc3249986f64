//! Coils on bobbins that are there no more.

mod common;

use bobbinwright_spec::Family;
use bobbinwright_spec::coil::Until;
use common::{READINGS, near, with_readings};

/// A coil of the demo's wire, all of its turns, said to be done.
const WOUND: &str = "wound(on: \"2026-10-01\", coil: \"neck\", turns: 500, reads: ohms(402), celsius: 21)
wound(on: \"2026-10-01\", coil: \"neck\", turns: 7600, reads: ohms(6300), celsius: 21)
done(on: \"2026-10-01\", position: \"neck\", what: wound, turns: 7600)
";
const THICKER: &str = "reading(on: \"2026-10-02\", of: \"rod.diameter\", with: \"caliper\", got: mm([3.01, 3.00, 3.02]), afresh: true)\n";

fn family(more: &str) -> Family {
    with_readings(&format!("{READINGS}{more}")).unwrap_or_else(|e| panic!("{e}"))
}

/// Thicker rods leave a coil what it was, on the rods that it was wound on; and the bobbin is empty.
#[test]
fn a_coil_keeps_its_rods() {
    let before = family(WOUND);
    let [coil] = &before.winds.coils[..] else { panic!() };
    assert!(coil.rods.is_none() && before.winds.on_bobbin("neck").is_some());
    let old = before.hardware.rod_diameter.value();

    let after = family(&format!("{WOUND}{THICKER}"));
    let [coil] = &after.winds.coils[..] else { panic!() };
    let [diameter, length] = coil.rods.as_ref().unwrap();
    assert_eq!(diameter.value(), old);
    assert_eq!(length.value(), before.hardware.rod_length.value());
    near(after.hardware.rod_diameter.value().as_mm(), 3.01, 1e-9, "what is on the bench now");
    assert!(after.winds.on_bobbin("neck").is_none() && after.winds.is_wound("neck"));
    assert_eq!(after.positions[0].wanted.coil, after.positions[0].stated_coil);
    assert!(
        after.notices.iter().any(|n| n.message.contains("and not as on the neck bobbin")),
        "{:#?}",
        after.notices
    );

    // What is wound then is another coil, whether that is said or not; with the reading withdrawn it is the same one.
    let next = "wound(on: \"2026-10-03\", coil: \"neck\", turns: 400, reads: ohms(330), celsius: 21)\n";
    let another = family(&format!("{WOUND}{THICKER}{next}"));
    assert_eq!(another.winds.coils.len(), 2);
    assert_eq!(another.winds.on_bobbin("neck").unwrap().turns(), 400.0);
    let entry = READINGS.lines().filter(|line| line.contains("(on:")).count() + 4;
    let back = format!("withdraw(on: \"2026-10-03\", entry: {entry}, why: \"the same rods\")\n");
    let same = family(&format!("{WOUND}{THICKER}{back}"));
    assert!(same.winds.on_bobbin("neck").is_some_and(|coil| coil.is_done && coil.rods.is_none()));
    assert!(matches!(same.positions[0].wanted.coil.unwrap().until, Until::Turns(turns) if turns == 7600.0));
}

/// What stands in the place of a reading that was withdrawn tells of the same rods.
#[test]
fn a_corrected_reading_of_rods_leaves_the_coil_on_them() {
    let entries = READINGS.lines().filter(|line| line.contains("(on:")).count();
    let slip = THICKER.replace("3.01, 3.00, 3.02", "3.51, 3.50, 3.52");
    let back = format!("withdraw(on: \"2026-10-03\", entry: {}, why: \"corrected\")\n", entries + 1);
    let corrected = family(&format!("{slip}{WOUND}{back}{THICKER}"));
    assert!(corrected.winds.on_bobbin("neck").is_some_and(|coil| coil.is_done && coil.rods.is_none()));
    near(corrected.hardware.rod_diameter.value().as_mm(), 3.01, 1e-9, "as corrected");
}

/// With the last of its plates a coil is gone; with one of two it is not.
#[test]
fn a_coil_goes_with_its_plate() {
    let printed = "printed(on: \"2026-09-30\", part: \"neck-flatwork-top\", build: \"7d8ac923\")\n";
    let broken = "copy(on: \"2026-10-02\", part: \"neck-flatwork-top\", copy: 1, is: broken)\n";
    let one = family(&format!("{printed}{WOUND}{broken}"));
    assert!(one.winds.on_bobbin("neck").is_none() && one.winds.is_wound("neck"));
    assert!(one.winds.coils[0].rods.is_none(), "the rods are the same");
    let two = family(&format!("{printed}{printed}{WOUND}{broken}"));
    assert!(two.winds.on_bobbin("neck").is_some());
    // One that was printed after the coil was begun is none that it can be on.
    let later = family(&format!("{printed}{WOUND}{printed}{broken}"));
    assert!(later.winds.on_bobbin("neck").is_none());
    // Whoever said so by mistake says so.
    let whole = broken.replace("broken", "in_use");
    assert!(family(&format!("{printed}{WOUND}{broken}{whole}")).winds.on_bobbin("neck").is_some());
}
