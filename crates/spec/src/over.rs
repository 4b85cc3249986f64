//! What readings of strings hang on, besides the strings.

use std::collections::BTreeMap;

use bobbinwright_elementary::Elementary;

use crate::angle::Angle;
use crate::quantity::Quantity;

/// What readings over strings hang on.
#[derive(Default)]
pub(crate) struct Over {
    /// How many there are.
    pub strings: usize,
    /// How far from square to them a position's row is stated to be.
    pub slants: BTreeMap<String, Angle>,
}

impl Over {
    /// Of the slant where a quantity is read.
    pub fn cosine(&self, of: &Quantity) -> f64 {
        let Quantity::At(position, _) = of else { return 1.0 };
        self.slants.get(position).map_or(1.0, |slant| slant.as_radians().cosine())
    }
}
