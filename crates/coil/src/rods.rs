//! What the rods add to a coil's inductance.
//!
//! Small changes of a magnet's flux run along its recoil line, so a rod acts on the coil as a piece of iron of its
//! recoil permeability. Each rod is taken as magnetised evenly by the coil's mean field over it, weakened by its
//! own poles and by those of its neighbours; by reciprocity the flux that it sends back through the coil goes with
//! the same mean field. Eddy currents, which take some of that away at high notes, are left out.

use bobbinwright_elementary::Elementary;
use std::f64::consts::{FRAC_PI_4, PI};

use bobbinwright_geometry::parts::Layout;
use bobbinwright_spec::magnets::Alloy;
use bobbinwright_spec::{Hardware, Length};

use crate::inductance::{Inductance, Racetrack};
use crate::magnet::alloy::{MU_0, Material};
use crate::magnet::in_row::poles;
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

/// What rods of an alloy add to the inductance of the coil that they stand in: by the least and the most of what is
/// given for the alloy's recoil permeability.
pub fn added(coil: &Coil, rods: &Rods, alloy: Alloy) -> [Inductance; 2] {
    let fields: Vec<f64> = rods.places.iter().map(|x| mean_field(coil, rods, x.as_mm())).collect();
    let poles = poles(rods.diameter, rods.length, &rods.places);
    let volume = FRAC_PI_4 * rods.diameter.as_mm().power(2) * rods.length.as_mm() * 1e-9;
    let adds = |recoil: f64| -> f64 {
        let chi = recoil - 1.0;
        let of = |(field, factor): (&f64, &f64)| MU_0 * chi / (1.0 + factor * chi) * volume * field * field;
        fields.iter().zip(&poles).map(of).sum::<f64>() * coil.turns * coil.turns
    };
    Material::of(alloy).recoils.map(|recoil| Inductance(adds(recoil)))
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

/// The coil's field along a rod's axis for an ampere in each turn's share of one turn, averaged over the rod, 1/m.
fn mean_field(coil: &Coil, rods: &Rods, x: f64) -> f64 {
    let length = rods.length.as_mm();
    let (low, height) = (rods.coil_from.as_mm(), coil.bobbin.height.as_mm());
    // Every place of the rod sees turns at every height of the coil: so much of the rod is so far above a turn.
    let shares = |above: f64| ((above + low + height).min(length) - (above + low).max(0.0)).max(0.0);
    let (least, all) = (-low - height, length + height);
    let panels = (all / PANEL).ceil() as u32;
    let sum: f64 = nodes(all, panels).map(|(z, w)| w * shares(least + z) * layers(coil, x, least + z)).sum();
    1000.0 * sum / (length * height)
}

/// A coil's field changes within about its radius, mm.
const PANEL: f64 = 3.0;

/// The field of all layers' mean turn, so far above their plane, 1/mm.
fn layers(coil: &Coil, x: f64, z: f64) -> f64 {
    let build = coil.build().as_mm();
    let of = |(out, weight): (f64, f64)| {
        let radius = coil.bobbin.core.radius + Length::from_mm(out);
        weight * field(Racetrack { radius, ..coil.bobbin.core }, x, z)
    };
    nodes(build, 1).map(of).sum::<f64>() / build
}

/// Field upwards of a turn with an ampere in it, over its long axis and so far above its plane, 1/mm (Biot and
/// Savart).
fn field(turn: Racetrack, x: f64, z: f64) -> f64 {
    let (half, r) = (turn.span.as_mm() / 2.0, turn.radius.as_mm());
    let square = r * r + z * z;
    let reach = |end: f64| end / end.hypotenuse(square.sqrt());
    let straights = 2.0 * r / square * (reach(half - x) + reach(half + x));
    // Towards a half-circle's middle from a place so far inwards of its centre, both halves of it.
    let end = |inwards: f64| {
        let of = |(angle, weight): (f64, f64)| {
            let away = (inwards + r * angle.cosine()).power(2) + (r * angle.sine()).power(2) + z * z;
            weight * r * (r + inwards * angle.cosine()) / (away * away.sqrt())
        };
        2.0 * nodes(PI / 2.0, 1).map(of).sum::<f64>()
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

    /// A circle's field over its centre is r² / 2(r² + z²)^(3/2).
    #[test]
    fn a_circles_field_is_the_closed_form() {
        for z in [0.0, 3.0, 10.0f64] {
            let turn = Racetrack { span: mm(0.0), radius: mm(5.0) };
            let expected = 25.0 / (2.0 * 5f64.hypotenuse(z).power(3));
            assert!((field(turn, 0.0, z) / expected - 1.0).abs() < 1e-9, "{z}");
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
            let found = MU_0 * field(turn, x, z) * 1e6;
            assert!((found / millitesla - 1.0).abs() < 1e-5, "{x} {z} {found:.9}");
        }
    }

    /// A long slender rod in a long slender coil adds χ times its share of the section.
    #[test]
    fn a_long_rod_adds_its_share() {
        let bobbin =
            Bobbin { core: Racetrack { span: mm(0.0), radius: mm(5.0) }, height: mm(1000.0), room: mm(5.0) };
        let wire = Wire::of(Bought::Gauge(Awg::new(42).unwrap(), Film::Single));
        let coil = Coil { bobbin, wire, packing: Packed::assumed(0.7), turns: 10_000.0 };
        let rods =
            Rods { diameter: mm(4.0), length: mm(1000.0), places: vec![Length::ZERO], coil_from: mm(0.0) };
        let section = PI * (5.0 + coil.build().as_mm() / 2.0).power(2);
        let endless = MU_0 * 1e8 * section * 1e-6 / 1.0;
        let [least, most] = added(&coil, &rods, Alloy::Alnico5).map(|l| l.0);
        for (found, chi) in [(least, 2.6), (most, 3.3)] {
            let expected = endless * chi * 4.0 * PI / section;
            assert!((found / expected - 1.0).abs() < 0.02, "{found} {expected}");
        }
    }
}
