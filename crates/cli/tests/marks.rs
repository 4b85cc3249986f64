//! The mark on a bag: it decides what a copy teaches where another build explains its readings as well.

mod common;
#[path = "common/mixed.rs"]
mod mixed;

use std::fs;

use common::{ends_with, name, run, text};
use mixed::{Shop, shop};

#[test]
fn a_mark_that_no_copy_is_of_is_refused() {
    let scratch = tempfile::tempdir().unwrap();
    let Shop { family, printer, marks: [first, second] } = shop(scratch.path());
    let log = || fs::read_to_string(printer.join("readings.ron")).unwrap();
    let out = scratch.path().join("out");
    let inspect = |mark: &str| {
        let output = run(&["inspect", name(&family), "--out", name(&out), &format!("--teach={mark}")]);
        [output.stdout, output.stderr].map(|said| text(&said))
    };
    let said = text(&run(&["inspect", name(&family), "--out", name(&out)]).stdout);
    assert!(said.contains(&format!("goes as well with bridge-cover of build {first}")), "{said}");
    assert!(said.contains(&format!("--teach={second} enters it all the same")), "{said}");
    let before = log();
    // A slip, and the mark of a copy that is not on the bench: what is there is named, and nothing is entered.
    for mark in ["00000000", first.as_str(), "tuesday"] {
        let [_, err] = inspect(mark);
        assert!(
            err.contains(&format!("no copy on the bench is of build {mark}; they are of {second}")),
            "{err}"
        );
        assert!(err.contains("(bridge-cover, copy 2)"), "{err}");
        assert_eq!(log(), before);
    }
    let (_, err) = ends_with(2, &["inspect", name(&family), "--out", name(&out), "--teach=00000000"]);
    assert!(err.contains("nothing was entered in the printer's log"), "{err}");
    // As it stands on the bag, in whatever letters.
    let [said, err] = inspect(&second.to_uppercase());
    assert!(said.contains("Entered in the printer's log: 2 readings"), "{said}{err}");
    assert!(log()[before.len()..].contains("108."), "{}", &log()[before.len()..]);
    // Said once it is not asked for again.
    let said = text(&run(&["inspect", name(&family), "--out", name(&out)]).stdout);
    assert!(!said.contains("goes as well with") && !said.contains("--teach="), "{said}");
}
