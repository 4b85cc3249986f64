//! Readings of a plan that can't all be true.
//!
//! The readings that one slip would explain are set aside, all of them, and the rest is asked again: a second slip elsewhere
//! is as bad as the first.

use bobbinwright_elementary::Elementary;
use bobbinwright_estimate::network::{Adjusted, Equation, Suspects, adjust};

use crate::measured::{Measured, SURE};
use crate::problem::Problem;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::reader::Noted;
use crate::series::Taken;
use crate::together::{Together, cut_since, together};
use crate::told::{LENGTH, OF_FORM, Told, WIDTH, string};
use crate::{Doubt, Doubts, Estimate, Length, Origin};

/// So seldom may an honest sheet of readings be accused.
const ACCUSED: f64 = 0.01;

/// Who slips more often on one sheet reads it all again.
const SLIPS: usize = 4;

/// What is set aside counts as known within so much, mm: no reading that is left gives way to it.
const SET_ASIDE: f64 = 30.0;

/// One slip: some readings of which one must be off.
pub(crate) struct Slip {
    /// Which they may be, the likeliest first; none where one of those that are off together is far likelier.
    pub among: Vec<usize>,
    /// How far the first is off if it is the one.
    pub off: Length,
    /// Those that may be off together.
    pub together: Vec<Together>,
    /// How far each unknown may be off, mm.
    moves: Vec<f64>,
}

/// How far the unknowns of the rout's form may be off. It hangs on what was read of its openings alone, so that all of a slip there
/// is in it, where the plan has others that hold against it; and nothing of one elsewhere. Of several that may be it is the one that
/// moves it most: what two move by would not go together.
fn of_form(form: &[Told], adjusted: &Adjusted, among: &[usize], together: &[Together]) -> Vec<f64> {
    let none = vec![0.0; OF_FORM];
    let equations: Vec<Equation> = form.iter().map(|t| t.equation.clone()).collect();
    let Ok(alone) = adjust(&equations, OF_FORM) else { return none };
    let of_one = |i: &usize| -> Option<Vec<f64>> {
        let off = adjusted.leftovers[*i].off.as_ref()?.value().as_mm();
        let moves = alone.leftovers.get(*i).map(|left| &left.moves);
        Some((0..OF_FORM).map(|unknown| moves.map_or(0.0, |moves| moves[unknown]) * off).collect())
    };
    let of_several = |one: &Together| (0..OF_FORM).map(|unknown| one.moves(&alone, unknown)).collect();
    let sizes = |moves: &Vec<f64>| moves[LENGTH].hypotenuse(moves[WIDTH]);
    let each = among.iter().filter_map(of_one).chain(together.iter().map(of_several));
    each.max_by(|a, b| sizes(a).total_cmp(&sizes(b))).unwrap_or(none)
}

/// All slips that show, each beside those before it. The equations of the rout's form are the first of those that are told.
pub(crate) fn slips(
    told: &[Told],
    of_the_form: usize,
    adjusted: &Adjusted,
    measured: &Measured,
) -> Vec<Slip> {
    let mut found: Vec<Slip> = Vec::new();
    let mut equations: Vec<Equation> = told.iter().map(|t| t.equation.clone()).collect();
    let mut doubts = measured.doubts.clone();
    let mut adjusted = adjusted.clone();
    while found.len() < SLIPS {
        let is_aside = |i: usize| found.iter().any(|slip| slip.among.contains(&i));
        let is_read = |i: usize| told[i].is_read && !is_aside(i);
        let Some(suspects) = adjusted.suspects(&doubts, is_read, ACCUSED) else { break };
        let Suspects { among, off } = believable(suspects, &adjusted, told, measured);
        // What has been found to be off in all that was read of it tells nothing any more.
        let is_known =
            |of: &Quantity| found.iter().any(|slip| slip.together.iter().any(|size| size.of == *of));
        let together = together(told, &adjusted, &among, measured, is_aside, is_known);
        let is_cleared = |i: &usize| together.first().is_some_and(|best| best.clears(*i, &adjusted));
        let among: Vec<usize> = among.into_iter().filter(|i| !is_cleared(i)).collect();
        let own = among.iter().map(|i| vec![(*i, 1.0)]).chain(together.iter().map(|one| one.own.clone()));
        for own in own {
            let off = anywhere(&mut doubts);
            for (i, share) in own {
                let value = &mut equations[i].value;
                *value = value.clone() + off.clone() * share;
            }
        }
        let unknowns = 0..adjusted.unknowns.len();
        let mut moves: Vec<f64> =
            unknowns.map(|unknown| most_moved(&adjusted, (&among, &together), unknown)).collect();
        moves[..OF_FORM].copy_from_slice(&of_form(&told[..of_the_form], &adjusted, &among, &together));
        found.push(Slip { among, off, together, moves });
        let Ok(rest) = adjust(&equations, adjusted.unknowns.len()) else { break };
        adjusted = rest;
    }
    found
}

