//! Printed parts, copy by copy: what is read of one is held against the build that it was drawn for.

mod common;

use std::fs;
use std::path::{Path, PathBuf};

use common::{ends_with, name, text, wherry};

/// The wherry with its printer, and a folder for builds.
fn bench(into: &Path) -> [PathBuf; 3] {
    let (family, printer) = wherry(into);
    [family, printer, into.join("out")]
}

/// What a build's manifest says that a size of the cover was drawn as.
fn drawn(manifest: &Path, size: &str) -> String {
    let manifest: serde_json::Value = serde_json::from_slice(&fs::read(manifest).unwrap()).unwrap();
    let parts = manifest["parts"].as_array().unwrap();
    let cover = parts.iter().find(|p| p["id"] == "bridge-cover").unwrap();
    cover["printed"]["drawn"][size].as_str().unwrap().to_owned()
}

/// The only build that was printed from.
fn kept(family: &Path) -> Vec<PathBuf> {
    let mut all: Vec<PathBuf> =
        fs::read_dir(family.join("printed")).unwrap().map(|e| e.unwrap().path()).collect();
    all.sort();
    all
}

/// Printed, another wish, built again, then read: on 88f1e19 the printer was taught that it had made the new size.
#[test]
fn a_copy_teaches_what_it_was_drawn_to() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, printer, out] = bench(scratch.path());
    let build = ["build", name(&family), "--out", name(&out)];
    ends_with(0, &build);
    let (said, _) =
        ends_with(0, &["printed", name(&family), "bridge-cover", "--on", "2026-10-12", "--out", name(&out)]);
    assert!(said.contains("bridge-cover, copy 1, of build"), "{said}");
    let was = drawn(&kept(&family)[0], "hollow_length");
    ends_with(0, &["want", name(&family), "cover.wall", "2.6"]);
    ends_with(0, &build);
    let now = drawn(&out.join("wherry/manifest.json"), "hollow_length");
    assert_ne!(was, now);

    let read =
        ["read", name(&family), "bridge.cover.hollow_length", "108.36", "108.38", "--on", "2026-10-13"];
    let (said, _) = ends_with(0, &read);
    // As the copy's own build wanted it, not as it is wanted now.
    assert!(said.contains("Wanted is 108.57 mm"), "{said}");
    let log = || fs::read_to_string(printer.join("readings.ron")).unwrap();
    let before = log();
    let inspect = ["inspect", name(&family), "--out", name(&out)];
    let (said, _) = ends_with(0, &inspect);
    assert!(said.contains("bridge-cover, copy 1 was drawn otherwise than it would be now"), "{said}");
    assert_eq!(log(), before);
    ends_with(0, &[&inspect[..], &["--teach"]].concat());
    let new = log()[before.len()..].to_owned();
    assert!(new.contains(&format!("of: \"{was}\"")) && !new.contains(&now), "{new}");
    // Once is enough.
    let taught = log();
    ends_with(2, &[&inspect[..], &["--teach"]].concat());
    assert_eq!(log(), taught);

    // Another copy, of the new build: what was read of the first is not of it.
    ends_with(0, &["printed", name(&family), "bridge.cover", "--on", "2026-10-14", "--out", name(&out)]);
    assert_eq!(kept(&family).len(), 2);
    let (said, _) = ends_with(0, &inspect);
    assert!(said.contains("Measure the printed parts by the sheet") && !said.contains("108.37"), "{said}");
    let (said, _) = ends_with(0, &["parts", name(&family)]);
    assert!(said.contains("copy 1  printed 2026-10-12") && said.contains("replaced"), "{said}");
    // It breaks, and the first is used after all.
    let broken = ["parts", name(&family), "bridge-cover", "broken", "--on", "2026-10-15"];
    let (said, _) = ends_with(0, &broken);
    assert!(said.contains("broken") && said.contains("in use, one size read"), "{said}");
    // Said twice, it does not break the other one.
    let (_, err) = ends_with(2, &broken);
    assert!(err.contains("copy 2 is broken already, and copy 1 is in use"), "{err}");
    let said = text(&common::run(&inspect).stdout);
    assert!(said.contains("108.37"), "{said}");
}

