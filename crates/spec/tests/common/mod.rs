//! The demo family with its log changed.

// Not every test file uses all of it.
#![allow(dead_code)]

use bobbinwright_spec::{Family, Problems, SourceFile, Survey, When};

/// The demo.
pub const FAMILY: &str = include_str!("../../../../specs/tidewick/family.ron");
/// Its log.
pub const READINGS: &str = include_str!("../../../../specs/tidewick/readings.ron");

pub fn file(name: &str, text: &str) -> SourceFile {
    SourceFile { name: name.into(), text: text.into() }
}

pub fn with_readings(readings: &str) -> Result<Family, Problems> {
    Family::read("test", file("family.ron", FAMILY), file("readings.ron", readings))
}

/// The demo's log with the readings of one quantity replaced.
pub fn replaced(quantity: &str, entries: &str) -> Family {
    let tag = format!("of: \"{quantity}\"");
    let kept: Vec<&str> = READINGS.lines().filter(|l| !l.contains(&tag)).collect();
    with_readings(&format!("{}\n{entries}\n", kept.join("\n"))).unwrap_or_else(|e| panic!("{e}"))
}

pub fn near(found: f64, expected: f64, tolerance: f64, what: &str) {
    assert!((found - expected).abs() <= tolerance, "{what}: found {found}, expected {expected}");
}

/// What is known of the demo by a log.
pub fn surveyed(log: &str) -> Survey {
    Survey::read_at("test", file("family.ron", FAMILY), file("readings.ron", log), When::default())
        .unwrap_or_else(|e| panic!("{e}"))
}
