//! The field along the row of strings, and how loud each string comes out.

use bobbinwright_coil::magnet::at_strings::{AtString, FURTHEST_ASIDE, HEARD};
use bobbinwright_coil::magnet::evening::{Best, Bound, Evening, Remedy};
use bobbinwright_coil::magnet::in_row::Kept;
use bobbinwright_coil::magnet::output::Level;
use bobbinwright_kernel::plane::{Bounds, Contour, Point};
use bobbinwright_spec::{Length, StringAt, Unit};
use bobbinwright_words::rough;

use super::{Magnets, Winding};
use bobbinwright_paper::{Align, BLACK, GREY, Ink, Look, Page, Pen, Type};

/// What the table says at its head.
pub(super) const HEAD: [&str; 5] = ["string", "over the rods", "field", "level", "beside its rods' middle"];

/// Of what the table is an estimate.
pub(super) fn about() -> String {
    "Field: upwards, from what rods keep that were magnetised before and lay about to what they keep that were magnetised where they stand, each against its own poles and its neighbours', with a tenth that grades scatter; magnetised evenly, the strings' steel left out. Level: beside the mean of all strings, all plucked alike; the model of a thin steel rod that the field magnetises, across and along (after Horton and Moore 2009 and McDonald 2007), as the coil sees it with what its rods pass on, from the least to the most steel that the string may have: what string_set in family.ron says of cores and wraps makes it narrower.".to_owned()
}

/// The same on a page with little room.
pub(super) fn in_short() -> String {
    "Estimates: the field by how the rods were magnetised, levels (all strings plucked alike) for all that the strings may be made of; winding.md says how.".to_owned()
}

/// A line for each string.
pub(super) fn lines(magnets: &Magnets, unit: Unit) -> Vec<[String; 5]> {
    let Kept { least, best, most } = magnets.kept;
    let ends = [least, most].map(|end| end.0 / best.0);
    let line = |s: &AtString| {
        let [least, most] = s.range.map(|l| l.0);
        [
            s.number.to_string(),
            rough(s.above, unit),
            {
                let [least, most] = ends.map(|part| part * s.field.0.abs() * 1000.0);
                format!("{least:.0} to {most:.0} mT")
            },
            if most - least < 0.15 {
                format!("{:+.1} dB", tidy(f64::midpoint(least, most)))
            } else {
                format!("{:+.1} to {:+.1} dB", tidy(least), tidy(most))
            },
            aside(s, unit),
        ]
    };
    magnets.strings.iter().map(line).collect()
}

/// `0.3 mm: +0.1 dB; heard from 1.4 mm`.
fn aside(string: &AtString, unit: Unit) -> String {
    let from = string.heard_from.map_or_else(
        || format!("not heard up to {}", rough(FURTHEST_ASIDE, unit)),
        |from| format!("heard from {}", rough(from, unit)),
    );
    format!("{}: {:+.1} dB; {from}", rough(string.aside.abs(), unit), tidy(string.by_aside.0))
}

/// Decibels that round to nought are not less than nought.
pub(super) fn tidy(value: f64) -> f64 {
    if value.abs() < 0.05 { 0.0 } else { value }
}

/// What the last column's `heard` is.
pub(super) fn heard() -> String {
    format!("Heard: {:.0} dB or more off its level over the middle of its rods (common practice).", HEARD.0)
}

/// How alike the strings are, and what would help most.
pub(super) fn evenness(evening: &Evening, unit: Unit) -> String {
    let Evening { loudest, softest, now, best, hangs_on_make } = evening;
    let [loudest, softest] = [or(loudest), or(softest)];
    let apart = if tidy(now[0].0) > 0.0 {
        format!("the loudest{loudest} is {} over the softest{softest}", decibels(*now))
    } else {
        format!(
            "they may be alike, or the loudest{loudest} up to {:.1} dB over the softest{softest}",
            now[1].0
        )
    };
    match best {
        None if *hangs_on_make => {
            format!("{apart}; what evens them out hangs on how the strings are made: state string_set")
        }
        None => format!("{apart}; no one dimension tried here evens them out"),
        Some(Best { remedy, left, bound }) => format!(
            "{apart}; most alike with {}{}: then {}; {}",
            words(*remedy, unit),
            bound.map_or("", ends_at),
            decibels(*left),
            order(*remedy)
        ),
    }
}

