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

mod in_rout;
mod program;

pub(crate) use in_rout::{body, ears, heads_beside_body, over_screws};

use std::collections::VecDeque;

use bobbinwright_estimate::{chance_where, probability};
use bobbinwright_spec::{Doubts, Estimate};

use crate::kind::Where;
use program::{Best, Conditions, Cut, REACH};

/// Something that must hold for the place of a part.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Condition {
    /// A point of the part, mm from the middle, must not go further than so far in a direction.
    Side { point: [f64; 2], towards: [f64; 2], room: Estimate },
    /// A point of the part, mm from the middle, must stay within so far of a place; it is `off` that place as long as
    /// the part is not moved. In a corner only one quarter of the directions counts.
    Round { point: [f64; 2], off: [Estimate; 2], room: Estimate, corner: Option<[f64; 2]> },
}

impl Condition {
    /// How many estimates it has.
    fn inputs(&self) -> usize {
        match self {
            Condition::Side { .. } => 1,
            Condition::Round { .. } => 3,
        }
    }

    /// What is left of it as long as the part is not moved, mm.
    fn left(&self) -> f64 {
        match self {
            Condition::Side { room, .. } => room.value().as_mm(),
            Condition::Round { off: [x, y], room, corner, .. } => {
                let off = [x, y].map(|e| e.value().as_mm());
                let [u, v] = direction(off, *corner);
                room.value().as_mm() - u * off[0] - v * off[1]
            }
        }
    }
}

/// Conditions on the place of one part.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Pose {
    conditions: Vec<(Condition, Asked)>,
}

/// What is asked of a condition.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Asked {
    /// That it holds.
    Only,
    /// A margin; and where that is.
    Margin(Where),
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

/// What beside a corner is left of it, mm: the sides decide there.
const FAR_OFF: f64 = 1000.0;

/// What fails more seldom is not worth drawing.
const SELDOM: f64 = 1e-3;

/// No chance is told more closely.
const HALF_A_POINT: f64 = 0.005;

/// What has so many times its uncertainty to spare is not pursued: it fails once in a million.
const UNLIKELY: f64 = 4.75;

impl Pose {
    /// What the part must keep to, without a margin of its own.
    pub fn within(&mut self, condition: Condition) {
        self.conditions.push((condition, Asked::Only));
    }

    /// What shall have a margin.
    pub fn must(&mut self, condition: Condition, at: Where) {
        self.conditions.push((condition, Asked::Margin(at)));
    }

    /// The margins that say what holds the part, the best place's first. Empty where nothing holds it.
    ///
    /// Where what it must keep to can't be kept, all conditions share the margin that is lacking.
    pub fn certificates(&self) -> Vec<Certificate> {
        let sizes = Sizes::of(&self.inputs());
        let all_share = program::best(&self.at(&sizes.values, false)).is_none();
        let found = self.holding(&sizes, all_share);
        found.into_iter().filter_map(|(_, best)| self.certificate(&best)).collect()
    }

