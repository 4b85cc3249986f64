//! Printers' folders: coupon, profile, inspection.

mod common;

use std::fs;
use std::path::Path;

use common::{content, ends_with, name, text, wherry};

/// Takes the reading of one of the coupon's holes out of a log, and gives what the log was.
fn forget_a_hole(log: &Path) -> String {
    let all = fs::read_to_string(log).unwrap();
    let without: Vec<&str> = all.lines().filter(|l| !l.contains("\"hole.3.5\"")).collect();
    fs::write(log, without.join("\n") + "\n").unwrap();
    all
}

/// A folder that is not there is started; what is in one that is there stays as it is.
#[test]
fn a_coupon_starts_a_printers_folder() {
    let scratch = tempfile::tempdir().unwrap();
    let (printer, out) = (scratch.path().join("harbour"), scratch.path().join("out"));
    let arguments = [
        "coupon",
        name(&printer),
        "--for",
        &common::spec("tidewick"),
        "--material",
        "petg",
        "--out",
        name(&out),
    ];
    let (said, _) = ends_with(0, &arguments);
    assert!(said.contains("is new") && said.contains("read 17 sizes"), "{said}");
    let text = fs::read_to_string(printer.join("printer.ron")).unwrap();
    // Pole, eyelet and screw holes and head recess of the tidewick.
    assert!(text.contains("material: petg") && text.contains("holes: mm([2.6, 2.75, 3.6, 6.4])"), "{text}");
    let files: Vec<String> = content(&out.join("harbour-coupon")).into_iter().map(|(n, _)| n).collect();
    assert_eq!(
        files,
        [
            "harbour-coupon-sheet-1.svg",
            "harbour-coupon-sheet.pdf",
            "harbour-coupon.3mf",
            "harbour-coupon.stl",
            "sheet.json"
        ]
    );
    fs::write(printer.join("printer.ron"), text.replace("layer: mm(0.2)", "layer: mm(0.12)")).unwrap();
    let before = content(&printer);
    let (_, err) = ends_with(2, &arguments.map(|a| if a == "petg" { "abs" } else { a }));
    assert!(err.contains("is for PETG, not for ABS"), "{err}");
    ends_with(0, &arguments);
    assert_eq!(content(&printer), before);
}

/// Readings of a coupon are entered like any others; as long as some are missing nothing is made of
/// them, and a family on that printer says which.
#[test]
fn of_a_coupon_with_a_missing_reading_the_usual_holds() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, printer) = wherry(scratch.path());
    let file = printer.join("readings.ron");
    let all = forget_a_hole(&file);
    // With that one check is open that the coupon settles.
    let (said, err) = ends_with(3, &["check", name(&family)]);
    assert!((said + &err).contains("not read yet"), "{err}");
    let (said, _) = ends_with(0, &["read", name(&printer), "hole.3.5", "3.32", "3.33"]);
    assert!(said.contains("a hole of 3 mm comes out smaller by"), "{said}");
    ends_with(0, &["check", name(&family)]);
    // Without any reading what is usual for the material holds.
    fs::write(
        &file,
        all.lines().take_while(|l| !l.contains("reading(")).collect::<Vec<_>>().join("\n") + "\n",
    )
    .unwrap();
    let (said, _) = ends_with(0, &["read", name(&printer), "outer.x.90", "89.9"]);
    assert!(said.contains("16 of the coupon's 17 sizes are still to be read"), "{said}");
    let (said, _) = ends_with(0, &["withdraw", name(&printer), "2", "not cooled down"]);
    assert!(said.contains("what is usual for PLA (common practice)"), "{said}");
}

/// A reading that the others do not make one expect is pointed out with its entry.
#[test]
fn an_odd_size_of_a_coupon_is_pointed_out() {
    let scratch = tempfile::tempdir().unwrap();
    let (_, printer) = wherry(scratch.path());
    let (_, err) = ends_with(0, &["read", name(&printer), "hole.5.1", "4.59", "4.6", "--afresh"]);
    assert!(err.contains("hole.5.1 came out 0.3") && err.contains("smaller than all other sizes"), "{err}");
    let (_, err) = ends_with(2, &["read", name(&printer), "hole.5.1", "0.45"]);
    assert!(err.contains("which can't be the diameter of the hole drawn 5.10 mm"), "{err}");
    let (_, err) = ends_with(2, &["read", name(&printer), "bore.5", "5"]);
    assert!(err.contains("hole.2.75"), "{err}");
}

