//! Parts as they are drawn now, from above and cut along the row of strings.

use bobbinwright_geometry::Role;
use bobbinwright_geometry::parts::rout_outline;
use bobbinwright_kernel::lengthwise_cut;
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector, offset};
use bobbinwright_paper::{BLACK, GREY, Ink, Look, Page, Pen};
use bobbinwright_spec::{Length, PartKind};

use super::{EMPTY, Model, View};
use crate::stand::face;

const EDGE: Look = Look::line(Pen::new(BLACK, 0.25));
const HIDDEN: Look = Look::line(Pen::new(BLACK, 0.15).dashed(1.2, 0.7));
const BESIDE: Look = Look::line(Pen::new(GREY, 0.3));
/// Slices have no borders to be seen.
const CUT: Ink = Ink(0xc9, 0xc9, 0xc9);
const MATERIAL: Look = Look { pen: Some(Pen::new(CUT, 0.08)), fill: Some(CUT) };
const ROD: Look = Look { pen: Some(Pen::new(BLACK, 0.15)), fill: Some(Ink(0xee, 0xee, 0xee)) };
const COIL: Look = Look { pen: Some(Pen::new(GREY, 0.15)), fill: Some(Ink(0xf0, 0xdf, 0xc6)) };

/// Draws a view, moved so far; gives the room that it takes.
pub(super) fn draw(page: &mut Page, model: &Model, view: View, by: Vector) -> Bounds {
    match view {
        View::Above(kind) => above(page, model, kind, by),
        View::Cut(kind) => {
            let bounds = cut(page, model, kind, by);
            let lead = if kind == PartKind::Cover { Some(model.layout().lead) } else { None };
            if let Some(lead) = lead {
                let top = model.layout().wanted.cover.lead_out.height.as_mm();
                let hole = Contour::rectangle(Point::new(lead.min.x, 0.0), Point::new(lead.max.x, top));
                page.outline(&hole.moved(by), HIDDEN);
            }
            bounds
        }
        View::Bobbin => bobbin(page, model, by),
        View::Seat => seat(page, model, by),
    }
}

/// What a part seen from above lies in: the rout, or the cover's hollow.
pub(super) fn beside(page: &mut Page, model: &Model, kind: PartKind) {
    let hollow = || {
        let hollow = model.layout().single_hollow(Length::ZERO);
        hollow.into_iter().flat_map(|(outer, bosses)| std::iter::once(outer).chain(bosses)).collect()
    };
    let around = match kind {
        PartKind::Cover => rout_outline(&model.position.rout, model.position.handed),
        _ => hollow(),
    };
    for contour in &around {
        page.outline(contour, BESIDE);
    }
}

fn above(page: &mut Page, model: &Model, kind: PartKind, by: Vector) -> Bounds {
    let features = || model.stack(kind).into_iter().flat_map(|stack| &stack.features);
    // What bites into the outline is part of it.
    let bites = |role: Role| match role {
        Role::Waist | Role::Mark | Role::Relief => true,
        Role::LeadOut => kind == PartKind::Baseplate,
        _ => false,
    };
    let of = |is_it: &dyn Fn(Role) -> bool| {
        features().filter(|f| is_it(f.role)).map(|f| f.contour.clone()).collect::<Vec<_>>()
    };
    let outline = of(&|role| role == Role::Outline);
    for border in offset::borders(&outline, &of(&bites)) {
        page.outline(&border.contour.moved(by), EDGE);
    }
    for feature in features().filter(|f| f.role != Role::Outline && !bites(f.role)) {
        let look = match feature.role {
            Role::Hollow | Role::Boss | Role::LeadOut if kind == PartKind::Cover => HIDDEN,
            _ => EDGE,
        };
        page.outline(&feature.contour.moved(by), look);
    }
    let all = features().filter(|f| !bites(f.role)).map(|f| f.contour.bounds());
    all.reduce(Bounds::union).unwrap_or(EMPTY)
}

