//! The bench page's answers for a page that has no program behind it: the same functions, as WebAssembly.
//!
//! What goes in is a request with everything that is kept and that this memory does not know yet; what comes out is the
//! answer with everything that is to be kept now. Keeping it is for whoever calls: a browser's worker, which confirms
//! nothing before it is kept.

mod backup;
mod core;
mod frame;

#[cfg(target_arch = "wasm32")]
mod door;

pub use backup::{NotABackup, pack, unpack};
pub use core::Core;
