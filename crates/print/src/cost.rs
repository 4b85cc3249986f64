//! What a print takes: mass, filament, and a range for the time.

use bobbinwright_elementary::Elementary;
use std::time::Duration;

use bobbinwright_spec::{Length, Printer};

/// Diameter of the usual filament (common practice).
pub const FILAMENT: Length = Length::from_mm(1.75);

/// Plastic that goes through the nozzle in a second when a print is slow and careful, and when it is
/// fast, mm³ (common practice: a nozzle of 0.4 mm).
const FLOW: [f64; 2] = [3.0, 10.0];

/// Moves, and waiting until a layer has cooled, in seconds for each layer, slow and fast (common
/// practice).
const EACH_LAYER: [f64; 2] = [6.0, 2.0];

/// Share of the room under an overhang that support fills, at most and at least (common practice).
const SUPPORT: [f64; 2] = [0.25, 0.12];

/// What a print takes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Cost {
    /// Of the part alone, printed solid, g.
    pub mass: f64,
    /// Filament for it.
    pub filament: Length,
    /// From fast to slow, support included.
    pub time: [Duration; 2],
}

/// Mass and filament from the exact volume, mm³; the time also for the room that support fills, mm³,
/// and for so many layers.
pub fn cost(volume: f64, support: f64, layers: usize, printer: &Printer) -> Cost {
    let mass = volume / 1000.0 * printer.material.usual().density;
    let cross_section = std::f64::consts::FRAC_PI_4 * FILAMENT.as_mm().power(2);
    let seconds = |i: usize| (volume + support * SUPPORT[i]) / FLOW[i] + layers as f64 * EACH_LAYER[i];
    let time = [1, 0].map(|i| Duration::from_secs_f64(seconds(i)));
    Cost { mass, filament: Length::from_mm(volume / cross_section), time }
}

impl Cost {
    /// The cost of printing both on one plate.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            mass: self.mass + other.mass,
            filament: self.filament + other.filament,
            time: [self.time[0] + other.time[0], self.time[1] + other.time[1]],
        }
    }
}
