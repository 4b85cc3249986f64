//! A coil while it is wound and after: its stops, what it is tested for, and a pickup that it is to be like.

mod common;

use std::fs;

use common::{change, copy, ends_with};
use serde_json::Value;

/// Stops of the winder go to the log; what they tell is said, and the sheet and other programs have it.
#[test]
fn a_coil_is_followed_while_it_is_wound() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let (log, name) = (family.join("readings.ron"), family.to_str().unwrap().to_owned());
    let out = scratch.path().join("out").to_str().unwrap().to_owned();
    let before = fs::read_to_string(&log).unwrap();
    let wound = |code, more: &[&str]| ends_with(code, &[&["wound", &name], more].concat());
    assert!(wound(0, &[]).0.contains("Nothing is wound yet"));
    for (more, message) in [
        (["neck", "500", "4.0.2"], "no resistance"),
        (["nek", "500", "402"], "there is neck, bridge"),
        (["neck", "500000", "402"], "use 1 to 50000"),
        (["neck", "500", "402k"], "use ohms(0.1) to kilohms(200), or open"),
    ] {
        assert!(wound(2, &more).1.contains(message), "{message}: {}", wound(2, &more).1);
    }
    assert!(wound(2, &["neck", "500", "402", "--meter", "bench"]).1.contains("none called \"bench\""));
    assert_eq!(fs::read_to_string(&log).unwrap(), before);
    ends_with(0, &["meter", &name, "meter", "--counts", "6000", "--percent", "0.5", "--digits", "2"]);
    ends_with(0, &["thermometer", &name, "thermometer", "--limit", "0.5"]);
    wound(0, &["neck", "500", "400.1", "--celsius", "21", "--spool", "43 plain", "--on", "2026-10-04"]);
    for (turns, reads) in [("1000", "0.806k"), ("1500", "1.221k"), ("2000", "1642")] {
        wound(0, &["neck", turns, reads, "--celsius", "21,5"]);
    }
    let entries = fs::read_to_string(&log).unwrap();
    assert!(entries.contains(
        "wound(on: \"2026-10-04\", coil: \"neck\", turns: 500, reads: ohms(400.1), celsius: 21, spool: \"43 plain\", wire: awg(number: 43, film: single), tape: mm(0.06))"
    ));
    let (said, _) = wound(1, &["neck", "2500", "1.98k", "--celsius", "21.5"]);
    assert!(said.contains("turns touch since 2000 turns"), "{said}");
    let (said, _) = wound(0, &["neck", "2400", "1.982k", "--celsius", "21.5"]);
    assert!(said.contains("as expected") && !said.contains("touch since"), "{said}");
    let answer = ends_with(0, &["wind", &name, "--out", &out, "--json"]).0;
    let answer: Value = serde_json::from_str(&answer).unwrap();
    let [neck, bridge] = [0, 1].map(|i| answer["positions"][i].clone());
    assert_eq!(neck["wound"]["stops"].as_array().unwrap().len(), 5);
    assert_eq!(bridge["wound"], Value::Null);
    let part =
        |of: &Value| of["ohms"]["most"].as_f64().unwrap() / of["ohms"]["least"].as_f64().unwrap() - 1.0;
    assert!(part(&neck) < part(&bridge) / 4.0, "{} {}", part(&neck), part(&bridge));
    let sheet = fs::read_to_string(scratch.path().join("out/tidewick-winding/winding.md")).unwrap();
    assert!(sheet.contains("| Wound so far | 2400 turns, 1.982 kΩ at 21.5 °C: as expected"), "{sheet}");
    // A thickness that can't be is no reading until another one says the same; then the packing follows it.
    let packing = |answer: &str| {
        let answer: Value = serde_json::from_str(answer).unwrap();
        answer["positions"][0]["packing"].as_f64().unwrap()
    };
    let json = || ends_with(0, &["wind", &name, "--out", &out, "--json"]).0;
    let planned = packing(&json());
    let (said, _) = wound(1, &["neck", "2500", "2.066k", "--celsius", "21.5", "--across", "21.4"]);
    assert!(said.contains("21.40 mm across the coil after 2500 turns, where"), "{said}");
    assert!((packing(&json()) / planned - 1.0).abs() < 0.02, "{} {planned}", packing(&json()));
    wound(1, &["neck", "3000", "2.489k", "--celsius", "21,5", "--across", "6.55"]);
    let (said, _) = wound(0, &["neck", "3500", "2.917k", "--celsius", "21.5", "--across", "7.2"]);
    assert!(said.contains("packed to 0.4") && !said.contains("7.20 mm across"), "{said}");
    let answer = json();
    assert!(packing(&answer) < 0.5, "{}", packing(&answer));
    let noticed = |answer: &str| -> Value {
        serde_json::from_str::<Value>(answer).unwrap()["positions"][0]["wound"]["turns_noticed_at_next_stop"]
            .clone()
    };
    assert!(
        said.contains(&format!("if {} turns touch by then", noticed(&answer).as_f64().unwrap())),
        "{said}"
    );
    // For wanted ohms the turns follow what the spool turns out to be.
    change(&family.join("family.ron"), "turns(7600)", "ohms(6500)");
    assert!(wound(0, &[]).0.contains("for 6.500 kΩ at 20 °C"));
    // Another family's coil of that spool begins with what this one told.
    let other = copy("saltern", scratch.path());
    let other = other.to_str().unwrap();
    assert!(ends_with(2, &["spool", other, "x", "--from", &name]).1.contains("no coil of"));
    let (said, _) = ends_with(0, &["spool", other, "43 plain", "--from", &name]);
    assert!(said.contains("ohms_per_metre: 6.7") && said.contains("packing: 0.4"), "{said}");
    let (_, err) = ends_with(2, &["read", &name, "neck.coil.ohms", "402"]);
    assert!(err.contains("bobbinwright wound"), "{err}");
}

