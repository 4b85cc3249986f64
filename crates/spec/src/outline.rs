//! What a rout was routed as.

/// What a rout was routed as on purpose, so that it is no error of the hand; how it came out is read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Outline {
    /// Ends and sides square to each other.
    #[default]
    Rectangle,
    /// Ends that lean alike.
    Parallelogram,
    /// Four straight sides, none of which need be parallel to another.
    Trapezoid,
}

impl Outline {
    /// The words used in files.
    pub(crate) const ALL: [(&'static str, Outline); 3] = [
        ("rectangle", Outline::Rectangle),
        ("parallelogram", Outline::Parallelogram),
        ("trapezoid", Outline::Trapezoid),
    ];

    /// The word used in files.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(_, outline)| *outline == self).map_or("", |(name, _)| name)
    }

    /// By its word.
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.iter().find(|(name, _)| *name == word).map(|(_, outline)| *outline)
    }

    /// Are its ends meant to be square to its sides?
    pub fn is_square(self) -> bool {
        self == Outline::Rectangle
    }

    /// Are sides that face each other meant to be parallel?
    pub fn is_parallel(self) -> bool {
        self != Outline::Trapezoid
    }
}

/// What the cover of a rout that is no rectangle is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CoverOutline {
    /// As the rout is, with the play off all round.
    #[default]
    AsRouted,
    /// The largest rectangle along the row that goes in.
    Rectangle,
}

impl CoverOutline {
    /// The words used in files.
    pub(crate) const ALL: [(&'static str, CoverOutline); 2] =
        [("as_routed", CoverOutline::AsRouted), ("rectangle", CoverOutline::Rectangle)];

    /// The word used in files.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(_, outline)| *outline == self).map_or("", |(name, _)| name)
    }
}