/// A doubt of its own that outweighs whatever was read.
fn anywhere(doubts: &mut Doubts) -> Estimate {
    doubts.enter(Doubt::new(None, Origin::Contradiction, f64::INFINITY), Length::from_mm(SET_ASIDE))
}

/// Which of the suspects is wrong nobody knows: whatever hangs on them lies anywhere between where they put it and where it
/// would be without them. How far that is, mm.
fn most_moved(adjusted: &Adjusted, (among, together): (&[usize], &[Together]), unknown: usize) -> f64 {
    let moved = among.iter().filter_map(|i| {
        let leftover = &adjusted.leftovers[*i];
        Some(leftover.off.as_ref()?.value().as_mm() * leftover.moves[unknown])
    });
    let moved = moved.chain(together.iter().map(|one| one.moves(adjusted, unknown)));
    moved.max_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or_default()
}

impl Slip {
    /// What else would explain it.
    pub fn hint(&self) -> String {
        let own = usize::from(self.among.is_empty());
        let all: Vec<String> = self.together.iter().skip(own).map(Together::in_words).collect();
        if all.is_empty() {
            return String::new();
        }
        format!("{} would explain that as well: read it once more in another way; ", all.join(", or "))
    }

    /// What it adds to each unknown.
    pub fn doubt(&self, blamed: Option<Quantity>, measured: &mut Measured) -> Vec<Estimate> {
        let cause = Doubt::new(blamed, Origin::Contradiction, f64::INFINITY);
        let one = measured.doubts.enter(cause.clone(), Length::from_mm(1.0));
        // By itself: what moves a place most may be another suspect, and must not make up for the size.
        for size in &self.together {
            let own = measured.doubts.enter(cause.clone(), Length::from_mm(1.0));
            size.doubt(&own, measured);
        }
        let of = |most: &f64| {
            // Up to so far to one side, and to which the readings do not tell: what does not fit at both ends is no fit, which is
            // what holds in 95 of 100 cases.
            if most.abs() > 1e-6 { one.clone() * (most / SURE) } else { Estimate::default() }
        };
        self.moves.iter().map(of).collect()
    }
}

/// What each unknown may be off by where a spacing is as odd as nothing but the others says, and was not read in another round: a slip
/// the other way beside it keeps all sums as they are.
pub(crate) fn doubt_of_spacing(
    (odd, expected): &(Quantity, Length),
    (told, strings): (&[Told], usize),
    adjusted: &Adjusted,
    measured: &mut Measured,
) -> Option<Vec<Estimate>> {
    let read = measured.estimates.get(odd)?.value();
    let by = told.iter().position(|t| t.of == *odd).filter(|_| !measured.is_read_in_rounds(odd))?;
    let cause = Doubt::new(Some(odd.clone()), Origin::Contradiction, f64::INFINITY);
    let one = measured.doubts.enter(cause, (read - *expected).abs() / SURE);
    // The strings on either side of it, one of which is as far off as it is.
    let own: Vec<usize> = told[by].equation.terms.iter().map(|(unknown, _)| *unknown).collect();
    let is_own = |unknown: usize| (string(0)..string(strings)).contains(&unknown) && own.contains(&unknown);
    let of = |unknown: usize| if is_own(unknown) { one.clone() } else { Estimate::default() };
    Some((0..adjusted.unknowns.len()).map(of).collect())
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

/// Points out readings that can't be true together.
pub(crate) fn note(
    among: &[&Told],
    apart: Length,
    why: &str,
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
        let hint = cut_since(position, measured) + why + hint;
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
    let hint = format!("{cut}{why}{tells}; until then what hangs on them counts as that much less sure");
    noted.problems.push(Problem::notice(last.span, message).hint(hint));
}