/// A pickup that was measured is copied as closely as the bobbin lets it be, and what can't be reached is said.
#[test]
fn a_measured_pickup_is_aimed_at() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.to_str().unwrap().to_owned();
    let aim = |code, more: &[&str]| ends_with(code, &[&["aim", &name], more].concat());
    assert!(aim(2, &["neck"]).1.contains("--ohms"));
    assert!(aim(2, &["nek", "--ohms", "6k"]).1.contains("there is neck, bridge"));
    // What this family's own coil would be measured as is found again: its wire and its turns.
    let out = scratch.path().join("out");
    let answer = ends_with(0, &["wind", &name, "--out", out.to_str().unwrap(), "--json"]).0;
    let answer: Value = serde_json::from_str(&answer).unwrap();
    let neck = &answer["positions"][0];
    let [ohms, henries] =
        [&neck["ohms"]["expected"], &neck["henries"]["at_1_khz"]["expected"]].map(ToString::to_string);
    let (said, _) = aim(0, &["neck", "--ohms", &ohms, "--henries", &henries]);
    assert!(said.contains("closest is AWG 43 with single film, 76"), "{said}");
    // One that reads so with its rods in is wound to that with them, not with the empty coil.
    change(&family.join("family.ron"), "turns(7600)", &format!("henries_with_rods({henries})"));
    let answer = ends_with(0, &["wind", &name, "--out", out.to_str().unwrap(), "--json"]).0;
    let answer: Value = serde_json::from_str(&answer).unwrap();
    let turns = answer["positions"][0]["turns"].as_f64().unwrap();
    assert!((turns - 7600.0).abs() < 3.0, "{turns}");
    let (said, _) = aim(0, &["neck", "--ohms", "12k", "--henries", "1,2", "--peak", "9k", "--turns", "4000"]);
    assert!(said.contains("Out of reach on this bobbin"), "{said}");
    // Another height is tried on the whole family, and what it asks for besides is said.
    let (said, _) = aim(0, &["neck", "--henries", "1.35", "--turns", "8000"]);
    let higher = said.lines().find(|line| line.contains("between the plates instead of 11.60 mm")).unwrap();
    assert!(higher.contains("rods of at least") && higher.contains("cover.height"), "{higher}");
    assert!(higher.contains("in all its bobbins; nothing else turns"), "{higher}");
    let (said, _) = aim(0, &["neck", "--henries", "30"]);
    assert!(said.contains("nothing like it has room"), "{said}");
}

