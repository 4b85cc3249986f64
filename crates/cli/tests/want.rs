//! What is wanted, changed by the program.

mod common;

use std::fs;

use common::{copy, ends_with};

/// Listed with its bounds, changed, refused beyond them with a value that works, and taken back to the byte.
#[test]
fn wanted_values() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.display().to_string();
    let file = family.join("family.ron");
    let first = fs::read_to_string(&file).unwrap();
    let want = |code, words: &[&str]| ends_with(code, &[&["want", &name], words].concat());

    let (all, _) = want(0, &[]);
    insta::assert_snapshot!("want", all);

    let (said, _) = want(0, &["cover.wall", "0.09in"]);
    assert!(said.starts_with("cover.wall: 0.09 in, before 2.0 mm.\n"), "{said}");
    let (said, _) = want(0, &["cover.rounding", "1.2", "--only", "neck"]);
    assert!(said.starts_with("cover.rounding: 1.2 mm, before 1.4 mm.\n"), "{said}");
    let (said, _) = want(0, &["cover.rounding"]);
    let bounds: Vec<&str> = said.lines().filter(|l| l.contains("can be")).collect();
    assert!(bounds[0].contains("1.2 mm") && bounds[1].contains("1.4 mm"), "{said}");

    let before = fs::read_to_string(&file).unwrap();
    let (_, err) = want(2, &["cover.rounding", "9"]);
    assert!(err.contains("can't be larger than the corner radius, 5.70 mm"), "{err}");
    let works = err.split("with cover.rounding ").nth(1).unwrap().split(" it can be made").next().unwrap();
    assert_eq!(fs::read_to_string(&file).unwrap(), before, "what is refused is not written");
    want(0, &["cover.rounding", &works.replace(' ', "")]);
    let (_, err) = want(2, &["cover.wal", "2"]);
    assert!(err.contains("did you mean cover.wall?"), "{err}");
    let (_, err) = want(2, &["string_set", "nickel"]);
    assert!(err.contains("it is several: string_set.wound_from, string_set.wrap"), "{err}");
    let (_, err) = want(2, &["printer.bed"]);
    assert!(err.contains("printer.bed can't be changed this way: change it in"), "{err}");
    assert!(err.contains("family.ron, line 62"), "{err}");
    let (_, err) = want(2, &["cover.fit_gap", "tight"]);
    assert!(err.contains("or snug(chance: 0.98)"), "{err}");
    let (_, err) = want(2, &["cover.wall", "soon"]);
    assert!(err.contains("write it in digits"), "{err}");
    want(0, &["cover.rounding", "9", "--anyway"]);

    for _ in 0..4 {
        want(0, &["--undo"]);
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), first);
    let (_, err) = want(2, &["--undo"]);
    assert!(err.contains("there is no change to take back"), "{err}");
}

/// Values that can only be had together are set together, as one change; what one of them lacks, none is written.
#[test]
fn values_that_go_together() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.display().to_string();
    let file = family.join("family.ron");
    let first = fs::read_to_string(&file).unwrap();
    let want = |code, words: &[&str]| ends_with(code, &[&["want", &name], words].concat());
    let (_, err) = want(2, &["cover.corner_radius", "1.2"]);
    assert!(err.contains("want FAMILY PATH VALUE PATH VALUE"), "{err}");
    let (said, _) = want(0, &["cover.corner_radius", "1.2", "cover.rounding", "1.0", "cover.roof", "2"]);
    assert!(said.contains("cover.rounding: 1.0 mm, before 1.4 mm.\n"), "{said}");
    assert!(said.contains("cover.corner_radius: 1.2 mm, before 5.7 mm.\n"), "{said}");
    let changed = fs::read_to_string(&file).unwrap();
    let (_, err) = want(2, &["cover.wall", "2.2", "cover.roof"]);
    assert!(err.contains("cover.roof has no value"), "{err}");
    let (_, err) = want(2, &["cover.wall", "2.2", "cover.rof", "2"]);
    assert!(err.contains("did you mean cover.roof?"), "{err}");
    assert_eq!(fs::read_to_string(&file).unwrap(), changed, "all or none");
    want(0, &["--undo"]);
    assert_eq!(fs::read_to_string(&file).unwrap(), first);
}

