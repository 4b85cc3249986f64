//! What each wish is, on the parts as they are drawn now.

use bobbinwright_geometry::Role;
use bobbinwright_geometry::parts::outwards;
use bobbinwright_kernel::plane::{Contour, Point, Vector};
use bobbinwright_spec::{PartKind, Side, SizeOf};

use super::mark::Mark;
use super::sizes::{self, round};
use super::{Model, View, views};
use crate::stand::face;

const COVER: View = View::Above(PartKind::Cover);
const COVER_CUT: View = View::Cut(PartKind::Cover);
const BASEPLATE: View = View::Above(PartKind::Baseplate);
const BOTTOM: View = View::Above(PartKind::FlatworkBottom);

/// Where a wish is seen; none of one that is nothing to be seen, or that the position has not.
pub(super) fn mark(model: &Model, path: &str) -> Option<(View, Mark)> {
    let (group, name) = path.split_once('.').unwrap_or((path, ""));
    match group {
        "poles" => poles(model, name),
        "row" => row(model),
        "cover" => cover(model, name),
        "baseplate" => baseplate(model, name),
        "flatwork" => flatwork(model, name),
        "seat" => seat(model, name),
        "coil" => Some((View::Bobbin, Mark::Here(vec![views::coil(model)]))),
        "magnets" | "north" => Some((View::Bobbin, Mark::Here(views::rods(model)))),
        _ => None,
    }
}

fn poles(model: &Model, name: &str) -> Option<(View, Mark)> {
    if name.is_empty() {
        return Some((BOTTOM, Mark::Here(model.borders(PartKind::FlatworkBottom, Role::PoleHole))));
    }
    let [.., a, b] = model.layout().poles[..] else { return None };
    Some((BOTTOM, Mark::across([a.x.min(b.x), a.x.max(b.x)], a.y)))
}

/// From the middle line to the row, beside the rods in the plate's middle; none where the row lies on it.
fn row(model: &Model) -> Option<(View, Mark)> {
    let row = model.layout().row;
    model.layout().wanted.row_offset?;
    Some((BOTTOM, Mark::upright([row.min(0.0), row.max(0.0)], model.beside_rods())))
}

fn cover(model: &Model, name: &str) -> Option<(View, Mark)> {
    let layout = model.layout();
    let cover = &layout.wanted.cover;
    let [x, y] = model.half();
    let top = cover.height.as_mm();
    let size = |size| sizes::mark(model, PartKind::Cover, size);
    let mark = match name {
        "fit_gap" => model.on_neck_side(y, y + cover.fit_gap.as_mm()),
        "wall" => model.on_neck_side(y - cover.wall.as_mm(), y),
        "corner_radius" => Model::corner([x, y], model.right_corner()),
        "inner_radius" => {
            let wall = cover.wall;
            Model::corner(
                [x - wall.as_mm(), y - wall.as_mm()],
                cover.inner_radius.max(model.right_corner() - wall),
            )
        }
        "roof" => {
            return Some((
                COVER_CUT,
                Mark::upright([layout.hollow_height().as_mm(), top], model.beside_rods()),
            ));
        }
        "rounding" => return Some((COVER_CUT, Model::corner([x, top], layout.rounding()))),
        "outline" => Mark::Here(vec![layout.body.clone()]),
        "height" => return size(SizeOf::Height),
        "screw_hole" => return size(SizeOf::ScrewHole),
        "pole_hole" => return size(SizeOf::PoleHole),
        name if name.starts_with("lead_out") => return lead_out(model, name),
        name => return mounting(model, name.strip_prefix("mounting")?.trim_start_matches('.')),
    };
    Some((COVER, mark))
}

