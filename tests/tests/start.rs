//! A family that was only just started: it says what to measure, and with usual readings it builds.

use std::fmt::Write;

use bobbinwright_core::Prepared;
use bobbinwright_fit::Verdict;
use bobbinwright_spec::{
    Angle, Family, Handed, Held, Length, Outline, Side, SourceFile, Start, Survey, Unit, When,
};

fn start(strings: usize, ears: bool, pair: bool) -> Start {
    start_in(Unit::Mm, strings, ears, pair)
}

fn start_in(unit: Unit, strings: usize, ears: bool, pair: bool) -> Start {
    Start {
        title: "Started \"just now\", 52mm(2in) wide".into(),
        strings,
        positions: vec!["neck".into(), "bridge".into()],
        handed: Handed::Right,
        outline: Outline::Rectangle,
        slant: Angle::default(),
        held: if ears { Held::usual_ears() } else { Held::USUAL },
        pair,
        step: Length::from_mm(0.01),
        limit: Length::from_mm(0.03),
        unit,
        on: "2026-10-03".parse().unwrap(),
    }
}

fn survey(start: &Start, readings: String) -> Survey {
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    Survey::read_at(
        "started",
        file("family.ron", start.family()),
        file("readings.ron", readings),
        When::default(),
    )
    .unwrap_or_else(|e| panic!("{e}"))
}

/// A usual figure in mm for a quantity: an invented instrument with straight rows of strings.
fn usual(quantity: &str, start: &Start) -> f64 {
    let row = 10.0 * (start.strings - 1) as f64;
    let length = row + 42.0;
    let name = quantity.trim_start_matches("neck.").trim_start_matches("bridge.");
    match name {
        "rout.length" => length,
        "rout.width" => 38.0,
        "rout.corner_radius" => 5.0,
        "rout.depth" => 19.5,
        "screws.hole" => 2.5,
        "screws.pitch" if start.held.by_ears() => length + 10.0,
        "screws.pitch" => length - 12.0,
        "screws.1.bridge_side" | "screws.2.bridge_side" => 19.0,
        "screws.1.treble_side" if start.held.by_ears() => -5.0,
        "screws.1.treble_side" => 6.0,
        "ears.length" => 10.0,
        "ears.width" => 14.0,
        "ears.depth" => 11.5,
        "ears.corner_radius" => 3.0,
        "ears.1.bridge_side" | "ears.2.bridge_side" => 7.0,
        "channel.offset" => 14.0,
        "strings.bass_side" | "strings.treble_side" => 21.0,
        "scale" => 648.0,
        "rod.diameter" => {
            if start.pair {
                2.5
            } else {
                4.95
            }
        }
        "rod.length" => {
            if start.pair {
                15.5
            } else {
                17.5
            }
        }
        "eyelet.barrel" => 2.3,
        "eyelet.flange" => 3.4,
        "screw.diameter" => 2.9,
        "screw.head" => 5.4,
        "screw.head_height" => 2.0,
        "lead.diameter" => 2.7,
        n if n.starts_with("strings.height") => 12.0,
        n if n.starts_with("strings.gauge") => {
            0.3 + 0.1 * n.rsplit('.').next().unwrap().parse::<f64>().unwrap()
        }
        n if n.starts_with("strings.") => 10.0,
        other => panic!("no usual figure for {other}"),
    }
}

/// As the sheet asks for it: what the caliper shows, and the word for how. Strings are 0.3 mm and 0.1 mm
/// more for each number.
fn as_read(quantity: &str, start: &Start) -> (f64, &'static str) {
    let size = usual(quantity, start);
    let gauge = |n: usize| 0.3 + 0.1 * n as f64;
    let of = quantity.rsplit('.').next().unwrap();
    if let Some((a, b)) = of.split_once('-') {
        let (a, b) = (gauge(a.parse().unwrap()), gauge(b.parse().unwrap()));
        return (size + f64::midpoint(a, b), ", how: strings_outer");
    }
    match of {
        of if [".screws.", ".ears."].iter().any(|s| quantity.contains(s)) && of.ends_with("_side") => {
            (size, ", how: outside")
        }
        "bass_side" => (size - gauge(start.strings) / 2.0, ", how: string_near"),
        "treble_side" => (size - gauge(1) / 2.0, ", how: string_near"),
        "pitch" => (size + 2.5, ", how: holes_far"),
        _ => (size, ""),
    }
}

