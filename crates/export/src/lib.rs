//! The files a build writes.
//!
//! [`Prepared::new`] builds every part and checks the fit; [`Prepared::write`] makes all files;
//! [`output::install`] puts them in place, all or none. Each format is a module that sees
//! only the finished model: [`stl`], [`step`], [`drawing`], [`picture`], [`report`], [`manifest`].

pub mod dimensions;
pub mod drawing;
pub mod manifest;
pub mod output;
pub mod picture;
mod prepared;
pub mod report;
pub mod step;
pub mod stl;

pub use prepared::{BuildError, CHORD, Prepared};