    /// What holds the part, with the share that each size has in it, at its best place and wherever else sizes that may
    /// be so put it.
    fn holding(&self, sizes: &Sizes, all_share: bool) -> Vec<(Vec<f64>, Best)> {
        let mut found: Vec<(Vec<f64>, Best)> = Vec::new();
        let mut open = self.starts(sizes, all_share);
        while let Some(at) = open.pop_front() {
            let Some(best) = program::best(&self.at(&at, all_share)) else { continue };
            let shares = self.shares(&best);
            let is_new = || found.iter().all(|(known, _)| differ(known, &shares));
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

    /// Sizes to begin with: as they are, and where each condition is most likely to fail at the best place.
    fn starts(&self, sizes: &Sizes, all_share: bool) -> VecDeque<Vec<f64>> {
        let mut starts = VecDeque::from([sizes.values.clone()]);
        let drawn = self.at(&sizes.values, all_share);
        let Some(best) = program::best(&drawn) else { return starts };
        for cut in drawn.cuts(best.pose) {
            // A point may be too far off in any direction.
            let axes = [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]];
            let is_free = matches!(self.conditions[cut.of].0, Condition::Round { corner: None, .. });
            let others = axes.into_iter().filter(|_| is_free).map(|towards| drawn.cut(cut.of, towards));
            for cut in std::iter::once(cut).chain(others).filter(|cut| cut.towards != [0.0, 0.0]) {
                let mut shares = vec![0.0; sizes.values.len()];
                self.share(&cut, 1.0, &mut shares);
                let moved: f64 = (0..3).map(|i| cut.slope[i] * best.pose[i]).sum();
                starts.extend(sizes.failing_from(&shares, moved, 0.5));
            }
        }
        starts
    }

    /// What each estimate has in what holds a part.
    fn shares(&self, best: &Best) -> Vec<f64> {
        let mut shares = vec![0.0; self.conditions.iter().map(|(c, _)| c.inputs()).sum()];
        for (cut, weight) in &best.held {
            self.share(cut, *weight, &mut shares);
        }
        shares
    }

    fn share(&self, cut: &Cut, weight: f64, shares: &mut [f64]) {
        let from: usize = self.conditions[..cut.of].iter().map(|(c, _)| c.inputs()).sum();
        shares[from] += weight;
        if let Condition::Round { .. } = self.conditions[cut.of].0 {
            shares[from + 1] -= weight * cut.towards[0];
            shares[from + 2] -= weight * cut.towards[1];
        }
    }

    fn certificate(&self, best: &Best) -> Option<Certificate> {
        let inputs = self.inputs();
        let shares = self.shares(best);
        let terms = inputs.iter().zip(shares).filter(|(_, share)| *share != 0.0);
        let margin = terms.fold(Estimate::default(), |sum, (input, share)| sum + (*input).clone() * share);
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
        let exchanged = |condition: &Condition| match condition {
            Condition::Side { point, towards, room } => {
                Condition::Side { point: *point, towards: *towards, room: of(room) }
            }
            Condition::Round { point, off: [x, y], room, corner } => {
                Condition::Round { point: *point, off: [of(x), of(y)], room: of(room), corner: *corner }
            }
        };
        Self { conditions: self.conditions.iter().map(|(c, asked)| (exchanged(c), *asked)).collect() }
    }

    /// What is left at the best place if all conditions share it, mm.
    pub fn left(&self) -> f64 {
        let values: Vec<f64> = self.inputs().iter().map(|e| e.value().as_mm()).collect();
        let at = self.at(&values, true);
        program::best(&at).and_then(|best| at.worst(best.pose, 0.0)).map_or(0.0, |(_, left)| left)
    }

    /// The chance that there is a place that meets all, if there is one for what must only hold. Where the margins
    /// that hold it fail so seldom, or so often, by themselves that it is known, nothing is drawn. Draws are normal; no
    /// chance is better than that of a margin by itself, which knows how many readings it rests on.
    pub fn chance<'e>(&self, margins: impl Iterator<Item = &'e Estimate>, doubts: &Doubts) -> f64 {
        let [low, high] = between(margins, doubts);
        // Straight sides have few ways to hold a part; round a screw there is no end of them.
        let is_free = |(c, _): &(Condition, Asked)| matches!(c, Condition::Round { corner: None, .. });
        let is_told = high - low < HALF_A_POINT && !self.conditions.iter().any(is_free);
        if 1.0 - low < SELDOM || high < HALF_A_POINT || is_told {
            return low.max(0.0);
        }
        self.drawn().clamp(low.max(0.0), high)
    }

