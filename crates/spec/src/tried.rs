//! Entries of a log that say how it went when a printed part was tried in the body.

use std::fmt;

use jiff::civil::Date;

use crate::part::PartKind;
use crate::prints::{read_copy, read_part};
use crate::reader::{Noted, Record, choice};
use crate::wanted::Side;

/// What a part was tried with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TriedWith {
    /// The rout, and with ears their recesses.
    Rout,
    /// The screws too, all of them driven into the body through its holes.
    Screws,
}

impl TriedWith {
    /// The words used in logs.
    pub const ALL: [(&'static str, TriedWith); 2] =
        [("rout", TriedWith::Rout), ("screws", TriedWith::Screws)];

    /// The word used in logs.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, with)| *with == self).map_or("", |(word, _)| word)
    }
}

/// How it went.
const WENT: [(&str, bool); 2] = [("goes_in", true), ("jams", false)];

/// A part was tried, to be entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewTrial {
    /// The day.
    pub on: Date,
    /// What its file is called.
    pub part: String,
    /// Which copy.
    pub copy: usize,
    /// With what.
    pub with: TriedWith,
    /// Did it go in?
    pub goes_in: bool,
    /// Where it jams, where that could be seen.
    pub at: Option<Side>,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewTrial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let with = self.with.word();
        let went = WENT.iter().find(|(_, goes_in)| *goes_in == self.goes_in).map_or("", |(word, _)| word);
        let Self { on, part, copy, .. } = self;
        let at = self.at.map_or(String::new(), |at| format!(", at: {}", at.name()));
        write!(f, "tried(on: \"{on}\", part: {part:?}, copy: {copy}, with: {with}, it: {went}{at})")
    }
}

/// `tried(…)`, as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenTrial {
    /// Where the part belongs.
    pub position: String,
    /// What it is.
    pub kind: PartKind,
    /// Which of its copies.
    pub number: usize,
    /// With what.
    pub with: TriedWith,
    /// Did it go in?
    pub goes_in: bool,
    /// Where it jams, where that could be seen.
    pub at: Option<Side>,
}

/// Reads `tried(…)`; `count` is how many copies of a part the log knows before it.
pub(crate) fn read_trial(
    record: &mut Record,
    count: impl Fn(&str, PartKind) -> usize,
    noted: &mut Noted,
) -> Option<WrittenTrial> {
    let span = record.span();
    let part = read_part(record, noted);
    let with = record.need("with", "screws", noted).and_then(|n| choice(n, "with", &TriedWith::ALL, noted));
    let goes_in = record.need("it", "goes_in", noted).and_then(|n| choice(n, "it", &WENT, noted));
    let at = record.get("at").and_then(|n| Some((n.span, choice(n, "at", &Side::ALL, noted)?)));
    if let (Some((span, _)), Some(true)) = (at, goes_in) {
        noted.error(span, "what goes in jams nowhere", "leave at out, or write it: jams");
        return None;
    }
    let number = read_copy(record, part.as_ref(), count, noted);
    let (position, kind) = part?;
    if !matches!(kind, PartKind::Cover | PartKind::Baseplate) {
        let hint = "what a plate of the bobbin goes into is another printed part: read its sizes instead";
        noted.error(span, "only covers and baseplates are tried in the body", hint);
        return None;
    }
    Some(WrittenTrial {
        position,
        kind,
        number: number?,
        with: with?,
        goes_in: goes_in?,
        at: at.map(|(_, at)| at),
    })
}
