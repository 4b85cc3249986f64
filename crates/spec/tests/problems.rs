//! What a person is told about mistakes: every message with its place, its value and a value that
//! works. The expected words are in `snapshots/`.

use std::fmt::Write;

use bobbinwright_spec::{Family, SourceFile};

const FAMILY: &str = include_str!("../../../specs/tidewick/family.ron");
const READINGS: &str = include_str!("../../../specs/tidewick/readings.ron");

fn told(family: &str, readings: &str) -> String {
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    match Family::read("test", file("family.ron", family), file("readings.ron", readings)) {
        Ok(family) if family.notices.is_empty() => "nothing is wrong".into(),
        Ok(family) => {
            let problems = bobbinwright_spec::Problems { files: family.files, all: family.notices };
            problems.to_string()
        }
        Err(problems) => problems.to_string(),
    }
}

/// A mistake: what it is called, what is replaced by what in which file.
type Mistake = (&'static str, &'static str, &'static str);

fn all_told(mistakes: &[Mistake], in_family: bool) -> String {
    let mut out = String::new();
    for (name, was, now) in mistakes {
        let text = if in_family { FAMILY } else { READINGS };
        assert!(text.contains(was), "{name}: the demo no longer says {was:?}");
        let wrong = text.replacen(was, now, 1);
        let said = if in_family { told(&wrong, READINGS) } else { told(FAMILY, &wrong) };
        writeln!(out, "## {name}\n{said}\n").unwrap();
    }
    out
}

/// Compares with the file of that name, without the long expression that made it.
fn snapshot(name: &str, text: &str) {
    insta::with_settings!({ omit_expression => true, prepend_module_to_snapshot => false }, {
        insta::assert_snapshot!(name, text);
    });
}

#[test]
fn mistakes_in_family_ron() {
    snapshot(
        "mistakes_in_family_ron",
        &all_told(
            &[
                ("nothing", "strings: 6", "strings: 6"),
                ("unknown field", "wall: mm(2.0),", "wall: mm(2.0), walls: mm(2.0),"),
                ("missing field", "roof: mm(1.8),", ""),
                ("no unit", "roof: mm(1.8)", "roof: 1.8"),
                ("wrong unit", "roof: mm(1.8)", "roof: cm(0.18)"),
                ("not a number", "roof: mm(1.8)", "roof: mm(NaN)"),
                ("infinite", "roof: mm(1.8)", "roof: mm(inf)"),
                ("negative", "roof: mm(1.8)", "roof: mm(-1.8)"),
                ("absurd", "roof: mm(1.8)", "roof: mm(1800.0)"),
                ("absurd in inches", "roof: mm(1.8)", "roof: inch(1.8)"),
                ("two values", "roof: mm(1.8)", "roof: mm([1.8, 1.9])"),
                ("given twice", "roof: mm(1.8),", "roof: mm(1.8), roof: mm(1.9),"),
                ("text for length", "roof: mm(1.8)", "roof: \"1.8\""),
                ("missing comma", "wall: mm(2.0),", "wall: mm(2.0)"),
                ("unknown side", "side: bridge, offset", "side: left, offset"),
                ("unknown mounting", "mounting: bosses(", "mounting: glue("),
                ("three strings", "strings: 6", "strings: 3"),
                ("position without a name", "name: \"neck\",", ""),
                ("two of a name", "name: \"neck\"", "name: \"bridge\""),
                ("strings in a position", "name: \"neck\",", "name: \"neck\", strings: 5,"),
                ("not RON", "(\n    title", "<family>\n    title"),
                (
                    "several at once",
                    "wall: mm(2.0),\n        roof: mm(1.8),",
                    "wall: 2.0,\n        rooof: mm(1.8),",
                ),
            ],
            true,
        ),
    );
}

#[test]
fn mistakes_in_readings_ron() {
    snapshot(
        "mistakes_in_readings_ron",
        &all_told(
            &[
                ("unknown quantity", "of: \"neck.rout.length\"", "of: \"neck.rout.lenght\""),
                ("no such string", "of: \"strings.gauge.3\"", "of: \"strings.gauge.7\""),
                ("no such position", "of: \"neck.screws.hole\"", "of: \"middle.screws.hole\""),
                ("missing reading", "of: \"neck.screws.hole\"", "of: \"bridge.screws.hole\""),
                ("inch typed as millimetre", "got: mm([92.24, 92.21, 92.26])", "got: mm([3.631, 3.630])"),
                ("millimetre typed as inch", "got: mm([92.24, 92.21, 92.26])", "got: inch([92.24, 92.21])"),
                ("bad date", "on: \"2026-09-12\", of: \"scale\"", "on: \"2026-13-12\", of: \"scale\""),
                (
                    "date out of order",
                    "on: \"2026-09-12\", of: \"scale\"",
                    "on: \"2026-09-02\", of: \"scale\"",
                ),
                ("holes for a rout", "of: \"neck.rout.width\",", "of: \"neck.rout.width\", how: holes_far,"),
                ("unknown way", "how: strings_outer", "how: squinting"),
                ("unknown tool", "with: \"caliper\", got: mm([0.33", "with: \"ruler\", got: mm([0.33"),
                ("packet without tolerance", "how: packet, within: mm(0.15)", "how: packet"),
                ("an entry of another kind", "tool(on:", "toll(on:"),
                ("missing gauge", "of: \"strings.gauge.6\"", "of: \"strings.gauge.5\""),
                ("torn last entry", "got: mm([2.7, 2.8]))", "got: mm([2.7, 2."),
                (
                    "withdrawn before it was",
                    "tool(on: \"2026-09-12\", name: \"rule\"",
                    "withdraw(on: \"2026-09-12\", entry: 40)\ntool(on: \"2026-09-12\", name: \"rule\"",
                ),
            ],
            false,
        ),
    );
}

#[test]
fn empty_files() {
    snapshot(
        "empty_files",
        &format!(
            "## empty family.ron\n{}\n\n## empty readings.ron\n{}",
            told("", READINGS),
            told(FAMILY, "")
        ),
    );
}

/// Whatever stands in the files, reading ends with a family or with problems, never with a panic.
#[test]
fn mutilated_files_never_panic() {
    for step in [1, 7] {
        for end in (0..FAMILY.len()).step_by(step * 97) {
            let _ = told(&FAMILY[..FAMILY.floor_char_boundary(end)], READINGS);
        }
        for end in (0..READINGS.len()).step_by(step * 211) {
            let _ = told(FAMILY, &READINGS[..READINGS.floor_char_boundary(end)]);
        }
    }
    for nasty in [
        "(",
        "((((((((((((((((((((((((((((((((",
        "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[",
        "/*",
        "\"",
        "mm(",
        "\u{0}",
        "(a:)",
    ] {
        let _ = told(nasty, READINGS);
        let _ = told(FAMILY, nasty);
    }
}
