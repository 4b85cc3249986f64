//! The files a build writes.
//!
//! [`build()`] puts all files of a family into a folder, all or none; [`write()`] makes them wherever a sink takes them.
//! Each format is a module that sees only the finished model: [`stl`], [`step`], [`threemf`], [`drawing`], [`picture`],
//! [`report`], [`manifest`]. Sheets to measure by ([`sheet`]), to wind by ([`winding`]) and to compare by ([`changes`])
//! are files of their own.

pub mod bench;
pub mod changes;
pub mod cut;
mod dimension_lines;
pub mod dimensions;
pub mod drawing;
pub mod earlier;
pub mod handover;
pub mod job;
pub mod label;
pub mod lie;
pub mod listing;
pub mod manifest;
pub mod mixed;
pub mod needs;
pub mod picture;
mod plain;
mod printing;
mod read_back;
pub mod report;
pub mod scene;
pub mod sheet;
pub mod shown;
pub mod stand;
pub mod step;
pub mod stl;
pub mod teach;
pub mod threemf;
pub mod viewer;
pub mod whose;
pub mod winding;
mod write;

pub use stl::CHORD;
pub use write::{BuildError, build, write};
