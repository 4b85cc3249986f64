//! Entries of a log that are about winding: the meter and the thermometer, what they read at a stop of the winder, and
//! what a spool's wire resists.
//!
//! A multimeter's manual gives its error as a share of what it reads and some steps of its last digit, and its display by
//! how many counts it has; both are kept so. What a person types for that is in `wind_entry`.

use crate::Length;
use crate::coil::{self, Mistaken, Wire};
use crate::load::Ohms;
use crate::node::{Node, NodeKind};
use crate::reader::{Noted, Record, choice, length, number, tagged_number, text};

/// What a resistance is read with.
#[derive(Clone, Debug, PartialEq)]
pub struct Meter {
    /// The name that readings use.
    pub name: String,
    /// How many counts its display has: 2000, 6000.
    pub counts: f64,
    /// The largest error that its maker permits, as a part of the reading.
    pub share: f64,
    /// And steps of the last digit besides.
    pub digits: f64,
}

/// What the air beside the winder is read with.
#[derive(Clone, Debug, PartialEq)]
pub struct Thermometer {
    /// The name that readings use.
    pub name: String,
    /// The largest error that its maker permits, K.
    pub limit: f64,
}

/// What a meter shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shown {
    /// A resistance.
    Ohms(Ohms),
    /// More than it can read: nothing is joined.
    Open,
}

/// What a coil is wound of and on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WoundOf {
    /// The wire.
    pub wire: Wire,
    /// How thick the tape round the rods is.
    pub tape: Length,
}

/// A stop of the winder, at which the meter was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// The position whose coil it is.
    pub coil: String,
    /// The turns that the counter says.
    pub turns: f64,
    /// What the meter shows.
    pub shown: Shown,
    /// The temperature beside the winder, °C, where it was read.
    pub celsius: Option<f64>,
    /// With what the resistance was read; none where no meter was entered.
    pub meter: Option<Meter>,
    /// With what the temperature was read; none where no thermometer was entered.
    pub thermometer: Option<Thermometer>,
    /// What the wire's spool is called.
    pub spool: Option<String>,
    /// Over the coil, across the row of rods, where a caliper read it.
    pub across: Option<Length>,
    /// It is of another coil than the stops before it: the earlier one was cut off.
    pub afresh: bool,
    /// What was stated of the coil when it was entered; none in logs of before.
    pub of: Option<WoundOf>,
}

/// What a spool's wire is known to resist.
#[derive(Clone, Debug, PartialEq)]
pub struct Spool {
    /// What it is called.
    pub name: String,
    /// Of a metre, at 20 °C.
    pub per_metre: Ohms,
    /// It may be more or less by so much of itself, in 95 of 100 cases.
    pub within: f64,
    /// How tightly whoever winds it lays it: the share that is wire, and by how much it may be more or less.
    pub packing: Option<[f64; 2]>,
}

impl Meter {
    /// A multimeter of which nothing is known (common practice: 2000 counts, 0.8 % and 3 digits).
    pub fn usual() -> Self {
        Self { name: "a usual meter".to_owned(), counts: 2000.0, share: 0.008, digits: 3.0 }
    }

    /// The step of its display where it shows a resistance, Ω: it takes the finest range that still shows it.
    ///
    /// ```
    /// # use bobbinwright_spec::{load::Ohms, wound::Meter};
    /// let meter = Meter { counts: 6000.0, ..Meter::usual() };
    /// assert_eq!([402.1, 2055.0, 6600.0].map(|ohms| meter.step(Ohms(ohms)).0), [0.1, 1.0, 10.0]);
    /// ```
    pub fn step(&self, shown: Ohms) -> Ohms {
        let steps = [0.01, 0.1, 1.0, 10.0, 100.0, 1000.0];
        let fine = steps.into_iter().find(|step| (shown.0 / step).round() < self.counts);
        Ohms(fine.unwrap_or(10_000.0))
    }
}

impl Thermometer {
    /// A thermometer of which nothing is known (common practice).
    pub fn usual() -> Self {
        Self { name: "a usual thermometer".to_owned(), limit: 1.0 }
    }
}

/// The fewest and the most turns at which a stop makes sense.
pub(crate) const TURNS: [f64; 2] = [1.0, 50_000.0];
const OHMS: [f64; 2] = [0.1, 200_000.0];
const CELSIUS: [f64; 2] = [0.0, 45.0];

/// Reads `meter(…)`.
pub(crate) fn read_meter(record: &mut Record, noted: &mut Noted) -> Option<Meter> {
    let name = record.need("name", "\"meter\"", noted).and_then(|n| text(n, "meter.name", noted));
    let counts = needed(record, "counts", "6000", [200.0, 10e6], noted);
    let percent = needed(record, "percent", "0.8", [0.0001, 20.0], noted);
    let digits = needed(record, "digits", "3", [0.0, 100.0], noted);
    Some(Meter { name: name?, counts: counts?, share: percent? / 100.0, digits: digits? })
}

/// Reads `thermometer(…)`.
pub(crate) fn read_thermometer(record: &mut Record, noted: &mut Noted) -> Option<Thermometer> {
    let name = record.need("name", "\"thermometer\"", noted).and_then(|n| text(n, "thermometer.name", noted));
    let limit = needed(record, "limit", "0.5", [0.001, 10.0], noted);
    Some(Thermometer { name: name?, limit: limit? })
}

/// What a packing can be, and how well it is known where nobody says (common practice).
const PACKING: [f64; 2] = [0.3, 0.907];
const PACKING_WITHIN: f64 = 0.05;

