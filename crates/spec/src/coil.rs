//! The coil that is wanted: `coil: (wire: awg(number: 42, film: single), wind: turns(7800))`.

use std::fmt;

use crate::Length;
use crate::node::Node;
use crate::reader::{Noted, Record, choice, length, number, tagged_number};

/// What a coil is wound with, and how far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coil {
    /// The wire.
    pub wire: Wire,
    /// When it is done.
    pub until: Until,
    /// How much of the coil's section is wire, film included.
    pub packing: Packing,
    /// Thickness of the tape round the rods.
    pub tape: Length,
    /// Which way the wire runs, seen from above.
    pub turning: Turning,
    /// Which eyelet the wire starts at.
    pub start: Start,
    /// Which of its ends leads to the output; the other one is grounded.
    pub hot: End,
}

/// How tightly the wire lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Packing {
    /// The share of the coil's section that is wire.
    Share(f64),
    /// What a coil on this bobbin of this wire came to: so many turns, and so much across all of it.
    Measured {
        /// Its turns.
        turns: f64,
        /// Over the coil, across the row of rods.
        across: Length,
    },
}

/// An eyelet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Start {
    /// The one at the bass end.
    #[default]
    Bass,
    /// The one at the treble end.
    Treble,
}

/// An end of the wire.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum End {
    /// The inner one, where winding starts. Its coil's outside is then grounded, which hums less.
    #[default]
    Start,
    /// The outer one, where it finishes.
    Finish,
}

impl End {
    /// The words used in files.
    pub const ALL: [(&'static str, End); 2] = [("start", End::Start), ("finish", End::Finish)];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, e)| *e == self).map_or("", |(word, _)| word)
    }

    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            End::Start => End::Finish,
            End::Finish => End::Start,
        }
    }
}

/// A wire, as it is bought.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wire {
    /// By its gauge.
    Gauge(Awg, Film),
    /// By its diameters: copper, and over the film.
    Diameters(Length, Length),
}

/// A number of the American wire gauge from 40 to 46: what pickups are wound with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Awg(u8);

/// Thickness of the film.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Film {
    /// Single build (NEMA MW 1000), about grade 1 of IEC 60317.
    Single,
    /// Heavy build, about grade 2.
    Heavy,
}

/// When winding ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Until {
    /// After so many turns.
    Turns(f64),
    /// At this resistance, Ω.
    Ohms(f64),
    /// At this inductance without iron, H.
    Henries(f64),
    /// At this inductance with its rods in, as a bridge reads it at 1 kHz, H.
    HenriesWithRods(f64),
}

/// As a family's file has it: `turns(7800)`.
impl fmt::Display for Until {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Until::Turns(turns) => write!(f, "turns({turns})"),
            Until::Ohms(ohms) => write!(f, "ohms({ohms})"),
            Until::Henries(henries) => write!(f, "henries({henries})"),
            Until::HenriesWithRods(henries) => write!(f, "henries_with_rods({henries})"),
        }
    }
}

/// As a family's file has it: `awg(number: 42, film: single)`.
impl fmt::Display for Wire {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = |length: &Length| format!("mm({})", length.as_mm());
        match self {
            Wire::Gauge(gauge, film) => {
                let film = if *film == Film::Single { "single" } else { "heavy" };
                write!(f, "awg(number: {}, film: {film})", gauge.number())
            }
            Wire::Diameters(copper, over) => {
                write!(f, "diameters(copper: {}, over_film: {})", mm(copper), mm(over))
            }
        }
    }
}

/// Which way the wire runs, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turning {
    /// As a clock's hands.
    Clockwise,
    /// The other way.
    Anticlockwise,
}

impl Awg {
    /// The thickest and the thinnest.
    const RANGE: std::ops::RangeInclusive<u8> = 40..=46;

    /// All of them, from the thickest.
    pub fn all() -> impl Iterator<Item = Self> {
        Self::RANGE.map(Self)
    }

    /// A number, if it is one of these.
    pub fn new(number: u8) -> Option<Self> {
        Self::RANGE.contains(&number).then_some(Self(number))
    }

    /// The number.
    pub fn number(self) -> u8 {
        self.0
    }
}