/// A hole opened as far as is said, and read again, fits.
#[test]
fn a_part_worked_over_as_it_says_fits() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, _) = wherry(scratch.path());
    let out = scratch.path().join("out");
    let read = |figures: &[&str], more: &[&str]| {
        let all = [&["read", name(&family), "bridge.flatwork-top.pole_hole"], figures, more].concat();
        ends_with(0, &all);
    };
    read(&["4.72", "4.71"], &["--on", "2026-10-12"]);
    let (said, _) = ends_with(1, &["inspect", name(&family), "--out", name(&out)]);
    let line = said.lines().find(|l| l.starts_with("bridge rod-through-flatwork:")).unwrap();
    let to = line.split("pole_hole from 4.71 to ").nth(1).unwrap().split(' ').next().unwrap();
    let less = format!("{:.2}", to.parse::<f64>().unwrap() - 0.03);
    read(&[&less, &less], &["--afresh", "--on", "2026-10-13"]);
    ends_with(3, &["inspect", name(&family), "--out", name(&out)]);
    read(&[to, to], &["--afresh", "--on", "2026-10-14"]);
    ends_with(0, &["inspect", name(&family), "--out", name(&out)]);
}

/// What was read on printed parts is held against what is allowed, takes the wanted sizes' place in the
/// checks, and is offered to the printer's log.
#[test]
fn printed_parts_are_inspected() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, printer) = wherry(scratch.path());
    let out = scratch.path().join("out");
    let inspect = ["inspect", name(&family), "--out", name(&out)];
    let (said, _) = ends_with(0, &inspect);
    assert!(
        said.contains("sizes decide the fit") && said.contains("bridge.flatwork-bottom.pole_hole"),
        "{said}"
    );
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    for arguments in [
        &["bridge.cover.length", "112.98", "112.96"][..],
        &["bridge.cover.width", "40.90", "40.93"],
        &["bridge.flatwork-bottom.pole_hole", "5.08", "5.11", "5.09"],
        &["bridge.flatwork-top.pole_hole", "4.72", "4.71"],
        &["bridge.cover.screw_pitch", "105.44", "105.46", "--how", "holes_far"],
        &["bridge.cover.screw_hole", "3.47", "3.49"],
    ] {
        let mut all = vec!["read", name(&family)];
        all.extend(arguments);
        all.extend(["--on", "2026-10-12"]);
        ends_with(0, &all);
    }
    let (said, _) = ends_with(1, &inspect);
    let marked = mark(&said);
    insta::assert_snapshot!(
        "inspect_wherry",
        said.replace(name(scratch.path()), "").replace(&marked, "MARK")
    );
    let log = || fs::read_to_string(printer.join("readings.ron")).unwrap();
    let before = log();
    // From which build they were printed only the person knows.
    let unnamed: Vec<&str> = inspect.iter().copied().chain(["--teach"]).collect();
    let (_, err) = ends_with(2, &unnamed);
    assert!(err.contains("say from which build the parts were printed"), "{err}");
    let (_, err) = ends_with(2, &[&inspect[..], &["--teach=0badcafe"]].concat());
    assert!(err.contains("not 0badcafe"), "{err}");
    assert_eq!(log(), before);
    let teach = format!("--teach={marked}");
    let taught: Vec<&str> = inspect.iter().copied().chain([teach.as_str()]).collect();
    let (said, _) = ends_with(1, &taught);
    // A hole that came out 0.39 mm smaller than this printer makes it was drawn otherwise, or misread.
    assert!(said.contains("bridge.flatwork-top.pole_hole was read 0.3"), "{said}");
    assert!(said.contains("Entered in the printer's log: 4 readings"), "{said}");
    assert!(log().starts_with(&before) && log().contains("of: \"outer.x.113."));
    assert!(log().contains("how: inside, spot: \"wherry bridge-flatwork-bottom\""), "{}", log());
    assert!(!log().contains("bridge-flatwork-top"), "{}", log());
    // Once is enough, also when the parts are drawn anew by what was learnt.
    let after = log();
    let (said, err) = ends_with(2, &taught);
    assert!(said.contains("It teaches nothing") && err.contains("nothing was entered"), "{said}{err}");
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    let (_, err) = ends_with(2, &taught);
    assert!(err.contains("nothing was entered"), "{err}");
    let (said, _) = ends_with(1, &inspect);
    assert!(said.contains("Read before the last build, so on parts of an earlier one"), "{said}");
    assert_eq!(log(), after);
    // A hole that is drilled open tells nothing of the printer.
    for figure in ["5.08", "5.30"] {
        let mut all = vec!["read", name(&family), "bridge.flatwork-top.pole_hole", figure, "--afresh"];
        all.extend(["--on", "2026-10-13"]);
        ends_with(0, &all);
    }
    ends_with(2, &taught);
    assert_eq!(log(), after);
}

