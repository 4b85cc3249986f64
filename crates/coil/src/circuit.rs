//! What cable and potentiometers make of a coil, or of two: the voltage of its turns, behind its resistance and
//! inductance, with its own capacitance beside it, into what hangs on it.
//!
//! Rods that conduct are part of the inductance; other metal near the coil is left out.

use bobbinwright_elementary::Elementary;
use nalgebra::Complex;
use std::f64::consts::TAU;

use bobbinwright_spec::load::{Farads, Load, Ohms};

use crate::inductance::Inductance;
use crate::pair::Joined;
use crate::rods::{Iron, Permeable};
use crate::winding::Resistance;

/// A coil as its ends see it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wired {
    /// Of the coil without rods, or with those that are not stated.
    pub inductance: Inductance,
    /// What its rods add.
    pub iron: Option<(Iron, Permeable)>,
    /// Of the coil.
    pub resistance: Resistance,
    /// Between the coil's turns.
    pub winding: Farads,
    /// What a string makes in it, beside other coils.
    pub turns: f64,
}

/// A coil, or two that are joined, and what hangs on them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circuit {
    /// The coil.
    pub coil: Wired,
    /// Another one, which strings drive the same way.
    pub beside: Option<(Joined, Wired)>,
    /// What it works into.
    pub load: Load,
    /// The other coil's own controls, where it has some: those hang on the output too.
    pub controls: Option<Load>,
}

/// Where the response is highest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Frequency, Hz.
    pub hertz: f64,
    /// Above what is given at 100 Hz, dB.
    pub decibels: f64,
}

/// A voltage behind an impedance.
struct Source {
    volts: Complex<f64>,
    ohms: Complex<f64>,
}

impl Wired {
    /// Of resistance and inductance at a frequency, Ω.
    fn in_line(&self, hertz: f64) -> Complex<f64> {
        let w = TAU * hertz;
        let rods = self.iron.map_or(Complex::from(0.0), |(iron, material)| iron.adds(material, hertz));
        Complex::new(self.resistance.0, w * self.inductance.0) + Complex::new(0.0, w) * rods
    }

    /// With its own capacitance beside it (Thévenin).
    fn source(&self, hertz: f64) -> Source {
        let line = self.in_line(hertz);
        let beside = line * Complex::new(0.0, TAU * hertz * self.winding.0) + 1.0;
        Source { volts: Complex::from(self.turns) / beside, ohms: line / beside }
    }

    /// What a bridge that reads inductance in series reads at a frequency.
    pub fn reads(&self, hertz: f64) -> Inductance {
        Inductance(self.source(hertz).ohms.im / (TAU * hertz))
    }

    /// Resistance in series at a frequency, with what the rods lose, Ω.
    pub fn losing(&self, hertz: f64) -> f64 {
        self.in_line(hertz).re
    }

    /// Inductance in series at a frequency, its own capacitance left out.
    pub fn inductance_at(&self, hertz: f64) -> Inductance {
        Inductance(self.in_line(hertz).im / (TAU * hertz))
    }

    /// Which part of the current its own capacitance carries at a frequency.
    pub fn near_resonance(&self, hertz: f64) -> f64 {
        (TAU * hertz).power(2) * self.inductance.0 * self.winding.0
    }
}

