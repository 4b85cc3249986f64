//! Printed parts, copy by copy: whatever is printed, read, withdrawn, broken in whatever order, what counts is what was
//! read of the copy on the bench.

mod common;

use std::fmt::Write;

use bobbinwright_spec::{Copy, State, Survey};
use common::{READINGS, surveyed};

const PART: &str = "neck-cover";
const SIZE: &str = "neck.cover.height";

fn line(day: u32, what: &str) -> String {
    format!("{what}\n").replacen("DAY", &format!("2026-10-{day:02}"), 1)
}

fn printed(day: u32, build: &str) -> String {
    line(day, &format!("printed(on: \"DAY\", part: \"{PART}\", build: \"{build}\")"))
}

fn read(day: u32, mm: f64) -> String {
    line(day, &format!("reading(on: \"DAY\", of: \"{SIZE}\", got: mm([{mm}]))"))
}

/// What is known of the size that is read here.
fn known(survey: &Survey) -> Option<f64> {
    let all = survey.quantities.iter().find(|s| s.quantity.to_string() == SIZE)?;
    Some(all.estimate.as_ref()?.value().as_mm())
}

fn current(survey: &Survey) -> Option<Copy> {
    survey.copies().into_iter().find(|copy| copy.is_current)
}

#[test]
fn readings_are_of_the_copy_that_was_printed_last() {
    let first = format!("{READINGS}{}{}", printed(1, "00000001"), read(2, 18.4));
    assert_eq!(known(&surveyed(&first)), Some(18.4));
    let second = format!("{first}{}", printed(3, "00000002"));
    assert_eq!(known(&surveyed(&second)), None);
    let second = format!("{second}{}", read(3, 18.6));
    assert_eq!(known(&surveyed(&second)), Some(18.6));
    assert_eq!(current(&surveyed(&second)).map(|c| (c.number, c.build)), Some((2, "00000002".into())));
    // It breaks: the first lies there again, with what was read of it.
    let broken =
        format!("{second}{}", line(4, &format!("copy(on: \"DAY\", part: \"{PART}\", copy: 2, is: broken)")));
    assert_eq!(known(&surveyed(&broken)), Some(18.4));
    assert_eq!(current(&surveyed(&broken)).map(|c| c.number), Some(1));
    // That it was printed was a slip: its entry is withdrawn, and it keeps its number.
    let entries = surveyed(&second).entries;
    let slip = format!(
        "{second}{}",
        line(4, &format!("withdraw(on: \"DAY\", entry: {}, why: \"not printed\")", entries - 1))
    );
    let copies = surveyed(&slip).copies();
    assert_eq!(copies.iter().map(|c| (c.number, c.state)).collect::<Vec<_>>(), [(1, State::InUse)]);
    // What was read of a part before any was entered is of one that is not known; on the very day it is of the first.
    let before = format!("{READINGS}{}{}", read(1, 18.2), printed(2, "00000001"));
    assert_eq!(known(&surveyed(&before)), None);
    let that_day = format!("{READINGS}{}{}", read(2, 18.2), printed(2, "00000001"));
    assert_eq!(known(&surveyed(&that_day)), Some(18.2));
    // Without any entry there is but one part, as ever.
    assert_eq!(known(&surveyed(&format!("{READINGS}{}", read(2, 18.2)))), Some(18.2));
}

