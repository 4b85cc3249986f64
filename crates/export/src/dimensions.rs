//! A part's sizes for other programs: enough to build it again by other means.
//!
//! All lengths are millimetres in the part's own frame: origin under the middle of the rout, x
//! from bass to treble, y towards the neck, z upwards from the part's underside.

use bobbinwright_geometry::parts::{Layout, LeadBox, PartKind, Tab};
use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::Length;
use serde_json::{Value, json};

/// The sizes of a part as JSON; the keys differ from part to part.
pub fn of(kind: PartKind, layout: &Layout) -> Value {
    match kind {
        PartKind::Cover => cover(layout),
        PartKind::Baseplate => baseplate(layout),
        PartKind::FlatworkBottom => flatwork_bottom(layout),
        PartKind::FlatworkTop => flatwork_top(layout),
    }
}

fn mm(length: Length) -> f64 {
    length.as_mm()
}

fn points(all: &[Point]) -> Vec<[f64; 2]> {
    all.iter().map(|p| [p.x, p.y]).collect()
}

/// One radius, or four, counter-clockwise from the corner right of the middle and below it.
fn corners(layout: &Layout) -> Value {
    let treble = layout.handed.treble();
    let around = [[1.0, -1.0], [1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0]];
    match layout.corners.alike() {
        Some(radius) => json!(mm(*radius)),
        None => json!(around.map(|[x, y]| mm(*layout.corners.at([x * treble, y])))),
    }
}

/// Where the body's sides meet, of one that is no rectangle.
fn sides(layout: &Layout) -> Value {
    layout.slanted.map_or(Value::Null, |slanted| json!(points(&slanted.corners())))
}

fn mounting(layout: &Layout) -> Value {
    match (&layout.ears, &layout.boss) {
        (Some(ear), _) => json!({
            "kind": "ears",
            "ear_length": mm(ear.length),
            "ear_width": mm(ear.width),
            "ear_thickness": mm(ear.thickness),
            "ear_corner_radius": mm(ear.corner_radius),
            "blend": mm(ear.blend),
            "ears": layout.tabs.iter().map(|tab| ear_place(tab, layout)).collect::<Vec<_>>(),
        }),
        (None, Some(boss)) => json!({
            "kind": "bosses",
            "boss_diameter": mm(boss.diameter),
            "recess_diameter": mm(boss.recess_diameter),
            "recess_depth": mm(boss.recess_depth),
        }),
        (None, None) => Value::Null,
    }
}

/// The direction of an ear, and where its middle line is across that: upwards where it stands rather to the right or left, to the
/// right where it stands rather up or down.
fn ear_place(tab: &Tab, layout: &Layout) -> Value {
    let offset = if tab.side.is_end() { mm(tab.offset) } else { layout.handed.x(tab.offset) };
    json!({ "towards": [tab.out.x, tab.out.y], "offset": offset, "reach": mm(tab.reach) })
}

fn block(lead: &LeadBox) -> Value {
    json!({ "x0": lead.min.x, "x1": lead.max.x, "y0": lead.min.y, "y1": lead.max.y })
}

fn cover(layout: &Layout) -> Value {
    let cover = &layout.wanted.cover;
    let mut lead = block(&layout.lead);
    lead["height"] = json!(mm(cover.lead_out.height));
    let open = cover.pole_hole.is_some();
    let mut all = json!({
        "length": mm(layout.length),
        "width": mm(layout.width),
        "height": mm(cover.height),
        "corner_radius": corners(layout),
        "rounding": mm(layout.rounding()),
        "wall": mm(cover.wall),
        "roof": mm(cover.roof),
        "inner_radius": mm(cover.inner_radius),
        "screw_hole": mm(cover.screw_hole),
        "screws": points(&layout.screws),
        "mounting": mounting(layout),
        "pole_hole": cover.pole_hole.map_or(0.0, mm),
        "pole_holes": if open { points(&layout.poles) } else { Vec::new() },
        "lead_out": lead,
    });
    if layout.slanted.is_some() {
        all["sides"] = sides(layout);
    }
    all
}

fn baseplate(layout: &Layout) -> Value {
    let wanted = &layout.wanted;
    let mut all = json!({
        "length": mm(layout.length),
        "width": mm(layout.width),
        "corner_radius": corners(layout),
        "thickness": mm(wanted.baseplate.thickness),
        "screw_hole": mm(wanted.cover.screw_hole),
        "screws": points(&layout.screws),
        "mounting": mounting(layout),
        "lip": wanted.baseplate.lip.map(|lip| json!({
            "gap": mm(lip.gap),
            "wall": mm(lip.wall),
            "height": mm(lip.height),
            "cover_wall": mm(wanted.cover.wall),
            "cover_inner_radius": mm(wanted.cover.inner_radius),
        })),
        "lead_out": layout.plate_lead.as_ref().map(block),
        "lip_opening": layout.lip_opening().as_ref().map(block),
    });
    if layout.slanted.is_some() {
        all["sides"] = sides(layout);
    }
    all
}

fn plate(layout: &Layout, thickness: Length) -> Value {
    json!({
        "centre_x": 0.0,
        "length": mm(layout.plate.length),
        "width": mm(layout.plate.width),
        "corner_radius": mm(layout.plate.corner_radius),
        "thickness": mm(thickness),
        "pole_hole": mm(layout.wanted.flatwork.pole_hole),
        "pole_holes": points(&layout.poles),
        "reliefs": layout.reliefs.iter().map(|relief| json!({
            "x": relief.center.x,
            "y": relief.center.y,
            "radius": relief.radius,
            "corner": relief.corner,
            "to_neck": relief.to_neck,
        })).collect::<Vec<_>>(),
    })
}

fn flatwork_bottom(layout: &Layout) -> Value {
    let mut value = plate(layout, layout.wanted.flatwork.bottom);
    value["eyelet_hole"] = json!(mm(layout.wanted.flatwork.eyelet_hole));
    value["eyelet_holes"] = json!(points(&layout.eyelets));
    let disc = |(center, radius): &(Point, f64)| json!({ "x": center.x, "y": center.y, "radius": radius });
    value["waists"] = layout.waists.iter().map(disc).collect();
    value
}

fn flatwork_top(layout: &Layout) -> Value {
    let mut value = plate(layout, layout.wanted.flatwork.top);
    let (center, radius) = layout.mark;
    value["mark"] = json!({ "x": center.x, "y": center.y, "radius": radius });
    value
}
