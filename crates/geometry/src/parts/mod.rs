//! The parts of one position: cover, baseplate and the two flatwork plates.
//!
//! [`Layout`] works out every size and place from readings and wishes; each part's module turns
//! the layout into a [`Stack`]; [`build_part`] makes the solid. Where that can't be done, a
//! [`Refusal`] names the dimension to change and the value nearest to the wanted one that works.

mod bare;
mod baseplate;
mod cover;
mod cut_out;
mod drawn;
mod fault;
mod flatwork;
mod layout;
mod lead_place;
mod lip;
mod pieces;
mod refusal;
mod relief;
mod remedy;
mod room;
mod rounded;
mod shapes;
mod sides;
mod slanted;
mod tabs;

pub use bare::bare_part;
pub use cut_out::{CutOut, Outlines};
pub use drawn::{Lie, Undrawable, draw_part};
pub use layout::Layout;
pub use pieces::{Piece, pieces};
pub use refusal::Refusal;
pub use relief::Relief;
pub use remedy::Remedy;
pub use room::{Ranges, room_for};
pub use rounded::rounded_body;
pub use shapes::{Boss, EarShape, LeadBox, PlateShape};
pub use sides::{on_body, on_side, outwards};
pub use slanted::Slanted;
pub use tabs::Tab;

pub use bobbinwright_spec::PartKind;

use bobbinwright_spec::{Corners, EarAt, Estimate, Family, Handed, Hardware, Length, Position, Rout};
use bobbinwright_spec::{Sentence, sentence};

use crate::{Feature, Role, Stack};
use bobbinwright_kernel::StackError;
use bobbinwright_kernel::plane::{self, Contour, Point, Vector, contour_distance_below};
use bobbinwright_kernel::solid::{Solid, build};
use fault::Fault;
use refusal::MOUNTING;

/// A part that can be made.
#[derive(Clone, Debug)]
pub struct Part {
    /// Which part.
    pub kind: PartKind,
    /// Its features; the underside lies at z = 0.
    pub stack: Stack,
    /// Its solid.
    pub solid: Solid,
    /// Height of its underside over the baseplate's underside when assembled.
    pub place: Length,
}

/// All parts of one position.
#[derive(Clone, Debug)]
pub struct PositionParts {
    /// The sizes they were made from.
    pub layout: Layout,
    /// In the order of [`PartKind::ALL`].
    pub parts: Vec<Part>,
}

/// Builds every part of every position, on as many threads as the machine has cores. The result
/// does not depend on how many these are.
pub fn build_family(family: &Family) -> Result<Vec<PositionParts>, Vec<Refusal>> {
    let layouts = family.positions.iter().map(|p| layout_of(p, &family.hardware));
    let (layouts, refused): (Vec<_>, Vec<_>) = layouts.partition(Result::is_ok);
    if !refused.is_empty() {
        return Err(refused.into_iter().filter_map(Result::err).collect());
    }
    let layouts: Vec<Layout> = layouts.into_iter().filter_map(Result::ok).collect();
    let jobs: Vec<(usize, PartKind)> =
        (0..layouts.len()).flat_map(|p| PartKind::ALL.map(|kind| (p, kind))).collect();
    let results = bobbinwright_kernel::threads::map(&jobs, |&(p, kind)| {
        let explain = |fault| refusal::explain(&family.positions[p], &family.hardware, kind, fault);
        of_layout(&layouts[p], kind).map_err(explain)
    });
    let mut refused = Vec::new();
    let mut built: Vec<PositionParts> =
        layouts.into_iter().map(|layout| PositionParts { layout, parts: Vec::new() }).collect();
    for ((position, _), result) in jobs.into_iter().zip(results) {
        match result {
            Ok(part) => built[position].parts.push(part),
            Err(refusal) => refused.push(refusal),
        }
    }
    if refused.is_empty() { Ok(built) } else { Err(refused) }
}

