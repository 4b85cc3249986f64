//! Why a part can't be made, and what would work.

use bobbinwright_spec::{Hardware, Length, Position, Sentence, parameter};

use super::PartKind;
use super::fault::Fault;
use super::remedy::{Remedy, Search};

/// How the screws hold the cover: a choice, no length.
pub(super) const MOUNTING: &str = "cover.mounting";

/// A part that can't be made as wanted.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{position}, {}: {why}", part.name())]
pub struct Refusal {
    /// The position.
    pub position: String,
    /// The part.
    pub part: PartKind,
    /// Path of the dimension to change.
    pub parameter: &'static str,
    /// What was wanted; `None` when the dimension follows from others.
    pub value: Option<Length>,
    /// The value nearest to the wanted one with which the part builds, to 0.01 mm, everything
    /// else left as it is; `None` when no value of this dimension alone helps.
    pub works: Option<Length>,
    /// Where none helps: what else does.
    pub instead: Option<Box<Remedy>>,
    /// In words.
    pub why: Sentence,
}

impl Refusal {
    /// What the part builds with; none where nothing is known to work.
    pub fn remedy(&self) -> Option<Remedy> {
        let own = self.works.map(|works| Remedy::Dimensions(vec![(self.parameter, works)]));
        own.or_else(|| self.instead.as_deref().cloned())
    }

    /// Gives a position what the part builds with; false where nothing is known to work.
    pub fn mend_in(&self, position: &mut Position) -> bool {
        self.remedy().is_some_and(|remedy| remedy.put_in(position))
    }
}

/// Finds the value that works, or what else does.
pub(super) fn explain(position: &Position, hardware: &Hardware, part: PartKind, fault: Fault) -> Refusal {
    let mut search = Search::new(position, hardware, part);
    let blamed = parameter(fault.parameter);
    let works = blamed.and_then(|p| search.nearest(p));
    let instead = match works {
        Some(_) => None,
        None if fault.parameter == MOUNTING => search.ears(),
        None => search.remedy(blamed),
    }
    .map(Box::new);
    let value = blamed.and_then(|p| (p.field)(&mut position.wanted.clone()).copied());
    Refusal {
        position: position.name.clone(),
        part,
        parameter: fault.parameter,
        value,
        works,
        instead,
        why: fault.why,
    }
}
