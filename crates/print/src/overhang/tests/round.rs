//! Spheres, cones and rounded edges.

use bobbinwright_elementary::Elementary;
use std::f64::consts::{FRAC_1_SQRT_2, PI, SQRT_2};

use super::solids::{prism, revolved};
use super::*;

/// Chords of a circle divided into this many fall short of its area by 2π²/3n², 5e-5.
const SIDES: usize = 360;
const CHORDS: f64 = 1e-4;

/// The profile of a sphere on the bed with rings at the given angles from the lowest point, between
/// which there are 100 steps each.
fn ball(radius: f64, rings: &[f64]) -> Vec<[f64; 2]> {
    let mut profile = vec![[0.0, 0.0]];
    for pair in rings.windows(2) {
        profile.extend((1..=100).map(|k| {
            let (sin, cos) = (pair[0] + (pair[1] - pair[0]) * f64::from(k) / 100.0).sine_cosine();
            [if cos > -1.0 { radius * sin } else { 0.0 }, radius * (1.0 - cos)]
        }));
    }
    profile
}

/// Closed form. A zone of a sphere of height h has the area 2πRh. It leans too far up to the height
/// R (1 - cos 45°), and droops below three layers. What lies below it from radius a to b:
/// ∫ 2πr (R - √(R² - r²)) dr = πR (b² - a²) - 2π/3 ((R² - a²)^3/2 - (R² - b²)^3/2).
///
/// Area: chords only. Volume over the bed: no raster error is left either.
#[test]
fn sphere_on_the_bed() {
    let (r, h): (f64, f64) = (15.0, 0.6);
    let found = check(&revolved(&ball(r, &[0.0, (1.0 - h / r).arccosine(), FRAC_PI_4, PI]), SIDES), &USUAL);
    let all = 2.0 * PI * r * r * (1.0 - FRAC_1_SQRT_2);
    let drooping = 2.0 * PI * r * h;
    near(found.drooping, drooping, CHORDS);
    near(found.area, all - drooping, CHORDS);
    let (a2, b2) = (2.0 * r * h - h * h, r * r / 2.0);
    let below = 2.0 * PI / 3.0 * ((r * r - a2).to_power(1.5) - (r * r - b2).to_power(1.5));
    near(found.volume, PI * r * (b2 - a2) - below, 2.0 * CHORDS);
    near(found.contact, 0.0, 0.0);
    near(found.bridged, 0.0, 0.0);
    near(found.height, 2.0 * r, ROUNDING);
    assert!(found.touched.iter().all(|t| matches!(t.1, Touch::Support | Touch::Droop)));
}

/// A cone from a small circle on the bed up to radius `wide`, and a cylinder on it.
fn funnel(narrow: f64, wide: f64, half_angle: f64) -> Solid {
    let top = (wide - narrow) / half_angle.tangent();
    let profile = [[0.0, 0.0], [narrow, 0.0], [wide, top], [wide, top + 2.0], [0.0, top + 2.0]];
    revolved(&profile, SIDES)
}

/// Closed form. A cone's mantle between radii a and b has the area π (b² - a²) / sin w with the half
/// angle w; below it lies ∫ 2πr (r - r₀) / tan w dr. Three layers are reached at r₀ + h tan w.
#[test]
fn cone_wider_than_the_limit() {
    let (narrow, wide, w, h) = (1.0, 15.0, PI / 3.0, 0.6);
    let found = check(&funnel(narrow, wide, w), &USUAL);
    let a = narrow + h * w.tangent();
    near(found.area, PI * (wide * wide - a * a) / w.sine(), CHORDS);
    near(found.drooping, PI * (a * a - narrow * narrow) / w.sine(), CHORDS);
    let lower = |r: f64| 2.0 * PI * (r.power(3) / 3.0 - narrow * r * r / 2.0) / w.tangent();
    near(found.volume, lower(wide) - lower(a), 2.0 * CHORDS);
    near(found.contact, PI * narrow * narrow, CHORDS);
    near(touch(&found, 0, Touch::Bed), found.contact, ROUNDING);
    near(touch(&found, 1, Touch::Support), found.area, ROUNDING);
    near(touch(&found, 1, Touch::Droop), found.drooping, ROUNDING);
    assert_eq!(found.touched.len(), 3);
}

