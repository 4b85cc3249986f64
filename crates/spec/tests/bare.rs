//! What is entered after a part was finished and is the bare print's: it is said, and not believed until it was read again.

mod common;

use std::fmt::Write;

use bobbinwright_spec::{PartKind, PieceSize, Problem, Severity, SizeOf, SourceFile, Survey, When};
use common::{FAMILY, READINGS, file};

/// A finish, and entries of October of one cover or baseplate that is printed on the first and finished on the tenth.
struct Shop {
    finish: &'static str,
    part: &'static str,
    entries: String,
}

const PAINTED: &str = "cover: coats(primer: 2, paint: 3, adds: mm(0.12))";

impl Shop {
    fn new(finish: &'static str, part: &'static str) -> Self {
        let entries = format!("printed(on: \"2026-10-01\", part: \"neck-{part}\", build: \"00000001\")\n");
        Self { finish, part, entries }
    }

    /// A reading, with what else it says.
    fn read(mut self, day: u32, size: &str, got: &str, more: &str) -> Self {
        // Writing to a String does not fail.
        let _ = writeln!(
            self.entries,
            "reading(on: \"2026-10-{day:02}\", of: \"neck.{}.{size}\", with: \"caliper\"{more}, got: mm([{got}]))",
            self.part
        );
        self
    }

    fn finished(mut self) -> Self {
        let part = self.part;
        let _ =
            writeln!(self.entries, "copy(on: \"2026-10-10\", part: \"neck-{part}\", copy: 1, is: finished)");
        self
    }

    fn withdraw_last(mut self, day: u32) -> Self {
        let entry = self.survey().entries;
        let _ = writeln!(self.entries, "withdraw(on: \"2026-10-{day:02}\", entry: {entry}, why: \"a slip\")");
        self
    }

    fn survey(&self) -> Survey {
        let family = FAMILY.replacen("cover: (", &format!("finish: ({}), cover: (", self.finish), 1);
        let files: [SourceFile; 2] = [
            file("family.ron", &family),
            file("readings.ron", &format!("{}\n{}", READINGS.trim_end(), self.entries)),
        ];
        let [family, log] = files;
        let survey = Survey::read_at("test", family, log, When::default()).unwrap_or_else(|e| panic!("{e}"));
        assert!(!survey.problems.has_errors(), "{}", survey.problems);
        survey
    }

    /// What counts of a size: its mean, whether it is one of the finished part, and what is said of it.
    fn counts(&self, size: SizeOf) -> (String, bool, Vec<Problem>) {
        let survey = self.survey();
        let part = PartKind::ALL.into_iter().find(|p| p.name() == self.part).unwrap();
        let size = PieceSize { part, size };
        let is_odd = |p: &&Problem| p.message.contains("as a bare print") && p.severity == Severity::Notice;
        let odd: Vec<Problem> = survey.problems.all.iter().filter(is_odd).cloned().collect();
        let family = survey.family().unwrap_or_else(|e| panic!("{e}"));
        let key = ("neck".to_owned(), size);
        let value = family.pieces[&key].value().as_mm();
        (format!("{value:.3}"), family.finished.read.contains(&key), odd)
    }
}

fn primed() -> Shop {
    Shop::new(PAINTED, "cover").read(2, "width", "40.00, 40.02, 40.01", "").finished()
}

/// By hand: 2 faces of 0.12 ± 0.024 mm make 40.01 to 40.20 to 40.30.
#[test]
fn the_bare_width_is_no_finished_one() {
    let (value, is_finished, odd) = primed().read(11, "width", "40.02, 40.00", "").counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.010", false, 1));
    let entry = READINGS.lines().filter(|l| l.starts_with(|c: char| c.is_ascii_lowercase())).count() + 4;
    let said = format!("entry {entry}: neck.cover.width is 40.01 mm since its part is finished");
    assert!(odd[0].message.starts_with(&said), "{}", odd[0].message);
    assert!(odd[0].message.contains("it was 40.01 mm, and finished it would be 40.20 mm to 40.30 mm"));
    // With its coat on it counts, and nothing is said.
    let (value, is_finished, odd) = primed().read(11, "width", "40.24, 40.26", "").counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.250", true, 0));
    // Where nobody read it bare there is nothing to hold it against here.
    let (value, is_finished, odd) =
        Shop::new(PAINTED, "cover").finished().read(11, "width", "40.01", "").counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.010", true, 0));
}

/// Two coats of primer and three of paint come to 0.07 mm a face, give or take as much: nobody can say that they are not there, but
/// less than half of that is asked about.
#[test]
fn a_coat_that_may_be_nothing_is_asked_about() {
    let painted = || {
        let usual = Shop::new("cover: coats(primer: 2, paint: 3)", "cover");
        usual.read(2, "width", "40.00, 40.02, 40.01", "").finished()
    };
    let (value, is_finished, odd) =
        painted().read(11, "width", "40.02, 40.00, 40.01", "").counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.010", false, 1));
    for got in ["40.08, 40.09, 40.08", "40.15, 40.16, 40.15", "40.27, 40.28, 40.28"] {
        let (_, is_finished, odd) = painted().read(11, "width", got, "").counts(SizeOf::Width);
        assert_eq!((is_finished, odd.len()), (true, 0), "{got}");
    }
}

