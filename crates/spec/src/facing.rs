//! Which way a rout's sides face, where some are slanted on purpose.

use bobbinwright_elementary::Elementary;

use crate::Estimate;
use crate::outline::Outline;
use crate::screws::ScrewAt;
use crate::wanted::Side;

/// Two directions of length 1, square to each other: out of a side and along it, towards treble on the long sides, towards the
/// neck on the ends. All with treble and neck positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facing {
    /// Out of the side.
    pub out: [f64; 2],
    /// Along it.
    pub along: [f64; 2],
}

impl Facing {
    /// A side that runs so much further out for each mm along it.
    pub fn of(side: Side, slope: f64) -> Self {
        let [x, y] = match side {
            Side::Treble => [1.0, 0.0],
            Side::Bass => [-1.0, 0.0],
            Side::Neck => [0.0, 1.0],
            Side::Bridge => [0.0, -1.0],
        };
        if slope == 0.0 {
            return Self { out: [x, y], along: if side.is_end() { [0.0, 1.0] } else { [1.0, 0.0] } };
        }
        let long = slope.hypotenuse(1.0);
        if side.is_end() {
            Self { out: [x / long, -slope / long], along: [slope * x / long, 1.0 / long] }
        } else {
            Self { out: [-slope / long, y / long], along: [1.0 / long, slope * y / long] }
        }
    }

    /// A place so far out from the middle and so far along.
    pub fn place(&self, out: f64, along: f64) -> [f64; 2] {
        [0, 1].map(|i| self.out[i] * out + self.along[i] * along)
    }

    /// How far out a place is, and how far along.
    pub fn told(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [self.out, self.along].map(|[u, v]| x * u + y * v)
    }

    /// The same of a screw.
    pub fn screw(&self, screw: &ScrewAt) -> [Estimate; 2] {
        [self.out, self.along].map(|way| {
            let parts = [(&screw.along, way[0]), (&screw.across, way[1])];
            let parts = parts.into_iter().filter(|(_, share)| *share != 0.0);
            let share = |(place, share): (&Estimate, f64)| {
                if share == 1.0 { place.clone() } else { place.clone() * share }
            };
            parts.map(share).reduce(|sum, part| sum + part).unwrap_or_default()
        })
    }
}

impl Outline {
    /// Is a side not meant to run along the row, or square to it?
    pub fn slants(self, side: Side) -> bool {
        !self.is_parallel() || !self.is_square() && side.is_end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An end that runs 8 to treble on a way of 30 towards the neck: square to it is 30 by -8, over 31.05 (Pythagoras); the other
    /// end runs inwards there, and faces the other way.
    #[test]
    fn sides_face_square_to_themselves() {
        let slope = 8.0 / 30.0;
        let long = 30f64.hypotenuse(8.0);
        for (side, slope, sign) in [(Side::Treble, slope, 1.0), (Side::Bass, -slope, -1.0)] {
            let found = Facing::of(side, slope);
            let expected = [[30.0 * sign / long, -8.0 * sign / long], [8.0 / long, 30.0 / long]];
            for (found, expected) in [found.out, found.along].iter().flatten().zip(expected.iter().flatten())
            {
                assert!((found - expected).abs() < 1e-12, "{found} {expected}");
            }
            let [out, along] = found.told(found.place(40.0, -3.0));
            assert!((out - 40.0).abs() < 1e-12 && (along + 3.0).abs() < 1e-12);
        }
        let bridge = Facing::of(Side::Bridge, 0.1);
        // Further out towards treble: it faces the bridge and a little towards bass.
        assert!(bridge.out[0] < 0.0 && bridge.out[1] < 0.0 && bridge.along[0] > 0.0 && bridge.along[1] < 0.0);
    }
}
