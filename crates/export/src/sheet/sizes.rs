//! What a sheet's drawing is drawn with.

use bobbinwright_elementary::Elementary;
use bobbinwright_geometry::parts::{Slanted, outwards};
use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::{
    Corners, Handed, Length, PositionQuantity as P, Quantity, Side, Survey, SurveyedPosition,
};

use super::Row;

/// Sizes of what is drawn, mm: what is known, and usual ones for what is not.
pub(super) struct Sizes<'a> {
    pub rows: &'a [&'a Row<'a>],
    pub strings: usize,
    pub handed: Handed,
    pub length: f64,
    pub width: f64,
    /// Where it is no rectangle.
    pub slanted: Option<Slanted>,
    /// In each corner.
    pub corners: Corners<Length>,
    pub depth: f64,
    /// Reach, width, depth and corner radius of an ear recess.
    pub ear: Option<[f64; 4]>,
    /// Where the ear recesses are: the side, and how far from its middle.
    pub ears: Vec<(Side, f64)>,
    /// Where the screws are, from the rout's middle.
    pub screws: Vec<Point>,
    /// How far strings go along x on a way of 1 towards the neck.
    pub run: f64,
}

impl<'a> Sizes<'a> {
    pub fn new(survey: &Survey, position: &SurveyedPosition, rows: &'a [&'a Row<'a>]) -> Self {
        let mut sizes = Self {
            rows,
            strings: survey.strings,
            handed: survey.handed,
            length: 0.0,
            width: 0.0,
            slanted: None,
            corners: Corners::of(|_| Length::ZERO),
            depth: 0.0,
            ear: None,
            ears: Vec::new(),
            screws: Vec::new(),
            run: -survey.handed.treble() * position.slant.as_radians().tangent(),
        };
        sizes.length = sizes.or(P::RoutLength, 10.0 * (survey.strings - 1) as f64 + 42.0);
        sizes.width = sizes.or(P::RoutWidth, 38.0);
        let most = Length::from_mm(sizes.width / 2.0);
        let usual = Length::from_mm(sizes.or(P::RoutCornerRadius, 6.0)).min(most);
        let read = position.corners.as_ref();
        sizes.corners = read.map_or(Corners::of(|_| usual), |radii| radii.map(|radius| radius.min(most)));
        let read =
            position.sides.as_ref().and_then(|sides| Slanted::of(position.outline, sides, sizes.handed));
        sizes.slanted =
            read.or_else(|| Slanted::usual(position.outline, [sizes.length, sizes.width], sizes.handed));
        sizes.depth = sizes.or(P::RoutDepth, 20.0);
        sizes.ear = (!position.ears.is_empty()).then(|| {
            let width = sizes.or(P::EarWidth, 14.0);
            let radius = sizes.or(P::EarCornerRadius, 3.0).min(width / 2.0);
            [sizes.or(P::EarLength, 10.0), width, sizes.or(P::EarDepth, 8.0), radius]
        });
        sizes.ears = evenly(&position.ears, [sizes.length, sizes.width]);
        sizes.screws = (1..=position.screws).map(|n| sizes.screw(n, position.screws)).collect();
        // A recess in a long side is drawn about its screw.
        let treble = sizes.handed.treble();
        for ((_, along), screw) in
            sizes.ears.iter_mut().zip(&sizes.screws).filter(|((side, _), _)| !side.is_end())
        {
            *along = screw.x * treble;
        }
        sizes
    }

