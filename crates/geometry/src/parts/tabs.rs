//! Ears on the outline of cover and baseplate.

use bobbinwright_kernel::plane::{Contour, Point, offset};
use bobbinwright_spec::{Handed, Length, Side};

use super::fault::Fault;
use super::shapes::EarShape;
use super::sides::outwards;

/// An ear on the outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tab {
    /// The side of the body that it stands out of.
    pub side: Side,
    /// Its middle from the side's, towards treble on the long sides, towards the neck on the ends.
    pub offset: Length,
    /// Its end from the body's middle.
    pub reach: Length,
    /// Along the side.
    pub width: Length,
}

/// So far beneath the body's side, as a share of the way to the middle, an ear's rectangle begins: deep enough to stand
/// in one piece with the body, and short of the ear on the other side.
const ROOTED: f64 = 0.25;

impl Tab {
    /// Its rectangle, rooted in the body; `wider` on either side and with corners of this radius, mm.
    pub fn contour(&self, handed: Handed, wider: f64, radius: f64) -> Contour {
        let out = outwards(self.side, handed);
        let (reach, width) = (self.reach.as_mm(), self.width.as_mm() + 2.0 * wider);
        let (root, middle) = (reach * ROOTED, reach * (1.0 + ROOTED) / 2.0);
        let length = reach - root;
        let (center, [along, across]) = if self.side.is_end() {
            (Point::new(out.x * middle, self.offset.as_mm()), [length, width])
        } else {
            (Point::new(handed.x(self.offset), out.y * middle), [width, length])
        };
        // Where the material stretches differently, a round end has no more than half its width.
        Contour::rounded_rectangle(center, along, across, radius.min(width / 2.0))
    }
}

/// Body and ears as one outline: united, then grown and shrunk by the blend, which rounds the
/// inward corners and leaves the outward ones.
pub(super) fn outline(
    body: &Contour,
    ear: &EarShape,
    tabs: &[Tab],
    handed: Handed,
) -> Result<Contour, Fault> {
    let width = ear.width.as_mm();
    if width <= 0.5 {
        return Err(Fault::new("cover.fit_gap", "nothing of the ears is left between the gaps"));
    }
    let radius = ear.corner_radius.as_mm();
    if radius > (width / 2.0).min(ear.length.as_mm()) {
        let why = "an ear's corner radius can't be more than half its width or its length";
        return Err(Fault::new("cover.mounting.corner_radius", why));
    }
    for (number, one) in tabs.iter().enumerate() {
        let others = tabs[number + 1..].iter().filter(|other| other.side == one.side);
        let between = |other: &Tab| (other.offset - one.offset).abs() - one.width;
        if others.map(between).any(|left| left < ear.blend * 2.0) {
            let why = "two ears on one side have no room for their blends between them";
            return Err(Fault::new("cover.mounting.blend", why));
        }
    }
    let mut all = vec![body.clone()];
    all.extend(tabs.iter().map(|tab| tab.contour(handed, 0.0, radius)));
    let united = offset::borders(&all, &[]);
    let mut outer = united.into_iter().filter(|b| !b.hole).map(|b| b.contour);
    let (Some(sharp), None) = (outer.next(), outer.next()) else {
        return Err(Fault::new("cover.mounting.width", "the ears do not join the body"));
    };
    let blend = ear.blend.as_mm();
    let grown = offset::outset(&sharp, blend);
    let blended = grown.iter().flat_map(|c| offset::inset(c, blend)).collect::<Vec<_>>();
    match <[Contour; 1]>::try_from(blended) {
        Ok([outline]) => Ok(outline),
        Err(_) => Err(Fault::new("cover.mounting.blend", "the blend is too large for ear and body")),
    }
}
