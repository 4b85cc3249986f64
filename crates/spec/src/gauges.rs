//! Strings in the wrong order: pointed out, never refused.

use crate::Length;
use crate::measured::Measured;
use crate::problem::{Problem, Span};
use crate::quantity::{InstrumentQuantity, PositionQuantity, Quantity};
use crate::reader::Noted;

/// Notes strings whose thicknesses do not grow from the first to the last.
pub(crate) fn note(measured: &Measured, strings: usize, noted: &mut Noted) {
    let gauge = |n: usize| Quantity::Instrument(InstrumentQuantity::Gauge(n));
    let known = |n: usize| measured.estimates.get(&gauge(n));
    let thinner = |n: &usize| {
        let (Some(one), Some(next)) = (known(*n), known(n + 1)) else { return false };
        let less = one.clone() - next.clone();
        less.value().as_mm() > 3.0 * less.uncertainty().as_mm().max(0.01)
    };
    let turned: Vec<usize> = (1..strings).filter(thinner).collect();
    let all_known = (1..=strings).all(|n| known(n).is_some());
    let grows = |n: usize| known(n).zip(known(n + 1)).is_some_and(|(one, next)| next.value() > one.value());
    let Some(n) = turned.first().copied() else { return };
    let (Some(one), Some(next)) = (known(n), known(n + 1)) else { return };
    let latest = [n, n + 1].into_iter().filter_map(|n| measured.taken.get(&gauge(n)));
    // Figures from packets are in no reading.
    let span = latest.max_by_key(|taken| taken.entry).map(|taken| taken.span);
    let message = format!(
        "{} is {}, thinner than {} with {}; string 1 is the thinnest, on the treble side",
        gauge(n + 1),
        next.value(),
        gauge(n),
        one.value()
    );
    let hint = if all_known && turned.len() > 1 && !(1..strings).any(grows) {
        "all are the other way round: were they numbered from the bass side?"
    } else {
        "were two of them mixed up? If the instrument is strung so, nothing is wrong"
    };
    noted.problems.push(Problem { span, ..Problem::notice(Span::default(), message) }.hint(hint));
}

/// Spacings that fall by so much in all from treble to bass, string by string, are rather those of the other way round: most
/// strings stand evenly, or thick ones further apart (common practice).
const FALLS: Length = Length::from_mm(1.0);

/// Notes spacings at a position that fall from treble to bass.
pub(crate) fn note_spacings(measured: &Measured, position: &str, strings: usize, noted: &mut Noted) {
    let pair = |n: usize| Quantity::At(position.to_owned(), PositionQuantity::StringPair(n, n + 1));
    let known: Option<Vec<Length>> =
        (1..strings).map(|n| measured.estimates.get(&pair(n)).map(crate::Estimate::value)).collect();
    let Some(known) = known.filter(|all| all.len() > 2) else { return };
    let falls = known.windows(2).all(|two| two[1] < two[0]);
    let (first, last) = (known[0], known[known.len() - 1]);
    if !falls || first - last < FALLS {
        return;
    }
    let latest = (1..strings).filter_map(|n| measured.taken.get(&pair(n))).max_by_key(|taken| taken.entry);
    let message = format!(
        "the strings at {position} stand {first} apart on the treble side and ever closer towards the bass, {last} at last"
    );
    let hint = "were their distances numbered from the bass side? String 1 is the thinnest, on the treble side; if they stand so, nothing is wrong";
    let problem =
        Problem { span: latest.map(|taken| taken.span), ..Problem::notice(Span::default(), message) };
    noted.problems.push(problem.hint(hint));
}
