//! What the rods add to a coil's inductance.
//!
//! Small changes of a magnet's flux run along its recoil line, so a rod acts on the coil as a piece of iron of its
//! recoil permeability. Each disc of each rod is magnetised by the coil's field there, weakened by its own poles and by all
//! others' (`discs`); by reciprocity the flux that it sends back through the coil goes with the same field. At high notes
//! eddy currents take some of that away (`eddy`).

use bobbinwright_elementary::Elementary;
use std::f64::consts::{FRAC_PI_4, PI};

use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::magnets::Alloy;
use bobbinwright_spec::{Hardware, Length};
use nalgebra::{Complex, DMatrix, DVector};

use crate::discs::{EACH, factors};
use crate::eddy;
use crate::inductance::{Inductance, Racetrack};
use crate::magnet::alloy::{MU_0, Material};
use crate::quadrature::nodes;
use crate::winding::Coil;

/// The rods in a coil.
#[derive(Clone, Debug, PartialEq)]
pub struct Rods {
    /// Diameter of each.
    pub diameter: Length,
    /// Length of each.
    pub length: Length,
    /// Places along the row, from its middle.
    pub places: Vec<Length>,
    /// The coil's lower end over the rods' lower ends.
    pub coil_from: Length,
}

impl Rods {
    /// Of a position.
    pub fn of(layout: &Layout, hardware: &Hardware) -> Self {
        Self {
            diameter: hardware.rod_diameter.value(),
            length: hardware.rod_length.value(),
            places: layout.poles.iter().map(|p| Length::from_mm(p.x)).collect(),
            coil_from: layout.wanted.flatwork.bottom,
        }
    }
}

/// The kinds of alnico that there are.
const ALNICO: [Alloy; 5] = [Alloy::Alnico2, Alloy::Alnico3, Alloy::Alnico4, Alloy::Alnico5, Alloy::Alnico8];

/// What a material does to an alternating field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Permeable {
    /// Recoil permeability, relative.
    pub recoil: f64,
    /// Ω m.
    pub resistivity: f64,
}

impl Permeable {
    /// Of an alloy: the least, the middle and the most permeability that is given for it.
    pub fn of(alloy: Alloy) -> [Self; 3] {
        let [least, most] = Material::of(alloy).recoils;
        let resistivity = eddy::resistivity(alloy);
        [least, f64::midpoint(least, most), most].map(|recoil| Self { recoil, resistivity })
    }

    /// Of rods of which nobody said more than that they are alnico: the least and the most that any of its kinds has, and number 5
    /// for the middle, of which most rods are.
    pub fn of_alnico() -> [Self; 3] {
        let all = || ALNICO.into_iter().flat_map(Self::of);
        let least = all().min_by(|a, b| a.recoil.total_cmp(&b.recoil));
        let most = all().max_by(|a, b| a.recoil.total_cmp(&b.recoil));
        let [.., middle, _] = Self::of(Alloy::Alnico5);
        [least.unwrap_or(middle), middle, most.unwrap_or(middle)]
    }

    /// The middle of what an alloy has, with the least and the most that its resistivity may be; that of any alnico where none is
    /// stated.
    pub fn conducting(alloy: Option<Alloy>) -> [Self; 2] {
        let [_, middle, _] = alloy.map_or_else(Self::of_alnico, Self::of);
        let all = || ALNICO.into_iter().map(eddy::resistivity);
        let own = alloy.map(eddy::resistivity);
        let least = own.unwrap_or_else(|| all().fold(f64::INFINITY, f64::min));
        let most = own.unwrap_or_else(|| all().fold(0.0, f64::max));
        [least * (1.0 - eddy::RESISTIVITY_WITHIN), most * (1.0 + eddy::RESISTIVITY_WITHIN)]
            .map(|resistivity| Self { resistivity, ..middle })
    }
}

/// By so much of itself what rods add may be more or less than is worked out here (95 of 100 of 200 random coils are nearer,
/// `tests/rods_add.rs`).
pub const MODEL: f64 = 0.02;

