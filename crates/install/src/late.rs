//! What somebody saved into a folder while another one was made that took its place.

use std::collections::BTreeMap;
use std::fs::{self, Metadata};
use std::io;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use crate::along::{free_name, take_along};

/// The files that were there when they were taken along, by their ways from the folder.
pub(crate) struct Seen(BTreeMap<PathBuf, Stamp>);

/// By what a file is known again.
type Stamp = (u64, Option<SystemTime>, u64);

impl Seen {
    /// What is in a folder now, and in those in it.
    pub fn of(folder: &Path) -> Self {
        let mut seen = BTreeMap::new();
        look(folder, Path::new(""), &mut seen);
        Self(seen)
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
        let mut now = BTreeMap::new();
        look(went, Path::new(""), &mut now);
        for (way, stamp) in now {
            if self.0.get(&way) == Some(&stamp) {
                continue;
            }
            let (from, to) = (went.join(&way), came.join(&way));
            let Some(first) = way.iter().next().map(|name| name.to_string_lossy().into_owned()) else {
                continue;
            };
            if !is_built(&first) {
                fs::create_dir_all(to.parent().unwrap_or(came))?;
                in_place_of(&from, &to)?;
            } else if way.components().count() == 1 && !is_same(&from, &to) {
                let other = free_name(came, went, &first);
                take_along(&from, &came.join(&other))?;
                kept.push((first, other));
            }
        }
        Ok(kept)
    }
}

/// All files below a folder.
fn look(folder: &Path, way: &Path, seen: &mut BTreeMap<PathBuf, Stamp>) {
    for entry in fs::read_dir(folder.join(way)).into_iter().flatten().flatten() {
        let Ok(about) = fs::symlink_metadata(entry.path()) else { continue };
        let way = way.join(entry.file_name());
        if about.is_dir() {
            look(folder, &way, seen);
        } else {
            seen.insert(way, stamp(&about));
        }
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// What was saved or deleted in the new folder after it had its place is not undone by what stood in the old one all along.
    #[test]
    fn what_did_not_change_is_not_brought() {
        let scratch = tempfile::tempdir().unwrap();
        let [went, came] = ["went", "came"].map(|name| scratch.path().join(name));
        for folder in [&went, &came] {
            fs::create_dir_all(folder.join("photos")).unwrap();
            for name in ["settings.txt", "photos/one.txt", "photos/two.txt"] {
                fs::write(folder.join(name), "old").unwrap();
            }
        }
        let seen = Seen::of(&went);
        fs::write(came.join("photos/one.txt"), "newer").unwrap();
        fs::remove_file(came.join("settings.txt")).unwrap();
        fs::write(went.join("photos/two.txt"), "saved late").unwrap();
        assert!(seen.bring_late(&went, &came, |_| false).unwrap().is_empty());
        let text = |name: &str| fs::read_to_string(came.join(name)).ok();
        assert_eq!(text("settings.txt"), None);
        assert_eq!(text("photos/one.txt").as_deref(), Some("newer"));
        assert_eq!(text("photos/two.txt").as_deref(), Some("saved late"));
    }
}
