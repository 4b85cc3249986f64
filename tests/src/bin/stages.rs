//! How long each stage of making a family's files takes, in one process that has warmed up. The speed comparison
//! holds it against a reference kernel's stages.
//!
//! Usage: `stages FAMILY RUNS` prints JSON: for each stage the median of all runs, ms.

use std::hint::black_box;
use std::time::Instant;

use bobbinwright_export::{CHORD, step, stl};
use bobbinwright_geometry::parts::{Part, PositionParts, build_family};
use bobbinwright_kernel::mesh::{Mesh, mesh};
use bobbinwright_kernel::threads;
use bobbinwright_spec::{Family, Folder};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [family, runs] = &arguments[..] else { panic!("usage: stages FAMILY RUNS") };
    let family = Family::load(&Folder::on_disk(family)).unwrap_or_else(|e| panic!("{e}"));
    let runs: usize = runs.parse().unwrap_or_else(|e| panic!("{runs}: {e}"));
    let build = || build_family(&family).unwrap_or_else(|e| panic!("{}", e[0]));
    let built = build();
    let parts: Vec<&Part> = built.iter().flat_map(|p: &PositionParts| &p.parts).collect();
    let meshed = || threads::map(&parts, |part| mesh(&part.solid, CHORD).unwrap_or_else(|e| panic!("{e}")));
    let meshes: Vec<Mesh> = meshed();
    let stages: [(&str, &dyn Fn()); 4] = [
        ("solids", &|| drop(black_box(build()))),
        ("tessellation", &|| drop(black_box(meshed()))),
        ("STEP", &|| drop(black_box(threads::map(&parts, |part| step::part("part", &part.solid))))),
        ("STL", &|| drop(black_box(threads::map(&meshes, |mesh| stl::write(mesh).map(|b| b.len()))))),
    ];
    let all = stages.map(|(name, stage)| format!("\"{name}\": {:.4}", median(runs, stage)));
    println!("{{{}}}", all.join(", "));
}

/// Middle of the times that something takes, ms; the first time it warms up.
fn median(runs: usize, stage: &dyn Fn()) -> f64 {
    let once = || {
        let start = Instant::now();
        stage();
        start.elapsed().as_secs_f64() * 1e3
    };
    once();
    let mut times: Vec<f64> = (0..runs).map(|_| once()).collect();
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}
