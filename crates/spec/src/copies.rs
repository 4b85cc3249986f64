//! Printed parts, copy by copy: which build each was drawn for, and what became of it.
//!
//! A part is printed more than once, from files of different days. What is read on the bench is read of one of them, and
//! what it was drawn to is what its own build says, whatever was built since.

use std::collections::HashMap;
use std::fmt;

use jiff::civil::Date;

use crate::log::{Entry, Log, Matter};
use crate::part::PartKind;
use crate::prints::{Became, Print, State, part_name};
use crate::quantity::Quantity;

/// A part that was printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Copy {
    /// Where it belongs.
    pub position: String,
    /// What it is.
    pub kind: PartKind,
    /// Which one of those that were printed of it, from 1 on.
    pub number: usize,
    /// The entry that says so.
    pub entry: usize,
    /// The day it was printed.
    pub on: Date,
    /// The mark of the build that its file is of.
    pub build: String,
    /// What became of it.
    pub state: State,
    /// Since which day and entry its outside is finished.
    finished: Option<(Date, usize)>,
    /// By which entries that is so, and what it was before.
    became: Vec<(usize, State)>,
    /// It is the one on the bench: the last that was printed, by its day, and is neither spare nor broken.
    pub is_current: bool,
    /// The entry that withdraws the print, and its day.
    withdrawn_by: Option<(usize, Date)>,
}

impl Copy {
    /// What it was before an entry.
    fn state_before(&self, entry: usize) -> State {
        self.became.iter().rfind(|(by, _)| *by < entry).map_or(State::InUse, |(_, state)| *state)
    }

    fn becomes(&mut self, state: State, by: &Entry) {
        // In use again after that, and nothing in between: it was not finished.
        if (self.state, state) == (State::Finished, State::InUse) {
            self.finished = None;
        }
        self.state = state;
        self.became.push((by.number, state));
        if state == State::Finished {
            self.finished = self.finished.or(Some((by.on, by.number)));
        }
    }

    fn is_of(&self, position: &str, kind: PartKind) -> bool {
        self.position == position && self.kind == kind
    }

    /// Its outside is finished.
    pub fn is_finished(&self) -> bool {
        self.finished.is_some()
    }

    /// Was it before an entry of a day?
    pub fn is_finished_before(&self, on: Date, entry: usize) -> bool {
        self.finished.is_some_and(|since| since < (on, entry))
    }

    /// What its files are called: `neck-cover`.
    pub fn part(&self) -> String {
        part_name(&self.position, self.kind)
    }
}

/// `neck-cover, copy 2`.
impl fmt::Display for Copy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, copy {}", self.part(), self.number)
    }
}

/// A plate of a bobbin that was printed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Plate {
    pub position: String,
    pub kind: PartKind,
    /// The entry that says so.
    pub printed: usize,
    /// The entry that says that it broke.
    pub broken: Option<usize>,
}

/// All copies that a log knows.
#[derive(Default)]
pub(crate) struct Copies {
    /// In the order in which they were printed.
    all: Vec<Copy>,
    /// Which of them are of a part.
    of_part: HashMap<(String, PartKind), Vec<usize>>,
    /// Those whose print is withdrawn: what was read while it stood is nobody else's.
    withdrawn: Vec<Copy>,
}

impl Copies {
    pub fn of(log: &Log) -> Self {
        let day = |by: usize| log.entries.iter().find(|e| e.number == by).map_or(Date::MIN, |e| e.on);
        let withdrawn: HashMap<usize, (usize, Date)> =
            log.withdrawn().map(|(entry, by)| (entry, (by, day(by)))).collect();
        let mut copies = Self::default();
        // Withdrawn ones keep their numbers.
        let mut counts: HashMap<(&str, PartKind), usize> = HashMap::new();
        for entry in &log.entries {
            let withdrawn_by = withdrawn.get(&entry.number).copied();
            match &entry.matter {
                Matter::Printed(Print { position, kind, build }) => {
                    let number = counts.entry((position, *kind)).or_default();
                    *number += 1;
                    copies.add(Copy {
                        position: position.clone(),
                        kind: *kind,
                        number: *number,
                        entry: entry.number,
                        on: entry.on,
                        build: build.clone(),
                        state: State::InUse,
                        finished: None,
                        became: Vec::new(),
                        is_current: false,
                        withdrawn_by,
                    });
                }
                Matter::Became(Became { position, kind, number, state }) if withdrawn_by.is_none() => {
                    if let Some(copy) = copies.find(position, *kind, *number) {
                        copy.becomes(*state, entry);
                    }
                }
                _ => {}
            }
        }
        for of_part in copies.of_part.values_mut() {
            // An older print may be entered after a newer one.
            of_part.sort_by_key(|i| (copies.all[*i].on, copies.all[*i].entry));
            if let Some(last) = of_part.iter().rfind(|i| copies.all[**i].state.is_for_use()) {
                copies.all[*last].is_current = true;
            }
        }
        copies
    }

    fn add(&mut self, copy: Copy) {
        if copy.withdrawn_by.is_some() {
            self.withdrawn.push(copy);
            return;
        }
        self.of_part.entry((copy.position.clone(), copy.kind)).or_default().push(self.all.len());
        self.all.push(copy);
    }

    fn find(&mut self, position: &str, kind: PartKind, number: usize) -> Option<&mut Copy> {
        let mut all = self.all.iter_mut().chain(&mut self.withdrawn);
        all.find(|copy| copy.is_of(position, kind) && copy.number == number)
    }

