//! The ways in which a part can lie on the bed, and which of them is best.

use bobbinwright_geometry::parts::{Layout, Lie, Part};
use bobbinwright_kernel::mesh::{Mesh, MeshError, mesh};
use bobbinwright_spec::{BedSide, Handed, Length, Printer};

use crate::overhang::{Limits, Shape, Supported, Touch, supports};
use crate::plates::fits;
use crate::pose::{extent, posed};
use crate::seen::{Seen, seen};

/// Chord tolerance of the meshes that are weighed, mm. The facet of a round surface that the steepest slope
/// falls on counts whole or not at all: on small roundings and holes some per cent of the overhang.
const CHORD: f64 = 0.01;

/// Cells in which overhangs are looked at, mm: a printed line's width.
const CELL: f64 = 0.4;

/// A way in which a part can lie.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// The side on the bed.
    pub lie: Lie,
    /// Length, width and height as it lies.
    pub size: [Length; 3],
    /// Layers that it takes.
    pub layers: usize,
    /// Surface that needs support, mm².
    pub support_area: f64,
    /// Room that support takes, mm³.
    pub support_volume: f64,
    /// Flat undersides that span freely, mm².
    pub bridged: f64,
    /// Overhanging surface so near to the bed that no support gets under it, mm².
    pub drooping: f64,
    /// Surface on the bed, mm².
    pub contact: f64,
    /// What is seen of the installed part and gets marked here, largest first.
    pub marks: Vec<Mark>,
    /// It fits the bed.
    pub fits: bool,
}

/// A seen face that the print leaves a mark on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mark {
    /// Which.
    pub seen: Seen,
    /// What marks it.
    pub by: Marked,
    /// How much of it, mm².
    pub area: f64,
}

/// What marks a face.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Marked {
    /// Support, under it or standing on it.
    Support,
    /// Nothing holds it: it droops a little.
    Droop,
    /// The bed's texture.
    Bed,
}

impl Marked {
    /// In a word.
    pub fn name(self) -> &'static str {
        match self {
            Marked::Support => "support",
            Marked::Droop => "droop",
            Marked::Bed => "bed",
        }
    }
}

/// All ways in which a part can lie.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// The best first.
    pub candidates: Vec<Candidate>,
}

impl Weighed {
    /// The best of them.
    pub fn best(&self) -> &Candidate {
        // Made from all six sides, so there is a first.
        &self.candidates[0]
    }

    /// The one with a side on the bed.
    pub fn with(&self, side: BedSide) -> &Candidate {
        self.candidates.iter().find(|c| c.lie.side == side).unwrap_or(self.best())
    }
}

/// Weighs all six sides. A part is turned by a quarter only where it fits the bed no other way.
pub fn weigh(part: &Part, layout: &Layout, printer: &Printer) -> Result<Weighed, MeshError> {
    let mesh = mesh(&part.solid, CHORD)?;
    let faces = seen(part, layout);
    let mut candidates: Vec<Candidate> = BedSide::ALL
        .iter()
        .map(|(_, side)| candidate(&mesh, &faces, *side, layout.handed, printer))
        .collect();
    candidates.sort_by(|a, b| rank(a).partial_cmp(&rank(b)).unwrap_or(std::cmp::Ordering::Equal));
    Ok(Weighed { candidates })
}

/// What counts, the most important first: that it fits the bed and stands on it; seen faces without
/// scars of support; little support (half a cubic centimetre is nothing to speak of); seen edges that
/// do not droop; few layers.
fn rank(c: &Candidate) -> [f64; 6] {
    const LITTLE: f64 = 500.0;
    let seen = |by: Marked| c.marks.iter().filter(|m| m.by == by).map(|m| m.area).sum::<f64>();
    [
        f64::from(u8::from(!c.fits)),
        f64::from(u8::from(!c.stands())),
        seen(Marked::Support).round(),
        (c.support_volume / LITTLE).floor(),
        seen(Marked::Droop).round(),
        c.layers as f64,
    ]
}

impl Candidate {
    /// Enough of it touches the bed, for its height, that it does not come off (common practice).
    pub fn stands(&self) -> bool {
        self.contact.sqrt() * 4.0 >= self.size[2].as_mm()
    }
}

fn candidate(
    mesh: &Mesh,
    faces: &[Option<Seen>],
    side: BedSide,
    handed: Handed,
    printer: &Printer,
) -> Candidate {
    let straight = Lie { side, turned: false };
    let (mut lying, _) = posed(mesh, straight, handed);
    let mut lie = straight;
    let size = |m: &Mesh| extent(m).map(Length::from_mm);
    if !fits(size(&lying), printer) {
        let turned = Lie { side, turned: true };
        let (other, _) = posed(mesh, turned, handed);
        if fits(size(&other), printer) {
            (lying, lie) = (other, turned);
        }
    }
    let points: Vec<[f64; 3]> = lying.points.iter().map(|p| p.coords.into()).collect();
    let shape = Shape { points: &points, triangles: &lying.triangles, faces: &lying.faces };
    let limits = Limits {
        overhang: printer.overhang.as_radians(),
        bridge: printer.bridge.as_mm(),
        layer: printer.layer.as_mm(),
        cell: CELL,
    };
    let found = supports(&shape, &limits);
    let size = size(&lying);
    Candidate {
        lie,
        size,
        layers: (size[2].as_mm() / limits.layer - 1e-6).ceil() as usize,
        support_area: found.area,
        support_volume: found.volume,
        bridged: found.bridged,
        drooping: found.drooping,
        contact: found.contact,
        marks: marks(&found, faces),
        fits: fits(size, printer),
    }
}

fn marks(found: &Supported, faces: &[Option<Seen>]) -> Vec<Mark> {
    /// Less of a mark than this is not seen, mm².
    const LEAST: f64 = 1.0;
    let mut all: Vec<Mark> = Vec::new();
    for (face, touch, area) in &found.touched {
        let Some(Some(seen)) = faces.get(*face as usize) else { continue };
        let by = match touch {
            Touch::Bed => Marked::Bed,
            Touch::Support | Touch::Standing => Marked::Support,
            Touch::Droop => Marked::Droop,
        };
        match all.iter_mut().find(|m| m.seen == *seen && m.by == by) {
            Some(mark) => mark.area += area,
            None => all.push(Mark { seen: *seen, by, area: *area }),
        }
    }
    all.retain(|m| m.area >= LEAST);
    all.sort_by(|a, b| b.area.total_cmp(&a.area));
    all
}
