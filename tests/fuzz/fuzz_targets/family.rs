//! Any text as `family.ron`: it is read and built, or refused; with what is refused comes a place and no panic.
#![no_main]

use bobbinwright_core::Prepared;
use bobbinwright_spec::{SourceFile, Survey, When};
use libfuzzer_sys::fuzz_target;

const READINGS: &str = include_str!("../../../specs/tidewick/readings.ron");

fuzz_target!(|text: &str| {
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    let (family, readings) = (file("family.ron", text), file("readings.ron", READINGS));
    let survey = Survey::read_at("fuzzed", family, readings, When::default());
    match survey.and_then(Survey::family).and_then(Prepared::new) {
        Ok(built) => drop(built),
        Err(problems) => drop(problems.to_string()),
    }
});