/// Works a position's layout out, or says why there is none.
pub fn layout_of(position: &Position, hardware: &Hardware) -> Result<Layout, Refusal> {
    Layout::new(position, hardware).map_err(|fault| {
        // Where the row is in the way, the plates are what has no room.
        let flatwork = fault.parameter.starts_with("flatwork.") || fault.parameter == "row.offset";
        let part = if flatwork { PartKind::FlatworkBottom } else { PartKind::Cover };
        refusal::explain(position, hardware, part, fault)
    })
}

/// A position's layout, without a word where there is none: for who tries many.
pub fn laid_out(position: &Position, hardware: &Hardware) -> Option<Layout> {
    Layout::new(position, hardware).ok()
}

/// All parts of a position, without a word where they can't be made: for who tries many.
pub fn all_of(position: &Position, hardware: &Hardware) -> Option<PositionParts> {
    let layout = Layout::new(position, hardware).ok()?;
    let parts = PartKind::ALL.iter().map(|kind| of_layout(&layout, *kind)).collect::<Result<_, _>>().ok()?;
    Some(PositionParts { layout, parts })
}

/// Builds one part of a position.
pub fn build_part(position: &Position, hardware: &Hardware, kind: PartKind) -> Result<Part, Refusal> {
    try_part(position, hardware, kind).map_err(|fault| refusal::explain(position, hardware, kind, fault))
}

fn try_part(position: &Position, hardware: &Hardware, kind: PartKind) -> Result<Part, Fault> {
    of_layout(&Layout::new(position, hardware)?, kind)
}

fn of_layout(layout: &Layout, kind: PartKind) -> Result<Part, Fault> {
    let stack = stack_of(layout, kind)?;
    let solid = build(&stack).map_err(|e| Fault::of_stack(&stack, kind, layout, &e))?;
    Ok(Part { kind, stack, solid, place: layout.place_of(kind) })
}

fn stack_of(layout: &Layout, kind: PartKind) -> Result<Stack, Fault> {
    match kind {
        PartKind::Cover => cover::stack(layout),
        PartKind::Baseplate => baseplate::stack(layout),
        PartKind::FlatworkBottom => flatwork::bottom(layout),
        PartKind::FlatworkTop => flatwork::top(layout),
    }
}

/// Refuses two roles whose features touch or overlap where their heights overlap.
fn keep_apart(stack: &Stack, a: Role, b: Role, parameter: &'static str) -> Result<(), Fault> {
    let all: Vec<_> = stack.features.iter().collect();
    for (i, f) in all.iter().enumerate() {
        for g in &all[i + 1..] {
            let meant = (f.role == a && g.role == b) || (f.role == b && g.role == a);
            if meant && share_height(f, g) && !are_apart(&f.contour, &g.contour) {
                let why = if a == b {
                    format!("two {}s run into each other", a.name())
                } else {
                    format!("the {} runs into the {}", a.name(), b.name())
                };
                return Err(Fault::new(parameter, why));
            }
        }
    }
    Ok(())
}

/// Refuses features of a role that are not wholly inside a contour.
fn keep_inside(
    stack: &Stack,
    role: Role,
    outer: &Contour,
    what: &str,
    parameter: &'static str,
) -> Result<(), Fault> {
    for f in stack.with_role(role) {
        if !is_inside(&f.contour, outer) {
            return Err(Fault::new(parameter, format!("the {} reaches beyond the {what}", role.name())));
        }
    }
    Ok(())
}

/// Between two cuts that are closer than this no web is left, mm: nobody can make it, and triangles within the chord
/// tolerance of an export, 0.01 mm, could reach from one side of it to the other.
const LEAST_WEB: f64 = 0.02;

/// Some height, or the two sides of a skin, are common to both.
fn share_height(a: &Feature, b: &Feature) -> bool {
    a.bottom.max(b.bottom) < a.top.min(b.top) + LEAST_WEB
}

