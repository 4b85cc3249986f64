//! Lengths with standard uncertainties that remember their causes, and the chances that follow from them.
//!
//! Nothing here knows what is measured: whoever uses it says what a reading is of (`Q`).
//!
//! - [`Length`] knows its unit; [`Estimate`] is a length with everything that makes it uncertain, cause by cause;
//! - [`Doubts`] is the table of causes: kinds, degrees of freedom, what more readings would leave;
//! - [`Sentence`] is words with lengths among them, shown in a [`Unit`];
//! - [`probability`] and [`expanded`] say what one estimate tells of the true value ([`student`]);
//! - [`holds`] says how likely several are not negative at once; [`chance_where`] says it of any condition, by drawing;
//! - [`network`] solves many readings at once, and says which can't all be true.
//!
//! Values and uncertainties are millimetres throughout, uncertainties standard ones (one sigma) where nothing else is
//! said. After JCGM 100, the guide to the expression of uncertainty in measurement (GUM).
//!
//! ```
//! use bobbinwright_estimate::{Doubt, Doubts, Estimate, Length, Origin, expanded, probability};
//! let mut doubts = Doubts::<&str>::default();
//! let stated = |what| Doubt::new(Some(what), Origin::Stated, f64::INFINITY);
//! let rout = doubts.enter(stated("rout"), Length::from_mm(0.03)).moved_to(Length::from_mm(16.1));
//! let cover = doubts.enter(stated("cover"), Length::from_mm(0.04)).moved_to(Length::from_mm(16.0));
//! // 0.1 mm of play, known to sqrt(0.03² + 0.04²) = 0.05: two sigma, so it fits with the normal table's 97.725 %.
//! let play: Estimate = rout - cover;
//! assert!((play.uncertainty().as_mm() - 0.05).abs() < 1e-12);
//! assert!((probability(&play, &doubts) - 0.977_25).abs() < 1e-5);
//! // 95 % of such plays lie within 1.96 times that.
//! assert!((expanded(&play, &doubts, 0.95).as_mm() - 1.960 * 0.05).abs() < 1e-5);
//! ```

mod causes;
mod coverage;
mod doubt;
mod doubts;
mod draws;
mod estimate;
mod length;
pub mod network;
mod sentence;
pub mod student;
mod together;

pub use causes::covariances;
pub use coverage::{expanded, probability};
pub use doubt::{Doubt, DoubtId, Origin};
pub use doubts::{Doubts, IfRepeated, More, Moved};
pub use draws::{chance_where, drawn, variables};
pub use estimate::Estimate;
pub use length::Length;
pub use sentence::{Piece, Sentence, Unit};
pub use together::{holds, holds_with};