impl Film {
    /// The words used in files.
    pub const ALL: [(&'static str, Film); 2] = [("single", Film::Single), ("heavy", Film::Heavy)];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, f)| *f == self).map_or("", |(word, _)| word)
    }
}

impl Turning {
    /// The words used in files.
    pub const ALL: [(&'static str, Turning); 2] =
        [("clockwise", Turning::Clockwise), ("anticlockwise", Turning::Anticlockwise)];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, t)| *t == self).map_or("", |(word, _)| word)
    }
}

impl Start {
    /// The words used in files.
    pub const ALL: [(&'static str, Start); 2] = [("bass", Start::Bass), ("treble", Start::Treble)];

    /// The word used in files.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, s)| *s == self).map_or("", |(word, _)| word)
    }

    /// The eyelet of an end of the wire.
    #[must_use]
    pub fn of(self, end: End) -> Self {
        match end {
            End::Start => self,
            End::Finish => self.other(),
        }
    }

    /// The other one, where the wire ends.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Start::Bass => Start::Treble,
            Start::Treble => Start::Bass,
        }
    }
}

impl Turning {
    /// The other way: that in which the bobbin turns while the wire is laid on so.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Turning::Clockwise => Turning::Anticlockwise,
            Turning::Anticlockwise => Turning::Clockwise,
        }
    }
}

/// A mistake that has been noted.
pub(crate) struct Mistaken;

/// Reads the coil; none where none is wanted.
pub(crate) fn read(position: &mut Record, noted: &mut Noted) -> Result<Option<Coil>, Mistaken> {
    if position.get("coil").is_none() {
        return Ok(None);
    }
    let record = position.sub("coil", noted).ok_or(Mistaken)?;
    coil(record, noted).map(Some).ok_or(Mistaken)
}

fn coil(mut record: Record, noted: &mut Noted) -> Option<Coil> {
    let wire = wire(&mut record, noted);
    let until = record.need("wind", UNTIL, noted);
    let until = until.and_then(|node| until_of(node, noted));
    let packing = packing(&mut record, noted);
    let tape = tape(&mut record, noted);
    let turning = record
        .get("turning")
        .map_or(Some(Turning::Clockwise), |node| choice(node, "coil.turning", &Turning::ALL, noted));
    let start = record
        .get("start")
        .map_or(Some(Start::default()), |node| choice(node, "coil.start", &Start::ALL, noted));
    let hot =
        record.get("hot").map_or(Some(End::default()), |node| choice(node, "coil.hot", &End::ALL, noted));
    record.finish(noted);
    Some(Coil {
        wire: wire?,
        until: until?,
        packing: packing?,
        tape: tape?,
        turning: turning?,
        start: start?,
        hot: hot?,
    })
}

/// How thick the tape round the rods is; none where nothing is said of it.
pub(crate) fn tape(record: &mut Record, noted: &mut Noted) -> Option<Length> {
    let bounds = (Length::ZERO, Length::from_mm(2.0));
    record.get("tape").map_or(Some(Length::ZERO), |node| length(node, "coil.tape", bounds, noted))
}

fn packing(record: &mut Record, noted: &mut Noted) -> Option<Packing> {
    let Some(node) = record.get("packing") else { return Some(Packing::Share(Packing::BY_HAND)) };
    if node.tag.as_deref() == Some("measured") {
        let mut of = record.sub("packing", noted)?;
        let turns = of.need("turns", "7600", noted);
        let turns = turns.and_then(|node| turns_of(node, noted));
        let bounds = (Length::from_mm(3.0), Length::from_mm(60.0));
        let across = of.need("across", "mm(12.4)", noted);
        let across = across.and_then(|node| length(node, "coil.packing.across", bounds, noted));
        of.finish(noted);
        return Some(Packing::Measured { turns: turns?, across: across? });
    }
    let value = number(node, "coil.packing", noted)?;
    let sound = Packing::POSSIBLE.contains(&value);
    if !sound {
        let hint = "0.55 to 0.7 is usual by hand, 0.65 to 0.8 by machine; round wire can't take more than 0.907; or measured(turns: 7600, across: mm(12.4)) of a coil that you have wound";
        noted.error(node.span, format!("coil.packing is {value}"), hint);
    }
    sound.then_some(Packing::Share(value))
}

