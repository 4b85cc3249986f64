//! Which readings others would show to be wrong.
//!
//! A jaw on the wrong edge, a scale misread: repeats in the same way agree about it. It shows where another reading tells the
//! same in another way; how large it must be for that the network says (Baarda).

use bobbinwright_estimate::network::{Adjusted, Leftover};

use crate::measured::Measured;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::told::Told;
use crate::wanted::Side;
use crate::written_rout::WrittenRout;
use crate::{Doubt, Estimate, Length, Origin};

/// A reading, and from what slip on others would show it.
#[derive(Clone, Debug, PartialEq)]
pub struct Guard {
    /// What was read.
    pub quantity: Quantity,
    /// In which of its spots.
    pub spot: Option<String>,
    /// What it was read as.
    pub read: Length,
    /// The smallest slip that shows in 80 of 100 cases, as far as it moves what was read on the whole; none where none ever
    /// does.
    pub least_slip: Option<Length>,
    /// What was not read and would show it, told in another way; none where all of that was read.
    pub by: Option<Quantity>,
    /// What the display's step adds to its doubt, or what is stated, which nothing else has: a millimetre's slip moves an
    /// estimate by as many millimetres as it has more of that.
    step: Estimate,
}

impl Guard {
    /// That of an equation of the network; none of what no tool read.
    pub(crate) fn of(
        told: &Told,
        leftover: &Leftover,
        measured: &Measured,
        strings: usize,
        rout: &WrittenRout,
    ) -> Option<Self> {
        let Quantity::At(position, of) = &told.of else { return None };
        let others =
            others(*of, strings, rout.is_usual()).into_iter().map(|of| Quantity::At(position.clone(), of));
        let by = others.filter(|by| *by != told.of).find(|by| !measured.estimates.contains_key(by));
        let guard = Self::of_step(&told.equation.value, &told.of, measured)?;
        let shown = leftover.least_slip().into_iter().chain(guard.least_slip).reduce(Length::min);
        told.is_read.then(|| Self { by, spot: told.spot.clone(), least_slip: shown, ..guard })
    }

    /// Those of what was read of a position, or of what is bought for it, and is no equation of the network: only another round
    /// would show a slip.
    pub(crate) fn alone(
        (told, adjusted): (&[Told], &Adjusted),
        position: &str,
        measured: &Measured,
        strings: usize,
        rout: &WrittenRout,
    ) -> Vec<Self> {
        let is_told = |of: &Quantity| told.iter().any(|told| told.is_read && told.of == *of);
        let is_here = |of: &Quantity| match of {
            Quantity::Instrument(_) => true,
            Quantity::At(at, _) => at == position,
            Quantity::Piece(..) | Quantity::Coupon(_) => false,
        };
        let read = measured.taken_at.keys().filter(|(of, _)| is_here(of) && !is_told(of));
        let corners = measured.corners.get(position).into_iter().flatten().map(|(_, read)| read);
        let corners: Vec<&Estimate> = corners.collect();
        let mut all: Vec<Self> = Self::of_stated_corners(told, position, measured).into_iter().collect();
        let openings = [P::RoutLength, P::RoutWidth].into_iter();
        all.extend(
            openings.filter_map(|of| {
                Self::of_all_spots(of, (told, adjusted), position, (measured, strings, rout))
            }),
        );
        for (of, spot) in read {
            let estimates = measured.estimates.get(of).into_iter().chain(corners.iter().copied());
            let mut guards = estimates.filter_map(|estimate| Self::of_step(estimate, of, measured));
            all.extend(guards.find(|guard| guard.spot == *spot));
        }
        all
    }

    /// That of an opening in all of its spots together: whoever holds the jaws wrongly in one holds them so in the others. Spots
    /// guard each other from other slips, and only another reading shows this one.
    fn of_all_spots(
        of: P,
        (told, adjusted): (&[Told], &Adjusted),
        position: &str,
        (measured, strings, rout): (&Measured, usize, &WrittenRout),
    ) -> Option<Self> {
        let at = |of| Quantity::At(position.to_owned(), of);
        let quantity = at(of);
        let mut others = others(of, strings, rout.is_usual()).into_iter().map(at);
        let by = others.find(|other| !measured.estimates.contains_key(other));
        let is_own = |i: &usize| told[*i].is_read && told[*i].of == quantity;
        let own: Vec<usize> = (0..told.len()).filter(is_own).collect();
        let guard = |i: &usize| Self::of_step(&told[*i].equation.value, &quantity, measured);
        let guards: Vec<Self> = own.iter().filter_map(guard).collect();
        let count = guards.len();
        let read = guards.first().filter(|_| count > 1)?.read;
        // A millimetre in each of them moves by as much as all of them do.
        let steps = guards.into_iter().fold(Estimate::default(), |sum, guard| sum + guard.step);
        let step = steps * (1.0 / count as f64);
        // Who held them so in one round shows it by another in each of the spots.
        let in_rounds =
            own.iter().map(|i| measured.least_slips.get(&(quantity.clone(), told[*i].spot.clone())).copied());
        let in_rounds = in_rounds.collect::<Option<Vec<Length>>>();
        let in_rounds = in_rounds.and_then(|all| all.into_iter().reduce(Length::max));
        let all: Vec<(usize, f64)> = own.iter().map(|i| (*i, 1.0)).collect();
        let in_network = adjusted.in_common(&all).map(|common| common.least_slip());
        let least_slip = in_network.into_iter().chain(in_rounds).reduce(Length::min);
        Some(Self { by, quantity, spot: None, read, least_slip, step })
    }

