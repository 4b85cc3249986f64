//! What to do next for certainty: for each pickup that is too close to call the acts at the bench that may settle it, and how
//! often each does.
//!
//! An act takes some of the doubt away. How what is learned comes out nobody knows, but the doubt says how it may: outcomes
//! are drawn from the doubt that is taken away, and for each of them the pickup is judged with the doubt that is left. The
//! share of outcomes that call it, either way, is what the act is worth.

use std::collections::BTreeSet;

use bobbinwright_estimate::{chance_where, drawn, variables};
use bobbinwright_spec::{
    Doubt, Estimate, Length, Origin, PartKind, PositionQuantity as P, Quantity, SizeOf, unread_spots,
};

use crate::act::Act;
use crate::assumed::unread;
use crate::next_words::in_words;
use crate::repeat::{Again, ToRepeat};
use crate::verdict::Verdict;
use crate::whole::{Question, Whole};
use crate::{Fit, PrintedSize};

/// A line for a person of what to do, and the act that it is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToDo {
    /// The line; indented where it belongs under one before.
    pub words: String,
    /// What it asks for; none of a line that only says something.
    pub act: Option<Act>,
}

impl ToDo {
    /// A line that asks for nothing.
    pub fn only(words: String) -> Self {
        Self { words, act: None }
    }
}

/// What an act is worth for a pickup.
#[derive(Clone, Debug, PartialEq)]
pub struct Next {
    /// Its position.
    pub position: String,
    /// What to do.
    pub act: Act,
    /// The share of outcomes that call it, 0 to 1.
    pub settles: f64,
}

/// So many outcomes are drawn, and for each so many times what is left in doubt.
const OUTCOMES: usize = 64;
const OF_EACH: usize = 128;

/// An outcome counts where the chance is beyond what a call needs by so much: readings differ from what is believed of them.
const BEYOND: f64 = 0.01;

/// What has a smaller share of the variance of everything that the pickup hangs on tells nothing.
const MATTERS: f64 = 0.05;

/// Readings that add less to what others tell are not asked for.
const NEARLY: f64 = 0.02;

/// What is worth less is not said.
const WORTH_IT: f64 = 0.2;

/// So many acts are enough to choose from.
const MOST: usize = 3;

/// A dearer act must be worth so much more than a cheaper one.
const WORTH_MORE: f64 = 0.1;

/// Parts that may not go jam more seldom than is said: beliefs about bodies leave room (the simulated bench).
const AS_SELDOM: f64 = 0.8;

/// Nobody tries a part that goes in so often: how it goes tells nothing of what the pickup hangs on.
const AS_GOOD_AS_SURE: f64 = 0.98;

/// What doubt is left of something that is believed once it is read with a caliper, of the doubt before: 0.03 of 0.25 mm
/// (common practice, as all that is said here of what an act will tell).
const READ: f64 = 0.12;

/// What is left of how uneven an opening is once it is read in three spots.
const IN_SPOTS: f64 = 0.35;

/// The same of one that was read all along its top edge, once it is read at the floor: how each side bows stays.
const AT_FLOOR: f64 = 0.7;

/// The doubt that is left of a printed size once it is read, and what is left by the profiles of a good, a usual and a poor
/// printer: standard uncertainties.
const PRINTED: Length = Length::from_mm(0.025);
const BY_PROFILE: [Length; 3] = [Length::from_mm(0.03), Length::from_mm(0.05), Length::from_mm(0.07)];

impl Fit {
    /// For each pickup that is too close to call, the acts that may settle it, the one that most often does first.
    pub fn next(&self) -> Vec<Next> {
        // What readings that contradict each other leave open no other reading tells.
        let is_close = |w: &&Whole| w.verdict == Verdict::TooClose && w.contradicted.is_none();
        let close: Vec<&Whole> = self.wholes().iter().filter(is_close).collect();
        if close.is_empty() {
            return Vec::new();
        }
        let again = self.to_repeat().again;
        close.into_iter().flat_map(|whole| Asked::of(self, whole).next(&whole.position, &again)).collect()
    }

