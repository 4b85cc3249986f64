//! The log's entries, to be shown.

use jiff::civil::Date;

use crate::live::live_readings;
use crate::log::{Entry, Matter};
use crate::quantity::Quantity;
use crate::steps::Done;
use crate::survey::Survey;
use crate::tool::Tool;

/// An entry of the log.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its number, counted from 1.
    pub number: usize,
    /// Its day.
    pub on: Date,
    /// As it stands in the file, with the number under which a withdrawn entry is listed.
    pub text: String,
    /// What was read, when it is a reading.
    pub quantity: Option<Quantity>,
    /// It is a reading that counts: it was not withdrawn, and the thing was not read afresh since.
    pub counts: bool,
    /// It says what was done or read, and was not withdrawn: it can be.
    pub is_open: bool,
}

impl Survey {
    /// In which spots a quantity was read, and how often in each: readings that count. None is of no spot.
    pub fn readings_at(&self, quantity: &Quantity) -> Vec<(Option<String>, usize)> {
        let mut all: Vec<(Option<String>, usize)> = Vec::new();
        for (_, reading) in live_readings(self.log()).into_iter().filter(|(_, r)| r.quantity == *quantity) {
            let count = reading.values.len();
            match all.iter_mut().find(|(spot, _)| *spot == reading.spot) {
                Some((_, known)) => *known += count,
                None => all.push((reading.spot.clone(), count)),
            }
        }
        all
    }

    /// The tool of a name, as it was entered last.
    pub fn tool(&self, name: &str) -> Option<&Tool> {
        self.log().entries.iter().rev().find_map(|entry| match &entry.matter {
            Matter::Tool(tool) if tool.name == name => Some(tool),
            _ => None,
        })
    }

    /// The steps after printing that are done, in the order of the log, each with its day.
    pub fn done(&self) -> Vec<(Date, Done)> {
        let withdrawn: Vec<usize> = self.log().withdrawn().map(|(entry, _)| entry).collect();
        let counts = self.log().entries.iter().filter(|entry| !withdrawn.contains(&entry.number));
        // What was done with a coil that was cut off since is not done with the one on the bobbin now.
        let is_of_now = |entry: &Entry, position: &str| {
            self.winds.begun_anew(position).is_none_or(|begun| entry.number > begun)
        };
        let done = counts.filter_map(|entry| match &entry.matter {
            Matter::Done(done) if is_of_now(entry, &done.position) => Some((entry.on, done.clone())),
            _ => None,
        });
        done.collect()
    }

    /// All entries, in the order of the log; none of what another family made.
    pub fn lines(&self) -> Vec<Line> {
        let live: Vec<usize> = live_readings(self.log()).iter().map(|(e, _)| e.number).collect();
        let withdrawn: Vec<usize> = self.log().withdrawn().map(|(entry, _)| entry).collect();
        let is_said = |matter: &Matter| {
            let done =
                matches!(matter, Matter::Printed(_) | Matter::Became(_) | Matter::Tried(_) | Matter::Done(_));
            done || matches!(matter, Matter::Reading(_) | Matter::Wound(_) | Matter::Tested(_))
        };
        let text = |span: crate::Span| {
            let file = self.problems.files.get(span.file)?;
            file.text.get(span.start..span.end).map(str::to_owned)
        };
        let line = |entry: &Entry| Line {
            number: entry.number,
            on: entry.on,
            text: self.as_counted(entry, text(entry.span).unwrap_or_default()),
            quantity: match &entry.matter {
                Matter::Reading(reading) => Some(reading.quantity.clone()),
                _ => None,
            },
            counts: live.contains(&entry.number),
            is_open: is_said(&entry.matter) && !withdrawn.contains(&entry.number),
        };
        let own = self.log().entries.iter().filter(|entry| entry.matter != Matter::OfAnother);
        own.map(line).collect()
    }

    /// A withdrawal counts the entries of its own file; here they are counted as they are listed.
    fn as_counted(&self, entry: &Entry, text: String) -> String {
        let Matter::Withdrawal { entry: number } = entry.matter else { return text };
        let all = self.log().entries.iter().take(number);
        let there = all.filter(|e| e.span.file == entry.span.file).count();
        text.replacen(&format!("entry: {there}"), &format!("entry: {number}"), 1)
    }
}
