//! Strings in the wrong order: pointed out, never refused.

use crate::measured::Measured;
use crate::problem::{Problem, Span};
use crate::quantity::{InstrumentQuantity, Quantity};
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
    let hint = if turned.len() + 1 == strings {
        "all are the other way round: were they numbered from the bass side?"
    } else {
        "were two of them mixed up? If the instrument is strung so, nothing is wrong"
    };
    noted.problems.push(Problem { span, ..Problem::notice(Span::default(), message) }.hint(hint));
}
