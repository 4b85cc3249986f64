//! Coils that were wound, as the log knows them: the stops of each that count, and the spools that are known.

use std::collections::HashSet;

use jiff::civil::Date;

use crate::Estimate;
use crate::bobbins::{Bobbins, OF_RODS};
use crate::coil::{Coil, End};
use crate::log::{Entry, Log, Matter};
use crate::magnets::North;
use crate::measured::Measured;
use crate::problem::{Problem, Span};
use crate::reader::Noted;
use crate::steps::WireEnd;
use crate::tested::Test;
use crate::wound::{Spool, Stop, WoundOf};

/// All that a log knows of winding.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Winds {
    /// In the order in which they were begun.
    pub coils: Vec<WoundCoil>,
    /// What is stated of spools, the latest word on each last.
    pub spools: Vec<Spool>,
    /// What was tested, with the entry.
    tests: Vec<(usize, Test)>,
    /// Which end of the wire went to the output when it was soldered, by position, with the entry.
    hot: Vec<(usize, String, End)>,
}

/// How leads and rods are said to be when something is tested of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Leads {
    /// The end that leads to the output, where that is known.
    pub hot: Option<End>,
    /// Which end of the rods the family states as north.
    pub north: North,
}

/// A coil as the log knows it: the stops that count, by their turns.
#[derive(Clone, Debug, PartialEq)]
pub struct WoundCoil {
    /// The position that it was wound for.
    pub position: String,
    /// The entry of each stop, its day, and what was read.
    pub stops: Vec<(usize, Date, Stop)>,
    /// It is the one on the bobbin; none was begun after it.
    pub is_last: bool,
    /// It was said to be done when it had all the turns that were wanted: no more come on it.
    pub is_done: bool,
    /// The rods that it was wound on, where others were read since then: their diameter and length.
    pub rods: Option<[Estimate; 2]>,
    /// Since when the bobbin is another than the one that it is on.
    left: Option<usize>,
    /// The entry at which its turns became as many as there are now: what was tested before is not of this coil any more.
    changed: usize,
    /// The entry of its first stop.
    begun: usize,
    /// Where its last stop stands.
    pub(crate) span: Span,
}

impl WoundCoil {
    /// Of which spool its wire is: as its last stop that names one says.
    pub fn spool(&self) -> Option<&str> {
        self.stops.iter().rev().find_map(|(.., stop)| stop.spool.as_deref())
    }

    /// How many turns are on it.
    pub fn turns(&self) -> f64 {
        self.stops.last().map_or(0.0, |(.., stop)| stop.turns)
    }

    /// Says that it is on a bobbin that is there no more.
    fn is_left_behind(&self, since: usize) -> Problem {
        let message = format!(
            "the {} coil of {:.0} turns was wound before entry {since}, which is of other rods or of a plate that broke: it counts for its spool and for how you wind, and not as on the {} bobbin",
            self.position,
            self.turns(),
            self.position
        );
        let hint = format!(
            "if it is on the same rods and plates, withdraw entry {since}, and read rods again without saying that they are others"
        );
        Problem::reminder(self.span, message).hint(hint)
    }

    /// What it is wound of, as it was stated when its last stop was entered that says so.
    pub fn of(&self) -> Option<WoundOf> {
        self.stops.iter().rev().find_map(|(.., stop)| stop.of)
    }
}

impl Winds {
    pub(crate) fn of(log: &Log, measured: &Measured, noted: &mut Noted) -> Self {
        let bobbins = &measured.bobbins;
        let withdrawn: HashSet<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
        let live = || log.entries.iter().filter(|e| !withdrawn.contains(&e.number));
        let stops = live().filter_map(|e| match &e.matter {
            Matter::Wound(stop) => Some((e, stop)),
            _ => None,
        });
        let spools = live().filter_map(|e| match &e.matter {
            Matter::Spool(spool) => Some(spool.clone()),
            _ => None,
        });
        let tests = live().filter_map(|e| match &e.matter {
            Matter::Tested(test) => Some((e.number, test.clone())),
            _ => None,
        });
        let hot = live().filter_map(|e| match &e.matter {
            Matter::Done(done) => Some((e.number, done.position.clone(), end(done.hot?))),
            _ => None,
        });
        let mut coils = coils(stops, bobbins, noted);
        let done = live().filter_map(|e| match &e.matter {
            Matter::Done(done) => Some((e.number, done.position.as_str(), done.turns?)),
            _ => None,
        });
        for (entry, position, turns) in done {
            let own = coils.iter_mut().filter(|coil| coil.is_last && coil.position == position);
            own.for_each(|coil| coil.is_done |= entry > coil.changed && coil.turns() == f64::from(turns));
        }
        let mut hot: Vec<(usize, String, End)> = hot.collect();
        let mut tests: Vec<(usize, Test)> = tests.collect();
        tests.retain(|(entry, _)| bobbins.last_rods().is_none_or(|others| *entry > others));
        for coil in &mut coils {
            coil.rods = rods_of_then(coil.begun, measured);
            let since = bobbins.other_since(&coil.position, coil.begun);
            coil.left = since.map(|since| since.from);
            let Some(since) = since.filter(|_| coil.is_last) else { continue };
            coil.is_last = false;
            noted.problems.push(coil.is_left_behind(since.entry));
            let is_before = |entry: usize, of: &str| entry < since.from && of == coil.position;
            hot.retain(|(entry, of, _)| !is_before(*entry, of));
            let own = tests.iter_mut().filter(|(entry, test)| is_before(*entry, &test.coil));
            own.for_each(|(_, test)| *test = test.of_rods());
        }
        Self { coils, spools: spools.collect(), tests, hot }
    }

