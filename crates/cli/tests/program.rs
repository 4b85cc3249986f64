//! The program as a person runs it: exit codes, files whole or not at all, nothing lost.

mod common;

use std::fs;
use std::process::Command;

use common::{change, content, copy, ends_with, run, spec, text};

#[test]
fn the_demo_families_fit_and_one_clashes() {
    for name in ["tidewick", "gunwale", "saltern", "thwart", "capstan", "halyard", "leeward", "transom"] {
        let (out, _) = ends_with(0, &["check", &spec(name)]);
        assert!(out.contains("checks fit.") && out.contains("goes together and into the body"), "{out}");
    }
    let (out, _) = ends_with(1, &["check", &spec("bulkhead")]);
    for clash in ["lead-out-at-channel", "cover-in-rout", "height-under-strings"] {
        assert!(out.contains(clash), "{clash} in\n{out}");
    }
}

/// What a person reads, whole.
#[test]
fn what_check_says_about_a_clash() {
    let (out, _) = ends_with(1, &["check", &spec("bulkhead")]);
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!("check_bulkhead", out);
    });
}

#[test]
fn json_is_json_with_the_same_verdicts() {
    let (out, _) = ends_with(1, &["check", &spec("bulkhead"), "--json"]);
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(answer["verdict"], "clashes");
    let margins: Vec<f64> =
        answer["checks"].as_array().unwrap().iter().map(|c| c["margin_mm"].as_f64().unwrap()).collect();
    assert!(margins.len() > 15 && margins[0] < 0.0);
    let (out, _) = ends_with(2, &["check", "nowhere", "--json"]);
    let answer: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(answer["problems"][0]["severity"], "error");
}

#[test]
fn a_build_writes_what_its_manifest_says() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("deep/out");
    ends_with(0, &["build", &spec("tidewick"), "--out", out.to_str().unwrap()]);
    let folder = out.join("tidewick");
    let manifest: serde_json::Value =
        serde_json::from_slice(&fs::read(folder.join("manifest.json")).unwrap()).unwrap();
    let parts = manifest["parts"].as_array().unwrap();
    assert_eq!(parts.len(), 8);
    for part in parts {
        let stl = fs::read(folder.join(part["files"]["stl"].as_str().unwrap())).unwrap();
        let triangles = part["printed"]["triangles"].as_u64().unwrap();
        // Binary STL: 80 bytes of header, a count, 50 bytes a triangle.
        assert_eq!(stl.len() as u64, 84 + 50 * triangles);
        let step = text(&fs::read(folder.join(part["files"]["step"].as_str().unwrap())).unwrap());
        assert!(step.starts_with("ISO-10303-21;\nHEADER;"));
        assert!(step.contains(&format!("MANIFOLD_SOLID_BREP('{}'", part["id"].as_str().unwrap())));
    }
    let mut named: Vec<String> = manifest["outputs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|o| o["file"].as_str().unwrap().to_owned())
        .collect();
    named.push("manifest.json".into());
    named.sort();
    let there: Vec<String> = content(&folder).into_iter().map(|(name, _)| name).collect();
    assert_eq!(named, there);
    assert_eq!(content(&out).len(), 1, "nothing temporary is left");
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let (a, b) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    for name in ["tidewick", "gunwale", "saltern", "thwart", "capstan", "halyard", "leeward", "transom"] {
        // Another folder, and in the second run already built once.
        let family = copy(name, b.path());
        ends_with(0, &["build", &spec(name), "--out", a.path().to_str().unwrap()]);
        for _ in 0..2 {
            ends_with(
                0,
                &["build", family.to_str().unwrap(), "--out", b.path().join("out").to_str().unwrap()],
            );
        }
        assert!(content(&a.path().join(name)) == content(&b.path().join("out").join(name)), "{name} differs");
    }
}

