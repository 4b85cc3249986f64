//! `manifest.json`: what was built from what, for other programs and for the next build.

use std::collections::BTreeMap;

use bobbinwright_fit::{Check, in_words};
use bobbinwright_spec::Family;
use bobbinwright_spec::edit::Scope;
use serde::Serialize;
use serde_json::Value;

use crate::cut::entry::{CutEntry, SheetEntry};
use bobbinwright_core::Prepared;
use bobbinwright_core::advice::{Proposal, is_wanted, proposals};
use bobbinwright_core::want::Wanting;
use bobbinwright_install::HashedFile;

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
    /// Which family it is, whatever its folder is called; where it has an identity already.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub identity: Option<String>,
    /// The family's title.
    pub title: String,
    /// The way from the build's folder to the family's, where the build has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub family_folder: Option<String>,
    /// How many entries the log had: what is read of printed parts later may be of these.
    pub log_entries: usize,
    /// The day as of which its log was read, when not as it stood.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub as_of: Option<String>,
    /// The files it was made from: the family's own two, those of families that it is like, its printer's.
    pub inputs: Vec<InputEntry>,
    /// No triangle of a mesh is further than this from its surface, mm.
    pub chord_tolerance_mm: f64,
    /// The assembly's STEP file.
    pub assembly: String,
    /// Every part.
    pub parts: Vec<PartEntry>,
    /// What the printer does to sizes, and the STL and 3MF files make up for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub profile: Option<ProfileEntry>,
    /// The plates that the parts are laid on, in the order of their files.
    pub plates: Vec<PlateEntry>,
    /// The sheets that flatwork is cut from, in the order of their files.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sheets: Vec<SheetEntry>,
    /// Every check.
    pub checks: Vec<CheckEntry>,
    /// SHA-256 of every other file of the build, by name.
    pub outputs: Vec<HashedFile>,
}

/// A file that a build was made from.
#[derive(Clone, Debug, Serialize)]
pub struct InputEntry {
    /// Its name with its folder's.
    pub file: String,
    /// SHA-256 of its text.
    pub sha256: String,
    /// Its text, so that what was built can be compared with what is wanted later.
    pub text: String,
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
    /// Where bass is: at -x in parts for the right hand, at +x in those for the left.
    pub handed: &'static str,
    /// Its files.
    pub files: PartFiles,
    /// Volume of the exact solid.
    pub volume_mm3: f64,
    /// Surface of the exact solid.
    pub area_mm2: f64,
    /// Box round the exact solid.
    pub bounds_mm: Bounds,
    /// The part as it is printed; not where it is cut from sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub printed: Option<PrintedEntry>,
    /// The part as it is cut from sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cut: Option<CutEntry>,
    /// Through holes.
    pub genus: usize,
    /// Where its frame's origin lies in the assembly.
    pub place_mm: [f64; 3],
    /// Its sizes, see [`crate::dimensions`].
    pub dimensions: Value,
}

/// A printer's profile; see `bobbinwright_spec::printer::profile` for the formulas.
#[derive(Clone, Debug, Serialize)]
pub struct ProfileEntry {
    /// The printer's folder.
    pub printer: String,
    /// Where it comes from: `usual for PLA`, or `18 sizes read`.
    pub source: String,
    /// What is added to 100 mm along x, y and z.
    pub stretch_mm: [LengthEntry; 3],
    /// How far a wall stands out.
    pub growth_mm: LengthEntry,
    /// What every hole lacks.
    pub hole_far_mm: LengthEntry,
    /// What a hole of 3 mm lacks besides.
    pub hole_near_mm: LengthEntry,
    /// How much further the first layer spreads.
    pub foot_mm: LengthEntry,
    /// What is added to heights over the bed.
    pub lift_mm: LengthEntry,
    /// By how much one print differs from another.
    pub scatter_mm: f64,
    /// Height of a layer.
    pub layer_mm: f64,
}

