//! Any two texts as a printer's `printer.ron` and its log.
#![no_main]

use bobbinwright_spec::{PrinterSurvey, SourceFile, When};
use libfuzzer_sys::fuzz_target;

const PRINTER: &str = include_str!("../../../specs/wherry/quay/printer.ron");
const READINGS: &str = include_str!("../../../specs/wherry/quay/readings.ron");

fuzz_target!(|typed: (bool, &str)| {
    let (as_log, text) = typed;
    let (printer, readings) = if as_log { (PRINTER, text) } else { (text, READINGS) };
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    match PrinterSurvey::read_at("fuzzed", file("printer.ron", printer), file("readings.ron", readings), When::default()) {
        Ok(survey) => drop(survey.printer()),
        Err(problems) => drop(problems.to_string()),
    }
});
