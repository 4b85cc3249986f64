//! The readings log: dated entries that are only ever added to.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::Length;
use crate::aside::set_aside;
use crate::how::How;
use crate::made::{AFTER, Texts, as_said};
use crate::names::Names;
use crate::node::{Node, NodeKind};
use crate::part::PartKind;
use crate::prints::{self, Became, Print};
use crate::problem::{Problem, Severity, SourceFile, Span};
use crate::quantity::Quantity;
use crate::reader::{Noted, Record, choice, lengths, number, text};
use crate::steps::{self, Done};
use crate::tested::{self, Test};
use crate::tool::{self, Tool};
use crate::tried::{self, WrittenTrial};
use crate::typed;
use crate::wound::{self, Meter, Spool, Stop, Thermometer};

/// All entries of a log.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Log {
    /// In the order of the file; entry *n* is the n-th, counted from 1.
    pub entries: Vec<Entry>,
    /// The indices of those that enter a tool: each reading asks for one.
    tools: Vec<usize>,
    /// The number of the file of what was made, where that is one of its own.
    made: Option<usize>,
    /// Numbers of readings that are not believed until they were read again, see [`crate::bare`].
    pub(crate) not_believed: BTreeSet<usize>,
}

/// When a log is read, and as of when.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct When {
    /// The latest day that it can be now: entries of a later day are pointed out. Without it none is.
    pub latest: Option<Date>,
    /// Entries of a later day do not count: the log as it stood then.
    pub as_of: Option<Date>,
}

/// One entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its number, counted from 1.
    pub number: usize,
    /// Where it stands.
    pub span: Span,
    /// Its date.
    pub on: Date,
    /// What it says.
    pub matter: Matter,
}

/// What an entry says.
#[derive(Clone, Debug, PartialEq)]
pub enum Matter {
    /// A measuring tool that later readings are taken with.
    Tool(Tool),
    /// A reading.
    Reading(Reading),
    /// An entry that does not count: it could not be read or is of what the family does not have (both have been
    /// noted), or it is later than the day as of which the log is read.
    Unread,
    /// Something was made, of the family whose log this is; it is no matter of a family that shares its readings.
    OfAnother,
    /// A part was printed.
    Printed(Print),
    /// Something became of a part that was printed.
    Became(Became),
    /// A part that was printed was tried in the body.
    Tried(WrittenTrial),
    /// A step of the work is done.
    Done(Done),
    /// What a resistance is read with.
    Meter(Meter),
    /// What the air beside the winder is read with.
    Thermometer(Thermometer),
    /// What a spool's wire is known to resist.
    Spool(Spool),
    /// The meter was read while a coil was wound.
    Wound(Stop),
    /// A coil was tested.
    Tested(Test),
    /// An earlier reading does not count any more.
    Withdrawal {
        /// Its number.
        entry: usize,
    },
}

/// A quantity read one or more times.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What was read.
    pub quantity: Quantity,
    /// How.
    pub how: How,
    /// Index into [`Log::entries`] of the tool; `None` for figures from a packet.
    pub tool: Option<usize>,
    /// The figures, one or more.
    pub values: Vec<Length>,
    /// Where, when a quantity is read in several spots.
    pub spot: Option<String>,
    /// Earlier readings of the quantity do not count any more: the thing itself has changed. With a
    /// spot, only those of that spot.
    pub afresh: bool,
}

/// The words that entries begin with.
const KINDS: [&str; 12] = [
    "tool",
    "reading",
    "printed",
    "copy",
    "tried",
    "done",
    "meter",
    "thermometer",
    "spool",
    "wound",
    "tested",
    "withdraw",
];

impl Log {
    /// Reads a log. Entries with mistakes are noted and left out; their numbers stay taken.
    pub(crate) fn read(texts: Texts, known: &Names, when: When, noted: &mut Noted) -> Self {
        let (nodes, broken) = texts.entries();
        let mut log = Self { made: texts.made.map(|(file, _)| file), ..Self::default() };
        let own: Vec<&Node> = nodes.iter().filter(|node| !texts.is_of_another(node)).collect();
        let mut aside = set_aside(&own, known, noted).into_iter();
        let before = noted.problems.len();
        for node in &nodes {
            if texts.is_of_another(node) {
                log.leave_out(node.span, Matter::OfAnother);
                continue;
            }
            let is_aside = aside.next().unwrap_or(false);
            let Some(entry) = (!is_aside).then(|| log.entry(node, known, noted)).flatten() else {
                log.leave_out(node.span, Matter::Unread);
                continue;
            };
            if let Matter::Tool(_) = entry.matter {
                log.tools.push(log.entries.len());
            }
            log.entries.push(entry);
        }
        log.note_dates(when, noted);
        log.forget_withdrawn(before, noted);
        noted.problems.extend(broken);
        // Only now: an entry may name one that does not count.
        for entry in &mut log.entries {
            if when.as_of.is_some_and(|day| entry.on > day) {
                entry.matter = Matter::Unread;
            }
        }
        log
    }

