//! Where the mounting screws stand in the body: of two, screw 1 on the treble side.

use bobbinwright_elementary::Elementary;

use crate::Length;
use crate::measured::Measured;
use crate::problem::Problem;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::read_form::waves;
use crate::reader::Noted;
use crate::told::Told;
use crate::wanted::Side;
use crate::written_rout::WrittenRout;
use crate::{Doubt, Estimate, Origin};

/// How far from where it was meant to be a screw hole is that was marked and drilled by hand: standard
/// uncertainty, along and across (common practice, from memory: within half a millimetre, most of the time).
pub(crate) const BY_HAND: Length = Length::from_mm(0.25);

/// A screw hole in the body, from the rout's middle.
#[derive(Clone, Debug, PartialEq)]
pub struct ScrewAt {
    /// Along the row of strings, towards treble.
    pub along: Estimate,
    /// Off the rout's middle line, towards the neck.
    pub across: Estimate,
}

/// What is read of each of two screws beyond their distance: from which side, and what is taken for granted until then.
/// One of each pair will do.
const ASKED: [(usize, Side, &str); 3] = [
    (1, Side::Bridge, "on the middle line"),
    (2, Side::Bridge, "on the middle line"),
    (1, Side::Treble, "evenly from the ends"),
];

/// The sides from which each screw's place is read where nothing is taken for granted.
const BOTH_WAYS: [Side; 2] = [Side::Bridge, Side::Treble];

/// A place that is asked for: the reading, those that tell the same, and what is taken for granted until one of them is
/// known; nothing where it must be.
pub(crate) struct Asked {
    pub usual: P,
    pub instead: Vec<P>,
    pub until_read: Option<&'static str>,
}

/// What is read of the screws' places.
pub(crate) fn asked(rout: &WrittenRout) -> Vec<Asked> {
    let of_one = |screw, side: Side| [side, side.opposite()].map(|s| P::ScrewSide(screw, s)).to_vec();
    if rout.is_usual() {
        let evenly = || [1, 2].into_iter().flat_map(|n| of_one(n, Side::Treble)).collect();
        let of = |(screw, side, until_read)| Asked {
            usual: P::ScrewSide(screw, side),
            instead: if side == Side::Treble { evenly() } else { of_one(screw, side) },
            until_read: Some(until_read),
        };
        return ASKED.map(of).into();
    }
    let each = (1..=rout.screws()).flat_map(|screw| BOTH_WAYS.map(|side| (screw, side)));
    let of = |(screw, side)| Asked {
        usual: P::ScrewSide(screw, side),
        instead: of_one(screw, side),
        until_read: None,
    };
    each.map(of).collect()
}

/// The distances of screws from each other: which two, and what that is called.
pub(crate) fn pairs(count: usize) -> impl Iterator<Item = (usize, usize, P)> {
    let of = |(a, b)| (a, b, if (a, b) == (1, 2) { P::ScrewPitch } else { P::ScrewPair(a, b) });
    (1..=count).flat_map(move |a| (a + 1..=count).map(move |b| (a, b))).map(of)
}

/// The unknowns of a screw's place, along and across, by its number.
pub(crate) fn unknowns(first: usize, screw: usize) -> [usize; 2] {
    [0, 1].map(|axis| first + 2 * (screw - 1) + axis)
}

/// About where the screws stand, mm: of two that are usual by their distance, of others by their readings. None while that
/// is not known.
fn about(measured: &Measured, position: &str, rout: &WrittenRout) -> Option<Vec<[f64; 2]>> {
    let value = |q| Some(measured.estimates.get(&Quantity::At(position.to_owned(), q))?.value().as_mm());
    if rout.is_usual() {
        let half = value(P::ScrewPitch)? / 2.0;
        return Some(vec![[half, 0.0], [-half, 0.0]]);
    }
    let [length, width] = [value(P::RoutLength)?, value(P::RoutWidth)?];
    let from = |screw, side: Side, size: f64| {
        let near = value(P::ScrewSide(screw, side)).map(|reach| size / 2.0 - reach);
        near.or_else(|| value(P::ScrewSide(screw, side.opposite())).map(|reach| reach - size / 2.0))
    };
    let form = measured.forms.get(position);
    // Ends that lean are read square to themselves, and are elsewhere where the screw is.
    let leans = form.map_or(0.0, |form| form.slope(Side::Treble));
    let of = |screw| {
        let across = from(screw, Side::Neck, width)?;
        let along = from(screw, Side::Treble, length)? * (1.0 + leans * leans).sqrt() + leans * across;
        Some([along, across])
    };
    (1..=rout.screws()).map(of).collect()
}

/// Adds what is known of the screws' places; `first` is the unknown of screw 1's place along, after which follow that
/// across and those of the others. About where they are; none while nothing ties one of them.
pub(crate) fn equations(
    measured: &mut Measured,
    position: &str,
    rout: &WrittenRout,
    first: usize,
    told: &mut Vec<Told>,
) -> Option<Vec<[f64; 2]>> {
    let at = |q| Quantity::At(position.to_owned(), q);
    let about = about(measured, position, rout)?;
    for (a, b, of) in pairs(about.len()) {
        let Some(pitch) = measured.estimates.get(&at(of)).cloned() else { continue };
        let terms = along_line(first, [a, b], &[about[a - 1], about[b - 1]]);
        told.push(Told::read(at(of), terms, pitch));
    }
    let before = told.len();
    for (screw, place) in about.iter().enumerate().map(|(i, place)| (i + 1, place)) {
        for (_, side) in Side::ALL {
            from_side(measured, position, (screw, *place), side, first, told);
        }
    }
    if rout.is_usual() {
        believe(measured, position, first, before, told);
    }
    Some(about)
}

