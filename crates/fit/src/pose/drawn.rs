//! Conditions at given sizes, as the programme asks for them.

use super::condition::{Asked, Condition, Touch, along, between, direction, least, parabola, steepness};
use super::program::{Conditions, Cut, REACH};

/// What beside a corner is left of it, mm: the sides decide there.
const FAR_OFF: f64 = 1000.0;

/// Conditions that hold a part alike are told apart by some billionths of a millimetre, or the search would go round among them.
fn unlike(of: usize) -> f64 {
    const APART: f64 = 4e-8;
    // The golden section spreads numbers evenly (the fractional part of its multiples).
    APART * (of as f64 * 0.618_033_988_749_895).fract()
}

/// Conditions at drawn sizes.
pub(super) struct Drawn<'p> {
    pub conditions: &'p [(Condition, Asked)],
    pub values: &'p [f64],
    pub which: Which,
}

/// Which conditions share a margin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Which {
    /// Those that are to have one.
    Asked,
    /// All.
    AllShare,
    /// Those that must only hold, the others left out.
    MustHold,
}

/// What is left of a condition at a place.
struct Left {
    /// Its number, and where its values begin.
    of: usize,
    from: usize,
    /// Is a margin asked of it?
    is_asked: bool,
    /// Where it is closest to failing, and what room there is, mm.
    touch: Touch,
    room: f64,
}

/// How a point of the part moves in a direction, by dx, dy and turn times [`REACH`].
fn slopes([x, y]: [f64; 2], [u, v]: [f64; 2]) -> [f64; 3] {
    [u, v, (v * x - u * y) / REACH]
}

impl Drawn<'_> {
    /// All conditions at a place, each where it is closest to failing there.
    pub fn cuts(&self, pose: [f64; 3]) -> impl Iterator<Item = Cut> {
        self.all_left(pose).map(|left| self.cut_at(left.of, left.from, left.touch))
    }

    /// One condition, looked at somewhere.
    pub fn cut(&self, of: usize, touch: Touch) -> Cut {
        self.cut_at(of, self.conditions[..of].iter().map(|(c, _)| c.count()).sum(), touch)
    }

    /// The same, whose values begin at a place in the list.
    fn cut_at(&self, of: usize, from: usize, touch: Touch) -> Cut {
        let (condition, asked) = &self.conditions[of];
        let (point, towards) = condition.place(touch);
        let is_beside = matches!(condition, Condition::Round { corner: Some(_), .. })
            && touch == Touch::Towards([0.0; 2]);
        let shares = condition.shares(touch);
        let values = &self.values[from..from + condition.count()];
        let room: f64 = shares.iter().zip(values).map(|(share, value)| share * value).sum();
        let (room, towards) = if is_beside { (FAR_OFF, [0.0; 2]) } else { (room, towards) };
        let share = if self.which == Which::AllShare || *asked != Asked::Only { 1.0 } else { 0.0 };
        let mut slope = slopes(point, towards).map(|s| -s);
        if let (Condition::Along { ends, .. }, Touch::At(at)) = (condition, touch) {
            let steep = steepness([values[0], values[1], values[2]], at);
            let goes = slopes(between(*ends, 0.0), along(*ends));
            slope = [0, 1, 2].map(|i| slope[i] + steep * goes[i]);
        }
        Cut { slope, room: room + unlike(of), share, of, touch }
    }

    /// What is left of every condition at a place.
    fn all_left(&self, [dx, dy, turned]: [f64; 3]) -> impl Iterator<Item = Left> {
        let turn = turned / REACH;
        let moved = move |[x, y]: [f64; 2]| [dx - turn * y, dy + turn * x];
        let mut next = 0;
        self.conditions.iter().enumerate().map(move |(of, (condition, asked))| {
            let from = next;
            next += condition.count();
            let at = |i: usize| self.values[from + i];
            let (touch, room) = match condition {
                Condition::Side { point, towards: [u, v], .. } => {
                    let [x, y] = moved(*point);
                    (Touch::Towards([*u, *v]), at(0) - u * x - v * y)
                }
                Condition::Along { ends, towards: [u, v], .. } => {
                    let [p, q] = along(*ends);
                    let [a, b] = ends.map(moved);
                    let [out_a, out_b] = [a, b].map(|[x, y]| u * x + v * y);
                    // Moved along, it is beside another place of the side.
                    let by = f64::midpoint(p * a[0] + q * a[1], p * b[0] + q * b[1]);
                    let [middle, slope, bend] = parabola([at(0), at(1), at(2)]);
                    let (place, left) = least([
                        middle + slope * by - f64::midpoint(out_a, out_b),
                        slope + 2.0 * bend * by - (out_b - out_a) / 2.0,
                        bend,
                    ]);
                    (Touch::At(place), left)
                }
                Condition::Round { point, corner, .. } => {
                    let [x, y] = moved(*point);
                    let off = [at(1) + x, at(2) + y];
                    let [u, v] = direction(off, *corner);
                    let left = if [u, v] == [0.0; 2] { FAR_OFF } else { at(0) - off[0] * u - off[1] * v };
                    (Touch::Towards([u, v]), left)
                }
            };
            Left { of, from, is_asked: *asked != Asked::Only, touch, room }
        })
    }

    /// The same of those that count.
    fn left(&self, pose: [f64; 3]) -> impl Iterator<Item = Left> {
        self.all_left(pose).filter(|left| self.which != Which::MustHold || !left.is_asked)
    }

    /// Does a place meet all conditions?
    pub fn is_met(&self, pose: [f64; 3]) -> bool {
        self.left(pose).all(|left| left.room >= 0.0)
    }
}

impl Conditions for Drawn<'_> {
    fn worst(&self, pose: [f64; 3], margin: f64) -> Option<(Cut, f64)> {
        let mut worst: Option<(f64, Left)> = None;
        for left in self.left(pose) {
            let shares = left.is_asked || self.which == Which::AllShare;
            let lacks = if shares { left.room - margin } else { left.room };
            if worst.as_ref().is_none_or(|w| lacks < w.0) {
                worst = Some((lacks, left));
            }
        }
        worst.map(|(lacks, left)| (self.cut_at(left.of, left.from, left.touch), lacks))
    }
}
