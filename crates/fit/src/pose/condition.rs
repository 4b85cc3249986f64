//! What must hold for the place of a part.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::{Estimate, Length};

use crate::kind::Where;

/// Something that must hold for the place of a part.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Condition {
    /// A point of the part, mm from the middle, must not go further than so far in a direction.
    Side { point: [f64; 2], towards: [f64; 2], room: Estimate },
    /// A straight side of the part, from one place to another, mm from the middle, must not go further in a direction than
    /// there is room beside its beginning, its middle and its end, and on a parabola through these in between: beside a
    /// side that bows inwards it touches anywhere.
    Along { ends: [[f64; 2]; 2], towards: [f64; 2], rooms: [Estimate; 3] },
    /// A point of the part, mm from the middle, must stay within so far of a place; it is `off` that place as long as
    /// the part is not moved. In a corner only the directions between those of its two sides count.
    Round { point: [f64; 2], off: [Estimate; 2], room: Estimate, corner: Option<[[f64; 2]; 2]> },
}

/// Where a condition is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Touch {
    /// In a direction.
    Towards([f64; 2]),
    /// At a place along a side, from -1 at its beginning to 1 at its end.
    At(f64),
}

impl Condition {
    /// A margin that is the same wherever the part lies.
    pub fn fixed(margin: Estimate) -> Self {
        Condition::Side { point: [0.0; 2], towards: [0.0; 2], room: margin }
    }

    pub fn is_fixed(&self) -> bool {
        matches!(self, Condition::Side { towards: [0.0, 0.0], .. })
    }

    /// Is it about the same place of the part, in the same direction; round a place, with the same room?
    pub fn is_beside(&self, other: &Self) -> bool {
        use Condition::{Along, Round, Side};
        match (self, other) {
            (Side { point: a, towards: u, .. }, Side { point: b, towards: v, .. }) => u == v && is_at(a, b),
            (Along { ends: a, towards: u, .. }, Along { ends: b, towards: v, .. }) => {
                u == v && a.iter().zip(b).all(|(a, b)| is_at(a, b))
            }
            // Screw and head go over the same place, each with its own room.
            (
                Round { point: a, corner: u, room: of_a, .. },
                Round { point: b, corner: v, room: of_b, .. },
            ) => u == v && of_a == of_b && is_at(a, b),
            _ => false,
        }
    }

    /// Its estimates.
    pub fn inputs(&self) -> Vec<&Estimate> {
        match self {
            Condition::Side { room, .. } => vec![room],
            Condition::Along { rooms, .. } => rooms.iter().collect(),
            Condition::Round { off: [x, y], room, .. } => vec![room, x, y],
        }
    }

    /// How many they are.
    pub fn count(&self) -> usize {
        match self {
            Condition::Side { .. } => 1,
            Condition::Along { .. } | Condition::Round { .. } => 3,
        }
    }

    /// The same with every estimate exchanged for another.
    #[must_use]
    pub fn with(&self, of: impl Fn(&Estimate) -> Estimate) -> Self {
        match self {
            Condition::Side { point, towards, room } => {
                Condition::Side { point: *point, towards: *towards, room: of(room) }
            }
            Condition::Along { ends, towards, rooms } => {
                Condition::Along { ends: *ends, towards: *towards, rooms: rooms.each_ref().map(of) }
            }
            Condition::Round { point, off, room, corner } => Condition::Round {
                point: *point,
                off: off.each_ref().map(&of),
                room: of(room),
                corner: *corner,
            },
        }
    }

