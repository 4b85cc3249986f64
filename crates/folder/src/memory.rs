//! Texts that are kept in memory only.

use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::{Component, Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::store::{NotWritten, Store, Turn};

/// Files by their paths. Folders are there as long as something lies in them. Somebody who keeps them elsewhere says
/// what is there ([`Memory::put`]) and is told what became of it ([`Memory::news`]).
#[derive(Debug, Default)]
pub struct Memory {
    files: Mutex<BTreeMap<PathBuf, Vec<u8>>>,
    /// Whose content is another than whoever keeps them knows.
    changed: Mutex<BTreeSet<PathBuf>>,
}

impl Memory {
    /// Lays a file there as it is kept elsewhere.
    pub fn put(&self, path: &Path, bytes: Vec<u8>) {
        self.files().insert(straight(path), bytes);
    }

    /// Gives a file another content, or takes it away, whatever it was.
    pub fn exchange(&self, path: &Path, bytes: Option<Vec<u8>>) {
        let path = straight(path);
        self.note(&path);
        match bytes {
            Some(bytes) => self.files().insert(path, bytes),
            None => self.files().remove(&path),
        };
    }

    /// All that is there, by their paths.
    pub fn all(&self) -> Vec<(PathBuf, Vec<u8>)> {
        self.files().iter().map(|(path, bytes)| (path.clone(), bytes.clone())).collect()
    }

    /// What was written or taken away (none) since this was asked last.
    pub fn news(&self) -> Vec<(PathBuf, Option<Vec<u8>>)> {
        let changed = std::mem::take(&mut *self.changed.lock().unwrap_or_else(PoisonError::into_inner));
        let files = self.files();
        changed.into_iter().map(|path| (path.clone(), files.get(&path).cloned())).collect()
    }

    fn note(&self, path: &Path) {
        self.changed.lock().unwrap_or_else(PoisonError::into_inner).insert(path.to_owned());
    }

    fn files(&self) -> MutexGuard<'_, BTreeMap<PathBuf, Vec<u8>>> {
        // No step of a change can fail half way.
        self.files.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The path without detours: `specs/wherry/../tidewick` is `specs/tidewick`.
fn straight(path: &Path) -> PathBuf {
    let mut all = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir if matches!(all.components().next_back(), Some(Component::Normal(_))) => {
                all.pop();
            }
            other => all.push(other),
        }
    }
    all
}

impl Store for Memory {
    fn read(&self, path: &Path, most: usize) -> io::Result<Vec<u8>> {
        let is_folder = self.is_folder(path);
        match self.files().get(&straight(path)) {
            Some(bytes) => Ok(bytes[..bytes.len().min(most.saturating_add(1))].to_vec()),
            None if is_folder => Err(io::ErrorKind::IsADirectory.into()),
            None => Err(io::ErrorKind::NotFound.into()),
        }
    }

    fn is_file(&self, path: &Path) -> bool {
        self.files().contains_key(&straight(path))
    }

    fn is_folder(&self, path: &Path) -> bool {
        let path = straight(path);
        self.files().keys().any(|file| *file != path && file.starts_with(&path))
    }

    fn folders(&self, path: &Path) -> io::Result<Vec<PathBuf>> {
        let folder = straight(path);
        let files = self.files();
        let names = files.keys().filter_map(|file| {
            let mut below = file.strip_prefix(&folder).ok()?.components();
            let name = below.next()?;
            below.next().map(|_| path.join(name))
        });
        let mut all: Vec<PathBuf> = names.collect();
        all.sort();
        all.dedup();
        Ok(all)
    }

    fn true_path(&self, path: &Path) -> PathBuf {
        straight(path)
    }

    fn create(&self, folder: &Path, new: &[(&str, &str)]) -> io::Result<()> {
        let mut files = self.files();
        let new: Vec<(PathBuf, &str)> =
            new.iter().map(|(name, text)| (straight(&folder.join(name)), *text)).collect();
        if new.iter().any(|(path, text)| files.get(path).is_some_and(|old| old != text.as_bytes())) {
            return Err(io::ErrorKind::AlreadyExists.into());
        }
        for (path, _) in &new {
            self.note(path);
        }
        files.extend(new.into_iter().map(|(path, text)| (path, text.as_bytes().to_vec())));
        Ok(())
    }

    fn append(&self, path: &Path, known: &[u8], more: &str) -> Result<(), NotWritten> {
        let mut files = self.files();
        let path = straight(path);
        if files.get(&path).map_or(&[][..], Vec::as_slice) != known {
            return Err(NotWritten::Changed);
        }
        self.note(&path);
        files.entry(path).or_default().extend_from_slice(more.as_bytes());
        Ok(())
    }

    fn replace(&self, path: &Path, known: &[u8], text: &str) -> Result<(), NotWritten> {
        let mut files = self.files();
        let path = straight(path);
        let Some(file) = files.get_mut(&path) else {
            return Err(io::Error::from(io::ErrorKind::NotFound).into());
        };
        if file != known {
            return Err(NotWritten::Changed);
        }
        *file = text.as_bytes().to_vec();
        self.note(&path);
        Ok(())
    }

    fn remove(&self, path: &Path, known: &[u8]) -> Result<(), NotWritten> {
        let mut files = self.files();
        let path = straight(path);
        match files.get(&path) {
            None => return Err(io::Error::from(io::ErrorKind::NotFound).into()),
            Some(bytes) if bytes != known => return Err(NotWritten::Changed),
            Some(_) => files.remove(&path),
        };
        self.note(&path);
        Ok(())
    }

    fn turn(&self, path: &Path) -> io::Result<Turn> {
        // Whoever shares this memory does one thing after the other.
        if self.is_folder(path) { Ok(Box::new(())) } else { Err(io::ErrorKind::NotFound.into()) }
    }
}
