//! The rods as magnets.
//!
//! From the material to the ear: [`alloy`] says what a rod keeps of its magnetisation, [`cylinder`] what field that has
//! round it, [`in_row`] what its neighbours leave of that, [`row`] adds up all rods of a position, and [`read`] is what a
//! teslameter says of them. [`steel`] is how much of a string that finds, [`sees`] how much of that the coil sees, with its rods,
//! [`output`] makes of all that how loud a string comes out, [`at_strings`] compares the strings, and [`evening`] looks for the one dimension that would make them most alike.
//!
//! Polarisations and fields are in tesla, positive where they point up, away from the body; levels are in dB and only
//! mean something beside each other.

pub mod alloy;
pub mod at_strings;
pub mod cylinder;
mod elliptic;
pub mod evening;
pub mod in_row;
pub mod output;
pub mod read;
pub mod row;
pub mod sees;
pub mod steel;