/// Whoever follows what `check` says, as it says it, ends with parts that fit.
#[test]
fn advice_that_is_followed_ends_in_a_fit() {
    let scratch = tempfile::tempdir().unwrap();
    let family = common::copy("bulkhead", scratch.path());
    let family = family.to_str().unwrap();
    let (mut said, _) = ends_with(1, &["check", family]);
    assert!(said.contains("4 clash"), "{said}");
    let mut rounds = 0;
    // When each check fits, something is said of what the pickup as a whole hangs on.
    while !said.contains("goes together and into the body with a chance of at least") {
        let mut followed = 0;
        for advice in said.lines().filter(|line| line.contains("nothing else turns")) {
            // The first of several ways: `With cover.height 20.70 mm, or with …`, `With a.b word and c.d 10.95 mm it fits`.
            let ways = advice.split(" With ").nth(1).unwrap();
            let way = ways.split(" it fits").next().unwrap().split(" that is surer").next().unwrap();
            let way = way.split(", or with").next().unwrap().trim_end_matches(',');
            for change in way.split(" and ") {
                let words: Vec<&str> = change.split_whitespace().collect();
                ends_with(0, &["want", family, words[0], &words[1..].concat(), "--anyway"]);
                followed += 1;
            }
        }
        rounds += 1;
        assert!(followed > 0 && rounds < 5, "{said}");
        let output = run(&["check", family]);
        said = text(&output.stdout);
    }
    ends_with(0, &["check", family]);
    assert!(said.contains("All 25 checks fit"), "{said}");
}

#[test]
fn a_clash_writes_nothing_unless_told_to() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let out_arg = out.to_str().unwrap();
    let (said, err) = ends_with(1, &["build", &spec("bulkhead"), "--out", out_arg]);
    assert!(
        said.contains("With cover.lead_out.side bridge") && err.contains("Nothing was written"),
        "{said}{err}"
    );
    assert!(!out.exists());
    ends_with(0, &["build", &spec("bulkhead"), "--out", out_arg, "--anyway"]);
    let report = text(&fs::read(out.join("bulkhead/report.md")).unwrap());
    assert!(report.contains("Of 25 checks 4 clash"), "{report}");
}

#[test]
fn the_last_good_build_survives_bad_input() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("saltern", scratch.path());
    let out = scratch.path().join("out");
    let arguments = ["build", family.to_str().unwrap(), "--out", out.to_str().unwrap()];
    ends_with(0, &arguments);
    let good = content(&out.join("saltern"));
    change(&family.join("family.ron"), "wall: mm(1.8)", "wall: mm(18)");
    let (_, err) = ends_with(2, &arguments);
    assert!(err.contains("family.ron:9") && err.contains("cover.wall"), "{err}");
    change(&family.join("family.ron"), "wall: mm(18)", "wall: mm(1.8");
    ends_with(2, &arguments);
    assert!(good == content(&out.join("saltern")));
}

#[test]
fn what_a_person_keeps_in_the_folder_stays() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().to_str().unwrap();
    ends_with(0, &["build", &spec("saltern"), "--out", out]);
    let folder = scratch.path().join("saltern");
    fs::write(folder.join("notes.txt"), "sanded the ears").unwrap();
    fs::create_dir(folder.join("photos")).unwrap();
    fs::write(folder.join("photos/one.jpg"), "jpg").unwrap();
    fs::write(folder.join("report.md"), "my own report").unwrap();
    let (said, _) = ends_with(0, &["build", &spec("saltern"), "--out", out]);
    assert!(said.contains("report.yours-1.md"), "{said}");
    assert_eq!(text(&fs::read(folder.join("notes.txt")).unwrap()), "sanded the ears");
    assert_eq!(text(&fs::read(folder.join("photos/one.jpg")).unwrap()), "jpg");
    assert_eq!(text(&fs::read(folder.join("report.yours-1.md")).unwrap()), "my own report");
    // Untouched files of an earlier build that are no longer built go away.
    ends_with(0, &["build", &spec("saltern"), "--out", out]);
    assert_eq!(text(&fs::read(folder.join("report.yours-1.md")).unwrap()), "my own report");
}

#[test]
fn bad_places_are_said_and_nothing_is_written() {
    let scratch = tempfile::tempdir().unwrap();
    let path = |name: &str| scratch.path().join(name).display().to_string();
    let (_, err) = ends_with(2, &["check", &path("nowhere")]);
    assert!(err.contains("is not a folder"), "{err}");
    // A file where the family's folder should be.
    fs::write(scratch.path().join("file"), "x").unwrap();
    ends_with(2, &["check", &path("file")]);
    // A folder where a file should be.
    let family = copy("saltern", scratch.path());
    fs::remove_file(family.join("readings.ron")).unwrap();
    let (_, err) = ends_with(2, &["check", family.to_str().unwrap()]);
    assert!(err.contains("there is no such file"), "{err}");
    fs::create_dir(family.join("readings.ron")).unwrap();
    let (_, err) = ends_with(2, &["check", family.to_str().unwrap()]);
    assert!(err.contains("a folder, not a file"), "{err}");
    // Not text.
    fs::remove_dir(family.join("readings.ron")).unwrap();
    fs::write(family.join("readings.ron"), [0x66, 0x0a, 0xff, 0xfe]).unwrap();
    let (_, err) = ends_with(2, &["check", family.to_str().unwrap()]);
    assert!(err.contains("line 2 is not text"), "{err}");
    // A file where the output folder should be, above it and in its place.
    let (_, err) = ends_with(2, &["build", &spec("saltern"), "--out", &path("file")]);
    assert!(err.contains("nothing was written"), "{err}");
    fs::create_dir(scratch.path().join("out")).unwrap();
    fs::write(scratch.path().join("out/saltern"), "mine").unwrap();
    ends_with(2, &["build", &spec("saltern"), "--out", &path("out")]);
    assert_eq!(content(&scratch.path().join("out")), [("saltern".into(), b"mine".to_vec())]);
}

