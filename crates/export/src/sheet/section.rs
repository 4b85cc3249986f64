//! A position's rout cut along the row of strings, with depths and heights.

use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_spec::PositionQuantity as P;

use bobbinwright_paper::{Align, BLACK, GREY, Look, Page, Pen};

use super::dims::upright;
use super::looks::{NOTES, SMALL, STRING};
use super::sizes::Sizes;
use super::{EDGE, Row};

/// Draws the section below the height `top`, and gives the height below it.
pub(super) fn draw(page: &mut Page, top: f64, sizes: &Sizes, scale: f64) -> f64 {
    let middle = page.sheet().max.x / 2.0;
    let usual = 12.0;
    let heights: Vec<(usize, f64, &Row)> = (1..=sizes.strings)
        .filter_map(|n| {
            sizes.row(P::StringHeight(n)).map(|row| (n, sizes.or(P::StringHeight(n), usual), row))
        })
        .collect();
    let highest = heights.iter().map(|h| h.1).fold(usual, f64::max);
    let face = top - 3.0 - highest * scale;
    let floor = face - sizes.depth * scale;
    let x = |mm: f64| middle + mm * scale;
    profile(page, sizes, scale, (middle, face, floor));
    page.text(Point::new(x(-sizes.reach()) - 4.0, face + 2.2), SMALL.align(Align::End), "body's face");
    page.layer(NOTES, |page| {
        page.text(Point::new(EDGE, top + 1.0), SMALL.ink(GREY), "cut along the row of strings");
    });
    for n in 1..=sizes.strings {
        let y = face + sizes.or(P::StringHeight(n), heights.first().map_or(usual, |h| h.1)) * scale;
        let r = 0.3 + 0.5 * (n - 1) as f64 / sizes.strings as f64;
        page.outline(&Contour::circle(Point::new(x(sizes.string(n)), y + r), r), Look::solid(STRING));
    }
    for (n, height, row) in &heights {
        let string = x(sizes.string(*n));
        // Between the strings there is no room; the outer ones have it beside the row.
        let out = sizes.handed.treble() * if *n * 2 > sizes.strings { -8.0 } else { 8.0 };
        upright(page, (face, face + height * scale), string + out, (string, string), row);
    }
    if let Some(row) = sizes.row(P::RoutDepth) {
        let at = x(-sizes.length * 0.12);
        upright(page, (floor, face), at, (at, at), row);
    }
    if let (Some(row), Some([_, _, depth, _])) = (sizes.row(P::EarDepth), sizes.ear) {
        let end = x(sizes.reach());
        upright(page, (face - depth * scale, face), end + 9.0, (end, end), row);
    }
    floor - 6.0
}

/// The body's outline from left to right: face, recess, rout, recess, face.
fn profile(page: &mut Page, sizes: &Sizes, scale: f64, (middle, face, floor): (f64, f64, f64)) {
    let x = |mm: f64| middle + mm * scale;
    let half = sizes.length / 2.0;
    // From the floor outwards.
    let end = |has_ear: bool, sign: f64| {
        let at = |mm: f64, y: f64| Point::new(x(sign * mm), y);
        let mut points = vec![at(half, floor)];
        match sizes.ear.filter(|_| has_ear) {
            Some([reach, _, depth, _]) => {
                let shelf = face - depth * scale;
                points.extend([at(half, shelf), at(half + reach, shelf), at(half + reach, face)]);
            }
            None => points.push(at(half, face)),
        }
        points.push(at(sizes.reach() + 14.0, face));
        points
    };
    let [left, right] = sizes.ends_with_ears();
    let chain: Vec<Point> = end(left, -1.0).into_iter().rev().chain(end(right, 1.0)).collect();
    for pair in chain.windows(2) {
        page.line(pair[0], pair[1], Pen::new(BLACK, 0.45));
    }
    page.line(Point::new(x(-half), face), Point::new(x(half), face), Pen::new(GREY, 0.1).dashed(1.5, 1.0));
}
