//! The baseplate: the cover's outline and screw holes, a lead-out, a lip that plugs into the
//! hollow.

use super::fault::Fault;
use super::{Layout, is_inside, keep_apart, keep_inside, lip, outwards, reaches_screws};
use crate::{Role, Stack};
use bobbinwright_kernel::plane::{Contour, Point};

/// Radius of a circle that stands for a point, mm.
const POINT: f64 = 1e-3;

/// The baseplate's features; z = 0 is its underside.
pub(super) fn stack(layout: &Layout) -> Result<Stack, Fault> {
    let plate = &layout.wanted.baseplate;
    let thickness = plate.thickness.as_mm();
    let mut stack = Stack::default();
    stack.add(Role::Outline, layout.outline.clone(), 0.0, thickness);
    let top = thickness + plate.lip.map_or(0.0, |l| l.height.as_mm());
    let opening = plate.lip.map(|lip| lip::add(layout, lip, &mut stack, thickness, top)).transpose()?;
    for center in layout.screws.iter().copied() {
        let radius = (layout.wanted.cover.screw_hole / 2.0).as_mm();
        stack.cut(Role::ScrewHole, Contour::circle(center, radius), 0.0, thickness);
    }
    if let Some(lead) = layout.plate_lead {
        // Two corners of the slot are in the plate, with a web between them and its edges; two are outside.
        let (min, max) = (lead.min, lead.max);
        let corners = [min, max, Point::new(min.x, max.y), Point::new(max.x, min.y)];
        let out = outwards(layout.wanted.cover.lead_out.side, layout.handed);
        let middle = Point::new(f64::midpoint(min.x, max.x), f64::midpoint(min.y, max.y));
        let (outer, inner): (Vec<Point>, Vec<Point>) =
            corners.into_iter().partition(|corner| (corner - middle).dot(&out) > 0.0);
        if outer.iter().any(|corner| layout.outline.contains(*corner)) {
            return Err(Fault::new("cover.lead_out.offset", "the lead-out runs into an ear"));
        }
        let inside = |corner: &Point| is_inside(&Contour::circle(*corner, POINT), &layout.outline);
        if !inner.iter().all(inside) {
            let why = "the lead-out's slot reaches another edge of the plate";
            return Err(Fault::new("baseplate.lead_depth", why));
        }
        stack.cut(Role::LeadOut, lead.contour(), 0.0, thickness);
    }
    if let Some(opening) = opening {
        stack.cut(Role::LeadOut, opening.contour(), thickness, top);
    }
    reaches_screws(layout)?;
    keep_inside(&stack, Role::ScrewHole, &layout.outline, "baseplate", "cover.screw_hole")?;
    keep_apart(&stack, Role::LeadOut, Role::ScrewHole, "baseplate.lead_depth")?;
    Ok(stack)
}
