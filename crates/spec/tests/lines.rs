//! Strings as lines: what is read at the rout's edges comes to the places over the rods.

mod common;

use bobbinwright_spec::{Estimate, Family, Length};
use common::{FAMILY, READINGS, file, with_readings};

/// The neck position of the demo: strings that fan out from 37 to 53 mm over 686 mm, over a rout of 38.3 mm.
const FANS: f64 = (53.35 - 1.58 / 2.0 - 0.33 / 2.0 - (37.15 - 1.58 / 2.0 - 0.33 / 2.0)) / 685.75;
const EDGE: f64 = 38.31 / 2.0;
/// The share of that on which the ends are straight: in the corners is a radius of 6.0.
const STRAIGHT: f64 = 1.0 - 6.0 / EDGE;

fn mm(estimate: &Estimate) -> f64 {
    estimate.value().as_mm()
}

/// The demo's log, every string of the neck position read at an edge: what the caliper would show there.
fn read_at(edge: &str, across: f64) -> String {
    let of_neck = |line: &str| {
        let quantity = line.split("of: \"neck.strings.").nth(1)?.split('"').next()?.to_owned();
        let from_middle = |n: f64| (3.5 - n) / 5.0;
        // What a place differs by there, treble positive.
        let runs = |n: f64| -across * EDGE * FANS * from_middle(n);
        let by = match quantity.as_str() {
            // Jaws stand at an end where it is straight, over two strings anywhere.
            "bass_side" => runs(6.0) * STRAIGHT,
            "treble_side" => -runs(1.0) * STRAIGHT,
            other => {
                let (a, b) = other.split_once('-')?;
                runs(a.parse().ok()?) - runs(b.parse().ok()?)
            }
        };
        let (before, got) = line.split_once("got: mm([")?;
        let read =
            got.split(']').next()?.split(", ").map(|n| format!("{:.3}", n.parse::<f64>().unwrap() + by));
        Some(format!("{before}spot: \"{edge}\", got: mm([{}]))", read.collect::<Vec<_>>().join(", ")))
    };
    let lines = READINGS.lines().map(|line| of_neck(line).unwrap_or_else(|| line.to_owned()));
    lines.flat_map(|line| [line, "\n".into()]).collect()
}

/// Read at either edge, by nut, bridge and scale, each string is where it is by readings over the middle line.
#[test]
fn strings_read_at_an_edge_are_where_they_are() {
    let over = with_readings(READINGS).unwrap_or_else(|e| panic!("{e}"));
    for (edge, across) in [("neck edge", 1.0), ("bridge edge", -1.0)] {
        let at = with_readings(&read_at(edge, across)).unwrap_or_else(|e| panic!("{e}"));
        assert!(at.notices.is_empty(), "{edge}: {:?}", at.notices);
        for (a, b) in at.positions[0].strings.iter().zip(&over.positions[0].strings) {
            let apart = mm(&a.place) - mm(&b.place);
            // Strings do not stand quite evenly.
            assert!(apart.abs() < 0.02, "{edge}, string {}: {apart}", a.number);
            // Nobody said that they run square to the rout: a fifth of a degree on 19 mm.
            let [u, v] = [&a.place, &b.place].map(|place| place.uncertainty().as_mm());
            let askew = 0.35 * EDGE * STRAIGHT / 100.0;
            assert!((u - (v * v + askew * askew).sqrt()).abs() < 0.01, "{edge}: {u} {v}");
        }
    }
    // As if they had been read over the middle line, the outer ones are a fifth of a millimetre off.
    let wrong = with_readings(&read_at("here", 1.0)).unwrap_or_else(|e| panic!("{e}"));
    let off = mm(&wrong.positions[0].strings[5].place) - mm(&over.positions[0].strings[5].place);
    assert!((off.abs() - 0.5 * EDGE * FANS).abs() < 0.02, "{off}");
}

/// Read at both edges nothing is taken for granted: strings that cross the rout askew by half a millimetre are where they
/// cross its middle line, and the doubt is that of readings.
#[test]
fn strings_read_at_both_edges_may_run_askew() {
    let askew = 0.25;
    let log = read_at("neck edge", 1.0);
    let both: String = log
        .lines()
        .flat_map(|line| {
            if !line.contains("_side\"") || !line.contains("neck.strings.") {
                return vec![line.to_owned()];
            }
            let is_bass = line.contains("bass_side");
            let (before, got) = line.split_once("got: mm([").unwrap();
            let at = |by: f64, words: &str| {
                let read = got.split(']').next().unwrap().split(", ");
                let read: Vec<String> =
                    read.map(|n| format!("{:.3}", n.parse::<f64>().unwrap() + by)).collect();
                format!("{}got: mm([{}]))", before.replace("neck edge", words), read.join(", "))
            };
            let towards = if is_bass { 1.0 } else { -1.0 };
            // At the bridge edge without what they fan out, which they do the other way there.
            let fan = if is_bass { -1.0 } else { 1.0 } * towards * FANS * EDGE * STRAIGHT;
            vec![at(towards * askew, "neck edge"), at(fan - towards * askew, "bridge edge")]
        })
        .flat_map(|line| [line, "\n".into()])
        .collect();
    let over = with_readings(READINGS).unwrap_or_else(|e| panic!("{e}"));
    let family = with_readings(&both).unwrap_or_else(|e| panic!("{e}"));
    assert!(family.notices.is_empty(), "{:#?}", family.notices);
    for (a, b) in family.positions[0].strings.iter().zip(&over.positions[0].strings) {
        assert!((mm(&a.place) - mm(&b.place)).abs() < 0.03, "{a:?} {b:?}");
        assert!(a.place.uncertainty().as_mm() < 0.05);
    }
}

/// A row that is said to be 8 mm beside the middle line: each string is by what strings fan out where it was, with the doubt of a
/// fifth of a degree that nobody read, on 8 mm; what is stated wrong is said at its place.
#[test]
fn a_row_beside_the_middle_is_crossed_where_strings_have_fanned_out() {
    let with = |row: &str| {
        let family = FAMILY.replacen("poles:", &format!("row: {row}, poles:"), 1);
        Family::read("test", file("family.ron", &family), file("readings.ron", READINGS))
    };
    let over = with_readings(READINGS).unwrap_or_else(|e| panic!("{e}"));
    for offset in [8.0, -8.0] {
        let family = with(&format!("(offset: mm({offset}))")).unwrap_or_else(|e| panic!("{e}"));
        let position = &family.positions[0];
        for (a, b) in position.strings.iter().zip(&over.positions[0].strings) {
            assert!((mm(&a.place) - mm(&b.place)).abs() < 1e-9, "over the middle nothing changes");
            let place = position.over_rods(a);
            let from_middle = (3.5 - a.number as f64) / 5.0;
            let runs = mm(&place) - mm(&a.place);
            assert!((runs + offset * FANS * from_middle).abs() < 2e-3, "string {}: {runs}", a.number);
            let [u, v] = [&place, &b.place].map(|place| place.uncertainty().as_mm());
            let askew = 0.35 * 8.0 / 100.0;
            assert!((u - (v * v + askew * askew).sqrt()).abs() < 2e-3, "{u} {v}");
        }
    }
    let none = with("(offset: none)").unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(none.positions[0].wanted.row(), Length::ZERO);
    for (row, said) in [
        ("(offset: mm(70))", "row.offset is 70.00 mm, which makes no sense here"),
        ("(ofset: mm(2))", "did you mean offset?"),
        ("mm(2)", "row needs named values in round brackets"),
    ] {
        let problems = with(row).unwrap_err().to_string();
        assert!(problems.contains(said), "{problems}");
    }
}
