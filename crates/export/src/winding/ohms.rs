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

/// What a figure that is ten, a hundred or a thousand times off most likely is: no coil is, but a point or a prefix may be.
pub(super) fn slip_of_powers(value: f64, [least, most]: [f64; 2]) -> String {
    let middle = f64::midpoint(least, most);
    let (times, word) = if value < middle { (middle / value, "smaller") } else { (value / middle, "larger") };
    let power = [10.0, 100.0, 1000.0].into_iter().find(|power| (times / power - 1.0).abs() < 0.15);
    power.map_or(String::new(), |power| {
        format!("; it is {power:.0} times {word} than expected: is its decimal point in the wrong place, or the meter's k or m left out?")
    })
}
