//! A body that was routed and drilled by hand: its rout tapers, is out of square, bows and waves; its screws stand off
//! the line.
//!
//! The program takes a side for a straight line with a parabola and small waves of no shape; here it is half a sine with a
//! wave.

use std::f64::consts::{FRAC_PI_2, PI};

use rand::RngExt;
use rand::rngs::ChaCha8Rng;

use super::world::{Bench, INSIDE, between, normal};

/// Standard deviations, mm: of how much wider the rout is at one end than at the other, and longer; of how much one
/// corner leads the other; of a side's bow; and of a screw hole's place each way. What waves reach.
const TAPER: f64 = 0.15;
const OUT_OF_SQUARE: f64 = 0.15;
const BOW: f64 = 0.1;
const WAVE: f64 = 0.028;
const OFF: f64 = 0.25;

/// A side is looked at in so many places.
const PLACES: usize = 9;

/// How much further out a side is than on the mean, at a place from -1 to 1 along it.
#[derive(Clone, Copy)]
struct Profile {
    tilt: f64,
    bow: f64,
    wave: [f64; 2],
}

impl Profile {
    fn new(rng: &mut ChaCha8Rng, tilt: f64, crooked: f64) -> Self {
        let bow = normal(rng, 0.0, BOW * crooked);
        Self { tilt, bow, wave: [between(rng, 4.0, 9.0), between(rng, 0.0, 2.0 * PI)] }
    }

    fn at(&self, place: f64) -> f64 {
        let place = place.clamp(-1.0, 1.0);
        let [often, from] = self.wave;
        let bow = self.bow * ((FRAC_PI_2 * place).cos() - 2.0 / PI);
        self.tilt * place + bow + WAVE * (often * place + from).sin()
    }
}

/// The sides in their order: treble and bass end, neck and bridge side.
const TREBLE: usize = 0;
const BASS: usize = 1;
const NECK: usize = 2;
const BRIDGE: usize = 3;

/// What is not as the program takes it, mm.
pub(super) struct Body {
    /// Mean length, mean width and corner radius.
    rout: [f64; 3],
    sides: [Profile; 4],
    /// Places of the screws, treble and bass, seen from where they were meant to be.
    screws: [[f64; 2]; 2],
    /// In how many spots length and width are read.
    spots: [usize; 2],
    /// The screws' places are read.
    screws_read: bool,
}

/// A printed part before it is screwed down.
pub(super) struct Loose {
    /// Half of what its screw holes are wider than the treble and the bass screw.
    pub plays: [f64; 2],
    /// Their centres, treble and bass.
    pub holes: [[f64; 2]; 2],
    /// Length, width and corner radius.
    pub size: [f64; 3],
}

/// A motion in plan: along, across and turned.
type Motion = [f64; 3];

impl Body {
    /// `crooked` times as crooked as usual.
    pub fn new(rng: &mut ChaCha8Rng, rout: [f64; 3], crooked: f64) -> Self {
        let mut off = || [normal(rng, 0.0, OFF), normal(rng, 0.0, OFF)];
        let screws = [off(), off()];
        let [lengthens, widens] = [0; 2].map(|_| normal(rng, 0.0, TAPER * crooked) / 4.0);
        let skew = normal(rng, 0.0, OUT_OF_SQUARE * crooked) / 2.0;
        let tilts = [lengthens + skew, lengthens - skew, widens, widens];
        Self {
            rout,
            sides: tilts.map(|tilt| Profile::new(rng, tilt, crooked)),
            screws,
            spots: [0, 1].map(|_| rng.random_range(1..=3)),
            screws_read: rng.random_bool(0.5),
        }
    }

    /// How far a side is from the middle at a place along it, mm from its middle.
    fn reach(&self, side: usize, at: f64) -> f64 {
        let [length, width, _] = self.rout;
        let (half, along) =
            if side < NECK { (0.5 * length, 0.5 * width) } else { (0.5 * width, 0.5 * length) };
        half + self.sides[side].at(at / along)
    }

    /// How far the ends are from the middle along the row.
    pub fn end(&self, is_treble: bool) -> f64 {
        self.reach(if is_treble { TREBLE } else { BASS }, 0.0)
    }

    /// Once in a place by chance, or at both ends, or there and in the middle.
    pub fn read_sides(&self, bench: &mut Bench) {
        let [length, width, radius] = self.rout;
        let names = [["bridge side", "middle", "neck side"], ["bass end", "middle", "treble end"]];
        let openings = [("bridge.rout.length", TREBLE, width), ("bridge.rout.width", NECK, length)];
        for (i, (name, side, along)) in openings.into_iter().enumerate() {
            let straight = 0.5 * along - radius;
            let anywhere = between(bench.rng, -0.9, 0.9) * 0.5 * along;
            let [low, middle, high] = [0, 1, 2].map(|n| (names[i][n], straight * (n as f64 - 1.0)));
            let places = match self.spots[i] {
                1 => vec![("", anywhere)],
                2 => vec![low, high],
                _ => vec![low, middle, high],
            };
            for (spot, at) in places {
                let size = self.reach(side, at) + self.reach(side + 1, at);
                let spot = if spot.is_empty() { String::new() } else { format!(", spot: \"{spot}\"") };
                bench.read(name, &spot, size, INSIDE);
            }
        }
    }