/// What was read while a print stood that is withdrawn is nobody else's: neither the one before it nor the next may be told
/// what a painted part, or one that was thrown away, was.
#[test]
fn a_withdrawn_print_takes_its_readings_with_it() {
    let withdraw = |day: u32, log: &str, back: usize| {
        let entry = surveyed(log).entries + 1 - back;
        format!("{log}{}", line(day, &format!("withdraw(on: \"DAY\", entry: {entry}, why: \"slip\")")))
    };
    let lost = |survey: &Survey| survey.problems.to_string().contains("for no part");
    let first = format!("{READINGS}{}{}", printed(1, "00000001"), read(1, 18.4));
    let second = withdraw(3, &format!("{first}{}{}", printed(3, "00000002"), read(3, 18.6)), 2);
    let survey = surveyed(&second);
    assert_eq!(known(&survey), Some(18.4));
    assert!(lost(&survey) && survey.problems.to_string().contains("copy 2"), "{}", survey.problems);
    // Taken back too, nothing is left to say of it.
    assert!(!lost(&surveyed(&withdraw(3, &second, 2))));
    // What is read after it was withdrawn is of the first again.
    let again = known(&surveyed(&format!("{second}{}", read(4, 18.2))));
    assert!(again.is_some_and(|mean| (mean - 18.3).abs() < 1e-9), "{again:?}");
    // With another build entered in its place on the same day it is of that one.
    let in_place = surveyed(&format!("{second}{}", printed(3, "00000003")));
    assert_eq!((known(&in_place), lost(&in_place)), (Some(18.6), false));
    // On another day it is another part.
    let later = surveyed(&format!("{second}{}", printed(4, "00000003")));
    assert_eq!((known(&later), lost(&later)), (None, true));
    // The day was the slip: the same build, entered that day.
    let wrong_day = surveyed(&format!("{second}{}", printed(2, "00000002")));
    assert_eq!((known(&wrong_day), lost(&wrong_day)), (Some(18.6), false));
    // Entered twice, one of both was the slip; two that are both withdrawn are of nobody.
    let twice = format!("{READINGS}{}{}{}", printed(1, "00000001"), printed(1, "00000001"), read(1, 18.4));
    assert_eq!(known(&surveyed(&withdraw(1, &twice, 2))), Some(18.4));
    let both = withdraw(3, &second, 5);
    assert_eq!((known(&surveyed(&both)), lost(&surveyed(&both))), (None, true));
    // Alone, there is but one part; painted, it is nobody's, also where another is entered on that day.
    let alone = withdraw(1, &first, 2);
    assert_eq!(known(&surveyed(&alone)), Some(18.4));
    let finished = line(1, &format!("copy(on: \"DAY\", part: \"{PART}\", copy: 1, is: finished)"));
    let painted = format!("{first}{finished}{}", read(1, 18.5));
    let painted = format!("{}{}", withdraw(1, &painted, 4), printed(1, "00000002"));
    assert_eq!(known(&surveyed(&painted)), Some(18.4));
    assert!(lost(&surveyed(&painted)));
}

#[test]
fn entries_that_make_no_sense_are_refused() {
    for (entry, word) in [
        ("printed(on: \"2026-10-01\", part: \"neck-lid\", build: \"00000001\")", "no part \"neck-lid\""),
        ("printed(on: \"2026-10-01\", part: \"neck-cover\", build: \"tuesday\")", "no build's mark"),
        ("copy(on: \"2026-10-01\", part: \"neck-cover\", copy: 1, is: broken)", "no copy 1"),
        (
            "copy(on: \"2026-10-01\", part: \"neck-cover\", copy: 1, is: lost)",
            "in_use, finished, spare, broken, built_in",
        ),
    ] {
        let survey = surveyed(&format!("{READINGS}{entry}\n"));
        assert!(survey.problems.has_errors(), "{entry}");
        assert!(survey.problems.to_string().contains(word), "{}", survey.problems);
    }
}

/// A pile of covers on a bench, which knows nothing of a log.
#[derive(Default)]
struct Pile {
    covers: Vec<Cover>,
}

#[derive(Clone)]
struct Cover {
    state: &'static str,
    read: Vec<f64>,
}

impl Pile {
    /// The index of the one in use: the last that is neither spare nor broken.
    fn in_use(&self) -> Option<usize> {
        self.covers.iter().rposition(|c| matches!(c.state, "in_use" | "built_in"))
    }
}

