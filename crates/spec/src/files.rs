//! What a family's files are called.

/// What is wanted.
pub const FAMILY_FILE: &str = "family.ron";
/// What was measured.
pub const READINGS_FILE: &str = "readings.ron";
/// What was made, of a family that has its readings from another one.
pub const MADE_FILE: &str = "made.ron";
