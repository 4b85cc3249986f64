//! Any text as the log of a family, and as that of a printer.
#![no_main]

use bobbinwright_spec::{SourceFile, Survey, When};
use libfuzzer_sys::fuzz_target;

const FAMILY: &str = include_str!("../../../specs/tidewick/family.ron");

fuzz_target!(|text: &str| {
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    let survey = Survey::read_at("fuzzed", file("family.ron", FAMILY), file("readings.ron", text), When::default());
    match survey.and_then(Survey::family) {
        Ok(family) => drop(family),
        Err(problems) => drop(problems.to_string()),
    }
});
