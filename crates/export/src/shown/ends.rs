//! Places on a part that several sizes are marked at.

use bobbinwright_geometry::parts::outwards;
use bobbinwright_kernel::plane::{Point, Vector};
use bobbinwright_spec::Length;

use super::Model;
use super::mark::Mark;

/// The cosine of an eighth of a turn.
const EIGHTH: f64 = std::f64::consts::FRAC_1_SQRT_2;

impl Model<'_> {
    /// Half the body's length and width, mm.
    pub(super) fn half(&self) -> [f64; 2] {
        [self.layout().length, self.layout().width].map(|size| (size / 2.0).as_mm())
    }

    /// The radius of the body's corner at the right end, towards the neck.
    pub(super) fn right_corner(&self) -> Length {
        *self.layout().corners.at([self.layout().handed.treble(), 1.0])
    }

    /// Between two upright lines that are as far from the middle as this, at a height.
    pub(super) fn over(half: f64, y: f64) -> Mark {
        Mark::across([-half, half], y)
    }

    /// On the side towards the neck, between two distances from the middle, where no rod, boss or ear is likely.
    pub(super) fn on_neck_side(&self, from: f64, to: f64) -> Mark {
        Mark::upright([from.min(to), from.max(to)], self.half()[0] * 0.3)
    }

    /// The middle of the first ear's end, the way out of the body, and half its width.
    pub(super) fn ear(&self) -> Option<(Point, Vector, f64)> {
        let layout = self.layout();
        let tab = layout.tabs.first()?;
        // Lengths are marked along the row and across it; an ear askew is marked as if it were not.
        let out = outwards(tab.side, layout.handed);
        let end = tab.place(layout.handed, tab.reach.as_mm(), tab.offset.as_mm());
        Some((end, out, (tab.width / 2.0).as_mm()))
    }

    /// Along a way out of the body, from one place to another so far inwards.
    pub(super) fn inwards(end: Point, out: Vector, by: f64) -> Mark {
        let inner = end - out * by;
        if out.x == 0.0 {
            Mark::upright([end.y.min(inner.y), end.y.max(inner.y)], end.x)
        } else {
            Mark::across([end.x.min(inner.x), end.x.max(inner.x)], end.y)
        }
    }

    /// Across a way out of the body, so far to either side of a place.
    pub(super) fn beside(at: Point, out: Vector, half: f64) -> Mark {
        if out.x == 0.0 {
            Mark::across([at.x - half, at.x + half], at.y)
        } else {
            Mark::upright([at.y - half, at.y + half], at.x)
        }
    }

    /// The radius of the upper right corner of something with these half sizes.
    pub(super) fn corner([x, y]: [f64; 2], radius: Length) -> Mark {
        let radius = radius.as_mm();
        let middle = Point::new(x - radius, y - radius);
        Mark::Corner { middle, on: middle + Vector::new(EIGHTH, EIGHTH) * radius }
    }
}
