//! Where the recesses for a housing's ears are.

use crate::facing::Facing;
use crate::measured::{Measured, contradiction, weighted_mean};
use crate::problem::Problem;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::reader::Noted;
use crate::screws::{Asked, BY_HAND, ScrewAt};
use crate::wanted::Side;
use crate::written_rout::WrittenRout;
use crate::{Doubt, Estimate, Length, Origin};

/// The recess for one ear.
#[derive(Clone, Debug, PartialEq)]
pub struct EarAt {
    /// The side of the rout that it opens in.
    pub side: Side,
    /// Its middle line from the rout's middle, along the side: towards treble on the long sides, towards the neck on the ends.
    pub offset: Estimate,
}

/// The flanks of a recess in a side: that towards which places count as positive, and the other.
fn flanks(side: Side) -> [Side; 2] {
    if side.is_end() { [Side::Neck, Side::Bridge] } else { [Side::Treble, Side::Bass] }
}

/// Points out readings of flanks that no recess has.
pub(crate) fn note_strangers(measured: &Measured, position: &str, rout: &WrittenRout, noted: &mut Noted) {
    for (quantity, taken) in &measured.taken {
        let Quantity::At(at, P::EarSide(ear, flank)) = quantity else { continue };
        let has_it = rout.ears.get(ear - 1).is_some_and(|side| flanks(*side).contains(flank));
        if at == position && !has_it {
            let message = format!(
                "entry {}: {quantity} counts for nothing: no such recess has a flank there",
                taken.entry
            );
            let hint = "a recess at an end has a neck_side and a bridge_side, one in a long side a bass_side and a treble_side";
            noted.problems.push(Problem::notice(taken.span, message).hint(hint));
        }
    }
}

/// What is read of the places: how far a recess's screw is from one of its flanks. Until then one recess at each end is
/// taken to be on the middle line, and any other to be about its screw.
pub(crate) fn asked(rout: &WrittenRout) -> impl Iterator<Item = Asked> {
    let until_read = if rout.is_usual() { "on the middle line" } else { "with its screw in the middle" };
    let of = move |(ear, side): (usize, &Side)| {
        let instead = flanks(*side).map(|flank| P::EarSide(ear + 1, flank));
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
    noted: &mut Noted,
) -> Option<Vec<EarAt>> {
    let at = |q| Quantity::At(position.to_owned(), q);
    let half = measured.estimates.get(&at(P::EarWidth))?.clone() * 0.5;
    let slopes = measured.forms.get(position).cloned();
    let mut place = |((number, side), screw): ((usize, &Side), &ScrewAt)| {
        // A recess stands square to its side.
        let slope =
            slopes.as_ref().filter(|_| rout.outline.slants(*side)).map_or(0.0, |form| form.slope(*side));
        let [_, along] = Facing::of(*side, slope).screw(screw);
        let [plus, minus] = flanks(*side).map(|flank| P::EarSide(number + 1, flank));
        let read = |flank, sign: f64| {
            let from_flank = measured.estimates.get(&at(flank))?.clone();
            Some(along.clone() + (from_flank - half.clone()) * sign)
        };
        let read: Vec<Estimate> = read(plus, 1.0).into_iter().chain(read(minus, -1.0)).collect();
        let offset = if read.is_empty() {
            let doubt = Doubt::new(Some(at(minus)), Origin::Assumed, f64::INFINITY);
            let believed = measured.doubts.enter(doubt, BY_HAND);
            if rout.is_usual() { believed } else { believed + along.clone() }
        } else if let Some(apart) = contradiction(&read) {
            note_contradiction(measured, [at(plus), at(minus)], apart, noted);
            let doubt = Doubt::new(Some(at(minus)), Origin::Contradiction, f64::INFINITY);
            weighted_mean(&read) + measured.doubts.enter(doubt, apart / 12f64.sqrt())
        } else {
            weighted_mean(&read)
        };
        EarAt { side: *side, offset }
    };
    Some(rout.ears.iter().enumerate().zip(screws).map(&mut place).collect())
}

/// Points out two flanks that can't both be where they were read.
fn note_contradiction(measured: &Measured, flanks: [Quantity; 2], apart: Length, noted: &mut Noted) {
    let taken = flanks.iter().filter_map(|q| measured.taken.get(q)).max_by_key(|taken| taken.entry);
    let Some(taken) = taken else { return };
    let [one, other] = flanks;
    let message = format!(
        "{one} and {other} put the middle of that recess {apart} apart, by its width; one of them is wrong"
    );
    let hint = "read both again; until then its place counts as that much less sure";
    noted.problems.push(Problem::notice(taken.span, message).hint(hint));
}
