//! Two covers of the wherry that were printed from builds of which one's hollow is 0.1 mm longer, and what was read of the second: as
//! near to one as to the other.

// Not every test file uses all of it.
#![allow(dead_code)]

use std::path::{Path, PathBuf};

use super::common::{change, ends_with, name, wherry};

/// The family, its printer's folder, and the marks of both builds; the second's copy is the one on the bench.
pub struct Shop {
    pub family: PathBuf,
    pub printer: PathBuf,
    pub marks: [String; 2],
}

pub fn shop(into: &Path) -> Shop {
    let (family, printer) = wherry(into);
    let out = into.join("out");
    let print = || {
        ends_with(0, &["build", name(&family), "--out", name(&out)]);
        let (said, _) = ends_with(
            0,
            &["printed", name(&family), "bridge-cover", "--on", "2026-10-12", "--out", name(&out)],
        );
        said.split("of build ").nth(1).unwrap()[..8].to_owned()
    };
    let first = print();
    change(&family.join("family.ron"), "wall: mm(2.2)", "wall: mm(2.15)");
    let second = print();
    for (size, got) in READ {
        let figures = got.split(' ');
        let all = ["read", name(&family), size].into_iter().chain(figures).chain(["--on", "2026-10-13"]);
        ends_with(0, &all.collect::<Vec<_>>());
    }
    Shop { family, printer, marks: [first, second] }
}

/// Of the second cover.
const READ: [(&str, &str); 2] =
    [("bridge.cover.hollow_length", "108.61 108.62"), ("bridge.cover.hollow_width", "36.48 36.49")];
