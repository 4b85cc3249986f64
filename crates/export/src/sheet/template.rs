//! Paper templates at 1:1, to cut out and lay into the rout before anything is printed.

use bobbinwright_fit::{Check, Verdict};
use bobbinwright_geometry::parts::{Layout, rout_outline};
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector};
use bobbinwright_spec::{Poles, Position};

use crate::drawing::scale_bar;
use bobbinwright_paper::{Align, BLACK, GREY, Look, Page, Pen, Type};

use bobbinwright_core::Prepared;

use super::{EDGE, Paper};

pub(super) const CUT: Look = Look::line(Pen::new(BLACK, 0.2));
const ROUT: Look = Look::line(Pen::new(GREY, 0.15).dashed(1.0, 1.0));
const HIDDEN: Look = Look::line(Pen::new(BLACK, 0.15).dashed(1.6, 0.9));
const CROSS: Pen = Pen::new(BLACK, 0.15);
pub(super) const LABEL: Type = Type::new(3.2);

/// Room above and below the outlines for words and the bar, mm.
pub(super) const WORDS: f64 = 44.0;

/// Cover and baseplate of a position, one above the other; on paper laid across where they are longer
/// than it is wide, and none where they are longer than that.
pub(super) fn page(prepared: &Prepared, index: usize, paper: Paper) -> Option<Page> {
    let (family, position) = (&prepared.family, &prepared.family.positions[index]);
    let layout = &prepared.positions[index].layout;
    let bounds = layout.outline.bounds();
    let deep = bounds.max.y - bounds.min.y;
    let title = format!("Template 1:1: {}", position.name);
    let words = words(prepared, position, layout);
    let (mut page, first) = sheet(&family.title, &title, words, [bounds.max.x - bounds.min.x, deep], paper)?;
    cover(&mut page, position, layout, first);
    // Where two do not fit one above the other, the baseplate's outline is the cover's.
    let second = first - Vector::new(0.0, deep + 12.0);
    if second.y - deep / 2.0 > EDGE {
        baseplate(&mut page, position, layout, second);
    }
    Some(page)
}

/// A page with its head, words and a bar to check its scale by, and where on it the middle of something so long and deep is;
/// none where the paper is too small.
pub(super) fn sheet(
    family: &str,
    title: &str,
    words: Vec<(Type, String)>,
    [long, deep]: [f64; 2],
    paper: Paper,
) -> Option<(Page, Vector)> {
    let (mut wide, mut high) = paper.size();
    if long + 2.0 * EDGE > wide {
        (wide, high) = (high, wide);
    }
    if long + 2.0 * EDGE > wide || deep + 2.0 * EDGE + WORDS > high {
        return None;
    }
    let bounds = Bounds { min: Point::origin(), max: Point::new(wide, high) };
    let mut page = Page::new(bounds, format!("{family}: {title}"));
    let top = high - EDGE - 4.0;
    page.text(Point::new(EDGE, top), Type::new(5.0).bold(), title);
    page.text(Point::new(EDGE, top - 6.0), Type::new(2.8).ink(GREY), family);
    scale_bar(&mut page, Point::new(EDGE, top - 14.0), 10);
    for (i, (kind, line)) in words.into_iter().enumerate() {
        page.text(Point::new(EDGE, top - 19.0 - 4.0 * i as f64), kind, line);
    }
    Some((page, Vector::new(wide / 2.0, high - EDGE - WORDS - deep / 2.0)))
}

/// What the template is for, and what is to be seen on it.
fn words(prepared: &Prepared, position: &Position, layout: &Layout) -> Vec<(Type, String)> {
    let run = match layout.wanted.poles {
        Poles::Single => "each string over its pole",
        Poles::Pair { .. } => "each string between its two poles",
    };
    let text = Type::new(2.7);
    let mut lines = vec![
        (text, "Print at 100 % (\"actual size\"). The bar must measure 100 mm; if it does not, the outlines are wrong too.".to_owned()),
        (text, format!("Cut along the solid outline and lay it into the rout: it must drop in with {} of play all round, more where the rout is wider.", prepared.family.unit().shown(layout.wanted.cover.fit_gap))),
        (text, format!("Small crosses: screw holes and pole centres; {run}. Dashed: grey the rout as read, black the lead-out.")),
    ];
    let clashing = |c: &&Check| c.position == position.name && c.verdict == Verdict::Clashes;
    let names: Vec<&str> = prepared.fit.checks.iter().filter(clashing).map(|c| c.kind.name()).collect();
    if !names.is_empty() {
        let list = match &names[..] {
            [a, b, c, _, _, ..] => format!("{a}, {b}, {c} and {} more", names.len() - 3),
            few => few.join(", "),
        };
        lines.push((text.bold(), format!("As it stands it does not fit: {list}. Ask check what to change.")));
    }
    lines
}

fn cover(page: &mut Page, position: &Position, layout: &Layout, at: Vector) {
    for contour in &rout_outline(&position.rout, position.handed) {
        page.outline(&contour.moved(at), ROUT);
    }
    // Under the poles, over the lead-out.
    let name_at = -layout.width.as_mm() / 2.0 + 6.0;
    outline(page, layout, at, &format!("{} cover", position.name), name_at);
    let hole = layout.wanted.cover.pole_hole.unwrap_or(layout.wanted.flatwork.pole_hole);
    for pole in &layout.poles {
        cross(page, pole + at, hole.as_mm() / 2.0);
    }
    page.outline(&layout.lead.contour().moved(at), HIDDEN);
}

fn baseplate(page: &mut Page, position: &Position, layout: &Layout, at: Vector) {
    outline(page, layout, at, &format!("{} baseplate", position.name), 0.0);
    if let Some(lead) = layout.plate_lead {
        page.outline(&lead.contour().moved(at), HIDDEN);
    }
}

/// The outline with its screw holes, and which end is which.
fn outline(page: &mut Page, layout: &Layout, at: Vector, name: &str, name_at: f64) {
    page.outline(&layout.outline.moved(at), CUT);
    for screw in layout.screws.iter().copied() {
        cross(page, screw + at, layout.wanted.cover.screw_hole.as_mm() / 2.0);
    }
    let (end, half) = (layout.length.as_mm() / 2.0 - 14.0, layout.width.as_mm() / 2.0);
    let middle = Point::origin() + at;
    let [left, right] = layout.handed.ends();
    page.text(middle + Vector::new(-end, half - 5.0), LABEL, left);
    page.text(middle + Vector::new(end, half - 5.0), LABEL.align(Align::End), right);
    page.text(middle + Vector::new(0.0, name_at), LABEL.align(Align::Middle), format!("{name}, neck up"));
}

/// A hole with its centre.
pub(super) fn cross(page: &mut Page, at: Point, radius: f64) {
    page.outline(&Contour::circle(at, radius), CUT);
    let arm = radius + 1.0;
    page.line(at - Vector::new(arm, 0.0), at + Vector::new(arm, 0.0), CROSS);
    page.line(at - Vector::new(0.0, arm), at + Vector::new(0.0, arm), CROSS);
}
