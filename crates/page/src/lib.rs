//! The bench page: a family measured, wanted, checked, looked at and taken along as files, in a browser.
//!
//! The page and the program are two faces of the same functions: `act` does what a command does, with the same
//! files, and keeps nothing that the files do not hold. `server` carries it to a browser on the same machine; who
//! may ask is decided in `guard`.

mod act;
mod answer;
mod copies;
mod desk;
mod files;
mod fit;
mod guard;
mod route;
mod say;
mod server;
mod shelf;
mod state;
mod web;
mod wishes;

pub use guard::Secret;
pub use server::{Serving, serve};
pub use shelf::Shelf;
