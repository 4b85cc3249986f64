//! What the bosses round the screws leave of the flatwork.
//!
//! A boss in the strings' row ends the plates: beside it there is nothing for a coil to go round. One beside the row is
//! cut out of them, and with it what would stand outside of it as a thin tongue.

use bobbinwright_kernel::plane::{Contour, Point, Segment};
use bobbinwright_spec::Length;

use super::shapes::{Boss, PlateShape};

/// A strip of a plate outside of a boss that is narrower than this, mm, goes with it.
const TONGUE: f64 = 3.0;

/// How far a cut stands out over the plate's edge, mm; only there to cut clean through.
const OVERSHOOT: f64 = 1.0;

/// A piece that is cut out of the plates from the edge inwards, round inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// The boss's middle, mm.
    pub center: Point,
    /// Of its round end, mm: the boss and what the plates keep clear of it.
    pub radius: f64,
    /// It takes the plate's corner off; otherwise it is a notch in a long edge.
    pub corner: bool,
    /// It goes to the edge on the neck's side of the row; otherwise to that on the bridge's.
    pub to_neck: bool,
}

impl Relief {
    /// Its border, for plates of a shape.
    pub fn contour(&self, plate: PlateShape) -> Contour {
        let Self { center: Point { coords, .. }, radius, corner, to_neck } = *self;
        let (x, y) = (coords.x, coords.y);
        let (u, v) = (1f64.copysign(x), if to_neck { 1.0 } else { -1.0 });
        let beyond = |half: Length, at: f64| half.as_mm().max(at) + OVERSHOOT;
        let top = v * beyond(plate.width / 2.0, y * v);
        // As it would be towards +x and +y; the arc turns the other way where one of them is mirrored.
        let ccw = u * v > 0.0;
        let inner = Point::new(x - u * radius, y);
        let mut corners = vec![Point::new(x - u * radius, top), inner];
        let mut sides = vec![Segment::line(corners[0], inner)];
        let bottom = Point::new(x, y - v * radius);
        if corner {
            let far = u * beyond(plate.length / 2.0, x.abs());
            sides.push(Segment::arc(inner, bottom, self.center, ccw));
            corners = vec![bottom, Point::new(far, bottom.y), Point::new(far, top), corners[0]];
        } else {
            let outer = Point::new(x + u * radius, y);
            sides.push(Segment::arc(inner, bottom, self.center, ccw));
            sides.push(Segment::arc(bottom, outer, self.center, ccw));
            corners = vec![outer, Point::new(outer.x, top), corners[0]];
        }
        sides.extend(corners.windows(2).map(|ends| Segment::line(ends[0], ends[1])));
        if !ccw {
            sides = sides.into_iter().rev().map(Segment::reversed).collect();
        }
        Contour::new(sides)
    }

    /// Distance from the line between two places on the strings' row, which is so far from the middle line, mm; negative inside.
    pub fn from_row(&self, [least, most]: [f64; 2], row: f64) -> f64 {
        use bobbinwright_elementary::Elementary;
        let outwards = 1f64.copysign(self.center.x);
        let [near, far] = if outwards > 0.0 { [least, most] } else { [-most, -least] };
        let x = self.center.x * outwards;
        // Outside of its middle a corner is cut off all along.
        let off = if self.corner { (x - far).max(0.0) } else { x - x.clamp(near, far) };
        off.hypotenuse(self.center.y - row) - self.radius
    }
}

/// What stands in the plates' way in the hollow.
pub(super) struct InTheWay<'s> {
    pub boss: Option<Boss>,
    pub screws: &'s [Point],
    /// What the plates keep clear of walls and bosses.
    pub clear: Length,
    /// How far the strings' row is from the middle line, towards the neck, mm.
    pub row: f64,
}

impl InTheWay<'_> {
    fn around(&self, boss: Boss) -> f64 {
        (boss.diameter / 2.0 + self.clear).as_mm()
    }

    fn beside_row(&self, screw: &Point) -> f64 {
        (screw.y - self.row).abs()
    }

    /// From the middle to what stands in the plates' way along the strings' row: the nearest boss in it, or the walls. The
    /// plates lie in the middle, since the strings do.
    pub fn half_room(&self, length: Length, wall: Length) -> Length {
        let to_walls = length / 2.0 - wall;
        let nearest = self.boss.and_then(|boss| {
            let in_row = self.screws.iter().filter(|screw| self.beside_row(screw) < self.around(boss));
            let nearest = in_row.map(|screw| screw.x.abs()).min_by(f64::total_cmp)?;
            Some(Length::from_mm(nearest) - boss.diameter / 2.0)
        });
        nearest.unwrap_or(to_walls).min(to_walls) - self.clear
    }

    /// What is cut out of plates of a shape.
    pub fn reliefs(&self, plate: PlateShape) -> Vec<Relief> {
        let Some(boss) = self.boss else { return Vec::new() };
        let radius = self.around(boss);
        let [x, y] = [plate.length / 2.0, plate.width / 2.0].map(Length::as_mm);
        let meets = |screw: &&Point| screw.x.abs() - radius < x && screw.y.abs() - radius < y;
        let beside = self.screws.iter().filter(|screw| self.beside_row(screw) >= radius).filter(meets);
        let of = |screw: &Point| Relief {
            center: *screw,
            radius,
            corner: screw.x.abs() + radius > x - TONGUE,
            to_neck: screw.y > self.row,
        };
        beside.map(of).collect()
    }
}