/// What a wound coil is tested for is judged, and what does not go together is explained.
#[test]
fn a_wound_coil_is_tested() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.to_str().unwrap().to_owned();
    let tested = |code, more: &[&str]| ends_with(code, &[&["tested", &name, "neck"], more].concat());
    tested(2, &[]);
    tested(2, &["--hertz", "120"]);
    // Commas will do; what is no figure above nought is told at once.
    ends_with(0, &["thermometer", &name, "thermometer", "--limit", "0,5"]);
    let spool = |ohms: &'static str| {
        ["spool", &*name, "x", "--ohms-per-metre", ohms, "--within", "0,03"].map(str::to_owned)
    };
    let (_, err) = ends_with(2, &spool("0").each_ref().map(String::as_str));
    assert!(err.contains("write a figure above 0, like 7.02") && !err.contains("NaN"), "{err}");
    ends_with(0, &spool("7,02").each_ref().map(String::as_str));
    assert!(tested(2, &["--henries", "400"]).1.contains("henries is 400, which makes no sense here"));
    // No coil is ten times off, but a point may be.
    let (said, _) = tested(0, &["--ohms", "670", "--celsius", "22"]);
    assert!(said.contains("it is 10 times smaller than expected: is its decimal point"), "{said}");
    let (said, _) = tested(0, &["--ohms", "6.7k", "--celsius", "22", "--henries", "1.5", "--hertz", "1000"]);
    assert!(
        said.contains("6.70 kΩ at 22 °C: as expected") && said.contains("1.50 H at 1000 Hz: as expected")
    );
    assert!(!said.contains("Which says"), "{said}");
    // A later word on the same counts; the rest stays.
    let (said, _) = tested(0, &["--henries", "1.1", "--insulation", "2.2k"]);
    assert!(said.contains("rods of less permeability than stated") && said.contains("6.70 kΩ"), "{said}");
    assert!(said.contains("2.20 kΩ from coil to rods: the wire touches a rod"), "{said}");
    // Clockwise with north up and a hot start: by Lenz the meter goes to minus. Rods the other way round turn that.
    assert!(tested(0, &["--kick", "minus"]).0.contains("minus, as it should"));
    let (said, _) = tested(0, &["--kick", "plus", "--insulation", "OL"]);
    assert!(
        said.contains("minus is expected: the two leads are exchanged") && said.contains("as it should be")
    );
    let (said, _) = tested(0, &["--north", "down"]);
    assert!(said.contains("south up, but north is wanted") && said.contains("plus, as it should"), "{said}");
    // Rods turned over since, and leads swapped: the kick was of what was there before.
    let file = family.join("family.ron");
    change(&file, "tape: mm(0.06),", "tape: mm(0.06), hot: finish,");
    let (said, _) = tested(0, &["--north", "up"]);
    let since = "plus, as it should: winding and leads are as stated; its leads were exchanged and its rods turned over since, so that it should go plus now";
    assert!(said.contains(since), "{said}");
    // A teslameter's reading takes the place of what rods of the alloy may have.
    let fields = || {
        let out = scratch.path().join("out");
        let answer = ends_with(0, &["wind", &name, "--out", out.to_str().unwrap(), "--json"]).0;
        let magnets = serde_json::from_str::<Value>(&answer).unwrap()["positions"][0]["magnets"].clone();
        let band = &magnets["polarisation_band_tesla"];
        (
            magnets["strings"][0]["tesla"].as_f64().unwrap(),
            band["most"].as_f64().unwrap() / band["least"].as_f64().unwrap(),
        )
    };
    let (before, wide) = fields();
    let (said, _) = tested(0, &["--millitesla", "20", "--over", "0,5"]);
    assert!(said.contains("20 mT 0.50 mm over a rod") && said.contains("magnetised in part only"), "{said}");
    let (after, narrow) = fields();
    assert!(after.abs() < 0.6 * before.abs() && narrow < wide, "{after} {before} {narrow} {wide}");
    // A coil that was wound on or off since is another one; a compass tells of rods, which are the same.
    tested(0, &["--north", "down"]);
    ends_with(0, &["wound", &name, "neck", "7600", "6.66k", "--celsius", "20"]);
    let (said, _) = tested(0, &["--insulation", "open"]);
    assert!(said.contains("south up") && !said.contains("6.70 kΩ") && !said.contains("1.1 H"), "{said}");
    // One that is begun afresh may be on another bobbin.
    ends_with(0, &["wound", &name, "neck", "500", "402.1", "--celsius", "20", "--afresh"]);
    assert!(!tested(0, &["--insulation", "open"]).0.contains("south up"));
    change(&file, "hot: finish", "hot: treble");
    assert!(tested(2, &["--north", "up"]).1.contains("coil.hot: this is none of its words"));
}

