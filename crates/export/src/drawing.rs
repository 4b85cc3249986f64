//! Drawings as SVG, at 1:1 in millimetres.

use bobbinwright_geometry::parts::{Layout, Slanted, on_body, outwards, rout_outline};
use bobbinwright_kernel::plane::{Bounds, Contour, Point, Vector, offset};
use bobbinwright_spec::{Channel, Length, Poles, Position};

use bobbinwright_paper::{Align, BLACK, GREY, Ink, Look, Page, Pen, Type, svg};

/// Room round the drawing for labels, mm.
const MARGIN: f64 = 12.0;

/// Room below for the scale bar and the key, mm.
const FOOT: f64 = 15.0;

/// From a line of the key to the next, mm.
const LINE: f64 = 4.0;

const ROUT: Look = Look::line(Pen::new(GREY, 0.5));
const COVER: Look = Look::line(Pen::new(BLACK, 0.4));
const HIDDEN: Look = Look::line(Pen::new(BLACK, 0.25).dashed(1.6, 0.9));
const MIDDLE: Pen = Pen::new(GREY, 0.15).dashed(6.0, 1.5);
const BLUE: Ink = Ink(0x00, 0x66, 0xcc);
const PLATE: Look = Look::line(Pen::new(BLUE, 0.25));
const MARK: Look = Look::line(Pen::new(BLUE, 0.15).dashed(0.7, 0.7));
const POLE: Look = Look { pen: Some(Pen::new(BLACK, 0.25)), fill: Some(Ink(0xd8, 0xd8, 0xd8)) };
/// Pale, so that outlines show on it.
const STRING: Ink = Ink(0xd1, 0x9b, 0x66);
const LABEL: Type = Type::new(3.2);

/// Rout, cover, strings and poles of a position seen from above, neck upwards.
pub fn plan(position: &Position, layout: &Layout) -> String {
    let rout = &position.rout;
    let outlines = rout_outline(rout, position.handed);
    let bounds = outlines
        .iter()
        .map(Contour::bounds)
        .reduce(Bounds::union)
        .unwrap_or(Bounds { min: Point::origin(), max: Point::origin() });
    let half_x = bounds.max.x.max(-bounds.min.x);
    let half_y = bounds.max.y.max(-bounds.min.y);
    let title = format!("{}: rout, cover, strings and poles", position.name);
    let half = Point::new(half_x + MARGIN, half_y + MARGIN);
    let foot = if layout.row == 0.0 { FOOT } else { FOOT + LINE };
    let sheet = Bounds { min: Point::new(-half.x, -half.y - foot), max: half };
    let mut page = Page::new(sheet, title);
    page.layer("rout", |page| {
        for contour in &outlines {
            page.outline(contour, ROUT);
        }
    });
    // Under the outlines, so that they hide nothing.
    page.layer("strings", |page| {
        for s in &position.strings {
            let pen = Pen::new(STRING, s.gauge.value().as_mm());
            let at = |y: f64| Point::new(position.handed.x(s.at(Length::from_mm(y)).value()), y);
            page.line(at(-half_y - 5.0), at(half_y + 5.0), pen);
            page.text(at(half_y + 6.5), LABEL.align(Align::Middle), s.number.to_string());
        }
    });
    page.layer("cover", |page| cover(page, layout));
    page.layer("flatwork", |page| flatwork(page, layout));
    if layout.row != 0.0 {
        page.layer("middle", |page| page.line(Point::new(-half_x, 0.0), Point::new(half_x, 0.0), MIDDLE));
    }
    if let Some(channel) = &rout.channel {
        page.layer("channel", |page| mouth(page, position, channel));
    }
    let [left, right] = position.handed.ends();
    page.text(Point::new(-half_x - 2.0, 0.0), LABEL.align(Align::End), left);
    page.text(Point::new(half_x + 2.0, 0.0), LABEL, right);
    page.layer("scale", |page| scale_bar(page, Point::new(-25.0, -half_y - 9.0), 5));
    caption(&mut page, position, layout, -half_y - 15.0);
    svg(&page)
}

