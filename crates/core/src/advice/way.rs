//! Changes that go together, and whom they are for.

use bobbinwright_fit::{Check, CheckKind, Verdict};
use bobbinwright_spec::Family;

use super::change::{Change, Reach, on_same_line};

/// Changes of one position with which a check fits, all of them made.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// What to change.
    pub changes: Vec<Change>,
    /// What else turns with it: checks that were better before.
    pub turned: Vec<Turned>,
    /// Whom it is for.
    pub reach: Reach,
    /// The position.
    pub(super) position: String,
    /// All that have one of these values from the same line of the file, itself among them.
    pub(super) sharing: Vec<String>,
}

/// A check that is worse with a change than it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turned {
    /// The position.
    pub position: String,
    /// The check.
    pub kind: CheckKind,
    /// How it stands then.
    pub verdict: Verdict,
}

impl Way {
    /// Changes at a position of a family.
    pub(super) fn new(
        family: &Family,
        index: usize,
        reach: Reach,
        changes: Vec<Change>,
        turned: Vec<Turned>,
    ) -> Self {
        let shares =
            |i: usize| changes.iter().any(|change| on_same_line(family, index, change.path()).contains(&i));
        let sharing: Vec<usize> = (0..family.positions.len()).filter(|i| *i == index || shares(*i)).collect();
        let name = |i: usize| family.positions[i].name.clone();
        let (position, sharing) = (name(index), sharing.into_iter().map(name).collect());
        Self { changes, turned, reach, position, sharing }
    }

    /// Does the same fit with it, as checks then stand, wherever it changes what is wanted?
    pub(super) fn mends_all(&self, check: &Check, checks: &[Check]) -> bool {
        let is_meant = |c: &&Check| c.kind.is_like(check.kind) && self.sharing.contains(&c.position);
        self.reach == Reach::Here
            || checks.iter().filter(is_meant).all(|c| c.is_same(check) || c.verdict == Verdict::Fits)
    }

    /// The family with all of it.
    pub fn put_in(&self, family: &mut Family, position: usize) -> bool {
        self.changes.iter().all(|change| change.put_in(family, position, self.reach))
    }
}
