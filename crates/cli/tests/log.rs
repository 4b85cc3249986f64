//! Starting a family and filling its log: entries are added, and nothing else ever happens to it.

mod common;

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use common::{copy, ends_with, text};

fn log(folder: &Path) -> String {
    text(&fs::read(folder.join("readings.ron")).unwrap())
}

/// What a command adds to a log; everything before stays, byte by byte.
fn added(folder: &Path, arguments: &[&str]) -> (String, String, String) {
    let before = log(folder);
    let mut all = vec![arguments[0], folder.to_str().unwrap()];
    all.extend(&arguments[1..]);
    let (out, err) = ends_with(0, &all);
    let after = log(folder);
    assert!(after.starts_with(&before));
    (after[before.len()..].to_owned(), out, err)
}

#[test]
fn a_new_family_says_what_to_measure_and_is_never_overwritten() {
    let scratch = tempfile::tempdir().unwrap();
    let folder = scratch.path().join("deep/skiff");
    let name = folder.to_str().unwrap();
    let (out, _) = ends_with(0, &["new", name, "--positions", "neck,bridge", "--mounting", "ears"]);
    assert!(out.contains("52 are still to be measured"), "{out}");
    let (out, err) = ends_with(2, &["check", name]);
    assert!(out.contains("neck.ears.length") && err.is_empty(), "{out}{err}");
    let (out, _) = ends_with(2, &["check", name, "--json"]);
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(answer["to_measure"].as_array().unwrap().len(), 52);
    let was = log(&folder);
    let (_, err) = ends_with(2, &["new", name]);
    assert!(err.contains("is there already"), "{err}");
    assert_eq!(was, log(&folder));
    // Wrong answers write nothing.
    let other = scratch.path().join("dory");
    let (_, err) = ends_with(2, &["new", other.to_str().unwrap(), "--positions", "Neck Pickup"]);
    assert!(err.contains("a position can't be called \"Neck Pickup\""), "{err}");
    assert!(!other.exists());
}

#[test]
fn a_reading_is_added_and_what_it_changes_is_said() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let (entry, out, _) = added(
        &family,
        &["read", "rod.diameter", "2.71", "2.72", "--on", "2026-10-05", "--afresh", "--with", "caliper"],
    );
    assert_eq!(
        entry,
        "reading(on: \"2026-10-05\", of: \"rod.diameter\", with: \"caliper\", got: mm([2.71, 2.72]), afresh: true)\n"
    );
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("read_a_thicker_rod", out);
    });
    // Withdrawing it brings the old verdicts back.
    let number = out.split([' ', ':']).nth(1).unwrap().to_owned();
    let (entry, out, _) = added(&family, &["withdraw", &number, "another rod"]);
    assert!(entry.ends_with(&format!("entry: {number}, why: \"another rod\")\n")), "{entry}");
    assert!(out.contains("fits") && out.contains("All 48 checks fit"), "{out}");
}

#[test]
fn figures_can_be_typed_in_inches_and_fractions() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("gunwale", scratch.path());
    let (entry, ..) = added(&family, &["read", "middle.channel.offset", "-29/64in", "-0.45in"]);
    assert!(entry.ends_with("got: inch([-0.453125, -0.45]))\n"), "{entry}");
    let (entry, ..) =
        added(&family, &["read", "rod.diameter", "3/16in", "--how", "packet", "--within", "0.001in"]);
    assert!(entry.contains("how: packet, within: inch(0.001), got: inch(0.1875))"), "{entry}");
}

/// Whatever can't be read back is refused, and the log stays as it was.
#[test]
fn a_reading_that_makes_no_sense_is_refused() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.to_str().unwrap();
    let was = log(&family);
    for (arguments, said) in [
        (vec!["read", name, "neck.rout.lenght", "92.2"], "did you mean \"neck.rout.length\"?"),
        (vec!["read", name, "neck.rout.length", "3.63"], "was it read in inches?"),
        (vec!["read", name, "strings.gauge.7", "1.8"], "there is no string 7"),
        (vec!["read", name, "neck.rout.length", "92.2", "3.63in"], "need one unit"),
        (vec!["read", name, "neck.rout.length", "92.2", "--with", "tape"], "no tool called \"tape\""),
        (vec!["read", name, "neck.rout.length", "92.2", "--how", "holes_far"], "is for two screw holes"),
        (vec!["read", name, "neck.rout.length", "92,2"], "write a decimal point: 92.2"),
        (vec!["withdraw", name, "99", "slip"], "there is no entry 99"),
        (vec!["withdraw", name, "1", "slip"], "only readings can be withdrawn"),
    ] {
        let (_, err) = ends_with(2, &arguments);
        assert!(err.contains(said), "{arguments:?}: {err}");
        assert_eq!(log(&family), was);
    }
    // A log with a mistake of its own is not added to.
    fs::write(family.join("readings.ron"), format!("{was}reading(on: \"2026-10")).unwrap();
    let torn = log(&family);
    ends_with(2, &["read", name, "neck.rout.length", "92.2"]);
    assert_eq!(log(&family), torn);
}

/// A slip is entered, since nobody else can judge it, and pointed out.
#[test]
fn a_slip_is_entered_and_pointed_out() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let (entry, _, err) = added(&family, &["read", "neck.rout.width", "39.31", "--with", "caliper"]);
    assert!(entry.contains("39.31"));
    assert!(err.contains("was the scale misread?"), "{err}");
}

/// A last line without an end gets one; nothing is glued to it.
#[test]
fn a_log_without_a_last_line_end_is_added_to_properly() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("saltern", scratch.path());
    let was = format!("{}// a remark", log(&family));
    fs::write(family.join("readings.ron"), &was).unwrap();
    let (entry, ..) = added(&family, &["read", "bridge.rout.length", "98.4", "--on", "2026-10-05"]);
    assert!(entry.starts_with("\nreading("), "{entry}");
    ends_with(0, &["check", family.to_str().unwrap()]);
}

/// Twenty programs that add at the same time: every confirmed entry is in the log, whole.
#[test]
fn readings_entered_at_once_are_all_kept() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("saltern", scratch.path());
    let before = log(&family).lines().count();
    let running: Vec<_> = (0..20)
        .map(|i| {
            Command::new(env!("CARGO_BIN_EXE_bobbinwright"))
                .args(["read", family.to_str().unwrap(), "lead.diameter", &format!("2.{i:02}")])
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    for mut child in running {
        assert!(child.wait().unwrap().success());
    }
    let after = log(&family);
    assert_eq!(after.lines().count(), before + 20);
    for i in 0..20 {
        assert!(after.contains(&format!("got: mm(2.{i:02}))")), "2.{i:02}");
    }
}
