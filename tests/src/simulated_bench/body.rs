//! A body that was routed and drilled by hand: its rout tapers, is out of square, bows and waves; its screws stand off
//! the line.
//!
//! The program takes a side for a straight line with a parabola and small waves of no shape; here it is half a sine with a
//! wave.

use std::f64::consts::{FRAC_PI_2, PI};

use rand::RngExt;
use rand::rngs::ChaCha8Rng;

use super::reading::{Bench, INSIDE, between, normal};

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
#[derive(Clone)]
pub(super) struct Body {
    /// Mean length, mean width and corner radius.
    rout: [f64; 3],
    sides: [Profile; 4],
    /// Places of the screws, from treble to bass.
    screws: Vec<[f64; 2]>,
    /// How far the middles of the recesses for ears at the treble and the bass end are off the middle line.
    recesses: [f64; 2],
    /// In how many spots length and width are read.
    spots: [usize; 2],
    /// The screws' places, and the recesses', are read.
    screws_read: bool,
}

/// A printed part before it is screwed down.
#[derive(Clone)]
pub(super) struct Loose {
    /// Half of what its screw holes are wider than each screw.
    pub plays: Vec<f64>,
    /// Their centres.
    pub holes: Vec<[f64; 2]>,
    /// Length, width and corner radius.
    pub size: [f64; 3],
    /// Where the middle of each ear is, treble and bass, along and across; and half of what the recesses are wider.
    pub ears: Option<([[f64; 2]; 2], f64)>,
}

/// A motion in plan: along, across and turned.
type Motion = [f64; 3];

impl Body {
    /// `crooked` times as crooked as usual; the screws were meant to be at `meant`.
    pub fn new(rng: &mut ChaCha8Rng, rout: [f64; 3], meant: &[[f64; 2]], crooked: f64) -> Self {
        let mut screws: Vec<[f64; 2]> =
            meant.iter().map(|[x, y]| [x + normal(rng, 0.0, OFF), y + normal(rng, 0.0, OFF)]).collect();
        if let [first, second] = &mut screws[..] {
            // Their distance is what was meant, which is read by itself.
            let along = f64::midpoint(first[0], second[0]);
            (first[0], second[0]) = (along + meant[0][0], along + meant[1][0]);
        }
        let recesses = [0; 2].map(|_| normal(rng, 0.0, OFF));
        let [lengthens, widens] = [0; 2].map(|_| normal(rng, 0.0, TAPER * crooked) / 4.0);
        let skew = normal(rng, 0.0, OUT_OF_SQUARE * crooked) / 2.0;
        let tilts = [lengthens + skew, lengthens - skew, widens, widens];
        Self {
            rout,
            sides: tilts.map(|tilt| Profile::new(rng, tilt, crooked)),
            screws,
            recesses,
            spots: [0, 1].map(|_| rng.random_range(1..=3)),
            screws_read: rng.random_bool(0.5),
        }
    }

