//! Parts that were tried in the body: what went in before bounds what goes in now.
//!
//! A copy that went in says that rout and screws are such that it goes in, one that jams that they are not. Chances are
//! told among those draws of all that is in doubt in which the trials come out as they did (Bayes' rule by rejection); what
//! is drawn wider than the copy that went in by more than the printer errs stays as doubtful as it was.

use std::collections::BTreeSet;
use std::sync::Arc;

use bobbinwright_estimate::{chance_where, variables};
use bobbinwright_geometry::parts::PositionParts;
use bobbinwright_spec::{DoubtId, Doubts, Estimate, Trial, TriedWith};

use crate::Check;
use crate::bench::Bench;
use crate::finish;
use crate::pose::{Pose, outwards};
use crate::set::PartSet;
use crate::verdict::Verdict;
use crate::{rout, screws};

/// A copy that was tried in the body.
#[derive(Clone, Debug)]
pub struct Tried {
    /// How it went.
    pub trial: Trial,
    /// The parts of its position as the build drew them that it is of.
    pub parts: Arc<PositionParts>,
}

/// What a trial says of a fit.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The trial.
    pub trial: Trial,
    /// The chance of how it went, by all that was read, 0 to 1.
    pub chance: f64,
    /// With what it can't be true, so that no chance is told by it.
    contradicts: Option<Other>,
    /// The part in one place for all that was asked of it.
    pose: Pose,
    /// The same with all the room it wants where it jams, where that was seen: there it goes in.
    relieved: Option<Pose>,
    /// That it has room everywhere but where it jams can't be true of what was read, and is left out.
    only_jams: bool,
    /// It is one of the very parts that are checked.
    is_own: bool,
}

/// What a trial contradicts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Other {
    /// What was read.
    Readings,
    /// Other trials; beside the readings each of them may be true.
    Trials,
    /// Nothing, but all trials together come about too seldom for anything to be told by them.
    Nothing,
}

/// What comes about more seldom contradicts what was read, or tells nothing: a hundred draws at most are left.
const SELDOM: f64 = 0.02;

/// What fails more seldom than this fails in no more than one of two hundred draws in which a trial comes out as it did.
const SURE: f64 = 1e-4;

/// Nobody is told that something fits that jammed, or would as much as something that did.
const AT_MOST: f64 = 0.5;

impl Told {
    fn of(bench: &mut Bench, tried: &Tried) -> Self {
        let part = tried.trial.copy.kind;
        let is_there = tried.trial.copy.is_current && (bench.of_pieces || bench.is_kept(part));
        let drawn = tried.parts.parts.iter().find(|p| p.kind == part);
        // What went in before it was painted is another size now.
        let copy = &tried.trial.copy;
        let is_bare = !copy.is_finished_before(tried.trial.on, tried.trial.entry);
        let has_coat =
            is_bare && finish::of(bench.family, bench.position, &tried.parts.layout, part).is_some();
        let is_alike = bench.part(part).map(|p| &p.stack) == drawn.map(|p| &p.stack);
        let is_own = is_there && is_alike && !has_coat;
        let poses = if is_own {
            places(bench, &tried.trial)
        } else {
            let set = PartSet::new(&tried.parts);
            let doubts = std::mem::take(&mut bench.doubts);
            let mut its_own = Bench::new(bench.family, bench.position, set, doubts);
            its_own.is_bare = is_bare;
            its_own.of_pieces = tried.trial.is_as_read && !(is_bare && copy.is_finished());
            let poses = places(&mut its_own, &tried.trial);
            bench.doubts = its_own.doubts;
            poses
        };
        let pose = poses.into_iter().reduce(|one, other| one.and(&other)).unwrap_or_default();
        let trial = tried.trial.clone();
        let relieved = trial.at.map(|at| pose.relieved(outwards(at)));
        let mut told =
            Self { trial, chance: 0.0, contradicts: None, pose, relieved, only_jams: false, is_own };
        told.chance = told.comes_about(&bench.doubts);
        if told.chance < SELDOM && told.relieved.is_some() {
            // It jams somewhere all the same.
            told.relieved = None;
            told.only_jams = true;
            told.chance = told.comes_about(&bench.doubts);
        }
        told
    }

    /// How often it goes as it did, by all that was read.
    fn comes_about(&self, doubts: &Doubts) -> f64 {
        All::of(&[self]).chance(doubts).unwrap_or(1.0)
    }

    /// The same over another table of doubts.
    pub(crate) fn moved(self, of: impl Fn(&Estimate) -> Estimate) -> Self {
        let relieved = self.relieved.as_ref().map(|pose| pose.with(&of));
        Self { pose: self.pose.with(of), relieved, ..self }
    }

    /// It can't be true of what was read, or beside other trials.
    pub fn contradicts(&self) -> bool {
        self.contradicts.is_some()
    }

    /// Does it tell of the body? A copy that goes in and jammed before may have been worked on since, and tells of itself alone.
    fn is_of_body(&self) -> bool {
        !self.contradicts() && !self.is_reworked()
    }

