//! Which version of each part is held against the instrument.

use std::borrow::Cow;

use bobbinwright_geometry::parts::{Layout, Part, PartKind, PositionParts};

/// Of a position's parts those that were printed otherwise than they would be now, each as its own build has it; in the
/// order of [`PartKind::ALL`].
pub type Printed<'a> = [Option<&'a PositionParts>; 4];

/// The parts of a position: those that were built from today's readings and wishes, or for some of them an
/// earlier version that is kept.
#[derive(Clone, Copy)]
pub(crate) struct PartSet<'a> {
    built: &'a PositionParts,
    kept: Printed<'a>,
}

impl<'a> PartSet<'a> {
    /// All parts as they were built.
    pub fn new(built: &'a PositionParts) -> Self {
        Self { built, kept: [None; 4] }
    }

    /// Some parts of earlier builds.
    pub fn with_printed(built: &'a PositionParts, kept: Printed<'a>) -> Self {
        Self { built, kept }
    }

    fn kept(&self, kind: PartKind) -> Option<&'a PositionParts> {
        PartKind::ALL.iter().zip(self.kept).find(|(k, _)| **k == kind).and_then(|(_, kept)| kept)
    }

    /// Is this part of an earlier build?
    pub fn is_kept(&self, kind: PartKind) -> bool {
        self.kept(kind).is_some()
    }

    /// Are parts of several builds together?
    pub fn is_mixed(&self) -> bool {
        self.kept.iter().any(Option::is_some)
    }

    fn of(&self, kind: PartKind) -> &'a PositionParts {
        self.kept(kind).unwrap_or(self.built)
    }

    /// The sizes that a part was made from.
    pub fn layout(&self, kind: PartKind) -> &'a Layout {
        &self.of(kind).layout
    }

    /// A part as it comes off a printer that makes no error.
    pub fn bare(&self, kind: PartKind) -> Option<Cow<'a, Part>> {
        self.of(kind).bare(kind)
    }

    /// A part; none where nothing was built.
    pub fn part(&self, kind: PartKind) -> Option<&'a Part> {
        self.of(kind).parts.iter().find(|p| p.kind == kind)
    }
}
