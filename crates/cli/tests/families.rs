//! Families that are like others, and many at once.

mod common;

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use common::{content, copy, ends_with, spec};

fn name(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// A family that says only what differs from the tidewick, with the tidewick's readings.
fn child(into: &Path, text: &str) -> PathBuf {
    let folder = into.join("skerry");
    fs::create_dir(&folder).unwrap();
    fs::write(folder.join("family.ron"), text).unwrap();
    folder
}

/// What a family does not say its forebear says; a position's own word counts for that position only, and
/// readings are shared when the family has none of its own.
#[test]
fn a_family_can_be_like_another() {
    let scratch = tempfile::tempdir().unwrap();
    let parent = copy("tidewick", scratch.path());
    let family = child(
        scratch.path(),
        "(like: \"../tidewick\", title: \"Skerry\", cover: (wall: mm(2.4)), positions: [(name: \"bridge\", cover: (roof: mm(2.2))), (name: \"neck\")])",
    );
    // That all fits shows that the bridge's lead-out is on the side that the tidewick's bridge states.
    ends_with(0, &["check", name(&family)]);
    let (said, _) = ends_with(0, &["tree", name(&family), name(&parent)]);
    assert_eq!(
        said,
        "skerry: Skerry, like tidewick, readings of tidewick\ntidewick: Tidewick baritone, neck and bridge\n"
    );
    let (said, _) = ends_with(0, &["tree", name(&family), "--of", "cover.roof"]);
    let lines: Vec<&str> = said.lines().collect();
    assert!(
        lines[0].starts_with("skerry bridge: cover.roof 2.2 mm, from")
            && lines[0].ends_with("skerry/family.ron line 1"),
        "{said}"
    );
    assert!(
        lines[1].starts_with("skerry neck: cover.roof 1.8 mm, from")
            && lines[1].ends_with("tidewick/family.ron line 11"),
        "{said}"
    );
    // A reading goes into the log that is shared.
    ends_with(0, &["read", name(&family), "rod.length", "16.0"]);
    assert!(fs::read_to_string(parent.join("readings.ron")).unwrap().contains("got: mm(16.0)"));
}

/// A child that says nothing is its forebear: the same parts to the byte.
#[test]
fn a_family_that_says_nothing_is_the_other_one() {
    let scratch = tempfile::tempdir().unwrap();
    let parent = copy("tidewick", scratch.path());
    let family = child(scratch.path(), "(like: \"../tidewick\")");
    let out = scratch.path().join("out");
    for folder in [&parent, &family] {
        ends_with(0, &["build", name(folder), "--out", name(&out)]);
    }
    let parts = |slug: &str| {
        let mut files = content(&out.join(slug));
        let ending = |n: &str| Path::new(n).extension().map(|e| e.to_string_lossy().into_owned());
        files.retain(|(n, _)| matches!(ending(n).as_deref(), Some("stl" | "step")) && !n.starts_with(slug));
        files
    };
    assert_eq!(parts("tidewick").len(), 16);
    assert!(parts("tidewick") == parts("skerry"));
}

/// Circles and missing forebears are said at the line that names them; mistakes in a forebear at theirs.
#[test]
fn families_that_can_not_be_like_each_other() {
    let scratch = tempfile::tempdir().unwrap();
    let parent = copy("tidewick", scratch.path());
    let family = child(scratch.path(), "(\n    like: \"../tidewick\",\n)");
    common::change(&parent.join("family.ron"), "strings: 6,", "strings: 6, like: \"../skerry\",");
    let (_, err) = ends_with(2, &["check", name(&family)]);
    assert!(err.contains("is like this family again") && err.contains("tidewick/family.ron:4"), "{err}");
    common::change(&parent.join("family.ron"), "like: \"../skerry\",", "wall: mm(2),");
    let (_, err) = ends_with(2, &["check", name(&family)]);
    assert!(err.contains("wall is not known") && err.contains("tidewick/family.ron:4"), "{err}");
    fs::write(family.join("family.ron"), "(like: \"../wren\")").unwrap();
    let (_, err) = ends_with(2, &["check", name(&family)]);
    assert!(
        err.contains("there is no family in \"../wren\"") && err.contains("skerry/family.ron:1:8"),
        "{err}"
    );
}

/// One line a family; what is wrong with one keeps the others from nothing.
#[test]
fn many_families_at_once() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let (said, _) = ends_with(1, &["check", &spec("tidewick"), &spec("bulkhead"), &spec("wherry")]);
    assert_eq!(said.lines().count(), 3, "{said}");
    let missing = scratch.path().join("nowhere");
    let all = [&spec("gunwale"), &spec("bulkhead"), name(&missing), &spec("saltern")];
    let mut arguments = vec!["build", "--out", name(&out)];
    arguments.extend(all);
    let (said, _) = ends_with(2, &arguments);
    assert!(said.contains("clashes, not written") && said.contains("is not a folder"), "{said}");
    let there: Vec<String> = content(&out).into_iter().map(|(n, _)| n).collect();
    assert_eq!(there, ["gunwale", "saltern"]);
    // Two that are called alike would take each other's place.
    let other = copy("gunwale", scratch.path());
    let (_, err) = ends_with(2, &["build", &spec("gunwale"), name(&other), "--out", name(&out)]);
    assert!(err.contains("are called alike") && err.contains("nothing was written"), "{err}");
}