/// Cover and plates of two builds on one bench: each is held against the build that it is of, and what was never printed is
/// to be.
#[test]
fn copies_of_two_builds_are_compared_each_with_its_own() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, _, out] = bench(scratch.path());
    let build = ["build", name(&family), "--out", name(&out)];
    let printed = |parts: &[&str], day: &str| {
        ends_with(0, &[&["printed", name(&family), "--out", name(&out), "--on", day], parts].concat());
    };
    ends_with(0, &build);
    printed(&["bridge-cover", "bridge-baseplate"], "2026-10-12");
    ends_with(0, &["want", name(&family), "flatwork.top", "2.4"]);
    ends_with(0, &build);
    printed(&["bridge-flatwork-top"], "2026-10-13");
    let diff = ["diff", name(&family), "--out", name(&out)];
    let (said, _) = ends_with(0, &diff);
    assert!(said.contains("all printed parts can stay; print flatwork-bottom, not printed yet"), "{said}");
    assert!(said.contains("bridge-flatwork-top (copy 1, printed 2026-10-13"), "{said}");
    assert!(said.contains("Readings: nothing changed") && said.contains("Wanted: nothing changed"), "{said}");
    // Thinner than the printed plate: of all copies only that one is drawn otherwise.
    ends_with(0, &["want", name(&family), "flatwork.top", "2.0"]);
    let (said, _) = ends_with(0, &diff);
    let line = |part: &str| said.lines().find(|l| l.contains(&format!("{part} ("))).unwrap().to_owned();
    assert!(line("bridge-cover").contains("drawn as before"), "{said}");
    assert!(!line("bridge-flatwork-top").contains("drawn as before"), "{said}");
    let (json, _) = ends_with(0, &[&diff[..], &["--json"]].concat());
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["parts"][3]["copy"]["build"].as_str().map(str::len), Some(8), "{json:#}");

    // The manifest of the first build is lost: it is said, and the others are compared all the same.
    for file in kept(&family) {
        if fs::read_to_string(&file).unwrap().contains("\"log_entries\": 40") {
            fs::remove_file(file).unwrap();
        }
    }
    let output = common::run(&diff);
    let err = text(&output.stderr);
    assert!(err.contains("How bridge-cover, copy 1 was drawn is not known"), "{err}");
    let said = text(&output.stdout);
    assert!(said.contains("bridge-flatwork-top (copy 1"), "{said}");
    assert!(
        said.contains("how cover, baseplate was drawn is not known, print it again to be sure"),
        "{said}"
    );
}

#[test]
fn what_was_not_built_was_not_printed() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, _, out] = bench(scratch.path());
    let log = || fs::read_to_string(family.join("readings.ron")).unwrap();
    let before = log();
    let printed = ["printed", name(&family), "--out", name(&out)];
    let (_, err) = ends_with(2, &printed);
    assert!(err.contains("nothing was built into"), "{err}");
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    let (_, err) = ends_with(2, &[&printed[..], &["neck-cover"]].concat());
    assert!(err.contains("has no part neck-cover; it has bridge-cover"), "{err}");
    let (_, err) = ends_with(2, &[&printed[..], &["--build", "12345678"]].concat());
    assert!(err.contains("build 12345678 is not known"), "{err}");
    let (_, err) = ends_with(2, &["parts", name(&family), "bridge-cover", "broken"]);
    assert!(err.contains("no copy of bridge-cover was printed"), "{err}");
    assert_eq!(log(), before);
    let (said, _) = ends_with(0, &["parts", name(&family)]);
    assert!(said.contains("knows of no printed part"), "{said}");
    // An earlier build can be printed from again.
    ends_with(0, &printed);
    let once = log();
    let (_, err) = ends_with(2, &printed);
    assert!(err.contains("is in the log already, of the same build and day"), "{err}");
    assert_eq!(log(), once);
    let mark = kept(&family)[0].file_stem().unwrap().to_str().unwrap().to_owned();
    ends_with(0, &["want", name(&family), "cover.wall", "2.6"]);
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    let (said, _) =
        ends_with(0, &[&printed[..], &["bridge-cover", "--again", "--build", &mark.to_uppercase()]].concat());
    assert!(said.contains(&format!("bridge-cover, copy 2, of build {mark}")), "{said}");
    assert_eq!(kept(&family).len(), 1);
}

