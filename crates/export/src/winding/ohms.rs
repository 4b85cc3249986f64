//! A resistance in words.

use bobbinwright_coil::winding::Resistance;

/// What is worked out before a reading, which is not known better: `5.96 kΩ`.
pub(super) fn kiloohms(resistance: Resistance) -> String {
    format!("{:.2} kΩ", resistance.0 / 1000.0)
}

/// What a meter shows, to its digits, and what is expected beside that: `5.962 kΩ`.
pub(crate) fn as_read(resistance: Resistance) -> String {
    format!("{:.3} kΩ", resistance.0 / 1000.0)
}