    /// Was a coil wound for a position that is on its bobbin, or on the one that it had until rods or plates became others?
    pub fn is_wound(&self, position: &str) -> bool {
        self.coils.iter().any(|coil| coil.position == position && (coil.is_last || coil.left.is_some()))
    }

    /// How leads and rods of a position are said to be: by the log, or as its family states them.
    pub(crate) fn leads(&self, position: &str, coil: Option<&Coil>, north: North) -> Leads {
        Leads { hot: self.hot(position).or(coil.map(|coil| coil.hot)), north }
    }

    /// What was tested of the coil on a position's bobbin, the last word on each; none where nothing was. Of a coil that
    /// was wound on or off since then, only what was read of its rods is left.
    pub fn tested(&self, position: &str) -> Option<Test> {
        let [begun, changed] = self.on_bobbin(position).map_or([0; 2], |coil| [coil.begun, coil.changed]);
        // Where one was cut off, what was tested before was another coil, and maybe another bobbin; rods are tested
        // before the first one is begun too.
        let is_first = !self.coils.iter().any(|coil| coil.position == position && !coil.is_last);
        let after = if is_first { 0 } else { begun };
        let mut own = self.tests.iter().filter(|(entry, test)| test.coil == position && *entry > after);
        let counts = |(entry, test): &(usize, Test)| {
            if *entry > changed { test.clone() } else { test.of_rods() }
        };
        let mut test = counts(own.next()?);
        own.for_each(|later| test.then(&counts(later)));
        Some(test)
    }

    /// The end of a position's wire that leads to the output, as it was entered when it was done.
    pub fn hot(&self, position: &str) -> Option<End> {
        let begun = self.on_bobbin(position).map_or(0, |coil| coil.begun);
        let own = self.hot.iter().rfind(|(entry, of, _)| of == position && *entry > begun);
        own.map(|(.., hot)| *hot)
    }

    /// The coil on a position's bobbin, as far as it is wound.
    pub fn on_bobbin(&self, position: &str) -> Option<&WoundCoil> {
        self.coils.iter().find(|coil| coil.is_last && coil.position == position)
    }

    /// The same where the bobbins are empty, or others: what was wound before tells only of spools and hands.
    #[must_use]
    pub(crate) fn with_empty_bobbins(mut self) -> Self {
        self.coils.iter_mut().for_each(|coil| coil.is_last = false);
        // Rods stay what they are, whatever is wound on them next.
        self.tests.iter_mut().for_each(|(_, test)| *test = test.of_rods());
        self.hot.clear();
        self
    }

    /// From which entry on a position's coil is another than there was before: that at which the one on the bobbin was begun, or
    /// since which the bobbin is another.
    pub(crate) fn begun_anew(&self, position: &str) -> Option<usize> {
        let own = || self.coils.iter().filter(|coil| coil.position == position);
        match self.on_bobbin(position) {
            Some(coil) => Some(coil.begun).filter(|_| own().any(|other| !other.is_last)),
            None => own().filter_map(|coil| coil.left).max(),
        }
    }

    /// What was stated last of a spool.
    pub fn spool(&self, name: &str) -> Option<&Spool> {
        self.spools.iter().rfind(|spool| spool.name == name)
    }
}

/// The coils that stops are of, in the order in which they were begun. Turns that go down were wound off again: what was
/// read above them does not count any more.
fn coils<'l>(
    stops: impl Iterator<Item = (&'l Entry, &'l Stop)>,
    bobbins: &Bobbins,
    noted: &mut Noted,
) -> Vec<WoundCoil> {
    let mut all: Vec<WoundCoil> = Vec::new();
    for (Entry { number: entry, span, on, .. }, stop) in stops {
        let begun = || WoundCoil {
            position: stop.coil.clone(),
            stops: vec![(*entry, *on, stop.clone())],
            is_last: true,
            is_done: false,
            rods: None,
            left: None,
            changed: *entry,
            begun: *entry,
            span: *span,
        };
        let same = |coil: &&mut WoundCoil| coil.is_last && coil.position == stop.coil;
        let Some(coil) = all.iter_mut().find(same) else {
            all.push(begun());
            continue;
        };
        let is_on_another =
            bobbins.other_since(&coil.position, coil.begun).is_some_and(|since| since.from < *entry);
        if stop.afresh || is_on_another {
            coil.is_last = false;
            all.push(begun());
            continue;
        }
        let above = coil.stops.iter().rfind(|(.., before)| before.turns > stop.turns);
        if let Some((other, _, before)) = above {
            let message = format!(
                "entry {entry} is of {} turns, fewer than the {} of entry {other}: taken as wound off, so that entries above it do not count",
                stop.turns, before.turns
            );
            let hint = "if it is a slip, withdraw it; if it is another coil, enter it with --afresh";
            noted.problems.push(Problem::notice(*span, message).hint(hint));
        }
        if coil.stops.last().is_none_or(|(.., before)| before.turns != stop.turns) {
            coil.changed = *entry;
        }
        coil.stops.retain(|(.., before)| before.turns <= stop.turns);
        coil.stops.push((*entry, *on, stop.clone()));
        coil.span = *span;
    }
    all
}

/// The rods that were there when a coil was begun; none where they still are.
fn rods_of_then(begun: usize, measured: &Measured) -> Option<[Estimate; 2]> {
    let since = OF_RODS.map(|of| (measured.bobbins.rods_since(&of, begun), of));
    if since.iter().all(|(since, _)| since.is_none()) {
        return None;
    }
    let [diameter, length] = since.map(|(since, of)| match since {
        Some(since) => measured.earlier.get(&(of, since)).cloned(),
        None => measured.estimates.get(&of).cloned(),
    });
    Some([diameter?, length?])
}

fn end(end: WireEnd) -> End {
    match end {
        WireEnd::Start => End::Start,
        WireEnd::Finish => End::Finish,
    }
}
