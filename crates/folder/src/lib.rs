//! Texts in folders: read whole, made together, added to, exchanged; all of it or nothing.
//!
//! A [`Folder`] is a path and the [`Store`] that it leads into: a [`Disk`], or [`Memory`] (a browser's, a test's). Who
//! changes a text says what it was when it was read. If somebody else has written since, nothing happens, and
//! [`NotWritten::Changed`] says so: read again, and decide again.
//!
//! ```
//! use bobbinwright_folder::{Folder, Memory, NotWritten};
//!
//! let folder = Folder::in_memory(Memory::default(), "specs/tidewick");
//! folder.create(&[("readings.ron", "// none yet\n"), ("family.ron", "()\n")])?;
//! folder.append("readings.ron", b"// none yet\n", "// one\n")?;
//! assert_eq!(folder.read("readings.ron", 100)?, b"// none yet\n// one\n");
//!
//! // Whoever read it before that has not seen all of it.
//! let late = folder.turn()?.replace("readings.ron", b"// none yet\n", "// another\n");
//! assert!(matches!(late, Err(NotWritten::Changed)));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod disk;
mod folder;
mod leftover;
mod memory;
mod store;

pub use disk::{Disk, Step};
pub use folder::{Folder, InTurn};
pub use memory::Memory;
pub use store::{NotWritten, Store, Turn};
