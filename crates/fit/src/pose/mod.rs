//! One place of a part in the rout that meets all conditions at once.
//!
//! A part that lies loose in the rout is moved by dx and dy and turned by a small angle, the same for all that it must
//! meet: the rout's sides and corners, screws through its holes, heads in their seats. Each of these is linear in the
//! motion, or a disc in which a point of the part must stay.
//!
//! Where the part lies best, few conditions hold it; their weights make its margin a linear function of all sizes, an
//! [`Estimate`] with all its doubts: a *certificate*. The part goes in exactly if every such certificate is positive
//! (Farkas), and the few that matter are found by solving again at the sizes at which one of them is most likely to fail.
//! They say what holds and what to change. The chance is not theirs: where doubts are as large as the play they miss
//! ways to fail, so it comes from programmes solved on drawn sizes.

mod condition;
mod drawn;
mod ears;
mod in_rout;
mod program;
mod sizes;
mod slanted;
#[cfg(test)]
mod tests;

pub(crate) use condition::Condition;
pub(crate) use ears::outwards;
pub(crate) use in_rout::{Lies, body, ears_with_body, heads_beside_body, over_screws};

use std::collections::VecDeque;

use bobbinwright_elementary::Elementary;
use bobbinwright_estimate::{chance_where, variables};
use bobbinwright_spec::{Doubts, Estimate, Length};

use crate::kind::Where;
use condition::{Asked, Touch};
use drawn::{Drawn, Which};
use program::{Best, Cut};
use sizes::{Shares, Sizes, UNLIKELY, between};

/// Conditions on the place of one part.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Pose {
    conditions: Vec<(Condition, Asked)>,
    /// By how much the part is turned from how it was drawn, before it is moved.
    turned: f64,
}

/// What holds a part at its best place.
#[derive(Clone, Debug)]
pub(crate) struct Certificate {
    /// What is left of the conditions.
    pub margin: Estimate,
    /// Where that is decided most.
    pub at: Where,
}

/// So many certificates are looked at.
const MOST: usize = 32;

/// What fails more seldom is not worth drawing.
const SELDOM: f64 = 1e-3;

/// No chance is told more closely.
const HALF_A_POINT: f64 = 0.005;