fn are_apart(a: &Contour, b: &Contour) -> bool {
    let near = 2.0 * LEAST_WEB;
    let boxes_apart = !a.bounds().near(&b.bounds(), near);
    let borders_apart = || contour_distance_below(a, b, near) > LEAST_WEB;
    boxes_apart || (borders_apart() && !a.contains(first_point(b)) && !b.contains(first_point(a)))
}

/// Rout and ear recesses as one outline in plan, at the readings' best values.
pub fn rout_outline(rout: &Rout, handed: Handed) -> Vec<Contour> {
    let main = rout_body(rout, handed);
    if rout.ears.is_none() {
        return vec![main];
    }
    let all: Vec<Contour> = std::iter::once(main).chain(ear_recesses(rout, handed)).collect();
    plane::offset::borders(&all, &[]).into_iter().filter(|b| !b.hole).map(|b| b.contour).collect()
}

/// The rout alone.
pub fn rout_body(rout: &Rout, handed: Handed) -> Contour {
    if let Some(slanted) = Slanted::of(rout.outline, &rout.sides, handed) {
        let radii = rout.corners.map(Estimate::value);
        let sharp = Corners::of(|_| Length::ZERO);
        let rounded = slanted.outline(&radii, handed).or_else(|| slanted.outline(&sharp, handed));
        return rounded.unwrap_or_else(|| rounded_body(handed, slanted.size(), &sharp));
    }
    let size @ [length, width] = [rout.length.value(), rout.width.value()];
    // Of corners that nothing is left between on a side each has its half.
    let most = length.min(width) / 2.0;
    rounded_body(handed, size, &rout.corners.map(|radius| radius.value().min(most)))
}

/// The recesses for ears in plan, each rooted in the rout.
pub fn ear_recesses(rout: &Rout, handed: Handed) -> Vec<Contour> {
    let Some(ear) = &rout.ears else { return Vec::new() };
    let size = [rout.length.value(), rout.width.value()];
    let slanted = Slanted::of(rout.outline, &rout.sides, handed);
    let of = |at: &EarAt| {
        let half = match slanted.filter(|_| rout.outline.slants(at.side)) {
            Some(slanted) => Length::from_mm(slanted.border(at.side, handed).reach),
            None => sides::half(at.side, size),
        };
        let [x, y] = rout.facing(at.side).out;
        let tab = Tab {
            side: at.side,
            out: Vector::new(x * handed.treble(), y),
            offset: at.offset.value(),
            reach: half + ear.length.value(),
            width: ear.width.value(),
        };
        let radius = ear.corner_radius.value().min(tab.width / 2.0);
        tab.contour(handed, 0.0, radius.as_mm())
    };
    ear.at.iter().map(of).collect()
}

/// Cover and baseplate have one outline: with bosses it ends at the cover's ends, with ears it goes further.
fn reaches_screws(layout: &Layout) -> Result<(), Fault> {
    if layout.screws.iter().all(|screw| layout.outline.contains(*screw)) {
        return Ok(());
    }
    let are_at_ends = layout.screws.iter().all(|screw| screw.x.abs() > layout.length.as_mm() / 2.0);
    if layout.screws.len() != 2 || !are_at_ends {
        return Err(match layout.ears {
            None => {
                Fault::new(MOUNTING, "a screw of the body stands beside the cover, where no boss reaches it")
            }
            Some(_) => Fault::new(
                "cover.mounting.length",
                "a screw of the body stands beside the ear that shall hold it",
            ),
        });
    }
    let apart = layout.screw_pitch();
    Err(match layout.ears {
        None => Fault::new(
            MOUNTING,
            sentence!(
                "the screws of the body stand {} apart, beside a cover of {}: bosses don't reach them",
                apart,
                layout.length
            ),
        ),
        Some(ear) => Fault::new(
            "cover.mounting.length",
            sentence!(
                "the screws of the body stand {} apart, beside ears that end {} apart",
                apart,
                layout.length + ear.length * 2.0
            ),
        ),
    })
}

