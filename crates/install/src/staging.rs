//! The folder in which a build is made before it takes its place, and whose turn it is.
//!
//! Locks are taken on the folders themselves, so they leave nothing behind, and the system gives them back when a
//! program ends in whatever way. Where a folder can't be locked (not every system can) things go on without.

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

use tempfile::TempDir;

/// What the names of such folders begin with.
const PREFIX: &str = ".bobbinwright-";

/// A folder of its own beside the target; gone when it is dropped.
pub(crate) struct Staging {
    folder: TempDir,
    /// Held as long as the folder is in use.
    _in_use: Option<File>,
}

impl Staging {
    /// A new one in a folder, from which those are cleared away that programs left which were killed.
    pub fn beside(parent: &Path) -> io::Result<Self> {
        let _turn = turn(parent);
        clear(parent);
        let folder = tempfile::Builder::new().prefix(PREFIX).tempdir_in(parent)?;
        let in_use = locked(folder.path());
        Ok(Self { folder, _in_use: in_use })
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Removes what is left at its place, if anything is.
    pub fn done(self) {
        if self.path().exists() {
            drop(self.folder);
        } else {
            let _ = self.folder.keep();
        }
    }

    /// Leaves it beside a folder, by a name that nobody clears away.
    pub fn leave(self, folder: &Path) -> PathBuf {
        let left = self.folder.keep();
        let name = folder.file_name().unwrap_or_default().to_string_lossy();
        let mut names = (1..1000_u32).map(|n| folder.with_file_name(format!("{name}.kept-{n}")));
        let free = names.find(|path| !path.exists());
        match free {
            Some(kept) if fs::rename(&left, &kept).is_ok() => kept,
            _ => left,
        }
    }
}

/// Where a folder steps aside while another one takes its place.
pub(crate) fn aside(folder: &Path) -> PathBuf {
    let name = folder.file_name().unwrap_or_default().to_string_lossy();
    folder.with_file_name(format!("{PREFIX}{name}.earlier"))
}

/// Held by whoever exchanges something in a folder; waits for its turn.
pub(crate) fn turn(folder: &Path) -> Option<File> {
    locked(folder)
}

fn locked(folder: &Path) -> Option<File> {
    let file = File::open(folder).ok()?;
    file.lock().ok().map(|()| file)
}

/// Removes folders that nobody uses any more.
fn clear(parent: &Path) {
    let Ok(entries) = fs::read_dir(parent) else { return };
    let ours = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        // What has an ending stepped aside where two names can't be exchanged: it may be the only one there is.
        name.strip_prefix(PREFIX).is_some_and(|rest| !rest.contains('.')) && path.is_dir()
    };
    for path in entries.flatten().map(|e| e.path()).filter(ours) {
        if File::open(&path).is_ok_and(|folder| folder.try_lock().is_ok()) {
            let _ = fs::remove_dir_all(&path);
        }
    }
}
