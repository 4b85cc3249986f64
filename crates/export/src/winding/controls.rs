//! The controls that the coils work into, drawn with the symbols of IEC 60617: a make contact for each of several coils, the
//! volume potentiometer, the tone control with its capacitor, and the socket.

use bobbinwright_elementary::Elementary;
use bobbinwright_kernel::plane::{Bounds, Contour, Point};
use bobbinwright_paper::{BLACK, GREY, Look, Page, Pen, Type, spelt};

use super::Winding;
use super::wiring::{coil, ground, joint};

const SMALL: Type = Type::new(2.6);
const WIRE: Pen = Pen::new(BLACK, 0.35);
/// From coil to coil, the height of the hot lead over ground, and where the controls begin after the coils, mm.
const APART: f64 = 50.0;
const HOT: f64 = 52.0;
const CONTROLS: f64 = 52.0;
/// A resistor's body.
const BODY: (f64, f64) = (4.0, 12.0);

/// Those coils that share their controls, each group with its name.
pub(super) fn pages(windings: &[Winding]) -> Vec<(String, Page)> {
    let mut groups: Vec<Vec<&Winding>> = Vec::new();
    for winding in windings {
        match groups.iter_mut().find(|group| group[0].position.wanted.load == winding.position.wanted.load) {
            Some(group) => group.push(winding),
            None => groups.push(vec![winding]),
        }
    }
    let alone = groups.len() == 1;
    let of = |group: Vec<&Winding>| {
        let names: Vec<&str> = group.iter().map(|w| w.position.name.as_str()).collect();
        let name = if alone { "controls".to_owned() } else { format!("{}-controls", names.join("-")) };
        (name, page(&group))
    };
    groups.into_iter().map(of).collect()
}

/// Coils on the left, one beside the other, then volume, tone and socket.
fn page(group: &[&Winding]) -> Page {
    let load = group[0].position.wanted.load;
    let from = APART * group.len() as f64;
    let right = from + 2.0 * CONTROLS + 14.0;
    let sheet = Bounds { min: Point::new(-8.0, -30.0), max: Point::new(right + 34.0, HOT + 34.0) };
    let mut page = Page::new(sheet, "controls");
    page.text(Point::new(0.0, HOT + 28.0), SMALL.bold(), "Controls, turned up");
    for (i, winding) in group.iter().enumerate() {
        let foot = Point::new(APART * i as f64 + 4.0, 0.0);
        let top = coil(&mut page, winding, foot);
        ground(&mut page, foot, 0.0);
        let into = Point::new(top.x, HOT);
        if group.len() == 1 {
            page.line(top, into, WIRE);
        } else {
            contact(&mut page, top, into, i);
        }
        joint(&mut page, into);
    }
    let hot = Point::new(right, HOT);
    page.line(Point::new(4.0, HOT), Point::new(from + CONTROLS, HOT), WIRE);
    volume(&mut page, from + CONTROLS, hot, &bobbinwright_words::ohms(load.volume));
    if let Some((ohms, capacitor)) = load.tone {
        let nano = format!("{} nF", (capacitor.0 * 1e12).round() / 1e3);
        tone(&mut page, Point::new(from + 8.0, HOT), &bobbinwright_words::ohms(ohms), &nano);
    }
    socket(&mut page, right);
    notes(&mut page, group);
    page
}

/// A make contact: it is closed where its coil is to be heard.
fn contact(page: &mut Page, from: Point, to: Point, number: usize) {
    let (low, high) = (from.y + 4.0, to.y - 4.0);
    page.line(from, Point::new(from.x, low), WIRE);
    page.line(Point::new(from.x, low), Point::new(from.x - 4.0, high - 1.0), WIRE);
    page.line(Point::new(to.x, high), to, WIRE);
    page.text(Point::new(from.x + 1.5, f64::midpoint(low, high)), SMALL, format!("S1{}", letter(number)));
}

fn letter(number: usize) -> char {
    (b'a'..=b'z').nth(number).map_or('?', char::from)
}