/// A hole came out 0.22 mm small where 0.10 is stated: 88f1e19 went on calling other holes fits with 99.7 %. Now they count as
/// badly printed as that one until they are read, by every command; the reading withdrawn, all is as before.
#[test]
fn a_print_that_contradicts_the_stated_tolerance() {
    let scratch = tempfile::tempdir().unwrap();
    let family = common::copy("tidewick", scratch.path());
    let out = scratch.path().join("out");
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    ends_with(0, &["printed", name(&family), "neck-cover", "--on", "2026-10-12", "--out", name(&out)]);
    let (before, _) = ends_with(0, &["check", name(&family)]);
    let read = |size: &str, figures: [&str; 2]| {
        let arguments = ["read", name(&family), size, figures[0], figures[1], "--on", "2026-10-13"];
        text(&common::run(&arguments).stderr)
    };
    // Within what is stated nothing is said.
    assert!(!read("neck.cover.length", ["91.56", "91.58"]).contains("came out"));
    let said = read("neck.cover.screw_hole", ["3.38", "3.39"]);
    let output = common::run(&["check", name(&family)]);
    let (now, notes) = (text(&output.stdout), text(&output.stderr));
    let notice = "neck.cover.screw_hole came out 0.22 mm smaller than it was wanted, where the printer is said to keep each size within \u{b1} 0.10 mm: holes that were not read count as within \u{b1} 0.22 mm now";
    assert!(said.contains(notice) && notes.contains(notice), "{said}\n{notes}");
    assert_eq!(output.status.code(), Some(3), "{now}");
    let line = |of: &str, what: &str| of.lines().find(|l| l.contains(what)).unwrap().to_owned();
    let rods = "neck    Magnet rods through the flatwork's pole holes";
    assert!(line(&before, rods).starts_with("fits") && line(&now, rods).starts_with("too close"), "{now}");
    // What is no hole is believed as before.
    let lip = "neck    Baseplate's lip";
    assert_eq!(line(&before, lip), line(&now, lip));
    assert!(now.contains("\u{b1} 0.22 mm of holes and \u{b1} 0.10 mm of others"), "{now}");
    // Drawn otherwise now, it is held against what it was drawn to.
    ends_with(0, &["want", name(&family), "cover.screw_hole", "3.8"]);
    let notes = text(&common::run(&["check", name(&family)]).stderr);
    assert!(notes.contains("came out 0.22 mm smaller"), "{notes}");
    ends_with(0, &["want", name(&family), "--undo"]);
    let log = fs::read_to_string(family.join("readings.ron")).unwrap();
    let entry = log.matches("(on: ").count().to_string();
    ends_with(0, &["withdraw", name(&family), &entry, "misread"]);
    let (again, _) = ends_with(0, &["check", name(&family)]);
    assert_eq!(line(&before, rods), line(&again, rods));
}

/// The same of plates that are cut from sheet: what they came out says nothing of the printer, and the printer's word nothing
/// of them.
#[test]
fn a_plate_that_contradicts_what_the_cutter_keeps() {
    let scratch = tempfile::tempdir().unwrap();
    let family = common::copy("tidewick", scratch.path());
    let out = scratch.path().join("out");
    ends_with(0, &["want", name(&family), "flatwork.sheet", "usual"]);
    let (said, _) = ends_with(0, &["stands", name(&family)]);
    assert!(
        said.contains("print neck-cover, neck-baseplate, and cut neck-flatwork-bottom, neck-flatwork-top"),
        "{said}"
    );
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    let built = out.join("tidewick");
    for file in [
        "neck-flatwork-top.dxf",
        "neck-flatwork-top.svg",
        "tidewick-sheet-2.00.dxf",
        "tidewick-sheet-2.40.svg",
    ] {
        assert!(built.join(file).is_file(), "{file}");
    }
    assert!(!built.join("neck-flatwork-top.stl").exists());
    ends_with(
        0,
        &["printed", name(&family), "neck-flatwork-bottom", "--on", "2026-10-12", "--out", name(&out)],
    );
    let read = |size: &str, figure: &str| {
        let arguments = ["read", name(&family), size, figure, figure, "--on", "2026-10-13"];
        text(&common::run(&arguments).stderr)
    };
    let said = read("neck.flatwork-bottom.pole_hole", "2.99");
    let notice = "neck.flatwork-bottom.pole_hole came out 0.24 mm larger than it was wanted, where the cutter is said to keep each size within \u{b1} 0.08 mm: cut sizes that were not read count as within \u{b1} 0.24 mm now";
    assert!(said.contains(notice), "{said}");
    let said = read("neck.flatwork-bottom.height", "2.65");
    assert!(said.contains("where the sheet's thickness is said to be within \u{b1} 0.12 mm"), "{said}");
    let now = text(&common::run(&["check", name(&family)]).stdout);
    assert!(now.contains("the cutter keeps each size within \u{b1} 0.24 mm, and the sheet its thickness within \u{b1} 0.25 mm"), "{now}");
    assert!(now.contains("the printer keeps each size within the stated \u{b1} 0.10 mm"), "{now}");
    // Another kerf is another drawing.
    let (said, _) = ends_with(0, &["build", name(&family), "--out", name(&out), "--anyway"]);
    ends_with(0, &["want", name(&family), "flatwork.sheet.kerf", "0.3"]);
    let (other, _) = ends_with(0, &["build", name(&family), "--out", name(&out), "--anyway"]);
    let mark = |said: &str| said.split("build ").nth(1).unwrap()[..8].to_owned();
    assert_ne!(mark(&said), mark(&other));
    let (said, _) = ends_with(0, &["needs", name(&family)]);
    assert!(said.contains("sheet for flatwork, 2.40 mm thick"), "{said}");
}

