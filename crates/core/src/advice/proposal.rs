//! What is proposed, by names: so that a person can say on the terminal, or another program in JSON, which proposal is taken.

use bobbinwright_fit::Check;
use bobbinwright_spec::edit::Scope;
use bobbinwright_spec::{Family, Quantity};

use super::change::on_same_line;
use super::words::known_advice;
use super::{Change, Reach, Way};
use crate::Prepared;
use crate::want::Wanting;

/// A proposal by its name.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal<'p> {
    /// Its position, its check and its number, from 1 on: `bridge-cover-in-rout-1`.
    pub name: String,
    /// The check that fits with it.
    pub check: &'p Check,
    /// What to change.
    pub way: Way,
}

impl Proposal<'_> {
    /// The values of it as they would be typed; none of what is bought.
    pub fn wanting(&self, family: &Family) -> Vec<Wanting> {
        let position = &self.check.position;
        let index = family.positions.iter().position(|p| p.name == *position).unwrap_or_default();
        let typed = self.way.changes.iter().flat_map(|change| change.typed(family.unit()));
        // A line of a family that this one is like would be written for all.
        let is_own = |path: &str| {
            family.positions.len() == 1
                || (family.origin(index, path).is_some_and(|line| line.file == 0)
                    && on_same_line(family, index, path).is_empty())
        };
        let scope = |path: &str| {
            if self.way.reach == Reach::WholeLine || is_own(path) {
                Scope::WhereItStands(position.clone())
            } else {
                Scope::Only(position.clone())
            }
        };
        typed.map(|(path, value)| Wanting { path: path.to_owned(), value, scope: scope(path) }).collect()
    }
}

impl Way {
    /// The piece that it would have somebody buy; read, not written.
    pub fn bought(&self) -> Option<Quantity> {
        self.changes.iter().find_map(|change| match change {
            Change::Bought { what, .. } => Some(Quantity::Instrument(what.quantity())),
            _ => None,
        })
    }
}

/// A check by a name of its own among all of a family: `bridge-cover-in-rout`.
pub fn name_of(check: &Check) -> String {
    format!("{}-{}", check.position, check.kind.name())
}

/// What is proposed for a check, the best first. It takes some dozen builds, once.
pub fn proposals<'p>(prepared: &Prepared, check: &'p Check) -> Vec<Proposal<'p>> {
    let ways = known_advice(prepared, check).ways;
    let name = |number: usize| format!("{}-{number}", name_of(check));
    (1..).zip(ways).map(|(number, way)| Proposal { name: name(number), check, way }).collect()
}

/// The proposal of a name, of those that there are now.
pub fn proposal<'p>(prepared: &'p Prepared, name: &str) -> Option<Proposal<'p>> {
    let (check, _) = name.rsplit_once('-')?;
    let check = prepared.fit.checks.iter().find(|c| name_of(c) == check)?;
    proposals(prepared, check).into_iter().find(|proposal| proposal.name == name)
}
