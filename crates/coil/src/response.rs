//! What a coil's response may be: the middle, and how far it may be off in 95 of 100 cases.
//!
//! Each thing that is not known is moved to both ends of what 95 of 100 are within while all others stay; how far that moves
//! a level is added up by squares, upwards and downwards apart (JCGM 100, section 5.1, with ends in place of slopes).

use bobbinwright_spec::coil::End;
use bobbinwright_spec::load::{Farads, Load, Ohms};
use bobbinwright_spec::magnets::Alloy;

use crate::capacitance;
use crate::circuit::{Circuit, Peak, Wired};
use crate::inductance::Inductance;
use crate::pair::Joined;
use crate::rods::{Iron, MODEL, Permeable, Rods};
use crate::winding::{Coil, Resistance};

/// Potentiometers, capacitors and cables are off by up to this (common practice).
const POTENTIOMETER: f64 = 0.20;
const CAPACITOR: f64 = 0.10;
const CABLE: f64 = 0.10;
/// Of what is spread evenly up to a limit 95 of 100 are within this part of it.
const OF_LIMIT: f64 = 0.95;

/// Things that are spread evenly reach further together than the root of their squares says, and what they do bends: by so
/// much, of coils whose every unknown is drawn by itself (`tests/response.rs`).
const FURTHER: f64 = 1.3;

/// The sum of turns, plates and core is known to this (common practice).
const GEOMETRY: f64 = 0.005;

/// A coil, with how far everything about it may be off.
#[derive(Clone, Debug, PartialEq)]
pub struct Spread {
    /// Without rods.
    pub empty: Inductance,
    /// As it is expected.
    pub expected: Wired,
    /// For each thing that is not known, the coil at both ends of it.
    pub ends: Vec<[Wired; 2]>,
}

/// What a response may be.
#[derive(Clone, Debug, PartialEq)]
pub struct Response {
    /// As it is expected.
    pub expected: Circuit,
    ends: Vec<[Circuit; 2]>,
}

/// What a bridge reads of a coil with its rods at a frequency, as it is expected.
pub fn reads(coil: &Coil, rods: &Rods, alloy: Option<Alloy>, hot: End, hertz: f64) -> Inductance {
    expected(coil, rods, alloy, hot).reads(hertz)
}

pub(crate) fn expected(coil: &Coil, rods: &Rods, alloy: Option<Alloy>, hot: End) -> Wired {
    let [_, material, _] = alloy.map_or_else(Permeable::of_alnico, Permeable::of);
    Wired {
        inductance: coil.inductance(),
        iron: Some((Iron::of(coil, rods), material)),
        resistance: coil.resistance(ROOM),
        winding: capacitance::of(coil, rods, hot)[1],
        turns: coil.turns,
    }
}

/// °C.
const ROOM: f64 = 20.0;

impl Spread {
    /// Of a coil with its rods: `resistance` is the least, the expected and the most, `hot` the end that leads to the output.
    pub fn of(coil: &Coil, rods: &Rods, alloy: Option<Alloy>, hot: End, resistance: [Resistance; 3]) -> Self {
        let expected = Wired { resistance: resistance[1], ..expected(coil, rods, alloy, hot) };
        let winding = capacitance::of(coil, rods, hot);
        let times = |part: f64| Wired { inductance: Inductance(expected.inductance.0 * part), ..expected };
        let loose = GEOMETRY + 2.0 * coil.inductance_doubt();
        let mut ends = vec![
            [times(1.0 - loose), times(1.0 + loose)],
            [resistance[0], resistance[2]].map(|resistance| Wired { resistance, ..expected }),
            [winding[0], winding[2]].map(|winding| Wired { winding, ..expected }),
        ];
        if let Some((iron, middle)) = expected.iron {
            let [least, _, most] = alloy.map_or_else(Permeable::of_alnico, Permeable::of);
            let with = |iron: Iron, material| Wired { iron: Some((iron, material)), ..expected };
            ends.push([with(iron, least), with(iron, most)]);
            ends.push(Permeable::conducting(alloy).map(|material| with(iron, material)));
            // What rods add goes with the square of the turns.
            let model = |part: f64| iron.with_turns(part.sqrt());
            ends.push([1.0 - MODEL, 1.0 + MODEL].map(|part| with(model(part), middle)));
        }
        Self { empty: expected.inductance, expected, ends }
    }

    /// What a bridge reads at a frequency, in series: least, expected and most; none too near the coil's own resonance.
    pub fn reads(&self, hertz: f64) -> Option<[Inductance; 3]> {
        let is_far = |coil: &Wired| coil.near_resonance(hertz) < NEAR_RESONANCE;
        let all = self.ends.iter().flatten().all(is_far);
        let of = |coil: &Wired| coil.reads(hertz).0;
        (all && is_far(&self.expected)).then(|| {
            within(of(&self.expected), self.ends.iter().map(|e| e.each_ref().map(of))).map(Inductance)
        })
    }

    /// The least and the most capacitance of its own.
    pub fn capacitances(&self) -> [Farads; 2] {
        let all = self.ends.iter().flatten().map(|coil| coil.winding.0);
        let [least, most] = all.fold([f64::INFINITY, 0.0], |[a, b], c| [c.min(a), c.max(b)]);
        [least, most].map(Farads)
    }