/// Is `inner` inside `outer`, with a web between them?
pub fn is_inside(inner: &Contour, outer: &Contour) -> bool {
    contour_distance_below(inner, outer, 2.0 * LEAST_WEB) > LEAST_WEB && outer.contains(first_point(inner))
}

fn first_point(c: &Contour) -> Point {
    c.segments().first().map_or(Point::origin(), |s| s.from)
}

impl Fault {
    /// Blames a dimension for what went wrong with a stack.
    fn of_stack(stack: &Stack, kind: PartKind, layout: &Layout, error: &StackError) -> Self {
        let roles: Vec<Role> = match error {
            StackError::Empty { feature } | StackError::RoundingMeets { feature } => vec![*feature],
            StackError::RoundingInterrupted { feature: Some(feature) } => vec![*feature],
            StackError::Touching { features } => features.clone(),
            _ => Vec::new(),
        }
        .into_iter()
        .map(|f| stack.features[f].role)
        .collect();
        let names: Vec<&str> = roles.iter().map(|r| r.name()).collect();
        let why: Sentence = match error {
            StackError::RoundingOnCorner { .. } => {
                "the top edge can only be rounded where the corners are".into()
            }
            StackError::RoundingOverCorner { corner } => {
                sentence!("the rounding can't be larger than the corner radius, {}", Length::from_mm(*corner))
            }
            StackError::RoundingMeetsItself => "the roundings of two sides meet".into(),
            StackError::RoundingInterrupted { .. } if names.is_empty() => {
                "the rounding is higher than the cover".into()
            }
            StackError::RoundingInterrupted { .. } => {
                sentence!("the {} cuts into the rounded edge", names.join(" and "))
            }
            StackError::RoundingMeets { .. } => sentence!("the rounding reaches the {}", names.join(" and ")),
            StackError::Empty { .. } => sentence!("nothing is left of the {}", names.join(" and ")),
            StackError::Touching { .. } => sentence!("{} touch without overlapping", names.join(" and ")),
            other => other.to_string().into(),
        };
        let rounding = matches!(
            error,
            StackError::RoundingOnCorner { .. }
                | StackError::RoundingOverCorner { .. }
                | StackError::RoundingMeetsItself
                | StackError::RoundingInterrupted { .. }
                | StackError::RoundingMeets { .. }
        );
        let parameter = if rounding { "cover.rounding" } else { blamed(kind, layout, &roles) };
        Fault::new(parameter, why)
    }
}

/// The dimension that is most to blame for trouble among features of these roles.
fn blamed(kind: PartKind, layout: &Layout, roles: &[Role]) -> &'static str {
    let has = |role| roles.contains(&role);
    match kind {
        PartKind::Cover if has(Role::LeadOut) => "cover.lead_out.offset",
        PartKind::Cover if has(Role::PoleHole) => layout.row_or("cover.pole_hole"),
        PartKind::Cover if has(Role::HeadRecess) => "cover.mounting.recess_diameter",
        PartKind::Cover if has(Role::ScrewHole) => "cover.screw_hole",
        PartKind::Cover if has(Role::Ears) => "cover.mounting.thickness",
        PartKind::Cover if layout.boss.is_some() => "cover.mounting.diameter",
        PartKind::Cover => "cover.wall",
        PartKind::Baseplate if has(Role::Lip) => "baseplate.lip.gap",
        PartKind::Baseplate if has(Role::ScrewHole) => "cover.screw_hole",
        PartKind::Baseplate if layout.plate_lead.is_some() => "baseplate.lead_depth",
        PartKind::Baseplate => "baseplate.thickness",
        _ if has(Role::PoleHole) => layout.row_or("flatwork.pole_hole"),
        _ if has(Role::EyeletHole) => "flatwork.eyelets.hole",
        _ if has(Role::Waist) => "flatwork.waists.depth",
        _ if has(Role::Mark) => "flatwork.mark_radius",
        _ => "flatwork.play",
    }
}