/// A family does not differ from itself, nor from what was just built of it; nothing is written then.
#[test]
fn a_family_does_not_differ_from_itself() {
    let scratch = tempfile::tempdir().unwrap();
    for demo in ["tidewick", "gunwale", "saltern", "wherry"] {
        let out = scratch.path().join(demo);
        let (said, _) = ends_with(0, &["diff", &spec(demo), &spec(demo), "--out", name(&out)]);
        assert_eq!(said, "Nothing changed; all printed parts can stay.\n");
        assert!(!out.exists());
        ends_with(0, &["build", &spec(demo), "--out", name(&out)]);
        let (said, err) = ends_with(0, &["diff", &spec(demo), "--out", name(&out)]);
        assert!(
            said.ends_with("\nNothing changed; all printed parts can stay.\n") && err.is_empty(),
            "{said}{err}"
        );
        assert!(said.starts_with("Compared with the build in "), "{said}");
        assert_eq!(content(&out).len(), 1);
    }
}

/// What one comparison left does not stand beside the next one's answer.
#[test]
fn an_earlier_comparison_does_not_stay() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let out = name(&out);
    ends_with(0, &["diff", &spec("tidewick"), &spec("skerry"), "--out", out]);
    let changes = scratch.path().join("out/skerry-changes");
    let pictures = || content(&changes).iter().filter(|(name, _)| name.contains(".png")).count();
    let text = || std::fs::read_to_string(changes.join("changes.md")).unwrap();
    assert!(pictures() > 0);
    assert!(text().contains(&format!("\nFrom {} to {}.\n", spec("tidewick"), spec("skerry"))), "{}", text());
    let (said, _) = ends_with(0, &["diff", &spec("skerry"), &spec("skerry"), "--out", out]);
    assert!(said.starts_with("Nothing changed; all printed parts can stay.\nAll of it: "), "{said}");
    assert_eq!(pictures(), 0);
    assert!(text().contains("## Readings\n\nNothing.\n"), "{}", text());
}

