//! The outline of a rout that is planned, at 1:1, to cut the board that guides the cutter.

use bobbinwright_core::Prepared;
use bobbinwright_geometry::parts::rout_outline;
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector};
use bobbinwright_paper::{Align, GREY, Page, Pen, Type};
use bobbinwright_spec::{Estimate, Length, Origin, Position, corner_name};

use super::Paper;
use super::template::{CUT, LABEL, cross, sheet};

const MIDDLE: Pen = Pen::new(GREY, 0.15).dashed(6.0, 1.5);
const STRING: Pen = Pen::new(GREY, 0.12);

/// Room round the outline for the middle lines, mm.
const BEYOND: f64 = 10.0;

/// The template of a rout that is not there yet; none where it is, or the paper is too small.
pub(super) fn page(prepared: &Prepared, index: usize, paper: Paper) -> Option<Page> {
    let (family, position) = (&prepared.family, &prepared.family.positions[index]);
    if !is_planned(prepared, position) {
        return None;
    }
    let outline = rout_outline(&position.rout, position.handed);
    let bounds = outline.iter().map(Contour::bounds).reduce(Bounds::union)?;
    let size = bounds.max - bounds.min;
    let title = format!("Routing template 1:1: {}", position.name);
    let of = [size.x + 2.0 * BEYOND, size.y + 2.0 * BEYOND];
    let (mut page, at) = sheet(&family.title, &title, words(prepared, position), of, paper)?;
    lines(&mut page, position, &bounds, at);
    for contour in &outline {
        page.outline(&contour.moved(at), CUT);
    }
    for screw in &position.rout.screws {
        let place = Point::new(position.handed.x(screw.along.value()), mm(&screw.across));
        cross(&mut page, place + at, mm(&position.rout.screw_hole) / 2.0);
    }
    let [left, right] = position.handed.ends();
    let corner = Point::new(bounds.min.x + 2.0, bounds.max.y + 3.0) + at;
    page.text(corner, LABEL, left);
    page.text(Point::new(bounds.max.x - 2.0, bounds.max.y + 3.0) + at, LABEL.align(Align::End), right);
    page.text(Point::new(0.0, bounds.max.y + 3.0) + at, LABEL.align(Align::Middle), "neck");
    Some(page)
}

/// Is the rout as it is planned, not as it was read?
fn is_planned(prepared: &Prepared, position: &Position) -> bool {
    let of = |size: &Estimate| {
        let mut causes = size.contributions().filter_map(|(id, _)| prepared.family.doubts.get(id));
        causes.any(|doubt| doubt.origin == Origin::Planned)
    };
    of(&position.rout.length) && of(&position.rout.width)
}

fn words(prepared: &Prepared, position: &Position) -> Vec<(Type, String)> {
    let shown = |size: &Estimate| prepared.family.unit().shown(size.value());
    let rout = &position.rout;
    let text = Type::new(2.7);
    let corners = if let Some(radius) = rout.corners.alike() {
        format!("corners of {}", shown(radius))
    } else {
        let of = |(at, radius): ([f64; 2], &Estimate)| format!("{} of {}", corner_name(at), shown(radius));
        rout.corners.iter().map(of).collect::<Vec<_>>().join(", ")
    };
    let outline =
        if rout.outline.is_square() { String::new() } else { format!("A {}, ", rout.outline.name()) };
    let sizes = format!(
        "{outline}{} along the row, {} in the strings' direction, {corners}, {} deep; screw holes {}.",
        shown(&rout.length),
        shown(&rout.width),
        shown(&rout.depth),
        shown(&rout.screw_hole),
    );
    vec![
        (text, "Print at 100 % (\"actual size\"). The bar must measure 100 mm; if it does not, the outline is wrong too.".to_owned()),
        (text, sizes),
        (text, "Cut a board along the solid line and let the cutter's bearing run along it. Dashed: the middle lines; thin grey: where the strings run.".to_owned()),
        (text, "Lay it under the strings before you cut: they tell better than any figure where it belongs. Read the rout when it is cut, then print.".to_owned()),
        (text.bold(), "Clamp body and board; eyes, ears and lungs need protection from a router; your machine's own rules come first.".to_owned()),
    ]
}

/// The middle lines, and the strings over them.
fn lines(page: &mut Page, position: &Position, bounds: &Bounds, at: Vector) {
    let (low, high) = (bounds.min, bounds.max);
    let mut line = |a: [f64; 2], b: [f64; 2], pen: Pen| {
        page.line(Point::new(a[0], a[1]) + at, Point::new(b[0], b[1]) + at, pen);
    };
    line([low.x - BEYOND, 0.0], [high.x + BEYOND, 0.0], MIDDLE);
    line([0.0, low.y - BEYOND], [0.0, high.y], MIDDLE);
    for string in &position.strings {
        let on = |y: f64| [position.handed.x(string.at(Length::from_mm(y)).value()), y];
        line(on(low.y - BEYOND / 2.0), on(high.y), STRING);
    }
}

fn mm(size: &Estimate) -> f64 {
    size.value().as_mm()
}
