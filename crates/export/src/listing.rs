//! The list of what a command put into a folder, so that a file that was edited since is not lost.

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
    /// What the files say, for other programs.
    #[serde(skip_serializing_if = "Option::is_none")]
    changes: Option<Value>,
    outputs: Vec<HashedFile>,
}

/// Puts the list into the folder, after everything else.
pub(crate) fn put(file: &str, family: &str, changes: Option<Value>, outputs: Vec<HashedFile>, sink: &Sink) {
    let listing = Listing { format: FORMAT, program: Program::this(), family, changes, outputs };
    // Strings, finite numbers and lists of them can always be written as JSON.
    let mut bytes = serde_json::to_vec_pretty(&listing).unwrap_or_default();
    bytes.push(b'\n');
    sink.put(file, bytes);
}
