//! A rout's four sides, each where it was read and where it was not.

use crate::{Estimate, Length};

/// The sides of a rout.
#[derive(Clone, Debug, PartialEq)]
pub struct Sides {
    /// The end on the treble side.
    pub treble: RoutSide,
    /// The end on the bass side.
    pub bass: RoutSide,
    /// The long side towards the neck.
    pub neck: RoutSide,
    /// The long side towards the bridge.
    pub bridge: RoutSide,
    /// How far from the middle along the row, and across it, places at 1 are, mm.
    pub half: [f64; 2],
}

/// One side: how far from the middle it is along its length.
///
/// A place along it is -1 at the bass end or bridge side and 1 at the treble end or neck side.
#[derive(Clone, Debug, PartialEq)]
pub struct RoutSide {
    /// On the mean.
    pub(crate) mean: Estimate,
    /// How much further out at 1 than on the mean.
    pub(crate) tilt: Estimate,
    /// How much further out between its ends than there.
    pub(crate) bow: Estimate,
    /// How much further out at the top edge than at the floor, where that was read.
    pub(crate) lean: Option<Estimate>,
    /// What nobody sees of it, at its ends and between them.
    pub(crate) waves: [Estimate; 3],
}

impl Sides {
    /// Were both widths and lengths read at the floor too?
    pub fn are_known_at_floor(&self) -> bool {
        let Self { treble, bass, neck, bridge, .. } = self;
        [treble, bass, neck, bridge].iter().all(|side| side.lean.is_some())
    }
}

impl RoutSide {
    /// How far out it is on the mean, and how much further for each step of 1 along its length, mm.
    pub fn line(&self) -> [f64; 2] {
        [self.mean.value().as_mm(), self.tilt.value().as_mm()]
    }

    /// How far it is from the middle at a place along it: at the top edge, and at the floor where it is known to lean.
    pub fn reaches(&self, at: f64) -> Vec<Estimate> {
        let wave = &self.waves[((at.clamp(-1.0, 1.0) + 1.0).round()) as usize];
        let bow = self.bow.clone() * bowed(at);
        let top = self.mean.clone() + self.tilt.clone() * at + bow + wave.clone();
        let floor = self.lean.iter().map(|lean| top.clone() - lean.clone()).collect::<Vec<_>>();
        [vec![top], floor].concat()
    }

    /// The same where it is nearest to the middle.
    pub fn reach(&self, at: f64) -> Estimate {
        least(self.reaches(at))
    }
}

/// Between two sides that face each other, where they are nearest to each other: at their ends or in their middle.
/// `end` is how far along the ends are.
pub(crate) fn tightest(one: &RoutSide, other: &RoutSide, end: f64) -> Estimate {
    let across = |at| one.reaches(at).into_iter().zip(other.reaches(at)).map(|(a, b)| a + b);
    // Where all are alike the middle counts, of which most is known.
    least([0.0, -end, end].into_iter().flat_map(across).collect())
}

/// The first of the least, which what differs by less than rounding is too.
fn least(all: Vec<Estimate>) -> Estimate {
    let is_less = |a: &Estimate, b: &Estimate| b.value() - a.value() > Length::from_mm(1e-9);
    all.into_iter().reduce(|least, one| if is_less(&one, &least) { one } else { least }).unwrap_or_default()
}

/// What a bow of 1 mm adds at a place along a side.
pub(crate) fn bowed(at: f64) -> f64 {
    1.0 / 3.0 - at * at
}
