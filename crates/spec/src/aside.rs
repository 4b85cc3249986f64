//! Readings of what a family does not have, or no longer: a position that was taken out, a string too many. They
//! stay in the log and are set aside, so that they are there when it comes back.

use std::collections::HashMap;

use crate::closest::closest;
use crate::names::Names;
use crate::node::{Node, NodeKind};
use crate::problem::{Problem, Span};
use crate::quantity::{InstrumentQuantity as I, PositionQuantity as P, Quantity};
use crate::reader::Noted;
use crate::written::MOST_STRINGS;

/// What a family lacks that a reading is of.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
enum Lack {
    Position(String),
    String(usize),
}

impl Lack {
    /// None where the name is known, or means nothing in any family.
    fn of(name: &str, positions: &[String], strings: usize) -> Option<Self> {
        if Quantity::find(name, positions, strings).is_ok() {
            return None;
        }
        if let Ok(quantity) = Quantity::find(name, positions, MOST_STRINGS) {
            return match quantity {
                Quantity::Instrument(I::Gauge(n)) | Quantity::At(_, P::StringHeight(n)) => {
                    Some(Self::String(n))
                }
                Quantity::At(_, P::StringPair(a, b)) => Some(Self::String(a.max(b))),
                _ => None,
            };
        }
        let alone = [name.split_once('.')?.0.to_owned()];
        let known = Quantity::find(name, &alone, MOST_STRINGS).is_ok();
        let [position] = alone;
        known.then_some(Self::Position(position))
    }

    /// One entry alone of what is spelt like something that is there may be a slip of the pen.
    fn may_be_a_slip(&self, positions: &[String]) -> bool {
        match self {
            Self::Position(name) => closest(name, positions).is_some(),
            Self::String(_) => true,
        }
    }

    fn notice(&self, entries: usize, first: Span) -> Problem {
        let lack = match self {
            Self::Position(name) => format!("at {name:?}, a position that this family does not have"),
            Self::String(number) => format!("of string {number}, which this family does not have"),
        };
        let (what, again) = match entries {
            1 => ("a reading is".to_owned(), "it counts"),
            more => (format!("{more} readings are"), "they count"),
        };
        let message = format!("{what} {lack}, and set aside");
        Problem::notice(first, message).hint(format!("{again} again as soon as there is one"))
    }
}

/// For each entry of a log, whether it is set aside; what is set aside is noted once for all of its kind.
pub(crate) fn set_aside(entries: &[&Node], known: &Names, noted: &mut Noted) -> Vec<bool> {
    let Names::Family { positions, strings } = known else { return vec![false; entries.len()] };
    let lack = |entry| match whose_coil(entry) {
        Some(coil) => (!positions.iter().any(|p| p == coil)).then(|| Lack::Position(coil.to_owned())),
        None => Lack::of(what_it_is_of(entry)?, positions, *strings),
    };
    let lacks: Vec<Option<Lack>> = entries.iter().copied().map(lack).collect();
    let mut many: HashMap<&Lack, usize> = HashMap::new();
    for lack in lacks.iter().flatten() {
        *many.entry(lack).or_default() += 1;
    }
    many.retain(|lack, entries| *entries > 1 || !lack.may_be_a_slip(positions));
    let aside = lacks.iter().map(|lack| lack.as_ref().is_some_and(|lack| many.contains_key(lack))).collect();
    for (lack, entry) in lacks.iter().zip(entries) {
        // Taken out, so that only the first of its kind is noted.
        if let Some((lack, entries)) = lack.as_ref().and_then(|lack| many.remove_entry(lack)) {
            noted.problems.push(lack.notice(entries, entry.span));
        }
    }
    aside
}

/// The name in `reading(of: "…")`.
fn what_it_is_of(entry: &Node) -> Option<&str> {
    said(entry, &["reading"], "of")
}

/// The position in `wound(coil: "…")`.
fn whose_coil(entry: &Node) -> Option<&str> {
    said(entry, &["wound", "tested"], "coil")
}

/// What an entry of one of these kinds says in a field.
fn said<'n>(entry: &'n Node, kinds: &[&str], field: &str) -> Option<&'n str> {
    let NodeKind::Record(fields) = &entry.kind else { return None };
    let is_one = entry.tag.as_deref().is_some_and(|tag| kinds.contains(&tag));
    let of = fields.iter().find(|f| f.name == field).filter(|_| is_one)?;
    match &of.value.kind {
        NodeKind::Text(name) => Some(name),
        _ => None,
    }
}
