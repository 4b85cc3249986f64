//! Which readings others would show to be wrong.
//!
//! A jaw on the wrong edge, a scale misread: repeats in the same way agree about it. It shows where another reading tells the
//! same in another way; how large it must be for that the network says (Baarda).

use bobbinwright_estimate::network::Leftover;

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
    /// The smallest slip that shows in 80 of 100 cases; none where none ever does.
    pub least_slip: Option<Length>,
    /// What was not read and would show it, told in another way; none where all of that was read.
    pub by: Option<Quantity>,
    /// What the display's step adds to its doubt, which nothing else has: a millimetre's slip moves an estimate by as many
    /// millimetres as it has more of that.
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
        let doubts = &measured.doubts;
        let is_step = |d: &Doubt| d.origin == Origin::Resolution && d.quantity.as_ref() == Some(&told.of);
        let (id, u) =
            told.equation.value.contributions().find(|(id, _)| doubts.get(*id).is_some_and(is_step))?;
        let Quantity::At(position, of) = &told.of else { return None };
        let others =
            others(*of, strings, rout.is_usual()).into_iter().map(|of| Quantity::At(position.clone(), of));
        let by = others.filter(|by| *by != told.of).find(|by| !measured.estimates.contains_key(by));
        (told.is_read && u > Length::ZERO).then(|| Self {
            by,
            quantity: told.of.clone(),
            spot: told.spot.clone(),
            least_slip: leftover.least_slip(),
            step: told.equation.value.clone().only(id),
        })
    }

    /// How far a slip of a millimetre moves an estimate.
    pub fn moves(&self, estimate: &Estimate) -> f64 {
        let own = self.step.covariance(&self.step);
        if own > 0.0 { estimate.covariance(&self.step) / own } else { 0.0 }
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
