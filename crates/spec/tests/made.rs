//! What was made of a family that has its readings from another one: two files, one log.

use std::path::Path;
use std::sync::Arc;

use bobbinwright_folder::{Folder, Memory, Store};
use bobbinwright_spec::{Book, Sources, Survey, When, enter};

/// The tidewick, and a family that is like it, with what was made of it.
fn twins(made: &[&str]) -> [Folder; 2] {
    let specs = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs/tidewick");
    let memory = Memory::default();
    for name in ["family.ron", "readings.ron"] {
        let text = std::fs::read_to_string(specs.join(name)).unwrap();
        memory.create(Path::new("gull"), &[(name, &text)]).unwrap();
    }
    memory.create(Path::new("tern"), &[("family.ron", "(like: \"../gull\")")]).unwrap();
    if !made.is_empty() {
        memory.create(Path::new("tern"), &[("made.ron", &(made.join("\n") + "\n"))]).unwrap();
    }
    let store: Arc<dyn Store> = Arc::new(memory);
    ["gull", "tern"].map(|name| Folder::in_store(store.clone(), name))
}

fn load(folder: &Folder) -> Survey {
    let survey = Survey::load_at(folder, When::default()).unwrap_or_else(|e| panic!("{e}"));
    assert!(!survey.problems.has_errors(), "{}", survey.problems);
    survey
}

fn add(folder: &Folder, entry: &str) {
    enter(folder, When::default(), |_: &Survey| Ok((entry.to_owned(), None)))
        .unwrap_or_else(|e| panic!("{e}"));
}

const PRINTED: &str = "printed(on: \"2026-10-01\", part: \"neck-baseplate\", build: \"7d8ac923\")";
const WENT_IN: &str = "tried(on: \"2026-10-01\", part: \"neck-baseplate\", copy: 1, with: rout, it: goes_in)";
const WORKED_ON: &str =
    "reading(on: \"2026-10-01\", of: \"neck.rout.width\", got: mm([38.3, 38.31]), afresh: true)";

/// On one day, and yet the order is known: a rout that was worked on says nothing of what went in before, and something of
/// what went in since.
#[test]
fn what_came_first_is_known_across_files() {
    let [gull, tern] = twins(&[]);
    add(&tern, PRINTED);
    add(&tern, WENT_IN);
    assert_eq!(load(&tern).trials().len(), 1);
    add(&gull, WORKED_ON);
    assert_eq!(load(&tern).trials().len(), 0);
    add(&tern, WENT_IN);
    assert_eq!(load(&tern).trials().len(), 1);
    assert_eq!(load(&gull).trials().len(), 0);
    assert_eq!(load(&gull).copies().len(), 0);
}

/// No entry gets another number by a later one, whichever file that goes to.
#[test]
fn numbers_stay() {
    let [gull, tern] = twins(&[]);
    let mut known: Vec<String> = load(&tern).lines().into_iter().map(|line| line.text).collect();
    for (folder, entry) in [
        (&tern, PRINTED),
        (&gull, WORKED_ON),
        (&tern, WORKED_ON),
        (&tern, WENT_IN),
        (&gull, WORKED_ON),
        (&tern, PRINTED),
    ] {
        add(folder, entry);
        let lines = load(&tern).lines();
        assert_eq!(lines.len(), known.len() + 1);
        assert!(lines.iter().zip(&known).all(|(line, known)| line.text == *known));
        assert!((1..).zip(&lines).all(|(number, line)| line.number == number));
        known = lines.into_iter().map(|line| line.text).collect();
    }
}

/// Written by hand it may say nothing of the order: what was made then came after all that was read. What is no number is said.
#[test]
fn made_by_hand() {
    let [_, tern] =
        twins(&[PRINTED, "reading(on: \"2026-10-02\", of: \"neck.baseplate.length\", got: mm(91.5))"]);
    let survey = load(&tern);
    assert_eq!(survey.copies().len(), 1);
    assert_eq!(survey.lines().last().unwrap().text.matches("91.5").count(), 1);
    let wrong = PRINTED.replace("7d8ac923\"", "7d8ac923\", after: soon");
    let [_, tern] = twins(&[&wrong]);
    let survey = Survey::load_at(&tern, When::default()).unwrap();
    let problems = survey.problems.to_string();
    assert!(
        problems.contains("tern/made.ron:1") && problems.contains("after: this is not a number"),
        "{problems}"
    );
}

/// What the other family's file says of making is not read: not even that it makes no sense here.
#[test]
fn of_another_nothing_is_read() {
    let [gull, tern] = twins(&[]);
    for entry in [PRINTED, WENT_IN, "wound(on: \"2026-10-01\", coil: \"neck\", turns: 500, reads: ohms(402))"]
    {
        add(&gull, entry);
    }
    tern.turn()
        .unwrap()
        .replace("family.ron", b"(like: \"../gull\")", "(like: \"../gull\", title: \"Tern\")")
        .unwrap();
    let survey = load(&tern);
    assert_eq!((survey.copies().len(), survey.trials().len()), (0, 0));
    assert!(survey.winds.on_bobbin("neck").is_none());
    assert!(load(&gull).winds.on_bobbin("neck").is_some());
    assert_eq!(survey.lines().len() + 3, load(&gull).lines().len());
}

/// A family that gets readings of its own later keeps what was made of it before.
#[test]
fn own_readings_later() {
    let [gull, tern] = twins(&[]);
    add(&tern, PRINTED);
    let text = String::from_utf8(gull.read("readings.ron", 1 << 20).unwrap()).unwrap();
    tern.create(&[("readings.ron", &text)]).unwrap();
    assert_eq!(load(&tern).copies().len(), 1);
    add(&tern, WENT_IN);
    assert_eq!((load(&tern).trials().len(), load(&tern).copies().len()), (1, 1));
    assert!(!String::from_utf8(tern.read("readings.ron", 1 << 20).unwrap()).unwrap().contains("tried("));
}

/// A manifest holds all texts; read from them it is the same.
#[test]
fn the_same_from_texts() {
    let [gull, tern] = twins(&[]);
    add(&tern, PRINTED);
    add(&gull, PRINTED);
    add(&tern, WENT_IN);
    let survey = load(&tern);
    let again = Sources::of_files(survey.problems.files.clone()).expect("all files of a family");
    let again = Survey::read("tern", again, When::default()).unwrap();
    assert_eq!(again.lines(), survey.lines());
    assert_eq!(again.copies(), survey.copies());
    assert_eq!(again.entries, survey.entries);
    // The page asks whether an entry is in the log already, as it was typed.
    assert_eq!(survey.entry_like(WENT_IN, 0), Some(survey.entries));
    assert_eq!(survey.entry_like(PRINTED, 0), Some(survey.entries - 2));
}
