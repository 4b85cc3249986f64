//! What the turns of a coil have between them, and to what lies beside them.
//!
//! Two wires that touch, each in its film, have what Massarini and Kazimierczuk 1997 give: lines of force from film to film
//! through the air, over a sixth of the way round. Here the wires may also be apart, and what is between them may be wax.
//! Layers that are laid to and fro have between them a voltage that grows evenly from nothing to that of two layers, so
//! that of n layers (n - 1) 4/3n² of what one has to the next is seen from outside. How even a hand lays them, and whether
//! the rods are grounded, nobody knows: that is the band.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::coil::End;
use bobbinwright_spec::load::Farads;

use crate::quadrature::panels;
use crate::rods::Rods;
use crate::winding::Coil;

/// Of empty space, F/m.
const SPACE: f64 = 8.854_187_8e-12;
/// Relative, of a film of enamel, of tape, and of wax (handbook values, from memory: 3 to 4, 2.5 to 4, 2.2 to 2.4).
const FILM: f64 = 3.5;
const TAPE: f64 = 3.0;
const WAX: f64 = 2.3;
/// As close as round wire lies.
const CLOSEST: f64 = 0.907;
/// Lines of force beyond a sixth add up to this to wires that touch (finite differences, `tests/layers.rs`); of wires that are
/// apart they add more, which is left out of the least.
const BEYOND: f64 = 1.09;
/// Neighbours that each wire has in the next layer.
const NEIGHBOURS: f64 = 2.0;

/// The least, the middle and the most that a coil has, seen from its ends.
pub fn of(coil: &Coil, rods: &Rods, hot: End) -> [Farads; 3] {
    // The inner turns lie along the rods. Where they are hot and the rods grounded, all of that is seen.
    let along_rods = if hot == End::Start { to_rods(coil, rods) } else { 0.0 };
    // All wires apart alike, in air; or as many as there are touching, in wax.
    let share = coil.packing.share.min(CLOSEST);
    let apart = (CLOSEST / share).sqrt() - 1.0;
    let least = layered(coil, between(coil, apart, 1.0));
    let most = layered(coil, BEYOND * between(coil, 0.0, WAX) * share / CLOSEST) + along_rods;
    [least, (least * most).sqrt(), most].map(Farads)
}

/// Of two wires, F/m; their surfaces are so many diameters apart, in something.
fn between(coil: &Coil, apart: f64, filled: f64) -> f64 {
    let film = (coil.wire.overall.nominal / coil.wire.bare.nominal).logarithm() * 2.0 / FILM;
    let line = |angle: f64| 1.0 / (film + 2.0 * (1.0 - angle.cosine() + apart) / filled);
    2.0 * SPACE * panels(std::f64::consts::FRAC_PI_6, 1, line)
}

/// Of all layers, for what two wires have, F.
fn layered(coil: &Coil, of_two: f64) -> f64 {
    let pitch = coil.wire.overall.nominal * (CLOSEST / coil.packing.share.min(CLOSEST)).sqrt();
    let side_by_side = coil.bobbin.height / pitch;
    let layers = (coil.turns / side_by_side).max(1.0);
    let to_next = side_by_side * NEIGHBOURS * of_two * coil.mean_turn().as_mm() / 1000.0;
    4.0 / 3.0 * (layers - 1.0) / (layers * layers) * to_next
}

/// Of the inner turns and all rods: a wall beside a cylinder, on both sides of each.
fn to_rods(coil: &Coil, rods: &Rods) -> f64 {
    let radius = rods.diameter.as_mm() / 2.0;
    let film = (coil.wire.overall.nominal - coil.wire.bare.nominal).as_mm() / 2.0;
    let tape = (coil.bobbin.core.radius.as_mm() - radius).max(0.0);
    // Both in the thickness of air that does the same.
    let gap = (tape / TAPE + film / FILM).max(1e-3);
    let along = 2.0 * std::f64::consts::PI * SPACE / hyperbolic_arccosine(1.0 + gap / radius);
    2.0 * rods.places.len() as f64 * along * coil.bobbin.height.as_mm() / 1000.0
}

fn hyperbolic_arccosine(x: f64) -> f64 {
    (x * x - 1.0).sqrt().hyperbolic_arcsine()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inductance::Racetrack;
    use crate::winding::{Bobbin, Packed};
    use crate::wire::Wire;
    use bobbinwright_spec::Length;
    use bobbinwright_spec::coil::{Awg, Film, Wire as Bought};

    fn coil(turns: f64, packing: f64) -> Coil {
        let mm = Length::from_mm;
        let core = Racetrack { span: mm(52.0), radius: mm(2.6) };
        let bobbin = Bobbin { core, height: mm(11.6), room: mm(5.0) };
        let wire = Wire::of(Bought::Gauge(Awg::new(42).unwrap(), Film::Single));
        Coil { bobbin, wire, packing: Packed::assumed(packing), turns }
    }

    /// Touching wires by the published closed form: 2 ε0 atan(√(…)) over a sixth to both sides, without its second order.
    #[test]
    fn touching_wires_are_the_published_formula() {
        let coil = coil(8000.0, 0.62);
        let film = (coil.wire.overall.nominal / coil.wire.bare.nominal).logarithm();
        let root3 = 3f64.sqrt();
        let (a, b) = (2.0 * FILM + film, (film * (2.0 * FILM + film)).sqrt());
        let angle = ((root3 - 1.0) * a / ((root3 + 1.0) * b)).arctangent();
        let published = SPACE * 2.0 * FILM * angle / (2.0 * FILM * film + film * film).sqrt();
        let found = between(&coil, 0.0, 1.0);
        assert!((found / published - 1.0).abs() < 0.01, "{found:e} {published:e}");
    }

    /// Usual coils have 50 to 200 pF (from memory); more turns of one height make it neither much more nor much less, and a
    /// grounded outside with a hot start adds what the rods have.
    #[test]
    fn usual_coils_have_what_is_usual() {
        let mm = Length::from_mm;
        let places: Vec<Length> = (0..6).map(|i| mm(10.4 * (f64::from(i) - 2.5))).collect();
        let rods = Rods { diameter: mm(5.0), length: mm(16.0), places, coil_from: mm(2.4) };
        for turns in [6000.0, 8000.0, 10_000.0] {
            let [least, middle, most] = of(&coil(turns, 0.62), &rods, End::Start).map(|c| c.0 * 1e12);
            assert!(least < middle && middle < most, "{least} {middle} {most}");
            assert!(
                (10.0..60.0).contains(&least) && (60.0..250.0).contains(&most),
                "{least} {middle} {most}"
            );
            assert!(of(&coil(turns, 0.62), &rods, End::Finish)[2].0 * 1e12 < most - 5.0);
        }
    }
}