/// A resistor that stands on its lower end; gives its middle.
fn resistor(page: &mut Page, top: Point) -> Point {
    let low = Point::new(top.x - BODY.0 / 2.0, top.y - BODY.1);
    let body = Contour::rectangle(low, Point::new(top.x + BODY.0 / 2.0, top.y));
    page.outline(&body, Look::line(WIRE));
    Point::new(top.x, top.y - BODY.1 / 2.0)
}

fn arrow(page: &mut Page, from: Point, to: Point) {
    page.line(from, to, WIRE);
    let (x, y) = (to.x - from.x, to.y - from.y);
    let long = x.hypotenuse(y);
    for side in [-0.8, 0.8] {
        let back = Point::new(to.x - (1.8 * x + side * y) / long, to.y - (1.8 * y - side * x) / long);
        page.line(to, back, WIRE);
    }
}

/// Its wiper leads to the socket.
fn volume(page: &mut Page, x: f64, out: Point, ohms: &str) {
    let top = Point::new(x, HOT - 12.0);
    page.line(Point::new(x, HOT), top, WIRE);
    let middle = resistor(page, top);
    let foot = Point::new(x, 0.0);
    page.line(Point::new(x, top.y - BODY.1), foot, WIRE);
    ground(page, foot, 0.0);
    let wiper = Point::new(x + BODY.0 / 2.0, middle.y);
    let beside = Point::new(x + 14.0, middle.y);
    arrow(page, beside, wiper);
    page.line(beside, Point::new(out.x, middle.y), WIRE);
    page.text(Point::new(x + 4.0, top.y + 3.0), SMALL, spelt(&format!("volume {ohms}")));
}

/// A resistor that can be changed, and a capacitor to ground.
fn tone(page: &mut Page, at: Point, ohms: &str, farads: &str) {
    joint(page, at);
    let top = Point::new(at.x, HOT - 12.0);
    page.line(at, top, WIRE);
    let middle = resistor(page, top);
    arrow(page, Point::new(middle.x - 4.5, middle.y - 4.0), Point::new(middle.x + 4.5, middle.y + 4.0));
    let plate = top.y - BODY.1 - 6.0;
    page.line(Point::new(at.x, top.y - BODY.1), Point::new(at.x, plate), WIRE);
    for y in [plate, plate - 1.4] {
        page.line(Point::new(at.x - 3.5, y), Point::new(at.x + 3.5, y), Pen::new(BLACK, 0.6));
    }
    let foot = Point::new(at.x, 0.0);
    page.line(Point::new(at.x, plate - 1.4), foot, WIRE);
    ground(page, foot, 0.0);
    page.text(Point::new(at.x + 6.0, middle.y), SMALL, spelt(&format!("tone {ohms}")));
    page.text(Point::new(at.x + 5.0, plate - 0.7), SMALL, farads);
}

/// Tip and sleeve.
fn socket(page: &mut Page, x: f64) {
    let tip = Point::new(x, HOT - 12.0 - BODY.1 / 2.0);
    for (y, label) in [(tip.y, "socket: tip"), (8.0, "socket: sleeve")] {
        page.outline(&Contour::circle(Point::new(x, y), 1.2), Look::line(WIRE));
        page.text(Point::new(x + 3.0, y), SMALL, label);
    }
    page.line(Point::new(x, 6.8), Point::new(x, 0.0), WIRE);
    ground(page, Point::new(x, 0.0), 0.0);
}

/// What the drawing does not show.
fn notes(page: &mut Page, group: &[&Winding]) {
    let mut lines = vec![
        "All grounds meet at the sleeve; leads are joined only where a filled circle is drawn.".to_owned(),
        "Foil in the hollow overlaps by a few millimetres, is grounded by one lead, and touches neither eyelet.".to_owned(),
    ];
    if group.len() > 1 {
        let names = group.iter().enumerate();
        let all: Vec<String> =
            names.map(|(i, w)| format!("S1{} for {}", letter(i), w.position.name)).collect();
        lines.insert(
            0,
            format!(
                "Switch S1 closes {}; with several closed at once those coils are in parallel.",
                all.join(", ")
            ),
        );
    }
    for (line, y) in lines.iter().zip([-14.0, -18.5, -23.0]) {
        page.text(Point::new(0.0, y), SMALL.ink(GREY), line.clone());
    }
}
