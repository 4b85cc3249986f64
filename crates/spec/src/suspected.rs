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
    /// Which they may be, the likeliest first.
    pub among: Vec<usize>,
    /// How far the first is off if it is the one.
    pub off: Length,
    /// Openings of which all spots may be off together.
    all_of: Vec<InAllSpots>,
    /// How far each unknown may be off, mm.
    moves: Vec<f64>,
}

/// An opening that may be off in all of its spots.
struct InAllSpots {
    of: Quantity,
    /// How far.
    off: Length,
    /// The spots' equations.
    own: Vec<usize>,
}

/// Openings whose jaws may have been held wrongly in all of their spots: that is another explanation where a slip in the first of
/// the suspects alone is not ten times likelier.
fn held_wrongly(
    told: &[Told],
    adjusted: &Adjusted,
    among: &[usize],
    is_aside: &impl Fn(usize) -> bool,
) -> Vec<InAllSpots> {
    let first = among.first().and_then(|first| Some((told[*first].of.position()?, *first)));
    let alone = first.and_then(|(position, first)| Some((position, adjusted.in_common(&[first])?.ratio())));
    let Some((position, alone)) = alone else { return Vec::new() };
    let of_one = |of: P| {
        let of = Quantity::At(position.to_owned(), of);
        let is_own = |i: &usize| told[*i].is_read && told[*i].of == of && !is_aside(*i);
        let own: Vec<usize> = (0..told.len()).filter(is_own).collect();
        // As suspects are alike, see `Suspects`: round a loop both say the same but for the last digit.
        let is_alike = |ratio: f64| ratio.power(2) + 2.0 * 10f64.logarithm() > alone.power(2);
        let common = adjusted.in_common(&own).filter(|common| own.len() > 1 && is_alike(common.ratio()))?;
        Some(InAllSpots { of, off: common.off.abs(), own })
    };
    [P::RoutLength, P::RoutWidth].into_iter().filter_map(of_one).collect()
}

/// What each unknown moves by where several readings are off together, if that is further.
fn further(moves: Vec<f64>, spots: &InAllSpots, adjusted: &Adjusted) -> Vec<f64> {
    let together = |unknown: usize| {
        let slope: f64 = spots.own.iter().map(|i| adjusted.leftovers[*i].moves[unknown]).sum();
        slope * spots.off.as_mm()
    };
    let longer = |(unknown, by): (usize, f64)| {
        let all = together(unknown);
        if all.abs() > by.abs() { all } else { by }
    };
    moves.into_iter().enumerate().map(longer).collect()
}

/// How far the unknowns of the rout's form may be off. It hangs on what was read of its openings alone, so that all of a slip there
/// is in it, where the plan has others that hold against it; and nothing of one elsewhere. Of several that may be it is the one that
/// moves it most: what two move by would not go together.
fn of_form(form: &[Told], adjusted: &Adjusted, among: &[usize], all_of: &[InAllSpots]) -> Vec<f64> {
    let none = vec![0.0; OF_FORM];
    let equations: Vec<Equation> = form.iter().map(|t| t.equation.clone()).collect();
    let Ok(alone) = adjust(&equations, OF_FORM) else { return none };
    let off = |i: &usize| Some((vec![*i], adjusted.leftovers[*i].off.as_ref()?.value()));
    let together = all_of.iter().map(|spots| (spots.own.clone(), spots.off));
    let moves = |(own, off): (Vec<usize>, Length)| -> Vec<f64> {
        let slope = |unknown: usize| -> f64 {
            own.iter().filter_map(|i| alone.leftovers.get(*i)).map(|left| left.moves[unknown]).sum()
        };
        (0..OF_FORM).map(|unknown| slope(unknown) * off.as_mm()).collect()
    };
    let sizes = |moves: &Vec<f64>| moves[LENGTH].hypotenuse(moves[WIDTH]);
    let each = among.iter().filter_map(off).chain(together).map(moves);
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
        let unknowns = 0..adjusted.unknowns.len();
        let moves: Vec<f64> = unknowns.map(|unknown| most_moved(&adjusted, &among, unknown)).collect();
        let all_of = held_wrongly(told, &adjusted, &among, &is_aside);
        for i in among.iter().chain(all_of.iter().flat_map(|spots| &spots.own)) {
            let value = &mut equations[*i].value;
            *value = value.clone() + anywhere(&mut doubts);
        }
        let mut moves = all_of.iter().fold(moves, |moves, spots| further(moves, spots, &adjusted));
        moves[..OF_FORM].copy_from_slice(&of_form(&told[..of_the_form], &adjusted, &among, &all_of));
        found.push(Slip { among, off, all_of, moves });
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
fn most_moved(adjusted: &Adjusted, among: &[usize], unknown: usize) -> f64 {
    let moved = among.iter().filter_map(|i| {
        let leftover = &adjusted.leftovers[*i];
        Some(leftover.off.as_ref()?.value().as_mm() * leftover.moves[unknown])
    });
    moved.max_by(|a, b| a.abs().total_cmp(&b.abs())).unwrap_or_default()
}

impl Slip {
    /// What else would explain it.
    pub fn hint(&self) -> String {
        let off = |InAllSpots { of, off, .. }: &InAllSpots| format!("{of} off by about {off}");
        let all: Vec<String> = self.all_of.iter().map(off).collect();
        if all.is_empty() {
            return String::new();
        }
        let all = all.join(", or ");
        format!(
            "{all} in all of its spots, as by jaws that were held wrongly in each, would explain that as well: read it once more in another way; "
        )
    }

    /// What it adds to each unknown.
    pub fn doubt(&self, blamed: Option<Quantity>, measured: &mut Measured) -> Vec<Estimate> {
        let cause = Doubt::new(blamed, Origin::Contradiction, f64::INFINITY);
        let one = measured.doubts.enter(cause, Length::from_mm(1.0));
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