impl Circuit {
    /// What of the coils' own voltage arrives at a frequency: 1 for all of it, of the mean where there are two.
    ///
    /// A pure number; `hertz` has to be above nought where there is a tone control.
    ///
    /// ```
    /// # use bobbinwright_coil::{circuit::{Circuit, Wired}, inductance::Inductance, winding::Resistance};
    /// # use bobbinwright_spec::load::{Farads, Load, Ohms};
    /// # let load = Load { cable: Farads(400e-12), volume: Ohms(500e3), tone: None, input: Ohms(1e6) };
    /// # let (inductance, resistance) = (Inductance(2.5), Resistance(6000.0));
    /// let coil = Wired { inductance, iron: None, resistance, winding: Farads(100e-12), turns: 8000.0 };
    /// let circuit = Circuit { coil, beside: None, load, controls: None };
    /// // Low down 6 kΩ feed 500 kΩ beside 1 MΩ, and that is all: 1 / (1 + 6 / 333.3).
    /// assert!((circuit.gain(1.0) - 1.0 / (1.0 + 6.0 * 3.0 / 1000.0)).abs() < 1e-6);
    /// // High up its inductance and all capacitance are left: 1 / (ω² L C), which falls by 12 dB an octave.
    /// let w = 2.0 * std::f64::consts::PI * 1e6;
    /// assert!((circuit.gain(1e6) * w * w * 2.5 * 500e-12 - 1.0).abs() < 1e-3);
    /// assert!((circuit.decibels(1e6) - circuit.decibels(2e6) - 40.0 * 2f64.log10()).abs() < 1e-2);
    /// ```
    pub fn gain(&self, hertz: f64) -> f64 {
        let one = self.coil.source(hertz);
        let (Source { volts, ohms }, mean) = match &self.beside {
            None => (one, self.coil.turns),
            Some((joined, other)) => {
                let mean = f64::midpoint(self.coil.turns, other.turns);
                (both(&one, &other.source(hertz), *joined), mean)
            }
        };
        let arrives = volts / (ohms * self.admittance(hertz) + 1.0) / mean;
        arrives.re.hypotenuse(arrives.im)
    }

    /// Of all that hangs on the output.
    fn admittance(&self, hertz: f64) -> Complex<f64> {
        let w = TAU * hertz;
        let controls = |load: &Load| {
            let tone = load.tone.map_or(Complex::from(0.0), |(Ohms(ohms), Farads(capacitor))| {
                Complex::from(1.0) / Complex::new(ohms, -1.0 / (w * capacitor))
            });
            tone + 1.0 / load.volume.0
        };
        let others = self.controls.as_ref().map_or(Complex::from(0.0), controls);
        controls(&self.load) + others + Complex::new(1.0 / self.load.input.0, w * self.load.cable.0)
    }

    /// The same in dB.
    pub fn decibels(&self, hertz: f64) -> f64 {
        20.0 * self.gain(hertz).decadic_logarithm()
    }

    /// The peak between 500 Hz and 50 kHz; at an end of that where there is none.
    ///
    /// ```
    /// # use bobbinwright_coil::{circuit::{Circuit, Wired}, inductance::Inductance, winding::Resistance};
    /// # use bobbinwright_spec::load::{Farads, Load, Ohms};
    /// # use std::f64::consts::PI;
    /// // Next to no losses: 2.5 H and 500 pF altogether resonate at 1 / 2π sqrt(LC), about 4.5 kHz.
    /// let load = Load { cable: Farads(400e-12), volume: Ohms(1e9), tone: None, input: Ohms(1e9) };
    /// let (inductance, resistance) = (Inductance(2.5), Resistance(100.0));
    /// let coil = Wired { inductance, iron: None, resistance, winding: Farads(100e-12), turns: 8000.0 };
    /// let peak = Circuit { coil, beside: None, load, controls: None }.peak();
    /// assert!((peak.hertz * 2.0 * PI * (2.5f64 * 500e-12).sqrt() - 1.0).abs() < 1e-3);
    /// ```
    pub fn peak(&self) -> Peak {
        // Ever finer steps round the best of the coarser ones.
        let (mut low, mut high) = (500f64.logarithm(), 50_000f64.logarithm());
        let mut best = low;
        for steps in [40u32, 8, 8, 8, 8, 8] {
            let at = |i: u32| low + (high - low) * f64::from(i) / f64::from(steps);
            let gain = |i: &u32| self.gain(at(*i).exponential());
            let top = (0..=steps).max_by(|a, b| gain(a).total_cmp(&gain(b))).unwrap_or(0);
            best = at(top);
            (low, high) = (at(top.saturating_sub(1)), at((top + 1).min(steps)));
        }
        Peak { hertz: best.exponential(), decibels: self.decibels(best.exponential()) - self.decibels(100.0) }
    }
}

