//! The baseplate: the cover's outline and screw holes, a lead-out, a lip that plugs into the
//! hollow.

use bobbinwright_spec::Length;

use super::refusal::Fault;
use super::{Layout, is_inside, keep_apart, keep_inside};
use crate::plane::{Contour, Point};
use crate::stack::{Role, Stack};

/// Radius of a circle that stands for a point, mm.
const POINT: f64 = 1e-3;

/// The baseplate's features; z = 0 is its underside.
pub(super) fn stack(layout: &Layout) -> Result<Stack, Fault> {
    let plate = &layout.wanted.baseplate;
    let thickness = plate.thickness.as_mm();
    let mut stack = Stack::default();
    stack.add(Role::Outline, layout.outline.clone(), 0.0, thickness);
    let mut top = thickness;
    if let Some(lip) = plate.lip {
        top = thickness + lip.height.as_mm();
        add_lip(layout, &mut stack, lip.gap, lip.wall, thickness, top)?;
    }
    for center in layout.screws() {
        let radius = (layout.wanted.cover.screw_hole / 2.0).as_mm();
        stack.cut(Role::ScrewHole, Contour::circle(center, radius), 0.0, thickness);
    }
    if let Some(lead) = layout.plate_lead {
        // Two corners of the slot are in the plate, with a web between them and its edges.
        let (min, max) = (lead.min, lead.max);
        let corners = [min, max, Point::new(min.x, max.y), Point::new(max.x, min.y)];
        let inside = |corner: &&Point| is_inside(&Contour::circle(**corner, POINT), &layout.outline);
        if corners.iter().filter(inside).count() != 2 {
            let why = "the lead-out's slot reaches another edge of the plate";
            return Err(Fault::new("baseplate.lead_depth", why));
        }
        stack.cut(Role::LeadOut, lead.contour(), 0.0, thickness);
    }
    if let Some(opening) = layout.lip_opening() {
        stack.cut(Role::LeadOut, opening.contour(), thickness, top);
    }
    keep_inside(&stack, Role::ScrewHole, &layout.outline, "baseplate", "cover.screw_hole")?;
    keep_apart(&stack, Role::LeadOut, Role::ScrewHole, "baseplate.lead_depth")?;
    Ok(stack)
}

/// A ring between two insets of the hollow.
fn add_lip(
    layout: &Layout,
    stack: &mut Stack,
    gap: Length,
    wall: Length,
    from: f64,
    to: f64,
) -> Result<(), Fault> {
    let Some((outer, islands)) = layout.single_hollow(gap) else {
        return Err(Fault::new("baseplate.lip.gap", "the lip falls apart with this gap"));
    };
    let Some((inner, inner_islands)) = layout.single_hollow(gap + wall) else {
        return Err(Fault::new("baseplate.lip.wall", "the lip leaves no room inside"));
    };
    stack.add(Role::Lip, outer, from, to);
    stack.cut(Role::Hollow, inner, from, to);
    // Round a boss that stands free in the hollow the lip makes a ring of its own.
    for island in inner_islands {
        stack.add(Role::Lip, island, from, to);
    }
    for island in islands {
        stack.cut(Role::Boss, island, from, to);
    }
    Ok(())
}