fn cover(page: &mut Page, layout: &Layout) {
    page.outline(&layout.outline, COVER);
    let hollow = layout.single_hollow(bobbinwright_spec::Length::ZERO);
    for border in hollow.into_iter().flat_map(|(outer, bosses)| std::iter::once(outer).chain(bosses)) {
        page.outline(&border, HIDDEN);
    }
    for screw in layout.screws.iter().copied() {
        page.outline(&Contour::circle(screw, layout.wanted.cover.screw_hole.as_mm() / 2.0), COVER);
    }
    page.outline(&layout.lead.contour(), HIDDEN);
}

fn flatwork(page: &mut Page, layout: &Layout) {
    let p = layout.plate;
    let plate = layout.plate_outline(p);
    let bites = layout.waists.map(|(center, radius)| Contour::circle(center, radius));
    for border in offset::borders(&[plate], &bites) {
        page.outline(&border.contour, PLATE);
    }
    for eyelet in layout.eyelets {
        page.outline(&Contour::circle(eyelet, layout.wanted.flatwork.eyelet_hole.as_mm() / 2.0), PLATE);
    }
    let (center, radius) = layout.mark;
    page.outline(&Contour::circle(center, radius), MARK);
    for pole in &layout.poles {
        page.outline(&Contour::circle(*pole, layout.wanted.flatwork.pole_hole.as_mm() / 2.0), POLE);
    }
}

/// A filled triangle that points at the channel's mouth from outside.
pub(crate) fn mouth(page: &mut Page, position: &Position, channel: &Channel) {
    let (rout, handed) = (&position.rout, position.handed);
    let slanted = Slanted::of(rout.outline, &rout.sides, handed);
    let size = [rout.length.value(), rout.width.value()];
    let mouth = on_body(slanted.as_ref(), channel.side, channel.offset.value(), size, handed);
    let out = outwards(channel.side, handed);
    let (foot, across) = (mouth + out * 4.0, Vector::new(-out.y, out.x) * 1.6);
    let triangle = Contour::polygon(&[mouth + out * 0.6, foot - across, foot + across]);
    page.outline(&triangle, Look::solid(BLACK));
}

/// A bar of some tens of millimetres, to see whether a print came out at 1:1.
pub(crate) fn scale_bar(page: &mut Page, from: Point, tens: u32) {
    for i in 0..tens {
        let low = from + Vector::new(10.0 * f64::from(i), 0.0);
        let box_of_ten = Contour::rectangle(low, low + Vector::new(10.0, 1.2));
        page.outline(&box_of_ten, if i % 2 == 0 { Look::solid(BLACK) } else { COVER_THIN });
    }
    let end = from + Vector::new(10.0 * f64::from(tens) + 1.5, 0.6);
    page.text(end, LABEL, format!("{} mm", 10 * tens));
}

const COVER_THIN: Look = Look::line(Pen::new(BLACK, 0.15));

/// Where the row is, when it is not in the middle.
fn row(layout: &Layout) -> Option<String> {
    let side = if layout.row > 0.0 { "neck" } else { "bridge" };
    if layout.row == 0.0 {
        return None;
    }
    let row = Length::from_mm(layout.row.abs());
    Some(format!("long dashes: the middle; the row is {row} towards the {side} from it"))
}

fn caption(page: &mut Page, position: &Position, layout: &Layout, y: f64) {
    let kind = match layout.wanted.poles {
        Poles::Single => "a pole under each string",
        Poles::Pair { .. } => "two poles beside each string",
    };
    let lines = [
        format!("{} position from above, neck up; {kind}", position.name),
        "grey: rout; black: cover, dashed its hollow and lead-out;".to_owned(),
        "blue: flatwork; triangle: wire channel".to_owned(),
    ];
    for (line, text) in (0..).zip(lines.into_iter().chain(row(layout))) {
        page.text(Point::new(0.0, y - LINE * f64::from(line)), LABEL.align(Align::Middle), text);
    }
}
