//! Which printed parts of an earlier version can stay.
//!
//! A cover whose wall became thicker still fits, and a plate of the earlier build may go with a cover of the
//! new one; so the parts of both versions are tried together, in every mixture. The best has the fewest clashes,
//! then the fewest checks that are too close to call and the best chance of these, and then the fewest prints.
//! What clashes as it is wanted now, whatever is printed, comes after what a print mends: a coil that has no room on
//! the new plates says nothing for plates whose rods are under no string any more.

use bobbinwright_geometry::parts::{PartKind, PositionParts};
use bobbinwright_spec::Family;

use crate::bench::Bench;
use crate::set::{PartSet, Printed};
use crate::tried::{self, Tried};
use crate::verdict::Verdict;
use crate::{Check, CheckKind, Fit};
use std::sync::OnceLock;

/// What to do with the printed parts of a position.
#[derive(Clone, Debug)]
pub struct Keeping {
    /// One for each part, in the order of [`PartKind::ALL`].
    pub choices: Vec<Choice>,
    /// The worst verdict on the parts that are then there together.
    pub verdict: Verdict,
    /// The least chance that they all fit at once.
    pub chance: f64,
    /// The worst check that says that a part to be printed can't be made well as it is wanted.
    pub making: Option<Check>,
}

/// What to do with a printed part.
#[derive(Clone, Debug)]
pub struct Choice {
    /// Which part.
    pub kind: PartKind,
    /// It can stay.
    pub stays: bool,
    /// The worst check on the earlier version of the part, beside the others as they are chosen; none where
    /// no check is about it.
    pub worst: Option<Check>,
}

/// Finds what can stay of the printed parts of a position, each of the build that it was drawn for, today's readings and
/// wishes being the family's. `changed` says for each part, in the order of [`PartKind::ALL`], whether the two versions
/// differ. What was never printed has to be.
pub fn keep(
    family: &Family,
    position: usize,
    earlier: Printed,
    later: &PositionParts,
    changed: [bool; 4],
    tried: &[Tried],
) -> Keeping {
    let trial = Trial { family, position, earlier, later, tried };
    let name = &family.positions[position].name;
    // A print that came out otherwise than wanted may be mended by another one of the same.
    let read = PartKind::ALL.map(|kind| family.pieces.keys().any(|(p, size)| p == name && size.part == kind));
    let changed: [bool; 4] = std::array::from_fn(|i| changed[i] || read[i]);
    let there = earlier.map(|part| part.is_some());
    let mixtures = mixtures(changed, there);
    let mut all: Vec<([bool; 4], Fit)> = Vec::new();
    // Fewest prints first: the first that fits can't be bettered.
    for kept in mixtures {
        let fit = trial.fit(kept);
        let fits = faults(&fit, &[]) == (0, 0, 0);
        all.push((kept, fit));
        if fits {
            break;
        }
    }
    // The last is new but for what is drawn as before.
    let by_itself: Vec<CheckKind> = all.last().map_or(Vec::new(), |(_, fit)| {
        of_parts(fit).filter(|c| c.verdict != Verdict::Fits).map(|c| c.kind).collect()
    });
    let best = all.into_iter().min_by_key(|(_, fit)| (faults(fit, &by_itself), faults(fit, &[])));
    // There is at least the mixture that keeps everything.
    let (kept, fit) = best.unwrap_or_else(|| (there, trial.fit(there)));
    let choices = (0..4).map(|i| trial.choice(i, kept, &fit)).collect();
    // What is printed already can be made, whatever the printer.
    let together = Fit { checks: of_parts(&fit).cloned().collect(), wholes: OnceLock::new(), ..fit.clone() };
    let whole = together.wholes().first().map(|whole| (whole.verdict, whole.chance));
    let (verdict, chance) = whole.unwrap_or((Verdict::Fits, 1.0));
    let printed = |kind: &PartKind| PartKind::ALL.iter().zip(kept).any(|(k, stays)| k == kind && !stays);
    let making = fit.worst_first().into_iter().find(|c| {
        let concerns =
            c.kind.parts().iter().any(printed) || (c.kind.parts().is_empty() && kept.contains(&false));
        c.kind.is_of_making() && concerns && c.verdict != Verdict::Fits
    });
    let making = making.cloned();
    Keeping { choices, verdict, chance, making }
}

