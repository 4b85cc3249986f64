//! A body that was routed and drilled by hand: its rout tapers, its screws stand off the line.

use rand::RngExt;
use rand::rngs::ChaCha8Rng;

use super::world::{Bench, INSIDE, between, normal};

/// Standard deviation of the taper along a pair of sides, and of a screw hole's place each way, mm.
const TAPER: f64 = 0.15;
const OFF: f64 = 0.25;

/// What is not as the program takes it, mm.
pub(super) struct Body {
    /// How much longer the rout is on its neck side than on its bridge side, and wider at its treble end than at its
    /// bass end. Its sizes are those of its middle.
    taper: [f64; 2],
    /// Places of the screws, treble and bass, seen from where they were meant to be.
    screws: [[f64; 2]; 2],
    /// In how many spots length and width are read.
    spots: [usize; 2],
    /// The screws' places are read.
    screws_read: bool,
}

/// A printed part before it is screwed down.
pub(super) struct Loose {
    /// Half of what its screw holes are wider than the screws.
    pub play: f64,
    /// Their centres, treble and bass.
    pub holes: [[f64; 2]; 2],
    pub size: [f64; 2],
}

impl Body {
    pub fn new(rng: &mut ChaCha8Rng) -> Self {
        let mut off = || [normal(rng, 0.0, OFF), normal(rng, 0.0, OFF)];
        let screws = [off(), off()];
        Self {
            taper: [normal(rng, 0.0, TAPER), normal(rng, 0.0, TAPER)],
            screws,
            spots: [0, 1].map(|_| rng.random_range(1..=3)),
            screws_read: rng.random_bool(0.5),
        }
    }

    /// The least length and width.
    pub fn tightest(&self, middle: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|i| middle[i] - 0.5 * self.taper[i].abs())
    }

    /// Once in a place by chance, or at the ends, or there and in the middle.
    pub fn read_sides(&self, bench: &mut Bench, middle: [f64; 2]) {
        for (i, name) in ["bridge.rout.length", "bridge.rout.width"].into_iter().enumerate() {
            let anywhere = [between(bench.rng, -0.5, 0.5)];
            let places: &[f64] = match self.spots[i] {
                1 => &anywhere,
                2 => &[-0.5, 0.5],
                _ => &[-0.5, 0.0, 0.5],
            };
            for (number, at) in places.iter().enumerate() {
                let size = middle[i] + at * self.taper[i];
                bench.read(name, &format!(", spot: \"{number}\""), size, INSIDE);
            }
        }
    }

    /// Each screw from the bridge side, and the treble one from its end.
    pub fn read_screws(&self, bench: &mut Bench, [length, width]: [f64; 2], pitch: f64, hole: f64) {
        if !self.screws_read {
            return;
        }
        let near = ", how: hole_near";
        for (number, x, [_, y]) in [(1, 0.5 * pitch, self.screws[0]), (2, -0.5 * pitch, self.screws[1])] {
            let side = 0.5 * (width + self.taper[1] * x / length);
            bench.read(&format!("bridge.screws.{number}.bridge_side"), near, side + y - 0.5 * hole, INSIDE);
        }
        // Along, where the screws' own distance has been taken off.
        let middle = self.along();
        let from_end = 0.5 * (length - pitch) - middle;
        // A screw in an ear stands beyond the end, and its near edge less far out.
        let to_edge = if from_end < 0.0 { from_end + 0.5 * hole } else { from_end - 0.5 * hole };
        bench.read("bridge.screws.1.treble_side", near, to_edge, INSIDE);
    }

    /// The middle between the screws; their distance is the body's own pitch.
    fn along(&self) -> f64 {
        f64::midpoint(self.screws[0][0], self.screws[1][0])
    }

    /// What is to spare where a part lies best: moved and turned in the rout until its holes come over the screws.
    /// Both the distances to the sides and those of the screws from the holes' middles are convex in the pose, so
    /// thirds lead to the best one.
    pub fn screwed_down(&self, middle: [f64; 2], pitch: f64, part: &Loose) -> f64 {
        let spare = |dy: f64, turn: f64| self.spare(middle, pitch, part, dy, turn);
        let turned = |dy: f64| thirds(0.05, |turn| spare(dy, turn));
        let dy = thirds(2.0, |dy| spare(dy, turned(dy)));
        spare(dy, turned(dy))
    }

    /// The same for a part that is moved across and turned so far, and along as is best.
    fn spare(&self, middle: [f64; 2], pitch: f64, part: &Loose, dy: f64, turn: f64) -> f64 {
        let along = self.along();
        let screws = [[along + 0.5 * pitch, self.screws[0][1]], [along - 0.5 * pitch, self.screws[1][1]]];
        // How far each screw is from its hole, along and across.
        let off = [0, 1].map(|i| {
            let [x, y] = part.holes[i];
            [screws[i][0] - (x - turn * y), screws[i][1] - (y + dy + turn * x)]
        });
        let [[a, b], [c, d]] = off;
        let room = (0.5 * (self.tightest(middle)[0] - part.size[0])).max(0.0);
        let both_alike =
            if (a - c).abs() > 1e-12 { (a * a - c * c + b * b - d * d) / (2.0 * (a - c)) } else { a };
        let spare_at = |dx: f64| {
            let dx = dx.clamp(-room, room);
            part.play - (a - dx).hypot(b).max((c - dx).hypot(d))
        };
        let screws = [a, c, both_alike].map(spare_at).into_iter().fold(f64::NEG_INFINITY, f64::max);
        let side = |x: f64| {
            let width = middle[1] + self.taper[1] * x / middle[0];
            // Whether it goes into the rout at all is another question.
            0.5 * (width - part.size[1]).max(0.0) - (dy + turn * x).abs()
        };
        // The sides can't be passed, so that what is beyond them costs more than any screw gains.
        let beyond = side(0.5 * part.size[0]).min(side(-0.5 * part.size[0])).min(0.0);
        screws + 100.0 * beyond
    }
}

/// Where a concave function between -reach and reach is largest.
fn thirds(reach: f64, f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (-reach, reach);
    for _ in 0..24 {
        let third = (high - low) / 3.0;
        if f(low + third) < f(high - third) {
            low += third;
        } else {
            high -= third;
        }
    }
    f64::midpoint(low, high)
}