/// A length with its doubt.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct LengthEntry {
    /// Its value.
    pub value: f64,
    /// Its standard uncertainty.
    pub uncertainty: f64,
}

/// A part as it is printed, which the STL and 3MF files hold.
#[derive(Clone, Debug, Serialize)]
pub struct PrintedEntry {
    /// The side on the bed.
    pub on_bed: &'static str,
    /// The builder chose it.
    pub chosen_by_builder: bool,
    /// Sizes are made up for what the printer does, by this profile; nominal without one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub profile: Option<String>,
    /// From the part's own frame to the file's: rotation, row by row.
    pub rotation: [[f64; 3]; 3],
    /// Then this is added.
    pub shift_mm: [f64; 3],
    /// For each size that can be measured on it, what was drawn, as a printer's log calls it.
    pub drawn: BTreeMap<String, String>,
    /// Volume of the solid that is printed.
    pub volume_mm3: f64,
    /// Triangles in the files.
    pub triangles: usize,
    /// What it takes.
    pub cost: CostEntry,
    /// Every way in which it could lie, the best first.
    pub candidates: Vec<CandidateEntry>,
}

/// What a print takes.
#[derive(Clone, Debug, Serialize)]
pub struct CostEntry {
    /// Mass, printed solid, without support.
    pub mass_g: f64,
    /// Filament of 1.75 mm for it.
    pub filament_m: f64,
    /// Time from fast to slow, support included.
    pub minutes: [f64; 2],
    /// The same in words, in steps that do not pretend to know more.
    pub time: String,
}

/// A way in which a part can lie.
#[derive(Clone, Debug, Serialize)]
pub struct CandidateEntry {
    /// The side on the bed.
    pub on_bed: &'static str,
    /// It fits the bed.
    pub fits: bool,
    /// Height.
    pub height_mm: f64,
    /// Layers.
    pub layers: usize,
    /// Surface that needs support.
    pub support_area_mm2: f64,
    /// Room that support takes.
    pub support_volume_mm3: f64,
    /// Flat undersides that span freely.
    pub bridged_mm2: f64,
    /// Overhangs too near to the bed for support.
    pub drooping_mm2: f64,
    /// Surface on the bed.
    pub contact_mm2: f64,
    /// Seen faces that are marked.
    pub marks: Vec<MarkEntry>,
}

/// A seen face that gets marked.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct MarkEntry {
    /// Which.
    pub face: &'static str,
    /// By what.
    pub by: &'static str,
    /// How much of it.
    pub area_mm2: f64,
}

/// A plate.
#[derive(Clone, Debug, Serialize)]
pub struct PlateEntry {
    /// Its file.
    pub file: String,
    /// What lies where.
    pub parts: Vec<PlacedEntry>,
    /// Least distance between two parts' boxes that was asked for.
    pub spacing_mm: f64,
    /// The bed.
    pub bed_mm: [f64; 3],
    /// What all of them take.
    pub cost: CostEntry,
}

/// A part on a plate.
#[derive(Clone, Debug, Serialize)]
pub struct PlacedEntry {
    /// `neck-cover`.
    pub id: String,
    /// Where its file's origin lies on the bed.
    pub at_mm: [f64; 2],
}

/// The files of a part.
#[derive(Clone, Debug, Serialize)]
pub struct PartFiles {
    /// Mesh, as it is printed; not where it is cut from sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stl: Option<String>,
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
    /// That of the place that is least likely to fit by itself, as if there were no other.
    pub alone: f64,
    /// `fits`, `clashes` or `too close to call`.
    pub verdict: String,
    /// What to change; only where it does not fit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub advice: Option<String>,
    /// What was found to help, the best first: `bobbinwright want FAMILY --proposal NAME` takes one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub proposals: Vec<ProposalEntry>,
    /// Path of the dimension that decides it most.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parameter: Option<&'static str>,
    /// The reading that most of the doubt comes from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub main_doubt: Option<DoubtEntry>,
    /// What it takes for granted that nobody measured.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub assumed: Vec<String>,
    /// What the margin was worked out from.
    pub figures: Vec<FigureEntry>,
}

