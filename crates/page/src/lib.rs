//! The bench page.