/// Closed form: nothing, below the limit and exactly at it.
#[test]
fn cones_that_hold_themselves() {
    for w in [PI / 6.0, FRAC_PI_4] {
        let found = check(&funnel(1.0, 15.0, w), &USUAL);
        near(found.contact, PI, CHORDS);
        assert_eq!((found.area, found.volume, found.drooping, found.bridged), (0.0, 0.0, 0.0, 0.0));
        assert_eq!(found.touched.len(), 1);
    }
}

/// Closed form. A cone hangs over a wider foot: below it lies, down to the foot's top at height f,
/// ∫ 2πr ((r - r₀) / tan w) dr from r₀ to the cone's rim, and support stands on π (b² - r₀²).
#[test]
fn cone_over_a_foot() {
    let (narrow, wide, w) = (3.0_f64, 12.0_f64, PI / 3.0);
    let rise = (wide - narrow) / w.tangent();
    let profile =
        [[0.0, 0.0], [14.0, 0.0], [14.0, 2.0], [narrow, 2.0], [wide, 2.0 + rise], [0.0, 2.0 + rise]];
    let found = check(&revolved(&profile, SIDES), &USUAL);
    near(found.area, PI * (wide * wide - narrow * narrow) / w.sine(), CHORDS);
    let lower = |r: f64| 2.0 * PI * (r.power(3) / 3.0 - narrow * r * r / 2.0) / w.tangent();
    near(found.volume, lower(wide) - lower(narrow), 2.0 * CHORDS);
    near(touch(&found, 2, Touch::Standing), PI * (wide * wide - narrow * narrow), CHORDS);
    near(found.drooping, 0.0, 0.0);
}

/// A bar whose lower long edges are quarter rounds; they meet the bed at 0 degrees.
fn rounded_bar(radius: f64, width: f64, height: f64, length: f64, steps: usize) -> Solid {
    let arc = |k: usize| (PI / 2.0 * k as f64 / steps as f64).sine_cosine();
    let right = (0..=steps).map(|k| {
        let (sin, cos) = arc(k);
        [width / 2.0 - radius + radius * sin, radius * (1.0 - cos)]
    });
    let mut profile: Vec<[f64; 2]> = right.collect();
    profile.push([width / 2.0, height]);
    profile.extend(profile.clone().iter().rev().map(|&[x, z]| [-x, z]));
    let ends: Vec<[usize; 3]> = (1..profile.len() - 1).map(|k| [0, k, k + 1]).collect();
    prism(&profile, &ends, length)
}

/// Closed form. Each arc leans too far for its first 45 degrees, up to r (1 - cos 45°), which is
/// less than three layers: it droops, 2 L r π/4. Its chords are shorter by (π/2n)²/24, 1e-6.
#[test]
fn rounded_edges_on_the_bed() {
    let (r, width, length) = (2.0, 12.0, 50.0);
    assert!(r * (1.0 - FRAC_1_SQRT_2) < 0.6);
    for steps in [4, 90, 300] {
        let found = check(&rounded_bar(r, width, 10.0, length, steps), &USUAL);
        let step = PI / 2.0 / steps as f64;
        // Exact for the chords: each is 2 r sin (step / 2).
        let chords = (steps / 2) as f64 * 2.0 * r * (step / 2.0).sine();
        near(found.drooping, 2.0 * length * chords, ROUNDING);
        near(found.contact, (width - 2.0 * r) * length, ROUNDING);
        assert_eq!((found.area, found.volume, found.bridged), (0.0, 0.0, 0.0));
        if steps > 4 {
            near(found.drooping, 2.0 * length * r * FRAC_PI_4, 2e-5);
        }
    }
}

/// Closed form. The same with arcs that reach above three layers: at height h the arc has turned by
/// acos (1 - h/r). Below the rest of it lies L ∫ (r - √(r² - x²)) dx on each side.
#[test]
fn rounded_edges_that_need_support() {
    let (r, h, length) = (8.0_f64, 0.6, 50.0);
    let found = check(&rounded_bar(r, 30.0, 20.0, length, 300), &USUAL);
    let turned = (1.0 - h / r).arccosine();
    near(found.drooping, 2.0 * length * r * turned, 1e-4);
    near(found.area, 2.0 * length * r * (FRAC_PI_4 - turned), 1e-4);
    let segment = |x: f64| f64::midpoint(x * (r * r - x * x).sqrt(), r * r * (x / r).arcsine());
    let (a, b) = (r * turned.sine(), r / SQRT_2);
    near(found.volume, 2.0 * length * (r * (b - a) - segment(b) + segment(a)), 1e-4);
}