    /// Is that chance so high? Nothing is drawn where the margins tell.
    pub fn holds_with<'e>(
        &self,
        chance: f64,
        margins: impl Iterator<Item = &'e Estimate>,
        doubts: &Doubts,
    ) -> bool {
        let [low, high] = between(margins, doubts);
        low >= chance || (high >= chance && self.drawn() >= chance)
    }

    /// The chance that there is a place that meets all, if there is one that meets what must only hold, by drawing.
    ///
    /// Most draws are decided by a look: they go where all usually does, or one of the certificates is against them,
    /// which is true of whatever sizes. The others are solved.
    fn drawn(&self) -> f64 {
        let inputs = self.inputs();
        let sizes = Sizes::of(&inputs);
        let conditions = self.conditions.as_slice();
        let at = |which| Drawn { conditions, values: &sizes.values, which };
        let usual = |which| program::best(&at(which)).map_or([0.0; 3], |best| best.pose);
        let (with_all, with_what_must) = (usual(Which::AllShare), usual(Which::MustHold));
        let holding = self.holding(&sizes, true);
        let sparse = |(shares, _): &(Vec<f64>, Best)| -> Vec<(usize, f64)> {
            shares.iter().copied().enumerate().filter(|(_, share)| *share != 0.0).collect()
        };
        let against: Vec<Vec<(usize, f64)>> = holding.iter().map(sparse).collect();
        // Where it lies at other sizes that may be so is worth a look too.
        let elsewhere: Vec<[f64; 3]> = holding.iter().map(|(_, best)| best.pose).collect();
        chance_where(&inputs, |values| {
            let drawn = |which| Drawn { conditions, values, which };
            let all = drawn(Which::AllShare);
            let is_against = |shares: &Vec<(usize, f64)>| {
                shares.iter().map(|(i, share)| share * values[*i]).sum::<f64>() < 0.0
            };
            let goes = all.is_met(with_all)
                || (!against.iter().any(is_against)
                    && (elsewhere.iter().any(|pose| all.is_met(*pose)) || program::is_possible(&all)));
            // A part that can't be where it must is another question.
            let can_be = |drawn: Drawn| drawn.is_met(with_what_must) || program::is_possible(&drawn);
            (goes || can_be(drawn(Which::MustHold))).then_some(goes)
        })
    }

    /// All estimates, condition after condition.
    pub fn inputs(&self) -> Vec<&Estimate> {
        fn of(condition: &Condition) -> Vec<&Estimate> {
            match condition {
                Condition::Side { room, .. } => vec![room],
                Condition::Round { off: [x, y], room, .. } => vec![room, x, y],
            }
        }
        self.conditions.iter().flat_map(|(condition, _)| of(condition)).collect()
    }

    fn at<'p>(&'p self, values: &'p [f64], all_share: bool) -> Drawn<'p> {
        let which = if all_share { Which::AllShare } else { Which::Asked };
        Drawn { conditions: &self.conditions, values, which }
    }
}

/// Values and covariances of all estimates, so that the search does without them.
struct Sizes {
    values: Vec<f64>,
    covariances: Vec<Vec<f64>>,
}

impl Sizes {
    fn of(inputs: &[&Estimate]) -> Self {
        let values = inputs.iter().map(|e| e.value().as_mm()).collect();
        let mut covariances = vec![vec![0.0; inputs.len()]; inputs.len()];
        for (i, a) in inputs.iter().enumerate() {
            for (k, b) in inputs[..=i].iter().enumerate() {
                let shared = a.covariance(b);
                (covariances[i][k], covariances[k][i]) = (shared, shared);
            }
        }
        Self { values, covariances }
    }

    /// A margin's covariances with all estimates.
    fn with_all(&self, shares: &[f64]) -> Vec<f64> {
        let of = |row: &Vec<f64>| row.iter().zip(shares).map(|(c, s)| c * s).sum();
        self.covariances.iter().map(of).collect()
    }

    /// A margin and its standard uncertainty.
    fn margin(&self, shares: &[f64]) -> (f64, f64) {
        let value = self.values.iter().zip(shares).map(|(v, s)| v * s).sum();
        let var: f64 = self.with_all(shares).iter().zip(shares).map(|(c, s)| c * s).sum();
        (value, var.max(0.0).sqrt())
    }

