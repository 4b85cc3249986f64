//! `manifest.json`: what was built from what, for other programs and for the next build.

use bobbinwright_fit::{Check, Verdict};
use serde::Serialize;
use serde_json::Value;

use crate::hash::HashedFile;

/// Version of the manifest's form; raised when a reader of the old form would go wrong.
pub const FORMAT: u32 = 1;

/// The file's name.
pub const FILE: &str = "manifest.json";

/// The whole manifest.
#[derive(Clone, Debug, Serialize)]
pub struct Manifest {
    /// [`FORMAT`].
    pub format: u32,
    /// What made it.
    pub program: Program,
    /// The family's folder name.
    pub family: String,
    /// The family's title.
    pub title: String,
    /// The files it was made from.
    pub inputs: Vec<HashedFile>,
    /// No triangle of a mesh is further than this from its surface, mm.
    pub chord_tolerance_mm: f64,
    /// The assembly's STEP file.
    pub assembly: String,
    /// Every part.
    pub parts: Vec<PartEntry>,
    /// Every check.
    pub checks: Vec<CheckEntry>,
    /// SHA-256 of every other file of the build, by name.
    pub outputs: Vec<HashedFile>,
}

/// A program and its version.
#[derive(Clone, Debug, Serialize)]
pub struct Program {
    /// `bobbinwright`.
    pub name: String,
    /// Its version.
    pub version: String,
}

impl Program {
    /// This program.
    pub fn this() -> Self {
        Self { name: "bobbinwright".into(), version: env!("CARGO_PKG_VERSION").into() }
    }
}

/// One part.
#[derive(Clone, Debug, Serialize)]
pub struct PartEntry {
    /// `neck-cover`.
    pub id: String,
    /// `neck`.
    pub position: String,
    /// `cover`.
    pub part: String,
    /// Its files.
    pub files: PartFiles,
    /// Volume of the exact solid.
    pub volume_mm3: f64,
    /// Surface of the exact solid.
    pub area_mm2: f64,
    /// Box round the exact solid.
    pub bounds_mm: Bounds,
    /// Triangles in the STL file.
    pub triangles: usize,
    /// Through holes.
    pub genus: usize,
    /// Where its frame's origin lies in the assembly.
    pub place_mm: [f64; 3],
    /// Its sizes, see [`crate::dimensions`].
    pub dimensions: Value,
}

/// The files of a part.
#[derive(Clone, Debug, Serialize)]
pub struct PartFiles {
    /// Mesh.
    pub stl: String,
    /// Exact solid.
    pub step: String,
}

/// A box.
#[derive(Clone, Debug, Serialize)]
pub struct Bounds {
    /// Smallest x, y, z.
    pub min: [f64; 3],
    /// Largest x, y, z.
    pub max: [f64; 3],
}

/// One check.
#[derive(Clone, Debug, Serialize)]
pub struct CheckEntry {
    /// The position it concerns.
    pub position: String,
    /// Its fixed name.
    pub name: String,
    /// In words.
    pub title: String,
    /// What is to spare.
    pub margin_mm: f64,
    /// Standard uncertainty of the margin.
    pub uncertainty_mm: f64,
    /// Probability of fitting.
    pub probability: f64,
    /// `fits`, `clashes` or `too close to call`.
    pub verdict: String,
    /// What to change; only where it does not fit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub advice: Option<String>,
    /// Path of the dimension that decides it most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parameter: Option<&'static str>,
    /// The reading that most of the doubt comes from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub main_doubt: Option<DoubtEntry>,
    /// What the margin was worked out from.
    pub figures: Vec<FigureEntry>,
}

/// A reading's part in a doubt.
#[derive(Clone, Debug, Serialize)]
pub struct DoubtEntry {
    /// Its quantity.
    pub quantity: String,
    /// Its share of the variance, 0 to 1.
    pub share: f64,
}

/// A length that went into a check.
#[derive(Clone, Debug, Serialize)]
pub struct FigureEntry {
    /// What it is.
    pub label: String,
    /// Its value.
    pub value_mm: f64,
    /// Its standard uncertainty.
    pub uncertainty_mm: f64,
}

impl CheckEntry {
    /// A check for the manifest and for `--json`.
    pub fn of(check: &Check) -> Self {
        let figures = check.figures.iter().map(|f| FigureEntry {
            label: f.label.clone(),
            value_mm: f.value.as_mm(),
            uncertainty_mm: f.uncertainty.as_mm(),
        });
        Self {
            position: check.position.clone(),
            name: check.name.to_owned(),
            title: check.title.clone(),
            margin_mm: check.margin.value().as_mm(),
            uncertainty_mm: check.margin.uncertainty().as_mm(),
            probability: check.probability,
            verdict: check.verdict.word().to_owned(),
            advice: (check.verdict != Verdict::Fits).then(|| check.what_to_do()),
            parameter: check.parameter,
            main_doubt: check
                .doubt
                .as_ref()
                .map(|(quantity, share)| DoubtEntry { quantity: quantity.to_string(), share: *share }),
            figures: figures.collect(),
        }
    }
}