    /// The same of a part that is turned about the middle by so much: a small motion from there is a smaller one.
    #[must_use]
    pub fn turned(&self, turn: f64) -> Self {
        let (sine, cosine) = (turn.sine(), turn.cosine());
        let to = |[x, y]: [f64; 2]| [x * cosine - y * sine, x * sine + y * cosine];
        // How far a point goes in a direction.
        let goes = |point: [f64; 2], [u, v]: [f64; 2]| {
            let [x, y] = to(point);
            Estimate::exact(Length::from_mm((x - point[0]) * u + (y - point[1]) * v))
        };
        match self {
            Condition::Side { point, towards, room } => Condition::Side {
                point: to(*point),
                towards: *towards,
                room: room.clone() - goes(*point, *towards),
            },
            Condition::Along { ends, towards, rooms } => {
                // Turned, it is beside another place of the side too.
                let [p, q] = along(*ends);
                let middle = between(*ends, 0.0);
                let slides = (to(middle)[0] - middle[0]) * p + (to(middle)[1] - middle[1]) * q;
                let at = |at: f64| {
                    let terms = weights(at + slides).into_iter().zip(rooms);
                    let room =
                        terms.fold(Estimate::default(), |sum, (share, room)| sum + room.clone() * share);
                    room - goes(between(*ends, at), *towards)
                };
                Condition::Along { ends: ends.map(to), towards: *towards, rooms: [-1.0, 0.0, 1.0].map(at) }
            }
            Condition::Round { point, off: [x, y], room, corner } => {
                let [along, across] = [[1.0, 0.0], [0.0, 1.0]].map(|towards| goes(*point, towards));
                let off = [x.clone() + along, y.clone() + across];
                Condition::Round { point: to(*point), off, room: room.clone(), corner: *corner }
            }
        }
    }

    /// What each of its estimates has in what is left of it where it is looked at.
    pub(super) fn shares(&self, touch: Touch) -> [f64; 3] {
        match (self, touch) {
            (Condition::Along { .. }, Touch::At(at)) => weights(at),
            (Condition::Round { .. }, Touch::Towards([u, v])) => [1.0, -u, -v],
            _ => [1.0, 0.0, 0.0],
        }
    }

    /// The place of the part that is looked at, mm from the middle, and in which direction.
    pub(super) fn place(&self, touch: Touch) -> ([f64; 2], [f64; 2]) {
        match (self, touch) {
            (Condition::Along { ends, towards, .. }, Touch::At(at)) => (between(*ends, at), *towards),
            (Condition::Round { point, .. }, Touch::Towards(towards)) => (*point, towards),
            (Condition::Side { point, towards, .. }, _) => (*point, *towards),
            (Condition::Round { point, corner: Some([a, b]), .. }, _) => (*point, [a[0] + b[0], a[1] + b[1]]),
            (Condition::Along { ends, towards, .. }, _) => (between(*ends, 0.0), *towards),
            (Condition::Round { point, .. }, _) => (*point, [0.0; 2]),
        }
    }

    /// What is left beside places of a straight side of the part, its ends and its middle, and in which direction, when the part
    /// is moved by dx and dy and turned.
    pub fn beside(&self, [dx, dy, turn]: [f64; 3]) -> Vec<([f64; 2], [f64; 2], Estimate)> {
        let goes = |[x, y]: [f64; 2], [u, v]: [f64; 2]| u * (dx - turn * y) + v * (dy + turn * x);
        let less = |room: &Estimate, by: f64| room.clone() - Estimate::exact(Length::from_mm(by));
        match self {
            Condition::Side { point, towards, room } => {
                vec![(*point, *towards, less(room, goes(*point, *towards)))]
            }
            Condition::Along { ends, towards, rooms } => {
                let values = rooms.each_ref().map(|room| room.value().as_mm());
                // Moved along, it is beside another place of the side.
                let by = goes(between(*ends, 0.0), along(*ends));
                let at = |(at, room): (f64, &Estimate)| {
                    let point = between(*ends, at);
                    (point, *towards, less(room, goes(point, *towards) - steepness(values, at) * by))
                };
                [-1.0, 0.0, 1.0].into_iter().zip(rooms).map(at).collect()
            }
            Condition::Round { .. } => Vec::new(),
        }
    }

    /// What is left of it where the half of the part that lies in a direction has all the room it wants.
    pub fn relieved(&self, [u, v]: [f64; 2]) -> Vec<Self> {
        // What stands on the middle line is in neither half.
        const BEYOND: f64 = 1.0;
        let is_there = |[x, y]: &[f64; 2]| x * u + y * v > BEYOND;
        match self {
            Condition::Side { point, .. } | Condition::Round { point, .. } if is_there(point) => Vec::new(),
            Condition::Along { ends, towards, rooms } if ends.iter().any(is_there) => {
                let [begin, end] = ends;
                let middle = [0, 1].map(|i| f64::midpoint(begin[i], end[i]));
                let left = [begin, &middle, end].into_iter().zip(rooms).filter(|(point, _)| !is_there(point));
                let of = |(point, room): (&[f64; 2], &Estimate)| Condition::Side {
                    point: *point,
                    towards: *towards,
                    room: room.clone(),
                };
                left.map(of).collect()
            }
            _ => vec![self.clone()],
        }
    }

