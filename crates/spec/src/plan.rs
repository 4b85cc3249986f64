//! What lies where in a position, by all that was read of it.
//!
//! Unknown are the rout's length and width, the strings' places along the row and the screws' along and across, all from the
//! rout's middle, treble and neck positive. Every reading is an equation between some of them: a pair of strings gives a
//! difference, a side ties a string or a screw to the rout, the screws' distance ties them to each other. All are solved
//! at once ([`bobbinwright_estimate::network`]), so that what was read twice in different ways is averaged by weight, and
//! whatever closes a loop tells of a slip: a rout whose length was misread shows by its strings and its screws.
//!
//! What nobody read is believed: an equation too, with a wide doubt, but never a suspect.

use bobbinwright_estimate::network::{Adjusted, Equation, adjust, best_values};

use crate::angle::Angle;
use crate::ears;
use crate::guard::Guard;
use crate::measured::Measured;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::reader::Noted;
use crate::rounder::rounder;
use crate::runs::{Across, Lines};
use crate::screws::{self, ScrewAt};
use crate::sides::Sides;
use crate::strings;
use crate::suspected;
use crate::told::{Told, string};
use crate::written_rout::WrittenRout;
use crate::{Estimate, Length};

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
    let odd = strings::odd_spacing(measured, position, count);
    let by_odd =
        odd.as_ref().and_then(|odd| suspected::doubt_of_spacing(odd, (&told, count), &adjusted, measured));
    let odd = odd.map(|(quantity, _)| quantity);
    let guards = told
        .iter()
        .zip(&adjusted.leftovers)
        .filter_map(|(t, left)| Guard::of(t, left, measured, count, rout));
    let guards = guards.chain(Guard::alone((&told, &adjusted), position, measured, count, rout)).collect();
    let mut places = adjusted.unknowns.clone();
    let slips = suspected::slips(&told, form.told.len(), &adjusted, measured);
    let rounder = rounder(&told, &slips, measured, position).filter(|_| rout.outline.is_square());
    if let Some(rounder) = &rounder {
        rounder.doubt(position, measured);
    }
    let why = rounder.map(|rounder| rounder.hint()).unwrap_or_default();
    for slip in &slips {
        let among: Vec<&Told> = slip.among.iter().map(|i| &told[*i]).collect();
        let odd = odd.as_ref().filter(|odd| among.iter().any(|t| t.of == **odd));
        if odd.is_none() {
            let why = format!("{why}{}", slip.hint());
            match slip.together.first().filter(|_| among.is_empty()) {
                Some(size) => size.note(&why, position, measured, noted),
                None => suspected::note(&among, slip.off, &why, position, count, measured, noted),
            }
        }
        let first = among.first().map(|t| &t.of).or(slip.together.first().map(|size| &size.of));
        let blamed = odd.or(first).cloned();
        let more = slip.doubt(blamed, measured);
        form.add(&more);
        for (place, more) in places.iter_mut().zip(more) {
            *place = place.clone() + more;
        }
    }
    // Where a slip is found in it that has been counted.
    let is_found = |odd: &Quantity| slips.iter().any(|slip| slip.among.iter().any(|i| told[*i].of == *odd));
    let by_odd = by_odd.filter(|_| !odd.as_ref().is_some_and(is_found));
    for (place, more) in places.iter_mut().zip(by_odd.into_iter().flatten()) {
        *place = place.clone() + more;
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
    let is_odd = odd.is_some() || !slips.is_empty() || lines.is_odd();
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
