//! What the cross-crate tests and benchmarks share.

pub mod monte_carlo;
pub mod plain;
pub mod random_family;
pub mod simulated_bench;
pub mod simulated_coupon;
pub mod slanted_bodies;
pub mod variants;
pub mod verdict_on;

use std::path::PathBuf;

use bobbinwright_geometry::parts::{Part, build_family};
use bobbinwright_spec::{Family, Folder, SourceFile};

/// The demo families that fit.
pub const FITTING: [&str; 8] =
    ["tidewick", "gunwale", "saltern", "thwart", "capstan", "halyard", "leeward", "transom"];

/// The folder of a demo family.
pub fn folder(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../specs").join(name)
}

/// A demo family.
///
/// # Panics
///
/// When the family does not load: a demo that is broken fails every test that uses it.
pub fn demo(name: &str) -> Family {
    Family::load(&Folder::on_disk(folder(name))).unwrap_or_else(|problems| panic!("{problems}"))
}

/// A demo family whose file says something more of all its positions.
///
/// # Panics
///
/// As [`demo`].
pub fn stated(name: &str, more: &str) -> Family {
    let text = |file: &str| std::fs::read_to_string(folder(name).join(file)).unwrap_or_default();
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    let family = text("family.ron").replacen("\n(\n", &format!("\n(\n    {more}\n"), 1);
    assert!(family.contains(more), "{name} begins otherwise");
    let read = Family::read(name, file("family.ron", family), file("readings.ron", text("readings.ron")));
    read.unwrap_or_else(|problems| panic!("{problems}"))
}

/// Every part of every demo family that builds, with its name.
///
/// # Panics
///
/// When a demo's parts can't be made.
pub fn demo_parts() -> Vec<(String, Part)> {
    let mut all = Vec::new();
    for name in FITTING.into_iter().chain(["bulkhead"]) {
        let family = demo(name);
        let built = build_family(&family).unwrap_or_else(|e| panic!("{name}: {}", e[0]));
        for (position, parts) in family.positions.iter().zip(built) {
            for part in parts.parts {
                all.push((format!("{name} {} {}", position.name, part.kind.name()), part));
            }
        }
    }
    all
}