    /// What to do about what is too close to call, for a person, a line each: what to read again, what nothing settles, and
    /// what may tell.
    pub fn what_next(&self) -> Vec<String> {
        self.to_do_next().into_iter().map(|line| line.words).collect()
    }

    /// The same, each line with what it asks for.
    pub fn to_do_next(&self) -> Vec<ToDo> {
        let mut lines: Vec<ToDo> = self.told.iter().map(|told| ToDo::only(told.line())).collect();
        lines.extend(to_repeat(&self.to_repeat()));
        let next = self.next();
        for (i, one) in next.iter().enumerate() {
            if i == 0 || next[i - 1].position != one.position {
                lines.push(ToDo::only(format!(
                    "What would tell whether the {} pickup goes together and in, with readings and prints as good as is usual:",
                    one.position
                )));
            }
            let words = format!("  {}, in {:.0} of 100 cases", one.words(), one.settles * 100.0);
            lines.push(ToDo { words, act: Some(one.act.clone()) });
        }
        lines
    }
}

impl Next {
    /// The act for a person: `reading neck.screws.1.bridge_side, which was not read`.
    pub fn words(&self) -> String {
        in_words(&self.act)
    }
}

/// A pickup that is too close to call.
struct Asked<'f> {
    fit: &'f Fit,
    question: Question<'f>,
    /// That it goes together and in, as it is known now.
    chance: f64,
    /// The doubt of a printed size, and of one that is cut.
    printed: Length,
    cut: Length,
}

impl<'f> Asked<'f> {
    fn of(fit: &'f Fit, whole: &Whole) -> Self {
        let is_cut = |id| fit.doubts.get(id).is_some_and(|doubt| doubt.origin == Origin::Cut);
        let (cut, printed): (Vec<&PrintedSize>, Vec<&PrintedSize>) =
            fit.sizes.iter().partition(|size| size.printed.contributions().any(|(id, _)| is_cut(id)));
        let most = |all: &[&PrintedSize]| {
            all.iter().map(|size| size.printed.uncertainty()).fold(Length::ZERO, Length::max)
        };
        let (printed, cut) = (most(&printed), most(&cut));
        let question = Question::of_position(fit, &whole.position);
        Self { fit, question, chance: whole.chance, printed, cut }
    }