    /// An entry that does not count keeps its number.
    fn leave_out(&mut self, span: Span, matter: Matter) {
        let (number, on) = (self.entries.len() + 1, Date::default());
        self.entries.push(Entry { number, span, on, matter });
    }

    /// The number of the first entry after the `known`th that stands in its file's text like this.
    pub(crate) fn entry_like(&self, files: &[SourceFile], text: &str, known: usize) -> Option<usize> {
        let mut later = self.entries.iter().filter(|entry| entry.number > known);
        let is_like = |e: &&Entry| {
            let stands = files.get(e.span.file).and_then(|f| f.text.get(e.span.start..e.span.end));
            stands.is_some_and(|stands| stands == text || self.is_made(e.span) && as_said(stands) == text)
        };
        later.find(is_like).map(|e| e.number)
    }

    /// Is this in the file of what was made?
    pub(crate) fn is_made(&self, span: Span) -> bool {
        self.made == Some(span.file)
    }

    /// Numbers of the entries that later ones withdraw, each with that one's.
    pub(crate) fn withdrawn(&self) -> impl Iterator<Item = (usize, usize)> {
        self.entries.iter().filter_map(|e| match e.matter {
            Matter::Withdrawal { entry } => Some((entry, e.number)),
            _ => None,
        })
    }

    /// How often a part was printed, withdrawn entries too.
    fn prints_of(&self, position: &str, kind: PartKind) -> usize {
        let is_one =
            |e: &&Entry| matches!(&e.matter, Matter::Printed(p) if p.position == position && p.kind == kind);
        self.entries.iter().filter(is_one).count()
    }

    /// Notes entries out of their order, and those of days to come.
    fn note_dates(&self, when: When, noted: &mut Noted) {
        // Of each file: what was made may be entered before what was read on an earlier day.
        let mut days = [None; 2];
        let withdrawn: BTreeSet<usize> = self.withdrawn().map(|(entry, _)| entry).collect();
        let dated = |e: &&Entry| e.on != Date::default() && !withdrawn.contains(&e.number);
        for entry in self.entries.iter().filter(dated) {
            let last = &mut days[usize::from(self.is_made(entry.span))];
            if let Some(last) = last.filter(|last| *last > entry.on) {
                let message = format!("this entry is dated {}, but it follows one of {last}", entry.on);
                noted
                    .problems
                    .push(Problem::notice(entry.span, message).hint("is one of the two dates a slip?"));
            }
            if when.latest.is_some_and(|day| entry.on > day) {
                let message = format!("this entry is dated {}, which is still to come", entry.on);
                noted.problems.push(Problem::notice(entry.span, message).hint("is the date a slip?"));
            }
            *last = Some(entry.on);
        }
    }

    /// What was odd about a reading does not matter once it is withdrawn.
    fn forget_withdrawn(&self, since: usize, noted: &mut Noted) {
        let withdrawn: BTreeSet<usize> = self.withdrawn().map(|(entry, _)| entry).collect();
        // Of each file in its order.
        let is_in = |e: &Entry, span: Span| e.span.file == span.file && e.span.start <= span.start;
        let at = |span: Span| self.entries.iter().rfind(|e| is_in(e, span)).map_or(0, |e| e.number);
        let of_withdrawn = |p: &Problem| {
            p.severity != Severity::Error && p.span.is_some_and(|span| withdrawn.contains(&at(span)))
        };
        let new = noted.problems.split_off(since);
        noted.problems.extend(new.into_iter().filter(|p| !of_withdrawn(p)));
    }

