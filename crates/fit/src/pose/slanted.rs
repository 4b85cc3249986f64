//! A body whose sides are slanted on purpose in the rout that it follows.

use bobbinwright_elementary::Elementary;
use bobbinwright_geometry::parts::{Layout, Slanted};
use bobbinwright_spec::{Estimate, Length, Rout, Side};

use super::Condition;
use super::condition::cross;
use crate::kind::Where;

/// What a body must keep to, as long as it is not moved: each straight side against the rout's, on a line square to this, and
/// the arcs in the corners. `errors` are by how much the printed length and width are off.
pub(super) fn nested(
    rout: &Rout,
    layout: &Layout,
    slanted: &Slanted,
    errors: &[Estimate; 2],
) -> Vec<(Condition, Where)> {
    let body = Body { rout, layout, slanted, errors };
    let mut all = Vec::new();
    for (_, side) in Side::ALL {
        let [begin, end] = body.straight(side);
        let middle = [0, 1].map(|i| f64::midpoint(begin[i], end[i]));
        let of = [begin, middle, end].map(|point| body.rooms(side, point));
        let at = if side.is_end() { Where::Ends } else { Where::Sides };
        // A recess for an ear most often opens in an end's middle.
        if side.is_end() && rout.ears.as_ref().is_some_and(|ears| ears.at.iter().any(|at| at.side == side)) {
            let towards = body.towards(side);
            for (point, rooms) in [(begin, &of[0]), (end, &of[2])] {
                let of_point =
                    rooms.iter().map(|room| Condition::Side { point, towards, room: room.clone() });
                all.extend(of_point.map(|condition| (condition, at)));
            }
            continue;
        }
        // What it slides along is told by the rooms from end to end: the way out is square to the body's own side.
        let towards = outwards_of(begin, end, body.towards(side));
        let [begins, middles, ends] = of;
        for ((a, b), c) in begins.into_iter().zip(middles).zip(ends) {
            let along = Condition::Along { ends: [begin, end], towards, rooms: [a, b, c] };
            all.push((along, at));
        }
    }
    all.extend(layout.corners.iter().filter_map(|(corner, radius)| body.corner(corner, *radius)));
    all
}

/// Square to a line, to the side that a direction is on.
fn outwards_of([a, b]: [f64; 2], [c, d]: [f64; 2], about: [f64; 2]) -> [f64; 2] {
    /// Between round corners that meet there is a point and no line, mm.
    const POINT: f64 = 1e-6;
    let (x, y) = (d - b, a - c);
    if x.hypotenuse(y) < POINT {
        return about;
    }
    let long = x.hypotenuse(y) * (x * about[0] + y * about[1]).signum();
    [x / long, y / long]
}

/// All with treble and neck positive.
struct Body<'b> {
    rout: &'b Rout,
    layout: &'b Layout,
    slanted: &'b Slanted,
    errors: &'b [Estimate; 2],
}

impl Body<'_> {
    /// The direction in which a side of the rout faces.
    fn towards(&self, side: Side) -> [f64; 2] {
        let slope = self.rout.slope(side);
        let long = slope.hypotenuse(1.0);
        let [x, y] = super::outwards(side);
        if side.is_end() { [x / long, -slope / long] } else { [-slope / long, y / long] }
    }

    /// A corner between an end and a side.
    fn of_corner([end, side]: [f64; 2]) -> [Side; 2] {
        [
            if end > 0.0 { Side::Treble } else { Side::Bass },
            if side > 0.0 { Side::Neck } else { Side::Bridge },
        ]
    }

    /// The middle of the arc in a corner of the body.
    fn centre(&self, corner: [f64; 2]) -> [f64; 2] {
        let radius = self.layout.corners.at(corner).as_mm();
        let centre = self.slanted.centre(corner, radius, self.layout.handed);
        [centre.x * self.layout.handed.treble(), centre.y]
    }

    /// The place of an arc of the body that is furthest out towards a side of the rout: where it begins, if both are parallel.
    fn begins(&self, corner: [f64; 2], side: Side) -> [f64; 2] {
        let (centre, radius) = (self.centre(corner), self.layout.corners.at(corner).as_mm());
        let [x, y] = self.towards(side);
        [centre[0] + radius * x, centre[1] + radius * y]
    }

    /// The ends of a straight side of the body.
    fn straight(&self, side: Side) -> [[f64; 2]; 2] {
        let [x, y] = super::outwards(side);
        let corners = if side.is_end() { [[x, -1.0], [x, 1.0]] } else { [[-1.0, y], [1.0, y]] };
        corners.map(|corner| self.begins(corner, side))
    }

    /// What is left beside a place of the body, square to the rout's side; where this leans, at the top edge and at the floor.
    fn rooms(&self, side: Side, point: [f64; 2]) -> Vec<Estimate> {
        let [x, y] = super::outwards(side);
        let out = Estimate::exact(Length::from_mm(point[0] * x + point[1] * y));
        let (along, error) = if side.is_end() { (point[1], 0) } else { (point[0], 1) };
        let square = 1.0 / self.rout.slope(side).hypotenuse(1.0);
        let reaches = self.rout.reaches(side, along).into_iter();
        reaches.map(|reach| (reach - out.clone()) * square - self.errors[error].clone() * 0.5).collect()
    }

    fn corner(&self, corner: [f64; 2], radius: Length) -> Option<(Condition, Where)> {
        let arcs = self.rout.corners.at(corner).clone() - Estimate::exact(radius);
        // A rounder corner than the outer one is beside it wherever the sides are.
        if arcs.value().as_mm() + 4.0 * arcs.uncertainty().as_mm() <= 0.0 {
            return None;
        }
        let sides = Self::of_corner(corner);
        let [n1, n2] = sides.map(|side| self.towards(side));
        let play = |side: Side| {
            let rooms = self.rooms(side, self.begins(corner, side)).into_iter();
            rooms.min_by(|a, b| a.value().as_mm().total_cmp(&b.value().as_mm()))
        };
        // Both centres lie a radius inwards of their sides.
        let [a, b] = [arcs.clone() - play(sides[0])?, arcs.clone() - play(sides[1])?];
        let turn = cross(n1, n2);
        let off = [
            a.clone() * (n2[1] / turn) - b.clone() * (n1[1] / turn),
            b * (n1[0] / turn) - a * (n2[0] / turn),
        ];
        let condition =
            Condition::Round { point: self.centre(corner), off, room: arcs, corner: Some([n1, n2]) };
        Some((condition, Where::Corners))
    }
}
