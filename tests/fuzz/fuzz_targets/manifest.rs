//! Any bytes as the manifest of an earlier build.
#![no_main]

use std::path::Path;

use bobbinwright_export::changes::Built;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    match Built::of(bytes, Path::new("manifest.json")) {
        Ok(built) => drop(built),
        Err(why) => drop(why.to_string()),
    }
});