/// Whatever the file can say: groups that are there or not, other ways to hold the cover, a coil to begin with, a
/// printer's folder, a family to be like. All of it can be taken back.
#[test]
fn everything_can_be_wanted() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("bulkhead", scratch.path());
    let other = copy("tidewick", scratch.path());
    let printer = scratch.path().join("quay");
    fs::create_dir(&printer).unwrap();
    for file in ["printer.ron", "readings.ron"] {
        fs::copy(common::specs().join("wherry/quay").join(file), printer.join(file)).unwrap();
    }
    let (name, file) = (family.display().to_string(), family.join("family.ron"));
    let first = fs::read_to_string(&file).unwrap();
    let want = |code, words: &[&str]| ends_with(code, &[&["want", &name], words].concat());
    let build = || {
        let out = scratch.path().join("out");
        ends_with(0, &["build", &name, "--out", out.to_str().unwrap(), "--anyway"]);
        let manifest = fs::read_to_string(out.join("bulkhead/manifest.json")).unwrap();
        serde_json::from_str::<serde_json::Value>(&manifest).unwrap()
    };
    let all = [
        ("coil", "usual"),
        ("coil.wind", "turns(6400)"),
        ("magnets", "alnico3"),
        ("baseplate.lip", "usual"),
        ("baseplate.lip.gap", "0.4"),
        ("baseplate.lead_depth", "4"),
        ("on_bed.cover", "top"),
        ("handed", "left"),
        ("printer", "../quay"),
        ("title", "Bulkhead, once more"),
    ];
    for (path, value) in all {
        want(0, &[path, value, "--anyway"]);
    }
    let manifest = build();
    assert_eq!(manifest["title"], "Bulkhead, once more");
    assert_eq!(manifest["parts"][0]["handed"], "left");
    assert!(manifest["profile"].to_string().contains("quay"), "{}", manifest["profile"]);
    let checks = manifest["checks"].to_string();
    assert!(checks.contains("lip-in-hollow") && checks.contains("coil-on-bobbin"), "{checks}");
    for (path, none) in [("coil", "none"), ("baseplate.lip", "none"), ("baseplate.lead_depth", "none")] {
        want(0, &[path, none, "--anyway"]);
    }
    let checks = build()["checks"].to_string();
    assert!(!checks.contains("lip-in-hollow") && !checks.contains("coil-on-bobbin"), "{checks}");
    let (_, err) = want(2, &["coil.start", "bass"]);
    assert!(err.contains("coil is none: say first what else it is"), "{err}");
    let (_, err) = want(2, &["cover.mounting", "glue"]);
    assert!(err.contains("cover.mounting can't be \"glue\": it can be bosses, ears"), "{err}");
    want(0, &["cover.mounting", "ears", "--anyway"]);
    want(0, &["cover.mounting", "bosses", "--anyway"]);
    want(0, &["poles", "pair", "--anyway"]);
    // What this family does not say, the other one says; what it says is none stays none.
    want(0, &["like", "../tidewick", "--anyway"]);
    let (said, _) = ends_with(0, &["tree", &name]);
    assert!(said.contains("like tidewick"), "{said}");
    let (said, _) = want(0, &["coil"]);
    assert!(said.contains("none") && !said.contains("awg"), "{said}");
    want(0, &["like", "none", "--anyway"]);
    let (said, _) = ends_with(0, &["tree", &name]);
    assert!(!said.contains("like"), "{said}");
    let (said, _) = want(0, &["flatwork.mark_radius"]);
    assert!(said.contains("radius of the bite in the bass end of the top plate"), "{said}");
    assert!(other.join("family.ron").exists());
    for _ in 0..all.len() + 8 {
        want(0, &["--undo"]);
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), first);
}

/// A family that is like another one gets what it wants otherwise into its own file; the other one stays.
#[test]
fn what_is_wanted_of_a_like_family() {
    let scratch = tempfile::tempdir().unwrap();
    let (like, family) = (copy("tidewick", scratch.path()), copy("skerry", scratch.path()));
    let like = like.join("family.ron");
    let before = fs::read_to_string(&like).unwrap();
    let name = family.display().to_string();
    ends_with(0, &["want", &name, "cover.mounting.recess_depth", "2.6"]);
    ends_with(0, &["want", &name, "flatwork.eyelets.side", "neck", "--only", "bridge"]);
    let (said, _) = ends_with(0, &["want", &name, "cover.mounting.recess_depth"]);
    assert_eq!(said.matches("2.6 mm").count(), 2, "{said}");
    assert_eq!(fs::read_to_string(&like).unwrap(), before);
}

