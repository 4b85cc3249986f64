//! Plates, tunnels and ledges.

use super::solids::{blocks, level_face, prism};
use super::*;
use bobbinwright_elementary::Elementary;

/// Closed form: a box has its base on the bed and nothing else.
#[test]
fn box_on_the_bed() {
    let found = check(&blocks([&[0.0, 31.7], &[0.0, 12.3], &[0.0, 5.0]], |_| true), &USUAL);
    let base = 31.7 * 12.3;
    near(found.contact, base, ROUNDING);
    let bed = (level_face(0, false), Touch::Bed, found.contact);
    let only = Supported { contact: found.contact, height: 5.0, touched: vec![bed], ..Supported::default() };
    assert_eq!(found, only);
}

/// A plate of 60 by 40 mm and 3 mm thick on four legs at its corners.
fn table(leg: f64, legs_high: f64) -> Solid {
    let x = [0.0, leg, 60.0 - leg, 60.0];
    let y = [0.0, leg, 40.0 - leg, 40.0];
    blocks([&x, &y, &[0.0, legs_high, legs_high + 3.0]], |p| p[2] == 1 || (p[0] != 1 && p[1] != 1))
}

/// Closed form. Spans longer than a bridge: all of the underside, 60 · 40 - 4 a², and that times
/// the legs' height. The raster has no part in either, wherever the legs' edges lie in it.
#[test]
fn table_with_long_spans() {
    for leg in [5.0, 7.77] {
        let found = check(&table(leg, 15.0), &USUAL);
        let underside = 60.0 * 40.0 - 4.0 * leg * leg;
        near(found.area, underside, ROUNDING);
        near(found.volume, underside * 15.0, ROUNDING);
        near(found.contact, 4.0 * leg * leg, ROUNDING);
        near(found.bridged, 0.0, 0.0);
        near(touch(&found, level_face(1, false), Touch::Support), underside, ROUNDING);
        assert_eq!(found.touched.len(), 2);
    }
}

/// Closed form. Bridges of 50 mm, legs of a: along x two strips of a (60 - 2 a) span, along y two
/// of a (40 - 2 a), and x wins. Where only the spans along y are short enough, y wins.
///
/// A strip's width is a whole number of rows, so it may be wrong by a row on either leg: none when
/// the legs are whole cells wide, else cell / a of the strips.
#[test]
fn table_with_short_spans() {
    for (leg, bridge, span) in [(6.0, 50.0, 48.0), (6.0, 40.0, 28.0), (6.0, 28.0, 28.0), (7.77, 50.0, 44.46)]
    {
        let found = check(&table(leg, 15.0), &Limits { bridge, ..USUAL });
        let underside = 60.0 * 40.0 - 4.0 * leg * leg;
        let strips = 2.0 * leg * span;
        let whole = (leg / USUAL.cell).fract() < 1e-9;
        let tolerance = if whole { ROUNDING } else { USUAL.cell / leg };
        near(found.bridged, strips, tolerance);
        near(found.area, underside - found.bridged, ROUNDING);
        near(found.volume, found.area * 15.0, ROUNDING);
    }
}

/// A block of 30 by `length` mm with a tunnel along y from x = 8 and z = 4, 6 mm high.
fn tunnel(width: f64, length: f64) -> Solid {
    let x = [0.0, 8.0, 8.0 + width, 30.0];
    blocks([&x, &[0.0, length], &[0.0, 4.0, 10.0, 14.0]], |p| !(p[0] == 1 && p[2] == 1))
}

/// Closed form: a ceiling no wider than a bridge spans, width · length, also at exactly the limit
/// and with cells that do not divide it.
#[test]
fn narrow_tunnel() {
    for width in [0.25, 3.0, 7.3, 9.9, 10.0] {
        for cell in [0.4, 0.3, 0.37] {
            let found = check(&tunnel(width, 25.0), &Limits { cell, ..USUAL });
            near(found.bridged, width * 25.0, ROUNDING);
            near(found.contact, 30.0 * 25.0, ROUNDING);
            assert_eq!((found.area, found.volume, found.drooping), (0.0, 0.0, 0.0));
            assert_eq!(found.touched.len(), 1);
        }
    }
}

/// Closed form: a wider ceiling needs support, width · length, over the tunnel's 6 mm, which stands
/// on the same area of its floor. Turned by a quarter it is the same.
#[test]
fn wide_tunnel() {
    for width in [12.3, 16.0, 10.5] {
        for solid in [tunnel(width, 25.0), tunnel(width, 25.0).quartered()] {
            let found = check(&solid, &USUAL);
            near(found.area, width * 25.0, ROUNDING);
            near(found.volume, width * 25.0 * 6.0, ROUNDING);
            near(found.bridged, 0.0, 0.0);
            near(touch(&found, level_face(2, false), Touch::Support), width * 25.0, ROUNDING);
            near(touch(&found, level_face(1, true), Touch::Standing), width * 25.0, ROUNDING);
            assert_eq!(found.touched.len(), 3);
        }
    }
}

