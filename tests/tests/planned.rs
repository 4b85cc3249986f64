//! A body that is not routed yet: what it is to be counts as a belief until it is read, and guides the router.

use bobbinwright_core::Prepared;
use bobbinwright_export::sheet::{Paper, measuring_sheet};
use bobbinwright_fit::Belief;
use bobbinwright_paper::svg;
use bobbinwright_spec::{Folder, SourceFile, Survey, When};

const PLAN: [(&str, f64); 7] = [
    ("rout.length", 92.0),
    ("rout.width", 38.0),
    ("rout.corner_radius", 5.0),
    ("rout.depth", 18.5),
    ("screws.hole", 2.4),
    ("screws.pitch", 79.0),
    ("strings.bass_side", 21.5),
];

/// The thwart's strings and bought parts over a body whose rout is planned, and more entries.
fn survey(more: &str) -> Survey {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../specs/thwart/");
    let text = |name: &str| std::fs::read_to_string(format!("{folder}{name}")).unwrap();
    let body = ["rout.", "screws.", "strings.bass_side", "strings.treble_side"];
    let is_of_body = |line: &str| body.iter().any(|of| line.contains(&format!("\"middle.{of}")));
    let measured = text("readings.ron");
    let measured = measured.lines().filter(|line| !is_of_body(line)).map(str::to_owned);
    let planned = PLAN.map(|(of, mm)| {
        format!("reading(on: \"2026-11-20\", of: \"middle.{of}\", how: planned, got: mm({mm:?}))")
    });
    let log: String = measured.chain(planned).map(|line| line + "\n").collect();
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    let wanted = file("family.ron", text("family.ron"));
    Survey::read_at("thwart", wanted, file("readings.ron", log + more), When::default()).unwrap()
}

fn prepared(survey: &Survey) -> Prepared {
    survey.clone().family().and_then(Prepared::new).unwrap_or_else(|e| panic!("{e}"))
}

/// 0.3 mm either way, evenly: a standard uncertainty of 0.3/√3 (JCGM 100 4.3.7), and half of it on either side.
#[test]
fn what_is_planned_counts_as_a_belief() {
    let survey = survey("");
    assert_eq!(survey.missing().count(), 0);
    let until_read =
        |name: &str| survey.quantities.iter().find(|q| q.quantity.to_string() == name).unwrap().until_read;
    assert_eq!(until_read("middle.rout.length"), Some("as it is planned"));
    assert_eq!(until_read("rod.diameter"), None);
    let prepared = prepared(&survey);
    let rout = &prepared.family.positions[0].rout;
    assert!((rout.length.value().as_mm() - 92.0).abs() < 1e-9);
    assert!(rout.length.uncertainty().as_mm() >= 0.3 / 3f64.sqrt());
    let in_rout = prepared.fit.checks.iter().find(|c| c.kind.name() == "cover-in-rout").unwrap();
    // What is not there can neither be read nor tried.
    assert!(prepared.fit.next().is_empty());
    assert!(in_rout.assumed.iter().any(|a| a.what == Belief::AsPlanned), "{:?}", in_rout.assumed);
}

/// What was read takes the place of what was planned, whatever that was.
#[test]
fn a_rout_that_is_there_is_what_was_read() {
    let tool = "tool(on: \"2026-11-25\", name: \"new\", resolution: mm(0.01), mpe_outside: mm(0.02))\n";
    let read = |of: &str, mm: f64| {
        format!("reading(on: \"2026-11-25\", of: \"middle.{of}\", got: mm([{mm:?}, {mm:?}]))\n")
    };
    let survey = survey(&format!("{tool}{}{}", read("rout.length", 92.6), read("rout.width", 38.2)));
    let rout = prepared(&survey).family.positions[0].rout.clone();
    assert!(
        (rout.length.value().as_mm() - 92.6).abs() < 1e-6 && (rout.width.value().as_mm() - 38.2).abs() < 1e-6
    );
    assert!(!survey.problems.to_string().contains("contradict"), "{}", survey.problems);
}

/// A page to cut the board by, as long as the rout is not there.
#[test]
fn a_planned_rout_has_a_routing_template() {
    let guides = |survey: &Survey| {
        let prepared = prepared(survey);
        let sheet = measuring_sheet(survey, Some(&prepared), Paper::A4);
        sheet.pages.iter().filter(|page| svg(page).contains("Routing template 1:1: middle")).count()
    };
    assert_eq!(guides(&survey("")), 1);
    let thwart = Folder::on_disk(concat!(env!("CARGO_MANIFEST_DIR"), "/../specs/thwart"));
    assert_eq!(guides(&Survey::load_at(&thwart, When::default()).unwrap()), 0);
}

/// Bought parts are measured, or stated by their packets.
#[test]
fn only_a_body_is_planned() {
    let wrong = survey("reading(on: \"2026-11-25\", of: \"rod.diameter\", how: planned, got: mm(2.5))\n");
    let text = wrong.problems.to_string();
    assert!(text.contains("only what a body is to have is planned, not rod.diameter"), "{text}");
    let never = survey(
        "reading(on: \"2026-11-25\", of: \"middle.distance\", how: planned, within: mm(0), got: mm(60))\n",
    );
    assert!(never.problems.to_string().contains("promises to be never off"), "{}", never.problems);
}
