//! The response of a coil with cable and potentiometers, drawn.

use bobbinwright_coil::circuit::Peak;
use bobbinwright_elementary::Elementary;
use bobbinwright_kernel::plane::{Bounds, Contour, Point};

use super::Winding;
use super::strings::tidy;
use bobbinwright_paper::{Align, BLACK, GREY, Ink, Look, Page, Pen, Type, spelt};

/// The plot's frame: width and height, mm.
const SIZE: (f64, f64) = (120.0, 60.0);
/// From and to, Hz and dB.
const HERTZ: (f64, f64) = (100.0, 20_000.0);
const DECIBELS: (f64, f64) = (-24.0, 12.0);
const SMALL: Type = Type::new(2.6);
const FAINT: Pen = Pen::new(Ink(0xcc, 0xcc, 0xcc), 0.1);
/// Points on a curve.
const POINTS: u32 = 160;

/// `about 4.0 kHz (3.6 to 4.4 kHz), +3.2 dB (+2.0 to +4.1 dB)`.
pub(super) fn peak([least, expected, most]: [Peak; 3]) -> String {
    let kilo = |peak: Peak| peak.hertz / 1000.0;
    let up = |peak: Peak| tidy(peak.decibels);
    format!(
        "about {:.1} kHz ({:.1} to {:.1} kHz), {:+.1} dB ({:+.1} to {:+.1} dB)",
        kilo(expected),
        kilo(least),
        kilo(most),
        up(expected),
        up(least),
        up(most)
    )
}

/// The same with what hangs on it, and how sure it is.
pub(super) fn peaks(winding: &Winding) -> String {
    format!(
        "{} in 95 of 100 cases with {}; the rods' eddy currents are counted, other metal near the coil makes it lower and flatter",
        peak(winding.response.peak()),
        bobbinwright_words::load(&winding.position.wanted.load)
    )
}

/// Frequencies that other programs are told levels at, Hz.
pub(super) fn notes() -> impl Iterator<Item = f64> {
    const STEPS: u32 = 40;
    (0..=STEPS).map(|i| HERTZ.0 * (HERTZ.1 / HERTZ.0).to_power(f64::from(i) / f64::from(STEPS)))
}

/// What 100 Hz are given at, which all levels are beside.
pub(super) const BESIDE: f64 = HERTZ.0;

/// The plot of a position.
pub(super) fn page(winding: &Winding) -> Page {
    let sheet = Bounds { min: Point::new(-18.0, -20.0), max: Point::new(SIZE.0 + 10.0, SIZE.1 + 14.0) };
    let mut page = Page::new(sheet, format!("{}: response", winding.position.name));
    let title = format!("{}: response with cable and controls", winding.position.name);
    page.text(Point::new(0.0, SIZE.1 + 8.0), SMALL.bold(), title);
    grid(&mut page);
    let levels: Vec<[f64; 3]> = winding.response.levels((0..=POINTS).map(hertz), BESIDE);
    for (which, dashed) in [(0, true), (1, false), (2, true)] {
        curve(&mut page, &levels.iter().map(|level| level[which]).collect::<Vec<_>>(), dashed);
    }
    let key = "solid: expected; dashed: 95 of 100 pickups lie between, note by note";
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

fn hertz(point: u32) -> f64 {
    HERTZ.0 * (HERTZ.1 / HERTZ.0).to_power(f64::from(point) / f64::from(POINTS))
}

/// As far as the frame goes.
fn curve(page: &mut Page, levels: &[f64], dashed: bool) {
    for (i, pair) in (0..).zip(levels.windows(2)) {
        let (from, to) = (Point::new(x(hertz(i)), y(pair[0])), Point::new(x(hertz(i + 1)), y(pair[1])));
        // Its pieces are shorter than a dash, so that whole ones are left out.
        let gap = dashed && i % 5 > 2;
        let inside = |point: Point| (0.0..=SIZE.1).contains(&point.y);
        if inside(from) && inside(to) && !gap {
            page.line(from, to, Pen::new(BLACK, if dashed { 0.25 } else { 0.45 }));
        }
    }
}