/// Material where the part is cut; its underside is at nought.
fn cut(page: &mut Page, model: &Model, kind: PartKind, by: Vector) -> Bounds {
    let Some(stack) = model.stack(kind) else { return EMPTY };
    let kept = lengthwise_cut(stack, stack, model.layout().row).kept;
    for slice in &kept {
        page.outline(&slice.moved(by), MATERIAL);
    }
    kept.iter().map(Contour::bounds).reduce(Bounds::union).unwrap_or(EMPTY)
}

/// Both plates, the rods and the coil's room; the lower plate's underside is at nought.
fn bobbin(page: &mut Page, model: &Model, by: Vector) -> Bounds {
    let layout = model.layout();
    let coil = coil(model);
    page.outline(&coil.moved(by), COIL);
    let up = layout.place_of(PartKind::FlatworkTop) - layout.place_of(PartKind::FlatworkBottom);
    let low = cut(page, model, PartKind::FlatworkBottom, by);
    cut(page, model, PartKind::FlatworkTop, by + Vector::new(0.0, up.as_mm()));
    for rod in rods(model) {
        page.outline(&rod.moved(by), ROD);
    }
    let top = model.hardware.rod_length.value().as_mm();
    low.union(Bounds::of(Point::new(low.min.x, 0.0), Point::new(low.max.x, top)))
}

/// The coil's room between the plates.
pub(super) fn coil(model: &Model) -> Contour {
    let layout = model.layout();
    let (half, low) = ((layout.plate.length / 2.0).as_mm(), layout.wanted.flatwork.bottom.as_mm());
    Contour::rectangle(Point::new(-half, low), Point::new(half, low + layout.coil_height.as_mm()))
}

/// The rods, seen from the side.
pub(super) fn rods(model: &Model) -> Vec<Contour> {
    let (radius, top) =
        (model.hardware.rod_diameter.value().as_mm() / 2.0, model.hardware.rod_length.value().as_mm());
    let rod = |x: &f64| Contour::rectangle(Point::new(x - radius, 0.0), Point::new(x + radius, top));
    model.rods().iter().map(rod).collect()
}

/// Everything in the body; the baseplate's underside is at nought.
fn seat(page: &mut Page, model: &Model, by: Vector) -> Bounds {
    let layout = model.layout();
    let floor = layout.wanted.baseplate.thickness.as_mm();
    let (up, seat) = (Vector::new(0.0, floor), -layout.wanted.seat.lift.as_mm());
    let plate = cut(page, model, PartKind::Baseplate, by);
    let cover = cut(page, model, PartKind::Cover, by + up);
    bobbin(page, model, by + up);
    let (face, half) = (face(model.position), model.position.rout.length.value().as_mm() / 2.0);
    let rout = &model.position.rout;
    let reach = rout.ears.as_ref().map_or(half, |ears| half + ears.length.value().as_mm());
    // Where the baseplate's seat is a recess for ears, the rout goes on beneath it.
    let body = [
        [-reach - 12.0, face],
        [-reach, face],
        [-reach, seat],
        [reach, seat],
        [reach, face],
        [reach + 12.0, face],
    ];
    for two in body.windows(2) {
        let [a, b] = [two[0], two[1]].map(|[x, y]| Point::new(x, y) + by);
        page.line(a, b, Pen::new(GREY, 0.4));
    }
    let mut top = cover.max.y + floor;
    for string in &model.position.strings {
        let radius = string.gauge.value().as_mm() / 2.0;
        let at = Point::new(
            model.position.handed.x(model.position.over_rods(string).value()),
            face + string.height.value().as_mm() + radius,
        );
        page.outline(&Contour::circle(at, radius).moved(by), Look::solid(BLACK));
        top = top.max(at.y + radius);
    }
    let room = Bounds::of(Point::new(-reach - 12.0, seat), Point::new(reach + 12.0, top));
    plate.union(room)
}
