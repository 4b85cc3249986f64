//! Exact solids of pickup parts, made with a kernel that knows no pickups.
//!
//! - [`parts`]: cover, baseplate and flatwork of a position;
//! - [`Role`]: what a feature of theirs is for.

mod on_bed;
pub mod parts;
mod role;

pub use role::Role;

/// A prism of a pickup part.
pub type Feature = bobbinwright_kernel::Feature<Role>;

/// A pickup part as a list of prisms.
pub type Stack = bobbinwright_kernel::Stack<Role>;

/// What became of a pickup part.
pub type Difference = bobbinwright_kernel::Difference<Role>;
