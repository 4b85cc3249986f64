//! What is wrong with what somebody says of a reading, as facts: how that is said hangs on where it was typed.

use crate::quantity::Quantity;

/// Why there is no entry of what was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotSaid {
    /// The figures have more than one unit.
    Units,
    /// A figure from a packet without its tolerance, or a tolerance of something else.
    Tolerance,
    /// No quantity has that name.
    Unknown {
        /// The name.
        name: String,
        /// Why, with what may have been meant.
        why: String,
    },
    /// A distance between things, and not which of their edges the caliper touched; see [`crate::ways`].
    HowMissing(Quantity),
    /// A way in which this distance is not read.
    HowWrong(String, Quantity),
    /// The entry was withdrawn already.
    Withdrawn {
        /// The entry.
        entry: usize,
        /// The one by which it was withdrawn.
        by: usize,
    },
    /// The entry is of a thing that another family made.
    OfAnother {
        /// The entry.
        entry: usize,
        /// That family's log.
        log: String,
    },
}