/// Two sources joined; what the coils do to each other is left out.
fn both(a: &Source, b: &Source, joined: Joined) -> Source {
    match joined {
        Joined::Series => Source { volts: a.volts + b.volts, ohms: a.ohms + b.ohms },
        Joined::Parallel => {
            let all = a.ohms + b.ohms;
            Source { volts: (a.volts * b.ohms + b.volts * a.ohms) / all, ohms: a.ohms * b.ohms / all }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn example(cable: f64, tone: Option<(Ohms, Farads)>, volume: f64) -> Circuit {
        let load = Load { cable: Farads(cable), volume: Ohms(volume), tone, input: Ohms(1e6) };
        let coil = Wired {
            inductance: Inductance(2.5),
            iron: None,
            resistance: Resistance(6500.0),
            winding: Farads(110e-12),
            turns: 8000.0,
        };
        Circuit { coil, beside: None, load, controls: None }
    }

    /// A worked example: 2.5 H, 6.5 kΩ, 110 pF; 3 and 4.5 m of cable at 100 pF a metre, 250 kΩ twice, 22 nF and
    /// 1 MΩ. The peak stands over what the coil gives itself.
    #[test]
    fn peaks_are_those_of_the_example() {
        for (cable, hertz, decibels) in [(300e-12, 4298.8, 2.536), (450e-12, 3834.5, 3.406)] {
            let circuit = example(cable, Some((Ohms(250e3), Farads(22e-9))), 250e3);
            let peak = circuit.peak();
            assert!((peak.hertz - hertz).abs() < 0.5, "{peak:?}");
            assert!((circuit.decibels(peak.hertz) - decibels).abs() < 2e-3, "{peak:?}");
        }
    }

    /// Without a load the coil and its winding's capacitance resonate at 1 / 2π√(LC).
    #[test]
    fn a_coil_alone_resonates_by_the_formula() {
        let mut circuit = example(0.0, None, 1e12);
        circuit.load.input = Ohms(1e12);
        let expected = 1.0 / (TAU * (2.5f64 * 110e-12).sqrt());
        assert!((circuit.peak().hertz / expected - 1.0).abs() < 1e-3);
        // A published pair, losses left out: 2.4 H with 300 pF about 6,000 Hz, with 2,400 pF a little above 2,000.
        (circuit.coil.inductance, circuit.coil.resistance) = (Inductance(2.4), Resistance(100.0));
        for (capacitance, hertz) in [(300e-12, 5931.0), (2400e-12, 2097.0)] {
            circuit.coil.winding = Farads(capacitance);
            assert!((circuit.peak().hertz / hertz - 1.0).abs() < 5e-3, "{:?}", circuit.peak());
        }
    }

    /// At low frequencies the coil's resistance and the load divide the voltage: 250 kΩ beside 1 MΩ leave 0.9685.
    #[test]
    fn low_notes_are_divided() {
        let circuit = example(450e-12, Some((Ohms(250e3), Farads(22e-9))), 250e3);
        assert!((circuit.gain(0.01) - 0.968_5).abs() < 1e-4);
    }

    /// Two equal coils in series are one of twice the inductance, resistance and voltage and half the capacitance; in
    /// parallel one of half, half, the same and twice.
    #[test]
    fn two_equal_coils_are_one() {
        let one = example(450e-12, None, 250e3);
        for (joined, part, volts) in [(Joined::Series, 2.0, 2.0), (Joined::Parallel, 0.5, 1.0)] {
            let pair = Circuit { beside: Some((joined, one.coil)), ..one };
            let coil = Wired {
                inductance: Inductance(2.5 * part),
                resistance: Resistance(6500.0 * part),
                winding: Farads(110e-12 / part),
                ..one.coil
            };
            let alone = Circuit { coil, ..one };
            for hertz in [100.0, 2000.0, 9000.0] {
                assert!((pair.gain(hertz) / (alone.gain(hertz) * volts) - 1.0).abs() < 1e-12, "{joined:?}");
            }
        }
        // Controls of its own hang on the output like those of the first.
        let own = Circuit { controls: Some(one.load), ..one };
        let halved = Circuit { load: Load { volume: Ohms(125e3), ..one.load }, ..one };
        assert!((own.gain(3000.0) / halved.gain(3000.0) - 1.0).abs() < 1e-12);
    }
}