/// The screws were read again elsewhere, so that only holes moved: that is another build, and the copy of before is checked as
/// it was drawn. (A review found both taken for the same.)
#[test]
fn holes_that_moved_make_another_build() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, _, out] = bench(scratch.path());
    let build = ["build", name(&family), "--out", name(&out)];
    let mark = |said: &str| said.split("build ").last().unwrap()[..8].to_owned();
    let first = mark(&ends_with(0, &build).0);
    ends_with(0, &["printed", name(&family), "--on", "2026-10-12", "--out", name(&out)]);
    for (screw, reach) in [("1", "19.60"), ("2", "19.60")] {
        let quantity = format!("bridge.screws.{screw}.bridge_side");
        let read = [
            "read",
            name(&family),
            &quantity,
            reach,
            reach,
            "--how",
            "hole_near",
            "--afresh",
            "--on",
            "2026-10-13",
        ];
        common::run(&read);
    }
    let second = mark(&text(&common::run(&[&build[..], &["--anyway"]].concat()).stdout));
    assert_ne!(first, second);
    ends_with(0, &["read", name(&family), "bridge.cover.height", "17.5", "--on", "2026-10-13"]);
    let said = text(&common::run(&["inspect", name(&family), "--out", name(&out)]).stdout);
    assert!(said.contains("bridge-cover, copy 1 was drawn otherwise than it would be now"), "{said}");
    let said = text(&common::run(&["diff", name(&family), "--out", name(&out)]).stdout);
    let cover = said.lines().find(|l| l.contains("bridge-cover (copy 1")).unwrap();
    assert!(!cover.contains("drawn as before"), "{said}");
    // Printed again, it is of the new build, and as it would be drawn.
    ends_with(0, &["printed", name(&family), "bridge-cover", "--on", "2026-10-14", "--out", name(&out)]);
    let said = text(&common::run(&["diff", name(&family), "--out", name(&out)]).stdout);
    let cover = said.lines().find(|l| l.contains("bridge-cover (copy 2")).unwrap();
    assert!(cover.contains("drawn as before"), "{said}");
}

/// Two covers whose hollows differ by 0.14 mm: one that was taken for the other taught the printer that it makes them so much
/// shorter. Now it says which of both it may be, and believes only who knows it by its bag.
#[test]
fn a_copy_that_may_be_another_teaches_nothing_in_which_they_differ() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, printer, out] = bench(scratch.path());
    let build = ["build", name(&family), "--out", name(&out)];
    let printed = |day: &str| {
        let said =
            ends_with(0, &["printed", name(&family), "bridge-cover", "--on", day, "--out", name(&out)]).0;
        said.split("of build ").nth(1).unwrap()[..8].to_owned()
    };
    ends_with(0, &build);
    let first = printed("2026-10-12");
    ends_with(0, &["want", name(&family), "cover.wall", "2.27"]);
    ends_with(0, &build);
    let second = printed("2026-10-13");
    // Of the first, said to be of the second.
    let read = |of: &str, figures: [&str; 2]| {
        common::run(&["read", name(&family), of, figures[0], figures[1], "--on", "2026-10-14"]);
    };
    read("bridge.cover.hollow_length", ["108.56", "108.57"]);
    read("bridge.cover.screw_hole", ["3.50", "3.51"]);
    let taught = || fs::read_to_string(printer.join("readings.ron")).unwrap();
    let before = taught();
    let inspect = ["inspect", name(&family), "--out", name(&out)];
    let teach = |how: &str| text(&common::run(&[&inspect[..], &[how]].concat()).stdout);
    let said = teach("--teach");
    assert!(said.contains(&format!("said to be of build {second}, goes")), "{said}");
    assert!(
        said.contains(&format!("with bridge-cover of build {first}. They differ in hollow_length")),
        "{said}"
    );
    // What is alike in both teaches the same, whichever it is.
    let new = taught()[before.len()..].to_owned();
    assert!(new.contains("got: mm([3.5, 3.51])") && !new.contains("108.5"), "{new}");
    // A reading that was pointed out as odd is none to learn from.
    read("bridge.cover.hollow_width", ["38.10", "38.55"]);
    let before = taught();
    let said = teach("--teach");
    assert!(said.contains("bridge.cover.hollow_width: its readings contradict each other"), "{said}");
    assert_eq!(taught(), before);
}
