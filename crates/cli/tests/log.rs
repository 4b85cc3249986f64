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
    let slanted =
        |outline: &'static str| vec!["new", other.to_str().unwrap(), "--slant", "11", "--outline", outline];
    let (_, err) = ends_with(2, &slanted("rhombus"));
    assert!(err.contains("write rectangle, parallelogram or trapezoid"), "{err}");
    assert!(!other.exists());
    let (out, _) = ends_with(0, &slanted("parallelogram"));
    assert!(out.contains("bridge.rout.diagonal.bass"), "{out}");
    assert!(
        fs::read_to_string(other.join("family.ron"))
            .unwrap()
            .contains("outline: parallelogram, slant: degrees(11)")
    );
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
    assert!(out.contains("fits") && out.contains("All 56 checks fit"), "{out}");
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
        (vec!["read", name, "neck.rout.length", "92.2", "--how", "holes_far"], "is for two holes"),
        (vec!["read", name, "neck.rout.length", "92,234"], "is that 92.234 or 92234?"),
        (vec!["read", name, "neck.strings.1-2", "10.1"], "Add --how strings_outer (over both strings)"),
        (vec!["read", name, "neck.screws.pitch", "82.4"], "Add --how holes_far"),
        (vec!["read", name, "rod.diameter", "2.5", "--how", "packet"], "--how packet --within 0.05"),
        (vec!["read", name, "neck.rout.length", "92.2", "--on", "soon"], "write year-month-day"),
        (vec!["withdraw", name, "99", "slip"], "there is no entry 99"),
        (vec!["withdraw", name, "1", "slip"], "entry 1 is no reading"),
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

/// Without a word for it the tool is the one that this was read with last, and the entry says so.
#[test]
fn the_usual_tool_is_taken_and_named() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    for (quantity, figure, tool) in [("neck.rout.length", "92.23", "caliper"), ("scale", "685.5", "rule")] {
        let (entry, ..) = added(&family, &["read", quantity, figure]);
        assert!(entry.contains(&format!("with: \"{tool}\"")), "{entry}");
    }
}

/// A spacing that only its neighbours show to be wrong is pointed out at once.
#[test]
fn an_odd_spacing_is_pointed_out_when_it_is_entered() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let kept: String = log(&family)
        .lines()
        .filter(|l| !l.contains("bridge.strings.treble_side"))
        .map(|l| format!("{l}\n"))
        .collect();
    fs::write(family.join("readings.ron"), kept).unwrap();
    let (_, _, err) = added(
        &family,
        &["read", "bridge.strings.3-4", "13.06", "13.09", "--how", "strings_outer", "--afresh"],
    );
    assert!(err.contains("make one expect about 10.2"), "{err}");
}

/// The sheet's folder may be another family's by its name: its build stays.
#[test]
fn a_sheet_takes_nothing_from_a_build() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let family = copy("saltern", scratch.path());
    let namesake = scratch.path().join("saltern-sheet");
    fs::rename(copy("gunwale", scratch.path()), &namesake).unwrap();
    ends_with(0, &["build", namesake.to_str().unwrap(), "--out", out.to_str().unwrap()]);
    let built = fs::read_dir(out.join("saltern-sheet")).unwrap().count();
    ends_with(0, &["sheet", family.to_str().unwrap(), "--out", out.to_str().unwrap()]);
    let now = fs::read_dir(out.join("saltern-sheet")).unwrap().count();
    assert!(now > built, "{built} files before, {now} after");
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
                .stdout(Stdio::piped())
                .stderr(Stdio::null())
                .spawn()
                .unwrap()
        })
        .collect();
    let mut told = std::collections::BTreeSet::new();
    for child in running {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success());
        told.insert(text(&output.stdout).lines().next().unwrap().split(':').next().unwrap().to_owned());
    }
    let after = log(&family);
    assert_eq!(after.lines().count(), before + 20);
    // Everybody was told the number of their own entry.
    assert_eq!(told.len(), 20, "{told:?}");
    for i in 0..20 {
        assert!(after.contains(&format!("got: mm(2.{i:02}))")), "2.{i:02}");
    }
}

