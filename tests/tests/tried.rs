//! Parts that were tried in the body, in a whole family: what went in never speaks against its like, what jams never for it.

use std::sync::Arc;

use bobbinwright_core::Prepared;
use bobbinwright_fit::{Tried, Verdict, check_pieces};
use bobbinwright_spec::{SourceFile, Survey, When};

/// A baseplate of the bridge that was printed and tried; `{went}` is how.
fn entries(went: &str) -> String {
    format!(
        "printed(on: \"2026-11-22\", part: \"middle-baseplate\", build: \"00000000\")\n\
         tried(on: \"2026-11-22\", part: \"middle-baseplate\", copy: 1, {went})\n"
    )
}

/// The thwart, the places of whose screws nobody read, with holes that are a little wider than its screws.
fn survey(more: &str) -> Survey {
    survey_with("0.35", more)
}

/// The same with another play in the rout.
fn survey_with(gap: &str, more: &str) -> Survey {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../specs/thwart/");
    let text = |name: &str| std::fs::read_to_string(format!("{folder}{name}")).unwrap();
    let is_read = |line: &&str| !line.contains("_side\", how: hole_near");
    let log: String = text("readings.ron").lines().filter(is_read).flat_map(|line| [line, "\n"]).collect();
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    let wanted = text("family.ron").replace("screw_hole: mm(3.6)", "screw_hole: mm(3.05)");
    let wanted = wanted.replace("fit_gap: mm(0.35)", &format!("fit_gap: mm({gap})"));
    let wanted = file("family.ron", wanted);
    Survey::read_at("thwart", wanted, file("readings.ron", log + more), When::default()).unwrap()
}

/// The family with what was tried, all of it drawn as it would be now.
fn judged(more: &str) -> Prepared {
    judged_with("0.35", more)
}

fn judged_with(gap: &str, more: &str) -> Prepared {
    let survey = |more: &str| survey_with(gap, more);
    let family = |more: &str| survey(more).family().unwrap_or_else(|e| panic!("{e}"));
    let drawn = Prepared::new(family("")).unwrap_or_else(|e| panic!("{e}"));
    let parts = Arc::new(drawn.positions[0].clone());
    let of = |trial| Tried { trial, parts: parts.clone() };
    let tried = survey(more).trials().into_iter().map(of).collect();
    Prepared::with_tried(family(more), tried).unwrap_or_else(|e| panic!("{e}"))
}

fn chances(prepared: &Prepared) -> Vec<(&'static str, f64)> {
    prepared.fit.checks.iter().map(|c| (c.kind.name(), c.probability)).collect()
}