/// Reads `spool(…)`.
pub(crate) fn read_spool(record: &mut Record, noted: &mut Noted) -> Option<Spool> {
    let name = record.need("name", "\"43 plain\"", noted).and_then(|n| text(n, "spool.name", noted));
    let per_metre = needed(record, "ohms_per_metre", "7.02", [0.1, 100.0], noted);
    let give = needed(record, "within", "0.03", [0.0001, 10.0], noted);
    let per_metre = per_metre?;
    let share = record.get("packing").map(|n| within(n, "packing", PACKING, noted));
    let loose = record.get("packing_within").map(|n| within(n, "packing_within", [0.001, 0.2], noted));
    let packing = match (share, loose) {
        (None, None) => None,
        (share, loose) => Some([share??, loose.unwrap_or(Some(PACKING_WITHIN))?]),
    };
    Some(Spool { name: name?, per_metre: Ohms(per_metre), within: give? / per_metre, packing })
}

/// Reads `wound(…)`; `meters` and `thermometers` are those that the log knows so far.
pub(crate) fn read_stop(
    record: &mut Record,
    meters: &[&Meter],
    thermometers: &[&Thermometer],
    noted: &mut Noted,
) -> Option<Stop> {
    let coil = record.need("coil", "\"neck\"", noted).and_then(|n| text(n, "coil", noted));
    let turns = needed(record, "turns", "2500", TURNS, noted);
    let reads = record.need("reads", SHOWN, noted).and_then(|n| shown(n, OHMS, noted));
    let celsius = record.get("celsius").map(|n| within(n, "celsius", CELSIUS, noted));
    let spool = record.get("spool").map(|n| text(n, "spool", noted));
    let bounds = (Length::from_mm(3.0), Length::from_mm(60.0));
    let across = record.get("across").map(|n| length(n, "across", bounds, noted));
    let yes_no = [("true", true), ("false", false)];
    let afresh = record.get("afresh").and_then(|n| choice(n, "afresh", &yes_no, noted)).unwrap_or(false);
    let of = wound_of(record, noted);
    let meter = named(record.get("meter"), meters, |m| &m.name, noted);
    let thermometer = named(record.get("thermometer"), thermometers, |t| &t.name, noted);
    Some(Stop {
        coil: coil?,
        turns: turns?,
        shown: reads?,
        celsius: celsius.map_or(Some(None), |c| c.map(Some))?,
        meter: meter.ok()?,
        thermometer: thermometer.ok()?,
        spool: spool.map_or(Some(None), |s| s.map(Some))?,
        across: across.map_or(Some(None), |a| a.map(Some))?,
        afresh,
        of: of.ok()?,
    })
}

/// What it is wound of, where the entry says it.
fn wound_of(record: &mut Record, noted: &mut Noted) -> Result<Option<WoundOf>, Mistaken> {
    let tape = coil::tape(record, noted);
    if record.get("wire").is_none() {
        return Ok(None);
    }
    let wire = coil::wire(record, noted).ok_or(Mistaken)?;
    Ok(Some(WoundOf { wire, tape: tape.ok_or(Mistaken)? }))
}

/// The one that is named, or else the last one; the outer none is a mistake.
fn named<T: Clone>(
    node: Option<&Node>,
    known: &[&T],
    name_of: impl Fn(&T) -> &str,
    noted: &mut Noted,
) -> Result<Option<T>, Mistaken> {
    let Some(node) = node else { return Ok(known.last().map(|tool| (*tool).clone())) };
    let name = text(node, "its tool", noted).ok_or(Mistaken)?;
    let found = known.iter().rfind(|tool| name_of(tool) == name).map(|tool| (*tool).clone());
    if found.is_none() {
        let hint =
            "meters and thermometers go into the log first: bobbinwright meter, bobbinwright thermometer";
        noted.error(node.span, format!("none called {name:?} has been entered before this"), hint);
    }
    found.map(Some).ok_or(Mistaken)
}

const SHOWN: &str = "ohms(402.1), kilohms(2.055) or open";

/// What a meter shows, in one of its units.
pub(crate) fn shown(node: &Node, bounds: [f64; 2], noted: &mut Noted) -> Option<Shown> {
    if node.kind == NodeKind::Word("open".to_owned()) && node.tag.is_none() {
        return Some(Shown::Open);
    }
    let units = [("ohms", 1.0), ("kilohms", 1e3), ("megohms", 1e6)];
    let found = tagged_number(node).and_then(|(tag, figure)| {
        let (_, one) = units.iter().find(|(word, _)| *word == tag)?;
        Some(figure * one)
    });
    let Some(ohms) = found else {
        noted.error(node.span, "reads: what does the meter show?", format!("write {SHOWN}"));
        return None;
    };
    let [least, most] = bounds;
    if !(least..=most).contains(&ohms) {
        let message = format!("the meter shows {ohms} ohms, which makes no sense here");
        noted.error(node.span, message, format!("use ohms({least}) to kilohms({}), or open", most / 1e3));
        return None;
    }
    Some(Shown::Ohms(Ohms(ohms)))
}

fn needed(
    record: &mut Record,
    field: &'static str,
    example: &str,
    bounds: [f64; 2],
    noted: &mut Noted,
) -> Option<f64> {
    let node = record.need(field, example, noted)?;
    within(node, field, bounds, noted)
}

pub(crate) fn within(node: &Node, field: &str, [least, most]: [f64; 2], noted: &mut Noted) -> Option<f64> {
    let value = number(node, field, noted)?;
    if !(least..=most).contains(&value) {
        noted.error(
            node.span,
            format!("{field} is {value}, which makes no sense here"),
            format!("use {least} to {most}"),
        );
        return None;
    }
    Some(value)
}
