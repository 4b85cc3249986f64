//! What readings hang on that a family states.

use std::collections::{BTreeMap, BTreeSet};

use bobbinwright_elementary::Elementary;

use crate::angle::Angle;
use crate::quantity::Quantity;

/// What readings hang on besides what is read.
#[derive(Default)]
pub(crate) struct Over {
    /// How many there are.
    pub strings: usize,
    /// How far from square to them a position's row is stated to be.
    pub slants: BTreeMap<String, Angle>,
    /// Positions whose routs widen on purpose.
    pub widening: BTreeSet<String>,
}

impl Over {
    /// Is it of a rout that widens on purpose?
    pub fn widens(&self, of: &Quantity) -> bool {
        matches!(of, Quantity::At(position, _) if self.widening.contains(position))
    }

    /// Of the slant where a quantity is read.
    pub fn cosine(&self, of: &Quantity) -> f64 {
        let Quantity::At(position, _) = of else { return 1.0 };
        self.slants.get(position).map_or(1.0, |slant| slant.as_radians().cosine())
    }
}
