//! Webs: what is left between neighbouring holes, and between a hole and an edge.

use bobbinwright_geometry::parts::{Part, PartKind};
use bobbinwright_geometry::{Feature, Role};
use bobbinwright_kernel::plane::contour_distance_below;
use bobbinwright_kernel::{Kind, setback};
use bobbinwright_spec::{Estimate, Length, sentence};

use crate::bench::{Bench, Draft, figure};
use crate::help::Help;
use crate::kind::{CheckKind, Where};

pub(crate) fn check(bench: &mut Bench) {
    for kind in PartKind::ALL {
        let Some(part) = bench.bare(kind) else { continue };
        let Some((web, between, roles)) = thinnest(&part) else { continue };
        let sheet = bench.layout(kind).wanted.sheet(kind);
        let least = sheet.map_or(bench.family.printer.least_wall, |sheet| sheet.least_web);
        let (who, what) = if sheet.is_some() { ("cutter", "least web") } else { ("printer", "least wall") };
        let made = bench.web(kind, web);
        let margin = made.clone() - Estimate::exact(least);
        bench.enter(Draft {
            kind: CheckKind::Webs(kind),
            at: Where::Alike,
            title: format!("Thinnest web of the {}: {between}", kind.name()),
            why: sentence!(
                "The web between {} is {}, but the {} needs {}.",
                between.clone(),
                web,
                who,
                least
            ),
            help: roles.into_iter().filter(|r| is_opening(*r)).flat_map(|role| help(kind, role)).collect(),
            figures: vec![figure("web", &made), figure(what, &least.into())],
            margin,
            others: Vec::new(),
        });
    }
}

/// What would leave more of a web: another size of the opening, another place of it, or more beside it.
fn help(kind: PartKind, role: Role) -> Vec<Help> {
    let beside: &[&'static str] = match (role, kind) {
        (Role::ScrewHole | Role::HeadRecess, PartKind::Cover) => {
            &["cover.mounting.diameter", "cover.mounting.length", "cover.rounding"]
        }
        (Role::EyeletHole, _) => &["flatwork.eyelets.spread", "flatwork.eyelets.hole"],
        (Role::PoleHole, PartKind::FlatworkBottom | PartKind::FlatworkTop) => &["poles.spread", "row.offset"],
        (Role::PoleHole, PartKind::Cover) => &["row.offset"],
        (Role::Relief, _) => &["row.offset"],
        (Role::Waist, _) => &["flatwork.waists.offset", "flatwork.waists.width"],
        (Role::LeadOut, _) => &["cover.lead_out.width"],
        _ => &[],
    };
    let all = std::iter::once(parameter_of(kind, role)).chain(beside.iter().copied()).map(Help::Dimension);
    let is_of_rods =
        role == Role::PoleHole && matches!(kind, PartKind::FlatworkBottom | PartKind::FlatworkTop);
    all.chain(is_of_rods.then_some(Help::OneRod)).collect()
}

/// Webs that differ by less are as thick as each other, mm.
const ALIKE: f64 = 1e-6;

/// The smallest distance between two openings of a part, or an opening and the part's edge.
fn thinnest(part: &Part) -> Option<(Length, String, [Role; 2])> {
    let openings: Vec<&Feature> =
        part.stack.features.iter().filter(|f| f.kind == Kind::Cut && is_opening(f.role)).collect();
    let is_edge =
        |f: &&Feature| matches!(f.role, Role::Outline | Role::Ears | Role::Hollow | Role::Boss | Role::Lip);
    let edges: Vec<&Feature> = part.stack.features.iter().filter(is_edge).collect();
    let mut pairs: Vec<(&Feature, &Feature)> = Vec::new();
    for (i, a) in openings.iter().enumerate() {
        let others = openings[i + 1..].iter().filter(|b| share_height(a, b) && !is_one_hole(a, b));
        pairs.extend(others.map(|b| (*a, *b)));
        if !opens_to_the_edge(a.role) {
            let near = edges.iter().filter(|e| share_height(a, e) && !is_buried(part, a, e));
            pairs.extend(near.map(|e| (*a, *e)));
        }
    }
    let mut least: Option<(f64, &Feature, &Feature)> = None;
    for (a, b) in pairs {
        // The rounding has taken some of the web away where the opening reaches into it.
        let taken = taken_by_rounding(part, a, b);
        // What is thinner by less than a nanometre only rounds otherwise: the first pair stays.
        let limit = least.map_or(f64::INFINITY, |l| l.0 - ALIKE);
        let reach = limit + taken;
        let apart = contour_distance_below(&a.contour, &b.contour, reach);
        if apart < reach {
            least = Some((apart - taken, a, b));
        }
    }
    let (web, a, b) = least?;
    let other = match b.role {
        Role::Outline | Role::Ears => "edge",
        role => role.name(),
    };
    Some((Length::from_mm(web), format!("{} and {other}", a.role.name()), [a.role, b.role]))
}

/// How far the rounding stands back from the outline at the upper end of an opening.
fn taken_by_rounding(part: &Part, opening: &Feature, edge: &Feature) -> f64 {
    match part.stack.rounding {
        Some(r) if edge.role == Role::Outline => {
            let start = part.stack.height() - r.radius;
            setback(r.radius, opening.top.min(part.stack.height()) - start)
        }
        _ => 0.0,
    }
}

/// The dimension that decides about an opening.
fn parameter_of(kind: PartKind, role: Role) -> &'static str {
    match (role, kind) {
        (Role::ScrewHole, _) => "cover.screw_hole",
        (Role::HeadRecess, _) => "cover.mounting.recess_diameter",
        (Role::PoleHole, PartKind::Cover) => "cover.pole_hole",
        (Role::EyeletHole, _) => "flatwork.eyelets.inset",
        (Role::Waist, _) => "flatwork.waists.depth",
        (Role::Mark, _) => "flatwork.mark_radius",
        (Role::Relief, _) => "cover.mounting.diameter",
        (Role::LeadOut, PartKind::Baseplate) => "baseplate.lead_depth",
        (Role::LeadOut, _) => "cover.lead_out.offset",
        _ => "flatwork.pole_hole",
    }
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
            | Role::Relief
            | Role::LeadOut
    )
}

fn opens_to_the_edge(role: Role) -> bool {
    matches!(role, Role::Waist | Role::Mark | Role::Relief | Role::LeadOut)
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
