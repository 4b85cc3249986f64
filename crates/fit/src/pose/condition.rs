//! What must hold for the place of a part.

use bobbinwright_spec::Estimate;

use crate::kind::Where;

/// Something that must hold for the place of a part.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Condition {
    /// A point of the part, mm from the middle, must not go further than so far in a direction.
    Side { point: [f64; 2], towards: [f64; 2], room: Estimate },
    /// A point of the part, mm from the middle, must stay within so far of a place; it is `off` that place as long as
    /// the part is not moved. In a corner only one quarter of the directions counts.
    Round { point: [f64; 2], off: [Estimate; 2], room: Estimate, corner: Option<[f64; 2]> },
}

impl Condition {
    /// A margin that is the same wherever the part lies.
    pub fn fixed(margin: Estimate) -> Self {
        Condition::Side { point: [0.0; 2], towards: [0.0; 2], room: margin }
    }

    pub fn is_fixed(&self) -> bool {
        matches!(self, Condition::Side { towards: [0.0, 0.0], .. })
    }

    /// How many estimates it has.
    pub fn inputs(&self) -> usize {
        match self {
            Condition::Side { .. } => 1,
            Condition::Round { .. } => 3,
        }
    }

    /// What is left of it as long as the part is not moved, mm.
    pub fn left(&self) -> f64 {
        match self {
            Condition::Side { room, .. } => room.value().as_mm(),
            Condition::Round { off: [x, y], room, corner, .. } => {
                let off = [x, y].map(|e| e.value().as_mm());
                let [u, v] = direction(off, *corner);
                room.value().as_mm() - u * off[0] - v * off[1]
            }
        }
    }
}

/// What is asked of a condition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Asked {
    /// That it holds.
    Only,
    /// A margin; and where that is.
    Margin(Where),
}

/// The direction in which a point is furthest off; in a corner only its own quarter counts, beside which the sides do.
pub(super) fn direction([x, y]: [f64; 2], corner: Option<[f64; 2]>) -> [f64; 2] {
    // No distance here is so long or short that its square would not do.
    let far = (x * x + y * y).sqrt();
    let is_beside = corner.is_some_and(|[u, v]| x * u <= 0.0 || y * v <= 0.0);
    match (is_beside, far > 0.0) {
        (true, _) => [0.0, 0.0],
        (false, true) => [x / far, y / far],
        (false, false) => [1.0, 0.0],
    }
}