    fn entry(&self, node: &Node, known: &Names, noted: &mut Noted) -> Option<Entry> {
        let kind = node.tag.as_deref().unwrap_or_default();
        if !KINDS.contains(&kind) || !matches!(node.kind, NodeKind::Record(_)) {
            let all = KINDS.map(|kind| format!("{kind}(…)")).join(", ");
            noted.error(node.span, "this is no entry of a log", format!("an entry is one of {all}"));
            return None;
        }
        let mut record = Record::new(kind, vec![node], noted)?;
        let on = date(&mut record, noted);
        if self.is_made(node.span)
            && let Some(after) = record.get(AFTER)
        {
            number(after, AFTER, noted)?;
        }
        let matter = match kind {
            "tool" => tool::read(&mut record, noted).map(Matter::Tool),
            "reading" => self.reading(&mut record, known, noted).map(Matter::Reading),
            "printed" => prints::read_print(&mut record, noted).map(Matter::Printed),
            "copy" => prints::read_state(&mut record, |position, kind| self.prints_of(position, kind), noted)
                .map(Matter::Became),
            "tried" => tried::read_trial(&mut record, |position, kind| self.prints_of(position, kind), noted)
                .map(Matter::Tried),
            "done" => steps::read(&mut record, noted).map(Matter::Done),
            "meter" => wound::read_meter(&mut record, noted).map(Matter::Meter),
            "thermometer" => wound::read_thermometer(&mut record, noted).map(Matter::Thermometer),
            "spool" => wound::read_spool(&mut record, noted).map(Matter::Spool),
            "tested" => tested::read(&mut record, noted).map(Matter::Tested),
            "wound" => self.stop(&mut record, noted).map(Matter::Wound),
            _ => self.withdrawal(&mut record, noted),
        };
        record.finish(noted);
        Some(Entry { number: self.entries.len() + 1, span: node.span, on: on?, matter: matter? })
    }

    /// What the entries so far say of a kind, in their order.
    fn known<'l, T>(&'l self, of: fn(&'l Matter) -> Option<&'l T>) -> Vec<&'l T> {
        self.entries.iter().filter_map(|e| of(&e.matter)).collect()
    }

    fn stop(&self, record: &mut Record, noted: &mut Noted) -> Option<Stop> {
        let meters = self.known(|m| if let Matter::Meter(one) = m { Some(one) } else { None });
        let thermometers = self.known(|m| if let Matter::Thermometer(one) = m { Some(one) } else { None });
        wound::read_stop(record, &meters, &thermometers, noted)
    }

    fn reading(&self, record: &mut Record, known: &Names, noted: &mut Noted) -> Option<Reading> {
        let of = record.need("of", "\"neck.rout.length\"", noted);
        let got = record.need("got", "mm([12.31, 12.33])", noted);
        let how = record.get("how");
        let within = record.get("within");
        let with = record.get("with");
        // A spot is one place however it is spelt.
        let spot = record.get("spot").and_then(|n| text(n, "spot", noted)).map(|s| s.trim().to_lowercase());
        let yes_no = [("true", true), ("false", false)];
        let afresh = record.get("afresh").and_then(|n| choice(n, "afresh", &yes_no, noted)).unwrap_or(false);
        let of = of?;
        let name = text(of, "of", noted)?;
        let quantity = match known.quantity(&name) {
            Ok(quantity) => quantity,
            Err(why) => {
                noted.problems.push(Problem::error(of.span, why));
                return None;
            }
        };
        let got = got?;
        let values = lengths(got, &name, noted);
        for value in &values {
            note_absurd(*value, &quantity, got, noted)?;
        }
        note_other_unit(&values, &quantity, got, self.entries.len() + 1, noted);
        let how = How::read(how, within, &quantity, noted)?;
        let tool = match how {
            How::Packet(_) | How::Planned(_) => None,
            _ => Some(self.tool_of(with, record.span(), noted)?),
        };
        (!values.is_empty()).then_some(Reading { quantity, how, tool, values, spot, afresh })
    }

    /// The tool a reading was taken with: the named one, or the last one entered.
    fn tool_of(&self, with: Option<&Node>, reading: Span, noted: &mut Noted) -> Option<usize> {
        let mut tools = self.tools.iter().rev().filter_map(|i| match &self.entries.get(*i)?.matter {
            Matter::Tool(tool) => Some((*i, tool)),
            _ => None,
        });
        let Some(with) = with else {
            let last = tools.next();
            if last.is_none() {
                noted.error_once(
                    "no tool".to_owned(),reading, "no tool has been entered before this reading", "enter the caliper first: tool(on: …, name: \"caliper\", resolution: mm(0.01), mpe_outside: mm(0.02))");
            }
            return last.map(|(i, _)| i);
        };
        let name = text(with, "with", noted)?;
        let found = tools.find(|(_, t)| t.name == name);
        if found.is_none() {
            noted.error_once(
                format!("no tool {name}"),
                with.span,
                format!("no tool called {name:?} has been entered before this reading"),
                self.tools_to_use(),
            );
        }
        found.map(|(i, _)| i)
    }

    /// The tools that there are, for somebody who named another one.
    fn tools_to_use(&self) -> String {
        let names = self.entries.iter().filter_map(|e| match &e.matter {
            Matter::Tool(tool) => Some(format!("{:?}", tool.name)),
            _ => None,
        });
        let mut known: Vec<String> = names.collect();
        known.dedup();
        let known = if known.is_empty() { String::new() } else { format!("there is {}; ", known.join(", ")) };
        format!("{known}another one goes into the log first: bobbinwright tool")
    }

    fn withdrawal(&self, record: &mut Record, noted: &mut Noted) -> Option<Matter> {
        let node = record.need("entry", "3", noted)?;
        record.get("why");
        let entry = number(node, "entry", noted)?;
        // It counts those of its own file.
        let before: Vec<&Entry> = self.entries.iter().filter(|e| e.span.file == node.span.file).collect();
        let exists = entry.fract() == 0.0 && entry >= 1.0 && entry <= before.len() as f64;
        if !exists {
            let message = format!("there is no entry {entry} before this one");
            noted.error(node.span, message, format!("use 1 to {}", before.len()));
            return None;
        }
        let withdrawn = before[entry as usize - 1];
        let is_final = matches!(
            &withdrawn.matter,
            Matter::Tool(_) | Matter::Meter(_) | Matter::Thermometer(_) | Matter::Withdrawal { .. }
        );
        if is_final {
            let message = format!("entry {entry} is no reading; a tool or a withdrawal can't be withdrawn");
            noted.error(
                node.span,
                message,
                "enter a tool again under another name, or add the reading again",
            );
            return None;
        }
        let entry = withdrawn.number;
        let same = Matter::Withdrawal { entry };
        if let Some(earlier) = self.entries.iter().find(|e| e.matter == same) {
            let message = format!("entry {entry} was withdrawn already, by entry {}", earlier.number);
            noted
                .problems
                .push(Problem::notice(node.span, message).hint("is this the number of another one?"));
        }
        Some(same)
    }
}

