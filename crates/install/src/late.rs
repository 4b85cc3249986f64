//! What somebody saved into a folder while another one was made that took its place.

use std::collections::BTreeMap;
use std::ffi::OsString;
use std::fs::{self, Metadata};
use std::io;
use std::path::Path;
use std::time::SystemTime;

use crate::along::{free_name, take_along};

/// The files and folders that were there when they were taken along.
pub(crate) struct Seen(BTreeMap<OsString, Stamp>);

/// By what a file is known again.
type Stamp = (u64, Option<SystemTime>, u64);

impl Seen {
    /// What is in a folder now.
    pub fn of(folder: &Path) -> Self {
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        let stamped =
            |entry: fs::DirEntry| Some((entry.file_name(), stamp(&fs::symlink_metadata(entry.path()).ok()?)));
        Self(entries.filter_map(stamped).collect())
    }

    /// Takes along to the folder that came what was saved since into the one that went: somebody's own file is as it was saved
    /// last; one that was built is kept under another name, which is told.
    pub fn bring_late(
        &self,
        went: &Path,
        came: &Path,
        is_built: impl Fn(&str) -> bool,
    ) -> io::Result<Vec<(String, String)>> {
        let mut kept = Vec::new();
        let Ok(entries) = fs::read_dir(went) else { return Ok(kept) };
        for entry in entries {
            let entry = entry?;
            let (from, to) = (entry.path(), came.join(entry.file_name()));
            let about = fs::symlink_metadata(&from)?;
            if about.is_dir() {
                bring(&from, &to)?;
            } else if self.0.get(&entry.file_name()) != Some(&stamp(&about)) {
                let name = entry.file_name().to_string_lossy().into_owned();
                if !is_built(&name) {
                    in_place_of(&from, &to)?;
                } else if !is_same(&from, &to) {
                    let other = free_name(came, went, &name);
                    take_along(&from, &came.join(&other))?;
                    kept.push((name, other));
                }
            }
        }
        Ok(kept)
    }
}

/// All of a folder that is not so in the other one.
fn bring(from: &Path, to: &Path) -> io::Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let (from, to) = (entry.path(), to.join(entry.file_name()));
        if fs::symlink_metadata(&from)?.is_dir() {
            bring(&from, &to)?;
        } else {
            in_place_of(&from, &to)?;
        }
    }
    Ok(())
}

/// A file in the place of another one, if it is another one. It gets its name in one step.
fn in_place_of(from: &Path, to: &Path) -> io::Result<()> {
    if is_same(from, to) {
        return Ok(());
    }
    let beside = to.with_file_name(format!(".{}.late", to.file_name().unwrap_or_default().to_string_lossy()));
    take_along(from, &beside)?;
    fs::rename(&beside, to)
}

/// The same file by another name, or one of the same content. A link is what it leads to.
fn is_same(one: &Path, other: &Path) -> bool {
    let (Ok(a), Ok(b)) = (fs::metadata(one), fs::metadata(other)) else { return false };
    if is_one(&a, &b) {
        return true;
    }
    a.is_file() && b.is_file() && a.len() == b.len() && {
        let read = |path: &Path| fs::read(path).ok();
        read(one).is_some_and(|bytes| Some(bytes) == read(other))
    }
}

#[cfg(unix)]
fn is_one(a: &Metadata, b: &Metadata) -> bool {
    use std::os::unix::fs::MetadataExt;
    (a.dev(), a.ino()) == (b.dev(), b.ino())
}

#[cfg(not(unix))]
fn is_one(_a: &Metadata, _b: &Metadata) -> bool {
    false
}

#[cfg(unix)]
fn stamp(about: &Metadata) -> Stamp {
    use std::os::unix::fs::MetadataExt;
    (about.len(), about.modified().ok(), about.ino())
}

#[cfg(not(unix))]
fn stamp(about: &Metadata) -> Stamp {
    (about.len(), about.modified().ok(), 0)
}
