//! Lengths with standard uncertainties that remember their causes, and the chances that follow from them.
//!
//! Nothing here knows what is measured: whoever uses it says what a reading is of (`Q`).
//!
//! - [`Length`] knows its unit; [`Estimate`] is a length with everything that makes it uncertain, cause by cause;
//! - [`Doubts`] is the table of causes: kinds, degrees of freedom, what more readings would leave;
//! - [`Sentence`] is words with lengths among them, shown in a [`Unit`];
//! - [`probability`] and [`expanded`] say what one estimate tells of the true value ([`student`]);
//! - [`holds`] says how likely several are not negative at once, from pairs along a tree; [`chance`] says it of any
//!   condition, by drawing.

mod coverage;
mod draws;
mod estimate;
mod length;
mod sentence;
pub mod student;
mod together;

pub use coverage::{expanded, probability};
pub use draws::chance;
pub use estimate::{Doubt, DoubtId, Doubts, Estimate, IfRepeated, Origin, Repeats};
pub use length::Length;
pub use sentence::{Piece, Sentence, Unit};
pub use together::{holds, holds_with};
