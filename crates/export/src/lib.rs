//! The files a build writes.
//!
//! [`Prepared::new`] builds every part and checks the fit; [`Prepared::write`] makes all files;
//! [`output::install`] puts them in place, all or none. Each format is a module that sees
//! only the finished model: [`stl`], [`step`], [`drawing`], [`picture`], [`report`], [`manifest`].

pub mod changes;
mod dimension_lines;
pub mod dimensions;
pub mod drawing;
mod hash;
mod listing;
pub mod manifest;
pub mod output;
pub mod paper;
pub mod picture;
mod png_file;
mod prepared;
mod printing;
mod read_back;
pub mod report;
pub mod scene;
pub mod sheet;
mod staging;
pub mod step;
pub mod stl;
pub mod threemf;
mod tried;
pub mod viewer;
pub mod want;
pub mod whose;
pub mod winding;
pub mod words;
mod write;

pub use hash::{HashedFile, sha256};
pub use prepared::Prepared;
pub use stl::CHORD;
pub use write::BuildError;
