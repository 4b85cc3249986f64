//! The rods as magnets.

pub mod alloy;
pub mod at_strings;
pub mod cylinder;
mod elliptic;
pub mod evening;
pub mod output;
pub mod row;
