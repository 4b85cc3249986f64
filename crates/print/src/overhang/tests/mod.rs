//! Checks against closed forms, on solids whose meshes are written here.

mod flat;
mod random;
mod round;
mod solids;

use std::f64::consts::FRAC_PI_4;

use super::*;
use solids::Solid;

/// 45 degrees, bridges of 10 mm, layers of 0.2 mm, cells of 0.4 mm.
const USUAL: Limits = Limits { overhang: FRAC_PI_4, bridge: 10.0, layer: 0.2, cell: 0.4 };

/// Rounding of sums of a few thousand terms, relative.
const ROUNDING: f64 = 1e-9;

fn check(solid: &Solid, limits: &Limits) -> Supported {
    supports(&solid.shape(), limits)
}

/// Both are equal to within a relative tolerance; zero must be zero but for rounding.
#[track_caller]
fn near(found: f64, expected: f64, tolerance: f64) {
    let allowed = tolerance * expected.abs() + 1e-9;
    if std::env::var_os("SHOW").is_some() {
        println!(
            "{}: {:+.1e}",
            std::panic::Location::caller(),
            (found - expected) / expected.abs().max(1e-9)
        );
    }
    assert!((found - expected).abs() <= allowed, "found {found}, expected {expected}");
}

/// The area over which a face is touched in a way, mm².
fn touch(found: &Supported, face: u32, how: Touch) -> f64 {
    found.touched.iter().filter(|t| (t.0, t.1) == (face, how)).map(|t| t.2).sum()
}
