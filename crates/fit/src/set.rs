//! Which version of each part is held against the instrument.

use bobbinwright_geometry::parts::{Layout, Part, PartKind, PositionParts};

/// The parts of a position: those that were built from today's readings and wishes, or for some of them an
/// earlier version that is kept.
#[derive(Clone, Copy)]
pub(crate) struct PartSet<'a> {
    built: &'a PositionParts,
    earlier: &'a PositionParts,
    /// In the order of [`PartKind::ALL`].
    kept: [bool; 4],
}

impl<'a> PartSet<'a> {
    /// All parts as they were built.
    pub fn new(built: &'a PositionParts) -> Self {
        Self { built, earlier: built, kept: [false; 4] }
    }

    /// Some parts, in the order of [`PartKind::ALL`], of an earlier build.
    pub fn with_kept(built: &'a PositionParts, earlier: &'a PositionParts, kept: [bool; 4]) -> Self {
        Self { built, earlier, kept }
    }

    /// Is this part of the earlier build?
    pub fn is_kept(&self, kind: PartKind) -> bool {
        PartKind::ALL.iter().zip(self.kept).any(|(k, kept)| *k == kind && kept)
    }

    /// Are parts of two builds together?
    pub fn is_mixed(&self) -> bool {
        self.kept.contains(&true)
    }

    fn of(&self, kind: PartKind) -> &'a PositionParts {
        if self.is_kept(kind) { self.earlier } else { self.built }
    }

    /// The sizes that a part was made from.
    pub fn layout(&self, kind: PartKind) -> &'a Layout {
        &self.of(kind).layout
    }

    /// A part; none where nothing was built.
    pub fn part(&self, kind: PartKind) -> Option<&'a Part> {
        self.of(kind).parts.iter().find(|p| p.kind == kind)
    }
}