    /// The same body, all of which is read.
    pub fn read_thoroughly(&self) -> Self {
        Self { spots: [3; 2], screws_read: true, ..self.clone() }
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

    /// The same beside a place across the row.
    pub fn end_at(&self, is_treble: bool, at: f64) -> f64 {
        self.reach(if is_treble { TREBLE } else { BASS }, at)
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

    /// Each screw from the bridge side, and of two the treble one from its end; others each from its end.
    pub fn read_screws(&self, bench: &mut Bench, hole: f64) {
        let are_two = self.screws.len() == 2;
        if are_two && !self.screws_read {
            return;
        }
        let near = ", how: hole_near";
        // A screw in an ear stands beyond the end, and its near edge less far out.
        let to_edge = |reach: f64| if reach < 0.0 { reach + 0.5 * hole } else { reach - 0.5 * hole };
        for (number, [x, y]) in self.screws.iter().enumerate().map(|(i, at)| (i + 1, *at)) {
            let side = self.reach(BRIDGE, x);
            bench.read(&format!("bridge.screws.{number}.bridge_side"), near, side + y - 0.5 * hole, INSIDE);
            if are_two && number == 2 {
                continue;
            }
            let (name, end) = if x > 0.0 { ("treble", TREBLE) } else { ("bass", BASS) };
            let reach = to_edge(self.reach(end, if are_two { 0.0 } else { y }) - x.abs());
            bench.read(&format!("bridge.screws.{number}.{name}_side"), near, reach, INSIDE);
        }
    }

    /// Each screw from its recess's flank, where screws are read.
    pub fn read_recesses(&self, bench: &mut Bench, width: f64, hole: f64) {
        if !self.screws_read {
            return;
        }
        for (number, (screw, recess)) in self.screws.iter().zip(self.recesses).enumerate() {
            let flank = screw[1] - (recess - 0.5 * width);
            let name = format!("bridge.ears.{}.bridge_side", number + 1);
            bench.read(&name, ", how: hole_near", flank - 0.5 * hole, INSIDE);
        }
    }

    /// How many screws there are.
    pub fn screws(&self) -> usize {
        self.screws.len()
    }

    /// The distance of the first two screws.
    pub fn pitch(&self) -> f64 {
        let [[x, y], [u, v]] = [self.screws[0], self.screws[1]];
        (x - u).hypot(y - v)
    }

    /// What ears have to spare in recesses so wide, at their flanks and their blends, where the rout lets the part lie best for
    /// that; `corner` is what is left at a corner that is so far across from an ear's end of the part.
    pub fn ears_left(&self, part: &Loose, width: f64, corner: impl Fn(bool, f64) -> f64) -> f64 {
        let Some((ears, play)) = &part.ears else { return f64::INFINITY };
        let rooms = Rooms::new(self, part.size).just_in();
        let left = |dy: f64, turn: f64| {
            let of = |(number, [x, y]): (usize, &[f64; 2])| {
                let moved = dy + turn * x;
                let recess = self.recesses[number];
                let flank = play - (y + moved - recess).abs();
                let corners = [0.5, -0.5].map(|half| corner(number == 0, recess + half * width - moved));
                flank.min(corners[0]).min(corners[1])
            };
            let least = ears.iter().enumerate().map(of).fold(f64::INFINITY, f64::min);
            let sides = [NECK, BRIDGE].map(|side| rooms.at_side(side, [0.0, dy, turn]));
            least + 100.0 * sides[0].min(sides[1]).min(0.0)
        };
        thirds([-2.0, 2.0], FINE, |dy| thirds([-0.05, 0.05], FINE, |turn| left(dy, turn)))
    }

    /// Ears that do not go in wherever the rout lets the part lie are another question: here they just do.
    fn with_ears_in(&self, rooms: &Rooms, part: &Loose) -> Loose {
        let mut part = part.clone();
        let beyond = |dy: f64, turn: f64| {
            let sides = [NECK, BRIDGE].map(|side| rooms.at_side(side, [0.0, dy, turn]));
            -self.beyond_flanks(&part, dy, turn) + 100.0 * sides[0].min(sides[1]).min(0.0)
        };
        let best = thirds([-2.0, 2.0], FINE, |dy| thirds([-0.05, 0.05], FINE, |turn| beyond(dy, turn)));
        if let Some((_, play)) = &mut part.ears {
            *play -= best.min(0.0);
        }
        part
    }

    /// By how much ears are beyond the flanks of their recesses.
    fn beyond_flanks(&self, part: &Loose, dy: f64, turn: f64) -> f64 {
        let Some((ears, play)) = &part.ears else { return 0.0 };
        let beyond =
            |([x, y], recess): (&[f64; 2], f64)| ((y + dy + turn * x - recess).abs() - play).max(0.0);
        ears.iter().zip(self.recesses).map(beyond).fold(0.0, f64::max)
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
    pub fn screwed_down(&self, part: &Loose) -> f64 {
        let rooms = Rooms::new(self, part.size).just_in();
        let part = &self.with_ears_in(&rooms, part);
        let spare = |dy: f64, turn: f64| self.spare(&rooms, part, dy, turn);
        let turned = |dy: f64| thirds([-0.05, 0.05], FINE, |turn| spare(dy, turn));
        thirds([-2.0, 2.0], FINE, turned)
    }

    /// From where to where a part can be moved along the row, across and turned as that asks for.
    pub fn reaches(&self, part: &Loose) -> [f64; 2] {
        let rooms = Rooms::new(self, part.size).just_in();
        let part = &self.with_ears_in(&rooms, part);
        let furthest = |way: f64| {
            let at = |dy: f64, turn: f64| {
                let ([low, high], beyond) = self.along_at(&rooms, part, dy, turn);
                // What can't be passed costs more than any way along gains.
                (if way > 0.0 { high } else { -low }) - 100.0 * (beyond + (low - high).max(0.0))
            };
            let turned = |dy: f64| thirds([-0.05, 0.05], FINE, |turn| at(dy, turn));
            way * thirds([-2.0, 2.0], FINE, turned)
        };
        [furthest(-1.0), furthest(1.0)]
    }

    /// The same for a part that is moved across and turned so far; and by how much it is beyond what it can't pass.
    fn along_at(&self, rooms: &Rooms, part: &Loose, dy: f64, turn: f64) -> ([f64; 2], f64) {
        let sides = [TREBLE, BASS, NECK, BRIDGE].map(|side| rooms.at_side(side, [0.0, dy, turn]));
        let [treble, bass, neck, bridge] = sides;
        let mut beyond = -neck.min(bridge).min(0.0) + self.beyond_flanks(part, dy, turn);
        let (mut low, mut high) = (-bass, treble);
        for ((screw, [x, y]), play) in self.screws.iter().zip(&part.holes).zip(&part.plays) {
            let (off, across) = (screw[0] - (x - turn * y), screw[1] - (y + dy + turn * x));
            beyond += (across.abs() - play).max(0.0);
            let half = (play * play - across * across).max(0.0).sqrt();
            (low, high) = (low.max(off - half), high.min(off + half));
        }
        ([low, high], beyond)
    }

    /// The same as [`Body::screwed_down`] for a part that is moved across and turned so far, and along as is best.
    fn spare(&self, rooms: &Rooms, part: &Loose, dy: f64, turn: f64) -> f64 {
        // How far each screw is from its hole, along and across.
        let of = |(screw, [x, y]): (&[f64; 2], &[f64; 2])| {
            [screw[0] - (x - turn * y), screw[1] - (y + dy + turn * x)]
        };
        let off: Vec<[f64; 2]> = self.screws.iter().zip(&part.holes).map(of).collect();
        let [bass, treble] = [BASS, TREBLE].map(|side| rooms.at_side(side, [0.0, dy, turn]));
        let (low, high) = (-bass, treble);
        let spare_at = |dx: f64| {
            let dx = if low > high { f64::midpoint(low, high) } else { dx.clamp(low, high) };
            let left = |([along, across], play): (&[f64; 2], &f64)| play - (along - dx).hypot(*across);
            off.iter().zip(&part.plays).map(left).fold(f64::INFINITY, f64::min)
        };
        let ends = off.iter().map(|at| at[0]);
        let [first, last] =
            [ends.clone().fold(f64::INFINITY, f64::min), ends.fold(f64::NEG_INFINITY, f64::max)];
        let screws = thirds([first, last], COARSE, spare_at);
        // The sides can't be passed, so that what is beyond them costs more than any screw gains.
        let sides = [NECK, BRIDGE].map(|side| rooms.at_side(side, [0.0, dy, turn]));
        let beyond = sides[0].min(sides[1]).min(0.5 * (treble + bass)).min(0.0);
        screws + 100.0 * (beyond - self.beyond_flanks(part, dy, turn))
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