/// Rods in a coil, ready to say what they add for any material and note.
///
/// The discs' equations (1/χ + D) M = H for the coil's field H at each, of which H · M is wanted, come down to a continued
/// fraction in 1/χ (Lanczos 1950; Golub and Meurant 2010, chapter 6).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Iron {
    /// μ0 times volume and field squared, H: along the rods, and across them.
    strength: f64,
    across: f64,
    /// What is left out of the former, for each of little susceptibility.
    uneven: f64,
    diagonal: [f64; STEPS],
    beside: [f64; STEPS],
    diameter: Length,
}

/// What is lost since discs are taken as magnetised evenly across, which near the ends they are not: for each of susceptibility,
/// by thickness over length, and how soon that comes to an end. Fitted to 60 rods whose charges were worked out exactly, other
/// ones than those of `tests/rod_alone.rs`.
const UNEVEN: f64 = 0.0661;
const ENDS: f64 = 0.114;

/// Steps that leave less than 1e-6 for any permeability of a magnet.
const STEPS: usize = 8;

impl Iron {
    /// The rods of a coil.
    pub fn of(coil: &Coil, rods: &Rods) -> Self {
        let field = fields(coil, rods);
        let disc = FRAC_PI_4 * rods.diameter.as_mm().power(2) * rods.length.as_mm() / EACH as f64 * 1e-9;
        let square = field.dot(&field);
        let (diagonal, beside) = lanczos(&factors(rods.diameter, rods.length, &rods.places), &field);
        let each = MU_0 * disc * coil.turns * coil.turns;
        let across = each * across(&field, rods);
        let uneven = UNEVEN * (rods.diameter / rods.length);
        Self { strength: each * square, across, uneven, diagonal, beside, diameter: rods.diameter }
    }

    /// The same rods when the coil has other turns, in as much room.
    #[must_use]
    pub fn with_turns(self, part: f64) -> Self {
        Self { strength: self.strength * part * part, across: self.across * part * part, ..self }
    }

    /// What they add at a frequency, H; what they lose is negative and imaginary.
    pub fn adds(&self, material: Permeable, hertz: f64) -> Complex<f64> {
        let Permeable { recoil, resistivity } = material;
        let chi = eddy::susceptibility(recoil, resistivity, self.diameter, hertz);
        let against = Complex::new(1.0, 0.0) / chi;
        let deepest = Complex::new(0.0, 0.0);
        let below = (0..STEPS).rev().fold(deepest, |below, i| {
            let here = against + self.diagonal[i] - below;
            if i == 0 { here } else { Complex::from(self.beside[i] * self.beside[i]) / here }
        });
        // Across itself a long cylinder is demagnetised by a half.
        let across = chi / (chi * 0.5 + 1.0) * self.across;
        Complex::from(self.strength) / below * self.evened(recoil) + across
    }

    /// By how much more it is since discs are magnetised unevenly across.
    fn evened(&self, recoil: f64) -> f64 {
        let chi = recoil - 1.0;
        1.0 + self.uneven * chi / (1.0 + ENDS * chi)
    }

    /// What they add at low notes.
    pub fn adds_low(&self, recoil: f64) -> Inductance {
        Inductance(self.adds(Permeable { recoil, resistivity: f64::INFINITY }, 0.0).re)
    }
}

/// What every disc is magnetised to at low notes, rod by rod from below, for an ampere in a turn that is spread over the coil,
/// 1/m.
pub(crate) fn magnetised(coil: &Coil, rods: &Rods, recoil: f64) -> Vec<f64> {
    let field = fields(coil, rods);
    let mut all = factors(rods.diameter, rods.length, &rods.places);
    (0..all.nrows()).for_each(|i| all[(i, i)] += 1.0 / (recoil - 1.0));
    // A matrix that says what energy is can always be divided so; where one could not, nothing is passed on.
    all.cholesky().map_or_else(|| vec![0.0; field.len()], |divided| divided.solve(&field).as_slice().to_vec())
}