/// A device that is always full stands in for a full disk.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_last_build() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let family = common::copy("saltern", scratch.path());
    ends_with(0, &["build", family.to_str().unwrap(), "--out", out.to_str().unwrap()]);
    let good = content(&out.join("saltern"));
    // What does not change need not be written.
    common::change(&family.join("family.ron"), "thickness: mm(1.8)", "thickness: mm(1.9)");
    // The largest file a process may write, in blocks of 1024 bytes: smaller than a STEP file.
    let script = format!(
        "ulimit -f 20; trap '' XFSZ; exec {} build {} --out {}",
        env!("CARGO_BIN_EXE_bobbinwright"),
        family.display(),
        out.display()
    );
    let output = Command::new("bash").args(["-c", &script]).output().unwrap();
    assert_eq!(output.status.code(), Some(2), "{}", text(&output.stderr));
    assert!(text(&output.stderr).contains("nothing was written"), "{}", text(&output.stderr));
    assert!(good == content(&out.join("saltern")));
    assert_eq!(content(&out).len(), 1, "nothing temporary is left");
}

#[test]
fn the_log_answers_as_of_a_day() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("saltern", scratch.path());
    let folder = family.to_str().unwrap();
    let log = family.join("readings.ron");
    // All of it, and with it where the screws stand.
    let narrower = "reading(on: \"2026-10-20\", of: \"bridge.rout.width\", got: mm([25.4, 25.41]), afresh: true)\n\
                    reading(on: \"2026-10-20\", of: \"bridge.rout.width\", spot: \"bass end\", got: mm([25.42, 25.41]))\n\
                    reading(on: \"2026-10-20\", of: \"bridge.rout.width\", spot: \"treble end\", got: mm([25.41, 25.43]))\n\
                    reading(on: \"2026-10-20\", of: \"bridge.screws.1.bridge_side\", how: hole_near, got: mm([11.72, 11.7]), afresh: true)\n\
                    reading(on: \"2026-10-20\", of: \"bridge.screws.2.bridge_side\", how: hole_near, got: mm([11.68, 11.7]), afresh: true)\n";
    fs::write(&log, fs::read_to_string(&log).unwrap() + narrower).unwrap();
    let margins = |arguments: &[&str]| {
        let (out, _) = ends_with(0, arguments);
        out.lines().find(|l| l.contains("Strings over")).map(str::to_owned)
    };
    assert!(margins(&["check", folder]).is_some());
    // The cover follows the rout, so its own size shows what was read.
    let width = |arguments: &[&str]| {
        let (out, _) = ends_with(0, arguments);
        out.lines().find(|l| l.contains("rout width")).unwrap().to_owned()
    };
    assert!(width(&["check", folder, "--figures"]).contains("25.4"));
    assert!(width(&["check", folder, "--figures", "--as-of", "2026-10-19"]).contains("26.43"));
    // Before the first entry nothing had been measured.
    let (out, _) = ends_with(2, &["check", folder, "--as-of", "2026-01-01"]);
    assert!(out.contains("still to be measured"), "{out}");
    let output = run(&["check", folder, "--as-of", "yesterday"]);
    assert_eq!(output.status.code(), Some(2));
}

#[test]
fn an_entry_of_a_day_to_come_is_pointed_out() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("saltern", scratch.path());
    let log = family.join("readings.ron");
    let later = "reading(on: \"9999-01-01\", of: \"lead.diameter\", got: mm(2.6))\n";
    fs::write(&log, fs::read_to_string(&log).unwrap() + later).unwrap();
    let (_, err) = ends_with(0, &["check", family.to_str().unwrap()]);
    assert!(err.contains("still to come"), "{err}");
}

