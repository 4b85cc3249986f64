//! The response of a coil with cable and potentiometers, drawn.

use bobbinwright_coil::circuit::{Circuit, Peak};
use bobbinwright_coil::inductance::Inductance;
use bobbinwright_elementary::Elementary;
use bobbinwright_kernel::plane::{Bounds, Contour, Point};
use bobbinwright_spec::load::Farads;

use super::Winding;
use super::strings::tidy;
use bobbinwright_paper::{Align, BLACK, GREY, Ink, Look, Page, Pen, Type, spelt};

/// What rods may add to the inductance of an empty coil where their material is not stated (from memory: 10 to
/// 30 % for alnico).
const WITH_RODS: [f64; 2] = [1.0, 1.3];

/// Between the turns of a coil (from memory: 50 to 200 pF).
pub(super) const BETWEEN_TURNS: [Farads; 2] = [Farads(50e-12), Farads(200e-12)];

/// The plot's frame: width and height, mm.
const SIZE: (f64, f64) = (120.0, 60.0);
/// From and to, Hz and dB.
const HERTZ: (f64, f64) = (100.0, 20_000.0);
const DECIBELS: (f64, f64) = (-24.0, 12.0);
const SMALL: Type = Type::new(2.6);
const FAINT: Pen = Pen::new(Ink(0xcc, 0xcc, 0xcc), 0.1);
/// Points on a curve.
const POINTS: u32 = 160;

/// The inductance with rods: least and most.
pub(super) fn inductances(winding: &Winding) -> [Inductance; 2] {
    winding.with_rods.unwrap_or(WITH_RODS.map(|part| Inductance(winding.inductance.0 * part)))
}

/// The two ends of what the response may be: most and least of inductance and capacitance.
pub(super) fn range(winding: &Winding) -> [Circuit; 2] {
    [1, 0].map(|i| Circuit {
        inductance: inductances(winding)[i],
        resistance: winding.coil.resistance(winding.celsius),
        winding: BETWEEN_TURNS[i],
        load: winding.position.wanted.load,
    })
}

/// `3.6 kHz (+2.9 dB) to 4.4 kHz (+3.4 dB)`.
pub(super) fn peaks(winding: &Winding) -> String {
    let words = |peak: Peak| format!("{:.1} kHz ({:+.1} dB)", peak.hertz / 1000.0, tidy(peak.decibels));
    let [low, high] = range(winding).map(|circuit| words(circuit.peak()));
    format!(
        "between {low} and {high} with {} (an estimate; losses in metal parts make it lower and flatter)",
        bobbinwright_words::load(&winding.position.wanted.load)
    )
}

/// The plot of a position.
pub(super) fn page(winding: &Winding) -> Page {
    let sheet = Bounds { min: Point::new(-18.0, -20.0), max: Point::new(SIZE.0 + 10.0, SIZE.1 + 14.0) };
    let mut page = Page::new(sheet, format!("{}: response", winding.position.name));
    let title = format!(
        "{}: response with cable and controls, at the two ends of what is likely",
        winding.position.name
    );
    page.text(Point::new(0.0, SIZE.1 + 8.0), SMALL.bold(), title);
    grid(&mut page);
    let [most, least] = range(winding);
    curve(&mut page, &most, false);
    curve(&mut page, &least, true);
    let key = "solid: most inductance and capacitance; dashed: least";
    page.text(Point::new(0.0, -11.0), SMALL.ink(GREY), key);
    let with = spelt(&bobbinwright_words::load(&winding.position.wanted.load));
    page.text(Point::new(0.0, -15.5), SMALL.ink(GREY), format!("with {with}"));
    page
}

fn x(hertz: f64) -> f64 {
    SIZE.0 * (hertz / HERTZ.0).logarithm() / (HERTZ.1 / HERTZ.0).logarithm()
}

fn y(decibels: f64) -> f64 {
    SIZE.1 * (decibels - DECIBELS.0) / (DECIBELS.1 - DECIBELS.0)
}

fn grid(page: &mut Page) {
    for (hertz, label) in [
        (100.0, "100 Hz"),
        (200.0, ""),
        (500.0, ""),
        (1000.0, "1 kHz"),
        (2000.0, "2"),
        (5000.0, "5"),
        (10_000.0, "10"),
        (20_000.0, "20 kHz"),
    ] {
        page.line(Point::new(x(hertz), 0.0), Point::new(x(hertz), SIZE.1), FAINT);
        page.text(Point::new(x(hertz), -4.0), SMALL.align(Align::Middle), label);
    }
    for step in -4i32..=2 {
        let decibels = f64::from(step * 6);
        page.line(Point::new(0.0, y(decibels)), Point::new(SIZE.0, y(decibels)), FAINT);
        let label = if step == 0 { "0 dB".to_owned() } else { format!("{decibels:+.0}") };
        page.text(Point::new(-2.0, y(decibels)), SMALL.align(Align::End), label);
    }
    let frame = Contour::rectangle(Point::origin(), Point::new(SIZE.0, SIZE.1));
    page.outline(&frame, Look::line(Pen::new(GREY, 0.2)));
}

/// Over what comes at 100 Hz, as far as the frame goes.
fn curve(page: &mut Page, circuit: &Circuit, dashed: bool) {
    let zero = circuit.decibels(HERTZ.0);
    let at = |i: u32| {
        let hertz = HERTZ.0 * (HERTZ.1 / HERTZ.0).to_power(f64::from(i) / f64::from(POINTS));
        Point::new(x(hertz), y(circuit.decibels(hertz) - zero))
    };
    for i in 0..POINTS {
        let (from, to) = (at(i), at(i + 1));
        // Its pieces are shorter than a dash, so that whole ones are left out.
        let gap = dashed && i % 5 > 2;
        if to.y >= 0.0 && to.y <= SIZE.1 && !gap {
            page.line(from, to, Pen::new(BLACK, 0.45));
        }
    }
}