/// Nothing measured: no error, and what is missing is every quantity that a position, a string or a
/// bought part has.
#[test]
fn a_started_family_lists_what_to_measure() {
    for strings in 4..=12 {
        for (ears, pair) in [(false, false), (false, true), (true, false), (true, true)] {
            let start = start(strings, ears, pair);
            let survey = survey(&start, start.readings());
            assert!(survey.problems.all.is_empty(), "{}", survey.problems);
            assert_eq!(survey.title, start.title);
            // Per position: rout 4, screws 2, channel 1, heights 2, one side, spacings; ears 4 more.
            let position = 10 + (strings - 1) + if ears { 4 } else { 0 };
            assert_eq!(survey.missing().count(), 2 * position + strings + 8);
        }
    }
}

/// Whatever holds the pickups, the family says so and asks for where it is.
#[test]
fn a_family_is_started_as_its_body_is() {
    let slant = Angle::from_degrees(-9.0);
    let of = |held: Held| Start { handed: Handed::Left, held, slant, ..start(5, false, true) };
    let missing = |held: Held| {
        let start = of(held);
        let survey = survey(&start, start.readings());
        assert!(survey.problems.all.is_empty(), "{}", survey.problems);
        assert_eq!(survey.handed, Handed::Left);
        let position = survey.positions[0].clone();
        assert_eq!(position.slant, slant);
        let names: Vec<String> = survey.missing().map(|s| s.quantity.to_string()).collect();
        (position.screws, position.ears, names)
    };
    let asks = |names: &[String], what: &str| names.iter().any(|name| name == what);
    let (screws, ears, names) = missing(Held::Screws(4));
    assert_eq!((screws, ears.len()), (4, 0));
    assert!(asks(&names, "neck.screws.4.bridge_side"), "{names:?}");
    let (screws, ears, names) = missing(Held::Ears(vec![Side::Neck, Side::Bridge]));
    assert_eq!((screws, ears), (2, vec![Side::Neck, Side::Bridge]));
    assert!(asks(&names, "neck.ears.length"), "{names:?}");
    let (screws, _, names) = missing(Held::Screws(1));
    assert_eq!(screws, 1);
    assert!(!asks(&names, "neck.screws.pitch"), "{names:?}");
    let tenth = of(Held::Screws(7));
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    let files = (file("family.ron", tenth.family()), file("readings.ron", tenth.readings()));
    let read = Survey::read_at("started", files.0, files.1, When::default());
    assert!(read.map_or_else(|p| p.has_errors(), |survey| survey.problems.has_errors()));
}

/// Usual readings, entered in the order of the list: the parts build and nothing clashes.
#[test]
fn a_started_family_builds_with_usual_readings() {
    for strings in 4..=12 {
        // Whole thousandths of an inch do as well.
        let unit = if strings % 2 == 0 { Unit::Inch } else { Unit::Mm };
        for (ears, pair) in [(false, false), (false, true), (true, false), (true, true)] {
            let start = start_in(unit, strings, ears, pair);
            let mut log = start.readings();
            let begun = survey(&start, log.clone());
            for one in begun.missing().chain(begun.worth_reading()) {
                let (figure, how) = as_read(&one.quantity.to_string(), &start);
                let (a, b, of) = (figure + 0.01, figure - 0.01, &one.quantity);
                writeln!(log, "reading(on: \"2026-10-04\", of: \"{of}\"{how}, got: mm([{a:.2}, {b:.2}]))")
                    .unwrap();
                // In the order in which it is asked for nothing is ever wrong.
                let so_far = survey(&start, log.clone());
                assert!(!so_far.problems.has_errors(), "{of}: {}", so_far.problems);
                assert!(so_far.missing().all(|s| s.waits_for.is_none()), "{of}");
            }
            let survey = survey(&start, log);
            assert_eq!(survey.missing().count(), 0);
            let family: Family = survey.family().unwrap_or_else(|e| panic!("{e}"));
            assert!(family.notices.is_empty(), "{:?}", family.notices);
            assert_eq!(family.unit(), unit);
            let prepared = Prepared::new(family).unwrap_or_else(|e| panic!("{strings} {ears} {pair}: {e}"));
            let worst = prepared.fit.worst_first()[0];
            assert_eq!(
                worst.verdict,
                Verdict::Fits,
                "{strings} strings, ears {ears}, pair {pair}: {} {} {:?}",
                worst.position,
                worst.title,
                worst.margin.value()
            );
        }
    }
}
