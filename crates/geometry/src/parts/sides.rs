//! Which way the sides of a rout face, and what lies where on them.

use bobbinwright_kernel::plane::{Point, Vector};
use bobbinwright_spec::{Handed, Length, Side};

use super::slanted::Slanted;

/// The direction in which a side of the rout faces, in plan.
pub fn outwards(side: Side, handed: Handed) -> Vector {
    match side {
        Side::Bass => Vector::new(-handed.treble(), 0.0),
        Side::Treble => Vector::new(handed.treble(), 0.0),
        Side::Neck => Vector::new(0.0, 1.0),
        Side::Bridge => Vector::new(0.0, -1.0),
    }
}

/// A place on a side of a rectangle round the origin, mm: from the side's middle towards treble on the long
/// sides, towards the neck on the ends.
pub fn on_side(side: Side, offset: Length, length: Length, width: Length, handed: Handed) -> Point {
    let out = outwards(side, handed);
    let middle = Point::new(out.x * length.as_mm() / 2.0, out.y * width.as_mm() / 2.0);
    match side {
        Side::Bass | Side::Treble => middle + Vector::new(0.0, offset.as_mm()),
        Side::Neck | Side::Bridge => middle + Vector::new(handed.x(offset), 0.0),
    }
}

/// The same on a body whose sides may be slanted, from the middle of its own side.
pub fn on_body(
    slanted: Option<&Slanted>,
    side: Side,
    offset: Length,
    size: [Length; 2],
    handed: Handed,
) -> Point {
    match slanted {
        Some(slanted) => slanted.on_side(side, offset, handed),
        None => on_side(side, offset, size[0], size[1], handed),
    }
}

/// From the middle of a body of this length and width to one of its sides.
pub(super) fn half(side: Side, [length, width]: [Length; 2]) -> Length {
    match side {
        Side::Treble | Side::Bass => length / 2.0,
        Side::Neck | Side::Bridge => width / 2.0,
    }
}
