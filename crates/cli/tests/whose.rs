//! Families keep apart what was built for each, whatever their folders are called and wherever they stand.

mod common;

use std::fs;
use std::path::{Path, PathBuf};

use common::{change, copy, ends_with, name};

/// All files of a family in another folder.
fn copied(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap).filter(|e| e.path().is_file()) {
        fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
    }
}

fn identity(family: &Path) -> String {
    let text = fs::read_to_string(family.join("family.id")).unwrap();
    text.split('"').nth(1).unwrap().to_owned()
}

fn manifest(folder: &Path) -> serde_json::Value {
    serde_json::from_slice(&fs::read(folder.join("manifest.json")).unwrap()).unwrap()
}

fn mark(said: &str) -> String {
    said.split("build ").nth(1).unwrap()[..8].to_owned()
}

/// A family with one entry of its own, and a folder for builds.
fn entered(into: &Path) -> [PathBuf; 2] {
    fs::create_dir_all(into.join("specs")).unwrap();
    let family = copy("gunwale", &into.join("specs"));
    ends_with(0, &["want", name(&family), "cover.rounding", "0.06in"]);
    [family, into.join("out")]
}

#[test]
fn a_moved_family_is_itself_and_a_copied_one_another() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, out] = entered(scratch.path());
    let first = identity(&family);
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    assert_eq!(manifest(&out.join("gunwale"))["identity"], first);

    // A copy of the same name in another folder, changed or not, does not get at it.
    let other = scratch.path().join("other/gunwale");
    copied(&family, &other);
    let (said, err) = ends_with(0, &["check", name(&other)]);
    assert!(err.contains("is a copy of") && err.contains("family of its own"), "{said}{err}");
    for command in ["build", "diff", "printed"] {
        let (_, err) = ends_with(2, &[command, name(&other), "--out", name(&out)]);
        assert!(err.contains("of another family") && err.contains("Gunwale"), "{command}: {err}");
        assert!(err.contains("another folder") || err.contains("--out"), "{command}: {err}");
    }
    assert_eq!(manifest(&out.join("gunwale"))["identity"], first);
    ends_with(0, &["want", name(&other), "cover.rounding", "0.07in"]);
    assert_ne!(identity(&other), first);
    let (_, err) = ends_with(0, &["check", name(&other)]);
    assert!(!err.contains("is a copy of"), "{err}");
    ends_with(2, &["build", name(&other), "--out", name(&out)]);

    // Moved and renamed it is the same, finds what was built for it, and what is printed from that.
    let moved = scratch.path().join("elsewhere/skiff");
    fs::create_dir_all(moved.parent().unwrap()).unwrap();
    fs::rename(&family, &moved).unwrap();
    let (said, _) = ends_with(0, &["diff", name(&moved), "--out", name(&out)]);
    assert!(said.contains("Nothing changed"), "{said}");
    ends_with(0, &["printed", name(&moved), "middle-cover", "--out", name(&out)]);
    assert_eq!(identity(&moved), first);
    // With the first gone a copy that nothing was entered in would be it; this one had an entry.
    ends_with(2, &["build", name(&other), "--out", name(&out)]);
}

/// One family is like another: each is one of its own, also where they share a log.
#[test]
fn a_likeness_shares_no_identity() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, out] = entered(scratch.path());
    let twin = scratch.path().join("specs/twin");
    fs::create_dir(&twin).unwrap();
    fs::write(twin.join("family.ron"), "(like: \"../gunwale\")").unwrap();
    ends_with(0, &["read", name(&twin), "rod.length", "0.63in"]);
    assert_ne!(identity(&twin), identity(&family));
    ends_with(0, &["build", name(&twin), "--out", name(&out)]);
    assert_eq!(manifest(&out.join("twin"))["identity"], identity(&twin));
}

