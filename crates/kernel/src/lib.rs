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
//!
//! x and y lie in the plane and z points up, away from a part's underside. What can't be built is an error that says
//! which features are to blame; nothing is mended silently.
//!
//! ```
//! use bobbinwright_kernel::plane::{Contour, Point};
//! use bobbinwright_kernel::{Stack, mesh, solid};
//! let mut plate = Stack::default();
//! plate.add("plate", Contour::rectangle(Point::new(0.0, 0.0), Point::new(30.0, 20.0)), 0.0, 3.0);
//! plate.cut("screw", Contour::circle(Point::new(15.0, 10.0), 2.0), 0.0, 3.0);
//! let solid = solid::build(&plate)?;
//! // 30 · 20 · 3 less a cylinder of 2 mm radius.
//! assert!((solid.volume - (1800.0 - 12.0 * std::f64::consts::PI)).abs() < 1e-9);
//! assert_eq!(solid.through_holes, 1);
//! let triangles = mesh::mesh(&solid, 0.01)?;
//! assert!(triangles.check().is_ok());
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

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