fn turns_of(node: &Node, noted: &mut Noted) -> Option<f64> {
    let turns = number(node, "coil.packing.turns", noted)?;
    let [least, most] = TURNS;
    let sound = (least..=most).contains(&turns);
    if !sound {
        let message = format!("coil.packing.turns is {turns}, which makes no sense here");
        noted.error(node.span, message, format!("use {least} to {most}"));
    }
    sound.then_some(turns)
}

impl Packing {
    /// A coil's share that is wound by hand and not measured yet (common practice: 0.55 to 0.7).
    pub const BY_HAND: f64 = 0.65;
    /// Loosely scattered to the closest that round wire can lie, π / 2√3.
    pub const POSSIBLE: std::ops::RangeInclusive<f64> = 0.3..=0.907;
}

pub(crate) fn wire(record: &mut Record, noted: &mut Noted) -> Option<Wire> {
    const EXAMPLE: &str =
        "awg(number: 42, film: single), or diameters(copper: mm(0.063), over_film: mm(0.071))";
    record.need("wire", EXAMPLE, noted)?;
    let (tag, span) = record.tag("wire")?;
    if !matches!(tag, "awg" | "diameters") {
        noted.error(span, "coil.wire: which wire?", format!("write {EXAMPLE}"));
        return None;
    }
    let mut of = record.sub("wire", noted)?;
    let wire = if tag == "awg" {
        let gauge = of.need("number", "42", noted).and_then(|node| gauge(node, noted));
        let film = of.need("film", "single", noted);
        let film = film.and_then(|node| choice(node, "coil.wire.film", &Film::ALL, noted));
        gauge.zip(film).map(|(gauge, film)| Wire::Gauge(gauge, film))
    } else {
        let mut diameter = |name: &'static str, path: &str, example: &str| {
            let bounds = (Length::from_mm(0.02), Length::from_mm(0.5));
            of.need(name, example, noted).and_then(|node| length(node, path, bounds, noted))
        };
        let copper = diameter("copper", "coil.wire.copper", "mm(0.063)");
        let over = diameter("over_film", "coil.wire.over_film", "mm(0.071)");
        copper.zip(over).and_then(|(copper, over)| {
            let sound = over > copper;
            if !sound {
                let message = format!("coil.wire: copper of {copper} does not go into {over} over its film");
                noted.error(span, message, "the film makes the wire thicker; are the two exchanged?");
            }
            sound.then_some(Wire::Diameters(copper, over))
        })
    };
    of.finish(noted);
    wire
}

fn gauge(node: &Node, noted: &mut Noted) -> Option<Awg> {
    let value = number(node, "coil.wire.number", noted)?;
    let found = Awg::all().find(|awg| f64::from(awg.number()) == value);
    if found.is_none() {
        let hint = "pickups are wound with 40 (thick) to 46 (thin); for others write diameters(copper: …, over_film: …)";
        noted.error(node.span, format!("coil.wire.number is {value}"), hint);
    }
    found
}

/// The fewest and the most turns that make sense.
const TURNS: [f64; 2] = [100.0, 50_000.0];

const UNTIL: &str = "turns(7800), ohms(6200), henries(2.4) of the coil without rods, or henries_with_rods(2.9) as a bridge reads it at 1 kHz";

/// A word of the file, what it makes, and the least and the most that make sense.
type Kind = (&'static str, fn(f64) -> Until, [f64; 2]);

const KINDS: [Kind; 4] = [
    ("turns", Until::Turns, TURNS),
    ("ohms", Until::Ohms, [50.0, 100_000.0]),
    ("henries", Until::Henries, [0.01, 100.0]),
    ("henries_with_rods", Until::HenriesWithRods, [0.01, 100.0]),
];

fn until_of(node: &Node, noted: &mut Noted) -> Option<Until> {
    let found = tagged_number(node);
    let kind = found.and_then(|(tag, figure)| KINDS.iter().find(|k| k.0 == tag).map(|k| (k, figure)));
    let Some(((word, make, [least, most]), figure)) = kind else {
        noted.error(node.span, "coil.wind: until when?", format!("write {UNTIL}"));
        return None;
    };
    if !(*least..=*most).contains(&figure) {
        let message = format!("coil.wind is {word}({figure}), which makes no sense here");
        noted.error(node.span, message, format!("use {least} to {most}"));
        return None;
    }
    Some(make(figure))
}
