//! The first two files of a folder.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::Path;

/// Writes both files or none, and never over one that is there.
pub fn write_new(folder: &Path, files: [(&str, &str); 2]) -> io::Result<()> {
    fs::create_dir_all(folder)?;
    let create = |(name, text): (&str, &str)| {
        let path = folder.join(name);
        let written = OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&path)
            .and_then(|mut file| file.write_all(text.as_bytes()).and_then(|()| file.sync_all()));
        if written.as_ref().is_err_and(|e| e.kind() != io::ErrorKind::AlreadyExists) {
            let _ = fs::remove_file(&path);
        }
        written
    };
    let [first, second] = files;
    create(first)?;
    create(second).inspect_err(|_| {
        let _ = fs::remove_file(folder.join(first.0));
    })
}
