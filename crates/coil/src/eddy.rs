//! Eddy currents in a rod: what is left of its permeability at a note.
//!
//! A conducting, permeable cylinder in a field along its axis that alternates: the field inside falls towards the axis as a
//! Bessel function, and its mean is 2 J1(ka) / ka J0(ka) of that at the surface, with k² = -jωμσ (Landau and Lifshitz,
//! Electrodynamics of continuous media, section 59).

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::Length;
use bobbinwright_spec::magnets::Alloy;
use nalgebra::Complex;
use std::f64::consts::TAU;

use crate::magnet::alloy::MU_0;

/// Resistivity of an alloy, Ω m (MMPA 0100-00 and suppliers, from memory).
pub(crate) fn resistivity(alloy: Alloy) -> f64 {
    match alloy {
        Alloy::Alnico2 => 0.65e-6,
        Alloy::Alnico3 => 0.60e-6,
        Alloy::Alnico4 => 0.75e-6,
        Alloy::Alnico5 => 0.47e-6,
        Alloy::Alnico8 => 0.53e-6,
        Alloy::Ferrite => 1e4,
        Alloy::Neodymium => 1.5e-6,
    }
}

/// It is known to so much of itself, in 95 of 100 cases (estimated).
pub(crate) const RESISTIVITY_WITHIN: f64 = 0.15;

/// Susceptibility of a rod's section at a frequency: the mean of what it is magnetised to over the field at its surface.
/// What lags behind that field is negative and imaginary.
pub(crate) fn susceptibility(recoil: f64, resistivity: f64, diameter: Length, hertz: f64) -> Complex<f64> {
    let radius = diameter.as_mm() / 2000.0;
    let square = Complex::new(0.0, -TAU * hertz * MU_0 * recoil / resistivity * radius * radius);
    mean_over_surface(square) * recoil - 1.0
}

/// 2 J1(z) / z J0(z) by its square, as a continued fraction: 2 / (2 - z² / (4 - z² / (6 - …))).
fn mean_over_surface(square: Complex<f64>) -> Complex<f64> {
    // From so deep on that nothing is left of where it begins: more than |z| terms, which is 20 for the thickest rods at
    // 20 kHz.
    const BEYOND: u32 = 10;
    let terms = square.re.hypotenuse(square.im).sqrt().min(1000.0) as u32 + BEYOND;
    let deepest = Complex::new(f64::from(2 * terms), 0.0);
    let below =
        (2..terms).rev().fold(deepest, |below, n| Complex::new(f64::from(2 * n), 0.0) - square / below);
    Complex::new(2.0, 0.0) / (Complex::new(2.0, 0.0) - square / below)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2 J1(z) / z J0(z) for z² = -j x², by scipy 1.17's Bessel functions of complex arguments.
    const ROWS: [(f64, f64, f64); 6] = [
        (0.1, 0.999_997_916_673, -0.001_249_996_419),
        (0.7, 0.995_033_317_284, -0.060_831_729_621),
        (1.5, 0.908_299_046_954, -0.245_818_500_959),
        (3.0, 0.499_010_297_586, -0.359_962_839_122),
        (6.0, 0.236_714_890_191, -0.207_029_987_550),
        (15.0, 0.094_338_572_894, -0.089_784_524_404),
    ];

    #[test]
    fn the_field_inside_agrees_with_scipy() {
        for (x, real, imaginary) in ROWS {
            let found = mean_over_surface(Complex::new(0.0, -x * x));
            assert!((found.re - real).abs() < 1e-9 && (found.im - imaginary).abs() < 1e-9, "{x} {found}");
        }
    }

    /// At low notes nothing is lost; at high ones the field reaches one skin depth deep: (1 - j) δ / a of the surface's.
    #[test]
    fn the_field_is_driven_out() {
        let of = |hertz| susceptibility(4.0, 0.5e-6, Length::from_mm(5.0), hertz);
        assert!((of(1.0).re - 3.0).abs() < 1e-3 && of(1.0).im.abs() < 0.01);
        let depth = (2.0 * 0.5e-6 / (TAU * 1e6 * MU_0 * 4.0)).sqrt() / 0.0025;
        assert!((of(1e6).re - (4.0 * depth - 1.0)).abs() < 0.01, "{} {depth}", of(1e6));
        assert!((of(1e6).im + 4.0 * depth).abs() < 0.02, "{}", of(1e6));
    }
}
