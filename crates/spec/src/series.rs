//! Readings that belong together.

use jiff::civil::Date;

use crate::Length;
use crate::log::{Entry, Reading};
use crate::problem::Span;

/// How often something was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken {
    /// How many readings count.
    pub readings: usize,
    /// The day of the last one.
    pub last: Date,
    /// Where the last one stands.
    pub span: Span,
    /// The number of its entry.
    pub entry: usize,
    /// The tool it was taken with: its entry's index in the log.
    pub tool: usize,
}

/// Readings of one quantity taken alike.
#[derive(Clone)]
pub(crate) struct Series<'a> {
    /// The first of them, for what they share.
    pub reading: &'a Reading,
    /// Every figure with the entry it stands in.
    pub values: Vec<(Length, &'a Entry)>,
}

impl Series<'_> {
    pub fn mean(&self) -> Length {
        self.values.iter().map(|(v, _)| *v).sum::<Length>() / self.values.len() as f64
    }

    /// The latest entry.
    pub fn last(&self) -> Option<&Entry> {
        self.values.last().map(|(_, entry)| *entry)
    }
}