/// The side that the lead comes out of, the way out, and the middle of its notch there.
fn notch(model: &Model) -> (Side, Vector, Point) {
    let layout = model.layout();
    let (side, lead) = (layout.wanted.cover.lead_out.side, layout.lead);
    let out = outwards(side, layout.handed);
    let [x, y] = model.half();
    let middle = Point::new(f64::midpoint(lead.min.x, lead.max.x), f64::midpoint(lead.min.y, lead.max.y));
    (side, out, if side.is_end() { Point::new(out.x * x, middle.y) } else { Point::new(middle.x, out.y * y) })
}

fn lead_out(model: &Model, name: &str) -> Option<(View, Mark)> {
    let layout = model.layout();
    let lead = &layout.wanted.cover.lead_out;
    let (side, out, at) = notch(model);
    let mark = match name {
        "lead_out.side" => Mark::Here(vec![layout.lead.contour()]),
        "lead_out.width" => Model::beside(at, out, (lead.width / 2.0).as_mm()),
        "lead_out.offset" if side.is_end() => Mark::upright([at.y.min(0.0), at.y.max(0.0)], at.x),
        "lead_out.offset" => Mark::across([at.x.min(0.0), at.x.max(0.0)], at.y),
        "lead_out.height" => {
            let beside = if side.is_end() { at.x } else { layout.lead.max.x };
            return Some((COVER_CUT, Mark::upright([0.0, lead.height.as_mm()], beside)));
        }
        _ => return None,
    };
    Some((COVER, mark))
}

fn mounting(model: &Model, name: &str) -> Option<(View, Mark)> {
    let layout = model.layout();
    let size = |size| sizes::mark(model, PartKind::Cover, size);
    if let Some(boss) = layout.boss {
        let first = *layout.screws.first()?;
        return match name {
            "" => {
                let around = |at: &Point| Contour::circle(*at, (boss.diameter / 2.0).as_mm());
                Some((COVER, Mark::Here(layout.screws.iter().map(around).collect())))
            }
            "diameter" => Some((COVER, round(first, boss.diameter))),
            "recess_diameter" => size(SizeOf::Recess),
            "recess_depth" => size(SizeOf::RecessDepth),
            _ => None,
        };
    }
    let (ear, (end, out, half)) = (layout.ears?, model.ear()?);
    // To the side that lies to the right when one looks outwards.
    let side = Vector::new(out.y.abs(), out.x.abs());
    let mark = match name {
        "" => Mark::Here(vec![layout.outline.clone()]),
        "length" => Model::inwards(end, out, ear.length.as_mm()),
        "width" => return size(SizeOf::EarWidth),
        "thickness" => return size(SizeOf::EarThickness),
        "corner_radius" => {
            let radius = ear.corner_radius.as_mm();
            let middle = end - out * radius + side * (half - radius);
            Mark::Corner { middle, on: middle + (out + side) * (std::f64::consts::FRAC_1_SQRT_2 * radius) }
        }
        "blend" => {
            let (radius, root) = (ear.blend.as_mm(), end - out * ear.length.as_mm());
            let middle = root + out * radius + side * (half + radius);
            Mark::Corner { middle, on: middle - (out + side) * (std::f64::consts::FRAC_1_SQRT_2 * radius) }
        }
        _ => return None,
    };
    Some((COVER, mark))
}

fn baseplate(model: &Model, name: &str) -> Option<(View, Mark)> {
    let layout = model.layout();
    let plate = &layout.wanted.baseplate;
    let [_, y] = model.half();
    let inner = y - layout.wanted.cover.wall.as_mm();
    let mark = match name {
        "thickness" => return sizes::mark(model, PartKind::Baseplate, SizeOf::Height),
        "lip.height" => return sizes::mark(model, PartKind::Baseplate, SizeOf::LipHeight),
        "lead_depth" => {
            let (_, out, at) = notch(model);
            Model::inwards(at, out, plate.lead_depth?.as_mm())
        }
        "lip" => {
            plate.lip?;
            Mark::Here(model.borders(PartKind::Baseplate, Role::Lip))
        }
        "lip.gap" => model.on_neck_side(inner - plate.lip?.gap.as_mm(), inner),
        "lip.wall" => {
            let outer = inner - plate.lip?.gap.as_mm();
            model.on_neck_side(outer - plate.lip?.wall.as_mm(), outer)
        }
        _ => return None,
    };
    Some((BASEPLATE, mark))
}

