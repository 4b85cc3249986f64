//! Files of a build, read again.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::Path;

/// No file of a build is larger than this.
const LARGEST: u64 = 256 << 20;

/// What a file holds, if it is one: a pipe would be waited for, and what has no end would fill the memory.
///
/// # Errors
///
/// What the system says; `InvalidInput` where it is no file, or too large for one of a build.
pub fn read_file(path: &Path) -> io::Result<Vec<u8>> {
    if !fs::metadata(path)?.is_file() {
        return Err(io::ErrorKind::InvalidInput.into());
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(LARGEST + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST { Err(io::ErrorKind::InvalidInput.into()) } else { Ok(bytes) }
}
