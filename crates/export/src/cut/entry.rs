//! What the manifest says of what is cut from sheet.

use serde::Serialize;

/// A part as it is cut from sheet: its files are where the middle of the cut runs.
#[derive(Clone, Debug, Serialize)]
pub struct CutEntry {
    /// Its files.
    pub files: CutFiles,
    /// The sheet's thickness.
    pub thickness_mm: f64,
    /// What the cut takes away, from side to side of it.
    pub kerf_mm: f64,
    /// Area of the plate.
    pub area_mm2: f64,
    /// How long all its cuts are together.
    pub length_mm: f64,
}

/// The files that a cutter follows.
#[derive(Clone, Debug, Serialize)]
pub struct CutFiles {
    /// Layers `cut` and `mark`.
    pub dxf: String,
    /// Groups of these names.
    pub svg: String,
}

/// A sheet with what is cut from it.
#[derive(Clone, Debug, Serialize)]
pub struct SheetEntry {
    /// Its files.
    pub files: CutFiles,
    /// Its thickness.
    pub thickness_mm: f64,
    /// Its length and width.
    pub size_mm: [f64; 2],
    /// What lies where.
    pub parts: Vec<OnSheetEntry>,
}

/// A plate on a sheet.
#[derive(Clone, Debug, Serialize)]
pub struct OnSheetEntry {
    /// `neck-flatwork-top`.
    pub id: String,
    /// Where its middle is, from the sheet's corner.
    pub middle_mm: [f64; 2],
    /// It is turned by a quarter, counter-clockwise.
    pub turned: bool,
}
