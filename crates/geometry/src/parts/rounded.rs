//! The corners of a body.

use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_spec::{Corners, Handed, Length, Position, sentence};

use super::fault::Fault;
use super::shapes::hundredth;
use super::slanted::{AROUND, Slanted};

/// The radii that the body's corners are to have: as they are wanted, or as the rout has them, less the play.
fn wanted(position: &Position) -> Corners<Length> {
    let cover = &position.wanted.cover;
    match cover.corner_radius {
        Some(radius) => Corners::of(|_| radius),
        None => {
            position.rout.corners.map(|radius| (hundredth(radius.value()) - cover.fit_gap).max(Length::ZERO))
        }
    }
}

/// The least of them.
pub(super) fn sharpest(position: &Position) -> Length {
    let corners = wanted(position);
    corners.iter().map(|(_, radius)| *radius).reduce(Length::min).unwrap_or_default()
}

/// The radii of the body's corners, where its sides have room for them.
pub(super) fn corners(position: &Position, [length, width]: [Length; 2]) -> Result<Corners<Length>, Fault> {
    let corners = wanted(position);
    // Slanted sides look for themselves whether they are long enough.
    if !position.rout.outline.is_square() {
        return Ok(corners);
    }
    if let Some(radius) = corners.alike() {
        if *radius > length.min(width) / 2.0 {
            let why = sentence!(
                "a corner radius can't be more than half the shorter side, {}",
                length.min(width) / 2.0
            );
            return Err(Fault::new("cover.corner_radius", why));
        }
        return Ok(corners);
    }
    let on = |a: [f64; 2], b: [f64; 2]| *corners.at(a) + *corners.at(b);
    let has_room =
        |sign: f64| on([sign, 1.0], [sign, -1.0]) <= width && on([1.0, sign], [-1.0, sign]) <= length;
    if [1.0, -1.0].into_iter().all(has_room) {
        return Ok(corners);
    }
    let why = "the rout's corners are so round that two of them meet on a side";
    Err(Fault::new("cover.corner_radius", why))
}

/// The body's outline.
pub(super) fn outline(
    handed: Handed,
    size: [Length; 2],
    slanted: Option<&Slanted>,
    corners: &Corners<Length>,
) -> Result<Contour, Fault> {
    let Some(slanted) = slanted else { return Ok(rounded_body(handed, size, corners)) };
    let why = "the outline's sides are too short for its corners, or cross each other";
    slanted.outline(corners, handed).ok_or_else(|| Fault::new("cover.corner_radius", why))
}

/// A rectangle round the middle with a radius in each corner, treble and neck positive.
pub fn rounded_body(handed: Handed, [length, width]: [Length; 2], corners: &Corners<Length>) -> Contour {
    let (length, width) = (length.as_mm(), width.as_mm());
    if let Some(radius) = corners.alike() {
        return Contour::rounded_rectangle(Point::origin(), length, width, radius.as_mm());
    }
    let treble = handed.treble();
    let of = |[x, y]: [f64; 2]| {
        (Point::new(x * length / 2.0, y * width / 2.0), corners.at([x * treble, y]).as_mm())
    };
    Contour::rounded_polygon(&AROUND.map(of))
}
