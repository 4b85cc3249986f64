//! Conditions at given sizes, as the programme asks for them.

use super::condition::{Asked, Condition, direction};
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

/// How a point of the part moves in a direction, by dx, dy and turn times [`REACH`].
fn slope([x, y]: [f64; 2], [u, v]: [f64; 2]) -> [f64; 3] {
    [u, v, (v * x - u * y) / REACH]
}

impl Drawn<'_> {
    /// All conditions at a place, the round ones cut where a point is furthest off.
    pub fn cuts(&self, pose: [f64; 3]) -> impl Iterator<Item = Cut> {
        let mut from = 0;
        self.conditions.iter().enumerate().map(move |(of, (condition, _))| {
            let (cut, used) = match condition {
                Condition::Side { towards, .. } => (self.cut_at(of, from, *towards), 1),
                Condition::Round { point, corner, .. } => {
                    let turn = pose[2] / REACH;
                    let x = self.values[from + 1] + pose[0] - turn * point[1];
                    let y = self.values[from + 2] + pose[1] + turn * point[0];
                    (self.cut_at(of, from, direction([x, y], *corner)), 3)
                }
            };
            from += used;
            cut
        })
    }

    /// One condition in a direction.
    pub fn cut(&self, of: usize, towards: [f64; 2]) -> Cut {
        self.cut_at(of, self.conditions[..of].iter().map(|(c, _)| c.inputs()).sum(), towards)
    }

    /// The same, whose values begin at a place in the list.
    fn cut_at(&self, of: usize, from: usize, towards: [f64; 2]) -> Cut {
        let (condition, asked) = &self.conditions[of];
        let (point, room) = match condition {
            Condition::Side { point, .. } => (*point, self.values[from]),
            Condition::Round { point, .. } => {
                let off = self.values[from + 1] * towards[0] + self.values[from + 2] * towards[1];
                let is_beside = towards == [0.0, 0.0];
                (*point, if is_beside { FAR_OFF } else { self.values[from] - off })
            }
        };
        let share = if self.which == Which::AllShare || *asked != Asked::Only { 1.0 } else { 0.0 };
        Cut { slope: slope(point, towards).map(|s| -s), room: room + unlike(of), share, of, towards }
    }
}

impl Drawn<'_> {
    /// What is left of every condition that counts at a place: its number, where its values begin, whether a margin is
    /// asked of it, the direction in which it was taken, and what is left.
    fn left(&self, [dx, dy, turned]: [f64; 3]) -> impl Iterator<Item = (usize, usize, bool, [f64; 2], f64)> {
        let turn = turned / REACH;
        let mut from = 0;
        let all = self.conditions.iter().enumerate().map(move |(of, (condition, asked))| {
            let at = from;
            let is_asked = *asked != Asked::Only;
            match condition {
                Condition::Side { point: [x, y], towards: [u, v], .. } => {
                    from += 1;
                    let left = self.values[at] - u * dx - v * dy - (v * x - u * y) * turn;
                    (of, at, is_asked, [*u, *v], left)
                }
                Condition::Round { point: [x, y], corner, .. } => {
                    from += 3;
                    let off = [self.values[at + 1] + dx - turn * y, self.values[at + 2] + dy + turn * x];
                    let towards = direction(off, *corner);
                    let is_beside = towards == [0.0, 0.0];
                    let left = self.values[at] - off[0] * towards[0] - off[1] * towards[1];
                    (of, at, is_asked, towards, if is_beside { FAR_OFF } else { left })
                }
            }
        });
        all.filter(|(_, _, is_asked, ..)| self.which != Which::MustHold || !is_asked)
    }

    /// Does a place meet all conditions?
    pub fn is_met(&self, pose: [f64; 3]) -> bool {
        self.left(pose).all(|(.., left)| left >= 0.0)
    }
}

impl Conditions for Drawn<'_> {
    fn worst(&self, pose: [f64; 3], margin: f64) -> Option<(Cut, f64)> {
        let mut worst = (f64::INFINITY, 0, 0, [0.0; 2]);
        for (of, at, is_asked, towards, left) in self.left(pose) {
            let lacks = if is_asked || self.which == Which::AllShare { left - margin } else { left };
            if lacks < worst.0 {
                worst = (lacks, of, at, towards);
            }
        }
        let (lacks, of, at, towards) = worst;
        lacks.is_finite().then(|| (self.cut_at(of, at, towards), lacks))
    }
}