    /// Where screw `n` of so many is: as far as it was read, else where its ear is, or where screws usually are.
    fn screw(&self, n: usize, count: usize) -> Point {
        let (half, side) = (self.length / 2.0, self.width / 2.0);
        let usual = match (self.ears.get(n - 1), count) {
            (Some((at, offset)), _) => {
                let out = outwards(*at, Handed::Right);
                let middle = self.ear.map_or(0.0, |ear| ear[0] / 2.0);
                if at.is_end() {
                    [out.x * (half + middle), *offset]
                } else {
                    [*offset, out.y * (side + middle)]
                }
            }
            (None, 1) => [0.0, 0.0],
            (None, 2) => [(half - 5.5) * if n == 1 { 1.0 } else { -1.0 }, 0.0],
            // From treble to bass, the one at the neck first.
            (None, _) => {
                let columns = (count.div_ceil(2) - 1).max(1) as f64;
                let at = ((n - 1) / 2) as f64 / columns;
                [(half - 8.0) * (1.0 - 2.0 * at), (side - 8.0) * if n % 2 == 1 { 1.0 } else { -1.0 }]
            }
        };
        let of = |q| self.row(q).and_then(|r| r.known.estimate.as_ref()).map(|e| e.value().as_mm());
        let from = |plus, minus, half: f64| {
            let near = of(P::ScrewSide(n, plus)).map(|reach| half - reach);
            near.or_else(|| of(P::ScrewSide(n, minus)).map(|reach| reach - half))
        };
        let is_usual = count == 2 && self.ears.iter().all(|(at, _)| at.is_end());
        let pitch = of(P::ScrewPitch).filter(|_| is_usual).map(|p| p / 2.0 * 1f64.copysign(usual[0]));
        let along = pitch.or_else(|| from(Side::Treble, Side::Bass, half)).unwrap_or(usual[0]);
        let across = from(Side::Neck, Side::Bridge, side).filter(|_| !is_usual).unwrap_or(usual[1]);
        Point::new(self.handed.treble() * along, across)
    }

    /// The row of a quantity of this position.
    pub fn row(&self, of: P) -> Option<&'a Row<'a>> {
        self.rows.iter().copied().find(|r| matches!(&r.known.quantity, Quantity::At(_, q) if *q == of))
    }

    /// A quantity's best value, or a usual one.
    pub fn or(&self, of: P, usual: f64) -> f64 {
        self.row(of).and_then(|r| r.known.estimate.as_ref()).map_or(usual, |e| e.value().as_mm())
    }

    /// Is there an ear's recess at the left end, and at the right one?
    pub fn ends_with_ears(&self) -> [bool; 2] {
        let has = |x: f64| self.ears.iter().any(|(side, _)| outwards(*side, self.handed).x == x);
        [has(-1.0), has(1.0)]
    }

    /// Half the drawing's width, ears included.
    pub fn reach(&self) -> f64 {
        self.length / 2.0 + self.beyond(Side::is_end)
    }

    /// Half its height.
    pub fn rise(&self) -> f64 {
        self.width / 2.0 + self.beyond(|side| !side.is_end())
    }

    /// How far ears reach beyond some of the sides.
    fn beyond(&self, is_one: impl Fn(Side) -> bool) -> f64 {
        let has = self.ears.iter().any(|(side, _)| is_one(*side));
        self.ear.filter(|_| has).map_or(0.0, |ear| ear[0])
    }

    /// The x of string `n`: evenly between the outer ones.
    pub fn string(&self, n: usize) -> f64 {
        let bass =
            -self.length / 2.0 + self.or(P::BassSide, self.length * 0.22).clamp(2.0, self.length * 0.4);
        let treble = self.length / 2.0
            - self.or(P::TrebleSide, -bass.abs() + self.length / 2.0).clamp(2.0, self.length * 0.4);
        self.handed.treble() * (treble + (bass - treble) * (n - 1) as f64 / (self.strings - 1) as f64)
    }

    /// String pairs that are read: neighbours, and others.
    pub fn pairs(&self) -> impl Iterator<Item = (usize, usize, &'a Row<'a>)> {
        self.rows.iter().filter_map(|r| match r.known.quantity {
            Quantity::At(_, P::StringPair(a, b)) => Some((a, b, *r)),
            _ => None,
        })
    }
}

/// Ears on one side evenly along it, as long as nobody knows where they are.
fn evenly(sides: &[Side], [length, width]: [f64; 2]) -> Vec<(Side, f64)> {
    let of = |(i, side): (usize, &Side)| {
        let count = sides.iter().filter(|other| *other == side).count() as f64;
        let before = sides[..i].iter().filter(|other| *other == side).count() as f64;
        // From treble to bass, and from the neck to the bridge.
        let along = if side.is_end() { width } else { length };
        (*side, along * (0.5 - (before + 0.5) / count) * 0.8)
    };
    sides.iter().enumerate().map(of).collect()
}
