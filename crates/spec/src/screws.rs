//! Where the mounting screws stand in the body: screw 1 on the treble side.

use crate::Length;
use crate::measured::Measured;
use crate::problem::Problem;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::read_form::waves;
use crate::reader::Noted;
use crate::told::Told;
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

/// Adds what is known of the screws' places; `first` is the unknown of screw 1's place along, after which follow that
/// across and those of screw 2. None while the screws' distance is unknown.
pub(crate) fn equations(
    measured: &mut Measured,
    position: &str,
    first: usize,
    told: &mut Vec<Told>,
) -> Option<()> {
    let at = |q| Quantity::At(position.to_owned(), q);
    let (along, across) = (|n: usize| first + 2 * (n - 1), |n: usize| first + 2 * (n - 1) + 1);
    let pitch = measured.estimates.get(&at(P::ScrewPitch))?.clone();
    let half_pitch = pitch.value().as_mm() / 2.0;
    told.push(Told::read(at(P::ScrewPitch), vec![(along(1), 1.0), (along(2), -1.0)], pitch));
    let before = told.len();
    for screw in [1, 2] {
        for (_, side) in Side::ALL {
            let of = at(P::ScrewSide(screw, side));
            let Some(read) = measured.estimates.get(&of).cloned() else { continue };
            let (size, place, outwards) = match side {
                Side::Treble => (P::RoutLength, along(screw), 1.0),
                Side::Bass => (P::RoutLength, along(screw), -1.0),
                Side::Neck => (P::RoutWidth, across(screw), 1.0),
                Side::Bridge => (P::RoutWidth, across(screw), -1.0),
            };
            // Beside the screw; the long sides are read where screws stand that are evenly from the ends.
            let beside =
                if size == P::RoutLength { 0.0 } else { half_pitch * if screw == 1 { 1.0 } else { -1.0 } };
            let Some(form) = measured.forms.get(position) else { continue };
            let terms = form.reach(side, beside).into_iter().chain([(place, -outwards)]).collect();
            let value = read + waves(measured, &at(size));
            told.push(Told::read(of, terms, value));
        }
    }
    let is_told = |told: &[Told], unknowns: &[usize]| {
        told[before..].iter().any(|t| t.equation.terms.iter().any(|(unknown, _)| unknowns.contains(unknown)))
    };
    let believed = |measured: &mut Measured, (screw, side), u: Length| {
        let of = at(P::ScrewSide(screw, side));
        (of.clone(), measured.doubts.enter(Doubt::new(Some(of), Origin::Assumed, f64::INFINITY), u))
    };
    if !is_told(told, &[along(1), along(2)]) {
        // The middle of two is less doubtful than each.
        let (of, value) = believed(measured, (1, Side::Treble), BY_HAND / 2f64.sqrt());
        told.push(Told::believed(of, vec![(along(1), 0.5), (along(2), 0.5)], value));
    }
    for screw in [1, 2] {
        if !is_told(told, &[across(screw)]) {
            let (of, value) = believed(measured, (screw, Side::Bridge), BY_HAND);
            told.push(Told::believed(of, vec![(across(screw), 1.0)], value));
        }
    }
    Some(())
}

/// Points out a screw that would stand outside the rout and its ears' recesses.
pub(crate) fn note_outside(places: &[ScrewAt], position: &str, measured: &Measured, noted: &mut Noted) {
    let at = |q| Quantity::At(position.to_owned(), q);
    let get = |q| measured.estimates.get(&at(q)).map_or(Length::ZERO, Estimate::value);
    let [end, side] = [get(P::RoutLength) / 2.0 + get(P::EarLength), get(P::RoutWidth) / 2.0];
    let along = places.iter().any(|screw| screw.along.value().abs() > end);
    let across = places.iter().any(|screw| screw.across.value().abs() > side);
    let Some(taken) = measured.taken.get(&at(P::ScrewPitch)).filter(|_| along || across) else { return };
    let message = format!("{position}: by their readings a screw stands outside the rout");
    let hint = if along {
        "were the screws' distances read to the far edges of the holes, and entered as of the near ones, or the other way round?"
    } else {
        "from which side of the rout were they read?"
    };
    noted.problems.push(Problem::notice(taken.span, message).hint(hint));
}

/// A screw that is so much further off the middle line than a hand drills it is rather misread.
const FAR: f64 = 10.0;

/// Points out a screw that stands far off the rout's middle line by one reading that no other bears out.
pub(crate) fn note_far(places: &[ScrewAt], position: &str, measured: &Measured, noted: &mut Noted) {
    for (index, place) in places.iter().enumerate() {
        let number = index + 1;
        let of = |side| Quantity::At(position.to_owned(), P::ScrewSide(number, side));
        let read = |side| measured.taken.get(&of(side)).map(|taken| (side, taken));
        let sides = [Side::Bridge, Side::Neck].map(read);
        let ([Some((side, taken)), None] | [None, Some((side, taken))]) = sides else { continue };
        let off = place.across.value().abs();
        if off < BY_HAND * FAR {
            continue;
        }
        let message = format!(
            "{position}: by {} (last in entry {}) that screw stands {off} off the rout's middle line",
            of(side),
            taken.entry
        );
        let hint = format!("is it so? {}, read too, would tell", of(side.opposite()));
        noted.problems.push(Problem::notice(taken.span, message).hint(hint));
    }
}