    /// The sizes at which a margin is most likely to be a little less than nought: `beyond` times its uncertainty.
    fn failing(&self, shares: &[f64], beyond: f64) -> Vec<f64> {
        self.failing_from(shares, 0.0, beyond).unwrap_or_else(|| self.values.clone())
    }

    /// The same for a margin to which something is added; none where it has no doubt.
    fn failing_from(&self, shares: &[f64], added: f64, beyond: f64) -> Option<Vec<f64>> {
        let (margin, u) = self.margin(shares);
        let by = (-(margin + added) - beyond * u) / (u * u);
        let moved = self.values.iter().zip(self.with_all(shares)).map(|(v, c)| v + c * by);
        (u > 0.0).then(|| moved.collect())
    }
}

/// The least and the greatest chance that all margins hold, by those of each: whether they fail together or one by one.
fn between<'e>(margins: impl Iterator<Item = &'e Estimate>, doubts: &Doubts) -> [f64; 2] {
    margins.map(|m| probability(m, doubts)).fold([1.0, 1.0], |[low, high], p| [low - (1.0 - p), high.min(p)])
}

/// Do two certificates weigh the sizes differently?
fn differ(one: &[f64], other: &[f64]) -> bool {
    one.iter().zip(other).any(|(a, b)| (a - b).abs() > 0.02)
}

/// Conditions at drawn sizes.
struct Drawn<'p> {
    conditions: &'p [(Condition, Asked)],
    values: &'p [f64],
    which: Which,
}

/// Which conditions share a margin.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Which {
    /// Those that are to have one.
    Asked,
    /// All.
    AllShare,
    /// Those that must only hold, the others left out.
    MustHold,
}

/// How a point of the part moves in a direction, by dx, dy and turn times [`REACH`].
fn slope([x, y]: [f64; 2], [u, v]: [f64; 2]) -> [f64; 3] {
    [u, v, (v * x - u * y) / REACH]
}

impl Drawn<'_> {
    /// All conditions at a place, the round ones cut where a point is furthest off.
    fn cuts(&self, pose: [f64; 3]) -> impl Iterator<Item = Cut> {
        let mut from = 0;
        self.conditions.iter().enumerate().map(move |(of, (condition, _))| {
            let (cut, used) = match condition {
                Condition::Side { towards, .. } => (self.cut_at(of, from, *towards), 1),
                Condition::Round { point, corner, .. } => {
                    let turn = pose[2] / REACH;
                    let x = self.values[from + 1] + pose[0] - turn * point[1];
                    let y = self.values[from + 2] + pose[1] + turn * point[0];
                    (self.cut_at(of, from, direction([x, y], *corner)), 3)
                }
            };
            from += used;
            cut
        })
    }

    /// One condition in a direction.
    fn cut(&self, of: usize, towards: [f64; 2]) -> Cut {
        self.cut_at(of, self.conditions[..of].iter().map(|(c, _)| c.inputs()).sum(), towards)
    }

    /// The same, whose values begin at a place in the list.
    fn cut_at(&self, of: usize, from: usize, towards: [f64; 2]) -> Cut {
        let (condition, asked) = &self.conditions[of];
        let (point, room) = match condition {
            Condition::Side { point, .. } => (*point, self.values[from]),
            Condition::Round { point, .. } => {
                let off = self.values[from + 1] * towards[0] + self.values[from + 2] * towards[1];
                let is_beside = towards == [0.0, 0.0];
                (*point, if is_beside { FAR_OFF } else { self.values[from] - off })
            }
        };
        let share = if self.which == Which::AllShare || *asked != Asked::Only { 1.0 } else { 0.0 };
        Cut { slope: slope(point, towards).map(|s| -s), room, share, of, towards }
    }
}

