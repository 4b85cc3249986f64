//! What was read over strings and holes becomes a distance between their middles by their diameters.
//!
//! A diameter that was read afresh is another string's, or that of a hole which was drilled again: what was read over it
//! before was read over the one that was there then, and keeps that one's diameter.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::how::How;
use crate::live::readings_until;
use crate::log::{Entry, Log, Matter, Reading};
use crate::over::Over;
use crate::problem::{Problem, Span};
use crate::quantity::{InstrumentQuantity, PositionQuantity as P, Quantity};
use crate::reader::Noted;
use crate::series::Series;
use crate::{Estimate, Length};

/// Is it one that other readings are taken over?
pub(crate) fn is_diameter(q: &Quantity) -> bool {
    match q {
        Quantity::Instrument(InstrumentQuantity::Gauge(_)) | Quantity::At(_, P::ScrewHole) => true,
        Quantity::Piece(_, size) => size.is_hole(),
        _ => false,
    }
}

/// The diameters that a way of reading is taken over; none where it reads the quantity itself. One string or hole alone is
/// named twice.
fn over_which(reading: &Reading, strings: usize) -> Option<[Quantity; 2]> {
    if matches!(reading.how, How::Direct(_) | How::Packet(_) | How::Planned(_)) {
        return None;
    }
    let gauge = |n: usize| Quantity::Instrument(InstrumentQuantity::Gauge(n));
    Some(match &reading.quantity {
        Quantity::At(_, P::StringPair(a, b)) => [gauge(*a), gauge(*b)],
        Quantity::At(_, P::BassSide) => [gauge(strings), gauge(strings)],
        Quantity::At(_, P::TrebleSide) => [gauge(1), gauge(1)],
        Quantity::At(p, P::ScrewSide(..) | P::EarSide(..)) => {
            let hole = Quantity::At(p.clone(), P::ScrewHole);
            [hole.clone(), hole]
        }
        other => match other.holes() {
            Some(hole) => [hole.clone(), hole],
            None => [gauge(1), gauge(strings)],
        },
    })
}

/// How much of each diameter has to be added to a reading.
fn share(series: &Series, over: &Over) -> f64 {
    let reading = series.reading;
    // A screw in an ear stands beyond the side: what is near there is less far out, and read as minus.
    let outwards = if series.mean() < Length::ZERO { -1.0 } else { 1.0 };
    match reading.how {
        How::Direct(_) | How::Packet(_) | How::Planned(_) => 0.0,
        How::StringsOuter | How::HolesFar => -0.5,
        How::StringsInner | How::HolesNear => 0.5,
        // Half of one string or hole, named twice. Along a row that is slanted to it a string is wider.
        How::StringNear => 0.25 / over.cosine(&reading.quantity),
        How::StringFar => -0.25 / over.cosine(&reading.quantity),
        How::HoleNear => 0.25 * outwards,
        How::HoleFar => -0.25 * outwards,
    }
}

/// What has to be added to a reading to get the quantity, by diameters of today or, with an entry, of before it.
///
/// # Errors
///
/// The diameter that is not known yet.
pub(crate) fn correction(
    series: &Series,
    over: &Over,
    known: impl Fn(&Quantity, Option<usize>) -> Option<Estimate>,
) -> Result<Estimate, Quantity> {
    let diameters = over_which(series.reading, over.strings).into_iter().flatten();
    let factor = share(series, over);
    let mut sum = Estimate::default();
    for (which, diameter) in diameters.enumerate() {
        let until = series.until.get(which).copied().flatten();
        let found = known(&diameter, until).ok_or(diameter)?;
        sum = sum + found * factor;
    }
    Ok(sum)
}

/// A diameter that was read afresh.
struct Afresh {
    entry: usize,
    on: Date,
    span: Span,
}

/// Diameters that were there when something was read over them, and are no more.
pub(crate) struct Earlier {
    /// The entries in which each was read afresh after something had counted.
    afresh: BTreeMap<Quantity, Vec<Afresh>>,
    /// What was read afresh itself, the last time: its day and its entry.
    renewed: BTreeMap<Quantity, (Date, usize)>,
    /// Those that a reading needs: a diameter, and the entry before which it counted.
    needed: BTreeSet<(Quantity, usize)>,
}

