//! The cover: body and ears, hollow with bosses, screw holes with head recesses, pole holes
//! through the roof, lead-out.

use super::fault::Fault;
use super::tabs::Tab;
use super::{Layout, are_apart, is_inside, keep_apart, keep_inside, reaches_screws, share_height};
use crate::{Role, Stack};
use bobbinwright_kernel::Rounding;
use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_spec::{Length, sentence};

/// The cover's features; z = 0 is the plane that lies on the baseplate.
pub(super) fn stack(layout: &Layout) -> Result<Stack, Fault> {
    let cover = &layout.wanted.cover;
    let height = cover.height.as_mm();
    let inside = layout.hollow_height().as_mm();
    if inside <= 0.1 {
        return Err(Fault::new("cover.roof", "the roof leaves no hollow under it"));
    }
    let mut stack = Stack::default();
    if let Some(ear) = &layout.ears {
        let thickness = ear.thickness.as_mm();
        if thickness >= height - layout.rounding().as_mm() {
            return Err(Fault::new("cover.mounting.thickness", "the ears reach the top edge"));
        }
        stack.add(Role::Ears, layout.outline.clone(), 0.0, thickness);
    }
    let body = stack.add(Role::Outline, layout.body.clone(), 0.0, height);
    stack.rounding = Some(Rounding { feature: body, radius: layout.rounding().as_mm() });

    let Some((hollow, islands)) = layout.single_hollow(bobbinwright_spec::Length::ZERO) else {
        return Err(match layout.boss {
            Some(_) => Fault::new("cover.mounting.diameter", "the bosses leave no hollow in one piece"),
            None => Fault::new("cover.wall", "the walls leave no hollow"),
        });
    };
    stack.cut(Role::Hollow, hollow.clone(), 0.0, inside);
    for island in islands {
        stack.add(Role::Boss, island, 0.0, inside);
    }
    holes(layout, &mut stack, inside, height);
    lead_out(layout, &mut stack, &hollow, inside)?;
    // Beside the hollow a pole hole would end in the wall.
    keep_inside(&stack, Role::PoleHole, &hollow, "hollow", layout.row_or("cover.wall"))?;
    check(layout, &stack)?;
    Ok(stack)
}

fn holes(layout: &Layout, stack: &mut Stack, inside: f64, height: f64) {
    let cover = &layout.wanted.cover;
    // A screw goes through an ear, or through the whole cover.
    let end = layout.ears.map_or(height, |ear| ear.thickness.as_mm());
    for center in layout.screws.iter().copied() {
        let radius = (cover.screw_hole / 2.0).as_mm();
        stack.cut(Role::ScrewHole, Contour::circle(center, radius), 0.0, end);
        if let Some(boss) = layout.boss {
            let seat = Contour::circle(center, (boss.recess_diameter / 2.0).as_mm());
            stack.cut(Role::HeadRecess, seat, height - boss.recess_depth.as_mm(), height);
        }
    }
    if let Some(hole) = cover.pole_hole {
        for center in &layout.poles {
            stack.cut(Role::PoleHole, Contour::circle(*center, (hole / 2.0).as_mm()), inside, height);
        }
    }
}

/// The notch must break through into the hollow over its whole width.
fn lead_out(layout: &Layout, stack: &mut Stack, hollow: &Contour, inside: f64) -> Result<(), Fault> {
    let lead = &layout.wanted.cover.lead_out;
    let limit = inside.min(layout.wanted.cover.height.as_mm() - layout.rounding().as_mm());
    if lead.height.as_mm() >= limit {
        let why = sentence!(
            "the lead-out reaches the roof or the rounding; below them there are {}",
            Length::from_mm(limit)
        );
        return Err(Fault::new("cover.lead_out.height", why));
    }
    let (min, max) = (layout.lead.min, layout.lead.max);
    let corners = [min, max, Point::new(min.x, max.y), Point::new(max.x, min.y)];
    let inner = corners.iter().filter(|c| hollow.contains(**c)).count();
    if inner != 2 {
        let why = "the lead-out does not open into the hollow: a corner, a boss or an ear is in its way";
        return Err(Fault::new("cover.lead_out.offset", why));
    }
    stack.cut(Role::LeadOut, layout.lead.contour(), 0.0, lead.height.as_mm());
    Ok(())
}

/// Every hole of a role stays clear of the hollow: beside it, or inside a boss that stands free in it.
fn keep_in_material(stack: &Stack, role: Role, parameter: &'static str) -> Result<(), Fault> {
    let hollow = || stack.with_role(Role::Hollow);
    for hole in stack.with_role(role) {
        let mut at_height = hollow().filter(|h| share_height(h, hole));
        let in_a_boss = stack.with_role(Role::Boss).any(|boss| is_inside(&hole.contour, &boss.contour));
        if !in_a_boss && at_height.any(|h| !are_apart(&hole.contour, &h.contour)) {
            return Err(Fault::new(parameter, format!("the {} runs into the hollow", role.name())));
        }
    }
    Ok(())
}

fn check(layout: &Layout, stack: &Stack) -> Result<(), Fault> {
    let mounting = if layout.boss.is_some() { "cover.mounting.diameter" } else { "cover.screw_hole" };
    if let Some(boss) = layout.boss {
        if boss.recess_depth >= layout.wanted.cover.height {
            return Err(Fault::new("cover.mounting.recess_depth", "the head recess goes through the cover"));
        }
        if boss.recess_diameter <= layout.wanted.cover.screw_hole {
            return Err(Fault::new(
                "cover.screw_hole",
                "the screw's hole is as wide as the recess for its head",
            ));
        }
    }
    reaches_screws(layout)?;
    keep_inside(stack, Role::ScrewHole, &layout.outline, "cover", "cover.screw_hole")?;
    keep_inside(stack, Role::HeadRecess, &layout.body, "cover", "cover.mounting.recess_diameter")?;
    keep_in_material(stack, Role::ScrewHole, mounting)?;
    keep_in_material(stack, Role::HeadRecess, "cover.mounting.recess_diameter")?;
    keep_inside(stack, Role::PoleHole, &layout.body, "cover", layout.row_or("cover.pole_hole"))?;
    keep_apart(stack, Role::PoleHole, Role::PoleHole, "cover.pole_hole")?;
    keep_apart(stack, Role::PoleHole, Role::HeadRecess, layout.row_or("cover.pole_hole"))?;
    keep_apart(stack, Role::PoleHole, Role::ScrewHole, layout.row_or("cover.pole_hole"))?;
    keep_apart(stack, Role::LeadOut, Role::ScrewHole, "cover.lead_out.offset")?;
    keep_apart(stack, Role::LeadOut, Role::HeadRecess, "cover.mounting.recess_depth")?;
    keep_apart(stack, Role::LeadOut, Role::Boss, "cover.lead_out.offset")?;
    if let Some(ear) = layout.ears {
        // An ear's screw stands beside the body, never under its wall.
        let hole = (layout.wanted.cover.screw_hole / 2.0).as_mm();
        if layout.screws.iter().any(|screw| layout.body.depth_of(*screw) >= -hole) {
            return Err(Fault::new("cover.screw_hole", "the screw's hole reaches under the cover's wall"));
        }
        let lead = layout.lead.contour();
        let side = layout.wanted.cover.lead_out.side;
        let meets = |tab: &Tab| !are_apart(&lead, &tab.contour(layout.handed, ear.blend.as_mm(), 0.0));
        if layout.tabs.iter().any(|tab| tab.side == side && meets(tab)) {
            return Err(Fault::new("cover.lead_out.offset", "the lead-out runs into an ear"));
        }
    }
    Ok(())
}