    /// Is it a reading of a face of the copy on the bench that was finished before?
    pub fn is_of_finished(&self, quantity: &Quantity, reading: &Entry) -> bool {
        let Quantity::Piece(position, size) = quantity else { return false };
        let Some(of_part) = self.of_part.get(&(position.clone(), size.part)) else { return false };
        let current = of_part.iter().map(|i| &self.all[*i]).find(|copy| copy.is_current);
        let since = current.and_then(|copy| copy.finished);
        size.finished_faces() > 0 && since.is_some_and(|since| since < (reading.on, reading.number))
    }

    /// The plates of bobbins that were printed.
    pub fn plates(&self) -> Vec<Plate> {
        let is_plate = |c: &&Copy| matches!(c.kind, PartKind::FlatworkTop | PartKind::FlatworkBottom);
        let of_one = |copy: &Copy| Plate {
            position: copy.position.clone(),
            kind: copy.kind,
            printed: copy.entry,
            // Whoever said so by mistake has said otherwise since.
            broken: copy.became.last().filter(|_| copy.state == State::Broken).map(|(entry, _)| *entry),
        };
        self.all.iter().filter(is_plate).map(of_one).collect()
    }

    /// In the order in which they were printed.
    pub fn into_all(self) -> Vec<Copy> {
        self.all
    }

    /// Is a reading of a part one of the copy on the bench? Without any copy in the log there is but one. A reading is of
    /// the copy that was in use then, which is the last that was printed before it: on an earlier day, or on the same by an
    /// earlier entry; the first one's may be entered before it on that day.
    pub fn is_of_current(&self, position: &str, kind: PartKind, reading: &Entry) -> bool {
        if let Some(withdrawn) = self.withdrawn_of(position, kind, reading) {
            return match self.in_place_of(withdrawn, reading) {
                InPlace::Copy(copy) => copy.is_current,
                InPlace::OnlyOne => true,
                InPlace::Nobody => false,
            };
        }
        let Some(of_part) = self.of_part.get(&(position.to_owned(), kind)) else { return true };
        let of_part: Vec<&Copy> = of_part.iter().map(|i| &self.all[*i]).collect();
        let Some(first) = of_part.first() else { return true };
        let before = |copy: &&&Copy| {
            copy.on < reading.on
                || copy.on == reading.on && (copy.entry < reading.number || copy.entry == first.entry)
        };
        let in_use = |copy: &&&Copy| copy.state_before(reading.number).is_for_use();
        of_part.iter().filter(in_use).rfind(before).is_some_and(|copy| copy.is_current)
    }

    /// Of which copy, whose print is withdrawn by now, was a part's reading when it was entered?
    fn withdrawn_of(&self, position: &str, kind: PartKind, reading: &Entry) -> Option<&Copy> {
        let stood = |copy: &&Copy| {
            copy.entry < reading.number
                && copy.on <= reading.on
                && copy.withdrawn_by.is_none_or(|(by, _)| reading.number < by)
                && copy.state_before(reading.number).is_for_use()
        };
        let of_part = self.all.iter().chain(&self.withdrawn).filter(|copy| copy.is_of(position, kind));
        let then = of_part.filter(stood).max_by_key(|copy| (copy.on, copy.entry))?;
        then.withdrawn_by.is_some().then_some(then)
    }

    /// The copy whose print is withdrawn that a reading was of, if that reading counts for none now.
    pub fn lost_with(&self, quantity: &Quantity, reading: &Entry) -> Option<&Copy> {
        let Quantity::Piece(position, size) = quantity else { return None };
        let withdrawn = self.withdrawn_of(position, size.part, reading)?;
        matches!(self.in_place_of(withdrawn, reading), InPlace::Nobody).then_some(withdrawn)
    }

    /// Whose a reading of a copy is whose print is withdrawn.
    fn in_place_of(&self, withdrawn: &Copy, reading: &Entry) -> InPlace<'_> {
        if withdrawn.is_finished_before(reading.on, reading.number) {
            return InPlace::Nobody;
        }
        let of_part = |copy: &&Copy| copy.is_of(&withdrawn.position, withdrawn.kind);
        if !self.all.iter().any(|copy| of_part(&copy)) {
            let are_several = self.withdrawn.iter().filter(of_part).count() > 1;
            return if are_several { InPlace::Nobody } else { InPlace::OnlyOne };
        }
        // Of two that were entered alike one was the slip.
        let is_twin = |copy: &&Copy| {
            (copy.on, &copy.build) == (withdrawn.on, &withdrawn.build)
                && copy.entry < withdrawn.entry
                && !copy.is_finished_before(reading.on, reading.number)
        };
        if let Some(twin) = self.all.iter().filter(of_part).rfind(is_twin) {
            return InPlace::Copy(twin);
        }
        // In the order in which they were entered: of that day, or, where the day was the slip, of the same build and no later.
        let is_in_place = |copy: &&Copy| {
            withdrawn.withdrawn_by.is_some_and(|(by, on)| {
                let is_other_day = copy.build == withdrawn.build && copy.on <= on;
                copy.entry > by && (copy.on == withdrawn.on || is_other_day)
            })
        };
        self.all.iter().filter(of_part).find(is_in_place).map_or(InPlace::Nobody, InPlace::Copy)
    }
}

/// Whose that is which was read of a copy whose print is withdrawn.
enum InPlace<'c> {
    /// The copy's that was entered in its place, as printed on the same day.
    Copy(&'c Copy),
    /// No print of the part stands: there is but one.
    OnlyOne,
    /// It may be of any: of a painted one, of one that was thrown away.
    Nobody,
}
