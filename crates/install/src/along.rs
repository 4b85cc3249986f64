//! What is taken along from one folder to another.

use std::fs;
use std::io;
use std::path::Path;

/// The same file, folder or link in another place. Files become second names of the same content
/// where the disk can do that, so they cost nothing and keep their dates.
pub(crate) fn take_along(from: &Path, to: &Path) -> io::Result<()> {
    let kind = fs::symlink_metadata(from)?.file_type();
    if kind.is_symlink() {
        return link_again(&fs::read_link(from)?, to);
    }
    if !kind.is_dir() {
        return fs::hard_link(from, to).or_else(|_| fs::copy(from, to).map(|_| ()));
    }
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        take_along(&entry.path(), &to.join(entry.file_name()))?;
    }
    Ok(())
}

#[cfg(unix)]
fn link_again(target: &Path, at: &Path) -> io::Result<()> {
    std::os::unix::fs::symlink(target, at)
}

#[cfg(not(unix))]
fn link_again(target: &Path, at: &Path) -> io::Result<()> {
    let what = format!("{} is a link to {}; move it out of the folder", at.display(), target.display());
    Err(io::Error::new(io::ErrorKind::Unsupported, what))
}

/// `report.yours-1.md` for `report.md`, with the first number that is free.
pub(crate) fn free_name(staging: &Path, folder: &Path, name: &str) -> String {
    let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
    let dot = if ending.is_empty() { "" } else { "." };
    let mut number = 1u32;
    loop {
        let candidate = format!("{stem}.yours-{number}{dot}{ending}");
        if !staging.join(&candidate).exists() && !folder.join(&candidate).exists() {
            return candidate;
        }
        number += 1;
    }
}
