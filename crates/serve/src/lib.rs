//! The bench page over HTTP: `server` carries requests to the page's functions and their answers back; who may ask is
//! decided in `guard`.

mod guard;
mod once;
mod server;

pub use guard::Secret;
pub use once::Once;
pub use server::{Serving, serve};
