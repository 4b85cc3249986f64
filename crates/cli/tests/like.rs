//! Families that are like each other: a body and a bench in common, and of each its own prints, coils and tests.

mod common;

use std::fs;
use std::path::{Path, PathBuf};

use common::{copy, ends_with, name, wherry};

/// The tidewick, a family that is like it, and a folder for builds.
fn twins(into: &Path) -> [PathBuf; 3] {
    let gull = copy("tidewick", into);
    let tern = into.join("tern");
    fs::create_dir(&tern).unwrap();
    fs::write(tern.join("family.ron"), "(like: \"../tidewick\", title: \"Tern\", cover: (wall: mm(2.2)))")
        .unwrap();
    let out = into.join("out");
    ends_with(0, &["build", name(&gull), name(&tern), "--out", name(&out)]);
    [gull, tern, out]
}

fn log(family: &Path, file: &str) -> String {
    fs::read_to_string(family.join(file)).unwrap_or_default()
}

fn printed(family: &Path, out: &Path, parts: &[&str]) -> String {
    ends_with(0, &[&["printed", name(family)], parts, &["--out", name(out)]].concat()).0
}

fn said(command: &str, family: &Path) -> String {
    ends_with(0, &[command, name(family)]).0
}

/// Whatever is made of one of them, the other's log and job stay as they were.
#[test]
fn what_is_made_is_of_the_family_itself() {
    let scratch = tempfile::tempdir().unwrap();
    let [gull, tern, out] = twins(scratch.path());
    let before = log(&gull, "readings.ron");
    let job = said("stands", &gull);
    printed(&tern, &out, &[]);
    assert!(!said("stands", &tern).contains("0 of 4"), "{}", said("stands", &tern));
    ends_with(0, &["read", name(&tern), "neck.cover.length", "91.4"]);
    ends_with(0, &["wound", name(&tern), "neck", "500", "402"]);
    ends_with(0, &["tested", name(&tern), "neck", "--ohms", "6.6k"]);
    ends_with(0, &["tried", name(&tern), "neck-cover", "rout"]);
    ends_with(0, &["parts", name(&tern), "neck-cover", "spare"]);
    ends_with(0, &["done", name(&tern), "neck", "wound"]);
    assert_eq!(log(&gull, "readings.ron"), before);
    assert_eq!(said("stands", &gull), job);
    assert!(!gull.join("printed").exists() && tern.join("printed").exists());
    assert!(said("parts", &gull).contains("knows of no printed part"));
    assert!(said("wound", &gull).contains("Nothing is wound yet"));

    // The other way round: what the other prints then is not this one's.
    let (made, job) = (log(&tern, "made.ron"), said("stands", &tern));
    printed(&gull, &out, &["bridge-cover"]);
    ends_with(0, &["read", name(&gull), "bridge.cover.length", "91.4"]);
    ends_with(0, &["wound", name(&gull), "bridge", "500", "402"]);
    assert_eq!(log(&tern, "made.ron"), made);
    assert_eq!(said("stands", &tern), job);
    let parts = said("parts", &tern);
    assert_eq!(parts.matches("bridge-cover, copy").count(), 1, "{parts}");
    assert!(said("parts", &gull).starts_with("bridge-cover, copy 1"), "{}", said("parts", &gull));
    assert!(!gull.join("made.ron").exists());
}

/// Body and tools are in common: a reading and a caliper go where they always went, whichever family they are entered for.
#[test]
fn body_and_tools_are_in_common() {
    let scratch = tempfile::tempdir().unwrap();
    let [gull, tern, _] = twins(scratch.path());
    ends_with(0, &["tool", name(&tern), "vernier", "--step", "0.05", "--limit", "0.05"]);
    ends_with(0, &["meter", name(&tern), "meter", "--counts", "6000", "--percent", "0.5"]);
    let (said, _) = ends_with(0, &["read", name(&tern), "rod.length", "16.02", "--with", "vernier"]);
    assert!(said.contains(", in ") && said.contains("tidewick/readings.ron: reading("), "{said}");
    let readings = log(&gull, "readings.ron");
    for entry in ["name: \"vernier\"", "meter(", "with: \"vernier\", got: mm(16.02)"] {
        assert!(readings.contains(entry), "{entry}: {readings}");
    }
    assert!(!tern.join("made.ron").exists());
    // With the other's tools this one's parts are read.
    ends_with(0, &["read", name(&tern), "neck.cover.length", "91.40", "91.42", "--with", "vernier"]);
    assert!(log(&tern, "made.ron").contains("with: \"vernier\", got: mm([91.40, 91.42])"));
    assert!(!log(&gull, "readings.ron").contains("neck.cover.length"));
}