/// A kick is of the leads that it was seen with: once advice to swap them was followed, nothing is to be swapped any more.
#[test]
fn advice_to_swap_leads_settles() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    let good = "neck and bridge, by what was tested and entered: together they cancel hum and sound full";
    for swapped in ["neck", "bridge"] {
        let family = copy("tidewick", scratch.path());
        let name = family.to_str().unwrap().to_owned();
        let together = || ends_with(0, &["wind", &name, "--out", out.to_str().unwrap()]).0;
        assert!(together().contains("neck and bridge: together they cancel hum and sound full"));
        // The wire of the neck runs the other way than it is stated.
        let (said, _) = ends_with(0, &["tested", &name, "neck", "--kick", "plus"]);
        assert!(said.contains("kick: plus, hot: start, stated_north: up)"), "{said}");
        let bad = "sound thin and hum: swap the two leads of bridge (coil.hot: finish), then they sound full and cancel hum";
        assert!(together().contains(bad), "{}", together());
        ends_with(0, &["done", &name, swapped, "soldered", "--hot", "finish"]);
        assert!(together().contains(good), "{}", together());
        if swapped == "neck" {
            let (said, _) = ends_with(0, &["tested", &name, "neck", "--insulation", "open"]);
            assert!(
                said.contains("its leads were exchanged since, so that it should go minus now"),
                "{said}"
            );
            ends_with(0, &["tested", &name, "neck", "--kick", "minus"]);
            assert!(together().contains(good), "{}", together());
        }
        fs::remove_dir_all(&family).unwrap();
    }
}

/// Turns that nobody counted are not made up: what is read is said as turns, and what goes together is judged.
#[test]
fn turns_that_nobody_counted_are_not_made_up() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.to_str().unwrap().to_owned();
    let tested = |more: &[&str]| ends_with(0, &[&["tested", &name, "neck"], more].concat()).0;
    change(&family.join("family.ron"), "turns(7600)", "ohms(6650)");
    let said = tested(&["--ohms", "6.7k", "--celsius", "22"]);
    assert!(said.contains("nobody counted them") && !said.contains("as expected"), "{said}");
    let said = tested(&["--henries", "1.5"]);
    assert!(said.contains("Which says: both go together, with"), "{said}");
    let said = tested(&["--henries", "1.1"]);
    assert!(said.contains("less inductance than so many ohms go with"), "{said}");
    // A stop far from where it is to end is not its end.
    ends_with(0, &["wound", &name, "neck", "500", "402.1", "--celsius", "21"]);
    let said = tested(&["--ohms", "6.7k", "--celsius", "22", "--henries", "1.5"]);
    assert!(said.contains("nobody counted them"), "{said}");
    let said = tested(&["--turns", "7600"]);
    assert!(said.contains("as expected") && !said.contains("nobody counted"), "{said}");
}

/// Turns that touch do so from then on: the last stop says it, with how long it has been so.
#[test]
fn a_short_that_stays_is_said_once() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.to_str().unwrap().to_owned();
    ends_with(0, &["meter", &name, "meter", "--counts", "6000", "--percent", "0.5", "--digits", "2"]);
    ends_with(0, &["thermometer", &name, "thermometer", "--limit", "0.5"]);
    let wound = |code, turns: &str, reads: &str| {
        ends_with(code, &["wound", &name, "neck", turns, reads, "--celsius", "21.5"]).0
    };
    for (turns, reads) in [("500", "401"), ("1000", "0.806k"), ("1500", "1.221k"), ("2000", "1642")] {
        wound(0, turns, reads);
    }
    // A point in the wrong place is no short.
    let said = wound(1, "2500", "19.8k");
    assert!(said.contains("10 times larger than expected: is its decimal point"), "{said}");
    let last = fs::read_to_string(family.join("readings.ron")).unwrap().matches("(on: ").count();
    ends_with(0, &["withdraw", &name, &last.to_string(), "a slip"]);
    wound(1, "2500", "1.98k");
    let said = wound(1, "3000", "2.37k");
    assert_eq!(said.matches("turns touch since 2000 turns").count(), 1, "{said}");
    assert!(said.contains("3000 turns read") && said.contains("So it was at the stop before."), "{said}");
}