/// What differs, and what that means for parts that are printed: in a rout that turns out narrower by more than
/// all play none of them can stay; where only the strings lie elsewhere, the plates are to be printed again.
#[test]
fn what_changed_and_what_can_stay() {
    let scratch = tempfile::tempdir().unwrap();
    let parent = copy("tidewick", scratch.path());
    let family = child(
        scratch.path(),
        "(like: \"../tidewick\", cover: (rounding: mm(1.8)), flatwork: (pole_hole: mm(2.80)))",
    );
    let out = scratch.path().join("out");
    let (said, _) = ends_with(0, &["diff", name(&parent), name(&family), "--out", name(&out)]);
    insta::assert_snapshot!("diff_skerry", said.replace(name(scratch.path()), ""));
    let files: Vec<String> = content(&out.join("skerry-changes")).into_iter().map(|(n, _)| n).collect();
    assert_eq!(files.len(), 2 * 6 + 2, "{files:?}");
    let report = fs::read_to_string(out.join("skerry-changes/changes.md")).unwrap();
    insta::assert_snapshot!("changes_skerry", report.replace(name(scratch.path()), ""));
    fs::copy(parent.join("readings.ron"), family.join("readings.ron")).unwrap();
    ends_with(
        0,
        &["read", name(&family), "neck.rout.width", "37.3", "37.32", "--afresh", "--on", "2026-10-01"],
    );
    for (diagonal, read) in [("treble", "96.15"), ("bass", "96.13")] {
        let diagonal = format!("neck.rout.diagonal.{diagonal}");
        ends_with(0, &["read", name(&family), &diagonal, read, read, "--afresh", "--on", "2026-10-01"]);
    }
    // The side has moved, and with it the screws' distance from it.
    for screw in ["neck.screws.1.bridge_side", "neck.screws.2.bridge_side"] {
        let how = ["--how", "hole_near", "--afresh", "--on", "2026-10-01"];
        ends_with(0, &[&["read", name(&family), screw, "17.43", "17.45"], &how[..]].concat());
    }
    let (said, _) = ends_with(1, &["diff", name(&parent), name(&family), "--out", name(&out)]);
    assert!(said.contains("neck.rout.width: 37.31 ± 0.08 mm, before 38.31 ± 0.06"), "{said}");
    assert!(said.contains("neck: print all parts again; "), "{said}");
    assert!(said.contains("bridge: all printed parts can stay; together they fit"), "{said}");
    // The new cover's rounding leaves little beside the screws' heads.
    assert!(said.contains("But check says of the new ones: Thinnest web of the cover"), "{said}");
    let cover = said.lines().find(|l| l.contains("neck-cover: ")).unwrap();
    assert!(cover.contains("print it again: a printed one clashes (-0.1"), "{cover}");
    let other = said.lines().find(|l| l.contains("bridge-flatwork-top: ")).unwrap();
    assert!(other.contains("keep a printed one, it still fits"), "{other}");
    fs::copy(parent.join("readings.ron"), family.join("readings.ron")).unwrap();
    for (quantity, figure) in [("bass_side", "20.0"), ("treble_side", "22.75")] {
        let quantity = format!("neck.strings.{quantity}");
        let how = ["--how", "string_near", "--afresh", "--on", "2026-10-01"];
        ends_with(0, &[&["read", name(&family), &quantity, figure, figure], &how[..]].concat());
    }
    let (said, _) = ends_with(0, &["diff", name(&parent), name(&family), "--out", name(&out)]);
    let expected =
        "neck: print flatwork-bottom, flatwork-top again, keep cover, baseplate; together they fit";
    assert!(said.contains(expected), "{said}");
    let top = said.lines().find(|l| l.contains("neck-flatwork-top: ")).unwrap();
    assert!(top.contains("print it again: a printed one clashes ("), "{top}");
}

/// A family against its last build, by the manifest; what can't be compared is said, and nothing is written.
#[test]
fn a_family_against_its_last_build() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("wherry", scratch.path());
    let quay = family.join("quay");
    fs::create_dir(&quay).unwrap();
    for file in ["printer.ron", "readings.ron"] {
        fs::copy(common::specs().join("wherry/quay").join(file), quay.join(file)).unwrap();
    }
    let out = scratch.path().join("out");
    let diff = |code| ends_with(code, &["diff", name(&family), "--out", name(&out)]);
    let (_, err) = diff(2);
    assert!(err.contains("nothing was built into") && err.contains("build first"), "{err}");
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    common::change(&family.join("family.ron"), "wall: mm(2.2)", "wall: mm(2.4)");
    let (said, _) = diff(0);
    assert!(said.contains("bridge cover.wall: 2.40 mm, before 2.20 mm"), "{said}");
    // The build's folder, or its manifest, can be named too.
    let manifest = out.join("wherry/manifest.json");
    for earlier in [&out.join("wherry"), &manifest] {
        let (again, _) = ends_with(0, &["diff", name(earlier), name(&family), "--out", name(&out)]);
        assert_eq!(again, said);
    }
    fs::remove_dir_all(out.join("wherry-changes")).unwrap();
    let built = fs::read_to_string(&manifest).unwrap();
    let spoilt = [
        ("\"format\": 1", "\"format\": 2", "was written by a newer program, bobbinwright"),
        ("\"text\": ", "\"words\": ", "does not hold the readings that it was built from"),
        ("\"family\": ", "\"kin\": ", "is not the manifest of a build (missing field `family`"),
        ("{", "[", "is not the manifest of a build"),
    ];
    for (from, to, expected) in spoilt {
        fs::write(&manifest, built.replace(from, to)).unwrap();
        let (_, err) = diff(2);
        assert!(err.contains(expected), "{err}");
        assert!(!out.join("wherry-changes").exists());
    }
    // A part that an older program made otherwise is pointed out.
    fs::write(&manifest, built.replacen("\"volume_mm3\": ", "\"volume_mm3\": 1", 1)).unwrap();
    let (_, err) = diff(0);
    assert!(err.contains("made bridge-cover otherwise than this program does"), "{err}");
}