/// The mark of the build that parts may teach from, as inspect names it.
fn mark(said: &str) -> String {
    let at = said.find("--teach=").unwrap_or_else(|| panic!("{said}")) + "--teach=".len();
    said[at..at + 8].to_owned()
}

/// A part that is measured after another build was made was drawn otherwise than that build says: 88f1e19 entered
/// its reading for a size that it never had.
#[test]
fn a_printer_is_taught_nothing_of_an_earlier_print() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, printer) = wherry(scratch.path());
    let out = scratch.path().join("out");
    let build = ["build", name(&family), "--out", name(&out)];
    ends_with(0, &build);
    common::change(&family.join("family.ron"), "fit_gap: snug(chance: 0.98)", "fit_gap: mm(0.4)");
    ends_with(0, &build);
    let log = || fs::read_to_string(printer.join("readings.ron")).unwrap();
    let before = log();
    // Of the earlier print: 113.0 where the new one would be 112.5.
    for (quantity, figure) in [("bridge.cover.length", "113.00"), ("bridge.cover.width", "40.9")] {
        ends_with(0, &["read", name(&family), quantity, figure, figure, "--on", "2026-10-12"]);
    }
    let inspect = ["inspect", name(&family), "--out", name(&out)];
    let said = text(&common::run(&inspect).stdout);
    assert!(said.contains("was printed from another build, or misread"), "{said}");
    let (_, err) = ends_with(2, &[&inspect[..], &["--teach"]].concat());
    assert!(err.contains("nothing was entered in the printer's log"), "{err}");
    assert_eq!(log(), before);
}

/// The same where another family whose folder is called alike was built in between: that build is refused, and so is
/// what it would teach.
#[test]
fn another_familys_build_is_left_alone() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, _) = wherry(scratch.path());
    let elsewhere = scratch.path().join("elsewhere");
    fs::create_dir(&elsewhere).unwrap();
    let (twin, printer) = wherry(&elsewhere);
    let out = scratch.path().join("out");
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    let before = content(&out.join("wherry"));
    let (_, err) = ends_with(2, &["build", name(&twin), "--out", name(&out)]);
    assert!(
        err.contains("holds the build of another family") && err.contains("nothing was written"),
        "{err}"
    );
    assert_eq!(content(&out.join("wherry")), before);
    let (_, err) = ends_with(2, &["diff", name(&twin), "--out", name(&out)]);
    assert!(err.contains("is of another family") && err.contains("--out"), "{err}");
    ends_with(0, &["read", name(&twin), "bridge.cover.length", "113.00", "113.0", "--on", "2026-10-12"]);
    let log = fs::read_to_string(printer.join("readings.ron")).unwrap();
    let (_, err) = ends_with(2, &["inspect", name(&twin), "--out", name(&out), "--teach"]);
    assert!(err.contains("is of another family"), "{err}");
    assert_eq!(fs::read_to_string(printer.join("readings.ron")).unwrap(), log);
    // Its own family builds there again, also when it has moved.
    let moved = scratch.path().join("moved");
    fs::create_dir(&moved).unwrap();
    fs::rename(family.parent().unwrap(), moved.join("specs")).unwrap();
    ends_with(0, &["build", name(&moved.join("specs/wherry")), "--out", name(&out)]);
}

