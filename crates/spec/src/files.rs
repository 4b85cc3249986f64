//! What a family's files are called.

/// What is wanted.
pub const FAMILY_FILE: &str = "family.ron";
/// What was measured.
pub const READINGS_FILE: &str = "readings.ron";