    /// All causes of doubt.
    fn causes(&self) -> Vec<&'f Doubt> {
        let inputs = self.question.inputs();
        let ids: BTreeSet<_> = inputs.iter().flat_map(|e| e.contributions()).map(|(id, _)| id).collect();
        ids.into_iter().filter_map(|id| self.fit.doubts.get(id)).collect()
    }

    fn next(&self, position: &str, again: &[Again]) -> Vec<Next> {
        // What is not there yet can neither be read nor tried; that it is believed is said.
        if self.causes().iter().any(|doubt| doubt.origin == Origin::Planned) {
            return Vec::new();
        }
        let of = |act: Act| {
            let settles = self.settles(&act);
            Next { position: position.to_owned(), act, settles }
        };
        let mut readings: Vec<Next> = self.readings(again).into_iter().map(of).collect();
        readings.sort_by(|a, b| b.settles.total_cmp(&a.settles));
        let together = self.together(&readings).map(of);
        // From the cheapest to the dearest; of what is cheap whatever may tell is named.
        let mut worth: Vec<Next> = readings.into_iter().chain(together).collect();
        worth.retain(|next| next.settles >= WORTH_IT);
        for next in self.prints().into_iter().map(of).filter(|next| next.settles >= WORTH_IT) {
            if worth.iter().all(|cheaper| next.settles > cheaper.settles + WORTH_MORE) {
                worth.push(next);
            }
        }
        worth.sort_by(|a, b| b.settles.total_cmp(&a.settles));
        worth.truncate(MOST);
        worth
    }

    /// What may be read on the body and on bought pieces, of what has a hand in any of the margins.
    fn readings(&self, again: &[Again]) -> Vec<Act> {
        let mut acts: Vec<Act> = Vec::new();
        let of_it = |again: &&Again| self.matters(|d| d.quantity.as_ref() == Some(&again.quantity));
        let again: Vec<Again> = again.iter().filter(of_it).cloned().collect();
        if !again.is_empty() {
            acts.push(Act::Again(again));
        }
        for doubt in self.causes() {
            let act = match (doubt.origin, &doubt.quantity) {
                // Strings that were read at one edge of the rout.
                (Origin::Assumed, Some(quantity @ Quantity::At(_, P::BassSide))) => {
                    Act::Elsewhere(quantity.clone(), Vec::new())
                }
                (Origin::Assumed, Some(quantity)) => {
                    match unread(quantity, &self.fit.doubts).into_iter().next() {
                        Some(first) => Act::Read(first),
                        None => continue,
                    }
                }
                (
                    Origin::Elsewhere { .. },
                    Some(quantity @ Quantity::At(_, P::RoutLength | P::RoutWidth)),
                ) => {
                    let open = unread_spots(quantity, self.fit.doubts.spots_read(quantity));
                    if open.is_empty() {
                        continue;
                    }
                    Act::Elsewhere(quantity.clone(), open)
                }
                (Origin::Elsewhere { .. }, Some(quantity)) => Act::Elsewhere(quantity.clone(), Vec::new()),
                _ => continue,
            };
            if !acts.contains(&act) && self.matters(|d| self.left_of(d, &act) < 1.0) {
                acts.push(act);
            }
        }
        acts
    }

    /// The fewest readings that together tell nearly as often as all of them, where one alone does not.
    fn together(&self, readings: &[Next]) -> Option<Act> {
        let mut acts: Vec<Act> = readings.iter().map(|next| next.act.clone()).collect();
        let all = self.settles(&Act::Together(acts.clone()));
        for one in readings.iter().rev() {
            let fewer: Vec<Act> = acts.iter().filter(|act| **act != one.act).cloned().collect();
            if self.settles(&Act::Together(fewer.clone())) > all - NEARLY {
                acts = fewer;
            }
        }
        (acts.len() > 1).then_some(Act::Together(acts))
    }

    /// What may be made: the coupon where the printer is as good as somebody said, each part, all that are printed, and all
    /// that are cut.
    fn prints(&self) -> Vec<Act> {
        let has_profile = self.causes().iter().any(|d| matches!(d.quantity, Some(Quantity::Coupon(_))));
        let mut acts = Vec::new();
        if !has_profile && self.matters(is_told_by_coupon) {
            acts.push(Act::Coupon);
        }
        // What a cover tells is told too late.
        let was_tried = self.question.is_tried(PartKind::Baseplate);
        let goes = self.question.chance_of(PartKind::Baseplate, &self.fit.doubts);
        if !was_tried && goes.is_some_and(|goes| goes < AS_GOOD_AS_SURE) {
            acts.push(Act::Try(PartKind::Baseplate));
        }
        for (origin, act) in [(Origin::Print, Act::Print as fn(_) -> _), (Origin::Cut, Act::Cut)] {
            let is_of = |doubt: &Doubt, part: PartKind| {
                doubt.origin == origin
                    && matches!(&doubt.quantity, Some(Quantity::Piece(_, size)) if size.part == part)
            };
            let parts = PartKind::ALL.into_iter().filter(|part| self.matters(|d| is_of(d, *part)));
            let parts: Vec<PartKind> = parts.collect();
            acts.extend(parts.iter().map(|part| act(vec![*part])));
            if parts.len() > 1 {
                acts.push(act(parts));
            }
        }
        acts
    }

    /// Have some causes a share in the variance of anything that it hangs on?
    fn matters(&self, is_one: impl Fn(&Doubt) -> bool) -> bool {
        let has = |margin: &&Estimate| {
            let of = |(id, u): (_, Length)| {
                let is_one = self.fit.doubts.get(id).is_some_and(&is_one);
                if is_one { u.as_mm() * u.as_mm() } else { 0.0 }
            };
            let u = margin.uncertainty().as_mm();
            margin.contributions().map(of).sum::<f64>() > MATTERS * u * u
        };
        self.question.inputs().iter().any(has)
    }

    /// The share of outcomes of an act after which the pickup is called. Outcomes are drawn, and for each what is left in doubt.
    fn settles(&self, act: &Act) -> f64 {
        if let Act::Try(part) = act {
            return self.settled_by_trial(*part);
        }
        if *act == Act::Coupon {
            return self.settled_by_coupon();
        }
        let inputs = self.question.inputs();
        let left = |id| self.fit.doubts.get(id).map_or(1.0, |doubt| self.left_of(doubt, act));
        let part = |times: &dyn Fn(f64) -> f64| -> Vec<Estimate> {
            inputs.iter().map(|input| (*input).clone().each(|id| times(left(id)))).collect()
        };
        let told = part(&|left| (1.0 - left * left).max(0.0).sqrt());
        let stays = part(&|left| left);
        let stays: Vec<Estimate> = stays.into_iter().map(|e| e.moved_to(Length::ZERO)).collect();
        let draw = |of: &[Estimate], count| {
            let of: Vec<&Estimate> = of.iter().collect();
            variables(&of, &self.fit.doubts).map(|_| drawn(&of, &self.fit.doubts, count))
        };
        let (Some(outcomes), Some(rest)) = (draw(&told, OUTCOMES), draw(&stays, OF_EACH)) else { return 0.0 };
        let test = self.question.test();
        let mut values = vec![0.0; inputs.len()];
        let chance_after = |outcome: &Vec<f64>| {
            let (mut asked, mut holds) = (0u32, 0u32);
            for rest in &rest {
                for ((value, told), rest) in values.iter_mut().zip(outcome).zip(rest) {
                    *value = told + rest;
                }
                if let Some(one) = test(&values) {
                    asked += 1;
                    holds += u32::from(one);
                }
            }
            // An outcome is as likely as what was tried is with it.
            (f64::from(asked), if asked == 0 { 0.0 } else { f64::from(holds) / f64::from(asked) })
        };
        let chances: Vec<(f64, f64)> = outcomes.iter().map(chance_after).collect();
        let all: f64 = chances.iter().map(|(likely, _)| likely).sum();
        if all == 0.0 {
            return 0.0;
        }
        // On the mean nothing is surer than before: what the few draws err by is taken off.
        let mean = chances.iter().map(|(likely, chance)| likely * chance).sum::<f64>() / all;
        let is_called = |(_, chance): &&(f64, f64)| {
            let chance = chance - mean + self.chance;
            [chance - BEYOND, chance + BEYOND].map(Verdict::of).iter().all(|v| *v != Verdict::TooClose)
        };
        chances.iter().filter(is_called).map(|(likely, _)| likely).sum::<f64>() / all
    }

    /// The same of a part that is tried: where it goes in it is surer that all does, and where not it is called.
    fn settled_by_trial(&self, part: PartKind) -> f64 {
        let Some(goes) = self.question.chance_of(part, &self.fit.doubts) else { return 0.0 };
        let after = if goes > 0.0 { (self.chance / goes).min(1.0) } else { 0.0 };
        let is_called = Verdict::of(after - BEYOND) != Verdict::TooClose;
        if is_called { 1.0 } else { (1.0 - goes) * AS_SELDOM }
    }

    /// The same of a coupon: what is drawn by a profile comes out as it is wanted, so that only the doubt of that is less. How
    /// good the printer will turn out to be nobody knows.
    fn settled_by_coupon(&self) -> f64 {
        let (inputs, test) = (self.question.inputs(), self.question.test());
        let is_print = |id| self.fit.doubts.get(id).is_some_and(is_told_by_coupon);
        let is_called = |by_profile: &&Length| {
            let left = if self.printed > **by_profile { **by_profile / self.printed } else { 1.0 };
            let with = |input: &&Estimate| (*input).clone().each(|id| if is_print(id) { left } else { 1.0 });
            let inputs: Vec<Estimate> = inputs.iter().map(with).collect();
            let inputs: Vec<&Estimate> = inputs.iter().collect();
            let chance = chance_where(&inputs, &self.fit.doubts, &test) - self.question.beside;
            [chance - BEYOND, chance + BEYOND].map(Verdict::of).iter().all(|v| *v != Verdict::TooClose)
        };
        BY_PROFILE.iter().filter(is_called).count() as f64 / BY_PROFILE.len() as f64
    }

    /// What is left of a cause of doubt after an act, as a share of its standard uncertainty.
    fn left_of(&self, doubt: &Doubt, act: &Act) -> f64 {
        let down_to = |u: Length, from: Length| if from > u { u / from } else { 1.0 };
        match (act, doubt.origin, &doubt.quantity) {
            (Act::Together(acts), ..) => acts.iter().map(|act| self.left_of(doubt, act)).fold(1.0, f64::min),
            (Act::Read(of), Origin::Assumed, Some(quantity)) if tells_of(of, quantity) => READ,
            (Act::Elsewhere(of, _), Origin::Assumed, Some(quantity)) if of == quantity => READ,
            (Act::Elsewhere(of, spots), Origin::Elsewhere { .. }, Some(quantity)) if of == quantity => {
                if spots.iter().any(|spot| spot.ends_with("floor")) {
                    AT_FLOOR
                } else {
                    IN_SPOTS
                }
            }
            (Act::Again(all), Origin::Scatter { readings }, Some(quantity)) => {
                let is_it = |again: &&Again| again.quantity == *quantity && again.spot == doubt.spot;
                let more = all.iter().find(is_it).map_or(0, |again| again.times);
                (readings as f64 / (readings + more) as f64).sqrt()
            }
            (Act::Print(parts), Origin::Print, Some(Quantity::Piece(_, size)))
                if parts.contains(&size.part) =>
            {
                down_to(PRINTED, self.printed)
            }
            (Act::Cut(parts), Origin::Cut, Some(Quantity::Piece(_, size))) if parts.contains(&size.part) => {
                down_to(PRINTED, self.cut)
            }
            _ => 1.0,
        }
    }
}