/// The first steps of a symmetric matrix's tridiagonal form, from a vector on: what stands on its diagonal, and beside it.
fn lanczos(matrix: &DMatrix<f64>, from: &DVector<f64>) -> ([f64; STEPS], [f64; STEPS]) {
    let (mut diagonal, mut beside) = ([0.0; STEPS], [0.0; STEPS]);
    let mut all: Vec<DVector<f64>> = vec![from / from.norm().max(f64::MIN_POSITIVE)];
    for i in 0..STEPS {
        let mut next = matrix * &all[i];
        diagonal[i] = all[i].dot(&next);
        // Whatever rounding has left of those before is taken off too.
        for before in &all {
            let part = before.dot(&next);
            next.axpy(-part, before, 1.0);
        }
        let long = next.norm();
        // Of few discs there are no more steps.
        if i + 1 == STEPS || long < 1e-12 {
            break;
        }
        beside[i + 1] = long;
        all.push(next / long);
    }
    (diagonal, beside)
}

/// The square of the field across the rods, added up over all discs, 1/m²: what the field along them loses with the height
/// comes in from the sides.
fn across(field: &DVector<f64>, rods: &Rods) -> f64 {
    let disc = rods.length.as_mm() / EACH as f64;
    let radius = rods.diameter.as_mm() / 2.0;
    let of_rod = |i: usize| {
        let at = |k: usize| field[i * EACH + k];
        let slope = |k: usize| {
            let (below, above) = (k.saturating_sub(1), (k + 1).min(EACH - 1));
            (at(above) - at(below)) / ((above - below) as f64 * disc)
        };
        sides(rods, i) * (0..EACH).map(|k| (slope(k) * radius / 2.0).power(2)).sum::<f64>()
    };
    (0..rods.places.len()).map(of_rod).sum()
}

/// Which part of r² / 4 for each of slope the square of the field across a rod is in the mean. Between two straights it comes in
/// from these alone, y of it at y, of which the square is all of that; in a round coil from all around, half of it at every
/// place, which is half of that. Round an outer rod one half is the one and one half the other: a fourth of it comes in along the
/// row and three from the sides.
fn sides(rods: &Rods, i: usize) -> f64 {
    let all = || rods.places.iter().map(|place| place.as_mm());
    let (least, most) = (all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max));
    let here = rods.places[i].as_mm();
    match (here - least < SAME, most - here < SAME) {
        (true, true) => 0.5,
        (false, false) => 1.0,
        _ => (9.0 + 1.0) / 16.0,
    }
}

/// Places that differ by less are the same, mm.
const SAME: f64 = 1e-6;

/// The coil's field along every disc, for an ampere in each turn's share of one turn, 1/m.
fn fields(coil: &Coil, rods: &Rods) -> DVector<f64> {
    let disc = rods.length.as_mm() / EACH as f64;
    let (low, height) = (rods.coil_from.as_mm(), coil.bobbin.height.as_mm());
    let mut known: Vec<(f64, Vec<f64>)> = Vec::new();
    let mut all = Vec::with_capacity(EACH * rods.places.len());
    for place in &rods.places {
        // The coil is the same to both sides of its middle.
        let x = place.as_mm().abs();
        let at = known.iter().position(|(other, _)| (other - x).abs() < SAME).unwrap_or_else(|| {
            let step = disc.min(FINEST);
            let above = Above::of(
                coil,
                [x, rods.diameter.as_mm() / 4.0],
                (rods.length.as_mm() + height) / step,
                step,
            );
            let of = |k: usize| {
                let z = (k as f64 + 0.5) * disc - low;
                1000.0 * (above.up_to(z) - above.up_to(z - height)) / height
            };
            known.push((x, (0..EACH).map(of).collect()));
            known.len() - 1
        });
        all.extend_from_slice(&known[at].1);
    }
    DVector::from_vec(all)
}

/// A coil's field changes within no less than about its inner radius, mm.
const FINEST: f64 = 1.0;

/// The field of all layers' mean turn over a place of the row, added up from its plane on.
struct Above {
    step: f64,
    /// At each step the sum so far, and the field, 1/mm.
    rows: Vec<[f64; 2]>,
}

