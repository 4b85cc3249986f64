//! Crooked bodies and where the program lays a cover in them, for another search to find its own place.
//!
//! Usage: `poses FILE COUNT`. For each body the sides (how far they are from the middle at three places along them), the
//! cover, its holes, the body's screws, and what the program leaves round the screw that has least.

use std::fmt::Write;

use bobbinwright_fit::{Fit, Lie, check};
use bobbinwright_geometry::parts::PositionParts;
use bobbinwright_spec::{Estimate, Family};
use bobbinwright_tests::simulated_bench::crooked_families;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [file, count] = &arguments[..] else { panic!("usage: poses FILE COUNT") };
    let count = count.parse().unwrap_or_else(|e| panic!("{count}: {e}"));
    let mut list = String::new();
    for (family, parts) in crooked_families(count) {
        let fit = check(&family, std::slice::from_ref(&parts), &[]);
        // Ears have recesses, which are another body.
        let lie = fit.lie(&family.positions[0].name).filter(|_| parts.layout.ears.is_none());
        let Some(lie) = lie else { continue };
        let comma = if list.is_empty() { "" } else { ",\n" };
        let _ = write!(list, "{comma}{}", body(&family, &parts, &fit, &lie));
    }
    std::fs::write(file, format!("[{list}]\n")).unwrap_or_else(|e| panic!("{file}: {e}"));
}

fn mm(e: &Estimate) -> f64 {
    e.value().as_mm()
}

fn body(family: &Family, parts: &PositionParts, fit: &Fit, lie: &Lie) -> String {
    let (position, layout) = (&family.positions[0], &parts.layout);
    let (rout, sides) = (&position.rout, &position.rout.sides);
    let side = |side: &bobbinwright_spec::RoutSide| [-1.0, 0.0, 1.0].map(|at| mm(&side.reach(at)));
    let of_screw = |s: &bobbinwright_fit::AtScrew| {
        let [along, across] = s.screw.each_ref().map(mm);
        mm(&s.play) - along.hypot(across)
    };
    let left = lie.screws.iter().map(of_screw).fold(f64::INFINITY, f64::min);
    let screws: Vec<[f64; 2]> = rout.screws.iter().map(|s| [mm(&s.along), mm(&s.across)]).collect();
    let holes: Vec<[f64; 2]> = lie.screws.iter().map(|s| s.hole).collect();
    let plays: Vec<f64> = lie.screws.iter().map(|s| mm(&s.play)).collect();
    let beside: Vec<([f64; 2], [f64; 2], f64)> =
        lie.beside.iter().map(|b| (b.at, b.towards, mm(&b.room))).collect();
    let goes_in = fit.checks.iter().find(|c| c.kind.name() == "cover-in-rout").map_or(0.0, |c| mm(&c.margin));
    serde_json::json!({
        "sides": {
            "treble": side(&sides.treble), "bass": side(&sides.bass),
            "neck": side(&sides.neck), "bridge": side(&sides.bridge),
        },
        "rout": [mm(&rout.length), mm(&rout.width), mm(&rout.corner_radius)],
        "cover": [
            layout.length.as_mm(), layout.width.as_mm(), layout.sharpest().as_mm(),
        ],
        "screws": screws, "holes": holes, "plays": plays, "left": left, "in_rout": goes_in,
        "place": lie.place, "beside": beside,
    })
    .to_string()
}