/// Of how heights come out a coupon says less than anybody who states a printer's tolerance.
fn is_told_by_coupon(doubt: &Doubt) -> bool {
    let is_high = |size: SizeOf| {
        matches!(
            size,
            SizeOf::Height
                | SizeOf::HollowDepth
                | SizeOf::RecessDepth
                | SizeOf::EarThickness
                | SizeOf::LipHeight
        )
    };
    let is_high = matches!(&doubt.quantity, Some(Quantity::Piece(_, piece)) if is_high(piece.size));
    doubt.origin == Origin::Print && !is_high
}

/// What to read again, and what no repeat settles, each line with what it asks for.
fn to_repeat(found: &ToRepeat) -> Vec<ToDo> {
    let heads = usize::from(!found.again.is_empty());
    let again = found.again.iter().map(|again| Act::Again(vec![again.clone()]));
    let none = std::iter::repeat(None);
    let acts = none.clone().take(heads).chain(again.map(Some)).chain(none);
    found.lines().into_iter().zip(acts).map(|(words, act)| ToDo { words, act }).collect()
}

/// Does reading one quantity end what is taken for granted of another? Of two diagonals each does.
fn tells_of(read: &Quantity, of: &Quantity) -> bool {
    match (read, of) {
        (Quantity::At(at, P::Diagonal(_)), Quantity::At(other, P::Diagonal(_))) => at == other,
        _ => read == of,
    }
}
