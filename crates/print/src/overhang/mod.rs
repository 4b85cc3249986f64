//! What of a part needs support when it is printed the way it lies.
//!
//! Areas are taken from the triangles themselves and are exact for the mesh. Only what a triangle
//! cannot know is sampled, on a raster of vertical columns: what lies below it, and whether a flat
//! underside ends on material at both ends and so spans freely. The samples of one face are shares
//! of its exact area, so the raster's error stays in the shares: in the volume where surface hangs
//! over the part itself, mostly well below 1 %, and in the border between what spans of a flat
//! underside and what does not, by up to a cell.
//!
//! Three things happen to a surface that leans further than a layer can hold itself:
//!
//! * a flat underside between two ends that are held is **bridged**, if it is short enough;
//! * within three layers of the bed nothing fits under it, and it **droops**;
//! * all else is held by **support**, which stands on the bed or on the part.

mod account;
mod bridges;
mod columns;
mod plates;
mod surface;
mod undersides;

#[cfg(test)]
mod tests;

use account::Account;
use columns::Columns;
use surface::Surface;
use undersides::Undersides;

/// Triangles of a closed mesh as it lies on the printer: z up, bed and lowest point at z = 0.
#[derive(Clone, Copy, Debug)]
pub struct Shape<'a> {
    /// Corners, mm.
    pub points: &'a [[f64; 3]],
    /// Corner indices, counter-clockwise seen from outside.
    pub triangles: &'a [[u32; 3]],
    /// For each triangle, the number of the face that it belongs to; 0 where the list is too short.
    pub faces: &'a [u32],
}

/// What a printer can do without support, and how finely to look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// The steepest slope that holds itself: its angle from the vertical, radians.
    pub overhang: f64,
    /// The longest flat underside that spans freely between two held ends, mm.
    pub bridge: f64,
    /// Height of a layer, mm.
    pub layer: f64,
    /// Side of a cell of the raster, mm; enlarged where the raster would exceed four million cells.
    pub cell: f64,
}

/// What of a part needs support, and what touches it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Supported {
    /// Surface that support must hold, mm² of the surface itself, not of its projection.
    pub area: f64,
    /// Space between that surface and what lies below it, the bed or the part, mm³.
    pub volume: f64,
    /// Flat undersides that span freely, mm².
    pub bridged: f64,
    /// Overhanging surface less than three layers above the bed, where no support fits, mm².
    pub drooping: f64,
    /// Surface that lies on the bed, mm².
    pub contact: f64,
    /// Height of the part above the bed, mm.
    pub height: f64,
    /// Face, how it is touched, and over what area of its surface, mm²; sorted, each pair once.
    pub touched: Vec<(u32, Touch, f64)>,
}

/// How a face is touched while the part is printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Touch {
    /// It lies on the bed.
    Bed,
    /// Support holds it from below.
    Support,
    /// Support stands on it.
    Standing,
    /// It hangs too near to the bed for support.
    Droop,
}

/// Nothing fits under what hangs by fewer layers than this.
const DROOP_LAYERS: f64 = 3.0;

/// Heights that differ by less are the same, mm.
const SAME_HEIGHT: f64 = 1e-6;

/// Finds what of a part needs support.
///
/// Triangles with a corner that is missing, not a number, or further than a kilometre from the
/// origin are left out. A limit that is not a number allows nothing to span and nothing to hang.
pub fn supports(shape: &Shape, limits: &Limits) -> Supported {
    let surface = Surface::new(shape, limits);
    let mut account = Account::new(&surface);
    if let Some(bounds) = surface.overhanging {
        let columns = Columns::new(shape, &surface, bounds, limits.cell);
        let mut undersides = Undersides::find(&columns, &surface);
        bridges::mark(&mut undersides.flats, &columns, shape, &surface, limits.bridge);
        account.count(&undersides, &columns);
        account.look_below_missed(shape, &columns, limits.bridge);
    }
    account.settle()
}
