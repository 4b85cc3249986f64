//! A family built, checked, changed and compared.
//!
//! - [`Prepared`]: every part as a solid, every check judged, and what to do about those that do not fit;
//! - [`advice`]: changes that were tried for what does not fit;
//! - [`bounds`]: between which values a dimension can be chosen so that the whole family can be made;
//! - [`want`]: a wish tried and written into the family's file;
//! - [`room`]: what gives a bobbin room for a usual coil, tried;
//! - [`tolerance`]: a printer that keeps less than it is said to, by what was read on printed parts;
//! - [`changes`]: what differs between two versions of a family, and which printed parts can stay.
//!
//! Nothing here writes a part's files or draws: whoever wants a verdict needs nothing else.

pub mod advice;
pub mod bare;
pub mod changes;
mod drawable;
mod prepared;
mod refused;
pub mod room;
pub mod tolerance;
pub mod want;

pub use advice::{bounds, what_is_wrong, what_to_do};
pub use prepared::Prepared;