#[test]
fn what_is_read_again_counts() {
    let doubted = || primed().read(11, "width", "40.02, 40.00", "");
    // A finished one beside it: that alone.
    let (value, is_finished, odd) = doubted().read(12, "width", "40.24", "").counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.240", true, 1));
    // Once more without a word it may be the same slip; afresh it counts, whatever it is.
    let (value, is_finished, odd) = doubted().read(12, "width", "40.04", "").counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.010", false, 1));
    assert!(odd[0].message.starts_with("entries "), "{}", odd[0].message);
    for got in ["40.00", "40.24"] {
        let (value, is_finished, odd) =
            doubted().read(12, "width", got, ", afresh: true").counts(SizeOf::Width);
        assert_eq!((value, is_finished, odd.len()), (format!("{got}0"), true, 0));
    }
    // The first one is not confirmed by itself.
    let afresh = primed().read(11, "width", "40.02, 40.00", ", afresh: true");
    let (value, is_finished, odd) = afresh.counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.010", false, 1));
    // A part that was read finished and is worked over since may be as small as that.
    let filed = primed().read(11, "width", "40.25", "").read(12, "width", "40.01", ", afresh: true");
    let (value, is_finished, odd) = filed.counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.010", true, 0));
}

#[test]
fn what_is_withdrawn_is_no_matter() {
    let shop = primed().read(11, "width", "40.04, 40.02", "").withdraw_last(12);
    let (value, is_finished, odd) = shop.counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.010", false, 0));
    // Entered with the day on which it was read it is one of the bare print.
    let (value, is_finished, odd) = shop.read(9, "width", "40.04, 40.02", "").counts(SizeOf::Width);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("40.018", false, 0));
}

/// Figure by figure, each in an entry of its own, they say together what none says alone.
#[test]
fn entries_of_one_figure_are_held_together() {
    let thin = "cover: coats(primer: 2, paint: 3, adds: mm(0.08))";
    let bare = || Shop::new(thin, "cover").read(2, "width", "40.00, 40.02, 40.01", "").finished();
    let (_, is_finished, odd) = bare().read(11, "width", "40.08", "").counts(SizeOf::Width);
    assert_eq!((is_finished, odd.len()), (true, 0));
    let all = bare().read(11, "width", "40.08", "").read(11, "width", "40.07", "");
    let (_, is_finished, odd) = all.read(11, "width", "40.07", "").counts(SizeOf::Width);
    assert_eq!((is_finished, odd.len()), (false, 1));
}

#[test]
fn only_where_it_can_be_told() {
    // One thin coat; coats of which nobody read how thick they get may be none.
    for finish in ["cover: coats(clear: 1, adds: mm(0.02))", "cover: coats(primer: 2, paint: 3)"] {
        let shop = Shop::new(finish, "cover").read(2, "width", "40.00, 40.02", "").finished();
        let (_, is_finished, odd) = shop.read(11, "width", "40.01", "").counts(SizeOf::Width);
        assert_eq!((is_finished, odd.len()), (true, 0), "{finish}");
    }
    // Sanded off it is smaller.
    let sanded = || {
        Shop::new("cover: sanded(adds: mm(-0.1))", "cover").read(2, "width", "40.00, 40.02", "").finished()
    };
    let of = |shop: Shop| {
        let (_, is_finished, odd) = shop.counts(SizeOf::Width);
        (is_finished, odd.len())
    };
    assert_eq!(of(sanded().read(11, "width", "40.01", "")), (false, 1));
    assert_eq!(of(sanded().read(11, "width", "39.82", "")), (true, 0));
    // A slip that is neither is no bare print.
    assert_eq!(of(primed().read(11, "width", "39.01", "")), (true, 0));
    // What is masked is no face, and counts as ever.
    let hollow = Shop::new(PAINTED, "cover").read(2, "hollow_width", "36.00", "").finished();
    let (value, is_finished, odd) = hollow.read(11, "hollow_width", "36.02", "").counts(SizeOf::HollowWidth);
    assert_eq!((value.as_str(), is_finished, odd.len()), ("36.010", false, 0));
    // A baseplate's edge is one, its thickness is not.
    let plate = || {
        let shop = Shop::new("baseplate: coats(paint: 4, adds: mm(0.15))", "baseplate");
        shop.read(2, "width", "39.00, 39.02", "").read(2, "height", "2.00", "").finished()
    };
    let (_, is_finished, odd) = plate().read(11, "width", "39.01", "").counts(SizeOf::Width);
    assert_eq!((is_finished, odd.len()), (false, 1));
    let (_, is_finished, odd) = plate().read(11, "height", "2.00", "").counts(SizeOf::Height);
    assert_eq!((is_finished, odd.len()), (false, 0));
}

/// That the finished part is read afresh takes nothing from what the bare one was.
#[test]
fn the_bare_print_teaches_all_the_same() {
    let shop = primed().read(11, "width", "40.24", "").read(12, "width", "40.22", ", afresh: true");
    let survey = shop.survey();
    let width = survey.quantity("neck.cover.width").unwrap();
    let entries = survey.as_entries(&width, 0, "wall", "it");
    assert_eq!(entries.len(), 1);
    assert_eq!(entries[0].1.got, ["40", "40.02", "40.01"]);
}

/// Sizes that only the printer can be asked about: read once since, and never before.
#[test]
fn what_stands_alone() {
    let alone = |shop: Shop| shop.survey().family().unwrap().finished.alone.len();
    let fresh = || Shop::new(PAINTED, "cover").finished();
    assert_eq!(alone(fresh().read(11, "width", "40.01", "")), 1);
    assert_eq!(alone(fresh().read(11, "width", "40.01", ", afresh: true")), 1);
    assert_eq!(alone(fresh().read(11, "width", "40.01", "").read(12, "width", "40.01", "")), 1);
    let again = fresh().read(11, "width", "40.01", "").read(12, "width", "40.01", ", afresh: true");
    assert_eq!(alone(again), 0);
    assert_eq!(alone(fresh().read(11, "hollow_width", "36.00", "")), 0);
    assert_eq!(alone(primed().read(11, "width", "40.25", "")), 0);
}