/// Why a change goes no further.
fn ends_at(bound: Bound) -> &'static str {
    match bound {
        Bound::Tried => ", which is as far as it was tried, so more might do better",
        Bound::Foam => ", which is as far as the foam under it can be pressed",
        Bound::Plate => ", which is as far as the upper plate still holds them",
        Bound::Holes => ", closer than which too little is left between two holes",
    }
}

/// In which order strings are made alike: what is printed before what is turned, and what is turned before what is pushed.
fn order(remedy: Remedy) -> &'static str {
    match remedy {
        Remedy::BassEndLower(_) | Remedy::TrebleEndLower(_) => {
            "set that tilt first, then the height of both ends together, and rods last"
        }
        Remedy::RodsLower { .. } => "set tilt and height of both ends first, and rods last",
        Remedy::Spread(_) => "that is decided before plates are printed; tilt and height come after it",
    }
}

/// ` (2)`, ` (1 or 2)`; nothing where it may be any of many.
fn or(numbers: &[usize]) -> String {
    let all: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    if all.len() > 2 { String::new() } else { format!(" ({})", all.join(" or ")) }
}

fn decibels([least, most]: [Level; 2]) -> String {
    if most.0 - least.0 < 0.15 {
        format!("{:.1} dB", tidy(f64::midpoint(least.0, most.0)))
    } else {
        format!("{:.1} to {:.1} dB", tidy(least.0), tidy(most.0))
    }
}

fn words(remedy: Remedy, unit: Unit) -> String {
    match remedy {
        Remedy::BassEndLower(by) => format!("the bass end {} lower", unit.shown(by)),
        Remedy::TrebleEndLower(by) => format!("the treble end {} lower", unit.shown(by)),
        Remedy::RodsLower { string, by } => {
            format!("the rods of string {string} pushed {} down", unit.shown(by))
        }
        Remedy::Spread(spread) => {
            format!("poles: pair(spread: {}({}))", unit.word(), unit.figure(spread))
        }
    }
}

/// Height of the plot's frame, and how much of the width a millimetre of the row is, mm.
const HIGH: f64 = 55.0;
const WIDE: f64 = 150.0;
const SMALL: Type = Type::new(2.6);
const FAINT: Pen = Pen::new(Ink(0xcc, 0xcc, 0xcc), 0.1);
const ROD: Look = Look { pen: Some(Pen::new(BLACK, 0.2)), fill: Some(Ink(0xd8, 0xd8, 0xd8)) };
/// Beyond the outer strings, mm of the row.
const BEYOND: f64 = 8.0;
/// Points on the curve.
const POINTS: u32 = 240;

/// The plot's scales: from mm along the row and mT to the paper.
struct Frame {
    from: f64,
    wide: f64,
    most: f64,
}

impl Frame {
    fn at(&self, along: f64, millitesla: f64) -> Point {
        Point::new((along - self.from) / self.wide * WIDE, millitesla / self.most * HIGH)
    }
}