impl Drawn<'_> {
    /// What is left of every condition that counts at a place: its number, where its values begin, whether a margin is
    /// asked of it, the direction in which it was taken, and what is left.
    fn left(&self, [dx, dy, turned]: [f64; 3]) -> impl Iterator<Item = (usize, usize, bool, [f64; 2], f64)> {
        let turn = turned / REACH;
        let mut from = 0;
        let all = self.conditions.iter().enumerate().map(move |(of, (condition, asked))| {
            let at = from;
            let is_asked = *asked != Asked::Only;
            match condition {
                Condition::Side { point: [x, y], towards: [u, v], .. } => {
                    from += 1;
                    let left = self.values[at] - u * dx - v * dy - (v * x - u * y) * turn;
                    (of, at, is_asked, [*u, *v], left)
                }
                Condition::Round { point: [x, y], corner, .. } => {
                    from += 3;
                    let off = [self.values[at + 1] + dx - turn * y, self.values[at + 2] + dy + turn * x];
                    let towards = direction(off, *corner);
                    let is_beside = towards == [0.0, 0.0];
                    let left = self.values[at] - off[0] * towards[0] - off[1] * towards[1];
                    (of, at, is_asked, towards, if is_beside { FAR_OFF } else { left })
                }
            }
        });
        all.filter(|(_, _, is_asked, ..)| self.which != Which::MustHold || !is_asked)
    }

    /// Does a place meet all conditions?
    fn is_met(&self, pose: [f64; 3]) -> bool {
        self.left(pose).all(|(.., left)| left >= 0.0)
    }
}

impl Conditions for Drawn<'_> {
    fn worst(&self, pose: [f64; 3], margin: f64) -> Option<(Cut, f64)> {
        let mut worst = (f64::INFINITY, 0, 0, [0.0; 2]);
        for (of, at, is_asked, towards, left) in self.left(pose) {
            let lacks = if is_asked || self.which == Which::AllShare { left - margin } else { left };
            if lacks < worst.0 {
                worst = (lacks, of, at, towards);
            }
        }
        let (lacks, of, at, towards) = worst;
        lacks.is_finite().then(|| (self.cut_at(of, at, towards), lacks))
    }
}

