//! What one rod adds to a round coil, held against the charges on its surface worked out exactly (`tests/outside/rod_alone.py`
//! wrote the table, by scipy 1.17 and magpylib 6.3).

use bobbinwright_coil::inductance::Racetrack;
use bobbinwright_coil::rods::{Iron, Rods};
use bobbinwright_coil::winding::{Bobbin, Coil, Packed};
use bobbinwright_coil::wire::Wire;
use bobbinwright_spec::Length;
use bobbinwright_spec::coil::Wire as Bought;

/// Diameter, length; the coil's inner radius, where it begins over the rod's end, its height and build; permeability; what the rod
/// adds for a coil of one turn, H.
const TABLE: &str = include_str!("rod_alone.tsv");

const TURNS: f64 = 1000.0;

/// Of itself, what discs add is that far off at most, and in the root of the mean square.
const MOST: f64 = 0.012;
const MEAN: f64 = 0.004;

#[test]
fn one_rod_adds_what_its_surface_charges_do() {
    let mm = Length::from_mm;
    let mut all = Vec::new();
    for line in TABLE.lines() {
        let figures: Vec<f64> = line.split('\t').map(|w| w.parse().unwrap()).collect();
        let [diameter, length, radius, low, height, build, recoil, adds] = figures[..] else {
            panic!("{line}")
        };
        let core = Racetrack { span: Length::ZERO, radius: mm(radius) };
        let bobbin = Bobbin { core, height: mm(height), room: mm(9.0) };
        let wire = Wire::of(Bought::Diameters(mm(0.06), mm(0.07)));
        // So tightly that it is as thick as it should be.
        let packing = Packed::assumed(TURNS * wire.taken() / (build * height));
        let coil = Coil { bobbin, wire, packing, turns: TURNS };
        let places = vec![Length::ZERO];
        let rods = Rods { diameter: mm(diameter), length: mm(length), places, coil_from: mm(low) };
        let off = Iron::of(&coil, &rods).adds_low(recoil).0 / (TURNS * TURNS) / adds - 1.0;
        assert!(off.abs() < MOST, "{line}: {off:.4}");
        all.push(off);
    }
    assert_eq!(all.len(), 60);
    let mean = (all.iter().map(|off| off * off).sum::<f64>() / all.len() as f64).sqrt();
    assert!(mean < MEAN, "{mean:.4}");
}
