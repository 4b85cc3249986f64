//! How long a part takes: `cargo test --release speed -- --ignored --nocapture`.

use std::time::{Duration, Instant};

use super::solids::{blocks, revolved};
use super::*;

/// A hollow box of 100 x 40 x 20 mm, open below, divided into as many blocks as it takes, with four
/// turned feet on its lid.
fn hollow_part(divisions: usize, sides: usize) -> Solid {
    let even = |length: f64, n: usize| -> Vec<f64> {
        let inner = (0..=n).map(|k| 2.0 + (length - 4.0) * k as f64 / n as f64);
        std::iter::once(0.0).chain(inner).chain(std::iter::once(length)).collect()
    };
    let (x, y) = (even(100.0, divisions), even(40.0, divisions));
    let wall = move |p: [usize; 3]| {
        p[2] == 1 || p[0] == 0 || p[1] == 0 || p[0] == divisions + 1 || p[1] == divisions + 1
    };
    let mut part = blocks([&x, &y, &[0.0, 18.0, 20.0]], wall);
    let profile = [[0.0, 0.0], [2.0, 0.0], [8.0, 3.0], [8.0, 6.0], [3.0, 7.0], [7.0, 9.0], [0.0, 9.0]];
    for (k, at) in [[20.0, 10.0], [80.0, 10.0], [20.0, 30.0], [80.0, 30.0]].iter().enumerate() {
        let mut foot = revolved(&profile, sides).moved(at[0], at[1]);
        for p in &mut foot.points {
            p[2] += 20.0;
        }
        part = part.with(&foot, 1000 * (k as u32 + 1));
    }
    part
}

fn best_of(runs: usize, solid: &Solid, limits: &Limits) -> Duration {
    let once = |_| {
        let start = Instant::now();
        std::hint::black_box(check(std::hint::black_box(solid), limits));
        start.elapsed()
    };
    (0..runs).map(once).min().unwrap()
}

#[test]
#[ignore = "measures, checks nothing"]
fn speed() {
    for (divisions, sides) in [(6, 20), (14, 40), (24, 110)] {
        let part = hollow_part(divisions, sides);
        for cell in [0.2, 0.4, 0.8] {
            for (what, bridge) in [("supported", 10.0), ("bridged", 40.0), ("at the limit", 36.0)] {
                let time = best_of(200, &part, &Limits { bridge, cell, ..USUAL });
                println!("{} triangles, cell {cell}, {what}: {time:?}", part.triangles.len());
            }
        }
    }
}
