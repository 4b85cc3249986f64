//! Where a rout's sides are, as they face.

use bobbinwright_elementary::Elementary;

use crate::facing::Facing;
use crate::family::Rout;
use crate::wanted::Side;
use crate::{Estimate, Length};

impl Rout {
    /// Which way a side faces, as far as it is slanted on purpose.
    pub fn facing(&self, side: Side) -> Facing {
        Facing::of(side, if self.outline.slants(side) { self.slope(side) } else { 0.0 })
    }

    /// How far out a side is at a place along it, both as it faces: at the top edge, and at the floor where it is known to lean.
    pub fn edges(&self, side: Side, along: f64) -> Vec<Estimate> {
        let slope = if self.outline.slants(side) { self.slope(side) } else { 0.0 };
        if slope == 0.0 {
            return self.reaches(side, along);
        }
        let square = 1.0 / slope.hypotenuse(1.0);
        let of = match side {
            Side::Treble => &self.sides.treble,
            Side::Bass => &self.sides.bass,
            Side::Neck => &self.sides.neck,
            Side::Bridge => &self.sides.bridge,
        };
        // Where its line is that far along, as the rout has places.
        let at = (along - slope * of.line()[0] * square) * square;
        let rises = Estimate::exact(Length::from_mm(slope * at));
        self.reaches(side, at).into_iter().map(|reach| (reach - rises.clone()) * square).collect()
    }
}
