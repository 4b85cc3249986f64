//! The form of a rout: what its sides are between and beside the spots in which it was read.
//!
//! Signs: x towards treble, y towards the neck, ξ from -1 at the bass to 1 at the treble end, η from -1 at the bridge
//! to 1 at the neck side. Of a long side at ξ its distance from the middle line is half of the width plus taper · ξ / 2 plus
//! its bow · (1/3 - ξ²), which is nought on the mean. Of the ends likewise, and the skew takes both of them towards treble by
//! skew · η.

use crate::Estimate;
use crate::quantity::PositionQuantity as P;
use crate::sides::{RoutSide, Sides, bowed, tightest};
use crate::told::{BOWS, LEANS, LENGTH, LENGTHENS, SKEW, Told, WIDENS, WIDTH};
use crate::wanted::Side;

/// An opening: which of a rout's two, and what of its form hangs on it.
pub(crate) struct Opening {
    pub of: P,
    pub size: usize,
    pub taper: usize,
    pub bows: [usize; 2],
    pub lean: usize,
}

/// Ends and long sides: bows of treble and bass end, of neck and bridge side.
pub(crate) const OPENINGS: [Opening; 2] = [
    Opening { of: P::RoutLength, size: LENGTH, taper: LENGTHENS, bows: [BOWS, BOWS + 1], lean: LEANS[0] },
    Opening { of: P::RoutWidth, size: WIDTH, taper: WIDENS, bows: [BOWS + 2, BOWS + 3], lean: LEANS[1] },
];

/// What was told of a rout's form, and what it comes to.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Form {
    /// Equations for the plan.
    pub told: Vec<Told>,
    /// Where the sides are, by the rout's own readings.
    pub sides: Sides,
    /// Half of length and width, to find places along them.
    pub half: [f64; 2],
    /// Its sides are slanted on purpose.
    pub is_slanted: bool,
    /// How far along the ends, and along the long sides, their straight pieces go.
    pub ends: [f64; 2],
}

impl Form {
    /// Length and width where they are tightest.
    pub fn tightest(&self) -> [Estimate; 2] {
        let Sides { treble, bass, neck, bridge, .. } = &self.sides;
        [tightest(treble, bass, self.ends[0]), tightest(neck, bridge, self.ends[1])]
    }

    /// Adds to what the sides are what each unknown is more.
    pub fn add(&mut self, more: &[Estimate]) {
        let half = |u: usize| more[u].clone() * 0.5;
        let add = |side: &mut RoutSide, opening: &Opening, tilt: Estimate, which: usize| {
            side.mean = side.mean.clone() + half(opening.size);
            side.tilt = side.tilt.clone() + tilt;
            side.bow = side.bow.clone() + more[opening.bows[which]].clone();
            side.lean = side.lean.take().map(|lean| lean + more[opening.lean].clone());
        };
        let Sides { treble, bass, neck, bridge, .. } = &mut self.sides;
        let [ends, long_sides] = &OPENINGS;
        let skew = more[SKEW].clone();
        add(treble, ends, half(ends.taper) + skew.clone(), 0);
        add(bass, ends, half(ends.taper) - skew, 1);
        add(neck, long_sides, half(long_sides.taper), 0);
        add(bridge, long_sides, half(long_sides.taper), 1);
    }

    /// How much further out a side is for each mm along it, where it is slanted on purpose.
    pub fn slope(&self, side: Side) -> f64 {
        let Sides { treble, bass, neck, bridge, half } = &self.sides;
        let (of, along) = match side {
            Side::Treble => (treble, half[1]),
            Side::Bass => (bass, half[1]),
            Side::Neck => (neck, half[0]),
            Side::Bridge => (bridge, half[0]),
        };
        if self.is_slanted { of.line()[1] / along } else { 0.0 }
    }

    /// What a side's distance from the middle is made of at a place along it, mm from its middle: unknowns with their factors.
    pub fn reach(&self, side: Side, at: f64) -> Vec<(usize, f64)> {
        let is_end = matches!(side, Side::Treble | Side::Bass);
        let place = at / self.half[usize::from(is_end)];
        // What stands beyond a side's end is held against the side as if it went on straight there.
        let within = place.clamp(-1.0, 1.0);
        let mut terms = reach(side, within);
        if self.is_slanted && place != within {
            let further = reach(side, place).into_iter().zip(reach(side, within));
            let is_straight = |unknown: usize| [LENGTHENS, WIDENS, SKEW].contains(&unknown);
            terms =
                further.map(|(beyond, at_end)| if is_straight(beyond.0) { beyond } else { at_end }).collect();
        }
        terms
    }
}

/// What a side's distance from the middle is made of at a place from -1 to 1 along it.
pub(crate) fn reach(side: Side, place: f64) -> Vec<(usize, f64)> {
    let (i, which, skew) = match side {
        Side::Treble => (0, 0, place),
        Side::Bass => (0, 1, -place),
        Side::Neck => (1, 0, 0.0),
        Side::Bridge => (1, 1, 0.0),
    };
    let opening = &OPENINGS[i];
    vec![(opening.size, 0.5), (opening.taper, 0.5 * place), (opening.bows[which], bowed(place)), (SKEW, skew)]
}
