//! Where things stand for the viewer: positions beside each other, parts in their routs.

use bobbinwright_core::Prepared;
use bobbinwright_elementary::Elementary;
use bobbinwright_fit::{Check, Place};
use bobbinwright_kernel::solid::{Point3, Vector3};
use bobbinwright_spec::{Length, PartKind, Position};

/// Where a position stands in the scene.
#[derive(Clone, Debug, PartialEq)]
pub struct Stand {
    /// Its rout's middle along the row of strings and towards the neck, and its baseplate's underside, mm.
    pub at: [f64; 3],
    /// From where to where its strings are drawn, towards the neck from there, mm.
    pub(crate) strings: [f64; 2],
    /// How far each string goes along the row and out of the body on a way of 1 towards the neck, where that is known from
    /// another position.
    ways: Vec<[f64; 2]>,
}

impl Stand {
    /// The way of a string, by its place in the list.
    pub(crate) fn way(&self, position: &Position, string: usize) -> [f64; 2] {
        let run = || position.strings.get(string).map(|string| position.run(string)).unwrap_or_default();
        self.ways.get(string).copied().unwrap_or_else(|| [run(), 0.0])
    }
}

/// Where the positions stand: at their true distance where it is known how far each is from the bridge, strings in line with
/// each other; or else as in the assembly.
pub fn stands(prepared: &Prepared, from_bridge: &[Option<Length>]) -> Vec<Stand> {
    let positions = &prepared.family.positions;
    let known: Option<Vec<f64>> = from_bridge.iter().map(|d| d.map(Length::as_mm)).collect();
    let half = |position: &Position| position.rout.width.value().as_mm() * 0.75;
    let (Some(from_bridge), true) = (known, positions.len() > 1 && from_bridge.len() == positions.len())
    else {
        let of = |(index, position): (usize, &Position)| {
            let place = prepared.positions[index].parts.first().map(|part| prepared.place(index, part));
            let y = place.map(|place| place[1].as_mm()).unwrap_or_default();
            Stand { at: [0.0, y, 0.0], strings: [-half(position), half(position)], ways: Vec::new() }
        };
        return positions.iter().enumerate().map(of).collect();
    };
    // Strings are in line, and the body's face is one.
    let middle = |position: &Position| {
        let x = position.strings.iter().map(|s| position.handed.x(s.place.value()));
        x.sum::<f64>() / position.strings.len().max(1) as f64
    };
    let at = |(position, distance): (&Position, &f64)| {
        let first = &positions[0];
        [middle(first) - middle(position), distance - from_bridge[0], face(first) - face(position)]
    };
    let places: Vec<[f64; 3]> = positions.iter().zip(&from_bridge).map(at).collect();
    let point = |index: usize, string: usize| {
        let (position, [x, _, _]) = (&positions[index], places[index]);
        let s = position.strings.get(string)?;
        Some([x + position.handed.x(s.place.value()), (s.height.value() + s.gauge.value() * 0.5).as_mm()])
    };
    let of = |(index, position): (usize, &Position)| {
        let way_to = |other: usize| places[other][1] - places[index][1];
        // To halfway between two positions, where the other's begin.
        let mut strings = [-half(position), half(position)];
        let others = (0..positions.len()).filter(|other| way_to(*other) != 0.0);
        for other in others.clone() {
            let half = way_to(other) / 2.0;
            strings = [strings[0].min(half), strings[1].max(half)];
        }
        let nearest = others.min_by(|a, b| way_to(*a).abs().total_cmp(&way_to(*b).abs()));
        let way = |other: usize, string: usize| {
            let ([x, z], [ox, oz]) = (point(index, string)?, point(other, string)?);
            Some([(ox - x) / way_to(other), (oz - z) / way_to(other)])
        };
        let ways = nearest.and_then(|other| (0..position.strings.len()).map(|n| way(other, n)).collect());
        Stand { at: places[index], strings, ways: ways.unwrap_or_default() }
    };
    positions.iter().enumerate().map(of).collect()
}

/// Where a check is decided, as the viewer has it; none of a position that does not stand anywhere.
pub fn place(prepared: &Prepared, stands: &[Stand], check: &Check) -> Option<Place> {
    let index = prepared.family.positions.iter().position(|p| p.name == check.position)?;
    let [x, y, z] = stands.get(index)?.at;
    let place = check.place(&prepared.family.positions[index], &prepared.positions[index]);
    let part = check.kind.parts().first().copied().unwrap_or(PartKind::Cover);
    let lies = Lies::of(prepared, &check.position, part);
    let at = lies.point(Point3::from(place.at)) + Vector3::new(x, y, z);
    Some(Place { at: at.into(), towards: lies.way(Vector3::from(place.towards)).into(), ..place })
}

/// How a thing is moved and turned in its rout.
#[derive(Clone, Copy)]
pub(crate) struct Lies {
    by: [f64; 2],
    sine: f64,
    cosine: f64,
}

impl Default for Lies {
    fn default() -> Self {
        Self::new([0.0; 3])
    }
}

impl Lies {
    /// A part of a position where it lies best; as it was drawn where it can't be screwed down.
    pub fn of(prepared: &Prepared, position: &str, part: PartKind) -> Self {
        prepared.fit.place_of(position, part).map_or_else(Self::default, Self::new)
    }

    fn new([x, y, turn]: [f64; 3]) -> Self {
        Self { by: [x, y], sine: turn.sine(), cosine: turn.cosine() }
    }

    pub fn way(&self, v: Vector3) -> Vector3 {
        Vector3::new(v.x * self.cosine - v.y * self.sine, v.x * self.sine + v.y * self.cosine, v.z)
    }

    pub fn point(&self, p: Point3) -> Point3 {
        Point3::from(self.way(p.coords) + Vector3::new(self.by[0], self.by[1], 0.0))
    }
}

/// Height of the body's face over the baseplate's underside, mm: ears rest on their recesses, or on the face where
/// there are none; a cover on bosses rests on the rout's floor.
pub(crate) fn face(position: &Position) -> f64 {
    use bobbinwright_spec::Mounting::{Bosses, Ears};
    let depth = match (position.wanted.cover.mounting, &position.rout.ears) {
        (Ears { .. }, Some(recess)) => recess.depth.value().as_mm(),
        (Ears { .. }, None) => 0.0,
        (Bosses { .. }, _) => position.rout.depth.value().as_mm(),
    };
    depth - position.wanted.seat.lift.as_mm()
}
