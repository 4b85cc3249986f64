//! The radii in a rout's corners, each by its own readings.
//!
//! A radius that was read with no word of where is that of all corners but those that were read by themselves. A corner of
//! which nobody said anything is about as the others are.

use crate::corners::{Corners, Read};
use crate::measured::{Measured, weighted_mean};
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::{Doubt, Estimate, Length, Origin};

/// How much a corner differs from the others that the same cutter made: half-width of a rectangular distribution (common
/// practice, from memory).
const USUAL: f64 = 0.1;

/// The radii of all positions of which any was read.
pub(crate) fn settle(measured: &mut Measured, positions: &[String]) {
    for position in positions {
        if let Some(radii) = radii(measured, position) {
            measured.radii.insert(position.clone(), radii);
        }
    }
}

/// The radii of all corners; none where nothing was read of them.
fn radii(measured: &mut Measured, position: &str) -> Option<Corners<Estimate>> {
    let quantity = Quantity::At(position.to_owned(), P::RoutCornerRadius);
    let all = measured.estimates.get(&quantity)?.clone();
    let Some(read) = measured.corners.get(position) else { return Some(Corners::of(|_| all.clone())) };
    let (own, rest) = told(read);
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
    Some(Corners::by_number(own.map(|own| own.or(rest.clone()).unwrap_or_else(|| all.clone()))))
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
