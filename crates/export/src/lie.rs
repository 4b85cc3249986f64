//! How a cover lies in its rout, as a drawing: what is left beside it and at its screws, so many times as large as it is.

use bobbinwright_fit::{AtScrew, Beside, Lie};
use bobbinwright_geometry::parts::{Layout, Tab};
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector};
use bobbinwright_spec::{Position, Unit};

use bobbinwright_paper::{Align, BLACK, GREY, Ink, Look, Page, Pen, Type, svg};

/// What is left is drawn so many times as large.
const TIMES: f64 = 20.0;

/// Room round the drawing, mm.
const MARGIN: f64 = 24.0;

/// Room below for what it means, mm.
const FOOT: f64 = 16.0;

const COVER: Look = Look::line(Pen::new(BLACK, 0.4));
const ROUT: Pen = Pen::new(GREY, 0.6);
const BAND: Look = Look::solid(Ink(0xe4, 0xe4, 0xe4));
const MAY: Look = Look::line(Pen::new(BLACK, 0.25).dashed(1.6, 0.9));
const SMALL: Type = Type::new(2.6);

/// The cover of a position where it lies best, seen from above, neck upwards.
pub fn drawing(position: &Position, layout: &Layout, lie: &Lie, unit: Unit) -> String {
    let bounds = layout.outline.bounds();
    let out = Vector::new(MARGIN, MARGIN);
    let sheet = Bounds { min: bounds.min - out - Vector::new(0.0, FOOT), max: bounds.max + out };
    let title = format!("{}: the cover where it lies best in the rout", position.name);
    let mut page = Page::new(sheet, title);
    let treble = position.handed.treble();
    let mut beside = tightest(&lie.beside);
    beside.retain(|beside| !is_at_root(beside, layout));
    let sides = sides(&beside, layout);
    page.layer("doubt", |page| {
        for side in sides.iter().filter(|side| side.len() > 1) {
            page.outline(&Contour::polygon(&band(side, treble)), BAND);
        }
        for screw in &lie.screws {
            page.outline(&Contour::polygon(&ellipse(screw, treble)), BAND);
        }
    });
    page.layer("cover", |page| {
        page.outline(&layout.outline, COVER);
        for hole in layout.screws.iter().copied() {
            page.outline(&Contour::circle(hole, layout.wanted.cover.screw_hole.as_mm() / 2.0), COVER);
        }
    });
    page.layer("rout", |page| {
        for side in &sides {
            for ends in side.windows(2) {
                page.line(place(ends[0], 0.0, treble), place(ends[1], 0.0, treble), ROUT);
            }
        }
    });
    page.layer("play", |page| {
        // Of figures that would lie over each other the one for less room is written.
        let mut order: Vec<&Beside> = beside.iter().collect();
        order.sort_by(|a, b| a.room.value().as_mm().total_cmp(&b.room.value().as_mm()));
        let mut written: Vec<Point> = Vec::new();
        for beside in order {
            label(page, beside, treble, unit, &mut written);
        }
        for screw in &lie.screws {
            at_screw(page, screw, treble);
        }
    });
    let [left, right] = position.handed.ends();
    let above = bounds.max.y + MARGIN - 5.0;
    page.text(Point::new(sheet.min.x + 2.0, above), SMALL, left);
    page.text(Point::new(sheet.max.x - 2.0, above), SMALL.align(Align::End), right);
    let lines = [
        format!(
            "{}, from above, neck up: the cover (black) where it lies best, the rout's sides (grey) round it;",
            position.name
        ),
        format!(
            "what is left beside it, in {}, is drawn {TIMES:.0} times as large, and so is where the screws (dots) stand",
            unit.spoken()
        ),
        "in their holes; dashed: how far off they may; light: a standard uncertainty either way".to_owned(),
    ];
    for (n, line) in lines.into_iter().enumerate() {
        let y = sheet.min.y + FOOT - 3.0 - 4.2 * n as f64;
        page.text(Point::new(f64::midpoint(sheet.min.x, sheet.max.x), y), SMALL.align(Align::Middle), line);
    }
    svg(&page)
}

/// Each place once: a side that leans is tighter at the top edge or at the floor.
fn tightest(all: &[Beside]) -> Vec<Beside> {
    let mut kept: Vec<Beside> = Vec::new();
    for beside in all {
        match kept.iter_mut().find(|k| (k.at, k.towards) == (beside.at, beside.towards)) {
            Some(known) if beside.room.value() < known.room.value() => *known = beside.clone(),
            Some(_) => {}
            None => kept.push(beside.clone()),
        }
    }
    kept
}

/// The places beside each side that goes on between them, in their order along it.
fn sides<'b>(all: &'b [Beside], layout: &Layout) -> Vec<Vec<&'b Beside>> {
    let mut order: Vec<&Beside> = all.iter().collect();
    order.sort_by(|a, b| along(a).total_cmp(&along(b)));
    let mut sides: Vec<Vec<&Beside>> = Vec::new();
    for beside in order {
        let goes_on =
            |side: &&mut Vec<&Beside>| side.last().is_some_and(|last| goes_on(last, beside, layout));
        match sides.iter_mut().find(goes_on) {
            Some(side) => side.push(beside),
            None => sides.push(vec![beside]),
        }
    }
    sides
}

/// How far out a place is in its own direction, and how far along across that.
fn out(beside: &Beside) -> f64 {
    beside.at[0] * beside.towards[0] + beside.at[1] * beside.towards[1]
}

fn along(beside: &Beside) -> f64 {
    if beside.towards[0].abs() < beside.towards[1].abs() { beside.at[0] } else { beside.at[1] }
}

