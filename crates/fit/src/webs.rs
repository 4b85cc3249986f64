//! Webs: what is left between neighbouring holes, and between a hole and an edge.

use bobbinwright_geometry::parts::{Part, PartKind};
use bobbinwright_geometry::plane::contour_distance;
use bobbinwright_geometry::{Feature, Kind, Role};
use bobbinwright_spec::{Estimate, Length};

use crate::bench::{Bench, Draft, figure};
use crate::verdict::Sides;

pub(crate) fn check(bench: &mut Bench) {
    for kind in PartKind::ALL {
        let Some(part) = bench.part(kind) else { continue };
        let Some((web, between)) = thinnest(part) else { continue };
        let (name, parameter) = match kind {
            PartKind::Cover => ("cover-webs", "cover.mounting.diameter"),
            PartKind::Baseplate => ("baseplate-webs", "cover.screw_hole"),
            PartKind::FlatworkBottom => ("flatwork-bottom-webs", "flatwork.pole_hole"),
            PartKind::FlatworkTop => ("flatwork-top-webs", "flatwork.pole_hole"),
        };
        let least = bench.family.printer.least_wall;
        let made = bench.printed(web);
        let margin = made.clone() - Estimate::exact(least);
        bench.enter(Draft {
            name,
            title: format!("Thinnest web of the {}: {between}", kind.name()),
            advice: format!(
                "The web between {between} is {web}, the printer makes {least}: move them apart or make them smaller by {}.",
                -margin.value()
            ),
            figures: vec![figure("web", &made), figure("least wall", &least.into())],
            margin,
            sides: Sides::One,
            parameter: Some(parameter),
        });
    }
}

/// The smallest distance between two openings of a part, or an opening and the part's edge.
fn thinnest(part: &Part) -> Option<(Length, String)> {
    let openings: Vec<&Feature> =
        part.stack.features.iter().filter(|f| f.kind == Kind::Cut && is_opening(f.role)).collect();
    let edges: Vec<&Feature> = part
        .stack
        .features
        .iter()
        .filter(|f| matches!(f.role, Role::Outline | Role::Ears | Role::Hollow | Role::Boss | Role::Lip))
        .collect();
    let mut webs: Vec<(f64, String)> = Vec::new();
    for (i, a) in openings.iter().enumerate() {
        let others = openings[i + 1..].iter().filter(|b| !is_one_hole(a, b));
        for b in others.filter(|b| share_height(a, b)) {
            webs.push((
                contour_distance(&a.contour, &b.contour),
                format!("{} and {}", a.role.name(), b.role.name()),
            ));
        }
        if opens_to_the_edge(a.role) {
            continue;
        }
        for edge in edges.iter().filter(|e| share_height(a, e) && !is_buried(part, a, e)) {
            let what = match edge.role {
                Role::Outline | Role::Ears => "edge",
                other => other.name(),
            };
            webs.push((contour_distance(&a.contour, &edge.contour), format!("{} and {what}", a.role.name())));
        }
    }
    let least = webs.into_iter().min_by(|a, b| a.0.total_cmp(&b.0))?;
    Some((Length::from_mm(least.0), least.1))
}

fn is_opening(role: Role) -> bool {
    matches!(
        role,
        Role::ScrewHole
            | Role::HeadRecess
            | Role::PoleHole
            | Role::EyeletHole
            | Role::Waist
            | Role::Mark
            | Role::LeadOut
    )
}

fn opens_to_the_edge(role: Role) -> bool {
    matches!(role, Role::Waist | Role::Mark | Role::LeadOut)
}

/// A screw hole and the recess above it.
fn is_one_hole(a: &Feature, b: &Feature) -> bool {
    let pair =
        matches!((a.role, b.role), (Role::ScrewHole, Role::HeadRecess) | (Role::HeadRecess, Role::ScrewHole));
    pair && (a.contour.bounds().min.x + a.contour.bounds().max.x
        - b.contour.bounds().min.x
        - b.contour.bounds().max.x)
        .abs()
        < 1e-6
}

fn share_height(a: &Feature, b: &Feature) -> bool {
    a.bottom.max(b.bottom) < a.top.min(b.top)
}

/// The body's border is no edge for a hole in an ear beside it.
fn is_buried(part: &Part, opening: &Feature, edge: &Feature) -> bool {
    let has_ears = part.stack.with_role(Role::Ears).next().is_some();
    let outside = opening.contour.segments().first().is_some_and(|s| !edge.contour.contains(s.from));
    has_ears && edge.role == Role::Outline && outside
}