fn date(record: &mut Record, noted: &mut Noted) -> Option<Date> {
    let node = record.need("on", "\"2026-10-03\"", noted)?;
    let written = text(node, "on", noted)?;
    let date = written.parse::<Date>();
    if date.is_err() {
        noted.error(node.span, format!("{written:?} is not a date"), "write year-month-day: \"2026-10-03\"");
    }
    date.ok()
}

/// Refuses a figure that can't be the quantity, and says when another unit would make sense.
fn note_absurd(value: Length, quantity: &Quantity, got: &Node, noted: &mut Noted) -> Option<()> {
    let (low, high) = quantity.sensible();
    let sensible = |v: Length| v >= low && v <= high;
    if sensible(value) {
        return Some(());
    }
    let unit = got.tag.as_deref();
    let hint = if unit == Some("mm") && sensible(value * 25.4) {
        let digits = typed::digits(value, got);
        format!("was it read in inches? say so: {digits}in, or inch({digits}) in the file")
    } else if unit == Some("inch") && sensible(value / 25.4) {
        let digits = typed::digits(value, got);
        format!("was it read in millimetres? say so: {digits}mm, or mm({digits}) in the file")
    } else {
        format!("{} would make sense", typed::range((low, high), got))
    };
    let value = typed::length(value, got);
    noted.error(got.span, format!("{quantity} is {value}, which can't be the {}", quantity.describe()), hint);
    None
}

/// Points out the first figure that makes sense in either unit, but would be usual only in the other one.
fn note_other_unit(values: &[Length], quantity: &Quantity, got: &Node, entry: usize, noted: &mut Noted) {
    let (low, high) = quantity.usual();
    let usual = |v: Length| v >= low && v <= high;
    let (other, typed, meant): (fn(Length) -> Length, _, _) = match got.tag.as_deref() {
        Some("mm") => (|v| v * 25.4, "mm", "inch"),
        _ => (|v| v / 25.4, "inch", "mm"),
    };
    let Some(value) = values.iter().copied().find(|v| !usual(*v) && usual(other(*v))) else { return };
    let other = other(value);
    let message = format!(
        "entry {entry}: {quantity} is {value}, an unusual {}; read in {meant} it would be {other}",
        quantity.describe()
    );
    let hint = format!("it counts as typed, in {typed}; if it was {meant}, withdraw it and enter it again");
    noted.problems.push(Problem::notice(got.span, message).hint(hint));
}
