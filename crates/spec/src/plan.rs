//! What lies where in a position, by all that was read of it.
//!
//! Unknown are the rout's length and width, the strings' places along the row and the screws' along and across, all from the
//! rout's middle, treble and neck positive. Every reading is an equation between some of them: a pair of strings gives a
//! difference, a side ties a string or a screw to the rout, the screws' distance ties them to each other. All are solved
//! at once ([`bobbinwright_estimate::network`]), so that what was read twice in different ways is averaged by weight, and
//! whatever closes a loop tells of a slip: a rout whose length was misread shows by its strings and its screws.
//!
//! What nobody read is believed: an equation too, with a wide doubt, but never a suspect.

use bobbinwright_estimate::network::{Adjusted, Equation, Suspects, adjust, best_values};

use crate::angle::Angle;
use crate::ears;
use crate::guard::Guard;
use crate::measured::Measured;
use crate::problem::Problem;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::reader::Noted;
use crate::runs::{Across, Lines};
use crate::screws::{self, ScrewAt};
use crate::series::Taken;
use crate::sides::Sides;
use crate::strings;
use crate::told::{Told, string};
use crate::written_rout::WrittenRout;
use crate::{Doubt, Estimate, Length, Origin};

/// Where strings and screws are.
pub(crate) struct Plan {
    /// Strings 1 to n, along the row, over the middle line.
    pub strings: Vec<Estimate>,
    /// What each goes towards treble on a way of [`crate::runs::WAY`] towards the neck.
    pub goes: Vec<Estimate>,
    /// How far the row is from square to them.
    pub slant: Angle,
    /// The outer strings' distance by the readings over the position, where they tie all strings.
    pub spread: Option<Estimate>,
    /// Screws 1 to n.
    pub screws: Vec<ScrewAt>,
    /// Length and width where they are tightest.
    pub size: [Estimate; 2],
    /// The rout's sides.
    pub sides: Sides,
    /// What would show if it were misread.
    pub guards: Vec<Guard>,
    /// Something was said of readings that can't be true.
    pub is_odd: bool,
}

/// So seldom may an honest sheet of readings be accused.
const ACCUSED: f64 = 0.01;

/// The plan of a position, with its row of rods beside the middle line where a distance is stated; none while something that it
/// needs is unknown, which has been said.
pub(crate) fn plan(
    measured: &mut Measured,
    position: &str,
    rout: &WrittenRout,
    count: usize,
    row: Option<Length>,
    noted: &mut Noted,
) -> Option<Plan> {
    let mut form = measured.forms.get(position)?.clone();
    let mut told = form.told.clone();
    let first = string(count);
    let across = Across { slant: rout.slant, is_beside: row.is_some() };
    let lines = Lines::of(measured, position, count, across, first + 2 * rout.screws());
    lines.note(measured, position, rout.slant, noted);
    let all_read = strings::equations(measured, position, count, &lines, &mut told)?;
    screws::note_strangers(measured, position, rout, noted);
    ears::note_strangers(measured, position, rout, noted);
    let about = screws::equations(measured, position, rout, first, &mut told)?;
    let adjusted = solve(&mut told, first, about, lines.count())?;
    // Where the strings' own spacings tell which of them is off, that has been said.
    let odd = strings::odd_spacing(measured, position, count).map(|(quantity, _)| quantity);
    let guards = told
        .iter()
        .zip(&adjusted.leftovers)
        .filter_map(|(t, left)| Guard::of(t, left, measured, count, rout));
    let guards = guards.chain(Guard::alone(&told, position, measured)).collect();
    let suspects = adjusted.suspects(&measured.doubts, |i| told[i].is_read, ACCUSED);
    let suspects = suspects.map(|suspects| believable(suspects, &adjusted, &told, measured));
    let mut places = adjusted.unknowns.clone();
    if let Some(suspects) = &suspects {
        let among: Vec<&Told> = suspects.among.iter().map(|i| &told[*i]).collect();
        if odd.is_none() {
            note(&among, suspects.off, position, count, measured, noted);
        }
        let blamed = odd.clone().or_else(|| among.first().map(|t| t.of.clone()));
        let more = doubt(&adjusted, &suspects.among, blamed, measured);
        form.add(&more);
        for (place, more) in places.iter_mut().zip(more) {
            *place = place.clone() + more;
        }
    }
    let more = lines.doubt(measured, position, &adjusted.unknowns);
    form.add(&more);
    for (place, more) in places.iter_mut().zip(more) {
        *place = place.clone() + more;
    }
    let screw = |n: usize| {
        let [along, across] = screws::unknowns(first, n).map(|i| places[i].clone());
        ScrewAt { along, across }
    };
    let screws: Vec<ScrewAt> = (1..=rout.screws()).map(screw).collect();
    screws::note_outside(&screws, position, rout, measured, noted);
    if rout.is_usual() {
        screws::note_far(&screws, position, measured, noted);
    }
    let strings: Vec<Estimate> = places[string(0)..first].to_vec();
    let spread = all_read.then(|| lines.spread(&places));
    let goes = (0..count).map(|index| lines.goes(index, &places)).collect();
    let slant = lines.slant(&places);
    let is_odd = odd.is_some() || suspects.is_some() || lines.is_odd();
    Some(Plan {
        strings,
        goes,
        slant,
        spread,
        screws,
        size: form.tightest(),
        sides: form.sides,
        guards,
        is_odd,
    })
}

