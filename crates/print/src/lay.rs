//! A family's parts as they are printed.

use bobbinwright_geometry::parts::{Part, PositionParts, Undrawable, bare_part, draw_part};
use bobbinwright_kernel::mesh::{Mesh, MeshError, mesh};
use bobbinwright_kernel::threads;
use bobbinwright_spec::{Family, Length, PartKind};

use crate::cost::{Cost, cost};
use crate::plates::{Place, TooLarge, plates};
use crate::pose::{extent, posed};
use crate::weigh::{Candidate, Weighed, weigh};

/// A part as it lies on the bed.
#[derive(Clone, Debug)]
pub struct Lying {
    /// Index of its position in the family.
    pub position: usize,
    /// Which part.
    pub kind: PartKind,
    /// Every way in which it can lie.
    pub weighed: Weighed,
    /// The way in which it does.
    pub chosen: Candidate,
    /// The builder chose it.
    pub by_builder: bool,
    /// Volume of the solid that is printed, made up for what the printer does, mm³.
    pub volume: f64,
    /// The same, upright in the part's own frame, as the nominal one.
    pub drawn: Part,
    /// Its triangles as it lies, the least corner at the origin.
    pub mesh: Mesh,
    /// What was added to them after they were turned, mm.
    pub shift: [f64; 3],
    /// What printing it takes.
    pub cost: Cost,
}

/// All printed parts, and the plates that they lie on.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Position by position.
    pub parts: Vec<Lying>,
    /// For each plate, what lies where.
    pub plates: Vec<Vec<Place>>,
}

/// Why a part can't be printed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LayError {
    /// What the printer does to it can't be made up for.
    #[error("{position}: {source}")]
    Undrawable {
        /// The position.
        position: String,
        /// Part and reason.
        source: Undrawable,
    },
    /// It is larger than the bed.
    #[error("{position} {}: lying on {side} it is {} long, {} wide and {} high; the bed is {}, {} and {}", part.name(), size[0], size[1], size[2], bed[0], bed[1], bed[2])]
    TooLarge {
        /// The position.
        position: String,
        /// The part.
        part: PartKind,
        /// What lies on the bed, in words.
        side: &'static str,
        /// Its size as it lies.
        size: [Length; 3],
        /// The bed's.
        bed: [Length; 3],
    },
    /// A solid could not be meshed.
    #[error("{position} {}: {source}", part.name())]
    Mesh {
        /// The position.
        position: String,
        /// The part.
        part: PartKind,
        /// Why.
        source: MeshError,
    },
}

/// The parts of a position that are printed; others are cut from sheet.
pub fn printed(built: &PositionParts) -> impl Iterator<Item = &Part> {
    built.parts.iter().filter(|part| built.layout.wanted.sheet(part.kind).is_none())
}

/// Weighs how each printed part can lie, draws it for the printer, and lays all of them on plates; triangles at
/// a chord tolerance in mm.
pub fn lay(family: &Family, built: &[PositionParts], chord: f64) -> Result<Laid, LayError> {
    let jobs: Vec<(usize, &Part)> =
        built.iter().enumerate().flat_map(|(i, p)| printed(p).map(move |part| (i, part))).collect();
    let parts = threads::map(&jobs, |(position, part)| lay_part(family, built, *position, part, chord));
    Laid::new(family, parts.into_iter().collect::<Result<_, _>>()?)
}

impl Laid {
    /// Lays parts, as they lie, on plates.
    pub fn new(family: &Family, parts: Vec<Lying>) -> Result<Self, LayError> {
        let sizes: Vec<[Length; 3]> = parts.iter().map(|p| extent(&p.mesh).map(Length::from_mm)).collect();
        let plates = plates(&sizes, &family.printer).map_err(|TooLarge { part, size }| {
            let lying = &parts[part];
            LayError::TooLarge {
                position: family.positions[lying.position].name.clone(),
                part: lying.kind,
                side: lying.chosen.lie.side.describe(),
                size,
                bed: family.printer.bed,
            }
        })?;
        Ok(Self { parts, plates })
    }
}

/// Weighs how one part can lie and draws it for the printer.
pub fn lay_part(
    family: &Family,
    built: &[PositionParts],
    position: usize,
    part: &Part,
    chord: f64,
) -> Result<Lying, LayError> {
    let (layout, printer) = (&built[position].layout, &family.printer);
    let name = || family.positions[position].name.clone();
    let no_mesh = |source| LayError::Mesh { position: name(), part: part.kind, source };
    let weighed = weigh(part, layout, printer).map_err(no_mesh)?;
    let stated = layout.wanted.on_bed.of(part.kind);
    let chosen = stated.map_or(weighed.best(), |side| weighed.with(side)).clone();
    let drawn = match printer.profile() {
        Some(profile) if chosen.lie.side.is_flat() => {
            draw_part(layout, part.kind, chosen.lie, profile, printer.layer)
                .map_err(|source| LayError::Undrawable { position: name(), source })?
        }
        _ => bare_part(layout, part.kind)
            .map_err(|source| LayError::Undrawable { position: name(), source })?,
    };
    let (mesh, shift) = posed(&mesh(&drawn.solid, chord).map_err(no_mesh)?, chosen.lie, layout.handed);
    let volume = drawn.solid.volume;
    Ok(Lying {
        position,
        kind: part.kind,
        cost: cost(part.solid.volume, chosen.support_volume, chosen.layers, printer),
        weighed,
        chosen,
        by_builder: stated.is_some(),
        volume,
        drawn,
        mesh,
        shift: shift.into(),
    })
}