/// What came first decides of what a reading is, also where it stands in another file than what it came after.
#[test]
fn both_logs_have_one_order() {
    let scratch = tempfile::tempdir().unwrap();
    let [gull, tern, out] = twins(scratch.path());
    printed(&tern, &out, &[]);
    ends_with(0, &["tried", name(&tern), "neck-baseplate", "screws"]);
    // The rout is worked on, and it is tried again: that stands after both.
    ends_with(0, &["read", name(&gull), "neck.rout.width", "38.3", "38.31", "--afresh", "--spot", "middle"]);
    let entries = log(&tern, "made.ron");
    ends_with(0, &["tried", name(&tern), "neck-baseplate", "screws"]);
    let later = log(&tern, "made.ron")[entries.len()..].to_owned();
    assert!(later.contains(", after: 75)"), "{later}");
    // Every entry keeps its number: 74 readings, eight prints, a trial, a reading, a trial.
    let (said, _) = ends_with(0, &["read", name(&tern), "neck.cover.length", "91.4"]);
    assert!(said.starts_with("Entry 86: "), "{said}");
}

/// A withdrawal goes to the file of what it withdraws, and names it as that file counts.
#[test]
fn withdrawals_go_where_the_entry_is() {
    let scratch = tempfile::tempdir().unwrap();
    let [gull, tern, out] = twins(scratch.path());
    printed(&tern, &out, &["neck-cover"]);
    ends_with(0, &["read", name(&tern), "neck.cover.length", "91.4"]);
    ends_with(0, &["read", name(&tern), "rod.length", "16.02"]);
    printed(&gull, &out, &["neck-cover"]);
    let before = [log(&gull, "readings.ron"), log(&tern, "made.ron")];
    // Of its own: the 76th of both is the second there.
    ends_with(0, &["withdraw", name(&tern), "76", "misread"]);
    assert_eq!(log(&gull, "readings.ron"), before[0]);
    let made = log(&tern, "made.ron")[before[1].len()..].to_owned();
    assert!(made.contains("entry: 2, why: \"misread\", after: 76)"), "{made}");
    // Of the body: the 77th of both is the 75th there.
    ends_with(0, &["withdraw", name(&tern), "77", "misread"]);
    let readings = log(&gull, "readings.ron")[before[0].len()..].to_owned();
    assert!(readings.contains("entry: 75, why: \"misread\")"), "{readings}");
    let (_, err) = ends_with(2, &["withdraw", name(&tern), "77", "misread"]);
    assert!(err.contains("withdrawn already, by entry 80"), "{err}");
    // What the other family made is withdrawn there.
    let (_, err) = ends_with(2, &["withdraw", name(&tern), "78", "misread"]);
    assert!(err.contains("what another family made") && err.contains("readings.ron"), "{err}");
    assert!(said("parts", &gull).contains("neck-cover, copy 1"));
}

/// Prints of both on one printer: each teaches it what its own build drew.
#[test]
fn each_teaches_of_its_own_copies() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, printer) = wherry(scratch.path());
    let twin = family.parent().unwrap().join("punt");
    fs::create_dir(&twin).unwrap();
    fs::write(twin.join("family.ron"), "(like: \"../wherry\", title: \"Punt\", cover: (wall: mm(2.6)))")
        .unwrap();
    let out = scratch.path().join("out");
    ends_with(0, &["build", name(&family), name(&twin), "--out", name(&out)]);
    for family in [&family, &twin] {
        printed(family, &out, &["bridge-cover"]);
    }
    let taught = || log(&printer, "readings.ron");
    let before = taught();
    ends_with(0, &["read", name(&twin), "bridge.cover.hollow_length", "107.76", "107.78"]);
    ends_with(0, &["inspect", name(&family), "--teach", "--out", name(&out)]);
    assert_eq!(taught(), before);
    ends_with(0, &["inspect", name(&twin), "--teach", "--out", name(&out)]);
    assert!(taught()[before.len()..].contains("107.76"), "{}", &taught()[before.len()..]);
    let once = taught();
    ends_with(0, &["read", name(&family), "bridge.cover.hollow_length", "108.54", "108.56"]);
    ends_with(0, &["inspect", name(&family), "--teach", "--out", name(&out)]);
    assert!(taught()[once.len()..].contains("108.54"), "{}", &taught()[once.len()..]);
}

/// A family that describes its printer itself can become like one that names a printer's folder.
#[test]
fn a_printer_of_its_own_hides_the_others_folder() {
    let scratch = tempfile::tempdir().unwrap();
    let (other, _) = wherry(scratch.path());
    let kid = other.with_file_name("kid");
    ends_with(0, &["new", name(&kid), "--strings", "5", "--positions", "bridge"]);
    let (said, _) = ends_with(0, &["want", name(&kid), "like", "../wherry"]);
    assert!(said.contains("like: \"../wherry\""), "{said}");
}