/// Changes with which a check fits.
#[derive(Clone, Debug, Serialize)]
pub struct ProposalEntry {
    /// By which it is taken: `bridge-cover-in-rout-1`.
    pub name: String,
    /// In words.
    pub words: String,
    /// What to change, all of it together; nothing where a piece has to be bought.
    pub changes: Vec<ChangeEntry>,
    /// The piece to buy, as readings of it are called.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub buy: Option<String>,
    /// Checks that are worse with it.
    pub spoils: Vec<SpoiltEntry>,
}

/// A value of family.ron.
#[derive(Clone, Debug, Serialize)]
pub struct ChangeEntry {
    /// Its path.
    pub path: String,
    /// As it is typed.
    pub value: String,
    /// The position that it is for alone, where its line speaks for others too.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub only: Option<String>,
}

/// A check that a proposal makes worse.
#[derive(Clone, Debug, Serialize)]
pub struct SpoiltEntry {
    /// The position it concerns.
    pub position: String,
    /// Its fixed name.
    pub name: String,
    /// How it stands then.
    pub verdict: &'static str,
}

impl ChangeEntry {
    fn of(wanting: Wanting) -> Self {
        let only = match wanting.scope {
            Scope::Only(position) => Some(position),
            Scope::WhereItStands(_) | Scope::All => None,
        };
        Self { path: wanting.path, value: wanting.value, only }
    }
}

impl ProposalEntry {
    fn of(proposal: &Proposal, family: &Family) -> Self {
        let changes = proposal.wanting(family).into_iter();
        let spoils = proposal.way.turned.iter().map(|turned| SpoiltEntry {
            position: turned.position.clone(),
            name: turned.kind.name().to_owned(),
            verdict: turned.verdict.word(),
        });
        Self {
            name: proposal.name.clone(),
            words: proposal.way.words(family.unit()),
            changes: changes.map(ChangeEntry::of).collect(),
            buy: proposal.way.bought().map(|piece| piece.to_string()),
            spoils: spoils.collect(),
        }
    }
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
    pub fn of(prepared: &Prepared, check: &Check) -> Self {
        let figures = check.figures.iter().map(|f| FigureEntry {
            label: f.label.clone(),
            value_mm: f.value.as_mm(),
            uncertainty_mm: f.uncertainty.as_mm(),
        });
        Self {
            position: check.position.clone(),
            name: check.kind.name().to_owned(),
            title: check.title.clone(),
            margin_mm: check.margin.value().as_mm(),
            uncertainty_mm: check.margin.uncertainty().as_mm(),
            probability: check.probability,
            alone: prepared.fit.alone(check),
            verdict: check.verdict.word().to_owned(),
            advice: is_wanted(prepared, check).then(|| bobbinwright_core::what_to_do(prepared, check)),
            proposals: if is_wanted(prepared, check) {
                let entry = |proposal: &Proposal| ProposalEntry::of(proposal, &prepared.family);
                proposals(prepared, check).iter().map(entry).collect()
            } else {
                Vec::new()
            },
            parameter: check.parameter(),
            main_doubt: check
                .doubt
                .as_ref()
                .map(|(quantity, share)| DoubtEntry { quantity: quantity.to_string(), share: *share }),
            assumed: in_words(&check.assumed),
            figures: figures.collect(),
        }
    }
}

/// A file's name with its folder's: `quay/readings.ron`.
pub(crate) fn short_name(path: &str) -> String {
    let parts: Vec<&str> = path.split(['/', '\\']).filter(|p| !matches!(*p, "" | "." | "..")).collect();
    parts[parts.len().saturating_sub(2)..].join("/")
}
