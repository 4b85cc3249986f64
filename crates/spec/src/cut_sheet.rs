//! Sheet that flatwork is cut from, of vulcanised fibre or the like, and what its cutter does.

use crate::{Length, PartKind, Survey};

/// A sheet, and how it is cut. As thick as each plate is wanted: two thicknesses are two sheets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CutSheet {
    /// Its length.
    pub length: Length,
    /// Its width.
    pub width: Length,
    /// What the cut takes away, from side to side of it.
    pub kerf: Length,
    /// How far a cut size may be off, either way.
    pub tolerance: Length,
    /// How far the sheet may be off its thickness, either way.
    pub thickness_tolerance: Length,
    /// Smallest hole.
    pub least_hole: Length,
    /// Least material between two cuts.
    pub least_web: Length,
    /// Between two plates, and to the sheet's edge.
    pub spacing: Length,
}

impl Survey {
    /// A position's part is cut from sheet, and not printed.
    pub fn is_cut(&self, position: &str, part: PartKind) -> bool {
        self.wanted(position).is_some_and(|wanted| wanted.sheet(part).is_some())
    }
}

/// As a family's file begins with one. A kerf of 0.15 mm, sizes within 0.08 mm and holes from 0.5 mm are what a laser does
/// with thin sheet, webs from 0.8 mm what fibre stands; sheets are sold within a tenth of a millimetre or so of their
/// thickness (common practice, from memory: whoever cuts knows it better).
pub(crate) const USUAL: &str = "(length: mm(200), width: mm(100), kerf: mm(0.15), tolerance: mm(0.08), thickness_tolerance: mm(0.12), least_hole: mm(0.5), least_web: mm(0.8), spacing: mm(3))";
