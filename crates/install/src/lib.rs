//! Files put in place, all or none.
//!
//! [`install`] makes files in a staging folder and exchanges it for the target in one step; [`gather`] makes the same
//! files in memory; both hand a [`Sink`] to whoever makes them.

mod along;
mod hash;
mod late;
mod output;
mod read;
mod staging;

pub use hash::{HashedFile, sha256};
pub use output::{InstallError, Installed, Sink, gather, install, install_after};
pub use read::read_file;
