//! What layers of wire have between them, held against the field between round wires in their films, by finite differences in
//! scipy 1.17 (`tests/outside/layers.py` wrote the table).

use bobbinwright_coil::capacitance;
use bobbinwright_coil::inductance::Racetrack;
use bobbinwright_coil::rods::Rods;
use bobbinwright_coil::winding::{Bobbin, Coil, Packed};
use bobbinwright_coil::wire::Wire;
use bobbinwright_spec::Length;
use bobbinwright_spec::coil::{End, Wire as Bought};

/// Copper's diameter and that over the film, mm; packing; what is between the wires, relative; of a wire to the next layer, F/m.
const TABLE: &str = include_str!("layers.tsv");

/// As close as round wire lies: π / 2√3.
const CLOSEST: f64 = 0.9069;

/// So many rows are of wires apart in air, and of wires that touch in wax; the others are of random coils.
const ENDS: usize = 50;

fn rows() -> Vec<[f64; 5]> {
    let row = |line: &str| {
        let all: Vec<f64> = line.split('\t').map(|word| word.parse().unwrap()).collect();
        all.try_into().unwrap()
    };
    TABLE.lines().map(row).collect()
}

/// What is said of a coil of a wire so packed, and what it has if a wire has so much to the next layer.
fn coil(bare: f64, overall: f64, packing: f64) -> ([f64; 3], impl Fn(f64) -> f64) {
    let mm = Length::from_mm;
    let core = Racetrack { span: mm(52.0), radius: mm(2.6) };
    let bobbin = Bobbin { core, height: mm(11.0), room: mm(9.0) };
    let wire = Wire::of(Bought::Diameters(mm(bare), mm(overall)));
    let coil = Coil { bobbin, wire, packing: Packed::assumed(packing), turns: 8000.0 };
    let rods = Rods { diameter: mm(5.0), length: mm(16.0), places: vec![mm(0.0)], coil_from: mm(2.4) };
    // Layers to and fro: (n - 1) 4 / 3n² of what one has to the next.
    let beside = 11.0 / (overall * (CLOSEST / packing).sqrt());
    let layers = coil.turns / beside;
    let turn = coil.mean_turn().as_mm() / 1000.0;
    let whole =
        move |of_a_wire: f64| 4.0 / 3.0 * (layers - 1.0) / (layers * layers) * beside * of_a_wire * turn;
    (capacitance::of(&coil, &rods, End::Finish).map(|farads| farads.0), whole)
}

/// Wires that are all equally apart in air, and as many as there are that touch in wax, are what the band is said to be from and
/// to: it holds both, and is not much wider.
#[test]
fn the_band_is_from_wires_apart_in_air_to_wires_that_touch_in_wax() {
    let rows = &rows()[..ENDS];
    let in_air = rows.iter().copied().filter(|row| row[3] == 1.0);
    for [bare, overall, packing, _, apart] in in_air {
        let is_closest = |row: &&[f64; 5]| [row[0], row[1], row[2], row[3]] == [bare, overall, CLOSEST, 2.3];
        let touching = rows.iter().find(is_closest).unwrap()[4] * packing / CLOSEST;
        let ([least, _, most], whole) = coil(bare, overall, packing);
        let (low, high) = (whole(apart), whole(touching));
        assert!(least <= low && low <= 1.35 * least, "{bare} {packing}: {least:e} {low:e}");
        assert!(high <= most && most <= 1.1 * high, "{bare} {packing}: {most:e} {high:e}");
    }
}

/// Of 200 random coils, packed as a hand may and with as much wax between as got in, the band holds 95 of 100.
#[test]
fn the_band_holds_random_coils() {
    let rows = rows();
    let random = &rows[ENDS..];
    let holds = |[bare, overall, packing, _, found]: &[f64; 5]| {
        let ([least, _, most], whole) = coil(*bare, *overall, *packing);
        (least..=most).contains(&whole(*found))
    };
    let held = random.iter().filter(|row| holds(row)).count();
    assert_eq!(random.len(), 200);
    assert!(held >= 190, "{held} of 200");
}