/// Every way to keep some of the parts that are there and changed, and all that did not; the fewest prints first.
fn mixtures(changed: [bool; 4], there: [bool; 4]) -> Vec<[bool; 4]> {
    let all = (0..16u32).map(|bits| std::array::from_fn(|i| bits >> i & 1 == 0));
    let may_be = |i: usize, kept: bool| if there[i] { kept || changed[i] } else { !kept };
    let mut some: Vec<[bool; 4]> =
        all.filter(|kept: &[bool; 4]| kept.iter().enumerate().all(|(i, kept)| may_be(i, *kept))).collect();
    some.sort_by_key(|kept| kept.iter().filter(|k| !**k).count());
    some
}

struct Trial<'a> {
    family: &'a Family,
    position: usize,
    earlier: Printed<'a>,
    later: &'a PositionParts,
    tried: &'a [Tried],
}

impl Trial<'_> {
    fn fit(&self, kept: [bool; 4]) -> Fit {
        let set =
            PartSet::with_printed(self.later, std::array::from_fn(|i| self.earlier[i].filter(|_| kept[i])));
        let position = &self.family.positions[self.position];
        let mut bench = Bench::new(self.family, position, set, self.family.doubts.clone());
        bench.check();
        let told = tried::tell(&mut bench, self.tried);
        Fit {
            checks: bench.checks,
            agreements: Vec::new(),
            doubts: bench.doubts,
            sizes: Vec::new(),
            told,
            wholes: OnceLock::new(),
            unguarded: OnceLock::new(),
        }
    }

    fn choice(&self, index: usize, kept: [bool; 4], fit: &Fit) -> Choice {
        let kind = PartKind::ALL[index];
        let stays = kept[index];
        let is_about = |c: &&Check| c.kind.parts().contains(&kind) && !c.kind.is_of_making();
        let worst = |fit: &Fit| fit.worst_first().into_iter().find(is_about).cloned();
        let worst = if stays {
            worst(fit)
        } else if self.earlier[index].is_none() {
            None
        } else {
            let mut with_it = kept;
            with_it[index] = true;
            worst(&self.fit(with_it))
        };
        Choice { kind, stays, worst }
    }
}

/// How many checks clash, how many are too close to call, and, where there are such, how likely the worst of
/// them is not to hold, in percent; some kinds left out. The less the better.
fn faults(fit: &Fit, but: &[CheckKind]) -> (usize, usize, u32) {
    let counted = || of_parts(fit).filter(|c| !but.contains(&c.kind));
    let count = |verdict| counted().filter(|c| c.verdict == verdict).count();
    let (clashes, close) = (count(Verdict::Clashes), count(Verdict::TooClose));
    let worst = counted().map(|c| c.probability).fold(1.0, f64::min);
    (clashes, close, if clashes + close == 0 { 0 } else { (100.0 * (1.0 - worst)).round() as u32 })
}

/// The checks of parts against each other and the instrument.
fn of_parts(fit: &Fit) -> impl Iterator<Item = &Check> {
    fit.checks.iter().filter(|c| !c.kind.is_of_making())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums done by hand: of two changed parts there are four mixtures, from keeping both to keeping none.
    #[test]
    fn mixtures_begin_with_the_fewest_prints() {
        let found = mixtures([true, false, false, true], [true; 4]);
        assert_eq!(found.len(), 4);
        assert_eq!(found[0], [true; 4]);
        assert_eq!(found[3], [false, true, true, false]);
        assert!(found.iter().all(|kept| kept[1] && kept[2]));
    }
}