#[test]
fn of_many_slips_the_first_are_shown_and_the_others_counted() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let slip = |n| format!("reading(on: \"2026-10-04\", of: \"rout.length.{n}\", got: mm([12.34]))\n");
    fs::write(family.join("readings.ron"), log(&family) + &(1..=45).map(slip).collect::<String>()).unwrap();
    let (_, err) = ends_with(2, &["check", family.to_str().unwrap()]);
    assert_eq!(err.matches("error: nothing is called").count(), 20, "{err}");
    assert!(err.contains("\"rout.length.1\"") && !err.contains("\"rout.length.21\""), "{err}");
    assert!(err.contains("25 more are not shown; mend these first."), "{err}");
    assert!(err.ends_with("45 things to mend; nothing was written.\n"), "{err}");
    let (out, _) = ends_with(2, &["check", family.to_str().unwrap(), "--json"]);
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(answer["problems"].as_array().unwrap().len(), 45);
}

#[test]
fn what_was_withdrawn_is_not_withdrawn_again() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let folder = family.to_str().unwrap();
    let (entry, ..) = added(&family, &["withdraw", "16", "slip"]);
    assert!(entry.contains("entry: 16, why: \"slip\""), "{entry}");
    let was = log(&family);
    let (_, err) = ends_with(2, &["withdraw", folder, "16", "slip"]);
    assert!(err.contains("entry 16 was withdrawn already, by entry"), "{err}");
    assert_eq!(was, log(&family));
}

/// Inside jaws between two strings read no distance of their middles.
#[test]
fn a_way_that_says_nothing_about_a_distance_is_refused() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let was = log(&family);
    let (_, err) =
        ends_with(2, &["read", family.to_str().unwrap(), "neck.strings.1-2", "9.62", "--how", "inside"]);
    assert!(err.contains("--how strings_inner (between the strings)"), "{err}");
    assert_eq!(was, log(&family));
}

#[test]
fn a_reading_that_changes_parts_says_so() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let (_, out, _) = added(
        &family,
        &["read", "neck.rout.length", "92.04", "92.02", "--on", "2026-10-05", "--spot", "at the bottom"],
    );
    let drawn =
        "neck-cover (91.37 by 37.61 by 18.50 mm, before 91.55 by 37.61 by 18.50 mm), neck-baseplate (";
    assert!(out.contains(&format!("Drawn otherwise now: {drawn}")), "{out}");
    assert!(!out.contains("bridge-cover"), "{out}");
}

#[test]
fn a_tool_is_entered_and_read_with() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let folder = family.to_str().unwrap();
    let (_, err) = ends_with(2, &["read", folder, "neck.rout.length", "92.5", "--with", "ruler"]);
    assert!(err.contains("there is \"caliper\", \"rule\"; another one goes into the log first"), "{err}");
    let (entry, out, _) = added(&family, &["tool", "ruler", "--step", "0.5", "--limit", "0.1"]);
    let figures = "resolution: mm(0.5), mpe_outside: mm(0.1), mpe_inside: mm(0.12), mpe_depth: mm(0.12))\n";
    assert!(entry.ends_with(&format!("name: \"ruler\", {figures}")), "{entry}");
    assert!(out.contains("Readings are taken with it by --with \"ruler\"."), "{out}");
    let (entry, ..) = added(&family, &["read", "neck.rout.length", "92.5", "--with", "ruler"]);
    assert!(entry.contains("with: \"ruler\""), "{entry}");
    let (_, err) = ends_with(2, &["tool", folder, "string", "--step", "20", "--limit", "0.1"]);
    assert!(err.contains("tool.resolution is 20.00 mm"), "{err}");
}

/// What no jaws reach is read with the rule that every family begins with, unless somebody says otherwise.
#[test]
fn a_rule_is_taken_for_granted_where_no_jaws_reach() {
    let scratch = tempfile::tempdir().unwrap();
    let family = scratch.path().join("shallop");
    let name = family.display().to_string();
    common::run(&["new", &name, "--strings", "6"]);
    let last = || fs::read_to_string(family.join("readings.ron")).unwrap().lines().last().unwrap().to_owned();
    for (of, figure, tool) in
        [("scale", "648", "rule"), ("bridge.channel.offset", "5", "rule"), ("rod.length", "16", "caliper")]
    {
        common::run(&["read", &name, of, figure]);
        assert!(last().contains(of) && last().contains(&format!("with: \"{tool}\"")), "{}", last());
    }
}
