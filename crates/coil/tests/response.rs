//! What is said of a coil's response, held against coils whose every unknown is drawn by itself.

use bobbinwright_coil::circuit::{Circuit, Wired};
use bobbinwright_coil::inductance::{Inductance, Racetrack};
use bobbinwright_coil::pair::Joined;
use bobbinwright_coil::response::Spread;
use bobbinwright_coil::rods::{Permeable, Rods};
use bobbinwright_coil::winding::{Bobbin, Coil, Packed, Resistance};
use bobbinwright_coil::wire::Wire;
use bobbinwright_elementary::Elementary;
use bobbinwright_spec::Length;
use bobbinwright_spec::coil::{Awg, End, Film, Wire as Bought};
use bobbinwright_spec::load::{Farads, Load, Ohms};
use bobbinwright_spec::magnets::Alloy;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

const MANY: usize = 200;

fn spread(random: &mut ChaCha12Rng) -> (Coil, Spread, Alloy) {
    let mm = Length::from_mm;
    let alloy = [Alloy::Alnico2, Alloy::Alnico5, Alloy::Alnico8, Alloy::Ferrite][random.random_range(0..4)];
    let diameter = random.random_range(4.0..6.0);
    let core = Racetrack { span: mm(52.0), radius: mm(diameter / 2.0 + 0.1) };
    let bobbin = Bobbin { core, height: mm(random.random_range(9.0..13.0)), room: mm(6.0) };
    let wire = Wire::of(Bought::Gauge(Awg::new(random.random_range(42..44)).unwrap(), Film::Single));
    let turns = random.random_range(6000.0..9500.0);
    let coil = Coil { bobbin, wire, packing: Packed::assumed(0.62), turns };
    let places: Vec<Length> = (0..6).map(|i| mm(10.4 * (f64::from(i) - 2.5))).collect();
    let rods = Rods { diameter: mm(diameter), length: mm(16.0), places, coil_from: mm(2.4) };
    let middle = coil.resistance(20.0).0;
    let band = [0.92, 1.0, 1.08].map(|part| Resistance(middle * part));
    (coil, Spread::of(&coil, &rods, Some(alloy), End::Start, band), alloy)
}

/// A pickup as it may come out: each thing evenly within its limits, or, of what is said to be within a band in 95 of 100
/// cases, normally.
fn drawn(spread: &Spread, coil: &Coil, alloy: Alloy, load: Load, random: &mut ChaCha12Rng) -> Circuit {
    let even = |random: &mut ChaCha12Rng, limit: f64| 1.0 + random.random_range(-limit..limit);
    let normal = |random: &mut ChaCha12Rng| (0..12).map(|_| random.random_range(-0.5..0.5)).sum::<f64>();
    let Wired { inductance, iron, resistance, winding, turns } = spread.expected;
    let [least, _, most] = Permeable::of(alloy);
    let (iron, middle) = iron.unwrap();
    let material = Permeable {
        recoil: random.random_range(least.recoil..most.recoil),
        resistivity: middle.resistivity * (1.0 + 0.075 * normal(random)),
    };
    let [few, many] = spread.capacitances();
    let coil = Wired {
        inductance: Inductance(
            inductance.0 * (1.0 + coil.inductance_doubt() * normal(random)) * even(random, 0.005),
        ),
        iron: Some((iron.with_turns((1.0 + 0.01 * normal(random)).sqrt()), material)),
        resistance: Resistance(resistance.0 * (1.0 + 0.04 * normal(random))),
        winding: Farads(
            (few.0.logarithm() + random.random_range(0.0..1.0) * (many.0 / few.0).logarithm()).exponential(),
        ),
        turns,
    };
    assert!(winding.0 > 0.0);
    Circuit { coil, beside: None, load: load_drawn(load, random), controls: None }
}

/// Controls and cable as they may come out of their bags.
fn load_drawn(load: Load, random: &mut ChaCha12Rng) -> Load {
    let mut even = |limit: f64| 1.0 + random.random_range(-limit..limit);
    let (tone, capacitor) = load.tone.unwrap();
    Load {
        cable: Farads(load.cable.0 * even(0.1)),
        volume: Ohms(load.volume.0 * even(0.2)),
        tone: Some((Ohms(tone.0 * even(0.2)), Farads(capacitor.0 * even(0.1)))),
        ..load
    }
}

/// Peak, its height, the level at three notes and what a bridge reads: of each the band holds 95 of 100 pickups, and is no
/// wider than it must be.
#[test]
fn bands_hold_95_of_100_pickups() {
    let mut random = ChaCha12Rng::seed_from_u64(24);
    let mut held = [0usize; 6];
    let mut wide = 0.0;
    for _ in 0..MANY {
        let (coil, spread, alloy) = spread(&mut random);
        let response = spread.response(Load::USUAL);
        let found = drawn(&spread, &coil, alloy, Load::USUAL, &mut random);
        let [least, middle, most] = response.peak();
        let peak = found.peak();
        let mut is = vec![
            (least.hertz..=most.hertz).contains(&peak.hertz),
            (least.decibels..=most.decibels).contains(&peak.decibels),
        ];
        wide += (most.hertz - least.hertz) / middle.hertz;
        for hertz in [1500.0, 3500.0, 6000.0] {
            let [low, _, high] = response.levels([hertz].into_iter(), 100.0)[0];
            is.push((low..=high).contains(&(found.decibels(hertz) - found.decibels(100.0))));
        }
        let [low, _, high] = spread.reads(1000.0).unwrap().map(|l| l.0);
        is.push((low..=high).contains(&found.coil.reads(1000.0).0));
        for (sum, is) in held.iter_mut().zip(is) {
            *sum += usize::from(is);
        }
    }
    assert!(held.iter().all(|held| held * 100 >= MANY * 95), "{held:?} of {MANY}");
    assert!(wide / (MANY as f64) < 0.25, "{}", wide / MANY as f64);
}

/// The same of two coils joined, each with controls of its own: those of the second one are off as much as those of the first.
#[test]
fn bands_hold_95_of_100_pairs() {
    let mut random = ChaCha12Rng::seed_from_u64(25);
    let others = Load { volume: Ohms(500e3), ..Load::USUAL };
    for joined in [Joined::Series, Joined::Parallel] {
        let mut held = [0usize; 4];
        for _ in 0..MANY {
            let ((coil, spread_of, alloy), (beside, spread_beside, alloy_beside)) =
                (spread(&mut random), spread(&mut random));
            let response = spread_of.joined(&spread_beside, joined, [Load::USUAL, others]);
            let one = drawn(&spread_of, &coil, alloy, Load::USUAL, &mut random);
            let other = drawn(&spread_beside, &beside, alloy_beside, others, &mut random);
            let found = Circuit { beside: Some((joined, other.coil)), controls: Some(other.load), ..one };
            let ([least, _, most], peak) = (response.peak(), found.peak());
            let mut is = vec![
                (least.hertz..=most.hertz).contains(&peak.hertz),
                (least.decibels..=most.decibels).contains(&peak.decibels),
            ];
            for hertz in [1500.0, 4000.0] {
                let [low, _, high] = response.levels([hertz].into_iter(), 100.0)[0];
                is.push((low..=high).contains(&(found.decibels(hertz) - found.decibels(100.0))));
            }
            for (sum, is) in held.iter_mut().zip(is) {
                *sum += usize::from(is);
            }
        }
        assert!(held.iter().all(|held| held * 100 >= MANY * 95), "{joined:?}: {held:?} of {MANY}");
    }
}
