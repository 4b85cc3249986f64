//! What cable and potentiometers make of a coil: the voltage of its inductance, behind its resistance, into what
//! hangs on it.
//!
//! Losses in metal around the coil are left out, so that the peak of a coil on its own comes out too high.

use bobbinwright_elementary::Elementary;
use std::f64::consts::TAU;

use bobbinwright_spec::load::{Farads, Load, Ohms};

use crate::inductance::Inductance;
use crate::winding::Resistance;

/// A coil and what hangs on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circuit {
    /// Of the coil.
    pub inductance: Inductance,
    /// Of the coil.
    pub resistance: Resistance,
    /// Between the coil's turns.
    pub winding: Farads,
    /// What the coil works into.
    pub load: Load,
}

/// Where the response is highest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    /// Frequency, Hz.
    pub hertz: f64,
    /// Above what is given at 100 Hz, dB.
    pub decibels: f64,
}

impl Circuit {
    /// What of the coil's own voltage arrives at a frequency: 1 for all of it.
    ///
    /// A pure number; `hertz` has to be above nought where there is a tone control.
    ///
    /// ```
    /// # use bobbinwright_coil::{circuit::Circuit, inductance::Inductance, winding::Resistance};
    /// # use bobbinwright_spec::load::{Farads, Load, Ohms};
    /// # let load = Load { cable: Farads(400e-12), volume: Ohms(500e3), tone: None, input: Ohms(1e6) };
    /// # let (inductance, resistance) = (Inductance(2.5), Resistance(6000.0));
    /// let circuit = Circuit { inductance, resistance, winding: Farads(100e-12), load };
    /// // Low down 6 kΩ feed 500 kΩ beside 1 MΩ, and that is all: 1 / (1 + 6 / 333.3).
    /// assert!((circuit.gain(1.0) - 1.0 / (1.0 + 6.0 * 3.0 / 1000.0)).abs() < 1e-6);
    /// // High up its inductance and all capacitance are left: 1 / (ω² L C), which falls by 12 dB an octave.
    /// let w = 2.0 * std::f64::consts::PI * 1e6;
    /// assert!((circuit.gain(1e6) * w * w * 2.5 * 500e-12 - 1.0).abs() < 1e-3);
    /// assert!((circuit.decibels(1e6) - circuit.decibels(2e6) - 40.0 * 2f64.log10()).abs() < 1e-2);
    /// ```
    pub fn gain(&self, hertz: f64) -> f64 {
        let w = TAU * hertz;
        // Admittance of the load: real, imaginary.
        let mut y =
            (1.0 / self.load.volume.0 + 1.0 / self.load.input.0, w * (self.winding.0 + self.load.cable.0));
        if let Some((Ohms(resistance), Farads(capacitor))) = self.load.tone {
            let reactance = 1.0 / (w * capacitor);
            let square = resistance * resistance + reactance * reactance;
            y = (y.0 + resistance / square, y.1 + reactance / square);
        }
        let (r, x) = (self.resistance.0, w * self.inductance.0);
        // 1 + (r + jx)(y0 + j y1)
        let (real, imaginary) = (1.0 + r * y.0 - x * y.1, r * y.1 + x * y.0);
        1.0 / real.hypotenuse(imaginary)
    }

    /// The same in dB.
    pub fn decibels(&self, hertz: f64) -> f64 {
        20.0 * self.gain(hertz).decadic_logarithm()
    }

    /// The peak between 500 Hz and 50 kHz; at an end of that where there is none.
    ///
    /// ```
    /// # use bobbinwright_coil::{circuit::Circuit, inductance::Inductance, winding::Resistance};
    /// # use bobbinwright_spec::load::{Farads, Load, Ohms};
    /// # use std::f64::consts::PI;
    /// // Next to no losses: 2.5 H and 500 pF altogether resonate at 1 / 2π sqrt(LC), about 4.5 kHz.
    /// let load = Load { cable: Farads(400e-12), volume: Ohms(1e9), tone: None, input: Ohms(1e9) };
    /// let (inductance, resistance) = (Inductance(2.5), Resistance(100.0));
    /// let peak = Circuit { inductance, resistance, winding: Farads(100e-12), load }.peak();
    /// assert!((peak.hertz * 2.0 * PI * (2.5f64 * 500e-12).sqrt() - 1.0).abs() < 1e-3);
    /// ```
    pub fn peak(&self) -> Peak {
        // Ever finer steps round the best of the coarser ones.
        let (mut low, mut high) = (500f64.logarithm(), 50_000f64.logarithm());
        let mut best = low;
        for _ in 0..8 {
            let at = |i: u32| low + (high - low) * f64::from(i) / 40.0;
            let gain = |i: &u32| self.gain(at(*i).exponential());
            let top = (0..=40).max_by(|a, b| gain(a).total_cmp(&gain(b))).unwrap_or(0);
            best = at(top);
            (low, high) = (at(top.saturating_sub(1)), at((top + 1).min(40)));
        }
        Peak { hertz: best.exponential(), decibels: self.decibels(best.exponential()) - self.decibels(100.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn example(cable: f64, tone: Option<(Ohms, Farads)>, volume: f64) -> Circuit {
        let load = Load { cable: Farads(cable), volume: Ohms(volume), tone, input: Ohms(1e6) };
        Circuit {
            inductance: Inductance(2.5),
            resistance: Resistance(6500.0),
            winding: Farads(110e-12),
            load,
        }
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
        (circuit.inductance, circuit.resistance) = (Inductance(2.4), Resistance(100.0));
        for (capacitance, hertz) in [(300e-12, 5931.0), (2400e-12, 2097.0)] {
            circuit.winding = Farads(capacitance);
            assert!((circuit.peak().hertz / hertz - 1.0).abs() < 5e-3, "{:?}", circuit.peak());
        }
    }

    /// At low frequencies the coil's resistance and the load divide the voltage: 250 kΩ beside 1 MΩ leave 0.9685.
    #[test]
    fn low_notes_are_divided() {
        let circuit = example(450e-12, Some((Ohms(250e3), Farads(22e-9))), 250e3);
        assert!((circuit.gain(0.01) - 0.968_5).abs() < 1e-4);
    }
}
