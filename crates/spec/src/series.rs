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
    /// The entries before which the diameters counted that it was read over; none where those of today do.
    pub until: Vec<Option<usize>>,
}

impl<'a> Series<'a> {
    /// Sorts a reading in among the others of its quantity: to those that were taken alike, over the same diameters.
    pub fn sort_in(all: &mut Vec<Self>, (entry, reading): (&'a Entry, &'a Reading), until: &[Option<usize>]) {
        let alike = |s: &&mut Self| {
            (s.reading.tool, s.reading.how, &s.reading.spot) == (reading.tool, reading.how, &reading.spot)
                && s.until == until
        };
        let values = reading.values.iter().map(|v| (*v, entry));
        match all.iter_mut().find(alike) {
            Some(series) => series.values.extend(values),
            None => all.push(Self { reading, values: values.collect(), until: until.to_vec() }),
        }
    }

    pub fn mean(&self) -> Length {
        self.values.iter().map(|(v, _)| *v).sum::<Length>() / self.values.len() as f64
    }

    /// The latest entry.
    pub fn last(&self) -> Option<&Entry> {
        self.values.last().map(|(_, entry)| *entry)
    }
}