/// Closed form: a tunnel on the bed lower than three layers droops unless it spans; one of exactly
/// three layers takes support.
#[test]
fn low_tunnel() {
    let solid = |width: f64, height: f64| {
        let x = [0.0, 8.0, 8.0 + width, 30.0];
        blocks([&x, &[0.0, 25.0], &[0.0, height, 14.0]], |p| !(p[0] == 1 && p[2] == 0))
    };
    let found = check(&solid(16.0, 0.5), &USUAL);
    near(found.drooping, 16.0 * 25.0, ROUNDING);
    assert_eq!((found.area, found.volume, found.bridged), (0.0, 0.0, 0.0));
    let found = check(&solid(9.0, 0.5), &USUAL);
    near(found.bridged, 9.0 * 25.0, ROUNDING);
    assert_eq!((found.area, found.volume, found.drooping), (0.0, 0.0, 0.0));
    let found = check(&solid(16.0, 0.6), &USUAL);
    near(found.area, 16.0 * 25.0, ROUNDING);
    near(found.volume, 16.0 * 25.0 * 0.6, ROUNDING);
}

/// Closed form: a ledge narrower than a cell, held on one side only: width · length, and the 9 mm
/// below it.
#[test]
fn ledge_that_no_column_meets() {
    let x = [0.0, 10.0, 10.05];
    let solid = blocks([&x, &[0.0, 25.0], &[0.0, 9.0, 12.0]], |p| p[0] == 0 || p[2] == 1);
    let found = check(&solid, &Limits { cell: 2.0, ..USUAL });
    near(found.area, 0.05 * 25.0, ROUNDING);
    near(found.volume, 0.05 * 25.0 * 9.0, ROUNDING);
    near(found.bridged, 0.0, 0.0);
}

/// Closed form: a ceiling 12 mm up over a ramp that falls from h to 2 mm over 8 mm, open at the low
/// end. Volume L · 8 (12 - (h + 2) / 2); support stands on L · 8 / cos 20° of the ramp.
///
/// The samples of the ramp may lie off its middle by half a cell, a / 2 tan 20° of the mean gap.
#[test]
fn ceiling_over_a_ramp() {
    let slope = 20_f64.to_radians();
    let high = 2.0 + 8.0 * slope.tangent();
    let profile = [
        [0.0, 0.0],
        [12.0, 0.0],
        [12.0, 2.0],
        [4.0, high],
        [4.0, 12.0],
        [12.0, 12.0],
        [12.0, 14.0],
        [0.0, 14.0],
    ];
    let ends = [[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 7], [7, 4, 5], [7, 5, 6]];
    let found = check(&prism(&profile, &ends, 30.0), &Limits { bridge: 5.0, ..USUAL });
    near(found.area, 240.0, ROUNDING);
    let shifted = USUAL.cell / 2.0 * slope.tangent() / (12.0 - f64::midpoint(high, 2.0));
    near(found.volume, 240.0 * (12.0 - f64::midpoint(high, 2.0)), shifted);
    near(touch(&found, 2, Touch::Standing), 240.0 / slope.cosine(), ROUNDING);
}

/// Closed form: a plate laid on two posts as a body of its own is held by them as if it were one
/// piece with them.
#[test]
fn bodies_that_touch() {
    let post = blocks([&[0.0, 6.0], &[0.0, 20.0], &[0.0, 8.0]], |_| true);
    let other = post.clone().moved(18.0, 0.0);
    let mut plate = blocks([&[0.0, 24.0], &[0.0, 20.0], &[0.0, 3.0]], |_| true);
    for sunk in [0.0, 1.0] {
        for p in &mut plate.points {
            p[2] += 8.0 - sunk;
        }
        let solid = post.clone().with(&other, 1000).with(&plate, 2000);
        let found = check(&solid, &Limits { bridge: 12.5, ..USUAL });
        near(found.bridged, 12.0 * 20.0, ROUNDING);
        near(found.area, 0.0, 0.0);
        let found = check(&solid, &USUAL);
        near(found.area, 12.0 * 20.0, ROUNDING);
        near(found.volume, 12.0 * 20.0 * (8.0 - sunk), ROUNDING);
        for p in &mut plate.points {
            p[2] -= 8.0 - sunk;
        }
    }
}

/// No limit, mesh or number makes it fail: what is not usable is left out.
#[test]
fn unusable_input() {
    assert_eq!(check(&Solid::default(), &USUAL), Supported::default());
    let whole = tunnel(16.0, 25.0);
    let expected = check(&whole, &USUAL);
    let mut more = whole.clone();
    let n = more.points.len() as u32;
    more.points.extend([[f64::NAN, 0.0, 0.0], [1e300, 0.0, 0.0], [5.0, 5.0, 5.0]]);
    more.triangles.extend([[0, 1, n], [0, 1, n + 1], [0, 1, n + 7], [n + 2, n + 2, n + 2], [0, 1, 1]]);
    assert_eq!(check(&more, &USUAL).area, expected.area);
    for k in 0..whole.triangles.len() {
        let mut open = whole.clone();
        open.triangles.swap_remove(k);
        open.faces.truncate(k);
        let found = check(&open, &USUAL);
        assert!(found.area <= expected.area + 1e-9 && found.volume.is_finite());
    }
    for odd in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e-300, 1e300] {
        for limits in [
            Limits { overhang: odd, ..USUAL },
            Limits { bridge: odd, ..USUAL },
            Limits { layer: odd, ..USUAL },
            Limits { cell: odd, ..USUAL },
        ] {
            assert!(check(&whole, &limits).area.is_finite());
        }
    }
}
