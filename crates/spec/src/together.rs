//! Errors that several readings have in common.
//!
//! Whoever holds the jaws wrongly in one spot of an opening holds them so in all of them. Whoever reads a hole wrongly has
//! that in every distance which was read over its edges: half of it, added to near ones and taken off far ones. Repeats and spots
//! agree about such a slip, and one reading after the other is accused of it that is right.

use bobbinwright_elementary::Elementary;
use bobbinwright_estimate::network::{Adjusted, InCommon};

use crate::guard::Guard;
use crate::measured::{Measured, SURE};
use crate::problem::Problem;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::reader::Noted;
use crate::told::Told;
use crate::{Estimate, Length};

/// One size that may be off in all that was read of it, or over it.
pub(crate) struct Together {
    pub of: Quantity,
    /// How far the size is off.
    pub off: Length,
    /// The equations that have it, and how many millimetres each has of one of the size.
    pub own: Vec<(usize, f64)>,
    /// How many standard uncertainties that is.
    ratio: f64,
}

/// Further than this nobody is off in an opening by how the jaws are held, in all of its spots.
const HELD_WRONGLY: Length = Length::from_mm(2.0);

/// Sizes that explain what the first of some suspects does not explain ten times better; the likeliest first.
pub(crate) fn together(
    told: &[Told],
    adjusted: &Adjusted,
    among: &[usize],
    measured: &Measured,
    is_aside: impl Fn(usize) -> bool,
    is_known: impl Fn(&Quantity) -> bool,
) -> Vec<Together> {
    let first = among.first().and_then(|first| Some((told[*first].of.position()?, *first)));
    let alone = first.and_then(|(position, first)| Some((position, adjusted.in_common(&[(first, 1.0)])?)));
    let Some((position, alone)) = alone else { return Vec::new() };
    let counts = |i: &usize| told[*i].is_read && !is_aside(*i);
    let of_one = |of: P| {
        let of = Some(Quantity::At(position.to_owned(), of)).filter(|of| !is_known(of))?;
        let own = shares(&of, told, measured).into_iter().filter(|(i, _)| counts(i));
        let own: Vec<(usize, f64)> = own.collect();
        let common: InCommon = adjusted.in_common(&own).filter(|_| own.len() > 1)?;
        let (off, ratio) = (common.off, common.ratio());
        let read = measured.estimates.get(&of)?.value();
        // Nobody reads a hole of 3 mm where there is one of 6, or the other way round; and jaws that are held askew are off by little.
        let may_be =
            if is_hole(&of) { off.abs() * 2.0 < read.max(read - off) } else { off.abs() < HELD_WRONGLY };
        (may_be && is_alike(ratio, alone.ratio())).then_some(Together { of, off, own, ratio })
    };
    let mut found: Vec<Together> =
        [P::RoutLength, P::RoutWidth, P::ScrewHole].into_iter().filter_map(of_one).collect();
    found.sort_by(|a, b| b.ratio.total_cmp(&a.ratio));
    found
}

/// One explanation is not ten times likelier than another: likelihood falls with exp(-w²/2).
///
/// As suspects are alike, see `Suspects`: round a loop both say the same but for the last digit.
fn is_alike(ratio: f64, best: f64) -> bool {
    ratio.power(2) + 2.0 * 10f64.logarithm() > best.power(2)
}

/// How much of a size each equation has.
fn shares(of: &Quantity, told: &[Told], measured: &Measured) -> Vec<(usize, f64)> {
    if !is_hole(of) {
        return (0..told.len()).filter(|i| told[*i].of == *of).map(|i| (i, 1.0)).collect();
    }
    let size = measured.estimates.get(of).and_then(|size| Guard::of_step(size, of, measured));
    let Some(size) = size else { return Vec::new() };
    let shares = told.iter().map(|t| size.moves(&t.equation.value)).enumerate();
    shares.filter(|(_, share)| share.abs() > 1e-6).collect()
}

/// It counts by itself too; an opening is in the plan.
fn is_hole(of: &Quantity) -> bool {
    matches!(of, Quantity::At(_, P::ScrewHole))
}

impl Together {
    /// What an unknown moves by with it, mm.
    pub fn moves(&self, adjusted: &Adjusted, unknown: usize) -> f64 {
        let slope: f64 = self
            .own
            .iter()
            .filter_map(|(i, share)| Some(adjusted.leftovers.get(*i)?.moves[unknown] * share))
            .sum();
        slope * self.off.as_mm()
    }

    /// Is it so much likelier than a suspect that this is not worth a word? A hole is read once, and its slip is one; an opening is read in
    /// spots, each by itself, and it would have to be the same in all.
    pub fn clears(&self, suspect: usize, adjusted: &Adjusted) -> bool {
        is_hole(&self.of)
            && adjusted.in_common(&[(suspect, 1.0)]).is_some_and(|alone| !is_alike(alone.ratio(), self.ratio))
    }

    /// It and how far it is off, as one names it.
    pub fn in_words(&self) -> String {
        let Self { of, off, .. } = self;
        if !is_hole(of) {
            return format!(
                "{of} off by about {} in all of its spots, as by jaws that were held wrongly in each",
                off.abs()
            );
        }
        let less = if *off < Length::ZERO { "less" } else { "more" };
        format!(
            "{of} read as about {} {less} than it is, which is in all that was read over the edges of the holes",
            off.abs()
        )
    }

    /// Points it out where nothing else would explain it as well.
    pub fn note(&self, why: &str, position: &str, measured: &Measured, noted: &mut Noted) {
        let Some(last) = measured.taken.get(&self.of) else { return };
        let message = format!(
            "{position}: the readings contradict each other; what explains it best is {} (last in entry {})",
            self.in_words(),
            last.entry
        );
        let cut = cut_since(position, measured);
        let hint = format!(
            "{cut}{why}read it once more in another way, as with another caliper; until then what hangs on it counts as that much less sure"
        );
        noted.problems.push(Problem::notice(last.span, message).hint(hint));
    }

    /// What a hole itself may be off by.
    pub fn doubt(&self, one: &Estimate, measured: &mut Measured) {
        if let Some(size) = measured.estimates.get_mut(&self.of).filter(|_| is_hole(&self.of)) {
            *size = size.clone() + one.clone() * (self.off.as_mm() / SURE);
        }
    }
}

/// Where something in the body was read afresh, what else may be of the body as it was.
pub(crate) fn cut_since(position: &str, measured: &Measured) -> String {
    let own = |(of, _): &(&Quantity, &usize)| matches!(of, Quantity::At(at, _) if at == position);
    let last = measured.afresh.iter().filter(own).max_by_key(|(_, entry)| **entry);
    last.map_or(String::new(), |(of, entry)| {
        format!(
            "{of} was read afresh in entry {entry}: if the body was cut there, read afresh also what else was read to the same sides before, diagonals and other spots among it; "
        )
    })
}
