//! Families tried and judged, without a word where they can't be made.

use std::cell::Cell;

use bobbinwright_fit::{self as fit, Check, Help, Verdict};
use bobbinwright_geometry::parts::{PositionParts, all_of};
use bobbinwright_spec::{Family, Length};

use super::{Change, Reach, Turned, Way};
use crate::Prepared;

/// So many families are judged for one piece of advice, at most: some tenths of a second.
const MOST: u32 = 150;

/// A margin that gets smaller by less is none that anybody goes back for.
const LESS: Length = Length::from_mm(0.02);

/// A family that was tried, with its parts.
pub(super) struct Made {
    family: Family,
    built: Vec<PositionParts>,
}

/// Tries for one check of a family.
pub(super) struct Trial<'p> {
    pub prepared: &'p Prepared,
    pub check: &'p Check,
    /// The check's position.
    pub index: usize,
    /// Whom changes of what is wanted are for.
    reach: Reach,
    /// The chance that is looked for.
    aim: f64,
    left: Cell<u32>,
}

impl<'p> Trial<'p> {
    pub fn new(prepared: &'p Prepared, check: &'p Check, aim: f64) -> Option<Self> {
        let index = prepared.family.positions.iter().position(|p| p.name == check.position)?;
        // What another position lacks as well is mended for both where one line speaks for both; what fits there is let be.
        let lacks = |c: &Check| c.kind == check.kind && c.verdict != Verdict::Fits;
        let others = prepared.fit.checks.iter().filter(|c| c.position != check.position);
        let reach = if others.filter(|c| lacks(c)).count() > 0 { Reach::WholeLine } else { Reach::Here };
        Some(Self { prepared, check, index, reach, aim, left: Cell::new(MOST) })
    }

    /// The same, begun anew, with changes for its position alone.
    pub fn for_it_alone(&self) -> Self {
        Self { reach: Reach::Here, left: Cell::new(MOST), ..*self }
    }

    /// Is it for others that lack the same?
    pub fn is_for_others(&self) -> bool {
        self.reach == Reach::WholeLine
    }

    /// Whom changes are for: what is bought is for all positions, and so is what has to be changed with it.
    pub fn reach(&self, changes: &[Change]) -> Reach {
        let is_bought = changes.iter().any(|change| matches!(change, Change::Bought { .. }));
        if is_bought { Reach::WholeLine } else { self.reach }
    }

    /// Changes that are proposed, with what turns.
    pub fn way(&self, changes: Vec<Change>, turned: Vec<Turned>) -> Way {
        Way::new(&self.prepared.family, self.index, self.reach(&changes), changes, turned)
    }

    /// May more be tried?
    pub fn goes_on(&self) -> bool {
        self.left.get() > 0
    }

    /// All checks of a family; none where it can't be made, or where enough was tried.
    pub fn judged(&self, family: &Family) -> Option<Vec<Check>> {
        self.made(family).map(|made| self.checks(&made))
    }

    /// A family with its parts; none where it can't be made, or where enough was tried.
    pub fn made(&self, family: &Family) -> Option<Made> {
        let left = self.left.get().checked_sub(1)?;
        self.left.set(left);
        self.make(family)
    }

    /// The same, however much was tried.
    pub fn make(&self, family: &Family) -> Option<Made> {
        let mut family = family.clone();
        fit::make_snug(&mut family).ok()?;
        let built: Option<Vec<PositionParts>> =
            (0..family.positions.len()).map(|i| self.parts(&family, i)).collect();
        Some(Made { built: built?, family })
    }

    /// All its checks.
    pub fn checks(&self, made: &Made) -> Vec<Check> {
        fit::check(&made.family, &made.built, &self.prepared.tried).checks
    }

    /// The one of its checks that is the same as this one, its chance only as far as it may be enough.
    pub fn same(&self, made: &Made, check: &Check) -> Option<Check> {
        let index = made.family.positions.iter().position(|p| p.name == check.position)?;
        let kind = check.kind.with(made.family.positions[index].wanted.poles);
        fit::check_one(&made.family, &made.built, &self.prepared.tried, (index, kind, self.aim))
    }

    /// The parts of a position: those that there are where nothing changed.
    fn parts(&self, family: &Family, index: usize) -> Option<PositionParts> {
        let (before, now) = (&self.prepared.family, &family.positions[index]);
        if before.positions[index].wanted == now.wanted && before.hardware == family.hardware {
            return Some(self.prepared.positions[index].clone());
        }
        all_of(now, &family.hardware)
    }

    /// Is a check as likely to hold as is looked for?
    pub fn is_enough(&self, check: &Check) -> bool {
        check.probability >= self.aim
    }

    /// Is the check that it is all about?
    pub fn fits(&self, checks: &[Check]) -> bool {
        checks.iter().any(|c| c.is_same(self.check) && self.is_enough(c))
    }

    /// Checks that were better before these changes, or were none; and those that do not fit and want one of the changed
    /// dimensions the other way: whoever follows both by turns goes in a circle.
    pub fn turned<'c>(&self, checks: &'c [Check], changes: &[Change]) -> Vec<&'c Check> {
        let before = |c: &Check| self.prepared.fit.checks.iter().find(|b| b.is_same(c));
        let is_changed = |path: &str| changes.iter().any(|change| change.path() == path);
        let wants_it =
            |c: &Check| c.help.iter().any(|help| matches!(help, Help::Dimension(path) if is_changed(path)));
        let is_worse = |c: &&Check| match before(c) {
            None => c.verdict < Verdict::Fits,
            Some(b) => {
                let is_pulled =
                    b.verdict < Verdict::Fits && wants_it(c) && c.margin.value() < b.margin.value() - LESS;
                c.verdict < b.verdict || (is_pulled && c.verdict < Verdict::Fits)
            }
        };
        checks.iter().filter(|c| !c.is_same(self.check)).filter(is_worse).collect()
    }

    /// The same, to keep.
    pub fn all_turned(&self, checks: &[Check], changes: &[Change]) -> Vec<Turned> {
        let of = |c: &Check| Turned { position: c.position.clone(), kind: c.kind, verdict: c.verdict };
        self.turned(checks, changes).into_iter().map(of).collect()
    }
}
