//! Readings to STL and STEP files on disk, and nothing else: what a reference kernel does too. The speed
//! comparison times it beside the whole program.
//!
//! Usage: `plain_build FAMILY OUT`

use std::path::Path;

use bobbinwright_core::Prepared;
use bobbinwright_spec::{Family, Folder};
use bobbinwright_tests::plain;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [family, out] = &arguments[..] else { panic!("usage: plain_build FAMILY OUT") };
    let family = Family::load(&Folder::on_disk(family)).unwrap_or_else(|e| panic!("{e}"));
    let prepared = Prepared::new(family).unwrap_or_else(|e| panic!("{e}"));
    plain::build(&prepared, &Path::new(out).join(&prepared.family.slug));
}