fn flatwork(model: &Model, name: &str) -> Option<(View, Mark)> {
    let layout = model.layout();
    let wanted = &layout.wanted.flatwork;
    let [x, y] = [layout.plate.length, layout.plate.width].map(|size| (size / 2.0).as_mm());
    let bobbin = layout.bobbin.as_mm();
    let beside =
        |low: f64, high: f64| Some((View::Bobbin, Mark::Upright { y: [low, high], x: x * 1.06, from: x }));
    let size = |size| sizes::mark(model, PartKind::FlatworkBottom, size);
    let [low, high] = layout.eyelets;
    let edge = if wanted.eyelet_side == Side::Neck { y } else { -y };
    let outer = layout.waists[1].0;
    let mark = match name {
        "bottom" => return beside(0.0, wanted.bottom.as_mm()),
        "top" => return beside(bobbin - wanted.top.as_mm(), bobbin),
        "rod_above" => {
            let last = *model.rods().last()?;
            return Some((View::Bobbin, Mark::upright([bobbin, bobbin + wanted.rod_above.as_mm()], last)));
        }
        "length" => return size(SizeOf::Length),
        "width" => return size(SizeOf::Width),
        "pole_hole" => return size(SizeOf::PoleHole),
        "eyelets.hole" => return size(SizeOf::EyeletHole),
        "play" => model.on_neck_side(y, y + wanted.play.as_mm()),
        "corner_radius" => Model::corner([x, y], wanted.corner_radius),
        "eyelets.side" => Mark::Here(model.borders(PartKind::FlatworkBottom, Role::EyeletHole)),
        "eyelets.spread" => Mark::across([low.x.min(high.x), low.x.max(high.x)], low.y),
        "eyelets.inset" => Mark::upright([edge.min(high.y), edge.max(high.y)], high.x),
        "waists.offset" => Mark::across([high.x.min(outer.x), high.x.max(outer.x)], high.y),
        "waists.width" => Model::beside(
            Point::new(outer.x, edge),
            Vector::new(0.0, 1.0),
            (wanted.waist_width / 2.0).as_mm(),
        ),
        "waists.depth" => {
            let inner = edge - edge.signum() * wanted.waist_depth.as_mm();
            Mark::upright([edge.min(inner), edge.max(inner)], outer.x)
        }
        "mark_radius" => {
            let (middle, radius) = layout.mark;
            let on = middle - Vector::new(middle.x.signum() * radius, 0.0);
            return Some((View::Above(PartKind::FlatworkTop), Mark::Corner { middle, on }));
        }
        _ => return None,
    };
    Some((BOTTOM, mark))
}

fn seat(model: &Model, name: &str) -> Option<(View, Mark)> {
    let layout = model.layout();
    let wanted = &layout.wanted;
    let at = model.beside_rods();
    let mark = match name {
        "lift" => Mark::upright([-wanted.seat.lift.as_mm(), 0.0], at),
        "string_gap" => {
            let floor = wanted.baseplate.thickness.as_mm();
            let top = floor + wanted.cover.height.as_mm();
            let rods = floor + model.hardware.rod_length.value().as_mm();
            let string = model
                .position
                .strings
                .iter()
                .min_by(|a, b| a.height.value().as_mm().total_cmp(&b.height.value().as_mm()))?;
            let under = face(model.position) + string.height.value().as_mm();
            Mark::upright(
                [top.max(rods), under],
                model.position.handed.x(model.position.over_rods(string).value()),
            )
        }
        _ => return None,
    };
    Some((View::Seat, mark))
}