/// Solves the equations. The screws' distances are read straight from one to the other: each is taken along the line on
/// which the last solution has them. `places` is about where they are; `of_lines` unknowns come after them.
fn solve(told: &mut [Told], first: usize, mut places: Vec<[f64; 2]>, of_lines: usize) -> Option<Adjusted> {
    // The first line is off by little beside their distance, so that the second is right to a micrometre.
    const ROUNDS: usize = 2;
    let unknowns = first + 2 * places.len() + of_lines;
    let equations = |told: &[Told]| told.iter().map(|t| t.equation.clone()).collect::<Vec<Equation>>();
    for _ in 0..ROUNDS {
        // The equations tie every string to every other and one of them to the rout, and so the screws.
        let (values, _) = best_values(&equations(told), unknowns).ok()?;
        for (n, place) in places.iter_mut().enumerate() {
            *place = screws::unknowns(first, n + 1).map(|i| values[i]);
        }
        for t in told.iter_mut() {
            let (a, b) = match t.of {
                Quantity::At(_, P::ScrewPitch) => (1, 2),
                Quantity::At(_, P::ScrewPair(a, b)) => (a, b),
                _ => continue,
            };
            t.equation.terms = screws::along_line(first, [a, b], &[places[a - 1], places[b - 1]]);
        }
    }
    adjust(&equations(told), unknowns).ok()
}

/// A slip may put a distance anywhere, but not so far off that there was none; mm: signs are mixed up in short ones.
const SHORT: f64 = 10.0;

/// The suspects that may be off by as much as they would be: nobody reads 17 mm where there are 250, or less than nothing. All
/// of them where none may.
fn believable(suspects: Suspects, adjusted: &Adjusted, told: &[Told], measured: &Measured) -> Suspects {
    let off = |i: usize| adjusted.leftovers[i].off.as_ref().map_or(Length::ZERO, |off| off.value().abs());
    let may_be = |i: &usize| {
        let read = measured.estimates.get(&told[*i].of).map_or(Length::ZERO, |read| read.value().abs());
        off(*i).as_mm() < read.as_mm() + SHORT
    };
    let among: Vec<usize> = suspects.among.iter().copied().filter(may_be).collect();
    match among.first() {
        Some(first) => Suspects { off: off(*first), among },
        None => suspects,
    }
}

