//! The list of what a command put into a folder, so that a file that was edited since is not lost.

use std::path::Path;

use bobbinwright_spec::Identity;
use serde::Serialize;
use serde_json::Value;

use crate::manifest::{FORMAT, Program};
use bobbinwright_install::HashedFile;
use bobbinwright_install::Sink;

#[derive(Serialize)]
struct Listing<'l> {
    format: u32,
    program: Program,
    family: &'l str,
    /// Which family it is, whatever its folder is called.
    #[serde(skip_serializing_if = "Option::is_none")]
    identity: Option<String>,
    /// What the files say, for other programs.
    #[serde(skip_serializing_if = "Option::is_none")]
    changes: Option<Value>,
    outputs: Vec<HashedFile>,
}

/// Puts the list into the folder, after everything else.
pub(crate) fn put(file: &str, family: &str, changes: Option<Value>, outputs: Vec<HashedFile>, sink: &Sink) {
    let listing =
        Listing { format: FORMAT, program: Program::this(), family, identity: None, changes, outputs };
    write(file, &listing, sink);
}

/// The same of a family's files, which say whose they are.
pub(crate) fn put_of(
    file: &str,
    family: &str,
    identity: Option<&Identity>,
    outputs: Vec<HashedFile>,
    sink: &Sink,
) {
    let identity = identity.map(ToString::to_string);
    let listing =
        Listing { format: FORMAT, program: Program::this(), family, identity, changes: None, outputs };
    write(file, &listing, sink);
}

/// Why a family's files can't go into a folder, by the list there: it holds those of another family that is called alike.
pub fn of_another(folder: &Path, list: &str, own: Option<&Identity>) -> Option<String> {
    let bytes = bobbinwright_install::read_file(&folder.join(list)).ok()?;
    let there: Value = serde_json::from_slice(&bytes).ok()?;
    let theirs = there["identity"].as_str()?;
    (theirs != own?.to_string()).then(|| {
        format!(
            "the files in {} are of another family that is called alike; name another place for these with --out",
            folder.display()
        )
    })
}

fn write(file: &str, listing: &Listing, sink: &Sink) {
    // Strings, finite numbers and lists of them can always be written as JSON.
    let mut bytes = serde_json::to_vec_pretty(listing).unwrap_or_default();
    bytes.push(b'\n');
    sink.put(file, bytes);
}