    fn is_reworked(&self) -> bool {
        self.trial.goes_in && self.trial.instead_of.is_some()
    }

    /// Is it told of a position's pickup?
    pub(crate) fn counts_for(&self, position: &str) -> bool {
        self.is_of_body() && self.trial.copy.position == position
    }

    /// For a person: `neck-baseplate, copy 1, went in and took its screws (2026-11-29): that counts in what is said here`.
    pub fn line(&self) -> String {
        let Self { trial, chance, .. } = self;
        let before = trial.instead_of.map_or(String::new(), |before| {
            let so = if trial.goes_in {
                "that was a slip, or it was worked on since, so it tells of this copy alone"
            } else {
                "if nothing was worked on since, one of both is a slip"
            };
            format!("; by entry {before} the same copy went otherwise before: {so}")
        });
        let what = format!("{trial} ({}, entry {}{before})", trial.on, trial.entry);
        if !self.contradicts() {
            let room = match trial.at {
                None => "",
                Some(_) if self.only_jams => {
                    ", but not that it had room everywhere else, which hardly goes with what was read: did it jam in more than one place?"
                }
                Some(_) => ", and so does that it had room everywhere else",
            };
            if self.is_reworked() {
                return what;
            }
            return format!("{what}: that counts in what is said here{room}");
        }
        let percent = 100.0 * chance;
        let held = if trial.goes_in { "it is left out" } else { "nothing is called a fit by it" };
        match self.contradicts {
            Some(Other::Trials) => format!(
                "{what}, which hardly goes with what else was tried: one of them is wrong, and until one is tried again or withdrawn {held}"
            ),
            Some(Other::Nothing) => format!(
                "{what}, which with all else that was tried happens so seldom that no chance can be told by it; until something that it hangs on is read again {held}"
            ),
            _ => format!(
                "{what}, which by what was read happens in {percent:.1} of 100 cases: one of both is wrong, and until one is read again or withdrawn {held}"
            ),
        }
    }
}

/// Where the part must be for what was tried.
fn places(bench: &mut Bench, trial: &Trial) -> Vec<Pose> {
    let part = trial.copy.kind;
    let mut poses = rout::places(bench, part);
    if trial.with == TriedWith::Screws {
        poses.extend(screws::places(bench, part));
    }
    poses
}

/// Takes what was tried of a position into its checks.
pub(crate) fn tell(bench: &mut Bench, tried: &[Tried]) -> Vec<Told> {
    let own = tried.iter().filter(|t| t.trial.copy.position == bench.position.name);
    let mut told: Vec<Told> = own.map(|tried| Told::of(bench, tried)).collect();
    if told.is_empty() {
        return told;
    }
    for one in &mut told {
        one.contradicts = (one.chance < SELDOM).then_some(Other::Readings);
    }
    let counted: Vec<&Told> = told.iter().filter(|t| t.is_of_body()).collect();
    if let Some(other) = against_each_other(&counted, &bench.doubts) {
        for one in told.iter_mut().filter(|t| t.is_of_body()) {
            one.contradicts = Some(other);
        }
    }
    let counted: Vec<&Told> = told.iter().filter(|t| t.is_of_body()).collect();
    for check in &mut bench.checks {
        // What is as sure as that no trial that may well be true makes doubtful.
        let is_open = 1.0 - check.probability > SURE;
        let by_trial = is_open.then(|| All::beside(&check.inputs(), &counted, &bench.doubts));
        let by_trial = by_trial.and_then(|all| all.chance_of(check, &bench.doubts));
        let by_trial = by_trial.unwrap_or(check.probability);
        check.probability = told.iter().fold(by_trial, |chance, one| one.settles(check, chance));
        check.verdict = Verdict::of(check.probability);
    }
    told
}

/// Each may well be true, and not all of them: far seldomer than if none had to do with another. That many trials come out
/// just so is seldom by itself; then too few draws are left to tell anything by.
fn against_each_other(told: &[&Told], doubts: &Doubts) -> Option<Other> {
    let alone: f64 = told.iter().map(|t| t.chance).product();
    let all = All::of(told).chance(doubts).filter(|all| told.len() > 1 && *all < SELDOM)?;
    Some(if all < SELDOM * alone { Other::Trials } else { Other::Nothing })
}

impl Told {
    /// The chance of a check, where a trial says more than that it is a draw among many.
    fn settles(&self, check: &Check, chance: f64) -> f64 {
        let is_about = check.kind.is_asked_of(self.trial.copy.kind, self.trial.with);
        if self.is_own && self.trial.goes_in && is_about && !self.contradicts() {
            // The very part went in.
            1.0
        } else if self.contradicts() && !self.trial.goes_in && check.kind.placed().is_some() {
            chance.min(AT_MOST)
        } else {
            chance
        }
    }
}

/// Trials that come out together as they did.
pub(crate) struct All<'t> {
    /// Each part in its place, and whether it went there.
    each: Vec<(&'t Pose, bool)>,
}

