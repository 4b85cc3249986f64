//! The coil on the bobbin: what wire fits, what the meter reads when it is wound, what its inductance is.
//!
//! A coil is wound round a row of rods, so its turns are racetracks; [`winding`] fills the room between the
//! plates, [`inductance`] adds up what every turn does to every other.
//!
//! [`pair`] is two coils joined, [`stops`] is what the meter tells while it is wound, [`on_bobbin`] what a family's log tells
//! so. [`circuit`] says what a cable leaves of it, [`response`] how far that may be off, [`alike`] which coil comes closest to one that was measured, [`capacitance`] what its turns have between them, [`rods`] what the rods add, and [`magnet`] what they make of the strings. [`bobbin`] reads all of that from a position; everything else can be used without one.
//!
//! Lengths have their unit; resistances are in ohms, inductances in henries and fields in tesla, each in a type of its
//! own.
//!
//! ```
//! use bobbinwright_coil::inductance::Racetrack;
//! use bobbinwright_coil::winding::{Bobbin, Coil, Packed};
//! use bobbinwright_coil::wire::Wire;
//! use bobbinwright_spec::{Length, coil};
//! let mm = Length::from_mm;
//! let core = Racetrack { span: mm(50.0), radius: mm(2.5) };
//! let bobbin = Bobbin { core, height: mm(10.0), room: mm(5.0) };
//! let wire = Wire::of(coil::Wire::Diameters(mm(0.06), mm(0.07)));
//! let coil = Coil { bobbin, wire, packing: Packed::assumed(0.7), turns: 8000.0 };
//! // 8000 turns of 0.07² π/4 mm² fill 0.7 of 10 mm times the build.
//! let build = 8000.0 * 0.0049 * std::f64::consts::FRAC_PI_4 / 7.0;
//! assert!((coil.build().as_mm() - build).abs() < 1e-9);
//! ```

pub mod alike;
pub mod bobbin;
pub mod capacitance;
pub mod circuit;
pub mod copper;
mod discs;
mod eddy;
pub mod inductance;
pub mod magnet;
pub mod on_bobbin;
pub mod pair;
mod process;
mod quadrature;
pub mod response;
pub mod rods;
pub mod stops;
pub mod winding;
pub mod wire;
