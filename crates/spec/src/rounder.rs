//! Corners that are rounder than somebody stated.
//!
//! A diagonal is read between the arcs of two corners. Where both diagonals come out short beside length and width, no slip in
//! one of them explains it, but corners do that are rounder than the packet of a cutter says: along a template a cutter
//! makes corners as round as the template's, or as the guide's.

use crate::measured::Measured;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::suspected::Slip;
use crate::told::Told;
use crate::wanted::Side;
use crate::{Doubt, Length, Origin};
use bobbinwright_elementary::Elementary;

/// The two are no further apart than so much of what they are short by.
const ALIKE: f64 = 0.5;

/// What both diagonals say of corners whose radius was only stated.
pub(crate) struct Rounder {
    stated: Length,
    by: Length,
}

/// None where nothing contradicts the radius, or somebody read it.
pub(crate) fn rounder(told: &[Told], slips: &[Slip], measured: &Measured, position: &str) -> Option<Rounder> {
    let at = |of| Quantity::At(position.to_owned(), of);
    let radius = at(P::RoutCornerRadius);
    if measured.taken.contains_key(&radius) {
        return None;
    }
    let stated = measured.estimates.get(&radius)?.value();
    let diagonals = [Side::Treble, Side::Bass].map(|from| at(P::Diagonal(from)));
    let is_among = |i: &usize| diagonals.contains(&told[*i].of);
    let is_suspected = slips.iter().any(|slip| slip.among.iter().any(is_among));
    let mm = |of: &Quantity| Some(measured.estimates.get(of)?.value().as_mm());
    let size = [mm(&at(P::RoutLength))?, mm(&at(P::RoutWidth))?];
    let [one, other] = [mm(&diagonals[0])?, mm(&diagonals[1])?];
    let mean = f64::midpoint(one, other);
    // A slip in one of them leaves them further apart than both are short.
    let is_alike = (one - other).abs() < ALIKE * (diagonal(size, stated.as_mm()) - mean);
    let would_be = radius_by(size, mean)?;
    (is_suspected && is_alike && would_be > stated).then(|| Rounder { stated, by: would_be - stated })
}

/// The longest way between opposite arcs of a rectangle's corners: it goes through their middles.
fn diagonal([length, width]: [f64; 2], radius: f64) -> f64 {
    2.0 * ((length / 2.0 - radius).hypotenuse(width / 2.0 - radius) + radius)
}

/// The radius by that: (d/2 - r)² = (l/2 - r)² + (w/2 - r)².
fn radius_by([length, width]: [f64; 2], diagonal: f64) -> Option<Length> {
    let [a, b, d] = [length, width, diagonal].map(|size| size / 2.0);
    let less = a + b - d;
    let root = less * less - (a * a + b * b - d * d);
    (root >= 0.0).then(|| Length::from_mm(less - root.sqrt()))
}

impl Rounder {
    /// What to look at.
    pub fn hint(&self) -> String {
        format!(
            "both diagonals are short: corners of a radius of about {}, and not of {} as is stated, would explain that; read each with a gauge; ",
            self.stated + self.by,
            self.stated
        )
    }

    /// Anywhere between the two the corners may be.
    pub fn doubt(&self, position: &str, measured: &mut Measured) {
        let radius = Quantity::At(position.to_owned(), P::RoutCornerRadius);
        let cause = Doubt::new(Some(radius.clone()), Origin::Contradiction, f64::INFINITY);
        let more = measured.doubts.enter(cause, self.by / 3f64.sqrt());
        if let Some(radii) = measured.radii.get_mut(position) {
            *radii = radii.map(|radius| radius.clone() + more.clone());
        }
        if let Some(radius) = measured.estimates.get_mut(&radius) {
            *radius = radius.clone() + more;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Square corners of 6 mm in 40 by 30: 2 √(14² + 9²) + 12, and a rectangle without any: 3, 4, 5.
    #[test]
    fn a_diagonal_tells_the_radius() {
        let found = radius_by([40.0, 30.0], 2.0 * 277f64.sqrt() + 12.0).unwrap();
        assert!((found.as_mm() - 6.0).abs() < 1e-9, "{found:?}");
        assert!((diagonal([40.0, 30.0], 6.0) - 2.0 * 277f64.sqrt() - 12.0).abs() < 1e-9);
        assert!(radius_by([40.0, 30.0], 50.0).unwrap().as_mm().abs() < 1e-9);
    }
}
