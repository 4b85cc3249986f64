//! How a coil sees what is over its rods.
//!
//! By reciprocity a moment at a place sends as much flux through a coil as an ampere in the coil makes field at that place
//! (Lorentz). That field is the coil's own, by Biot and Savart, and what its rods add: each of their discs is magnetised by the
//! coil and by all others, and its poles are charges on discs.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::Length;
use bobbinwright_spec::magnets::Alloy;
use std::f64::consts::PI;

use super::cylinder::end_of_rod;
use super::row::Row;
use crate::discs::EACH;
use crate::inductance::Racetrack;
use crate::quadrature::nodes;
use crate::rods::{self, Permeable, magnetised};
use crate::winding::Coil;

/// Layers that stand for all of a coil's build, seen from where strings are.
const LAYERS: u32 = 3;

/// A coil round its rods.
#[derive(Clone, Debug, PartialEq)]
pub struct Sees {
    /// Turns, how high each is over the body's face, mm, and for which part of the coil it stands.
    turns: Vec<(Racetrack, f64, f64)>,
    bend: Bend,
    /// Of each rod from below, on the borders of its discs: charge for each area, 1/mm.
    charges: Vec<[f64; EACH + 1]>,
    radius: f64,
    length: f64,
}

impl Sees {
    /// A coil on rods of an alloy whose upper ends are so high over the body's face.
    pub fn of(coil: &Coil, rods: &rods::Rods, alloy: Alloy, top: Length) -> Self {
        let low = (top - rods.length + rods.coil_from).as_mm();
        let (build, height) = (coil.build(), coil.bobbin.height.as_mm());
        let turns = (0..LAYERS).flat_map(|i| {
            let out = build * ((f64::from(i) + 0.5) / f64::from(LAYERS));
            let turn = Racetrack { radius: coil.bobbin.core.radius + out, ..coil.bobbin.core };
            nodes(height, 1).map(move |(z, weight)| (turn, low + z, weight / height / f64::from(LAYERS)))
        });
        let [_, middle, _] = Permeable::of(alloy);
        let discs = magnetised(coil, rods, middle.recoil);
        let charges = discs.chunks(EACH).map(|rod| {
            // Each disc's upper end is charged by what it is magnetised to, its lower one by as much less.
            let of = |border: usize| {
                let below = border.checked_sub(1).map_or(0.0, |k| rod[k]);
                below - rod.get(border).copied().unwrap_or(0.0)
            };
            std::array::from_fn(|border| of(border) / 1000.0)
        });
        Self {
            turns: turns.collect(),
            bend: Bend::new(),
            charges: charges.collect(),
            radius: rods.diameter.as_mm() / 2.0,
            length: rods.length.as_mm(),
        }
    }

    /// The coil's own field for an ampere in a turn that is spread over it, 1/mm: along the row, along the strings and upwards,
    /// at a place in mm.
    pub(super) fn own_mm(&self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        self.turns.iter().fold([0.0; 3], |sum, (turn, at, part)| {
            let field = of_turn(*turn, &self.bend, [x, y, z - at]);
            [0, 1, 2].map(|i| sum[i] + part * field[i])
        })
    }

    /// What the rods make of a place, where they stand as in a row.
    pub(super) fn rods_mm(&self, row: &Row, [x, y, z]: [f64; 3]) -> Rods {
        let mut sum = Rods::default();
        for (place, charges) in row.places.iter().zip(&self.charges) {
            let beside = x - place.along.as_mm();
            let away = (beside * beside + y * y).sqrt();
            let over = z - place.top.as_mm();
            let upper = end_of_rod(self.radius, away, over);
            let lower = end_of_rod(self.radius, away, over + self.length);
            let strength = row.rod.polarisation.0;
            let field = [0, 1].map(|i| strength * (lower[i] - upper[i]));
            let inside: f64 = if away < self.radius { 0.5 } else { 0.0 };
            let [mut radial, mut axial] =
                [-upper[0], inside.copysign(over) - upper[1]].map(|of_end| charges[EACH] * of_end);
            let disc = self.length / EACH as f64;
            for (k, charge) in charges[..EACH].iter().enumerate() {
                let [out, up] = self.deep_down(away, over + disc * (EACH - k) as f64);
                (radial, axial) = (radial + charge * out, axial + charge * up);
            }
            // On the axis there is nothing away from it.
            let away = if away > 0.0 { away } else { f64::INFINITY };
            add(&mut sum.field, [beside, y], away, field);
            add(&mut sum.pass_on, [beside, y], away, [radial, axial]);
        }
        sum
    }

    /// The same of one that lies deeper than the rods are thick: its charge in the middle, and how far that is spread (its
    /// quadrupole).
    fn deep_down(&self, away: f64, over: f64) -> [f64; 2] {
        let square = away * away + over * over;
        let spread = self.radius * self.radius / 8.0 / (square * square);
        let charge = self.radius * self.radius / 4.0 / (square * square.sqrt());
        let (out, up) = (3.0 * away * away - 12.0 * over * over, 9.0 * away * away - 6.0 * over * over);
        [charge * away * (1.0 + spread * out), charge * over * (1.0 + spread * up)]
    }
}