/// What is wanted of a coil after it was begun is wanted of another one: what is wound counts as what it was entered as,
/// and with as many turns as it has.
#[test]
fn a_coil_stays_of_its_own_wire() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.to_str().unwrap().to_owned();
    for (turns, reads) in [("1000", "0.822k"), ("2000", "1675")] {
        ends_with(0, &["wound", &name, "neck", turns, reads, "--celsius", "21.5"]);
    }
    let thickness = || {
        let answer: Value = serde_json::from_str(&ends_with(0, &["check", &name, "--json"]).0).unwrap();
        let checks = answer["checks"].as_array().unwrap().clone();
        let is_it = |c: &&Value| c["name"] == "coil-on-bobbin" && c["position"] == "neck";
        let check = checks.iter().find(is_it).unwrap_or_else(|| panic!("{answer:#}"));
        check["figures"][0]["value_mm"].as_f64().unwrap()
    };
    let before = thickness();
    let out = scratch.path().join("out").to_str().unwrap().to_owned();
    ends_with(0, &["build", &name, "--out", &out]);
    ends_with(0, &["want", &name, "coil.wire", "awg(number: 42, film: single)", "--only", "neck"]);
    // What is wanted otherwise is told all the same.
    let (said, _) = ends_with(0, &["diff", &name, "--out", &out]);
    assert!(said.contains("neck coil: ") && said.contains("AWG 42"), "{said}");
    let (said, _) = ends_with(0, &["wound", &name]);
    assert!(said.contains("as expected"), "{said}");
    assert!((thickness() - before).abs() < 1e-9, "{} {before}", thickness());
    let (_, notes) = ends_with(0, &["check", &name]);
    assert!(
        notes
            .contains("was entered as wound of AWG 43 (single film), and AWG 42 (single film) is wanted now"),
        "{notes}"
    );
    // Whoever winds on winds the same wire, whatever is wanted of the next one.
    let (said, _) = ends_with(0, &["wound", &name, "neck", "2500", "2096", "--celsius", "21.5"]);
    assert!(said.contains("wire: awg(number: 43") && said.contains("as expected"), "{said}");
    // It was so all along: the last stop says it, and stands for all of them.
    let as_wanted = ["wound", &name, "neck", "2500", "2096", "--celsius", "21.5", "--as-wanted"];
    assert!(ends_with(1, &as_wanted).0.contains("bad joint"));
    assert!(!ends_with(0, &["check", &name]).1.contains("was entered as wound of"));
    // Another one is of what is wanted when it is begun.
    ends_with(0, &["want", &name, "coil.wire", "awg(number: 43, film: single)", "--only", "neck"]);
    ends_with(0, &["wound", &name, "neck", "2000", "1675", "--celsius", "21.5", "--afresh"]);
    // More turns than are wanted are not judged as fewer.
    ends_with(0, &["want", &name, "coil.wind", "turns(1500)", "--only", "neck"]);
    let (at_wanted, all) = (thickness(), before);
    ends_with(0, &["want", &name, "coil.wind", "turns(2000)", "--only", "neck"]);
    assert!((thickness() - at_wanted).abs() < 1e-9 && at_wanted < all, "{} {at_wanted}", thickness());
}