/// The field along the row, as high over the body as the strings are.
pub(super) fn page(winding: &Winding, magnets: &Magnets) -> Page {
    let name = &winding.position.name;
    let sheet = Bounds { min: Point::new(-16.0, -24.0), max: Point::new(WIDE + 10.0, HIGH + 16.0) };
    let mut page = Page::new(sheet, format!("{name}: field along the row of strings"));
    let title = format!("{name}: field of the rods along the row of strings, at the strings' height");
    page.text(Point::new(0.0, HIGH + 11.0), SMALL.bold(), title);
    let mut strings: Vec<&StringAt> = winding.position.strings.iter().collect();
    strings.sort_by(|a, b| x_of(winding, a).total_cmp(&x_of(winding, b)));
    let (Some(first), Some(last)) = (strings.first(), strings.last()) else { return page };
    let (from, to) = (x_of(winding, first) - BEYOND, x_of(winding, last) + BEYOND);
    let curve: Vec<(f64, f64)> = (0..=POINTS)
        .map(|i| {
            let x = from + (to - from) * f64::from(i) / f64::from(POINTS);
            (x, 1000.0 * magnets.row.upwards(Length::from_mm(x), height(winding, &strings, x)).0.abs())
        })
        .collect();
    let most = curve.iter().map(|p| p.1).fold(1.0, f64::max);
    let step =
        [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0].into_iter().find(|s| most / s <= 6.0).unwrap_or(200.0);
    let frame = Frame { from, wide: to - from, most: (most / step).ceil() * step };
    grid(&mut page, &frame, step);
    rods(&mut page, winding, magnets, &frame);
    for pair in curve.windows(2) {
        page.line(frame.at(pair[0].0, pair[0].1), frame.at(pair[1].0, pair[1].1), Pen::new(BLACK, 0.4));
    }
    for string in &magnets.strings {
        dot(&mut page, winding, string, &frame);
    }
    let [left, right] = winding.position.handed.ends();
    page.text(Point::new(0.0, -15.0), SMALL, left);
    page.text(Point::new(WIDE, -15.0), SMALL.align(Align::End), right);
    let key = "circles: the strings, with their numbers; boxes: the rods; an estimate, see the sheet";
    page.text(Point::new(0.0, -20.0), SMALL.ink(GREY), key);
    page
}

fn x_of(winding: &Winding, string: &StringAt) -> f64 {
    winding.position.handed.x(winding.position.over_rods(string).value())
}

/// Of the strings' middles at a place along the row, between and beyond those that there are.
fn height(winding: &Winding, sorted: &[&StringAt], x: f64) -> Length {
    let at = |s: &StringAt| (x_of(winding, s), s.height.value() + s.gauge.value() / 2.0);
    let after = sorted.iter().position(|s| x_of(winding, s) > x).unwrap_or(sorted.len());
    match (after.checked_sub(1).and_then(|i| sorted.get(i)), sorted.get(after)) {
        (Some(a), Some(b)) => {
            let ((xa, za), (xb, zb)) = (at(a), at(b));
            za + (zb - za) * ((x - xa) / (xb - xa))
        }
        (Some(one), None) | (None, Some(one)) => at(one).1,
        (None, None) => Length::ZERO,
    }
}

fn grid(page: &mut Page, frame: &Frame, step: f64) {
    for i in 0..=(frame.most / step).round() as u32 {
        let millitesla = f64::from(i) * step;
        let y = frame.at(frame.from, millitesla).y;
        page.line(Point::new(0.0, y), Point::new(WIDE, y), FAINT);
        let label = if i == 0 { "0 mT".to_owned() } else { format!("{millitesla:.0}") };
        page.text(Point::new(-2.0, y), SMALL.align(Align::End), label);
    }
    let outline = Contour::rectangle(Point::origin(), Point::new(WIDE, HIGH));
    page.outline(&outline, Look::line(Pen::new(GREY, 0.2)));
}

/// Under the plot, each as wide as it is.
fn rods(page: &mut Page, winding: &Winding, magnets: &Magnets, frame: &Frame) {
    let half = winding.hardware.rod_diameter.value().as_mm() / 2.0;
    for place in &magnets.row.places {
        let x = place.along.as_mm();
        let (left, right) = (frame.at(x - half, 0.0).x, frame.at(x + half, 0.0).x);
        page.outline(&Contour::rectangle(Point::new(left, -10.0), Point::new(right, -2.0)), ROD);
    }
}

fn dot(page: &mut Page, winding: &Winding, string: &AtString, frame: &Frame) {
    let Some(at) = winding.position.strings.iter().find(|s| s.number == string.number) else { return };
    let millitesla = 1000.0 * string.field.0.abs();
    let place = frame.at(x_of(winding, at), millitesla);
    page.outline(
        &Contour::circle(place, 0.9),
        Look { pen: Some(Pen::new(BLACK, 0.3)), fill: Some(bobbinwright_paper::WHITE) },
    );
    // Where the curve is highest there is room above it only.
    let label = format!("{}: {millitesla:.1}", string.number);
    page.text(Point::new(place.x, HIGH + 3.0), SMALL.align(Align::Middle), label);
    page.line(Point::new(place.x, place.y + 1.0), Point::new(place.x, HIGH), FAINT);
}