/// A printer that turns out otherwise is said, and a print that came out wrong is one to print again although
/// nothing that is wanted changed.
#[test]
fn printers_and_prints_that_turn_out_otherwise() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let family = copy("wherry", scratch.path());
    let quay = family.join("quay");
    fs::create_dir(&quay).unwrap();
    for file in ["printer.ron", "readings.ron"] {
        fs::copy(common::specs().join("wherry/quay").join(file), quay.join(file)).unwrap();
    }
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    ends_with(0, &["read", name(&quay), "hole.2.75", "2.36", "2.37", "--afresh"]);
    // Holes of which nobody knows how they come out leave each check a fit, and the pickup as a whole open.
    let (said, _) = ends_with(3, &["diff", name(&family), "--out", name(&out)]);
    assert!(said.contains("drawn for the printer as it was known then: inspect it"), "{said}");
    let family = copy("tidewick", scratch.path());
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    ends_with(0, &["read", name(&family), "neck.cover.length", "92.30", "92.31"]);
    let (said, _) = ends_with(0, &["diff", name(&family), "--out", name(&out)]);
    assert!(said.contains("neck: print cover again, keep baseplate"), "{said}");
    assert!(said.contains("neck-cover: drawn as before; print it again: a printed one clashes"), "{said}");
}

/// A second build leaves files alone; after a reading only what hangs on it is written anew.
#[test]
fn files_that_do_not_change_are_left_alone() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let out = scratch.path().join("out");
    let build = || ends_with(0, &["build", name(&family), "--out", name(&out)]).0;
    let date = |file: &str| fs::metadata(out.join("tidewick").join(file)).unwrap().modified().unwrap();
    build();
    let (cover, baseplate) = (date("bridge-cover.stl"), date("bridge-baseplate.step"));
    assert!(build().contains("25 files in") && date("bridge-cover.stl") == cover);
    assert!(build().contains("none of them changed"));
    common::change(&family.join("family.ron"), "recess_depth: mm(2.4)", "recess_depth: mm(2.5)");
    let said = build();
    assert!(said.contains("of them unchanged"), "{said}");
    assert!(date("bridge-cover.stl") > cover && date("bridge-baseplate.step") == baseplate);
}

/// A saved file is built at once, with a line that says what changed; a mistake does not end it.
#[test]
fn a_watched_family_is_built_on_every_save() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("saltern", scratch.path());
    let out = scratch.path().join("out");
    let mut child = Command::new(env!("CARGO_BIN_EXE_bobbinwright"))
        .args(["build", name(&family), "--watch", "--out", name(&out)])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut line = || lines.next().unwrap().unwrap();
    let first = line();
    let file = family.join("family.ron");
    common::change(&file, "thickness: mm(1.8)", "thicknes: mm(2.0)");
    std::thread::sleep(std::time::Duration::from_millis(700));
    common::change(&file, "thicknes: mm(2.0)", "thickness: mm(2.0)");
    let second = line();
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(first.starts_with("first build; changed: bridge-baseplate, bridge-cover"), "{first}");
    assert!(second.contains("baseplate.thickness: 2.00 mm, before 1.80 mm"), "{second}");
    assert!(second.contains("changed: bridge-baseplate."), "{second}");
}
