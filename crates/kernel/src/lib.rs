//! A small exact geometry kernel: prisms over line-and-arc contours, stacked along one axis, and the solids, meshes
//! and differences that follow from them.
//!
//! Lengths are plain `f64` in one unit of the caller's choosing; tolerances are made for millimetres. Nothing here
//! knows what the parts are for.
//!
//! Layers, each knowing only those above it in this list:
//!
//! - [`plane`]: lines, arcs, contours, and one arrangement of all contours of a part;
//! - [`Stack`]: a part as prisms along z, with a rounding of its top edge;
//! - [`solid`]: the boundary representation that follows from a stack by construction;
//! - [`mesh`]: triangles at a chord tolerance;
//! - [`difference()`]: what differs between two versions of a part, exactly;
//! - `truck`: the same solid as a `truck` solid (feature `truck`);
//! - [`threads`]: a list worked through on several processors.

mod difference;
pub mod mesh;
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
pub use stack::{Feature, Kind, Rounding, Stack, StackError};