    /// Each screw from the bridge side, and the treble one from its end.
    pub fn read_screws(&self, bench: &mut Bench, pitch: f64, hole: f64) {
        if !self.screws_read {
            return;
        }
        let near = ", how: hole_near";
        for (number, x, [_, y]) in [(1, 0.5 * pitch, self.screws[0]), (2, -0.5 * pitch, self.screws[1])] {
            let side = self.reach(BRIDGE, x);
            bench.read(&format!("bridge.screws.{number}.bridge_side"), near, side + y - 0.5 * hole, INSIDE);
        }
        // Along, where the screws' own distance has been taken off.
        let from_end = self.end(true) - 0.5 * pitch - self.along();
        // A screw in an ear stands beyond the end, and its near edge less far out.
        let to_edge = if from_end < 0.0 { from_end + 0.5 * hole } else { from_end - 0.5 * hole };
        bench.read("bridge.screws.1.treble_side", near, to_edge, INSIDE);
    }

    /// The middle between the screws; their distance is the body's own pitch.
    fn along(&self) -> f64 {
        f64::midpoint(self.screws[0][0], self.screws[1][0])
    }

    /// What a part of so much length, width and corner radius has to spare where it lies best.
    pub fn goes_in(&self, size: [f64; 3]) -> f64 {
        let rooms = Rooms::new(self, size);
        // Most lie well where they are.
        let as_it_is = rooms.left([0.0; 3]);
        if as_it_is >= 0.0 {
            return as_it_is;
        }
        let along = |dy: f64, turn: f64| thirds([-0.3, 0.3], COARSE, |dx| rooms.left([dx, dy, turn]));
        let turned = |dy: f64| thirds([-0.01, 0.01], COARSE, |turn| along(dy, turn));
        thirds([-0.4, 0.4], COARSE, turned)
    }

    /// What is to spare where a part lies best: moved and turned in the rout until its holes come over the screws.
    /// Both the distances to the sides and those of the screws from the holes' middles are convex in the pose, so
    /// thirds lead to the best one.
    pub fn screwed_down(&self, pitch: f64, part: &Loose) -> f64 {
        let rooms = Rooms::new(self, part.size).just_in();
        let spare = |dy: f64, turn: f64| self.spare(&rooms, pitch, part, dy, turn);
        let turned = |dy: f64| thirds([-0.05, 0.05], FINE, |turn| spare(dy, turn));
        thirds([-2.0, 2.0], FINE, turned)
    }

    /// From where to where a part can be moved along the row, across and turned as that asks for.
    pub fn reaches(&self, pitch: f64, part: &Loose) -> [f64; 2] {
        let rooms = Rooms::new(self, part.size).just_in();
        let furthest = |way: f64| {
            let at = |dy: f64, turn: f64| {
                let ([low, high], beyond) = self.along_at(&rooms, pitch, part, dy, turn);
                // What can't be passed costs more than any way along gains.
                (if way > 0.0 { high } else { -low }) - 100.0 * (beyond + (low - high).max(0.0))
            };
            let turned = |dy: f64| thirds([-0.05, 0.05], FINE, |turn| at(dy, turn));
            way * thirds([-2.0, 2.0], FINE, turned)
        };
        [furthest(-1.0), furthest(1.0)]
    }

    /// The same for a part that is moved across and turned so far; and by how much it is beyond what it can't pass.
    fn along_at(&self, rooms: &Rooms, pitch: f64, part: &Loose, dy: f64, turn: f64) -> ([f64; 2], f64) {
        let sides = [TREBLE, BASS, NECK, BRIDGE].map(|side| rooms.at_side(side, [0.0, dy, turn]));
        let [treble, bass, neck, bridge] = sides;
        let mut beyond = -neck.min(bridge).min(0.0);
        let (mut low, mut high) = (-bass, treble);
        for i in [0, 1] {
            let [x, y] = part.holes[i];
            let stands = self.along() + if i == 0 { 0.5 * pitch } else { -0.5 * pitch };
            let (off, across) = (stands - (x - turn * y), self.screws[i][1] - (y + dy + turn * x));
            let play = part.plays[i];
            beyond += (across.abs() - play).max(0.0);
            let half = (play * play - across * across).max(0.0).sqrt();
            (low, high) = (low.max(off - half), high.min(off + half));
        }
        ([low, high], beyond)
    }

