//! Copper: what it resists, how that goes with the temperature, and what it weighs.
//!
//! Resistivities are in Ω mm²/m, so that metres of wire over square millimetres of copper give ohms.

/// Resistivity at 20 °C of the international standard of annealed copper, 1/58 Ω mm²/m (IEC 60028).
pub const RESISTIVITY: f64 = 1.0 / 58.0;

/// Commercial copper conducts 97 to 101 % of that.
pub const CONDUCTS: [f64; 2] = [0.97, 1.01];

/// What wire of commercial copper resists at 20 °C, in the middle of that.
pub const USUAL: f64 = RESISTIVITY / f64::midpoint(CONDUCTS[0], CONDUCTS[1]);

/// Wire stretched by the winder's tension is longer and thinner: its resistance grows by up to this (common
/// practice; more is a sign of too much tension).
pub const STRETCHED: f64 = 0.02;

/// By so much of itself its resistance at 20 °C changes with a degree (IEC 60028: 0.00393).
pub(crate) const PER_KELVIN: f64 = 0.00393;

/// Density, g/cm³ (IEC 60028: 8.89).
pub const DENSITY: f64 = 8.89;

/// Resistance at a temperature in °C, as part of that at 20 °C.
///
/// ```
/// // 25 degrees over 20: 1 + 0.00393 · 25. Below 20 it is less than 1.
/// # use bobbinwright_coil::copper::at_temperature;
/// assert!((at_temperature(45.0) - 1.098_25).abs() < 1e-12);
/// assert!(at_temperature(10.0) < 1.0 && at_temperature(20.0) == 1.0);
/// ```
pub fn at_temperature(celsius: f64) -> f64 {
    1.0 + PER_KELVIN * (celsius - 20.0)
}

#[cfg(test)]
mod tests {
    /// At 25 °C 1.01965 times that at 20 °C.
    #[test]
    fn warm_copper_resists_more() {
        assert!((super::at_temperature(25.0) - 1.019_65).abs() < 1e-9);
    }
}
