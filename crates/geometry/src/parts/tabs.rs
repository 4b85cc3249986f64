//! Ears on the outline of cover and baseplate.

use bobbinwright_kernel::plane::{Contour, Point, Vector, cross, offset};
use bobbinwright_spec::{EarAt, Handed, Length, Position, ScrewAt, Side};

use super::fault::Fault;
use super::shapes::{EarShape, hundredth};
use super::sides::{half, outwards};
use super::slanted::{Border, Slanted};

/// An ear on the outline, square to the side that it stands out of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tab {
    /// The side of the body that it stands out of.
    pub side: Side,
    /// The way out of that, of length 1.
    pub out: Vector,
    /// Its middle line from the body's middle, along the side: towards treble on the long sides, towards the neck on the ends.
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
    /// Along its side, towards treble on the long sides, towards the neck on the ends.
    pub fn along(&self, handed: Handed) -> Vector {
        let turned = Vector::new(-self.out.y, self.out.x);
        let is_so = if self.side.is_end() { turned.y > 0.0 } else { turned.x * handed.treble() > 0.0 };
        if is_so { turned } else { -turned }
    }

    /// A place so far out of the body's middle and so far along the side, mm.
    pub fn place(&self, handed: Handed, out: f64, along: f64) -> Point {
        Point::origin() + self.out * out + self.along(handed) * along
    }

    /// Its rectangle, rooted in the body; `wider` on either side and with corners of this radius, mm.
    pub fn contour(&self, handed: Handed, wider: f64, radius: f64) -> Contour {
        let (reach, width) = (self.reach.as_mm(), self.width.as_mm() + 2.0 * wider);
        let (root, middle) = (reach * ROOTED, reach * (1.0 + ROOTED) / 2.0);
        let length = reach - root;
        // Where the material stretches differently, a round end has no more than half its width.
        let radius = radius.min(width / 2.0);
        if self.out.x != 0.0 && self.out.y != 0.0 {
            let [low, high] = [-0.5, 0.5].map(|half| self.offset.as_mm() + half * width);
            let mut around = [[root, low], [reach, low], [reach, high], [root, high]]
                .map(|[o, a]| self.place(handed, o, a));
            let (first, second) = (around[1] - around[0], around[2] - around[1]);
            if cross(first, second) < 0.0 {
                around.reverse();
            }
            return Contour::rounded_polygon(&around.map(|corner| (corner, radius)));
        }
        let (center, [along, across]) = if self.side.is_end() {
            (Point::new(self.out.x * middle, self.offset.as_mm()), [length, width])
        } else {
            (Point::new(handed.x(self.offset), self.out.y * middle), [width, length])
        };
        Contour::rounded_rectangle(center, along, across, radius)
    }
}

/// Where the ears are: over the body's recesses, or else each where its screw is, at the end or side that it is furthest
/// beyond. At the ends they then stay on the middle line, as recesses do.
pub(super) fn over(
    position: &Position,
    ear: EarShape,
    [length, width]: [Length; 2],
    rout: Option<&Slanted>,
) -> Vec<Tab> {
    let handed = position.handed;
    let slants = |side| rout.filter(|_| position.rout.outline.slants(side));
    let tab = |side, offset| {
        let reach = half(side, [length, width]) + ear.length;
        Tab { side, out: outwards(side, handed), offset, reach, width: ear.width }
    };
    // Over a place of a slanted side, which the body's own may differ from by what a hand errs.
    let slanted = |side, border: Border, place: Point| {
        let reach = Length::from_mm(border.reach) + ear.length;
        let tab = Tab { out: border.out, reach, ..tab(side, Length::ZERO) };
        Tab { offset: hundredth(Length::from_mm(place.coords.dot(&tab.along(handed)))), ..tab }
    };
    if let Some(recess) = &position.rout.ears {
        let of = |at: &EarAt| {
            let offset = at.offset.value();
            let Some(rout) = slants(at.side) else { return tab(at.side, hundredth(offset)) };
            let border = rout.border(at.side, handed);
            let [x, y] =
                position.rout.facing(at.side).place(border.reach + ear.length.as_mm() / 2.0, offset.as_mm());
            slanted(at.side, border, Point::new(x * handed.treble(), y))
        };
        return recess.at.iter().map(of).collect();
    }
    let is_usual = matches!(&position.rout.screws[..], [a, b] if a.along.value() > b.along.value());
    let of = |screw: &ScrewAt| {
        let [along, across] = [&screw.along, &screw.across].map(|place| hundredth(place.value()));
        let beside_end = along.abs() - length / 2.0 >= across.abs() - width / 2.0;
        let side = match (beside_end, along < Length::ZERO, across < Length::ZERO) {
            (true, true, _) => Side::Bass,
            (true, false, _) => Side::Treble,
            (false, _, true) => Side::Bridge,
            (false, _, false) => Side::Neck,
        };
        if let Some(rout) = slants(side) {
            let place = Point::new(handed.x(along), across.as_mm());
            return slanted(side, rout.border(side, handed), place);
        }
        let offset = match beside_end {
            true if is_usual => Length::ZERO,
            true => across,
            false => along,
        };
        tab(side, offset)
    };
    position.rout.screws.iter().map(of).collect()
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