    /// The same as [`Body::screwed_down`] for a part that is moved across and turned so far, and along as is best.
    fn spare(&self, rooms: &Rooms, pitch: f64, part: &Loose, dy: f64, turn: f64) -> f64 {
        let along = self.along();
        let screws = [[along + 0.5 * pitch, self.screws[0][1]], [along - 0.5 * pitch, self.screws[1][1]]];
        // How far each screw is from its hole, along and across.
        let off = [0, 1].map(|i| {
            let [x, y] = part.holes[i];
            [screws[i][0] - (x - turn * y), screws[i][1] - (y + dy + turn * x)]
        });
        let [[a, b], [c, d]] = off;
        let [bass, treble] = [BASS, TREBLE].map(|side| rooms.at_side(side, [0.0, dy, turn]));
        let (low, high) = (-bass, treble);
        let spare_at = |dx: f64| {
            let dx = if low > high { f64::midpoint(low, high) } else { dx.clamp(low, high) };
            let [treble, bass] = part.plays;
            (treble - (a - dx).hypot(b)).min(bass - (c - dx).hypot(d))
        };
        let screws = thirds([a.min(c), a.max(c)], COARSE, spare_at);
        // The sides can't be passed, so that what is beyond them costs more than any screw gains.
        let sides = [NECK, BRIDGE].map(|side| rooms.at_side(side, [0.0, dy, turn]));
        let beyond = sides[0].min(sides[1]).min(0.5 * (treble + bass)).min(0.0);
        screws + 100.0 * beyond
    }
}

/// The room that a part has in a rout before it is moved: beside places along its straight sides, and in its corners.
struct Rooms {
    /// Of each side: places along it, mm, with the room beside it.
    sides: [[(f64, f64); PLACES]; 4],
    half: [f64; 2],
    radius: f64,
    /// Of each corner: where the rout's arc has its centre, and how much rounder the part is.
    corners: [[f64; 2]; 4],
    rounder: f64,
}

impl Rooms {
    fn new(body: &Body, [length, width, radius]: [f64; 3]) -> Self {
        let half = [0.5 * length, 0.5 * width];
        let sides = [TREBLE, BASS, NECK, BRIDGE].map(|side| {
            let (out, along) = if side < NECK { (half[0], half[1]) } else { (half[1], half[0]) };
            let straight = along - radius;
            let mut places = [(0.0, 0.0); PLACES];
            for (n, place) in places.iter_mut().enumerate() {
                let at = straight * (2.0 * n as f64 / (PLACES - 1) as f64 - 1.0);
                *place = (at, body.reach(side, at) - out);
            }
            places
        });
        let arc = body.rout[2];
        let corners = [[1.0, 1.0], [-1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]].map(|[u, v]: [f64; 2]| {
            let end = body.reach(if u > 0.0 { TREBLE } else { BASS }, v * half[1]);
            let side = body.reach(if v > 0.0 { NECK } else { BRIDGE }, u * half[0]);
            [u * (end - arc), v * (side - arc)]
        });
        Self { sides, half, radius, corners, rounder: arc - radius }
    }

    /// A part that does not go in at all is another question: here it just does.
    fn just_in(mut self) -> Self {
        for (one, other) in [(TREBLE, BASS), (NECK, BRIDGE)] {
            let least = |side: usize| self.sides[side].iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
            let [a, b] = [least(one), least(other)];
            for (side, least) in [(one, a), (other, b)] {
                for place in &mut self.sides[side] {
                    place.1 -= least.min(0.0);
                }
            }
        }
        self
    }

    /// What is left beside a side after a motion.
    fn at_side(&self, side: usize, [dx, dy, turn]: Motion) -> f64 {
        // A place on an end goes with its y, one on a long side with its x; a side's other coordinate hardly matters.
        let moved = |at: f64| match side {
            TREBLE => dx - turn * at,
            BASS => turn * at - dx,
            NECK => dy + turn * at,
            _ => -dy - turn * at,
        };
        self.sides[side].iter().map(|(at, room)| room - moved(*at)).fold(f64::INFINITY, f64::min)
    }

    fn left(&self, motion: Motion) -> f64 {
        let sides = (0..4).map(|side| self.at_side(side, motion)).fold(f64::INFINITY, f64::min);
        if self.rounder <= 0.0 {
            return sides;
        }
        let [dx, dy, turn] = motion;
        let corner = |[cx, cy]: &[f64; 2]| {
            let (u, v) = (cx.signum(), cy.signum());
            let (px, py) = (u * (self.half[0] - self.radius), v * (self.half[1] - self.radius));
            let off = [u * (px + dx - turn * py - cx), v * (py + dy + turn * px - cy)];
            if off[0] <= 0.0 || off[1] <= 0.0 { f64::INFINITY } else { self.rounder - off[0].hypot(off[1]) }
        };
        self.corners.iter().map(corner).fold(sides, f64::min)
    }
}

/// Steps to a micrometre, and to where a wall that can't be passed is met to less.
const COARSE: usize = 15;
const FINE: usize = 24;

/// How large a concave function becomes between two places.
fn thirds([mut low, mut high]: [f64; 2], steps: usize, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..steps {
        let third = (high - low) / 3.0;
        if f(low + third) < f(high - third) {
            low += third;
        } else {
            high -= third;
        }
    }
    f(f64::midpoint(low, high))
}
