//! The chance of a whole pickup: that everything holds at once.

use bobbinwright_estimate::{chance_where, variables};
use bobbinwright_kernel::threads;
use bobbinwright_spec::{Doubts, Estimate, PartKind, Quantity, TriedWith};

use crate::pose::Pose;
use crate::tried::{All, Told};
use crate::verdict::Verdict;
use crate::{Check, Fit};

/// Whether a position's pickup goes together and into the body.
#[derive(Clone, Debug, PartialEq)]
pub struct Whole {
    /// The position.
    pub position: String,
    /// The chance that all its checks hold at once, 0 to 1.
    pub chance: f64,
    /// In one of three words. While readings contradict each other nothing is known to clash but what does so by itself.
    pub verdict: Verdict,
    /// Index of the check that it hangs on most.
    pub worst: usize,
    /// What contradicts what, so that nothing can be told.
    pub contradicted: Option<Contradicted>,
}

/// What can't be true together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Contradicted {
    /// Readings of this, among themselves or with others: most of a check's doubt comes from that.
    Readings(Quantity),
    /// A part that jams, and what was read.
    Trial,
}

/// What fails more seldom is added up.
const SELDOM: f64 = 1e-4;

/// What all together fail more seldom is not worth drawing.
const CLEAR: f64 = 1e-3;

impl Fit {
    /// The pickups, position by position.
    pub fn wholes(&self) -> &[Whole] {
        self.wholes.get_or_init(|| {
            let mut positions: Vec<&str> = self.checks.iter().map(|c| c.position.as_str()).collect();
            positions.dedup();
            threads::map(&positions, |position| self.whole(position)).into_iter().flatten().collect()
        })
    }

    /// Is the chance of a check no more than even because a part jammed that by what was read goes in?
    pub fn is_held_open(&self, check: &Check) -> bool {
        let holds = |told: &Told| {
            told.contradicts() && !told.trial.goes_in && told.trial.copy.position == check.position
        };
        check.verdict == Verdict::TooClose && check.kind.placed().is_some() && self.told.iter().any(holds)
    }

    fn whole(&self, position: &str) -> Option<Whole> {
        let own = self.checks.iter().enumerate().filter(|(_, c)| c.position == position);
        let mut all: Vec<(usize, &Check)> = own.collect();
        all.sort_by(|a, b| a.1.probability.total_cmp(&b.1.probability));
        let least = all.first()?.1.probability;
        // The same that stands first in a table.
        let first = self.worst_first().into_iter().find(|c| c.position == position)?;
        let worst = self.checks.iter().position(|c| std::ptr::eq(c, first))?;
        let checks: Vec<&Check> = all.into_iter().map(|(_, check)| check).collect();
        // No more than each by itself: draws tell a chance to half a point.
        let chance = together(&checks, self, position).min(least);
        let readings = checks.iter().find_map(|check| check.contradicted(&self.doubts));
        let trial = checks.iter().any(|check| self.is_held_open(check)).then_some(Contradicted::Trial);
        let contradicted = readings.map(Contradicted::Readings).or(trial);
        let is_open = contradicted.is_some() && checks.iter().all(|c| c.verdict != Verdict::Clashes);
        let verdict = if is_open { Verdict::TooClose } else { Verdict::of(chance) };
        Some(Whole { position: position.to_owned(), chance, verdict, worst, contradicted })
    }
}

/// The chance that all of the checks hold, the least likely first: of those that may fail by drawing all of them together, as
/// they share sides, screws and readings; among those draws in which what was tried comes out as it did.
fn together(checks: &[&Check], fit: &Fit, position: &str) -> f64 {
    let sum: f64 = checks.iter().map(|c| fails(c)).sum();
    let often = checks.iter().take_while(|c| fails(c) > SELDOM).count();
    // One by itself is what it was said to be.
    if often < 2 || sum < CLEAR || fails(checks[0]) > 1.0 - SELDOM {
        return (1.0 - sum).max(0.0);
    }
    let question = Question::of(checks, often, fit, position);
    let test = question.test();
    let all_hold = chance_where(&question.inputs(), &fit.doubts, test);
    (all_hold - question.beside).max(0.0)
}

fn fails(check: &Check) -> f64 {
    1.0 - check.probability
}

/// Whether all that may fail of a pickup holds.
pub(crate) struct Question<'c> {
    groups: Vec<Group<'c>>,
    /// What was tried, and that it comes out so.
    told: Vec<&'c Told>,
    given: All<'c>,
    /// How often what is not drawn fails.
    pub beside: f64,
}