fn of(all: &[(&'static str, f64)], name: &str) -> f64 {
    all.iter().find(|(known, _)| *known == name).unwrap_or_else(|| panic!("there is no {name}")).1
}

/// That it jams at one end is less likely than that it jams somewhere, and each says its part.
#[test]
fn where_a_part_jams_tells_more() {
    let told = |at: &str| judged(&entries(&format!("with: rout, it: jams{at}"))).fit.told[0].clone();
    let [anywhere, bass, treble] = ["", ", at: bass", ", at: treble"].map(told);
    assert!(bass.chance <= anywhere.chance && treble.chance <= anywhere.chance);
    assert!(bass.line().contains("did not go into the rout, it jams at the bass end"), "{}", bass.line());
    let of_log = survey(&entries("with: rout, it: goes_in, at: bass"));
    let said = of_log.problems.to_string();
    assert!(said.contains("what goes in jams nowhere"), "{said}");
}

/// Where there is hardly any play it may well jam at one end and have room elsewhere: that is said, as it is believed.
#[test]
fn where_it_jams_means_that_there_is_room_elsewhere() {
    let line =
        |at: &str| judged_with("0.05", &entries(&format!("with: rout, it: jams{at}"))).fit.told[0].line();
    let [anywhere, bass] = ["", ", at: bass"].map(line);
    assert!(anywhere.ends_with("that counts in what is said here"), "{anywhere}");
    assert!(bass.contains("room everywhere else"), "{bass}");
}

/// The cover has the baseplate's outline and holes, so that what one goes over the other most likely does too; a printed
/// size is off by its own error. What jams says the opposite. Neither moves what is drawn.
#[test]
fn a_baseplate_that_was_tried_tells_of_the_cover() {
    let before = judged("");
    let [goes, jams] = ["goes_in", "jams"].map(|it| judged(&entries(&format!("with: screws, it: {it}"))));
    let all = [&before, &goes, &jams].map(chances);
    let doubtful = of(&all[0], "cover-screw-holes");
    assert!((0.05..0.8).contains(&doubtful), "the test begins with an open question: {doubtful}");
    for name in ["cover-in-rout", "cover-screw-holes", "baseplate-screw-holes"] {
        let [was, went, jammed] = [0, 1, 2].map(|i| of(&all[i], name));
        assert!(went >= was - 1e-3 && jammed <= was + 1e-3, "{name}: {jammed} {was} {went}");
    }
    let [went, jammed] = [1, 2].map(|i| of(&all[i], "cover-screw-holes"));
    assert!(went > doubtful + 0.1 && jammed < doubtful - 0.1, "{jammed} {doubtful} {went}");
    // Bayes: the two cases make up what was said before, each as often as it was said to come about.
    let told = goes.fit.told[0].chance;
    let mixed = told * went + (1.0 - told) * jammed;
    assert!((mixed - doubtful).abs() < 0.02, "{mixed} {doubtful}");
    for tried in [&goes, &jams] {
        let drawn =
            |p: &Prepared| p.positions[0].parts.iter().map(|part| part.stack.clone()).collect::<Vec<_>>();
        assert_eq!(drawn(tried), drawn(&before));
        assert_eq!(tried.fit.told.len(), 1);
    }
}

/// A copy that went in and then jams is one of both, or was worked on: that is said.
#[test]
fn a_copy_that_went_otherwise_before_is_pointed_out() {
    let again = "tried(on: \"2026-11-23\", part: \"middle-baseplate\", copy: 1, with: screws, it: jams)\n";
    let told = judged(&(entries("with: screws, it: goes_in") + again)).fit.told;
    assert_eq!(told.len(), 1);
    assert!(told[0].line().contains("the same copy went otherwise before"), "{}", told[0].line());
}

/// A copy that jammed and goes in now was filed in between, for all that anybody knows: it tells nothing of others, however often
/// it is said.
#[test]
fn a_copy_that_was_worked_on_tells_of_itself_alone() {
    let goes_in =
        "tried(on: \"2026-11-23\", part: \"middle-baseplate\", copy: 1, with: screws, it: goes_in)\n";
    let without =
        chances(&judged("printed(on: \"2026-11-22\", part: \"middle-baseplate\", build: \"00000000\")\n"));
    let at_once = chances(&judged(&entries("with: screws, it: goes_in")));
    for times in [1, 2] {
        let filed = judged(&(entries("with: screws, it: jams") + &goes_in.repeat(times)));
        assert!(
            filed.fit.told[0].line().contains("tells of this copy alone"),
            "{}",
            filed.fit.told[0].line()
        );
        let found = of(&chances(&filed), "cover-screw-holes");
        assert!((found - of(&without, "cover-screw-holes")).abs() < 1e-9, "{found}");
        assert!(of(&at_once, "cover-screw-holes") > found + 0.05, "{found}");
    }
}

/// However many copies went in, the pickup is no less likely for it: what there are no variables left to draw is left out, not
/// what is asked.
#[test]
fn what_went_in_never_lowers_the_pickup() {
    let copies = |many: usize| -> String {
        let printed = "printed(on: \"2026-11-22\", part: \"middle-baseplate\", build: \"00000000\")\n";
        let tried = |i: usize| {
            format!(
                "tried(on: \"2026-11-22\", part: \"middle-baseplate\", copy: {i}, with: screws, it: goes_in)\n"
            )
        };
        std::iter::repeat_n(printed.to_owned(), many).chain((1..=many).map(tried)).collect()
    };
    let chance = |many: usize| judged(&copies(many)).fit.wholes()[0].chance;
    let alone = chance(0);
    assert!((0.02..0.8).contains(&alone), "the test begins with an open question: {alone}");
    for many in [1, 4, 12, 30] {
        let found = chance(many);
        assert!(found >= alone - 0.01, "{many} copies: {found}, without any {alone}");
    }
}

/// The very copy that went in goes in; the pickup hangs on the rest.
#[test]
fn the_copy_itself_is_known_to_go_in() {
    let tried = judged(&entries("with: screws, it: goes_in"));
    let fit = check_pieces(&tried.family, &tried.positions, &[], &tried.tried);
    let chance = |name: &str| fit.checks.iter().find(|c| c.kind.name() == name).unwrap().probability;
    assert_eq!((chance("baseplate-in-rout"), chance("baseplate-screw-holes")), (1.0, 1.0));
    assert!(chance("cover-screw-holes") < 1.0);
}

/// What can't be true of the readings is pointed out. A jam is never talked away, and a part that went in by miracle makes
/// nothing surer.
#[test]
fn a_trial_that_contradicts_the_readings_is_pointed_out() {
    let before = judged("");
    let jams = judged(&entries("with: rout, it: jams"));
    let told = &jams.fit.told[0];
    assert!(told.contradicts() && told.line().contains("one of both is wrong"), "{}", told.line());
    assert_eq!(jams.fit.wholes()[0].verdict, Verdict::TooClose);
    let cover = |p: &Prepared| of(&chances(p), "cover-in-rout");
    assert!(cover(&before) > 0.95 && cover(&jams) <= 0.5);
}

/// What was found out later about one copy counts, and a rout that was cut again is another one.
#[test]
fn only_what_still_counts_is_taken() {
    let trials =
        |more: &str| -> Vec<String> { survey(more).trials().iter().map(ToString::to_string).collect() };
    let tried = |with: &str, it: &str| {
        format!("tried(on: \"2026-11-23\", part: \"middle-baseplate\", copy: 1, with: {with}, it: {it})\n")
    };
    let first = entries("with: rout, it: jams");
    assert_eq!(trials(&first), ["middle-baseplate, copy 1, did not go into the rout"]);
    // Sanded.
    let sanded = first.clone() + &tried("screws", "goes_in");
    assert_eq!(trials(&sanded), ["middle-baseplate, copy 1, went in and took its screws"]);
    let in_rout_only = entries("with: rout, it: goes_in") + &tried("screws", "jams");
    assert_eq!(trials(&in_rout_only).len(), 2);
    let cut =
        "reading(on: \"2026-11-24\", of: \"middle.rout.length\", afresh: true, got: mm([92.9, 92.9]))\n";
    assert!(trials(&(sanded.clone() + cut)).is_empty());
    let last = survey(&sanded).entries;
    let withdrawn = format!("withdraw(on: \"2026-11-24\", entry: {last})\n");
    assert_eq!(trials(&(sanded + &withdrawn)), ["middle-baseplate, copy 1, did not go into the rout"]);
}

/// What is wrong with an entry is said where it stands.
#[test]
fn a_trial_of_what_is_not_there_is_refused() {
    let wrong = |entry: &str| survey(entry).problems.to_string();
    let tried = |rest: &str| wrong(&format!("tried(on: \"2026-11-23\", {rest})\n"));
    let none = tried("part: \"middle-cover\", copy: 1, with: rout, it: jams");
    assert!(none.contains("there is no copy 1 of middle-cover before this entry"), "{none}");
    let plate = "printed(on: \"2026-11-22\", part: \"middle-flatwork-top\", build: \"00000000\")\n";
    let plate = wrong(&format!(
        "{plate}tried(on: \"2026-11-23\", part: \"middle-flatwork-top\", copy: 1, with: rout, it: jams)\n"
    ));
    assert!(plate.contains("only covers and baseplates are tried in the body"), "{plate}");
    let odd = tried("part: \"middle-baseplate\", copy: 1, with: lead, it: stuck");
    assert!(odd.contains("write one of rout, screws") && odd.contains("write one of goes_in, jams"), "{odd}");
}