/// A coil that is said to be done is what it has become: another that is wanted is the next one, and has sheets of its own.
#[test]
fn what_is_wanted_of_the_next_coil_leaves_a_done_one_alone() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.to_str().unwrap().to_owned();
    let out = scratch.path().join("out").to_str().unwrap().to_owned();
    for (turns, reads) in [("1000", "0.806k"), ("2000", "1642")] {
        ends_with(0, &["wound", &name, "neck", turns, reads, "--celsius", "21.5"]);
    }
    ends_with(0, &["want", &name, "coil.wind", "turns(2000)", "--only", "neck"]);
    // Who stops a few turns early has the coil that was wanted.
    ends_with(0, &["want", &name, "coil.wind", "turns(2040)", "--only", "neck"]);
    ends_with(0, &["done", &name, "neck", "wound"]);
    let is_done = "the coil on the neck bobbin is done";
    assert!(!ends_with(0, &["wind", &name, "--out", &out]).1.contains(is_done));
    // What is asked for in ohms is another wish, whatever it comes to.
    ends_with(0, &["want", &name, "coil.wind", "ohms(12000)", "--only", "neck"]);
    assert!(ends_with(0, &["wind", &name, "--out", &out]).1.contains(is_done));
    ends_with(0, &["want", &name, "coil.wind", "turns(3000)", "--only", "neck"]);
    ends_with(0, &["want", &name, "coil.wire", "awg(number: 42, film: single)", "--only", "neck"]);
    let (said, notes) = ends_with(0, &["wind", &name, "--out", &out]);
    let of_neck = |said: &str| said.split("bridge:").next().unwrap().to_owned();
    let has = |said: &str, turns: &str, wire: &str| {
        let own = of_neck(said);
        own.contains(&format!("Turns                  {turns},"))
            && own.contains(&format!("Wire                   {wire},"))
    };
    assert!(has(&said, "2000", "AWG 43"), "{said}");
    assert!(notes.contains(is_done), "{notes}");
    let (said, _) = ends_with(0, &["wind", &name, "--out", &out, "--afresh"]);
    assert!(has(&said, "3000", "AWG 42") && !of_neck(&said).contains("as expected"), "{said}");
    assert!(std::path::Path::new(&out).join("tidewick-next-winding/tidewick-winding.pdf").exists());
    // A stop on the way is no coil, whoever says that it is wound.
    ends_with(0, &["wound", &name, "bridge", "1000", "0.87k", "--celsius", "21.5"]);
    ends_with(0, &["done", &name, "bridge", "wound"]);
    let (said, _) = ends_with(0, &["wind", &name, "--out", &out]);
    assert!(said.contains("Turns                  7600,"), "{said}");
    // It is not odd that another is wanted.
    assert!(!ends_with(0, &["check", &name]).0.contains("Odd"));
}

/// Thicker rods are of the next bobbin: what was wound before is judged on its own, and bars nothing of what is built for them.
#[test]
fn thicker_rods_leave_a_coil_what_it_was() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.to_str().unwrap().to_owned();
    let out = scratch.path().join("out").to_str().unwrap().to_owned();
    for (turns, reads, across) in
        [("1000", "0.806k", "4.55"), ("2000", "1642", "5.4"), ("7600", "6.6k", "9.3")]
    {
        let stop = ["wound", &name, "neck", turns, reads, "--celsius", "21.5", "--spool", "43 plain"];
        common::run(&[&stop[..], &["--across", across]].concat());
    }
    ends_with(0, &["done", &name, "neck", "wound"]);
    let of_spool = |more: &str| {
        let other = scratch.path().join(more);
        common::run(&["new", other.to_str().unwrap()]);
        let (said, _) = ends_with(0, &["spool", other.to_str().unwrap(), "43 plain", "--from", &name]);
        said.split("per_metre: ").nth(1).unwrap().split(',').next().unwrap().to_owned()
    };
    let before = of_spool("one");
    ends_with(0, &["read", &name, "rod.diameter", "2.61", "2.60", "2.62", "--afresh"]);
    ends_with(0, &["want", &name, "flatwork.pole_hole", "2.9"]);
    let (_, notes) = ends_with(0, &["wind", &name, "--out", &out]);
    assert!(notes.contains("and not as on the neck bobbin"), "{notes}");
    assert_eq!(of_spool("two"), before, "its turns are as long as they were");
    ends_with(0, &["build", &name, "--out", &out]);
    // What is wound now is another coil.
    let (said, notes) = ends_with(0, &["wound", &name, "neck", "500", "0.41k", "--celsius", "21.5"]);
    assert!(!said.contains("fewer") && !notes.contains("fewer"), "{said}{notes}");
}

/// Each stop says from which spool its wire comes: to take the first one back loses nothing.
#[test]
fn a_stop_that_is_taken_back_takes_no_spool_with_it() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let name = family.to_str().unwrap().to_owned();
    let first = ["wound", &name, "neck", "1000", "0.806k", "--celsius", "21.5", "--spool", "43 plain"];
    let (said, _) = ends_with(0, &first);
    let entry: usize = said.split("Entry ").nth(1).unwrap().split(':').next().unwrap().parse().unwrap();
    let (said, _) = ends_with(0, &["wound", &name, "neck", "2000", "1642", "--celsius", "21.5"]);
    assert!(said.contains("spool: \"43 plain\""), "{said}");
    ends_with(0, &["withdraw", &name, &entry.to_string(), "the counter was not at nought"]);
    ends_with(0, &["spool", &name, "43 plain", "--from", &name]);
}