/// The distance of two screws along the line on which they stand.
pub(crate) fn along_line(first: usize, screws: [usize; 2], places: &[[f64; 2]; 2]) -> Vec<(usize, f64)> {
    let [[x, y], [u, v]] = *places;
    let (along, across) = (x - u, y - v);
    // Screws in one place, which no readings mean, have no line.
    let far = along.hypotenuse(across).max(1.0);
    let [[ax, ay], [bx, by]] = screws.map(|screw| unknowns(first, screw));
    [(ax, along), (bx, -along), (ay, across), (by, -across)].map(|(at, share)| (at, share / far)).to_vec()
}

/// Adds the distance of a screw from a side of the rout, where it was read.
fn from_side(
    measured: &mut Measured,
    position: &str,
    (screw, [x, y]): (usize, [f64; 2]),
    side: Side,
    first: usize,
    told: &mut Vec<Told>,
) {
    let at = |q| Quantity::At(position.to_owned(), q);
    let of = at(P::ScrewSide(screw, side));
    let (Some(read), Some(form)) = (measured.estimates.get(&of).cloned(), measured.forms.get(position))
    else {
        return;
    };
    let [along, across] = unknowns(first, screw);
    // The side is read beside the screw.
    let (size, place, outwards, beside) = match side {
        Side::Treble => (P::RoutLength, along, 1.0, y),
        Side::Bass => (P::RoutLength, along, -1.0, y),
        Side::Neck => (P::RoutWidth, across, 1.0, x),
        Side::Bridge => (P::RoutWidth, across, -1.0, x),
    };
    // A slanted side is read square to itself, and is elsewhere where the screw is.
    let (slope, other) = (form.slope(side), if place == along { across } else { along });
    let terms = form.reach(side, beside).into_iter().chain([(place, -outwards)]);
    let slanted = (slope != 0.0).then_some((other, slope));
    let terms = terms.chain(slanted).collect();
    let value = read * (1.0 + slope * slope).sqrt() + waves(measured, &at(size));
    let value = if slope == 0.0 { value } else { value + Estimate::exact(Length::from_mm(slope * beside)) };
    told.push(Told::read(of, terms, value));
}

/// Of two screws, what nobody read is believed. What was told of their places begins at `before`.
fn believe(measured: &mut Measured, position: &str, first: usize, before: usize, told: &mut Vec<Told>) {
    let [[x1, y1], [x2, y2]] = [1, 2].map(|screw| unknowns(first, screw));
    let is_told = |told: &[Told], unknowns: &[usize]| {
        told[before..].iter().any(|t| t.equation.terms.iter().any(|(unknown, _)| unknowns.contains(unknown)))
    };
    let mut believed = |(screw, side), u: Length| {
        let of = Quantity::At(position.to_owned(), P::ScrewSide(screw, side));
        let doubt = Doubt::new(Some(of.clone()), Origin::Assumed, f64::INFINITY);
        (of, measured.doubts.enter(doubt, u))
    };
    if !is_told(told, &[x1, x2]) {
        // The middle of two is less doubtful than each.
        let (of, value) = believed((1, Side::Treble), BY_HAND / 2f64.sqrt());
        told.push(Told::believed(of, vec![(x1, 0.5), (x2, 0.5)], value));
    }
    for (screw, across) in [(1, y1), (2, y2)] {
        if !is_told(told, &[across]) {
            let (of, value) = believed((screw, Side::Bridge), BY_HAND);
            told.push(Told::believed(of, vec![(across, 1.0)], value));
        }
    }
}

/// Points out readings of screws that the position has not.
pub(crate) fn note_strangers(measured: &Measured, position: &str, rout: &WrittenRout, noted: &mut Noted) {
    let count = rout.screws();
    for (quantity, taken) in &measured.taken {
        let Quantity::At(at, of) = quantity else { continue };
        let screw = match of {
            P::ScrewSide(screw, _) | P::ScrewPair(_, screw) => *screw,
            P::ScrewPitch => 2,
            _ => continue,
        };
        if at != position || screw <= count {
            continue;
        }
        let has = if count == 1 { "one screw".to_owned() } else { format!("{count} screws") };
        let message = format!("entry {}: {quantity} counts for nothing: {position} has {has}", taken.entry);
        let hint = format!("if there are more, write rout: (screws: {screw}) for it");
        noted.problems.push(Problem::notice(taken.span, message).hint(hint));
    }
}

/// Points out a screw that would stand outside the rout and its ears' recesses.
pub(crate) fn note_outside(
    places: &[ScrewAt],
    position: &str,
    rout: &WrittenRout,
    measured: &Measured,
    noted: &mut Noted,
) {
    let at = |q| Quantity::At(position.to_owned(), q);
    let get = |q| measured.estimates.get(&at(q)).map_or(Length::ZERO, Estimate::value);
    let ear = |sides: [Side; 2]| {
        if rout.ears.iter().any(|side| sides.contains(side)) { get(P::EarLength) } else { Length::ZERO }
    };
    let end = get(P::RoutLength) / 2.0 + ear([Side::Treble, Side::Bass]);
    let side = get(P::RoutWidth) / 2.0 + ear([Side::Neck, Side::Bridge]);
    let along = places.iter().any(|screw| screw.along.value().abs() > end);
    let across = places.iter().any(|screw| screw.across.value().abs() > side);
    let read = measured.taken.iter().filter(|(q, _)| match q {
        Quantity::At(at, of) => {
            at == position && matches!(of, P::ScrewPitch | P::ScrewPair(..) | P::ScrewSide(..))
        }
        _ => false,
    });
    let last = read.map(|(_, taken)| taken).max_by_key(|taken| taken.entry);
    let Some(taken) = last.filter(|_| along || across) else { return };
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