    /// What is left of it as long as the part is not moved, mm.
    pub fn left(&self) -> f64 {
        let values: Vec<f64> = self.inputs().iter().map(|e| e.value().as_mm()).collect();
        match self {
            Condition::Side { .. } => values[0],
            Condition::Along { .. } => least(parabola([values[0], values[1], values[2]])).1,
            Condition::Round { corner, .. } => {
                let [u, v] = direction([values[1], values[2]], *corner);
                values[0] - u * values[1] - v * values[2]
            }
        }
    }
}

/// The cross product of two directions.
pub(super) fn cross([x, y]: [f64; 2], [u, v]: [f64; 2]) -> f64 {
    x * v - y * u
}

/// The same place, but for the last digits of a turn.
fn is_at(a: &[f64; 2], b: &[f64; 2]) -> bool {
    (a[0] - b[0]).abs() < 1e-9 && (a[1] - b[1]).abs() < 1e-9
}

/// What beginning, middle and end have in a parabola through them, at a place from -1 to 1 (Lagrange's polynomials).
fn weights(at: f64) -> [f64; 3] {
    [at * (at - 1.0) / 2.0, 1.0 - at * at, at * (at + 1.0) / 2.0]
}

/// A parabola through beginning, middle and end: what it is in the middle, its slope there, and what it bends by to the ends.
pub(super) fn parabola([begin, middle, end]: [f64; 3]) -> [f64; 3] {
    [middle, (end - begin) / 2.0, f64::midpoint(begin, end) - middle]
}

/// How much such a parabola rises at a place, for each step of 1.
pub(super) fn steepness(values: [f64; 3], at: f64) -> f64 {
    let [_, slope, bend] = parabola(values);
    slope + 2.0 * bend * at
}

/// Where a parabola is least between its ends, and what it is there.
pub(super) fn least([middle, slope, bend]: [f64; 3]) -> (f64, f64) {
    // Inwards between the ends, or at one of these.
    let at = if bend > 0.0 && slope.abs() < 2.0 * bend {
        -slope / (2.0 * bend)
    } else if slope > 0.0 {
        -1.0
    } else if slope < 0.0 || bend < 0.0 {
        1.0
    } else {
        0.0
    };
    (at, middle + slope * at + bend * at * at)
}

/// From the middle of a straight side to its end, over the square of that: a motion times it is so many halves of the side.
pub(super) fn along([a, b]: [[f64; 2]; 2]) -> [f64; 2] {
    let [x, y] = [0, 1].map(|i| (b[i] - a[i]) / 2.0);
    let over = 1.0 / (x * x + y * y);
    [x * over, y * over]
}

/// A place between two, from -1 to 1.
pub(super) fn between([a, b]: [[f64; 2]; 2], at: f64) -> [f64; 2] {
    [0, 1].map(|i| f64::midpoint(a[i], b[i]) + at * (b[i] - a[i]) / 2.0)
}

/// What is asked of a condition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Asked {
    /// That it holds.
    Only,
    /// A margin; and where that is.
    Margin(Where),
}

/// The direction in which a point is furthest off; in a corner only what is between its sides' directions counts,
/// beside which the sides do.
pub(super) fn direction([x, y]: [f64; 2], corner: Option<[[f64; 2]; 2]>) -> [f64; 2] {
    // No distance here is so long or short that its square would not do.
    let far = (x * x + y * y).sqrt();
    let is_beside = corner.is_some_and(|[u, v]| {
        let turn = cross(u, v);
        cross([x, y], v) * turn <= 0.0 || cross(u, [x, y]) * turn <= 0.0
    });
    match (is_beside, far > 0.0) {
        (true, _) => [0.0, 0.0],
        (false, true) => [x / far, y / far],
        (false, false) => [1.0, 0.0],
    }
}
