//! The coil on the bobbin: what wire fits, what the meter reads when it is wound, what its inductance is.
//!
//! A coil is wound round a row of rods, so its turns are racetracks; [`winding`] fills the room between the
//! plates, [`inductance`] adds up what every turn does to every other.

pub mod bobbin;
pub mod circuit;
pub mod copper;
pub mod inductance;
pub mod magnet;
mod quadrature;
pub mod rods;
pub mod winding;
pub mod wire;