/// Does the rout's side go on between two places: beside the body where no recess opens, or beside one ear's end?
fn goes_on(a: &Beside, b: &Beside, layout: &Layout) -> bool {
    // A slanted side of the cover is not quite parallel to the rout's.
    let near = if layout.slanted.is_some() { 0.1 } else { 1e-6 };
    let is_same = |x: f64, y: f64| (x - y).abs() < near;
    if a.towards != b.towards || !is_same(out(a), out(b)) {
        return false;
    }
    // Both are as seen from treble.
    let faces = |tab: &&Tab| {
        is_same(tab.out.x * layout.handed.treble(), a.towards[0]) && is_same(tab.out.y, a.towards[1])
    };
    let half = if a.towards[0].abs() < a.towards[1].abs() { layout.width } else { layout.length } / 2.0;
    let half = |tab: &Tab| {
        let askew = layout.slanted.filter(|_| tab.out.x != 0.0 && tab.out.y != 0.0);
        askew.map_or(half.as_mm(), |slanted| slanted.border(tab.side, layout.handed).reach)
    };
    let along = |beside: &Beside| match layout.tabs.iter().find(faces) {
        // Along a slanted side, as its ears are.
        Some(tab) => {
            let along = tab.along(layout.handed);
            beside.at[0] * along.x * layout.handed.treble() + beside.at[1] * along.y
        }
        None => along(beside),
    };
    let reaches = |tab: &Tab, at: f64| (at - tab.offset.as_mm()).abs() <= tab.width.as_mm() / 2.0;
    let mut tabs = layout.tabs.iter().filter(faces);
    if layout.tabs.iter().any(|tab| faces(&tab) && !is_same(out(a), half(tab))) {
        tabs.any(|tab| reaches(tab, along(a)) && reaches(tab, along(b)))
    } else {
        let between = along(a).min(along(b))..along(a).max(along(b));
        !tabs.any(|tab| between.contains(&tab.offset.as_mm()))
    }
}

/// An ear's flank where it comes out of the body: its tip says as much, where there is room for a figure.
fn is_at_root(beside: &Beside, layout: &Layout) -> bool {
    let (at, body) = if beside.towards[0].abs() < beside.towards[1].abs() {
        (beside.at[0], layout.length)
    } else {
        (beside.at[1], layout.width)
    };
    (at.abs() - body.as_mm() / 2.0).abs() < 1e-6
}

/// Where the rout is beside a place, so many standard uncertainties further out.
fn place(beside: &Beside, further: f64, treble: f64) -> Point {
    let room = beside.room.value().as_mm() + further * beside.room.uncertainty().as_mm();
    let [x, y] = [0, 1].map(|i| beside.at[i] + beside.towards[i] * room * TIMES);
    Point::new(x * treble, y)
}

fn band(side: &[&Beside], treble: f64) -> Vec<Point> {
    let line = |further: f64| side.iter().map(move |b| place(b, further, treble)).collect::<Vec<_>>();
    line(1.0).into_iter().chain(line(-1.0).into_iter().rev()).collect()
}

fn ellipse(screw: &AtScrew, treble: f64) -> Vec<Point> {
    const CORNERS: usize = 32;
    let [x, y] = [0, 1].map(|i| screw.hole[i] + screw.screw[i].value().as_mm() * TIMES);
    let [u, v] = [0, 1].map(|i| screw.screw[i].uncertainty().as_mm().max(1e-3) * TIMES);
    let corner = |n: usize| {
        use bobbinwright_elementary::Elementary;
        let angle = std::f64::consts::TAU * n as f64 / CORNERS as f64;
        Point::new((x + u * angle.cosine()) * treble, y + v * angle.sine())
    };
    (0..CORNERS).map(corner).collect()
}

/// What a figure takes along and across, mm.
const FIGURE: [f64; 2] = [7.0, 3.0];

fn label(page: &mut Page, beside: &Beside, treble: f64, unit: Unit, written: &mut Vec<Point>) {
    let from = Point::new(beside.at[0] * treble, beside.at[1]);
    let to = place(beside, 0.0, treble);
    page.line(from, to, Pen::new(GREY, 0.2));
    let (out, up) = (beside.towards[0] * treble, beside.towards[1]);
    let at = to + Vector::new(out * 3.0, up * 3.0);
    let align = match out {
        o if o > 0.5 => Align::Start,
        o if o < -0.5 => Align::End,
        _ => Align::Middle,
    };
    // Where its middle comes to be.
    let middle = match align {
        Align::Start => at + Vector::new(FIGURE[0] / 2.0, 0.0),
        Align::Middle => at,
        Align::End => at - Vector::new(FIGURE[0] / 2.0, 0.0),
    };
    let is_over =
        |other: &Point| (other.x - middle.x).abs() < FIGURE[0] && (other.y - middle.y).abs() < FIGURE[1];
    if !written.iter().any(is_over) {
        page.text(at, SMALL.align(align), unit.figure(beside.room.value()));
        written.push(middle);
    }
}

fn at_screw(page: &mut Page, screw: &AtScrew, treble: f64) {
    let [x, y] = screw.hole;
    let hole = Point::new(x * treble, y);
    page.outline(&Contour::circle(hole, screw.play.value().as_mm().max(0.0) * TIMES), MAY);
    let [along, across] = [0, 1].map(|i| screw.screw[i].value().as_mm() * TIMES);
    page.outline(&Contour::circle(Point::new((x + along) * treble, y + across), 0.7), Look::solid(BLACK));
}
