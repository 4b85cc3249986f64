//! What one slip of the hand does to verdicts, where nothing contradicts it.

use bobbinwright_core::Prepared;
use bobbinwright_core::advice::{advice, what_to_do};
use bobbinwright_fit::{CheckKind, Verdict};
use bobbinwright_spec::{Family, SourceFile};
use bobbinwright_tests::folder;

fn text(family: &str, file: &str) -> String {
    std::fs::read_to_string(folder(family).join(file)).unwrap()
}

fn prepared(family: &str, log: &str) -> Prepared {
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    // A gap that is chosen would be refused before anything is judged.
    let wanted = text(family, "family.ron").replace("fit_gap: snug(chance: 0.98)", "fit_gap: mm(0.25)");
    let read = Family::read("test", file("family.ron", &wanted), file("readings.ron", log));
    Prepared::new(read.unwrap_or_else(|e| panic!("{e}"))).unwrap_or_else(|e| panic!("{e}"))
}

/// What hangs on a slip of a reading, by `unguarded`: names of checks.
fn turned_by(prepared: &Prepared, reading: &str) -> Vec<&'static str> {
    let all = prepared.fit.unguarded(&prepared.family).iter();
    let own = all.filter(|u| u.quantity.named(u.spot.as_deref()) == reading);
    own.flat_map(|u| u.turns.clone()).map(CheckKind::name).collect()
}

/// A parallelogram's diagonals that were taken for each other lean its ends the other way. Strings that were read at both edges
/// contradict that, so nothing that hangs on the ends is called a fit, and no dimension is blamed.
#[test]
fn diagonals_that_were_exchanged_leave_the_ends_in_doubt() {
    // Without its screws, which would contradict it too.
    let log = text("transom", "readings.ron");
    let log: String = log.lines().filter(|l| !l.contains("screws.pitch")).map(|l| format!("{l}\n")).collect();
    let exchanged = log
        .replace("diagonal.treble", "diagonal.other")
        .replace("diagonal.bass", "diagonal.treble")
        .replace("diagonal.other", "diagonal.bass");
    for (log, is_right) in [(&log, true), (&exchanged, false)] {
        let prepared = prepared("transom", log);
        let slanted = prepared.family.notices.iter().find(|n| n.message.contains("rout.slant says"));
        assert_eq!(slanted.is_none(), is_right, "{:?}", prepared.family.notices);
        for name in ["cover-in-rout", "baseplate-in-rout"] {
            let check = prepared.fit.checks.iter().find(|c| c.kind.name() == name).unwrap();
            assert_eq!(check.verdict == Verdict::Fits, is_right, "{name}");
            if !is_right {
                let of = check.contradicted(&prepared.fit.doubts).map(|q| q.to_string());
                assert_eq!(of.as_deref(), Some("bridge.rout.diagonal.treble"));
                assert!(advice(&prepared, check).ways.is_empty());
                assert!(what_to_do(&prepared, check).contains("settle that before anything is changed"));
            }
        }
        let whole = &prepared.fit.wholes()[0];
        assert_eq!(whole.contradicted.is_none(), is_right);
        assert_eq!(whole.verdict == Verdict::Fits, is_right, "{whole:?}");
    }
    let hint = prepared("transom", &exchanged).family.notices[0].hint.clone().unwrap_or_default();
    assert!(hint.contains("with the two diagonals exchanged the readings agree"), "{hint}");
}

/// The height of a string is told by nothing else, and the demo's cover does not stay far enough under it to bear whatever
/// slip nobody would see. Repeats straight on repeat the slip; another round, after something else, shows it.
#[test]
fn another_round_guards_what_nothing_else_tells() {
    let log = text("tidewick", "readings.ron");
    let line = log.lines().find(|l| l.contains("\"neck.strings.height.1\"")).unwrap();
    let height = "neck.strings.height.1";
    assert_eq!(turned_by(&prepared("tidewick", &log), height), ["height-under-strings"]);
    let straight_on = log.replacen(line, &format!("{line}\n{line}\n{line}"), 1);
    assert_eq!(turned_by(&prepared("tidewick", &straight_on), height), ["height-under-strings"]);
    let later = format!("{log}{line}\n");
    assert!(turned_by(&prepared("tidewick", &later), height).is_empty());
}

/// A clash that one slip would explain asks for that reading before it asks for a change: a string that was read 1.8 mm
/// too low.
#[test]
fn a_clash_names_the_reading_that_would_explain_it() {
    let log = text("tidewick", "readings.ron");
    let line = log.lines().find(|l| l.contains("\"neck.strings.height.1\"")).unwrap();
    let (before, got) = line.split_once("got: mm([").unwrap();
    let values: Vec<f64> =
        got.trim_end_matches("]))").split(", ").map(|v| v.trim().parse().unwrap()).collect();
    let low: Vec<String> = values.iter().map(|v| format!("{:.2}", v - 1.8)).collect();
    let slip = log.replacen(line, &format!("{before}got: mm([{}]))", low.join(", ")), 1);
    let prepared = prepared("tidewick", &slip);
    let check = prepared.fit.checks.iter().find(|c| c.verdict == Verdict::Clashes).unwrap();
    assert_eq!((check.position.as_str(), check.kind.name()), ("neck", "height-under-strings"));
    let said = what_to_do(&prepared, check);
    assert!(said.contains("neck.strings.height.1 again: a slip of 0.41 mm in one of them"), "{said}");
}