    /// That of corners whose radius somebody stated: along a template they are rounder than the cutter, and only a gauge or both
    /// diagonals would show that.
    fn of_stated_corners(told: &[Told], position: &str, measured: &Measured) -> Option<Self> {
        let at = |of| Quantity::At(position.to_owned(), of);
        let quantity = at(P::RoutCornerRadius);
        let diagonals = [Side::Treble, Side::Bass].map(|from| at(P::Diagonal(from)));
        let is_told = |of: &&Quantity| !told.iter().any(|told| told.is_read && told.of == **of);
        let by = diagonals.iter().find(is_told)?.clone();
        let estimate = measured.estimates.get(&quantity)?;
        let is_stated = |d: &Doubt| d.origin == Origin::Stated && d.quantity.as_ref() == Some(&quantity);
        let (id, _) =
            estimate.contributions().find(|(id, _)| measured.doubts.get(*id).is_some_and(is_stated))?;
        let (read, step) = (estimate.value(), estimate.clone().only(id));
        Some(Self { quantity, spot: None, read, least_slip: None, by: Some(by), step })
    }

    /// By what the display's step has in an estimate that was read.
    pub(crate) fn of_step(estimate: &Estimate, of: &Quantity, measured: &Measured) -> Option<Self> {
        let is_step = |d: &Doubt| d.origin == Origin::Resolution && d.quantity.as_ref() == Some(of);
        let doubt = |id| measured.doubts.get(id).filter(|d| is_step(d));
        let (id, doubt) = estimate
            .contributions()
            .find_map(|(id, u)| doubt(id).filter(|_| u > Length::ZERO).map(|doubt| (id, doubt)))?;
        let read = (of.clone(), doubt.spot.clone());
        Some(Self {
            least_slip: measured.least_slips.get(&read).copied(),
            read: estimate.value(),
            quantity: read.0,
            spot: read.1,
            by: None,
            step: estimate.clone().only(id),
        })
    }

    /// What it is called: `neck.rout.width at "bass end"`.
    pub fn name(&self) -> String {
        self.quantity.named(self.spot.as_deref())
    }

    /// How far a slip of a millimetre moves an estimate.
    pub fn moves(&self, estimate: &Estimate) -> f64 {
        let own = self.step.covariance(&self.step);
        // The short one looks itself up in the long one.
        if own > 0.0 { self.step.covariance(estimate) / own } else { 0.0 }
    }
}

/// The readings that tell the same in another way, the easiest first.
fn others(of: P, strings: usize, is_usual: bool) -> Vec<P> {
    let both = |a: usize, b: usize| {
        let of = |screw| Side::ALL.map(|(_, side)| P::ScrewSide(screw, side));
        of(a).into_iter().chain(of(b)).collect()
    };
    match of {
        P::RoutLength | P::RoutWidth if !is_usual => {
            vec![P::Diagonal(Side::Treble), P::Diagonal(Side::Bass)]
        }
        P::ScrewPitch if !is_usual => both(1, 2),
        P::ScrewSide(n, side) if !is_usual => vec![P::ScrewSide(n, side.opposite())],
        P::RoutLength => {
            vec![P::Diagonal(Side::Treble), P::Diagonal(Side::Bass), P::ScrewSide(2, Side::Bass)]
        }
        P::RoutWidth => {
            vec![P::Diagonal(Side::Treble), P::ScrewSide(1, Side::Neck), P::ScrewSide(2, Side::Neck)]
        }
        P::Diagonal(_) => vec![P::Diagonal(Side::Treble), P::Diagonal(Side::Bass)],
        P::ScrewPair(a, b) => both(a, b),
        P::ScrewPitch => vec![P::ScrewSide(2, Side::Bass), P::ScrewSide(1, Side::Treble)],
        // Both ends and the screws' distance close a loop, which tells of the distance too.
        P::ScrewSide(1, Side::Treble) => vec![P::ScrewSide(2, Side::Bass), P::ScrewSide(1, Side::Bass)],
        P::ScrewSide(2, Side::Bass) => vec![P::ScrewSide(1, Side::Treble), P::ScrewSide(2, Side::Treble)],
        P::ScrewSide(n, side) => vec![P::ScrewSide(n, side.opposite())],
        P::BassSide => vec![P::TrebleSide, P::StringPair(1, strings)],
        P::TrebleSide => vec![P::BassSide, P::StringPair(1, strings)],
        P::StringPair(..) => vec![P::StringPair(1, strings), P::TrebleSide, P::BassSide],
        _ => Vec::new(),
    }
}