impl<'t> All<'t> {
    pub fn of(told: &[&'t Told]) -> Self {
        let of = |told: &&'t Told| {
            let relieved = told.relieved.as_ref().map(|pose| (pose, true));
            std::iter::once((&told.pose, told.trial.goes_in)).chain(relieved)
        };
        Self { each: told.iter().flat_map(of).collect() }
    }

    /// Those that there are variables for beside something that is asked: without one of them it is told by what was read and
    /// by the others, while what could not be drawn would not be told at all.
    pub fn beside(asked: &[&Estimate], told: &[&'t Told], doubts: &Doubts) -> Self {
        let mut drawn: Vec<&Told> = Vec::new();
        for one in told {
            drawn.push(one);
            let inputs = Self::of(&drawn).inputs();
            let all: Vec<&Estimate> = inputs.into_iter().chain(asked.iter().copied()).collect();
            if variables(&all, doubts).is_none() {
                drawn.pop();
            }
        }
        Self::of(&drawn)
    }

    /// What they hang on.
    pub fn inputs(&self) -> Vec<&'t Estimate> {
        self.each.iter().flat_map(|(pose, _)| pose.inputs()).collect()
    }

    /// Do they come out so with drawn values of that?
    pub fn test(&self) -> impl Fn(&[f64]) -> bool + use<'t> {
        let of = |(pose, goes_in): &(&'t Pose, bool)| (pose.inputs().len(), pose.judge(), *goes_in);
        let each: Vec<_> = self.each.iter().map(of).collect();
        move |values| {
            let mut from = 0;
            each.iter().all(|(count, goes, goes_in)| {
                let own = &values[from..from + count];
                from += count;
                goes(own).unwrap_or(false) == *goes_in
            })
        }
    }

    /// How often they do; none where there are too many doubts to draw.
    fn chance(&self, doubts: &Doubts) -> Option<f64> {
        let inputs = self.inputs();
        variables(&inputs, doubts)?;
        let test = self.test();
        Some(chance_where(&inputs, doubts, |values| Some(test(values))))
    }

    /// The chance of a check where they come out so; none where they tell nothing of it.
    fn chance_of(&self, check: &Check, doubts: &Doubts) -> Option<f64> {
        if let Some(pose) = &check.pose {
            return self.chance_that(&pose.inputs(), pose.judge(), doubts);
        }
        let holds = |values: &[f64]| Some(values.iter().all(|v| *v >= 0.0));
        self.chance_that(&check.margins().collect::<Vec<_>>(), holds, doubts)
    }

    /// The same of something that hangs on estimates.
    fn chance_that(
        &self,
        asked: &[&Estimate],
        holds: impl Fn(&[f64]) -> Option<bool>,
        doubts: &Doubts,
    ) -> Option<f64> {
        let given = self.inputs();
        let causes = |of: &[&Estimate]| -> BTreeSet<DoubtId> {
            of.iter().flat_map(|e| e.contributions()).map(|(id, _)| id).collect()
        };
        if causes(&given).is_disjoint(&causes(asked)) {
            return None;
        }
        let inputs: Vec<&Estimate> = given.iter().chain(asked).copied().collect();
        variables(&inputs, doubts)?;
        let (comes_so, from) = (self.test(), given.len());
        Some(chance_where(&inputs, doubts, |values| {
            let (given, asked) = values.split_at(from);
            if comes_so(given) { holds(asked) } else { None }
        }))
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use bobbinwright_elementary::Elementary;
    use bobbinwright_spec::{Doubt, Length, Origin};

    use super::*;

    /// Two plays of nought that share half of their variance, one of which went in: the other goes with
    /// (1/4 + arcsin ρ / 2π) / (1/2), ρ = 1/2, which is two thirds (Sheppard 1899, closed form), and where the first jammed
    /// with one third. Where they share nothing a trial tells nothing.
    #[test]
    fn what_went_in_tells_as_much_as_it_shares() {
        let mut doubts = Doubts::default();
        let mut one = || doubts.enter(Doubt::new(None, Origin::Assumed, f64::INFINITY), Length::from_mm(0.1));
        let (rout, cover, baseplate, other) = (one(), one(), one(), one());
        let pose = |play: &Estimate| Pose::of_margins(std::iter::once(play));
        let (tried, asked) = (pose(&(rout.clone() + baseplate)), rout + cover);
        let both = 0.25 + 0.5f64.arcsine() / (2.0 * PI);
        for (goes_in, expected) in [(true, both / 0.5), (false, (0.5 - both) / 0.5)] {
            let all = All { each: vec![(&tried, goes_in)] };
            let holds = |values: &[f64]| Some(values[0] >= 0.0);
            let found = all.chance_that(&[&asked], holds, &doubts).unwrap_or_default();
            assert!((found - expected).abs() < 0.015, "{goes_in}: {found} {expected}");
            assert_eq!(all.chance_that(&[&other], holds, &doubts), None);
            assert!((all.chance(&doubts).unwrap_or_default() - 0.5).abs() < 0.01);
        }
    }
}
