//! Parts of random families as STEP and STL files, for other people's kernels to judge.
//!
//! Usage: `random_parts OUT COUNT SEED`. `parts.json` in the folder says what each should be.

use std::fmt::Write;
use std::fs;
use std::path::Path;

use bobbinwright_export::{CHORD, step, stl};
use bobbinwright_kernel::mesh::mesh;
use bobbinwright_tests::random_family::{drawn, held_anyhow};
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [out, count, seed] = &arguments[..] else { panic!("usage: random_parts OUT COUNT SEED") };
    let (out, count) = (Path::new(out), count.parse().unwrap_or_else(|e| panic!("{count}: {e}")));
    let seed = seed.parse().unwrap_or_else(|e| panic!("{seed}: {e}"));
    fs::create_dir_all(out).unwrap_or_else(|e| panic!("{e}"));
    let mut list = String::new();
    for number in 0..count {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(number);
        // Every other one is held by screws anywhere.
        let family = if number % 2 == 0 { drawn(&mut rng, 8) } else { held_anyhow(&mut rng, 8) };
        let Some(family) = family else { continue };
        for (position, parts) in family.family.positions.iter().zip(&family.built) {
            for part in &parts.parts {
                let id = format!("{number}-{}-{}", position.name, part.kind.name());
                let mesh = mesh(&part.solid, CHORD).unwrap_or_else(|e| panic!("{id}: {e}"));
                let put = |end: &str, bytes: Vec<u8>| {
                    fs::write(out.join(format!("{id}.{end}")), bytes).unwrap_or_else(|e| panic!("{e}"));
                };
                put("stl", stl::write(&mesh).unwrap_or_else(|e| panic!("{e}")));
                put("step", step::part(&id, &part.solid).into_bytes());
                let comma = if list.is_empty() { "" } else { ",\n" };
                let _ = write!(
                    list,
                    "{comma}{{\"id\": {id:?}, \"volume_mm3\": {}, \"area_mm2\": {}, \"genus\": {}, \"chord_mm\": {CHORD}}}",
                    part.solid.volume, part.solid.area, part.solid.through_holes
                );
            }
        }
    }
    fs::write(out.join("parts.json"), format!("[{list}]")).unwrap_or_else(|e| panic!("{e}"));
}
