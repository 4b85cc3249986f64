//! Where the mounting screws stand in the body: screw 1 on the treble side.

use crate::Length;
use crate::measured::{Measured, contradiction, usual_unevenness, weighted_mean};
use crate::problem::Problem;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::reader::Noted;
use crate::wanted::Side;
use crate::{Doubt, Estimate, Origin};

/// How far from where it was meant to be a screw hole is that was marked and drilled by hand: standard
/// uncertainty, along and across (common practice, from memory: within half a millimetre, most of the time).
const BY_HAND: Length = Length::from_mm(0.25);

/// A screw hole in the body, from the rout's middle.
#[derive(Clone, Debug, PartialEq)]
pub struct ScrewAt {
    /// Along the row of strings, towards treble.
    pub along: Estimate,
    /// Off the rout's middle line, towards the neck.
    pub across: Estimate,
}

/// What is read of each screw beyond the distance of the two: from which side, and what is taken for granted
/// until then. One of each pair will do.
pub(crate) const ASKED: [(usize, Side, &str); 3] = [
    (1, Side::Bridge, "on the middle line"),
    (2, Side::Bridge, "on the middle line"),
    (1, Side::Treble, "evenly from the ends"),
];

/// The readings that tell the same as one that is asked for.
pub(crate) fn instead(screw: usize, side: Side) -> Vec<P> {
    match side {
        Side::Bridge | Side::Neck => [Side::Bridge, Side::Neck].map(|s| P::ScrewSide(screw, s)).to_vec(),
        Side::Treble | Side::Bass => {
            [1, 2].into_iter().flat_map(|n| [Side::Treble, Side::Bass].map(|s| P::ScrewSide(n, s))).collect()
        }
    }
}

/// The screws' places, from readings of any of the rout's sides; where there is none, in the middle with the doubt
/// that they are not. None while the rout or the screws' distance is unknown.
pub(crate) fn places(measured: &mut Measured, position: &str, noted: &mut Noted) -> Option<Vec<ScrewAt>> {
    let get = |measured: &Measured, q| measured.estimates.get(&Quantity::At(position.to_owned(), q)).cloned();
    let half = |q| Some(get(measured, q)? * 0.5);
    let (length, width, pitch) = (half(P::RoutLength)?, half(P::RoutWidth)?, half(P::ScrewPitch)?);
    let read = |screw, side| get(measured, P::ScrewSide(screw, side));
    let across = [1, 2].map(|screw| {
        let bridge = read(screw, Side::Bridge).map(|d| d - width.clone());
        let neck = read(screw, Side::Neck).map(|d| width.clone() - d);
        bridge.into_iter().chain(neck).collect::<Vec<_>>()
    });
    // From each screw's place the middle is half a pitch away.
    let along = [1, 2].into_iter().flat_map(|screw| {
        let to_middle = if screw == 1 { pitch.clone() * -1.0 } else { pitch.clone() };
        let treble = read(screw, Side::Treble).map(|d| length.clone() - d + to_middle.clone());
        let bass = read(screw, Side::Bass).map(|d| d - length.clone() + to_middle);
        treble.into_iter().chain(bass)
    });
    let along: Vec<Estimate> = along.collect();
    let mut or_assumed = |read: &[Estimate], (screw, side): (usize, Side), u: Length| {
        if !read.is_empty() {
            // A side's place was read beside the screw, the rout's size elsewhere.
            let of = if side == Side::Treble { P::RoutLength } else { P::RoutWidth };
            let of = Quantity::At(position.to_owned(), of);
            let half = usual_unevenness(&of) / 2.0;
            let doubt = Doubt::new(Some(of), Origin::Straightness, f64::INFINITY);
            let straight = measured.doubts.enter(doubt, half / 3f64.sqrt());
            let doubted = note_contradiction(read, position, (screw, side), measured, noted);
            return weighted_mean(read) + straight + doubted;
        }
        let of = Quantity::At(position.to_owned(), P::ScrewSide(screw, side));
        measured.doubts.enter(Doubt::new(Some(of), Origin::Assumed, f64::INFINITY), u)
    };
    // The middle of two is less doubtful than each.
    let middle = or_assumed(&along, (1, Side::Treble), BY_HAND / 2f64.sqrt());
    let places = vec![
        ScrewAt {
            along: middle.clone() + pitch.clone(),
            across: or_assumed(&across[0], (1, Side::Bridge), BY_HAND),
        },
        ScrewAt { along: middle - pitch, across: or_assumed(&across[1], (2, Side::Bridge), BY_HAND) },
    ];
    note_outside(&places, [&length, &width], position, measured, noted);
    Some(places)
}

/// Points out a screw that would stand outside the rout and its ears' recesses.
fn note_outside(
    places: &[ScrewAt],
    [length, width]: [&Estimate; 2],
    position: &str,
    measured: &Measured,
    noted: &mut Noted,
) {
    let at = |q| Quantity::At(position.to_owned(), q);
    let ear = measured.estimates.get(&at(P::EarLength)).map_or(Length::ZERO, Estimate::value);
    let along = places.iter().any(|screw| screw.along.value().abs() > length.value() + ear);
    let across = places.iter().any(|screw| screw.across.value().abs() > width.value());
    let Some(taken) = measured.taken.get(&at(P::ScrewPitch)).filter(|_| along || across) else { return };
    let message = format!("{position}: by their readings a screw stands outside the rout");
    let hint = if along {
        "were the screws' distances read to the far edges of the holes, and entered as of the near ones, or the other way round?"
    } else {
        "from which side of the rout were they read?"
    };
    noted.problems.push(Problem::notice(taken.span, message).hint(hint));
}

/// Points out readings of one place from different sides that can't all be true, and gives the doubt that is left.
fn note_contradiction(
    read: &[Estimate],
    position: &str,
    (screw, side): (usize, Side),
    measured: &mut Measured,
    noted: &mut Noted,
) -> Estimate {
    let Some(apart) = contradiction(read) else { return Estimate::default() };
    let told = instead(screw, side).into_iter().map(|q| Quantity::At(position.to_owned(), q));
    let told: Vec<(Quantity, crate::series::Taken)> =
        told.filter_map(|q| measured.taken.get(&q).map(|taken| (q.clone(), *taken))).collect();
    if let Some((_, last)) = told.iter().max_by_key(|(_, taken)| taken.entry) {
        let names: Vec<String> = told.iter().map(|(q, _)| q.to_string()).collect();
        let message = format!("{} put a screw in places that are {apart} apart", names.join(" and "));
        let hint = "was one of them read to the hole's other edge? Withdraw what is wrong; until then the screw's place counts as that much less sure";
        noted.problems.push(Problem::notice(last.span, message).hint(hint));
    }
    let of = told.first().map(|(q, _)| q.clone());
    let doubt = Doubt::new(of, Origin::Contradiction, f64::INFINITY);
    measured.doubts.enter(doubt, apart / 12f64.sqrt())
}