/// Which of the suspects is wrong nobody knows: whatever hangs on them lies anywhere between where they put it and where it
/// would be without them. What that adds to each unknown.
fn doubt(
    adjusted: &Adjusted,
    among: &[usize],
    blamed: Option<Quantity>,
    measured: &mut Measured,
) -> Vec<Estimate> {
    let cause = Doubt::new(blamed, Origin::Contradiction, f64::INFINITY);
    let one = measured.doubts.enter(cause, Length::from_mm(1.0));
    let of = |unknown: usize| {
        let moved = among.iter().filter_map(|i| {
            let leftover = &adjusted.leftovers[*i];
            Some(leftover.off.as_ref()?.value().as_mm() * leftover.moves[unknown])
        });
        let most = moved.max_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or_default();
        if most.abs() > 1e-6 { one.clone() * (most / 12f64.sqrt()) } else { Estimate::default() }
    };
    (0..adjusted.unknowns.len()).map(of).collect()
}

/// Points out readings that can't be true together.
fn note(
    among: &[&Told],
    apart: Length,
    position: &str,
    strings: usize,
    measured: &Measured,
    noted: &mut Noted,
) {
    // What was not read by a tool is stated, and can't be read again.
    let taken = |t: &Told| {
        let in_spot = measured.taken_at.get(&(t.of.clone(), t.spot.clone()));
        in_spot.or_else(|| measured.taken.get(&t.of)).copied()
    };
    let read: Vec<(&Told, Taken)> = among.iter().filter_map(|t| Some((*t, taken(t)?))).collect();
    let Some((_, last)) = read.iter().max_by_key(|(_, taken)| taken.entry) else { return };
    if let [(one, taken)] = &read[..] {
        let message = format!(
            "{position}: the readings contradict each other; {} (last in entry {}) is {apart} off what the others say",
            one.name(),
            taken.entry
        );
        let hint = "read it again, and what was read beside it; until then what hangs on it counts as that much less sure";
        let hint = cut_since(position, measured) + hint;
        noted.problems.push(Problem::notice(last.span, message).hint(hint));
        return;
    }
    let neighbours = |q: &Quantity| matches!(q, Quantity::At(_, P::StringPair(a, b)) if b - a == 1);
    let (pairs, others): (Vec<_>, Vec<_>) = read.iter().map(|(t, _)| *t).partition(|t| neighbours(&t.of));
    let mut pairs: Vec<&Quantity> = pairs.into_iter().map(|t| &t.of).collect();
    pairs.sort();
    let pairs = match &pairs[..] {
        [] => None,
        [one] => Some(one.to_string()),
        [first, .., last] => Some(format!("a spacing from {first} to {last}")),
    };
    let names: Vec<String> = others.iter().map(|t| t.name()).chain(pairs).collect();
    let [before @ .., end] = &names[..] else { return };
    let one_of = if before.is_empty() { end.clone() } else { format!("{} or {end}", before.join(", ")) };
    let message = format!(
        "{position}: the readings contradict each other; one of these is about {apart} off: {one_of}"
    );
    let outer = Quantity::At(position.to_owned(), P::StringPair(1, strings));
    let of_strings =
        |q: &&Quantity| matches!(q, Quantity::At(_, P::StringPair(..) | P::BassSide | P::TrebleSide));
    let is_of_strings = read.iter().any(|(t, _)| of_strings(&&t.of));
    let tells = if measured.estimates.contains_key(&outer) || !is_of_strings {
        "read these again, one after the other, until they agree".to_owned()
    } else {
        format!("read them again; {outer}, over the outer strings, would tell spacings and rout apart")
    };
    let cut = cut_since(position, measured);
    let hint = format!("{cut}{tells}; until then what hangs on them counts as that much less sure");
    noted.problems.push(Problem::notice(last.span, message).hint(hint));
}

/// Where something in the body was read afresh, what else may be of the body as it was.
fn cut_since(position: &str, measured: &Measured) -> String {
    let own = |(of, _): &(&Quantity, &usize)| matches!(of, Quantity::At(at, _) if at == position);
    let last = measured.afresh.iter().filter(own).max_by_key(|(_, entry)| **entry);
    last.map_or(String::new(), |(of, entry)| {
        format!(
            "{of} was read afresh in entry {entry}: if the body was cut there, read afresh also what else was read to the same sides before, diagonals and other spots among it; "
        )
    })
}