    /// The inductance at low notes: least, expected and most.
    pub fn low(&self) -> [Inductance; 3] {
        let of = |coil: &Wired| {
            coil.inductance.0 + coil.iron.map_or(0.0, |(iron, material)| iron.adds_low(material.recoil).0)
        };
        within(of(&self.expected), self.ends.iter().map(|e| e.each_ref().map(of))).map(Inductance)
    }

    /// With what hangs on it.
    pub fn response(&self, load: Load) -> Response {
        let of = |coil: &Wired| Circuit { coil: *coil, beside: None, load, controls: None };
        let expected = of(&self.expected);
        let mut ends: Vec<_> = self.ends.iter().map(|ends| ends.each_ref().map(of)).collect();
        ends.extend(loads(load).map(|ends| ends.map(|load| Circuit { load, ..expected })));
        Response { expected, ends }
    }

    /// Two coils joined. Where they are stated to have controls of their own, both hang on the output, each as far off as it
    /// may be; cable and amplifier are the first one's.
    pub fn joined(&self, other: &Self, joined: Joined, [load, others]: [Load; 2]) -> Response {
        let controls = (load.volume, load.tone) != (others.volume, others.tone);
        let expected = Circuit {
            coil: self.expected,
            beside: Some((joined, other.expected)),
            load,
            controls: controls.then_some(others),
        };
        let own = self.ends.iter().map(|ends| ends.map(|coil| Circuit { coil, ..expected }));
        let beside = other
            .ends
            .iter()
            .map(|ends| ends.map(|coil| Circuit { beside: Some((joined, coil)), ..expected }));
        let of_load = loads(load).map(|ends| ends.map(|load| Circuit { load, ..expected }));
        let of_controls = controls.then(|| loads(others)).into_iter().flatten();
        let of_controls =
            of_controls.map(|ends| ends.map(|others| Circuit { controls: Some(others), ..expected }));
        Response { expected, ends: own.chain(beside).chain(of_load).chain(of_controls).collect() }
    }
}

/// Where the capacitance carries more than this share of the current, what is not known of it is the reading.
const NEAR_RESONANCE: f64 = 0.3;

/// For each thing that hangs on the coil, both ends of what it may be.
fn loads(load: Load) -> impl Iterator<Item = [Load; 2]> {
    let both = |limit: f64| [1.0 - limit * OF_LIMIT, 1.0 + limit * OF_LIMIT];
    let volume = both(POTENTIOMETER).map(|part| Load { volume: Ohms(load.volume.0 * part), ..load });
    let cable = both(CABLE).map(|part| Load { cable: Farads(load.cable.0 * part), ..load });
    let tone = load.tone.into_iter().flat_map(move |(tone, capacitor)| {
        let ohms = both(POTENTIOMETER).map(|part| (Ohms(tone.0 * part), capacitor));
        let farads = both(CAPACITOR).map(|part| (tone, Farads(capacitor.0 * part)));
        [ohms, farads].map(|ends| ends.map(|tone| Load { tone: Some(tone), ..load }))
    });
    [volume, cable].into_iter().chain(tone)
}

/// The least, the middle and the most of something, by what it is at both ends of everything that is not known.
fn within(expected: f64, ends: impl Iterator<Item = [f64; 2]>) -> [f64; 3] {
    let [down, up] = ends.fold([0.0; 2], |[down, up], [a, b]| {
        let (low, high) = ((expected - a.min(b)).max(0.0), (a.max(b) - expected).max(0.0));
        [down + low * low, up + high * high]
    });
    [expected - FURTHER * down.sqrt(), expected, expected + FURTHER * up.sqrt()]
}

impl Response {
    /// The levels at frequencies beside that at another, dB: least, expected, most.
    pub fn levels(&self, all: impl Iterator<Item = f64>, beside: f64) -> Vec<[f64; 3]> {
        let at = |hertz: f64| {
            let of = |circuit: &Circuit| circuit.decibels(hertz);
            (of(&self.expected), self.ends.iter().map(|ends| ends.each_ref().map(of)).collect::<Vec<_>>())
        };
        let (expected, ends) = at(beside);
        let of = |hertz| {
            let (here, each) = at(hertz);
            let more = |(here, there): (&[f64; 2], &[f64; 2])| [here[0] - there[0], here[1] - there[1]];
            within(here - expected, each.iter().zip(&ends).map(more))
        };
        all.map(of).collect()
    }

    /// The level that is expected at a frequency beside that at another, dB.
    pub fn expected_level(&self, hertz: f64, beside: f64) -> f64 {
        self.expected.decibels(hertz) - self.expected.decibels(beside)
    }

    /// Where it is highest: by frequency, and by height; each least, expected, most.
    pub fn peak(&self) -> [Peak; 3] {
        let expected = self.expected.peak();
        let all: Vec<[Peak; 2]> = self.ends.iter().map(|ends| ends.each_ref().map(Circuit::peak)).collect();
        let hertz = within(expected.hertz, all.iter().map(|ends| ends.map(|peak| peak.hertz)));
        let decibels = within(expected.decibels, all.iter().map(|ends| ends.map(|peak| peak.decibels)));
        [0, 1, 2].map(|i| Peak { hertz: hertz[i], decibels: decibels[i] })
    }
}
