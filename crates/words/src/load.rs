//! What hangs on a pickup's output.

use bobbinwright_spec::load::{Load, Ohms};

/// `450 pF of cable, volume 250 kΩ, tone 250 kΩ with 22 nF, an input of 1 MΩ`.
pub fn load(load: &Load) -> String {
    let tone = load.tone.map_or("no tone control".to_owned(), |(tone, capacitor)| {
        format!("tone {} with {} nF", ohms(tone), rounded(capacitor.0 * 1e9))
    });
    format!(
        "{} pF of cable, volume {}, {tone}, an input of {}",
        rounded(load.cable.0 * 1e12),
        ohms(load.volume),
        ohms(load.input)
    )
}

/// `250 kΩ`, `1 MΩ`.
pub fn ohms(Ohms(ohms): Ohms) -> String {
    if ohms < 1e6 { format!("{} kΩ", rounded(ohms / 1e3)) } else { format!("{} MΩ", rounded(ohms / 1e6)) }
}

/// To three decimals, without noughts at its end.
fn rounded(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}
