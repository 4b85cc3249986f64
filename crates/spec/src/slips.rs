//! Slips of the hand: pointed out, never dropped.

use crate::Estimate;
use crate::Length;
use crate::corners;
use crate::hand::{Hand, Slip};
use crate::log::Entry;
use crate::problem::{Problem, Span};
use crate::quantity::{PositionQuantity, Quantity};
use crate::reader::Noted;
use crate::series::Series;
use crate::spot::{self, Spot};

/// Notes every reading that is far from its repeats, and which quantities were read only once.
pub(crate) fn note(all: &[&Series], hand: &Hand, noted: &mut Noted) {
    for series in all {
        let (span, message, cause) = match hand.slip(series) {
            Some(Slip::One(index)) => far_from_repeats(series, index),
            Some(Slip::Several) => apart(series),
            None => continue,
        };
        let name = &series.reading.quantity;
        let bought = match (name.is_bought(), cause.is_empty()) {
            (true, true) => "is one piece unlike the others? ",
            (true, false) => "or is one piece unlike the others? ",
            (false, _) if series.reading.spot.is_some() || !spot::has_spots(name) => "",
            (false, _) => "if they were taken in different places, give each its spot; otherwise ",
        };
        let hint = format!(
            "{cause}{bought}read it again and withdraw what is wrong{}; until then {name} counts as that much less sure",
            with_others(series)
        );
        noted.problems.push(Problem::notice(span, message).hint(hint));
    }
    read_once(all, noted);
}

/// An entry is withdrawn whole, with what is right in it.
fn with_others(series: &Series) -> &'static str {
    let several = series.values.windows(2).any(|two| two[0].1.number == two[1].1.number);
    if several { " (its whole entry goes, so enter again what was right in it)" } else { "" }
}

/// One reading of several that the others do not bear out.
fn far_from_repeats(series: &Series, index: usize) -> (Span, String, String) {
    let (value, entry) = series.values[index];
    let others: Vec<Length> =
        series.values.iter().enumerate().filter(|(i, _)| *i != index).map(|(_, (v, _))| *v).collect();
    let rest = others.iter().copied().sum::<Length>() / others.len() as f64;
    let message = format!(
        "{}: {value}, entry {}, is {} off its other {} readings",
        series.reading.quantity,
        entry.number,
        (value - rest).abs(),
        others.len()
    );
    (entry.span, message, likely_cause(value, rest))
}

/// Readings of which nobody can tell which are wrong.
fn apart(series: &Series) -> (Span, String, String) {
    let mut figures: Vec<String> = Vec::new();
    for (value, entry) in &series.values {
        let figure = format!("{value} (entry {})", entry.number);
        if !figures.contains(&figure) {
            figures.push(figure);
        }
    }
    let message = format!(
        "{} was read as {}, which contradict each other",
        series.reading.quantity,
        figures.join(", ")
    );
    let by_value = |a: &&(Length, &Entry), b: &&(Length, &Entry)| a.0.as_mm().total_cmp(&b.0.as_mm());
    let least = series.values.iter().min_by(by_value).map_or(Length::ZERO, |v| v.0);
    let most = series.values.iter().max_by(by_value).map_or(Length::ZERO, |v| v.0);
    let span = series.last().map(|entry| entry.span).unwrap_or_default();
    (span, message, likely_cause(least, most))
}

/// An opening is not more uneven than this by the hand that routed it (from memory: some tenths), mm.
const UNEVEN: f64 = 0.5;

/// Notes an opening of which one spot is far tighter than all others, as that one decides; or far wider, as how far
/// spots are apart tells what the rest may be.
pub(crate) fn note_uneven(
    quantity: &Quantity,
    all: &[Series],
    spots: &[(Option<&str>, Estimate)],
    noted: &mut Noted,
) {
    let mut ascending: Vec<(Option<&str>, Length)> = spots.iter().map(|(s, e)| (*s, e.value())).collect();
    ascending.sort_by(|a, b| a.1.as_mm().total_cmp(&b.1.as_mm()));
    let place = |spot: Option<&str>| spot.map_or("without a spot".to_owned(), |s| format!("at {s:?}"));
    let (odd, rest, message) = match ascending[..] {
        [(spot, least), (_, next), ..] if (next - least).as_mm() >= UNEVEN => {
            let off = next - least;
            let message = format!(
                "{quantity} is {least} {}, {off} less than at any other spot, and the least counts",
                place(spot)
            );
            ((spot, least), next, message)
        }
        // Of two nobody knows which is odd.
        [_, .., (_, next), (spot, most)] if (most - next).as_mm() >= UNEVEN => {
            let off = most - next;
            let message = format!(
                "{quantity} is {most} {}, {off} more than at any other spot, so that the rest of it is in doubt",
                place(spot)
            );
            ((spot, most), next, message)
        }
        _ => return,
    };
    let of_it = all.iter().filter(|s| s.reading.spot.as_deref() == odd.0).filter_map(Series::last);
    let span = of_it.max_by_key(|e| e.number).map(|e| e.span).unwrap_or_default();
    let hint = format!(
        "{}is it really so there? If not, withdraw what is wrong{}",
        likely_cause(odd.1, rest),
        if spots.iter().any(|(spot, _)| spot.is_none()) { ", and give every reading its spot" } else { "" }
    );
    noted.problems.push(Problem::notice(span, message).hint(hint));
}