/// A profile that can't be made up for is said with part, printer and figures, by check and by build.
#[test]
fn what_a_profile_makes_impossible_is_refused() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, printer) = wherry(scratch.path());
    let file = printer.join("readings.ron");
    let text: String = fs::read_to_string(&file)
        .unwrap()
        .lines()
        .map(|line| {
            // A first layer that spreads by far more than a printer's does.
            let line = if line.contains("\"foot.x.90\"") || line.contains("\"foot.y.60\"") {
                let (head, tail) = line.split_once("mm([").unwrap();
                let figures: Vec<String> = tail
                    .trim_end_matches("]))")
                    .split(", ")
                    .map(|f| format!("{:.2}", f.parse::<f64>().unwrap() + 3.6))
                    .collect();
                format!("{head}mm([{}]))", figures.join(", "))
            } else {
                line.to_owned()
            };
            line + "\n"
        })
        .collect();
    fs::write(&file, text).unwrap();
    for command in ["check", "build"] {
        let (_, err) = ends_with(2, &[command, name(&family)]);
        assert!(err.contains("bridge flatwork-bottom") || err.contains("bridge baseplate"), "{err}");
        assert!(err.contains("the profile of quay") && err.contains("first layer 1.9"), "{err}");
    }
}

/// A printer's folder that is not there is named, with what would make it.
#[test]
fn a_missing_printer_is_named() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, printer) = wherry(scratch.path());
    fs::remove_dir_all(&printer).unwrap();
    let (_, err) = ends_with(2, &["check", name(&family)]);
    assert!(err.contains("there is no printer's folder") && err.contains("1 thing to mend"), "{err}");
    assert!(err.contains("bobbinwright coupon"), "{err}");
}

/// What is read of a part and can't be right is said at once.
#[test]
fn odd_readings_of_parts_are_pointed_out() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, _) = wherry(scratch.path());
    let read = |quantity: &str, figure: &str, more: &[&str]| {
        let mut all = vec!["read", name(&family), quantity, figure];
        all.extend(more);
        ends_with(0, &all).0
    };
    assert!(read("bridge.cover.hollow_length", "4.27", &[]).contains("was it read in inches?"));
    assert!(read("bridge.cover.height", "16.1", &[]).contains("was it misread"));
    assert!(read("bridge.flatwork-top.ear_to_ear", "50", &[]).contains("has no such size"));
    let waits = read("bridge.cover.screw_pitch", "105.5", &["--how", "holes_far"]);
    assert!(waits.contains("it needs bridge.cover.screw_hole"), "{waits}");
}

/// Parts for a printer whose faults are made up for lie flat.
#[test]
fn parts_on_their_sides_are_refused() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, _) = wherry(scratch.path());
    common::change(&family.join("family.ron"), "on_bed: (cover: top)", "on_bed: (cover: neck)");
    let (_, err) = ends_with(2, &["check", name(&family)]);
    assert!(err.contains("on_bed: the cover of bridge shall lie on its side towards the neck"), "{err}");
    assert!(err.contains("write underside or top"), "{err}");
}

/// While a coupon is half read, readings of the family can still be entered.
#[test]
fn a_half_read_coupon_keeps_nobody_from_measuring() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, printer) = wherry(scratch.path());
    forget_a_hole(&printer.join("readings.ron"));
    let (said, _) = ends_with(0, &["read", name(&family), "rod.diameter", "4.76"]);
    assert!(said.contains("rod.diameter: 4.76"), "{said}");
}

/// A family names the printer that is to be started.
#[test]
fn a_coupon_for_a_printer_that_is_named_already() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, _) = wherry(scratch.path());
    common::change(&family.join("family.ron"), "printer: \"quay\"", "printer: \"../newcomer\"");
    let printer = family.parent().unwrap().join("newcomer");
    let out = scratch.path().join("out");
    let (said, _) = ends_with(0, &["coupon", name(&printer), "--for", name(&family), "--out", name(&out)]);
    assert!(said.contains("is new"), "{said}");
    // Now it can be used.
    assert_ne!(common::run(&["check", name(&family)]).status.code(), Some(2));
}