/// The direction in which a point is furthest off; in a corner only its own quarter counts, beside which the sides do.
fn direction([x, y]: [f64; 2], corner: Option<[f64; 2]>) -> [f64; 2] {
    // No distance here is so long or short that its square would not do.
    let far = (x * x + y * y).sqrt();
    let is_beside = corner.is_some_and(|[u, v]| x * u <= 0.0 || y * v <= 0.0);
    match (is_beside, far > 0.0) {
        (true, _) => [0.0, 0.0],
        (false, true) => [x / far, y / far],
        (false, false) => [1.0, 0.0],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use bobbinwright_elementary::Elementary;
    use bobbinwright_spec::{Doubt, Doubts, Length, Origin};

    fn exact(mm: f64) -> Estimate {
        Estimate::exact(Length::from_mm(mm))
    }

    /// A cover of 91.4 by 37.4 mm in a rout of 92 by 38, screws of 2.95 mm in holes of 3.6, 80 mm apart, each so far off
    /// its hole.
    fn body(sides: f64, play: f64, off: [[f64; 2]; 2]) -> Pose {
        let mut pose = Pose::default();
        for [u, v] in [[1.0, 1.0], [-1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]] {
            for (point, towards) in [([u * 45.7, v * 13.0], [u, 0.0]), ([u * 40.0, v * 18.7], [0.0, v])] {
                pose.must(Condition::Side { point, towards, room: exact(sides) }, Where::Sides);
            }
        }
        for (x, [along, across]) in [40.0, -40.0].into_iter().zip(off) {
            let off = [exact(-along), exact(-across)];
            pose.must(
                Condition::Round { point: [x, 0.0], off, room: exact(play), corner: None },
                Where::Alike,
            );
        }
        pose
    }

    fn margin(pose: &Pose) -> f64 {
        pose.certificates()[0].margin.value().as_mm()
    }

    /// Closed forms: what the sides and the screws leave is shared where the part goes half the way to the screws.
    #[test]
    fn a_part_goes_half_the_way_to_its_screws() {
        let (sides, play) = (0.3, 0.325);
        assert!((margin(&body(sides, play, [[0.0; 2]; 2])) - 0.3).abs() < 1e-9);
        for (by, expected) in [(0.45, 0.0875), (1.5, -0.4375)] {
            for [x, y] in [[by, 0.0], [0.0, by], [0.0, -by]] {
                let found = margin(&body(sides, play, [[x, y]; 2]));
                assert!((found - expected).abs() < 1e-6, "{x} {y}: {found}");
            }
        }
        // Screws that stand apart by 0.5 more than the holes take a quarter of it each, wherever the part lies.
        let found = margin(&body(2.0, play, [[0.25, 0.0], [-0.25, 0.0]]));
        assert!((found - 0.075).abs() < 1e-6, "{found}");
        // One screw to the neck and one to the bridge: the part turns about its middle, and its sides' ends at 40 go
        // as far as its screws.
        let found = margin(&body(sides, play, [[0.0, 0.4], [0.0, -0.4]]));
        assert!((found - (0.3 + 0.325 - 0.4) / 2.0).abs() < 1e-6, "{found}");
    }

    /// Thirds over dx, dy and the turn find the best place of the same conditions, which are concave.
    #[test]
    fn no_other_place_is_better() {
        let mut state = 7u64;
        let mut draw = |reach: f64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            ((state >> 33) as f64 / f64::from(1u32 << 31) * 2.0 - 1.0) * reach
        };
        for _ in 0..12 {
            let pose = body(0.2 + draw(0.1), 0.3, [[draw(0.4), draw(0.4)], [draw(0.4), draw(0.4)]]);
            let values: Vec<f64> = pose.inputs().iter().map(|e| e.value().as_mm()).collect();
            let at = pose.at(&values, true);
            let left = |dx, dy, turn| at.worst([dx, dy, turn], 0.0).map_or(0.0, |w| w.1);
            let best = thirds(|dx| thirds(|dy| thirds(|turn| left(dx, dy, turn)).1).1).1;
            assert!((best - margin(&pose)).abs() < 1e-4, "{best} {}", margin(&pose));
        }
    }

    fn thirds(f: impl Fn(f64) -> f64) -> (f64, f64) {
        let (mut low, mut high) = (-1.0, 1.0);
        for _ in 0..34 {
            let third = (high - low) / 3.0;
            if f(low + third) < f(high - third) { low += third } else { high -= third }
        }
        (low, f(low))
    }

    /// Of what must only hold nothing is shared: holes have the margin that is left where the sides stop the part.
    #[test]
    fn what_must_only_hold_stops_the_part() {
        let mut pose = Pose::default();
        for towards in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
            for end in [40.0, -40.0] {
                pose.within(Condition::Side { point: [end, end], towards, room: exact(0.3) });
            }
        }
        let off = [exact(-0.5), exact(0.0)];
        pose.must(Condition::Round { point: [0.0; 2], off, room: exact(0.4), corner: None }, Where::Alike);
        assert!((margin(&pose) - 0.2).abs() < 1e-9, "{}", margin(&pose));
    }

    /// The chance of a disc, in closed form: a screw that is off by σ each way is within r with 1 - exp(-r²/2σ²).
    #[test]
    fn a_screw_off_both_ways_is_in_a_disc() {
        let mut doubts = Doubts::default();
        let mut one = || doubts.enter(Doubt::new(None, Origin::Stated, f64::INFINITY), Length::from_mm(0.2));
        let mut pose = Pose::default();
        for towards in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
            for end in [40.0, -40.0] {
                pose.within(Condition::Side { point: [end, end], towards, room: exact(0.0) });
            }
        }
        let off = [one(), one()];
        pose.must(Condition::Round { point: [0.0; 2], off, room: exact(0.4), corner: None }, Where::Alike);
        let expected = 1.0 - (-2.0f64).exponential();
        assert!((pose.drawn() - expected).abs() < 0.012, "{} {expected}", pose.drawn());
    }
}
