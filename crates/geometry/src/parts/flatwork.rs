//! The two flatwork plates. Both are drawn as seen from above in the finished pickup, so bass
//! stays bass: the bottom plate with eyelets and waists, the top plate with the bass mark.

use bobbinwright_spec::Length;
use bobbinwright_spec::sentence;

use super::fault::Fault;
use super::{Layout, keep_apart, keep_inside};
use crate::{Role, Stack};
use bobbinwright_kernel::plane::{Contour, Point};

/// An opening is so much wider than the cut, mm: less is no opening to go round in.
const LEAST_OPEN: f64 = 0.02;

/// The bottom plate: pole holes, two eyelet holes, two waists.
pub(super) fn bottom(layout: &Layout) -> Result<Stack, Fault> {
    let thickness = layout.wanted.flatwork.bottom.as_mm();
    let (mut stack, outline) = plate(layout, layout.wanted.flatwork.bottom);
    let hole = (layout.wanted.flatwork.eyelet_hole / 2.0).as_mm();
    for center in layout.eyelets {
        stack.cut(Role::EyeletHole, Contour::circle(center, hole), 0.0, thickness);
    }
    if layout.wanted.flatwork.waist_depth > layout.wanted.flatwork.waist_width / 2.0 {
        let why = sentence!(
            "a waist can't be deeper than half its width, {}",
            layout.wanted.flatwork.waist_width / 2.0
        );
        return Err(Fault::new("flatwork.waists.depth", why));
    }
    let corner = layout.plate.length / 2.0 - layout.plate.corner_radius;
    // In a plate for the left hand the treble side's waist lies at negative x.
    let outer = layout.waists.iter().map(|(center, _)| center.x.abs()).fold(0.0, f64::max);
    let end = outer + (layout.wanted.flatwork.waist_width / 2.0).as_mm();
    if end >= corner.as_mm() {
        return Err(Fault::new("flatwork.waists.offset", "the waists run into the plate's corners"));
    }
    for (center, radius) in layout.waists {
        stack.cut(Role::Waist, Contour::circle(center, radius), 0.0, thickness);
    }
    keep_inside(&stack, Role::PoleHole, &outline, "bottom plate", layout.row_or("flatwork.pole_hole"))?;
    keep_inside(&stack, Role::EyeletHole, &outline, "bottom plate", "flatwork.eyelets.hole")?;
    keep_apart(&stack, Role::PoleHole, Role::PoleHole, "flatwork.pole_hole")?;
    keep_apart(&stack, Role::EyeletHole, Role::EyeletHole, "flatwork.eyelets.spread")?;
    keep_apart(&stack, Role::EyeletHole, Role::PoleHole, layout.row_or("flatwork.eyelets.inset"))?;
    keep_apart(&stack, Role::EyeletHole, Role::Waist, "flatwork.waists.offset")?;
    keep_apart(&stack, Role::Waist, Role::Waist, "flatwork.waists.width")?;
    keep_apart(&stack, Role::Waist, Role::PoleHole, layout.row_or("flatwork.waists.depth"))?;
    keep_apart(&stack, Role::Waist, Role::Relief, "flatwork.waists.offset")?;
    keep_apart(&stack, Role::EyeletHole, Role::Relief, "flatwork.eyelets.spread")?;
    beside_reliefs(&stack, layout)?;
    stays_open(&stack, layout)?;
    Ok(stack)
}

/// The top plate: pole holes and the mark in its bass end.
pub(super) fn top(layout: &Layout) -> Result<Stack, Fault> {
    let thickness = layout.wanted.flatwork.top.as_mm();
    let (mut stack, outline) = plate(layout, layout.wanted.flatwork.top);
    let (center, radius) = layout.mark;
    let straight = layout.plate.width / 2.0 - layout.plate.corner_radius;
    if Length::from_mm(radius) >= straight {
        let why =
            sentence!("the mark must fit between the corners: the straight end is {} wide", straight * 2.0);
        return Err(Fault::new("flatwork.mark_radius", why));
    }
    stack.cut(Role::Mark, Contour::circle(center, radius), 0.0, thickness);
    keep_inside(&stack, Role::PoleHole, &outline, "top plate", layout.row_or("flatwork.pole_hole"))?;
    keep_apart(&stack, Role::PoleHole, Role::PoleHole, "flatwork.pole_hole")?;
    keep_apart(&stack, Role::Mark, Role::PoleHole, "flatwork.mark_radius")?;
    keep_apart(&stack, Role::Mark, Role::Relief, "flatwork.mark_radius")?;
    beside_reliefs(&stack, layout)?;
    stays_open(&stack, layout)?;
    Ok(stack)
}

/// Where plates are cut from sheet, the cut goes into every hole and every bite: one that it fills can't be cut. All of
/// them are round, so that it reaches all of what it goes into.
fn stays_open(stack: &Stack, layout: &Layout) -> Result<(), Fault> {
    let Some(sheet) = layout.wanted.flatwork.sheet else { return Ok(()) };
    let openings = [Role::EyeletHole, Role::PoleHole, Role::Waist, Role::Mark];
    let narrow = openings.into_iter().flat_map(|role| stack.with_role(role));
    let narrow = narrow.filter_map(|f| Some((f.contour.as_circle()?.1 * 2.0, f.role)));
    let narrowest = narrow.min_by(|a, b| a.0.total_cmp(&b.0));
    if let Some((wide, role)) = narrowest.filter(|(wide, _)| sheet.kerf.as_mm() > wide - LEAST_OPEN) {
        let (name, wide) = (role.name(), Length::from_mm(wide));
        let why = sentence!(
            "the cut takes {} away, and the {} is {} wide: it can't be cut",
            sheet.kerf,
            name,
            wide
        );
        return Err(Fault::new("flatwork.sheet.kerf", why));
    }
    Ok(())
}

/// Between the bosses beside the row there is room for it.
fn beside_reliefs(stack: &Stack, layout: &Layout) -> Result<(), Fault> {
    keep_apart(stack, Role::PoleHole, Role::Relief, layout.row_or("cover.mounting.diameter"))?;
    keep_apart(stack, Role::Relief, Role::Relief, "cover.mounting.diameter")
}

/// What both plates share.
fn plate(layout: &Layout, thickness: Length) -> (Stack, Contour) {
    let shape = layout.plate;
    let outline = Contour::rounded_rectangle(
        Point::origin(),
        shape.length.as_mm(),
        shape.width.as_mm(),
        shape.corner_radius.as_mm(),
    );
    let mut stack = Stack::default();
    stack.add(Role::Outline, outline.clone(), 0.0, thickness.as_mm());
    let hole = (layout.wanted.flatwork.pole_hole / 2.0).as_mm();
    for center in &layout.poles {
        stack.cut(Role::PoleHole, Contour::circle(*center, hole), 0.0, thickness.as_mm());
    }
    for relief in &layout.reliefs {
        stack.cut(Role::Relief, relief.contour(shape), 0.0, thickness.as_mm());
    }
    (stack, outline)
}
