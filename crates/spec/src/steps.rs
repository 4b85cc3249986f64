//! Entries of a log that say that a step of the work on a pickup is done, and how it came out.

use std::fmt;

use bobbinwright_estimate::{Length, Unit};
use jiff::civil::Date;

use crate::coil::Mistaken;
use crate::reader::{Noted, Record, choice, lengths, text};
use crate::wound::{TURNS, within};

/// A step after printing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// The coil is on the bobbin.
    Wound,
    /// Wire, eyelets and lead are soldered.
    Soldered,
    /// The pickup is in the instrument.
    BuiltIn,
}

impl Step {
    /// The words used in logs.
    pub const ALL: [(&'static str, Step); 3] =
        [("wound", Step::Wound), ("soldered", Step::Soldered), ("built_in", Step::BuiltIn)];

    /// The word used in logs.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, step)| *step == self).map_or("", |(word, _)| word)
    }

    /// In words.
    pub fn describe(self) -> &'static str {
        match self {
            Self::Wound => "wound",
            Self::Soldered => "soldered",
            Self::BuiltIn => "built in",
        }
    }
}

/// An end of the wire.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WireEnd {
    /// Where winding begins.
    Start,
    /// Where it ends.
    Finish,
}

impl WireEnd {
    /// The words used in logs.
    pub const ALL: [(&'static str, WireEnd); 2] = [("start", WireEnd::Start), ("finish", WireEnd::Finish)];

    /// The word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Finish => "finish",
        }
    }
}

/// A step as it was read, or, with the digits as they were typed, as it is to be entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done<L = Length> {
    /// The position.
    pub position: String,
    /// What is done.
    pub step: Step,
    /// Which end of the wire goes to the output; the other one is grounded.
    pub hot: Option<WireEnd>,
    /// How many turns the coil has, where those were all that were wanted of it.
    pub turns: Option<u32>,
    /// From the pickup's top to the string as it is set, on the bass and on the treble side, both strings held down at the
    /// last fret (common practice).
    pub gaps: Option<[L; 2]>,
    /// From the twelfth fret to the string, on the bass and on the treble side (common practice).
    pub action: Option<[L; 2]>,
    /// What was heard, in the person's words.
    pub heard: Option<String>,
}

/// A step that is to be entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewDone {
    /// The day.
    pub on: Date,
    /// What was done, lengths as they were typed.
    pub done: Done<String>,
    /// Their unit.
    pub unit: Unit,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewDone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let done = &self.done;
        write!(f, "done(on: \"{}\", position: {:?}, what: {}", self.on, done.position, done.step.word())?;
        if let Some(hot) = done.hot {
            write!(f, ", hot: {}", hot.word())?;
        }
        if let Some(turns) = done.turns {
            write!(f, ", turns: {turns}")?;
        }
        for (name, both) in [("gaps", &done.gaps), ("action", &done.action)] {
            if let Some([bass, treble]) = both {
                write!(f, ", {name}: {}([{bass}, {treble}])", self.unit.word())?;
            }
        }
        if let Some(heard) = &done.heard {
            write!(f, ", heard: {heard:?}")?;
        }
        f.write_str(")")
    }
}

/// What no pickup and no fret is away from a string.
const FURTHEST: Length = Length::from_mm(25.0);

/// Reads `done(…)`.
pub(crate) fn read(record: &mut Record, noted: &mut Noted) -> Option<Done> {
    let position = record.need("position", "\"neck\"", noted).and_then(|n| text(n, "position", noted));
    let step = record.need("what", "soldered", noted).and_then(|n| choice(n, "what", &Step::ALL, noted));
    let hot = record.get("hot").map(|n| choice(n, "hot", &WireEnd::ALL, noted).ok_or(Mistaken)).transpose();
    let turns = record.get("turns").map(|n| within(n, "turns", TURNS, noted).ok_or(Mistaken)).transpose();
    let gaps = both(record, "gaps", noted);
    let action = both(record, "action", noted);
    let heard = record.get("heard").map(|n| text(n, "heard", noted).ok_or(Mistaken)).transpose();
    Some(Done {
        position: position?,
        step: step?,
        hot: hot.ok()?,
        turns: turns.ok()?.map(|turns| turns.round() as u32),
        gaps: gaps.ok()?,
        action: action.ok()?,
        heard: heard.ok()?,
    })
}

/// Two lengths, on the bass and on the treble side.
fn both(record: &mut Record, name: &'static str, noted: &mut Noted) -> Result<Option<[Length; 2]>, Mistaken> {
    let Some(node) = record.get(name) else { return Ok(None) };
    let all = lengths(node, name, noted);
    let is_near = |length: &Length| *length >= Length::ZERO && *length <= FURTHEST;
    let found = <[Length; 2]>::try_from(all).ok().filter(|both| both.iter().all(is_near));
    if found.is_none() {
        let message =
            format!("{name} is two lengths from 0 to {FURTHEST}, on the bass and on the treble side");
        noted.error(node.span, message, format!("write {name}: mm([2.5, 2.0])"));
    }
    found.map(Some).ok_or(Mistaken)
}