/// Two thousand histories against the pile.
#[test]
fn a_log_of_prints_is_like_a_pile_of_covers() {
    // A plain congruential generator (Numerical Recipes' constants, from memory): any sequence will do.
    let mut state = 7u32;
    let mut draw = |n: usize| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 16) as usize % n
    };
    let (mut with_several, mut back) = (0, 0);
    for _ in 0..2_000 {
        let (mut pile, mut log, mut day) = (Pile::default(), READINGS.to_owned(), 1u32);
        for step in 0..12 {
            day += draw(2) as u32;
            match draw(5) {
                0 => {
                    pile.covers.push(Cover { state: "in_use", read: Vec::new() });
                    log += &printed(day, &format!("{step:08}"));
                }
                1 if !pile.covers.is_empty() => {
                    let which = draw(pile.covers.len());
                    let became = ["in_use", "spare", "broken", "built_in"][draw(4)];
                    let was = pile.in_use();
                    pile.covers[which].state = became;
                    back += usize::from(pile.in_use() < was);
                    let _ = writeln!(
                        log,
                        "copy(on: \"2026-10-{day:02}\", part: \"{PART}\", copy: {}, is: {became})",
                        which + 1
                    );
                }
                _ => {
                    // Whoever reads reads the one in use; without one, any that lies about, and nobody knows which.
                    let mm = 18.0 + 0.01 * draw(100) as f64;
                    if let Some(one) = pile.in_use() {
                        pile.covers[one].read.push(mm);
                    }
                    if !pile.covers.is_empty() {
                        log += &read(day, mm);
                    }
                }
            }
        }
        let survey = surveyed(&log);
        assert!(!survey.problems.has_errors(), "{}", survey.problems);
        with_several += usize::from(pile.covers.len() > 1);
        let read = pile.in_use().map(|i| &pile.covers[i].read).filter(|read| !read.is_empty());
        let mean = read.map(|read| read.iter().sum::<f64>() / read.len() as f64);
        let found = known(&survey);
        let alike = match (mean, found) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-9,
            (a, b) => a.is_none() && b.is_none(),
        };
        assert!(alike, "{mean:?} {found:?}\n{}", &log[READINGS.len()..]);
        assert_eq!(current(&survey).map(|c| c.number), pile.in_use().map(|i| i + 1));
    }
    assert!(with_several > 500 && back > 200, "{with_several} {back}");
}

/// How a hand scatters on printed parts says nothing of the body: or reading a part would change how the next is drawn.
#[test]
fn readings_of_parts_leave_the_body_as_it_is() {
    let rough = line(
        2,
        &format!("reading(on: \"DAY\", of: \"{SIZE}\", got: mm([18.35, 18.48, 18.41, 18.52, 18.33]))"),
    );
    let of = |log: &str| {
        let survey = surveyed(log);
        let family = survey.clone().family().unwrap();
        let body = survey.quantities.iter().filter(|s| s.quantity.to_string() != SIZE);
        let known = body.filter_map(|s| {
            let estimate = s.estimate.as_ref()?;
            Some((s.quantity.to_string(), estimate.uncertainty(), family.doubts.freedom(estimate).to_bits()))
        });
        known.collect::<Vec<_>>()
    };
    let without = of(READINGS);
    assert!(without.len() > 20);
    assert!(of(&format!("{READINGS}{rough}")) == without);
}

/// Who says that a part is finished and then that it is in use again has made a slip, and the part is bare; one that lay by in
/// between keeps its paint.
#[test]
fn a_slip_to_finished_is_taken_back() {
    let is = |state: &str, day: u32| {
        line(day, &format!("copy(on: \"DAY\", part: \"{PART}\", copy: 1, is: {state})"))
    };
    let finished = |states: &[&str]| {
        let told: String = states.iter().zip(2..).map(|(state, day)| is(state, day)).collect();
        let survey = surveyed(&format!("{READINGS}{}{told}", printed(1, "00000001")));
        survey.copies()[0].is_finished()
    };
    assert!(finished(&["finished"]) && finished(&["finished", "spare", "in_use"]));
    assert!(!finished(&["finished", "in_use"]) && finished(&["finished", "in_use", "finished"]));
}

/// Tried again with the same end it says nothing new, painted it may go otherwise; only the same copy as it was can't do both.
#[test]
fn only_a_trial_that_went_otherwise_stands_against_another() {
    let tried = |day: u32, it: &str| {
        line(day, &format!("tried(on: \"DAY\", part: \"{PART}\", copy: 1, with: rout, it: {it})"))
    };
    let finished = line(3, &format!("copy(on: \"DAY\", part: \"{PART}\", copy: 1, is: finished)"));
    let first = format!("{READINGS}{}{}", printed(1, "00000001"), tried(2, "goes_in"));
    let against = |log: String| {
        let trials = surveyed(&log).trials();
        assert_eq!(trials.len(), 1, "{trials:?}");
        trials[0].instead_of.is_some()
    };
    assert!(!against(format!("{first}{}", tried(2, "goes_in"))));
    assert!(!against(format!("{first}{finished}{}", tried(4, "goes_in"))));
    assert!(!against(format!("{first}{finished}{}", tried(4, "jams"))));
    assert!(against(format!("{first}{}", tried(4, "jams"))));
}
