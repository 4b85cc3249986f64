//! Slanted bodies and where the program lays a cover in them, for another search to find its own place.
//!
//! Usage: `slanted_poses FILE COUNT`. For each body its sides (how far they are from the middle at three places along them) and
//! the arcs in its corners, the cover's corners before they are rounded with their radii, its holes, the body's screws, what the
//! program leaves all round the cover where there is most, and what it leaves round the screw that has least.

use bobbinwright_fit::{AtScrew, CheckKind, check};
use bobbinwright_spec::{Estimate, RoutSide};
use bobbinwright_tests::slanted_bodies::slanted_families;
use serde_json::json;

/// The corners counter-clockwise from that at treble and bridge, as the cover has them.
const AROUND: [[f64; 2]; 4] = [[1.0, -1.0], [1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0]];

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [file, count] = &arguments[..] else { panic!("usage: slanted_poses FILE COUNT") };
    let count = count.parse().unwrap_or_else(|e| panic!("{count}: {e}"));
    let mut list = Vec::new();
    for (family, parts) in slanted_families(count) {
        let fit = check(&family, std::slice::from_ref(&parts), &[]);
        let (position, layout) = (&family.positions[0], &parts.layout);
        let Some((lie, slanted)) = fit.lie(&position.name).zip(layout.slanted) else { continue };
        let (rout, sides) = (&position.rout, &position.rout.sides);
        let side = |side: &RoutSide| [-1.0, 0.0, 1.0].map(|at| mm(&side.reach(at)));
        let left = |s: &AtScrew| {
            let [along, across] = s.screw.each_ref().map(mm);
            mm(&s.play) - along.hypot(across)
        };
        let in_rout = fit.checks.iter().find(|c| c.kind == CheckKind::CoverInRout);
        list.push(json!({
            "outline": rout.outline.name(),
            "sides": {
                "treble": side(&sides.treble), "bass": side(&sides.bass),
                "neck": side(&sides.neck), "bridge": side(&sides.bridge),
            },
            "half": sides.half,
            "arcs": AROUND.map(|corner| mm(rout.corners.at(corner))),
            "cover": slanted.corners().map(|p| [p.x, p.y]),
            "radii": AROUND.map(|corner| layout.corners.at(corner).as_mm()),
            "screws": rout.screws.iter().map(|s| [mm(&s.along), mm(&s.across)]).collect::<Vec<_>>(),
            "holes": lie.screws.iter().map(|s| s.hole).collect::<Vec<_>>(),
            "plays": lie.screws.iter().map(|s| mm(&s.play)).collect::<Vec<_>>(),
            "left": lie.screws.iter().map(left).fold(f64::INFINITY, f64::min),
            "in_rout": in_rout.map(|c| c.least().as_mm()),
            "place": lie.place,
        }));
    }
    let text = serde_json::Value::from(list).to_string();
    std::fs::write(file, text + "\n").unwrap_or_else(|e| panic!("{file}: {e}"));
}

fn mm(e: &Estimate) -> f64 {
    e.value().as_mm()
}