/// Whatever can be wanted stands in the README's table of words.
#[test]
fn the_readme_has_every_word() {
    let readme = fs::read_to_string(common::specs().join("../README.md")).unwrap();
    let table = readme.split("### The words in `family.ron`").nth(1).unwrap();
    for wish in bobbinwright_spec::wishes() {
        let name = wish.path.rsplit('.').next().unwrap();
        assert!(table.contains(name), "{} is missing", wish.path);
    }
}

/// A family that is stated in inches is answered in inches, and what is proposed in them works.
#[test]
fn whoever_thinks_in_inches_is_answered_in_inches() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("gunwale", scratch.path());
    let name = family.display().to_string();
    let (said, _) = ends_with(0, &["want", &name]);
    assert!(said.contains("can be 0.008 in to 0.213 in now") && !said.contains(" mm"), "{said}");
    let (said, _) = ends_with(0, &["check", &name]);
    assert!(said.contains("margin, in") && !said.contains(" mm"), "{said}");
    ends_with(0, &["want", &name, "cover.height", "1.1in", "--anyway"]);
    let (said, _) = ends_with(1, &["check", &name]);
    let advice = said.lines().find(|l| l.contains("height-under-strings:")).unwrap();
    assert!(!advice.contains(" mm"), "{advice}");
    let works = advice.split("With cover.height ").nth(1).unwrap().split(" in").next().unwrap();
    ends_with(0, &["want", &name, "cover.height", &format!("{works}in")]);
    ends_with(0, &["check", &name]);
    let (_, err) = ends_with(2, &["want", &name, "cover.rounding", "0.3in"]);
    assert!(err.contains("larger than the corner radius, 0.150 in"), "{err}");
    let works = err.split("with cover.rounding ").nth(1).unwrap().split(" in").next().unwrap();
    ends_with(0, &["want", &name, "cover.rounding", &format!("{works}in")]);
}

/// What check proposes has a name, in words and in JSON; by it all of its changes are made as one, and taken back as one.
#[test]
fn what_is_proposed_is_taken_by_its_name() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("bulkhead", scratch.path());
    let name = family.display().to_string();
    let file = family.join("family.ron");
    let before = fs::read_to_string(&file).unwrap();
    let (said, _) = ends_with(1, &["check", &name, "--json"]);
    let answer: serde_json::Value = serde_json::from_str(&said).unwrap();
    let checks = answer["checks"].as_array().unwrap();
    let lead = checks.iter().find(|c| c["name"] == "lead-out-at-channel").unwrap();
    let proposed = &lead["proposals"][0];
    let chosen = proposed["name"].as_str().unwrap();
    assert_eq!(chosen, "bridge-lead-out-at-channel-1");
    assert_eq!(
        proposed["changes"],
        serde_json::json!([
            { "path": "cover.lead_out.side", "value": "bridge" },
            { "path": "cover.lead_out.offset", "value": "10.95" },
        ])
    );
    assert_eq!(proposed["spoils"], serde_json::json!([]));
    // What fits needs nothing.
    assert!(checks.iter().all(|c| c["verdict"] != "fits" || c["proposals"].is_null()));
    let (said, _) = ends_with(1, &["check", &name]);
    assert!(said.contains(&format!("  {chosen}")), "{said}");

    let (said, _) = ends_with(0, &["want", &name, "--proposal", chosen]);
    assert!(said.contains("3 clash"), "{said}");
    let after = fs::read_to_string(&file).unwrap();
    assert!(after.contains("side: bridge") && after.contains("offset: mm(10.95)"), "{after}");
    // It is done, so it is not proposed any more.
    let (_, err) = ends_with(2, &["want", &name, "--proposal", chosen]);
    assert!(err.contains("is not proposed as the family is now: proposed are bridge-"), "{err}");
    assert_eq!(fs::read_to_string(&file).unwrap(), after);
    ends_with(0, &["want", &name, "--undo"]);
    assert_eq!(fs::read_to_string(&file).unwrap(), before);
}

