//! Exact solids of pickup parts.
//!
//! Layers, each knowing only those above it in this list:
//!
//! - [`plane`]: lines, arcs, contours, and one arrangement of all contours of a part;
//! - [`Stack`]: a part as prisms along z, with a rounding of its top edge;
//! - [`solid`]: the boundary representation that follows from a stack by construction;
//! - [`mesh`]: triangles at a chord tolerance;
//! - [`parts`]: cover, baseplate and flatwork of a position;
//! - `truck`: the same solid as a `truck` solid (feature `truck`).

mod difference;
pub mod mesh;
mod on_bed;
pub mod parts;
pub mod plane;
pub mod solid;
mod stack;
pub mod threads;
#[cfg(feature = "truck")]
pub mod truck;

pub use difference::{
    Cut, Difference, LevelCut, Movement, TooManyContours, difference, lengthwise_cut, level_cuts,
};
pub use solid::bands::setback;
pub use stack::{Feature, Kind, Role, Rounding, Stack, StackError};
