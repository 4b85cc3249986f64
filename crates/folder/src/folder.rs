//! A folder of a store.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::disk::Disk;
use crate::memory::Memory;
use crate::store::{NotWritten, Store, Turn};

/// A folder, wherever it is kept. There need not be one yet.
#[derive(Clone)]
pub struct Folder {
    store: Arc<dyn Store>,
    path: PathBuf,
}

impl fmt::Debug for Folder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.path.fmt(f)
    }
}

impl Folder {
    /// On this machine's disk.
    pub fn on_disk(path: impl Into<PathBuf>) -> Self {
        Self::in_store(Arc::new(Disk::default()), path)
    }

    /// In memory.
    pub fn in_memory(memory: Memory, path: impl Into<PathBuf>) -> Self {
        Self::in_store(Arc::new(memory), path)
    }

    /// Wherever.
    pub fn in_store(store: Arc<dyn Store>, path: impl Into<PathBuf>) -> Self {
        Self { store, path: path.into() }
    }

    /// Another folder of the same store.
    #[must_use]
    pub fn at(&self, path: impl Into<PathBuf>) -> Self {
        Self { store: self.store.clone(), path: path.into() }
    }

    /// As seen from this one.
    #[must_use]
    pub fn join(&self, path: impl AsRef<Path>) -> Self {
        self.at(self.path.join(path))
    }

    /// The way that leads to it.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Its name.
    pub fn name(&self) -> Option<String> {
        let path = self.store.true_path(&self.path);
        path.file_name().map(|name| name.to_string_lossy().into_owned())
    }

    /// The one path that leads to it, whatever way was taken, in words.
    pub fn home(&self) -> String {
        self.store.true_path(&self.path).display().to_string()
    }

    /// Is there such a folder?
    pub fn is_there(&self) -> bool {
        self.store.is_folder(&self.path)
    }

    /// Do both ways lead to the same folder, and is there one?
    pub fn is(&self, other: &Self) -> bool {
        self.is_there() && self.store.true_path(&self.path) == self.store.true_path(&other.path)
    }

    /// Does it hold a plain file of that name?
    pub fn has(&self, name: &str) -> bool {
        self.store.is_file(&self.path.join(name))
    }

    /// The folders in it, by their names.
    ///
    /// # Errors
    /// What the system says.
    pub fn folders(&self) -> io::Result<Vec<Self>> {
        let all = self.store.folders(&self.path)?;
        Ok(all.into_iter().map(|path| self.at(path)).collect())
    }

    /// See [`Store::read`].
    ///
    /// # Errors
    /// The same.
    pub fn read(&self, name: &str, most: usize) -> io::Result<Vec<u8>> {
        self.store.read(&self.path.join(name), most)
    }

    /// See [`Store::create`].
    ///
    /// # Errors
    /// The same.
    pub fn create(&self, files: &[(&str, &str)]) -> io::Result<()> {
        self.store.create(&self.path, files)
    }

    /// See [`Store::append`].
    ///
    /// # Errors
    /// The same.
    pub fn append(&self, name: &str, known: &[u8], more: &str) -> Result<(), NotWritten> {
        self.store.append(&self.path.join(name), known, more)
    }

    /// Waits until nobody else has the folder's turn.
    ///
    /// # Errors
    /// `NotFound`; what the system says.
    pub fn turn(&self) -> io::Result<InTurn<'_>> {
        Ok(InTurn { folder: self, _turn: self.store.turn(&self.path)? })
    }
}

/// A folder whose turn one has, until this is dropped.
pub struct InTurn<'f> {
    folder: &'f Folder,
    _turn: Turn,
}

impl InTurn<'_> {
    /// See [`Store::replace`].
    ///
    /// # Errors
    /// The same.
    pub fn replace(&self, name: &str, known: &[u8], text: &str) -> Result<(), NotWritten> {
        self.folder.store.replace(&self.folder.path.join(name), known, text)
    }

    /// See [`Store::remove`].
    ///
    /// # Errors
    /// The same.
    pub fn remove(&self, name: &str, known: &[u8]) -> Result<(), NotWritten> {
        self.folder.store.remove(&self.folder.path.join(name), known)
    }
}
