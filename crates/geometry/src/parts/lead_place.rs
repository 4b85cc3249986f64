//! The block of air for the lead through a cover's or a baseplate's side.

use bobbinwright_kernel::plane::{Point, Vector};
use bobbinwright_spec::{Handed, LeadOut, Length};

use super::shapes::LeadBox;
use super::sides::{on_body, outwards};
use super::slanted::Slanted;

/// How far the lead-out's cutter stands out of the outline; only there to cut clean through.
const OVERSHOOT: f64 = 1.0;

/// Where a cover's lead-out opens.
pub(super) struct LeadPlace<'w> {
    pub handed: Handed,
    pub lead: &'w LeadOut,
    pub length: Length,
    pub width: Length,
    pub slanted: Option<Slanted>,
}

impl LeadPlace<'_> {
    /// The block of air, from outside the outline to `reach` inside the body's side.
    pub fn reaching(&self, reach: Length) -> LeadBox {
        let LeadOut { side, offset, .. } = *self.lead;
        let mouth = on_body(self.slanted.as_ref(), side, offset, [self.length, self.width], self.handed);
        let out = outwards(self.lead.side, self.handed);
        let half = self.lead.width.as_mm() / 2.0;
        let across = Vector::new(out.y.abs(), out.x.abs()) * half;
        let (mut outer, mut inner) = (mouth + out * OVERSHOOT, mouth - out * reach.as_mm());
        if let Some(slanted) = &self.slanted {
            // A slanted side is further out at one edge of the notch than at the other.
            let at = if self.lead.side.is_end() { mouth.y } else { mouth.x };
            let places =
                [at - half, at, at + half].map(|at| slanted.reach_at(self.lead.side, at, self.handed));
            let (least, most) =
                places.into_iter().fold((f64::INFINITY, 0.0f64), |(l, m), p| (l.min(p), m.max(p)));
            let on = |far: f64| {
                if self.lead.side.is_end() {
                    Point::new(out.x * far, mouth.y)
                } else {
                    Point::new(mouth.x, out.y * far)
                }
            };
            (outer, inner) = (on(most + OVERSHOOT), on(least - reach.as_mm()));
        }
        LeadBox { min: outer.inf(&inner) - across, max: outer.sup(&inner) + across }
    }
}
