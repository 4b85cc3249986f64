//! What a layout is made of.

use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_spec::Length;

/// The tabs of cover and baseplate, all alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EarShape {
    /// How far it reaches beyond the body.
    pub length: Length,
    /// Its width.
    pub width: Length,
    /// Thickness on the cover.
    pub thickness: Length,
    /// Radius of the outer corners.
    pub corner_radius: Length,
    /// Radius between ear and body.
    pub blend: Length,
}

/// Material round a screw inside the hollow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Boss {
    /// Outer diameter.
    pub diameter: Length,
    /// Diameter of the head's seat.
    pub recess_diameter: Length,
    /// Depth of the head's seat.
    pub recess_depth: Length,
}

/// A block of air for the lead, in plan, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadBox {
    /// Lower left corner.
    pub min: Point,
    /// Upper right corner.
    pub max: Point,
}

impl LeadBox {
    /// Its border.
    pub fn contour(&self) -> Contour {
        Contour::rectangle(self.min, self.max)
    }

    /// The block that holds this one and another, given by its corners.
    pub(super) fn with(self, min: Point, max: Point) -> Self {
        let min = Point::new(self.min.x.min(min.x), self.min.y.min(min.y));
        Self { min, max: Point::new(self.max.x.max(max.x), self.max.y.max(max.y)) }
    }
}

/// The outline of a flatwork plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlateShape {
    /// Along the row of strings.
    pub length: Length,
    /// Across.
    pub width: Length,
    /// Of the corners.
    pub corner_radius: Length,
}

/// What was read is drawn to a caliper's hundredth, so that a reading elsewhere that only weighs it a little
/// otherwise does not draw all parts anew.
pub(super) fn hundredth(read: Length) -> Length {
    const STEPS: f64 = 100.0;
    Length::from_mm((read.as_mm() * STEPS).round() / STEPS)
}