impl Earlier {
    /// Of all readings that count.
    pub fn of<'l>(log: &Log, counted: impl Iterator<Item = (&'l Entry, &'l Reading)>, over: &Over) -> Self {
        let withdrawn: BTreeSet<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
        let mut earlier = Self { afresh: BTreeMap::new(), renewed: BTreeMap::new(), needed: BTreeSet::new() };
        let mut was_read: BTreeSet<&Quantity> = BTreeSet::new();
        for entry in &log.entries {
            let Matter::Reading(reading) = &entry.matter else { continue };
            if withdrawn.contains(&entry.number)
                || log.not_believed.contains(&entry.number)
                || !is_diameter(&reading.quantity)
            {
                continue;
            }
            if reading.afresh && was_read.contains(&reading.quantity) {
                let all = earlier.afresh.entry(reading.quantity.clone()).or_default();
                all.push(Afresh { entry: entry.number, on: entry.on, span: entry.span });
            }
            was_read.insert(&reading.quantity);
        }
        if earlier.afresh.is_empty() {
            return earlier;
        }
        let counted: Vec<_> = counted.collect();
        for (entry, reading) in counted.iter().filter(|(_, reading)| reading.afresh) {
            earlier.renewed.insert(reading.quantity.clone(), (entry.on, entry.number));
        }
        for (entry, reading) in counted {
            let until = earlier.until(entry, reading, over);
            let diameters = over_which(reading, over.strings).into_iter().flatten();
            earlier.needed.extend(diameters.zip(until).filter_map(|(d, until)| Some((d, until?))));
        }
        earlier
    }

    /// The entry before which each diameter counted that was there when something was read over it; none where that is
    /// the one of today.
    pub fn until(&self, entry: &Entry, reading: &Reading, over: &Over) -> Vec<Option<usize>> {
        let Some(diameters) = over_which(reading, over.strings).filter(|_| !self.afresh.is_empty()) else {
            return Vec::new();
        };
        // Who reads it all afresh on one day reads it over the new ones, in whatever order.
        let renewed = self.renewed.get(&reading.quantity).filter(|(_, from)| *from <= entry.number);
        let is_after = |a: &&Afresh| a.entry > entry.number && renewed.is_none_or(|(on, _)| *on != a.on);
        let after = |d: &Quantity| self.afresh.get(d)?.iter().find(is_after).map(|a| a.entry);
        let until: Vec<Option<usize>> = diameters.iter().map(after).collect();
        if until.iter().all(Option::is_none) { Vec::new() } else { until }
    }

    /// What was read of those that are needed.
    pub fn series<'l>(&self, log: &'l Log) -> Vec<((Quantity, usize), Vec<Series<'l>>)> {
        let of_one = |which: &(Quantity, usize)| {
            let mut all = Vec::new();
            for read in readings_until(log, &which.0, which.1) {
                Series::sort_in(&mut all, read, &[]);
            }
            (which.clone(), all)
        };
        self.needed.iter().map(of_one).collect()
    }

    /// Says what was read over others than are there now.
    pub fn note<'l>(
        &self,
        counted: impl Iterator<Item = (&'l Entry, &'l Reading)>,
        over: &Over,
        noted: &mut Noted,
    ) {
        // By position and the last entry that changed a diameter under its readings.
        let mut found: BTreeMap<(String, bool), (usize, Vec<String>)> = BTreeMap::new();
        let mut add = |of: &Quantity, is_hole: bool, until: usize| {
            let at = of.position().unwrap_or_default().to_owned();
            let (last, names) = found.entry((at, is_hole)).or_default();
            *last = until.max(*last);
            let name = of.to_string();
            if !names.contains(&name) {
                names.push(name);
            }
        };
        for (entry, reading) in counted {
            let is_hole = reading.quantity.holes().is_some()
                || matches!(reading.quantity, Quantity::At(_, P::ScrewSide(..) | P::EarSide(..)));
            if let Some(until) = self.until(entry, reading, over).into_iter().flatten().max() {
                add(&reading.quantity, is_hole, until);
            }
            // A string of another gauge lies otherwise on its saddle.
            if let Quantity::At(_, P::StringHeight(n)) = reading.quantity {
                let gauge = Quantity::Instrument(InstrumentQuantity::Gauge(n));
                let is_later = |a: &&Afresh| a.entry > entry.number && !(reading.afresh && a.on == entry.on);
                let after = self.afresh.get(&gauge).and_then(|all| all.last()).filter(is_later);
                if let Some(until) = after.map(|a| a.entry) {
                    add(&reading.quantity, false, until);
                }
            }
        }
        for ((_, is_hole), (last, names)) in found {
            let span = self.afresh.values().flatten().find(|a| a.entry == last).map(|a| a.span);
            let over = if is_hole { "holes of other diameters" } else { "strings of other gauges" };
            let message = format!(
                "{} {} read over {over} than are there now (before entry {last})",
                joined(&names),
                if names.len() == 1 { "was" } else { "were" },
            );
            let hint = "each counts with what was there when it was read, as if nothing had moved; read it once more, afresh. If only a reading of the diameter was wrong, withdraw that reading";
            noted.problems.push(Problem::notice(span.unwrap_or_default(), message).hint(hint));
        }
    }
}

/// More are not said one by one.
const MANY: usize = 8;

/// A list as one says it.
fn joined(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [one, other] => format!("{one} and {other}"),
        [first @ .., _, _] if names.len() > MANY + 1 => {
            format!("{} and {} others", first[..MANY].join(", "), names.len() - MANY)
        }
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}