#[test]
fn a_picture_is_written_once() {
    let scratch = tempfile::tempdir().unwrap();
    let file = scratch.path().join("saltern.png");
    let arguments = ["picture", &spec("saltern"), file.to_str().unwrap(), "--width", "300"];
    ends_with(0, &arguments);
    assert_eq!(&fs::read(&file).unwrap()[1..4], b"PNG");
    let (_, err) = ends_with(2, &arguments);
    assert!(err.contains("is there already"), "{err}");
}

#[test]
fn every_command_has_help_with_an_example_that_works() {
    let (all, _) = ends_with(0, &["--help"]);
    let lines = all.lines().skip_while(|l| *l != "Commands:").skip(1);
    // What goes on in a second line is further in.
    let lines = lines.filter(|l| !l.starts_with("   "));
    let all: Vec<&str> = lines.map_while(|l| l.split_whitespace().next()).filter(|c| *c != "help").collect();
    assert!(all.len() > 12, "{all:?}");
    for command in all.into_iter().filter(|c| *c != "bench") {
        let scratch = tempfile::tempdir().unwrap();
        fs::create_dir(scratch.path().join("specs")).unwrap();
        for demo in ["tidewick", "skerry"] {
            copy(demo, &scratch.path().join("specs"));
        }
        let run = |words: &[&str]| {
            let program = Command::new(env!("CARGO_BIN_EXE_bobbinwright"));
            let output = { program }.args(words).current_dir(scratch.path()).output().unwrap();
            assert!(output.status.success(), "{words:?}: {}", text(&output.stderr));
        };
        if ["diff", "printed", "tried"].contains(&command) {
            run(&["build", "specs/tidewick"]);
        }
        if command == "tried" {
            run(&["printed", "specs/tidewick"]);
        }
        let (out, _) = ends_with(0, &[command, "--help"]);
        let examples = out.lines().skip_while(|l| !l.starts_with("Example"));
        let examples: Vec<&str> =
            examples.filter_map(|l| l.split_once("bobbinwright ")).map(|l| l.1).collect();
        assert!(!examples.is_empty(), "{command} has no example");
        for example in examples {
            run(&example.split_whitespace().map(|w| w.trim_matches('"')).collect::<Vec<_>>());
        }
    }
}

/// A shell completes what the help lists, and can read what it is given.
#[test]
fn completions_know_every_command() {
    let (script, _) = ends_with(0, &["completions", "bash"]);
    let (help, _) = ends_with(0, &["--help"]);
    let commands = help.lines().skip_while(|l| *l != "Commands:").skip(1).take_while(|l| !l.is_empty());
    for command in commands.filter(|l| !l.starts_with("   ")).filter_map(|l| l.split_whitespace().next()) {
        assert!(script.contains(&format!("bobbinwright,{command})")), "{command} is missing in:\n{script}");
    }
    let scratch = tempfile::tempdir().unwrap();
    let file = scratch.path().join("completions");
    fs::write(&file, script).unwrap();
    let Ok(read) = std::process::Command::new("bash").arg("-n").arg(&file).status() else { return };
    assert!(read.success());
}

/// A list that can't be read any more does not make a copy beside each file of the build: all that is another content now is
/// kept in one folder, and said in one line. (A review found 23 copies.)
#[test]
fn a_damaged_list_keeps_all_in_one_folder() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("gunwale", scratch.path());
    let out = scratch.path().join("out");
    let build = ["build", family.to_str().unwrap(), "--out", out.to_str().unwrap()];
    ends_with(0, &build);
    let folder = out.join("gunwale");
    fs::write(folder.join("manifest.json"), "{ damaged").unwrap();
    ends_with(0, &["want", family.to_str().unwrap(), "cover.wall", "2.2"]);
    let (said, _) = ends_with(0, &build);
    assert_eq!(said.matches("yours-").count(), 1, "{said}");
    assert!(said.contains("manifest.json can't be read") && said.contains("kept in yours-1/"), "{said}");
    let names = |folder: &std::path::Path| -> Vec<String> {
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect()
    };
    assert_eq!(names(&folder).iter().filter(|n| n.contains("yours")).count(), 1);
    assert!(names(&folder.join("yours-1")).contains(&"manifest.json".to_owned()));
    assert_eq!(fs::read_to_string(folder.join("yours-1/manifest.json")).unwrap(), "{ damaged");
    // The next one is as ever.
    let (said, _) = ends_with(0, &build);
    assert!(!said.contains("yours-"), "{said}");
}
