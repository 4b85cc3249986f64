//! Hashes of files: what a build was made from, and whether a built file was edited since.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// A file and the hash of its content.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct HashedFile {
    /// File name without a folder.
    pub file: String,
    /// SHA-256, hexadecimal.
    pub sha256: String,
}

/// SHA-256 in hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}