impl Above {
    fn of(coil: &Coil, at: [f64; 2], steps: f64, step: f64) -> Self {
        let mut rows = vec![[0.0, layers(coil, at, 0.0)]];
        for i in 1..=steps.ceil() as u32 {
            let z = f64::from(i) * step;
            let (here, middle) = (layers(coil, at, z), layers(coil, at, z - step / 2.0));
            // Simpson's rule.
            let [sum, before] = rows[rows.len() - 1];
            rows.push([sum + step / 6.0 * (before + 4.0 * middle + here), here]);
        }
        Self { step, rows }
    }

    /// The sum up to a height; below the plane it is as above it.
    fn up_to(&self, z: f64) -> f64 {
        let at = (z.abs() / self.step).min(self.rows.len() as f64 - 1.0);
        let i = (at as usize).min(self.rows.len().saturating_sub(2));
        let (t, [a, slope_a], [b, slope_b]) = (at - i as f64, self.rows[i], self.rows[i + 1]);
        // Between two steps the cubic that has both sums and both fields (Hermite).
        let (u, step) = (1.0 - t, self.step);
        let sum = u * u * ((1.0 + 2.0 * t) * a + t * step * slope_a)
            + t * t * ((1.0 + 2.0 * u) * b - u * step * slope_b);
        sum.copysign(z)
    }
}

/// The field of all layers' mean turn, so far above their plane, 1/mm: the mean over a rod's section at a place of the row, by
/// four places half a radius beside its axis both ways.
fn layers(coil: &Coil, [x, beside]: [f64; 2], z: f64) -> f64 {
    let build = coil.build().as_mm();
    let of = |(out, weight): (f64, f64)| {
        let radius = coil.bobbin.core.radius + Length::from_mm(out);
        let turn = Racetrack { radius, ..coil.bobbin.core };
        weight * f64::midpoint(field(turn, [x - beside, beside], z), field(turn, [x + beside, beside], z))
    };
    nodes(build, 1).map(of).sum::<f64>() / build
}

