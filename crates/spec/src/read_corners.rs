//! The radii in a rout's corners, each by its own readings.
//!
//! A radius that was read with no word of where is that of all corners but those that were read by themselves. A corner of
//! which nobody said anything is about as the others are.

use crate::corners::{self, CORNERS, Corners, Read, corner_name};
use crate::measured::{Measured, weighted_mean};
use crate::problem::Problem;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::reader::Noted;
use crate::{Doubt, Estimate, Length, Origin};

/// How much a corner differs from the others that the same cutter made: half-width of a rectangular distribution (common
/// practice, from memory).
const USUAL: f64 = 0.1;

/// One cutter leaves corners alike: one that differs from all others by so much more than three times what these do, mm, was
/// misread, or worked by hand (from memory: some tenths).
const UNLIKE: f64 = 0.6;

/// The radii of all positions of which any was read.
pub(crate) fn settle(measured: &mut Measured, positions: &[String], noted: &mut Noted) {
    for position in positions {
        if let Some(radii) = radii(measured, position, noted) {
            measured.radii.insert(position.clone(), radii);
        }
    }
}

/// The radii of all corners; none where nothing was read of them.
fn radii(measured: &mut Measured, position: &str, noted: &mut Noted) -> Option<Corners<Estimate>> {
    let quantity = Quantity::At(position.to_owned(), P::RoutCornerRadius);
    let all = measured.estimates.get(&quantity)?.clone();
    let Some(read) = measured.corners.get(position) else { return Some(Corners::of(|_| all.clone())) };
    let (mut own, rest) = told(read);
    let known: Vec<f64> = own.iter().flatten().map(|radius| radius.value().as_mm()).collect();
    let lacks = own.iter().any(Option::is_none);
    let rest = rest.or_else(|| {
        let n = known.len() as f64;
        let (low, high) = known.iter().fold((f64::INFINITY, 0.0f64), |(l, h), v| (l.min(*v), h.max(*v)));
        // The next one by chance lies about so far beyond those that were read.
        let half = if known.len() < 2 { USUAL } else { USUAL.max((high - low) / (n - 1.0)) };
        let origin = Origin::Elsewhere { spots: known.len() };
        let doubt = Doubt::new(Some(quantity.clone()), origin, f64::INFINITY);
        let elsewhere = lacks.then(|| measured.doubts.enter(doubt, Length::from_mm(half / 3f64.sqrt())))?;
        let mean = own.iter().flatten().fold(Estimate::default(), |sum, radius| sum + radius.clone());
        Some(mean * (1.0 / n) + elsewhere)
    });
    let odd = odd_one(&own).filter(|(corner, _)| !is_confirmed(measured, &quantity, *corner));
    if let Some((corner, others)) = odd
        && let Some(radius) = &mut own[corner]
    {
        note(measured, &quantity, corner, radius.value(), others, noted);
        let apart = (radius.value() - others).abs();
        let doubt = Doubt::new(Some(quantity.clone()), Origin::Contradiction, f64::INFINITY);
        // Anywhere between what was read of it and what the others are.
        *radius = radius.clone() + measured.doubts.enter(doubt, apart / 12f64.sqrt());
    }
    Some(Corners::by_number(own.map(|own| own.or(rest.clone()).unwrap_or_else(|| all.clone()))))
}

/// The one corner that is unlike all others, which are alike, and what these are; none where fewer than three were read by
/// themselves.
fn odd_one(own: &[Option<Estimate>; 4]) -> Option<(usize, Length)> {
    let read: Vec<(usize, f64)> =
        own.iter().enumerate().filter_map(|(i, e)| Some((i, e.as_ref()?.value().as_mm()))).collect();
    let (corner, off, others) = read
        .iter()
        .map(|(corner, radius)| {
            let others: Vec<f64> = read.iter().filter(|(i, _)| i != corner).map(|(_, r)| *r).collect();
            let mean = others.iter().sum::<f64>() / others.len().max(1) as f64;
            let spread = others.iter().map(|r| (r - mean).abs()).fold(0.0, f64::max);
            (*corner, (radius - mean).abs() - 3.0 * spread, mean)
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    (read.len() > 2 && off > UNLIKE).then_some((corner, Length::from_mm(others)))
}

/// Was the corner read in several rounds? Then it is as it was read.
fn is_confirmed(measured: &Measured, quantity: &Quantity, corner: usize) -> bool {
    measured.least_slips.keys().any(|(of, spot)| {
        let named = spot.as_deref().and_then(corners::in_words);
        of == quantity && named.is_some_and(|at| at[corner] && at.iter().filter(|is| **is).count() == 1)
    })
}

fn note(
    measured: &Measured,
    quantity: &Quantity,
    corner: usize,
    radius: Length,
    others: Length,
    noted: &mut Noted,
) {
    let Some(last) = measured.taken.get(quantity) else { return };
    let message = format!(
        "{quantity}: the radius in the {} was read as {radius}, in the others as about {others}; one cutter leaves all alike",
        corner_name(CORNERS[corner])
    );
    let hint = "read it once more in another round: it counts as soon as that says the same; until then what hangs on it counts as that much less sure";
    noted.problems.push(Problem::notice(last.span, message).hint(hint));
}

/// What was read of each corner by itself, and of those that were not.
fn told(read: &[Read]) -> ([Option<Estimate>; 4], Option<Estimate>) {
    let mean = |of: Vec<Estimate>| (!of.is_empty()).then(|| weighted_mean(&of));
    let own = [0, 1, 2, 3].map(|corner| {
        // What names this corner alone counts before what names it with another.
        let named = |most: usize| {
            let of_it = read.iter().filter_map(|(at, radius)| {
                let at = at.filter(|at| at[corner] && at.iter().filter(|is| **is).count() <= most)?;
                at[corner].then(|| radius.clone())
            });
            of_it.collect::<Vec<_>>()
        };
        mean(named(1)).or_else(|| mean(named(2)))
    });
    let rest = read.iter().filter(|(at, _)| at.is_none()).map(|(_, radius)| radius.clone());
    (own, mean(rest.collect()))
}