impl<'c> Question<'c> {
    /// That of checks, the least likely first, so many of which are drawn.
    fn of(checks: &[&'c Check], often: usize, fit: &'c Fit, position: &str) -> Self {
        let told: Vec<&Told> = fit.told.iter().filter(|told| told.counts_for(position)).collect();
        let needed: Vec<&Estimate> = checks[..often].iter().flat_map(|check| check.inputs()).collect();
        let given = All::beside(&needed, &told, &fit.doubts);
        let (groups, beside) = groups(&checks[..often], given.inputs(), &fit.doubts);
        let beside = beside.iter().chain(&checks[often..]).map(|c| fails(c)).sum();
        Self { groups, told, given, beside }
    }

    /// That of a position.
    pub fn of_position(fit: &'c Fit, position: &str) -> Self {
        let mut checks: Vec<&Check> = fit.checks.iter().filter(|c| c.position == position).collect();
        checks.sort_by(|a, b| a.probability.total_cmp(&b.probability));
        let often = checks.iter().take_while(|c| fails(c) > SELDOM).count();
        Self::of(&checks, often, fit, position)
    }

    /// What it hangs on.
    pub fn inputs(&self) -> Vec<&Estimate> {
        self.given.inputs().into_iter().chain(self.groups.iter().flat_map(Group::inputs)).collect()
    }

    /// Does all of it hold with drawn values of that? None where what was tried would have come out otherwise.
    pub fn test(&self) -> impl Fn(&[f64]) -> Option<bool> {
        let comes_so = (self.given.inputs().len(), self.given.test());
        let tests: Vec<_> = self.groups.iter().map(|g| (g.inputs().len(), g.test())).collect();
        move |values| {
            let mut from = comes_so.0;
            let holds = |(count, test): &(usize, Test)| {
                let own = &values[from..from + count];
                from += count;
                test(own)
            };
            comes_so.1(&values[..comes_so.0]).then(|| tests.iter().all(holds))
        }
    }
}

impl Question<'_> {
    /// Was a part of this kind tried with its screws?
    pub fn is_tried(&self, part: PartKind) -> bool {
        self.told.iter().any(|t| t.trial.copy.kind == part && t.trial.with == TriedWith::Screws)
    }

    /// The chance that one of the parts goes where it must, by itself; none where that is not in doubt, or all that is.
    pub fn chance_of(&self, part: PartKind, doubts: &Doubts) -> Option<f64> {
        let is_it = |group: &&Group| matches!(group, Group::Placed(of, _) if *of == part);
        let group = self.groups.iter().find(is_it).filter(|_| self.groups.len() > 1)?;
        let given = self.given.inputs();
        let (from, comes_so, goes) = (given.len(), self.given.test(), group.test());
        let inputs: Vec<&Estimate> = given.into_iter().chain(group.inputs()).collect();
        Some(chance_where(&inputs, doubts, |v| comes_so(&v[..from]).then(|| goes(&v[from..]))))
    }
}

/// What is drawn as one question.
#[derive(Debug)]
enum Group<'c> {
    /// Margins that must hold.
    Margins(Vec<&'c Estimate>),
    /// A part that has one place, for all that is asked of it.
    Placed(PartKind, Pose),
}

/// Checks in groups, and those that there are no variables left for beside what was tried.
fn groups<'c>(
    checks: &[&'c Check],
    tried: Vec<&'c Estimate>,
    doubts: &Doubts,
) -> (Vec<Group<'c>>, Vec<&'c Check>) {
    let (mut groups, mut beside): (Vec<Group>, _) = (Vec::new(), Vec::new());
    let mut inputs = tried;
    for check in checks {
        let before = inputs.len();
        inputs.extend(check.inputs());
        if variables(&inputs, doubts).is_none() {
            inputs.truncate(before);
            beside.push(*check);
            continue;
        }
        match (&check.pose, check.kind.placed()) {
            (Some(pose), Some(part)) => {
                let same = groups.iter_mut().find_map(|group| match group {
                    Group::Placed(of, known) if *of == part => Some(known),
                    _ => None,
                });
                match same {
                    Some(known) => *known = std::mem::take(known).and(pose),
                    None => groups.push(Group::Placed(part, pose.clone())),
                }
            }
            _ => groups.push(Group::Margins(check.margins().collect())),
        }
    }
    (groups, beside)
}

/// Whether something holds with drawn values.
pub(crate) type Test<'c> = Box<dyn Fn(&[f64]) -> bool + 'c>;

impl Group<'_> {
    /// What it hangs on.
    fn inputs(&self) -> Vec<&Estimate> {
        match self {
            Group::Margins(margins) => margins.clone(),
            Group::Placed(_, pose) => pose.inputs(),
        }
    }

    /// Does it hold with drawn values of that?
    fn test(&self) -> Test<'_> {
        match self {
            Group::Margins(_) => Box::new(|values| values.iter().all(|v| *v >= 0.0)),
            // Where a part can't be where it must is what another check is about.
            Group::Placed(_, pose) => {
                let goes = pose.judge();
                Box::new(move |values| goes(values).unwrap_or(true))
            }
        }
    }
}
