//! Readings whose slip would turn a verdict before anything shows it.

use bobbinwright_estimate::probability;
use bobbinwright_spec::{Doubt, Doubts, Estimate, Family, Guard, Length, Origin, Quantity};

use crate::kind::CheckKind;
use crate::tried::Told;
use crate::verdict::{CONFIDENCE, Verdict};
use crate::{Check, Fit};

/// No slip is larger that nobody sees by eye: so much, nor as much as this share of what was read.
const LARGEST: Length = Length::from_mm(1.5);
const SHARE: f64 = 0.25;

/// What has so many standard uncertainties to spare fits, however little is known of these.
const CLEAR: f64 = 10.0;

/// What is less than this is no slip: a hand scatters by as much (common practice).
const SLIP: Length = Length::from_mm(0.1);

/// So many readings are read again before something else is done.
const READ_AGAIN: usize = 4;

/// A reading that verdicts believe and nothing guards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unguarded {
    /// The position whose verdicts believe it.
    pub position: String,
    /// The reading.
    pub quantity: Quantity,
    /// In which of its spots.
    pub spot: Option<String>,
    /// What would turn if it were misread.
    pub turns: Vec<CheckKind>,
    /// What would show that, read too; none where all that could was read.
    pub by: Option<Quantity>,
}

impl Unguarded {
    /// Would a slip in the reading turn this check?
    pub fn turns(&self, check: &Check) -> bool {
        self.position == check.position && self.turns.contains(&check.kind)
    }
}

impl Fit {
    /// What is called a fit and would not be if one reading were wrong by as much as nothing shows, position by position in the
    /// order of the family, which is the one that was judged.
    pub fn unguarded(&self, family: &Family) -> &[Unguarded] {
        self.unguarded.get_or_init(|| self.find_unguarded(family))
    }

    fn find_unguarded(&self, family: &Family) -> Vec<Unguarded> {
        let mut all: Vec<Unguarded> = Vec::new();
        for position in &family.positions {
            let checks = self.checks.iter().filter(|c| c.position == position.name);
            let fits = checks.filter(|c| c.verdict == Verdict::Fits);
            let fits: Vec<(CheckKind, Vec<Estimate>)> = fits.map(|c| (c.kind, c.all_margins())).collect();
            for guard in &position.guards {
                let turns =
                    fits.iter().filter(|(_, margins)| self.turns(margins, guard)).map(|(kind, _)| *kind);
                for kind in turns {
                    let is_of = |last: &Unguarded| {
                        (&last.position, &last.quantity, &last.spot)
                            == (&position.name, &guard.quantity, &guard.spot)
                    };
                    if !all.last().is_some_and(is_of) {
                        let Guard { quantity, spot, by, .. } = guard.clone();
                        let position = position.name.clone();
                        all.push(Unguarded { position, quantity, spot, turns: Vec::new(), by });
                    }
                    if let Some(last) = all.last_mut().filter(|last| !last.turns.contains(&kind)) {
                        last.turns.push(kind);
                    }
                }
            }
        }
        all
    }

    /// The readings of which the smallest slip, and no larger one than would go unnoticed, would be all that a check lacks; and
    /// how large that is, about alike of all of them. None of a check that lacks nothing.
    pub fn slip_behind<'f>(&self, family: &'f Family, check: &Check) -> Option<(Vec<&'f Guard>, Length)> {
        let position = family.positions.iter().find(|position| position.name == check.position)?;
        let lacks = Length::ZERO - check.margin.value();
        let slips = position.guards.iter().filter_map(|guard| {
            let moves = guard.moves(&check.margin).abs();
            let slip = if moves > 0.0 { lacks / moves } else { return None };
            (slip >= SLIP && slip <= unseen(guard)).then_some((guard, slip))
        });
        let mut slips: Vec<(&Guard, Length)> = slips.filter(|_| lacks > Length::ZERO).collect();
        slips.sort_by(|a, b| a.1.as_mm().total_cmp(&b.1.as_mm()));
        let least = slips.first()?.1;
        let alike = slips.into_iter().filter(|(_, slip)| *slip < least * 1.25).take(READ_AGAIN);
        Some((alike.map(|(guard, _)| guard).collect(), least))
    }

    /// Readings of which one, wrong by no more than would go unnoticed, would explain how a part went that by what was read goes
    /// otherwise: the smallest slip first, with how large it is. Nothing where the trial is borne out.
    pub fn slips_behind_trial<'f>(&self, family: &'f Family, told: &Told) -> Vec<(&'f Guard, Length)> {
        let copy = &told.trial.copy;
        let Some(position) = family.positions.iter().find(|p| told.contradicts() && p.name == copy.position)
        else {
            return Vec::new();
        };
        let placed = self.checks.iter().filter(|c| c.pose.is_some() && c.position == copy.position);
        let placed: Vec<&Check> = placed.filter(|c| c.kind.is_asked_of(copy.kind, told.trial.with)).collect();
        let slip = |guard: &'f Guard| {
            let explains = placed.iter().filter_map(|check| {
                let off = if told.trial.goes_in {
                    Length::ZERO - check.margin.value()
                } else {
                    check.margin.value()
                };
                let moves = guard.moves(&check.margin).abs();
                (off > Length::ZERO && moves > 0.0).then(|| off / moves)
            });
            let least = explains.reduce(Length::min)?;
            (least <= unseen(guard)).then_some((guard, least))
        };
        let mut all: Vec<(&Guard, Length)> = position.guards.iter().filter_map(slip).collect();
        all.sort_by(|a, b| a.1.as_mm().total_cmp(&b.1.as_mm()));
        all.truncate(READ_AGAIN);
        all
    }

    /// Would a fit be none if a reading were wrong by the largest slip that does not show?
    fn turns(&self, margins: &[Estimate], guard: &Guard) -> bool {
        let slip = unseen(guard);
        margins.iter().any(|margin| {
            let less = margin.value() - slip * guard.moves(margin).abs();
            less < margin.value()
                && less < margin.uncertainty() * CLEAR
                && probability(&margin.clone().moved_to(less), &self.doubts) < CONFIDENCE
        })
    }
}

/// The largest slip in a reading that neither other readings nor the eye would show.
fn unseen(guard: &Guard) -> Length {
    let to_the_eye = LARGEST.min(guard.read.abs() * SHARE);
    guard.least_slip.map_or(to_the_eye, |slip| slip.min(to_the_eye))
}

impl Check {
    /// Of readings that contradict each other, or others, what they are of; where most of the doubt comes from that, so that
    /// nothing else is known to be wrong.
    pub fn contradicted(&self, doubts: &Doubts) -> Option<Quantity> {
        let of = |doubt: &Doubt| doubt.quantity.clone().filter(|_| doubt.origin == Origin::Contradiction);
        let (of, share) = doubts.shares(&self.margin, of).into_iter().find(|(of, _)| of.is_some())?;
        of.filter(|_| share > 0.5 && self.verdict == Verdict::TooClose)
    }

    /// All margins that must hold, those too that have far more to spare than they are in doubt.
    fn all_margins(&self) -> Vec<Estimate> {
        match &self.pose {
            Some(pose) => pose.all_certificates().into_iter().map(|c| c.margin).collect(),
            None => self.margins().cloned().collect(),
        }
    }
}
