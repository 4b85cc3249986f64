//! Where the sizes of a printed part are.

use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::{Length, PartKind, SizeOf};

use super::mark::Mark;
use super::{Model, View};

/// Where a size of a part is; none where neither view shows it.
pub(super) fn mark(model: &Model, kind: PartKind, size: SizeOf) -> Option<(View, Mark)> {
    let above = |mark: Mark| Some((View::Above(kind), mark));
    let cut = |mark: Mark| Some((View::Cut(kind), mark));
    let layout = model.layout();
    let wanted = &layout.wanted;
    let is_plate = matches!(kind, PartKind::FlatworkBottom | PartKind::FlatworkTop);
    let [x, y] = if is_plate {
        [layout.plate.length, layout.plate.width].map(|l| (l / 2.0).as_mm())
    } else {
        model.half()
    };
    let wall = wanted.cover.wall.as_mm();
    let radius = if is_plate { layout.plate.corner_radius } else { model.right_corner() }.as_mm();
    let height = model.stack(kind)?.height();
    let up = |low: f64, high: f64| Mark::Upright { y: [low, high], x: x * 1.06, from: x };
    match size {
        SizeOf::Length => above(Mark::Across { x: [-x, x], y: y * 1.15, from: y - radius }),
        SizeOf::Width => above(Mark::Upright { y: [-y, y], x: x * 1.08, from: x - radius }),
        SizeOf::Height => cut(up(
            0.0,
            if kind == PartKind::Baseplate { wanted.baseplate.thickness.as_mm() } else { height },
        )),
        SizeOf::EarToEar => {
            let (end, ..) = model.ear()?;
            above(Mark::across([-end.x.abs(), end.x.abs()], end.y))
        }
        SizeOf::EarWidth => {
            model.ear().and_then(|(end, out, half)| above(Model::beside(end - out, out, half)))
        }
        SizeOf::EarThickness => {
            let (end, out, _) = model.ear()?;
            let thickness = layout.ears?.thickness.as_mm();
            if out.x == 0.0 { None } else { cut(Mark::upright([0.0, thickness], end.x - out.x * 1.5)) }
        }
        SizeOf::HollowLength => above(Model::over(x - wall, (y - wall) * 0.6)),
        SizeOf::HollowWidth => above(Mark::upright([wall - y, y - wall], model.beside_rods())),
        SizeOf::HollowDepth => cut(Mark::upright([0.0, layout.hollow_height().as_mm()], model.beside_rods())),
        SizeOf::ScrewHole => above(round(*layout.screws.last()?, wanted.cover.screw_hole)),
        SizeOf::ScrewPitch => {
            let [a, b] = layout.two_screws()?;
            above(if (b - a).x.abs() >= (b - a).y.abs() {
                Mark::across([a.x.min(b.x), a.x.max(b.x)], a.y)
            } else {
                Mark::upright([a.y.min(b.y), a.y.max(b.y)], a.x)
            })
        }
        SizeOf::Recess => above(round(*layout.screws.first()?, layout.boss?.recess_diameter)),
        SizeOf::RecessDepth => {
            let (at, boss) = (*layout.screws.first()?, layout.boss?);
            let mark = Mark::upright([height - boss.recess_depth.as_mm(), height], at.x);
            // A cut along the row does not show what is beside it.
            if (at.y - layout.row).abs() < (boss.recess_diameter / 2.0).as_mm() { cut(mark) } else { None }
        }
        SizeOf::PoleHole => {
            let hole = if is_plate { wanted.flatwork.pole_hole } else { wanted.cover.pole_hole? };
            above(round(*layout.poles.get(layout.poles.len() / 2)?, hole))
        }
        SizeOf::PoleSpan => {
            let rods = model.rods();
            above(Mark::across([*rods.first()?, *rods.last()?], layout.poles.first()?.y))
        }
        SizeOf::EyeletHole => above(round(layout.eyelets[1], wanted.flatwork.eyelet_hole)),
        SizeOf::LipLength => {
            above(Model::over(x - wall - wanted.baseplate.lip?.gap.as_mm(), (y - wall) * 0.6))
        }
        SizeOf::LipWidth => {
            let half = y - wall - wanted.baseplate.lip?.gap.as_mm();
            above(Mark::upright([-half, half], model.beside_rods()))
        }
        SizeOf::LipHeight => {
            let low = wanted.baseplate.thickness.as_mm();
            cut(up(low, low + wanted.baseplate.lip?.height.as_mm()))
        }
    }
}

pub(super) fn round(middle: Point, diameter: Length) -> Mark {
    Mark::Round { middle, radius: (diameter / 2.0).as_mm() }
}
