//! How much louder the outermost string is than one in the middle, over 200 random rows of rods, by magpylib 6.3 and
//! magpylib-material-response 0.6 (`tests/outside/levels.py` wrote the table).

use bobbinwright_coil::inductance::Racetrack;
use bobbinwright_coil::magnet::cylinder::{Rod, Tesla};
use bobbinwright_coil::magnet::output::{MODEL, Signal};
use bobbinwright_coil::magnet::row::{Place, Row};
use bobbinwright_coil::magnet::sees::Sees;
use bobbinwright_coil::rods::Rods;
use bobbinwright_coil::winding::{Bobbin, Coil, Packed};
use bobbinwright_coil::wire::Wire;
use bobbinwright_spec::Length;
use bobbinwright_spec::coil::Wire as Bought;
use bobbinwright_spec::magnets::Alloy;

/// Alloy; diameter, length; strings, their pitch, and between the two rods of each, where there are two; the coil's inner
/// radius, where it begins over the rods' ends, its height and build; permeability; for a string in the middle and the outermost
/// how far over its rods, and how far beside them; how much louder the latter is, magnetised across and along, dB.
const TABLE: &str = include_str!("levels.tsv");

const TURNS: f64 = 1000.0;

/// What each way of magnetising says may be off by what is said of the model for 95 of 100.
#[test]
fn levels_agree_with_rods_and_coils_by_reciprocity() {
    let mm = Length::from_mm;
    let (mut held, mut all) = (0, 0);
    for line in TABLE.lines() {
        let mut words = line.split('\t');
        let word = words.next().unwrap();
        let alloy = Alloy::ALL.iter().find(|(name, _)| *name == word).unwrap().1;
        let figures: Vec<f64> = words.map(|w| w.parse().unwrap()).collect();
        let [
            diameter,
            length,
            strings,
            pitch,
            spread,
            radius,
            low,
            height,
            build,
            _,
            a,
            b,
            c,
            d,
            across,
            along,
        ] = figures[..]
        else {
            panic!("{line}")
        };
        let middles: Vec<f64> =
            (0..strings as u32).map(|i| pitch * (f64::from(i) - (strings - 1.0) / 2.0)).collect();
        let sides = if spread > 0.0 { vec![-spread / 2.0, spread / 2.0] } else { vec![0.0] };
        let places: Vec<Length> =
            middles.iter().flat_map(|m| sides.iter().map(move |s| mm(m + s)).collect::<Vec<_>>()).collect();
        let span = places[places.len() - 1] - places[0];
        let bobbin =
            Bobbin { core: Racetrack { span, radius: mm(radius) }, height: mm(height), room: mm(9.0) };
        let wire = Wire::of(Bought::Diameters(mm(0.06), mm(0.07)));
        // So tightly that it is as thick as it should be.
        let packing = Packed::assumed(TURNS * wire.taken() / (build * height));
        let coil = Coil { bobbin, wire, packing, turns: TURNS };
        let rods =
            Rods { diameter: mm(diameter), length: mm(length), places: places.clone(), coil_from: mm(low) };
        let sees = Sees::of(&coil, &rods, alloy, Length::ZERO);
        let rod = Rod { diameter: mm(diameter), length: mm(length), polarisation: Tesla(1.0) };
        let row =
            Row { rod, places: places.into_iter().map(|along| Place { along, top: Length::ZERO }).collect() };
        let of = |x: f64, over: f64| Signal::of(&row, &sees, mm(x), mm(over)).levels(1.0);
        let (middle, outer) = (of(middles[middles.len() / 2] + c, a), of(middles[middles.len() - 1] + d, b));
        for (way, expected) in [across, along].into_iter().enumerate() {
            let off = outer[way].0 - middle[way].0 - expected;
            held += u32::from(off.abs() <= MODEL.0);
            all += 1;
        }
    }
    assert_eq!(all, 400);
    assert!(held >= 380, "{held} of {all}");
}
