//! How parts come onto a printer's bed.
//!
//! [`weigh`](weigh::weigh) looks at every side that a part can lie on; [`lay`](lay::lay) chooses, draws
//! each part for the printer and lays all of them on plates; [`cost`] says what that takes; [`coupon`]
//! is the test piece from which a printer's profile is worked out.

pub mod cost;
pub mod coupon;
pub mod lay;
pub mod overhang;
pub mod plates;
pub mod pose;
pub mod seen;
pub mod sheets;
pub mod weigh;

pub use lay::{Laid, LayError, Lying, lay, lay_part, printed};
pub use seen::Seen;
pub use weigh::{Candidate, Mark, Marked, Weighed};