/// What a row of rods makes of a place: along the row, along the strings and upwards.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Rods {
    /// Their own field, T.
    pub field: [f64; 3],
    /// What they add to the coil's field for an ampere in a turn, 1/mm.
    pub pass_on: [f64; 3],
}

fn add(sum: &mut [f64; 3], [beside, y]: [f64; 2], away: f64, [radial, axial]: [f64; 2]) {
    let share = radial / away;
    *sum = [sum[0] + share * beside, sum[1] + share * y, sum[2] + axial];
}

/// Places on a half-circle: cosine and sine of the angle from its middle, and how much each counts.
#[derive(Clone, Debug, PartialEq)]
struct Bend(Vec<[f64; 3]>);

impl Bend {
    fn new() -> Self {
        let of = |(angle, weight): (f64, f64)| {
            let (sine, cosine) = (angle - PI / 2.0).sine_cosine();
            [cosine, sine, weight]
        };
        Self(nodes(PI, 1).map(of).collect())
    }
}

/// Of a turn with an ampere in it, seen from its middle, 1/mm (Biot and Savart).
fn of_turn(turn: Racetrack, bend: &Bend, [x, y, z]: [f64; 3]) -> [f64; 3] {
    let (half, r) = (turn.span.as_mm() / 2.0, turn.radius.as_mm());
    let mut sum = [0.0; 3];
    for side in [-1.0, 1.0] {
        // A straight, along which the current runs one way on the one side and the other way on the other.
        let beside = y - side * r;
        let square = beside * beside + z * z;
        let reach = |end: f64| end / (end * end + square).sqrt();
        let straight = -side * (reach(half - x) + reach(half + x)) / square;
        sum = [sum[0], sum[1] - z * straight, sum[2] + beside * straight];
        // And the half-circle at that end of the row.
        for [cosine, sine, weight] in &bend.0 {
            let (cosine, sine) = (side * cosine, side * sine);
            let (px, py) = (x - side * half - r * cosine, y - r * sine);
            let square = px * px + py * py + z * z;
            let part = weight * r / (square * square.sqrt());
            sum = [
                sum[0] + part * cosine * z,
                sum[1] + part * sine * z,
                sum[2] - part * (sine * py + cosine * px),
            ];
        }
    }
    sum.map(|field| field / (4.0 * PI))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::magnet::cylinder::{Rod, Tesla};
    use crate::magnet::row::Place;

    fn mm(length: f64) -> Length {
        Length::from_mm(length)
    }

    /// Over a circle's middle r² / 2(r² + z²)^(3/2); beside the axis nothing turns about it.
    #[test]
    fn a_circles_field_is_the_closed_form() {
        let turn = Racetrack { span: mm(0.0), radius: mm(5.0) };
        for z in [3.0, 6.0, 10.0f64] {
            let expected = 25.0 / (2.0 * 5f64.hypotenuse(z).power(3));
            let found = of_turn(turn, &Bend::new(), [0.0, 0.0, z]);
            assert!((found[2] / expected - 1.0).abs() < 1e-6 && found[0].abs() < 1e-9, "{z} {found:?}");
            let (a, b) =
                (of_turn(turn, &Bend::new(), [2.0, 0.0, z]), of_turn(turn, &Bend::new(), [0.0, 2.0, z]));
            // As well as eight nodes on a half-circle tell.
            assert!((a[0] / b[1] - 1.0).abs() < 2e-4 && (a[2] / b[2] - 1.0).abs() < 2e-4, "{a:?} {b:?}");
        }
    }

    /// Charges of a rod that is magnetised evenly make its field.
    #[test]
    fn an_even_rods_charges_are_the_rod() {
        let mut charges = [0.0; EACH + 1];
        (charges[0], charges[EACH]) = (-1.0, 1.0);
        let sees =
            Sees { turns: Vec::new(), bend: Bend::new(), charges: vec![charges], radius: 2.5, length: 16.0 };
        let rod = Rod { diameter: mm(5.0), length: mm(16.0), polarisation: Tesla(1.0) };
        let row = Row { rod, places: vec![Place { along: mm(1.0), top: mm(2.0) }] };
        for place in [[1.0, 0.0, 6.0], [2.0, 1.0, 5.5], [5.0, 3.0, 7.0], [-6.0, -20.0, 8.0]] {
            let (found, expected) = (sees.rods_mm(&row, place).pass_on, row.field_mm(place));
            for (found, expected) in found.iter().zip(expected) {
                assert!((found - expected).abs() < 1e-5, "{place:?} {found} {expected}");
            }
            let both = sees.rods_mm(&row, place).field;
            assert!(both.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-14), "{both:?} {expected:?}");
        }
        // What lies deeper is a disc from afar: on the axis (1 - s / √(s² + a²)) / 2.
        for (s, off) in [(5.0f64, 0.04), (8.0, 0.007), (16.0, 5e-4)] {
            let expected = 0.5 * (1.0 - s / s.hypotenuse(2.5));
            assert!((sees.deep_down(0.0, s)[1] / expected - 1.0).abs() < off, "{s}");
            assert!(((0.5 - end_of_rod(2.5, 0.0, s)[1]) / expected - 1.0).abs() < 1e-9, "{s}");
        }
    }
}