/// What a person may have done, told from how two readings of one thing differ.
fn likely_cause(value: Length, rest: Length) -> String {
    let (v, r) = (value.as_mm(), rest.as_mm());
    let times = if v.abs() > r.abs() { v / r } else { r / v };
    if (times / 25.4 - 1.0).abs() < 0.03 {
        return "they are 25.4 times apart: was one read in inches? ".into();
    }
    if (times / 10.0 - 1.0).abs() < 0.03 {
        return "they are ten times apart: is a decimal point wrong? ".into();
    }
    let apart = (v - r).abs();
    let whole = apart.round();
    if whole >= 1.0 && (apart - whole).abs() < 0.06 {
        return format!("they are {whole} mm apart: was the scale misread? ");
    }
    String::new()
}

/// One notice for all that a second reading has not confirmed.
fn read_once(all: &[&Series], noted: &mut Noted) {
    let count = |s: &Series| -> usize {
        all.iter().filter(|o| o.reading.quantity == s.reading.quantity).map(|o| o.values.len()).sum()
    };
    let once: Vec<(&Series, &Entry)> = all
        .iter()
        .filter(|s| s.reading.tool.is_some() && count(s) == 1)
        .filter_map(|s| Some((*s, s.last()?)))
        .collect();
    let Some(first) = once.iter().min_by_key(|(_, entry)| entry.number) else { return };
    let names: Vec<String> =
        once.iter().map(|(s, entry)| format!("{} (entry {})", s.reading.quantity, entry.number)).collect();
    let message = format!("read only once, so that a slip could not be noticed: {}", names.join(", "));
    noted.problems.push(Problem::reminder(first.1.span, message).hint("a second reading of each would tell"));
}

/// Points out the first spot of a rout's length or width, or of a string, of which the words say nothing.
pub(crate) fn note_strange_spots(quantity: &Quantity, all: &[Series], noted: &mut Noted) {
    let Quantity::At(_, of) = quantity else { return };
    let is_over_the_row = spot::is_over_the_row(quantity);
    let is_strange = |s: &&Series| match (s.reading.spot.as_deref(), of) {
        (spot, PositionQuantity::RoutLength | PositionQuantity::RoutWidth) => Spot::of(spot, *of).is_none(),
        (Some(spot), PositionQuantity::RoutCornerRadius) => corners::in_words(spot).is_none(),
        (Some(spot), _) => is_over_the_row && !spot::is_across(spot),
        (None, _) => false,
    };
    let strange: Vec<&Series> = all.iter().filter(is_strange).collect();
    let [first, ..] = &strange[..] else { return };
    let (Some(entry), Some(words)) = (first.last(), &first.reading.spot) else { return };
    let known = match of {
        PositionQuantity::RoutLength => {
            "\"bridge side\", \"middle\" and \"neck side\" are known, each with \", floor\" further down"
        }
        PositionQuantity::RoutWidth => {
            "\"bass end\", \"middle\" and \"treble end\" are known, each with \", floor\" further down"
        }
        PositionQuantity::RoutCornerRadius => {
            "each corner is called by its end and its side: \"treble, neck\", \"bass, neck\", \"treble, bridge\" and \"bass, bridge\" are known"
        }
        _ => "\"neck edge\" and \"bridge edge\" are known, and over the rods none is needed",
    };
    let counts = match strange.len() {
        _ if is_over_the_row => "it counts as read over the rout's middle line",
        _ if *of == PositionQuantity::RoutCornerRadius => {
            "it counts for every corner that was not read by itself"
        }
        1 => "it counts as read somewhere",
        _ => "the tightest counts for all of it",
    };
    let message = format!("entry {}: where is the spot {words:?} of {quantity}? {counts}", entry.number);
    let hint = format!("{known}; withdraw it and enter it so");
    noted.problems.push(Problem::notice(entry.span, message).hint(hint));
}
