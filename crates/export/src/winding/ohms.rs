//! A coil's resistance in words.

use bobbinwright_coil::winding::Resistance;

/// `5.96 kΩ`.
pub(super) fn kiloohms(resistance: Resistance) -> String {
    format!("{:.2} kΩ", resistance.0 / 1000.0)
}