/// Printed, built again, and only then said.
#[test]
fn an_earlier_build_can_still_be_printed_from() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, out] = entered(scratch.path());
    let build = ["build", name(&family), "--out", name(&out)];
    let first = mark(&ends_with(0, &build).0);
    // Nothing changed: nothing is replaced.
    assert!(!ends_with(0, &build).0.contains("stood there before"));
    ends_with(0, &["want", name(&family), "cover.wall", "0.09in"]);
    let (said, _) = ends_with(0, &build);
    assert!(said.contains(&format!("Build {first} stood there before")), "{said}");
    let second = mark(&said);
    assert_ne!(first, second);
    ends_with(0, &["want", name(&family), "cover.wall", "0.1in"]);
    ends_with(0, &build);
    let printed = |mark: &str, code| {
        ends_with(code, &["printed", name(&family), "middle-cover", "--build", mark, "--out", name(&out)])
    };
    let (_, err) = printed("00000000", 2);
    assert!(err.contains(&format!("before it {second}, {first}")), "{err}");
    assert!(printed(&first, 0).0.contains(&format!("copy 1, of build {first}")));
    // How it was drawn is known.
    let (said, _) = ends_with(0, &["parts", name(&family)]);
    assert!(said.contains("nothing read of it yet") && !said.contains("not known"), "{said}");
    let (said, err) = ends_with(0, &["diff", name(&family), "--out", name(&out)]);
    assert!(said.contains("copies on the bench"), "{said}{err}");
    // Also when the family is called otherwise by then, and was built anew.
    let renamed = family.with_file_name("yawl");
    fs::rename(&family, &renamed).unwrap();
    ends_with(0, &["want", name(&renamed), "cover.wall", "0.11in"]);
    ends_with(0, &["build", name(&renamed), "--out", name(&out)]);
    let again = ["printed", name(&renamed), "middle-cover", "--build", &second, "--out", name(&out)];
    assert!(ends_with(0, &again).0.contains(&format!("of build {second}")));
}

#[test]
fn a_manifest_that_was_changed_is_refused() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, out] = entered(scratch.path());
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    change(&out.join("gunwale/manifest.json"), "rounding: inch(0.06)", "rounding: inch(0.08)");
    let (_, err) = ends_with(2, &["diff", name(&family), "--out", name(&out)]);
    assert!(err.contains("was changed since it was built"), "{err}");
}

/// Sheets, labels and what is handed over have one family's folder too: of two that are called alike the second is told.
#[test]
fn sheets_of_two_families_are_not_mixed() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let families = ["here", "there"].map(|place| {
        fs::create_dir(scratch.path().join(place)).unwrap();
        copy("gunwale", &scratch.path().join(place))
    });
    for family in &families {
        ends_with(0, &["read", name(family), "lead.diameter", "2.61"]);
    }
    for command in ["sheet", "label", "handover"] {
        ends_with(0, &[command, name(&families[0]), "--out", name(&out)]);
        let (_, err) = ends_with(2, &[command, name(&families[1]), "--out", name(&out)]);
        assert!(err.contains("another family that is called alike") && err.contains("--out"), "{err}");
        // Its own it replaces.
        ends_with(0, &[command, name(&families[0]), "--out", name(&out)]);
    }
    // Nor is how the parts were drawn kept among the other one's builds.
    let builds = scratch.path().join("builds");
    ends_with(0, &["build", name(&families[0]), "--out", name(&builds)]);
    let (_, err) = ends_with(2, &["handover", name(&families[1]), "--out", name(&builds)]);
    assert!(
        err.contains("holds the build of another family") && !builds.join("gunwale/earlier").exists(),
        "{err}"
    );
}

/// A copy whose original was moved before anything was entered in it has builds of its own, and what stands half made in a hidden
/// folder is nobody's.
#[test]
fn a_copy_of_a_moved_family_has_no_builds_of_the_first() {
    let scratch = tempfile::tempdir().unwrap();
    let [family, out] = entered(scratch.path());
    let (twin, old) = (scratch.path().join("specs/twin"), scratch.path().join("specs/old"));
    copied(&family, &twin);
    fs::rename(&family, &old).unwrap();
    // Before its first entry it can't be told whose it is, but what was built from the other is the other's.
    ends_with(0, &["build", name(&old), "--out", name(&out)]);
    let (_, err) = ends_with(2, &["printed", name(&twin), "middle-cover", "--out", name(&out)]);
    assert!(err.contains("nothing") || err.contains("no build"), "{err}");
    ends_with(0, &["want", name(&twin), "cover.wall", "0.09in"]);
    ends_with(0, &["build", name(&twin), "--out", name(&scratch.path().join("elsewhere"))]);
    let (_, err) = ends_with(2, &["printed", name(&twin), "middle-cover", "--out", name(&out)]);
    assert!(err.contains("nothing") || err.contains("no build"), "{err}");
    ends_with(0, &["printed", name(&old), "middle-cover", "--out", name(&out)]);
    ends_with(0, &["printed", name(&twin), "middle-cover", "--out", name(&scratch.path().join("elsewhere"))]);
    assert_ne!(identity(&twin), identity(&old));

    // Renamed, and its next build was killed before it had its place.
    let yawl = scratch.path().join("specs/yawl");
    fs::rename(&old, &yawl).unwrap();
    fs::rename(out.join("old"), out.join(".bobbinwright-dziRib")).unwrap();
    let (_, err) = ends_with(2, &["printed", name(&yawl), "middle-cover", "--out", name(&out)]);
    assert!(err.contains("nothing") || err.contains("no build"), "{err}");
}