impl Pose {
    /// Margins that hang on no place.
    pub fn of_margins<'e>(margins: impl Iterator<Item = &'e Estimate>) -> Self {
        let mut pose = Self::default();
        for margin in margins {
            pose.must(Condition::fixed(margin.clone()), Where::Alike);
        }
        pose
    }

    /// Does nothing hang on the place?
    fn is_fixed(&self) -> bool {
        self.conditions.iter().all(|(condition, _)| condition.is_fixed())
    }

    /// What the part must keep to, without a margin of its own.
    pub fn within(&mut self, condition: Condition) {
        self.conditions.push((condition, Asked::Only));
    }

    /// What shall have a margin.
    pub fn must(&mut self, condition: Condition, at: Where) {
        self.conditions.push((condition, Asked::Margin(at)));
    }

    /// The same with the part turned as it lies best, so that what is left to turn is so little that it is linear. (At half a
    /// degree a turn taken for linear is wrong by 0.0016 mm.)
    #[must_use]
    pub fn at_its_turn(self) -> Self {
        const ENOUGH: f64 = 1e-4;
        const ROUNDS: usize = 4;
        let mut pose = self;
        for _ in 0..ROUNDS {
            let values: Vec<f64> = pose.inputs().iter().map(|e| e.value().as_mm()).collect();
            let best = |all_share| program::best(&pose.at(&values, all_share));
            let Some(best) = best(false).or_else(|| best(true)) else { break };
            let turn = best.pose[2] / program::REACH;
            if turn.abs() < ENOUGH {
                break;
            }
            pose = pose.turned_by(turn);
        }
        pose
    }

    fn turned_by(&self, turn: f64) -> Self {
        let conditions = self.conditions.iter().map(|(c, asked)| (c.turned(turn), *asked));
        Self { conditions: conditions.collect(), turned: self.turned + turn }
    }

    /// The margins that say what holds the part, the best place's first. Empty where nothing holds it.
    ///
    /// Where what it must keep to can't be kept, all conditions share the margin that is lacking.
    pub fn certificates(&self) -> Vec<Certificate> {
        self.certificates_within(UNLIKELY)
    }

    /// With those too that only a slip of the hand makes fail.
    pub fn all_certificates(&self) -> Vec<Certificate> {
        self.certificates_within(f64::INFINITY)
    }

    fn certificates_within(&self, spare: f64) -> Vec<Certificate> {
        let sizes = Sizes::of(&self.inputs());
        let all_share = program::best(&self.at(&sizes.values, false)).is_none();
        let found = self.holding(&sizes, all_share, spare);
        let found: Vec<Certificate> =
            found.into_iter().filter_map(|(_, best)| self.certificate(&best)).collect();
        if found.is_empty() { self.as_it_lies(&sizes) } else { found }
    }

    /// What is left of each condition as long as the part is not moved: where no search finds what holds it, that is better than
    /// to say nothing.
    fn as_it_lies(&self, sizes: &Sizes) -> Vec<Certificate> {
        let cuts = self.at(&sizes.values, true).cuts([0.0; 3]).collect::<Vec<_>>();
        cuts.into_iter().filter_map(|cut| self.certificate(&Best::of(cut))).collect()
    }

    /// What holds the part, with the share that each size has in it, at its best place and wherever else sizes that may
    /// be so put it.
    fn holding(&self, sizes: &Sizes, all_share: bool, spare: f64) -> Vec<(Shares, Best)> {
        let mut found: Vec<(Shares, Best)> = Vec::new();
        let mut open = self.starts(sizes, all_share, spare);
        while let Some(at) = open.pop_front() {
            let Some(best) = program::best(&self.at(&at, all_share)) else { continue };
            let shares = self.shares(&best);
            let is_new = || found.iter().all(|(known, _)| shares.differ(known));
            if best.held.is_empty() || !is_new() {
                continue;
            }
            let (margin, u) = sizes.margin(&shares);
            if margin < UNLIKELY * u && found.len() < MOST {
                // A little to either side of where it fails others may hold the part.
                open.extend([0.5, -0.5].map(|beyond| sizes.failing(&shares, beyond)));
            }
            found.push((shares, best));
        }
        found
    }

    /// Sizes to begin with: as they are, and where each condition is most likely to fail at the best place, if it has no more
    /// than so many times its uncertainty to spare there.
    fn starts(&self, sizes: &Sizes, all_share: bool, spare: f64) -> VecDeque<Vec<f64>> {
        let mut starts = VecDeque::from([sizes.values.clone()]);
        let drawn = self.at(&sizes.values, all_share);
        let Some(best) = program::best(&drawn) else { return starts };
        for cut in drawn.cuts(best.pose) {
            // A point may be too far off in any direction, a side touch anywhere.
            let others = match self.conditions[cut.of].0 {
                Condition::Round { corner: None, .. } => {
                    [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]].map(Touch::Towards).to_vec()
                }
                Condition::Along { .. } => [-1.0, 0.0, 1.0].map(Touch::At).to_vec(),
                _ => Vec::new(),
            };
            let others = others.into_iter().map(|touch| drawn.cut(cut.of, touch));
            // A corner that the sides decide; not what hangs on no place.
            let is_none =
                |cut: &Cut| cut.touch == Touch::Towards([0.0, 0.0]) && !self.conditions[cut.of].0.is_fixed();
            for cut in std::iter::once(cut).chain(others).filter(|cut| !is_none(cut)) {
                let mut shares = Shares::default();
                self.share(&cut, 1.0, &mut shares);
                let moved: f64 = (0..3).map(|i| cut.slope[i] * best.pose[i]).sum();
                starts.extend(sizes.failing_from(&shares, moved, 0.5, spare));
            }
        }
        starts
    }

    /// What each estimate has in what holds a part.
    fn shares(&self, best: &Best) -> Shares {
        let mut shares = Shares::default();
        for (cut, weight) in &best.held {
            self.share(cut, *weight, &mut shares);
        }
        shares
    }

    fn share(&self, cut: &Cut, weight: f64, shares: &mut Shares) {
        let from: usize = self.conditions[..cut.of].iter().map(|(c, _)| c.count()).sum();
        let of_it = self.conditions[cut.of].0.shares(cut.touch);
        for (i, share) in of_it.into_iter().enumerate().filter(|(_, share)| *share != 0.0) {
            shares.add(from + i, weight * share);
        }
    }

    fn certificate(&self, best: &Best) -> Option<Certificate> {
        let inputs = self.inputs();
        let shares = self.shares(best);
        let margin =
            shares.iter().fold(Estimate::default(), |sum, (i, share)| sum + inputs[i].clone() * share);
        let asked = best.held.iter().filter_map(|(cut, weight)| match self.conditions[cut.of].1 {
            Asked::Margin(at) => Some((*weight, at)),
            Asked::Only => None,
        });
        let (_, at) = asked.max_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(Certificate { margin, at })
    }

    /// The same conditions with every estimate exchanged for another.
    #[must_use]
    pub fn with(&self, of: impl Fn(&Estimate) -> Estimate) -> Self {
        let conditions = self.conditions.iter().map(|(c, asked)| (c.with(&of), *asked)).collect();
        Self { conditions, turned: self.turned }
    }

    /// Where the part lies best, from how its conditions have it: dx, dy, mm, and the turn; none where it can't be where it
    /// must.
    pub fn best_place(&self) -> Option<[f64; 3]> {
        let values: Vec<f64> = self.inputs().iter().map(|e| e.value().as_mm()).collect();
        let [dx, dy, turned] = program::best(&self.at(&values, false))?.pose;
        Some([dx, dy, turned / program::REACH])
    }

    /// How far a place on the part can be moved in a direction and against it; none where the part can't be where it must, or
    /// nothing stops it.
    fn reaches(&self, point: [f64; 2], [u, v]: [f64; 2]) -> Option<[Estimate; 2]> {
        const SAME: f64 = 1e-3;
        let most = |towards: [f64; 2]| {
            let mut pose = self.clone();
            // It has a margin of as much as it is moved the other way.
            let there = Condition::Side { point, towards, room: Estimate::default() };
            pose.must(there, Where::Alike);
            let sizes = Sizes::of(&pose.inputs());
            let best = program::best(&pose.at(&sizes.values, false))?;
            let margin = pose.certificate(&best)?.margin;
            // What the search's own bounds hold is held by nothing.
            if (margin.value().as_mm() - best.margin).abs() > SAME {
                return None;
            }
            // The programme stops within less than a nanometre: what is evenly in the middle is not to seem beside it.
            let value = Length::from_mm((margin.value().as_mm() * 1e6).round() / 1e6);
            Some(margin.moved_to(value))
        };
        Some([most([-u, -v])?, most([u, v])?])
    }

    /// One part that must keep to what either pose asks of it. What only one of them takes for granted is asked of it if the
    /// other asks that.
    #[must_use]
    pub fn and(mut self, other: &Self) -> Self {
        self.conditions.extend(other.turned_by(self.turned - other.turned).conditions);
        let is_asked = |one: &Condition| {
            self.conditions.iter().any(|(c, asked)| *asked != Asked::Only && c.is_beside(one))
        };
        let kept = self.conditions.iter().filter(|(c, asked)| *asked != Asked::Only || !is_asked(c));
        Self { conditions: kept.cloned().collect(), turned: self.turned }
    }

    /// The same where the half of the part that lies in a direction has all the room it wants.
    #[must_use]
    pub fn relieved(&self, towards: [f64; 2]) -> Self {
        let of = |(condition, asked): &(Condition, Asked)| {
            let asked = *asked;
            condition.relieved(towards).into_iter().map(move |condition| (condition, asked))
        };
        Self { conditions: self.conditions.iter().flat_map(of).collect(), turned: self.turned }
    }

    /// By how much the part is turned before it is moved.
    pub fn turned(&self) -> f64 {
        self.turned
    }

    /// Where a place of the part is on the part as it was drawn.
    pub fn as_drawn(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let (sine, cosine) = (self.turned.sine(), self.turned.cosine());
        [x * cosine + y * sine, y * cosine - x * sine]
    }

    /// The conditions.
    pub fn conditions(&self) -> impl Iterator<Item = &Condition> {
        self.conditions.iter().map(|(condition, _)| condition)
    }

    /// What is left at the best place, mm: of all conditions where what must only hold can't.
    pub fn left(&self) -> f64 {
        let values: Vec<f64> = self.inputs().iter().map(|e| e.value().as_mm()).collect();
        if self.is_fixed() {
            return values.into_iter().fold(f64::INFINITY, f64::min);
        }
        let best = |all_share| program::best(&self.at(&values, all_share));
        best(false).or_else(|| best(true)).map_or(0.0, |best| best.margin)
    }

    /// The chance that there is a place that meets all, if there is one for what must only hold. Where the margins
    /// that hold it fail so seldom, or so often, by themselves that it is known to half a point, nothing is drawn. It may well
    /// be worse than that of all margins together, as no list of what holds a part in discs is complete.
    pub fn chance<'e>(&self, margins: impl Iterator<Item = &'e Estimate>, doubts: &Doubts) -> f64 {
        let [low, high] = between(margins, doubts);
        // Straight sides have few ways to hold a part; round a screw there is no end of them.
        let is_free = |(c, _): &(Condition, Asked)| matches!(c, Condition::Round { corner: None, .. });
        let is_told = high - low < HALF_A_POINT && !self.conditions.iter().any(is_free);
        if 1.0 - low < SELDOM || high < HALF_A_POINT || is_told {
            return low.max(0.0);
        }
        self.drawn(doubts)
    }

    /// Is that chance so high? Nothing is drawn where one margin alone says no.
    pub fn holds_with(&self, chance: f64, doubts: &Doubts) -> bool {
        if self.is_fixed() {
            return bobbinwright_estimate::holds_with(chance, self.inputs(), doubts);
        }
        let certificates = self.certificates();
        let margins: Vec<&Estimate> = certificates.iter().map(|c| &c.margin).collect();
        let [_, high] = between(margins.iter().copied(), doubts);
        high >= chance && self.chance(margins.into_iter(), doubts) >= chance
    }

    /// The chance that there is a place that meets all, if there is one that meets what must only hold, by drawing.
    fn drawn(&self, doubts: &Doubts) -> f64 {
        let inputs = self.inputs();
        if variables(&inputs, doubts).is_none() {
            // More doubts than can be drawn: at least so often nothing fails.
            let certificates = self.certificates();
            return between(certificates.iter().map(|c| &c.margin), doubts)[0].max(0.0);
        }
        chance_where(&inputs, doubts, self.judge())
    }

    /// Is there a place that meets all, with drawn values of the [inputs](Self::inputs)? None where there is none for what must
    /// only hold.
    ///
    /// Most draws are decided by a look: they go where all usually does, or one of the certificates is against them,
    /// which is true of whatever sizes, to a fraction of a micrometre beside sides that slope. The others are solved.
    pub fn judge(&self) -> impl Fn(&[f64]) -> Option<bool> + '_ {
        let sizes = Sizes::of(&self.inputs());
        let conditions = self.conditions.as_slice();
        let at = |which| Drawn { conditions, values: &sizes.values, which };
        let usual = |which| program::best(&at(which)).map_or([0.0; 3], |best| best.pose);
        let (with_all, with_what_must) = (usual(Which::AllShare), usual(Which::MustHold));
        let holding = self.holding(&sizes, true, UNLIKELY);
        // Where it lies at other sizes that may be so is worth a look too.
        let (against, elsewhere): (Vec<Shares>, Vec<[f64; 3]>) =
            holding.into_iter().map(|(shares, best)| (shares, best.pose)).unzip();
        move |values| {
            let drawn = |which| Drawn { conditions, values, which };
            let all = drawn(Which::AllShare);
            let is_against = |shares: &Shares| shares.margin(values) < 0.0;
            let goes = all.is_met(with_all)
                || (!against.iter().any(is_against)
                    && (elsewhere.iter().any(|pose| all.is_met(*pose)) || program::is_possible(&all)));
            // A part that can't be where it must is another question.
            let can_be = |drawn: Drawn| drawn.is_met(with_what_must) || program::is_possible(&drawn);
            (goes || can_be(drawn(Which::MustHold))).then_some(goes)
        }
    }

    /// All estimates, condition after condition.
    pub fn inputs(&self) -> Vec<&Estimate> {
        self.conditions.iter().flat_map(|(condition, _)| condition.inputs()).collect()
    }

    fn at<'p>(&'p self, values: &'p [f64], all_share: bool) -> Drawn<'p> {
        let which = if all_share { Which::AllShare } else { Which::Asked };
        Drawn { conditions: &self.conditions, values, which }
    }
}
