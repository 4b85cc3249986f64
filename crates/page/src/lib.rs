//! The bench page: a family measured, wanted, checked, looked at and taken along as files, in a browser.
//!
//! The page and the program are two faces of the same functions: `act` does what a command does, with the same
//! files, and keeps nothing that the files do not hold. A request goes in, an answer comes out; who carries them, and
//! from whom, is no business of this crate, and which day it is it is told.

mod act;
mod answer;
mod copies;
mod day;
mod desk;
mod files;
mod fit;
mod inspect;
mod names;
mod once;
mod pictures;
mod printer;
mod route;
mod say;
mod shelf;
mod state;
mod teach;
mod versions;
mod ways;
mod web;
mod winder;
mod wishes;

pub use answer::Answer;
pub use day::Day;
pub use route::{Asked, Bench};
pub use shelf::Shelf;
pub use web::file;
