//! Where the recesses for a housing's ears are.

use crate::measured::{Measured, weighted_mean};
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::screws::{Asked, BY_HAND, ScrewAt};
use crate::wanted::Side;
use crate::written::WrittenRout;
use crate::{Doubt, Estimate, Origin};

/// The recess for one ear.
#[derive(Clone, Debug, PartialEq)]
pub struct EarAt {
    /// The side of the rout that it opens in.
    pub side: Side,
    /// Its middle from the side's, towards treble on the long sides, towards the neck on the ends.
    pub offset: Estimate,
}

/// The flanks of a recess in a side: that towards which places count as positive, and the other.
fn flanks(side: Side) -> [Side; 2] {
    if side.is_end() { [Side::Neck, Side::Bridge] } else { [Side::Treble, Side::Bass] }
}

/// What is read of the places: how far a recess's screw is from one of its flanks. Until then a recess at an end is taken
/// to be on the middle line, and one in a long side to be about its screw.
pub(crate) fn asked(rout: &WrittenRout) -> impl Iterator<Item = Asked> {
    let of = |(ear, side): (usize, &Side)| {
        let instead = flanks(*side).map(|flank| P::EarSide(ear + 1, flank));
        let until_read = if side.is_end() { "on the middle line" } else { "with its screw in the middle" };
        Asked { usual: instead[1], instead: instead.to_vec(), until_read: Some(until_read) }
    };
    rout.ears.iter().enumerate().map(of)
}

/// Where the recesses are.
pub(crate) fn places(
    measured: &mut Measured,
    position: &str,
    rout: &WrittenRout,
    screws: &[ScrewAt],
) -> Option<Vec<EarAt>> {
    let at = |q| Quantity::At(position.to_owned(), q);
    let half = measured.estimates.get(&at(P::EarWidth))?.clone() * 0.5;
    let mut place = |((number, side), screw): ((usize, &Side), &ScrewAt)| {
        let along = if side.is_end() { &screw.across } else { &screw.along };
        let [plus, minus] = flanks(*side).map(|flank| P::EarSide(number + 1, flank));
        let read = |flank, sign: f64| {
            let from_flank = measured.estimates.get(&at(flank))?.clone();
            Some(along.clone() + (from_flank - half.clone()) * sign)
        };
        let read: Vec<Estimate> = read(plus, 1.0).into_iter().chain(read(minus, -1.0)).collect();
        let offset = if read.is_empty() {
            let doubt = Doubt::new(Some(at(minus)), Origin::Assumed, f64::INFINITY);
            let believed = measured.doubts.enter(doubt, BY_HAND);
            if side.is_end() { believed } else { believed + along.clone() }
        } else {
            weighted_mean(&read)
        };
        EarAt { side: *side, offset }
    };
    Some(rout.ears.iter().enumerate().zip(screws).map(&mut place).collect())
}