/// One line states a value for both pickups. What only one of them lacks is proposed for that one and written there, what
/// both lack for both.
#[test]
fn what_is_proposed_for_one_pickup_leaves_the_other_as_it_is() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.display().to_string();
    let file = family.join("family.ron");
    ends_with(0, &["want", &name, "coil.wind", "turns(9000)"]);
    let proposed = |check: &str| -> serde_json::Value {
        let answer: serde_json::Value =
            serde_json::from_slice(&common::run(&["check", &name, "--json"]).stdout).unwrap();
        let found = answer["checks"]
            .as_array()
            .unwrap()
            .iter()
            .find(|c| c["name"] == check && c["verdict"] != "fits");
        found.unwrap()["proposals"][0].clone()
    };
    let fewer = proposed("coil-on-bobbin");
    assert_eq!(fewer["name"], "bridge-coil-on-bobbin-1");
    assert_eq!(fewer["words"], "7750 turns for bridge alone");
    assert_eq!(fewer["changes"][0]["only"], "bridge");
    ends_with(0, &["want", &name, "--proposal", "bridge-coil-on-bobbin-1"]);
    let now = fs::read_to_string(&file).unwrap();
    assert!(now.contains("wind: turns(9000)") && now.contains("coil: (wind: turns(7750), turning"), "{now}");

    ends_with(0, &["want", &name, "flatwork.pole_hole", "2.5", "--anyway"]);
    let wider = proposed("rod-through-flatwork");
    assert!(wider["words"].as_str().unwrap().ends_with(" for neck and bridge"), "{wider}");
    assert!(wider["changes"][0]["only"].is_null());
    ends_with(0, &["want", &name, "--proposal", wider["name"].as_str().unwrap()]);
    let now = fs::read_to_string(&file).unwrap();
    assert_eq!(now.matches("pole_hole").count(), 1, "{now}");
}

/// Every proposal, taken by its name, does what it says: its check fits, and nothing turns but what it says.
#[test]
fn every_proposal_does_what_it_says() {
    let scratch = tempfile::tempdir().unwrap();
    let name = copy("bulkhead", scratch.path()).display().to_string();
    let check = || -> serde_json::Value {
        serde_json::from_slice(&common::run(&["check", &name, "--json"]).stdout).unwrap()
    };
    let first = check();
    let verdict = |of: &serde_json::Value, one: &serde_json::Value| {
        let all = of["checks"].as_array().unwrap();
        let same = all.iter().find(|c| c["name"] == one["name"] && c["position"] == one["position"]);
        same.map(|c| c["verdict"].clone())
    };
    let mut taken = 0;
    for one in first["checks"].as_array().unwrap() {
        for proposed in one["proposals"].as_array().into_iter().flatten() {
            ends_with(0, &["want", &name, "--proposal", proposed["name"].as_str().unwrap()]);
            let now = check();
            assert_eq!(verdict(&now, one), Some("fits".into()), "{proposed}");
            let spoilt = proposed["spoils"].as_array().unwrap();
            for other in first["checks"].as_array().unwrap().iter().filter(|c| c["verdict"] == "fits") {
                let is_spoilt = spoilt.iter().any(|s| s["name"] == other["name"]);
                assert!(is_spoilt || verdict(&now, other) == Some("fits".into()), "{proposed}: {other}");
            }
            ends_with(0, &["want", &name, "--undo"]);
            taken += 1;
        }
    }
    assert_eq!(taken, 5);
}

/// A figure without a unit is millimetres. In a family in inches it is asked about where it was most likely meant in inches.
#[test]
fn inches_that_are_meant_are_asked_about() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("gunwale", scratch.path());
    let name = family.display().to_string();
    let before = fs::read_to_string(family.join("family.ron")).unwrap();
    let (_, err) = ends_with(2, &["want", &name, "cover.wall", "0.09"]);
    assert!(
        err.contains(
            "0.09 without a unit is millimetres, and cover.wall is 0.080 in now: write 0.09in, or 0.09mm"
        ),
        "{err}"
    );
    assert_eq!(fs::read_to_string(family.join("family.ron")).unwrap(), before);
    ends_with(0, &["want", &name, "cover.wall", "0.09in"]);
    // Nobody wants two inches of wall.
    ends_with(0, &["want", &name, "cover.wall", "2.1"]);
}