/// Field upwards of a turn with an ampere in it, along and beside its long axis and so far above its plane, 1/mm (Biot
/// and Savart).
fn field(turn: Racetrack, [x, y]: [f64; 2], z: f64) -> f64 {
    let (half, r) = (turn.span.as_mm() / 2.0, turn.radius.as_mm());
    let straight = |away: f64| {
        let square = away * away + z * z;
        let reach = |end: f64| end / end.hypotenuse(square.sqrt());
        away / square * (reach(half - x) + reach(half + x))
    };
    let straights = straight(r - y) + straight(r + y);
    // Towards a half-circle's middle from a place so far inwards of its centre, both halves of it.
    let end = |inwards: f64| {
        let of = |(angle, weight): (f64, f64)| {
            let (sine, cosine) = angle.sine_cosine();
            let half = |y: f64| {
                let away = (inwards + r * cosine).power(2) + (y - r * sine).power(2) + z * z;
                r * (r + inwards * cosine - y * sine) / (away * away.sqrt())
            };
            weight * (half(y) + half(-y))
        };
        nodes(PI / 2.0, 1).map(of).sum::<f64>()
    };
    (straights + end(half - x) + end(half + x)) / (4.0 * PI)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::winding::{Bobbin, Packed};
    use crate::wire::Wire;
    use bobbinwright_spec::coil::{Awg, Film, Wire as Bought};

    fn mm(length: f64) -> Length {
        Length::from_mm(length)
    }

    fn coil(span: f64, radius: f64, height: f64) -> Coil {
        let core = Racetrack { span: mm(span), radius: mm(radius) };
        let bobbin = Bobbin { core, height: mm(height), room: mm(5.0) };
        let wire = Wire::of(Bought::Gauge(Awg::new(42).unwrap(), Film::Single));
        Coil { bobbin, wire, packing: Packed::assumed(0.7), turns: 10_000.0 }
    }

    /// A circle's field over its centre is r² / 2(r² + z²)^(3/2).
    #[test]
    fn a_circles_field_is_the_closed_form() {
        for z in [0.0, 3.0, 10.0f64] {
            let turn = Racetrack { span: mm(0.0), radius: mm(5.0) };
            let expected = 25.0 / (2.0 * 5f64.hypotenuse(z).power(3));
            assert!((field(turn, [0.0; 2], z) / expected - 1.0).abs() < 1e-9, "{z}");
        }
    }

    /// Along the row and above the turn's plane, mm; upwards, mT for an ampere, by magpylib 6.3 of 40,000 chords.
    const ROWS: [(f64, f64, f64); 6] = [
        (0.0, 0.0, 0.081_112_604_2),
        (0.0, 4.0, 0.049_849_469_4),
        (10.4, 0.0, 0.081_606_088_0),
        (26.0, 0.0, 0.102_991_562_9),
        (26.0, 3.0, 0.069_186_524_9),
        (20.8, -8.0, 0.023_934_564_1),
    ];

    #[test]
    fn a_racetracks_field_agrees_with_magpylib() {
        let turn = Racetrack { span: mm(52.0), radius: mm(5.0) };
        for (x, z, millitesla) in ROWS {
            let found = MU_0 * field(turn, [x, 0.0], z) * 1e6;
            assert!((found / millitesla - 1.0).abs() < 1e-5, "{x} {z} {found:.9}");
        }
    }

    /// A long slender rod in a long slender coil adds χ times its share of the section.
    #[test]
    fn a_long_rod_adds_its_share() {
        let coil = coil(0.0, 5.0, 1000.0);
        let rods =
            Rods { diameter: mm(4.0), length: mm(1000.0), places: vec![Length::ZERO], coil_from: mm(0.0) };
        let section = PI * (5.0 + coil.build().as_mm() / 2.0).power(2);
        let endless = MU_0 * 1e8 * section * 1e-6 / 1.0;
        for chi in [2.6, 3.3] {
            let found = Iron::of(&coil, &rods).adds_low(chi + 1.0).0;
            let expected = endless * chi * 4.0 * PI / section;
            assert!((found / expected - 1.0).abs() < 0.02, "{found} {expected}");
        }
    }

    /// The continued fraction is what solving for every disc gives.
    #[test]
    fn few_steps_are_enough() {
        let coil = coil(52.0, 2.6, 11.6);
        let places: Vec<Length> = (0..6).map(|i| mm(10.4 * (f64::from(i) - 2.5))).collect();
        let rods = Rods { diameter: mm(5.0), length: mm(16.0), places, coil_from: mm(2.4) };
        let field = fields(&coil, &rods);
        let iron = Iron::of(&coil, &rods);
        for recoil in [1.05, 4.0, 7.0] {
            let mut all = factors(rods.diameter, rods.length, &rods.places);
            (0..all.nrows()).for_each(|i| all[(i, i)] += 1.0 / (recoil - 1.0));
            let solved = all.cholesky().unwrap().solve(&field);
            let part = field.dot(&solved) / field.dot(&field);
            let chi = recoil - 1.0;
            let across = iron.across * chi / (1.0 + chi / 2.0);
            let found = (iron.adds_low(recoil).0 - across) / iron.strength / iron.evened(recoil);
            assert!((found / part - 1.0).abs() < 1e-6, "{recoil} {found} {part}");
        }
    }

    /// Eddy currents take away and cost: at every note what is lost is a resistance, never a gain.
    #[test]
    fn eddy_currents_cost() {
        let coil = coil(52.0, 2.6, 11.6);
        let places: Vec<Length> = (0..6).map(|i| mm(10.4 * (f64::from(i) - 2.5))).collect();
        let iron = Iron::of(&coil, &Rods { diameter: mm(5.0), length: mm(16.0), places, coil_from: mm(2.4) });
        let of = |hertz| iron.adds(Permeable::of(Alloy::Alnico5)[1], hertz);
        assert!((of(1.0).re / iron.adds_low(3.95).0 - 1.0).abs() < 1e-4);
        for hertz in [100.0, 1000.0, 4000.0, 20_000.0] {
            assert!(of(hertz).im < 0.0 && of(hertz).re < of(1.0).re, "{hertz} {}", of(hertz));
        }
        let ferrite = iron.adds(Permeable::of(Alloy::Ferrite)[1], 20_000.0);
        assert!(ferrite.im.abs() < 1e-6 * ferrite.re);
    }
}
