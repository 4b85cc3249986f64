//! How it went when printed parts were tried in the body, as far as that counts still.
//!
//! A baseplate that drops in and takes its screws tells more of rout and screws than any caliper: whatever their
//! sizes are, they let that part in. What went in before bounds what goes in now.

use std::collections::HashSet;
use std::fmt;

use jiff::civil::Date;

use crate::copies::{Copies, Copy};
use crate::log::{Entry, Log, Matter};
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::survey::Survey;
use crate::tried::{TriedWith, WrittenTrial};
use crate::wanted::Side;

/// A copy that was tried, and how it went.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trial {
    /// The copy.
    pub copy: Copy,
    /// With what.
    pub with: TriedWith,
    /// Did it go in?
    pub goes_in: bool,
    /// Where it jams, where that could be seen.
    pub at: Option<Side>,
    /// The day.
    pub on: Date,
    /// The entry that says so.
    pub entry: usize,
    /// What was read of its sizes is what it was when it was tried.
    pub is_as_read: bool,
    /// The entry that said otherwise of the same copy before, and of the same outside, which does not count any more.
    pub instead_of: Option<usize>,
}

/// `neck-baseplate, copy 1, went in and took its screws`.
impl fmt::Display for Trial {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let how = match (self.with, self.goes_in) {
            (TriedWith::Rout, true) => "went into the rout",
            (TriedWith::Rout, false) => "did not go into the rout",
            (TriedWith::Screws, true) => "went in and took its screws",
            (TriedWith::Screws, false) => "did not take its screws",
        };
        write!(f, "{}, {how}", self.copy)?;
        self.at.map_or(Ok(()), |at| write!(f, ", it jams at the {}", at.place()))
    }
}

impl Survey {
    /// How it went when copies were tried in the body, as far as that counts still.
    pub fn trials(&self) -> Vec<Trial> {
        trials(self.log())
    }
}

/// The trials that count: of a body that was not worked on since, and of each copy what was not found otherwise later.
fn trials(log: &Log) -> Vec<Trial> {
    let withdrawn: HashSet<usize> = log.withdrawn().map(|(entry, _)| entry).collect();
    let copies = Copies::of(log).into_all();
    let mut all: Vec<Trial> = Vec::new();
    for entry in log.entries.iter().filter(|e| !withdrawn.contains(&e.number)) {
        match &entry.matter {
            Matter::Tried(tried) => {
                let is_it = |c: &&Copy| {
                    (&c.position, c.kind, c.number) == (&tried.position, tried.kind, tried.number)
                };
                let Some(copy) = copies.iter().find(is_it) else { continue };
                let is_otherwise = |t: &Trial| t.copy.entry == copy.entry && contradicts(t, tried);
                // Paint is work: what went in bare may jam with it.
                let is_finished = |on, entry| copy.is_finished_before(on, entry);
                let says_other = |t: &&Trial| {
                    is_otherwise(t)
                        && t.goes_in != tried.goes_in
                        && is_finished(t.on, t.entry) == is_finished(entry.on, entry.number)
                };
                // Who said both once may have worked on it in between, however often the last is said.
                let is_alike = |t: &&Trial| t.copy.entry == copy.entry && t.with == tried.with;
                let carried = || all.iter().rfind(is_alike).and_then(|t| t.instead_of);
                let instead_of = all.iter().rfind(says_other).map(|t| t.entry).or_else(carried);
                all.retain(|t| !is_otherwise(t));
                all.push(Trial {
                    copy: copy.clone(),
                    with: tried.with,
                    goes_in: tried.goes_in,
                    at: tried.at,
                    on: entry.on,
                    entry: entry.number,
                    is_as_read: copy.is_current,
                    instead_of,
                });
            }
            Matter::Reading(reading) if reading.afresh => worked_on(&mut all, entry, &reading.quantity),
            _ => {}
        }
    }
    all
}

/// Something was read afresh: trials with it do not count any more if it is the body, and are of other sizes than were read
/// if it is the part.
fn worked_on(all: &mut Vec<Trial>, entry: &Entry, quantity: &Quantity) {
    match quantity {
        Quantity::At(position, of) if is_of_body(*of) => all.retain(|t| t.copy.position != *position),
        Quantity::Piece(position, size) => {
            for trial in all.iter_mut().filter(|t| (&t.copy.position, t.copy.kind) == (position, size.part)) {
                trial.is_as_read &= trial.entry > entry.number;
            }
        }
        _ => {}
    }
}

/// What a cover or baseplate goes into.
fn is_of_body(of: P) -> bool {
    match of {
        P::RoutLength
        | P::RoutWidth
        | P::Diagonal(_)
        | P::RoutCornerRadius
        | P::ScrewPitch
        | P::ScrewPair(..)
        | P::ScrewHole
        | P::ScrewSide(..)
        | P::EarLength
        | P::EarWidth
        | P::EarCornerRadius
        | P::EarSide(..) => true,
        P::RoutDepth
        | P::EarDepth
        | P::ChannelOffset
        | P::StringPair(..)
        | P::BassSide
        | P::TrebleSide
        | P::StringHeight(_)
        | P::BridgeDistance => false,
    }
}

/// Does it say the same of one copy anew, or what can't be true beside it? What takes its screws is in the rout.
fn contradicts(one: &Trial, other: &WrittenTrial) -> bool {
    let (goes, jams) = match (one.goes_in, other.goes_in) {
        (true, false) => (one.with, other.with),
        (false, true) => (other.with, one.with),
        _ => return one.with == other.with,
    };
    jams <= goes
}
