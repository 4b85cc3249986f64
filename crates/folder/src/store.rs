//! What a place for texts can do.

use std::any::Any;
use std::io;
use std::path::{Path, PathBuf};

/// Held by whoever changes something in a folder; others who ask for the same wait until it is dropped.
pub type Turn = Box<dyn Any + Send>;

/// Why a text is not as it was to be.
#[derive(Debug, thiserror::Error)]
pub enum NotWritten {
    /// It is not what it was when it was read: somebody else has written. Nothing was changed.
    #[error("it was changed meanwhile")]
    Changed,
    /// It is as it was.
    #[error(transparent)]
    As(#[from] io::Error),
    /// Part of what was to be added may stand at its end.
    #[error("{why}, and what was written of it can't be taken back ({then}): look at the end of the file")]
    Half {
        /// Why adding failed.
        why: io::Error,
        /// Why taking back failed.
        then: io::Error,
    },
}

/// A place for texts: a disk, or something that stands for one. What comes back as done is kept even if the power
/// fails.
pub trait Store: Send + Sync {
    /// A plain file's content, or its first `most + 1` bytes.
    ///
    /// # Errors
    /// `NotFound`, `IsADirectory`; `InvalidInput` for what is neither (a pipe would be waited for, a device may never
    /// end); whatever else the system says.
    fn read(&self, path: &Path, most: usize) -> io::Result<Vec<u8>>;

    /// Is there a plain file?
    fn is_file(&self, path: &Path) -> bool;

    /// Is there a folder?
    fn is_folder(&self, path: &Path) -> bool;

    /// The folders in a folder, by their names.
    ///
    /// # Errors
    /// What the system says.
    fn folders(&self, path: &Path) -> io::Result<Vec<PathBuf>>;

    /// The one path of a place to which several may lead; the path itself where there is nothing.
    fn true_path(&self, path: &Path) -> PathBuf;

    /// Makes all files of a folder, and the folder, or none; never over one that is there, unless it is the same. Waits
    /// for the folder's turn.
    ///
    /// # Errors
    /// `AlreadyExists`; whatever else the system says.
    fn create(&self, folder: &Path, files: &[(&str, &str)]) -> io::Result<()>;

    /// Adds at a file's end if its content is `known`. A file that is not there counts as an empty one.
    ///
    /// # Errors
    /// See [`NotWritten`].
    fn append(&self, path: &Path, known: &[u8], more: &str) -> Result<(), NotWritten>;

    /// Gives a file another content if it is `known`. Only in the folder's turn.
    ///
    /// # Errors
    /// See [`NotWritten`].
    fn replace(&self, path: &Path, known: &[u8], text: &str) -> Result<(), NotWritten>;

    /// Takes a file away if its content is `known`. Only in the folder's turn, and only files that nobody else writes:
    /// there is no telling whether somebody does so between the look and the act.
    ///
    /// # Errors
    /// See [`NotWritten`].
    fn remove(&self, path: &Path, known: &[u8]) -> Result<(), NotWritten>;

    /// Waits until nobody else has a folder's turn. Where folders can't be held, things go on without.
    ///
    /// # Errors
    /// `NotFound`; what the system says.
    fn turn(&self, folder: &Path) -> io::Result<Turn>;
}
