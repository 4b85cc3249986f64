//! A surveyors' network, adjusted as the readings of a position are.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use bobbinwright_elementary::Elementary;
use bobbinwright_estimate::network::{Equation, adjust};
use bobbinwright_estimate::{Doubt, Doubts, Estimate, Length, Origin};

/// Directions from a station to a point, gons, each to 10 centesimal seconds.
const DIRECTIONS: [(u32, u32, f64); 46] = [
    (1, 2, 0.0000),
    (1, 422, 28.2057),
    (1, 424, 60.4906),
    (1, 403, 324.3662),
    (1, 407, 382.8182),
    (2, 1, 0.0000),
    (2, 407, 22.2376),
    (2, 409, 73.8984),
    (2, 411, 134.2090),
    (2, 416, 203.0706),
    (2, 418, 287.2951),
    (2, 420, 345.6928),
    (2, 422, 368.9908),
    (403, 1, 0.0000),
    (403, 407, 313.5542),
    (407, 1, 0.0000),
    (407, 403, 55.1013),
    (407, 409, 193.3410),
    (407, 2, 239.4204),
    (407, 422, 323.5443),
    (409, 2, 0.0000),
    (409, 407, 102.2575),
    (409, 411, 310.1751),
    (411, 2, 0.0000),
    (411, 409, 49.8647),
    (411, 413, 291.4953),
    (411, 416, 337.6667),
    (413, 411, 0.0000),
    (413, 416, 295.3582),
    (416, 2, 0.0000),
    (416, 411, 68.8065),
    (416, 413, 117.9922),
    (416, 418, 348.1606),
    (418, 2, 0.0000),
    (418, 416, 63.9347),
    (418, 420, 336.3190),
    (420, 2, 0.0000),
    (420, 418, 77.9221),
    (420, 422, 250.1804),
    (422, 2, 0.0000),
    (422, 420, 26.8834),
    (422, 424, 225.7964),
    (422, 1, 259.2124),
    (422, 407, 337.3724),
    (424, 1, 0.0000),
    (424, 422, 134.2955),
];

/// Distances, m, each to 5 mm.
const DISTANCES: [(u32, u32, f64); 23] = [
    (1, 2, 845.777),
    (1, 422, 493.793),
    (1, 424, 288.301),
    (1, 403, 388.536),
    (1, 407, 498.750),
    (2, 407, 388.562),
    (2, 409, 257.498),
    (2, 411, 360.282),
    (2, 416, 338.919),
    (2, 418, 292.094),
    (2, 420, 261.408),
    (2, 422, 452.249),
    (403, 407, 405.403),
    (407, 409, 281.997),
    (407, 422, 346.415),
    (409, 411, 296.281),
    (411, 413, 252.266),
    (411, 416, 360.449),
    (413, 416, 239.745),
    (416, 418, 389.397),
    (418, 420, 246.594),
    (420, 422, 228.207),
    (422, 424, 279.405),
];

/// Points that are given, m: x to the south, y to the west.
const GIVEN: [(u32, [f64; 2]); 2] = [(1, [1_054_980.484, 644_498.590]), (2, [1_054_933.801, 643_654.101])];

const GON: f64 = PI / 200.0;
/// So many centesimal seconds has a radian, over the millimetres of a metre.
const SECONDS: f64 = 1e4 / GON / 1000.0;

type Points = BTreeMap<u32, [f64; 2]>;

fn to(points: &Points, from: u32, to: u32) -> (f64, f64) {
    let ([a, b], [c, d]) = (points[&from], points[&to]);
    let (x, y) = (c - a, d - b);
    (x.hypotenuse(y), y.direction_with(x))
}

/// Each point from a station whose direction to another known one was read.
fn about() -> Points {
    let mut points = Points::from(GIVEN);
    for (station, known) in [(1, 2), (2, 1), (411, 2)] {
        let zero = to(&points, station, known).1;
        let first = DIRECTIONS.iter().find(|d| (d.0, d.1) == (station, known)).map_or(0.0, |d| d.2);
        for (_, point, direction) in DIRECTIONS.iter().filter(|d| d.0 == station) {
            let far = DISTANCES.iter().find(|d| (d.0, d.1) == (station, *point));
            let Some((_, _, far)) = far.filter(|_| !points.contains_key(point)) else { continue };
            let (bearing, [x, y]) = (zero + (direction - first) * GON, points[&station]);
            points.insert(*point, [x + far * bearing.cosine(), y + far * bearing.sine()]);
        }
    }
    points
}

/// What is read less what the points make of it, in millimetres and centesimal seconds, with what a motion of the points in
/// millimetres and of the stations' circles in centesimal seconds changes.
fn equations(points: &Points) -> Vec<Equation> {
    let mut doubts = Doubts::<()>::default();
    let mut read = |value: f64, u: f64| -> Estimate {
        let doubt = Doubt::new(None, Origin::Stated, f64::INFINITY);
        doubts.enter(doubt, Length::from_mm(u)).moved_to(Length::from_mm(value))
    };
    let free: Vec<u32> = points.keys().copied().filter(|p| GIVEN.iter().all(|g| g.0 != *p)).collect();
    let stations: Vec<u32> =
        points.keys().copied().filter(|p| DIRECTIONS.iter().any(|d| d.0 == *p)).collect();
    let moves = |from: u32, point: u32, [x, y]: [f64; 2]| -> Vec<(usize, f64)> {
        let of = |p: u32, sign: f64| {
            let at = free.iter().position(|f| *f == p);
            at.map_or_else(Vec::new, |i| vec![(2 * i, sign * x), (2 * i + 1, sign * y)])
        };
        [of(point, 1.0), of(from, -1.0)].concat()
    };
    let directions = DIRECTIONS.iter().map(|(station, point, direction)| {
        let (far, bearing) = to(points, *station, *point);
        // The circle's zero is that of its first direction.
        let first = DIRECTIONS
            .iter()
            .find(|d| d.0 == *station)
            .map_or(bearing, |d| to(points, *station, d.1).1 - d.2 * GON);
        let off = (direction * GON - (bearing - first) + 3.0 * PI).rem_euclid(2.0 * PI) - PI;
        let slope = [-bearing.sine() / far * SECONDS, bearing.cosine() / far * SECONDS];
        let circle = stations.iter().position(|s| s == station).map(|i| (2 * free.len() + i, -1.0));
        let terms = moves(*station, *point, slope).into_iter().chain(circle).collect();
        (terms, off / GON * 1e4, 10.0)
    });
    let distances = DISTANCES.iter().map(|(from, point, read)| {
        let (far, bearing) = to(points, *from, *point);
        (moves(*from, *point, [bearing.cosine(), bearing.sine()]), (read - far) * 1000.0, 5.0)
    });
    let all: Vec<_> = directions.chain(distances).collect();
    all.into_iter().map(|(terms, value, u)| Equation { terms, value: read(value, u) }).collect()
}

/// The published example of the manual of GNU Gama 2.29 (2.19 "Example of local geodetic network", after the users' guide of
/// Geodet/PC by F. Charamza): 69 observations of 10 unknown points; printed are the weighted sum of squares 3435.60 and the
/// reference standard deviation, 10 beforehand and 9.64 from the residuals.
#[test]
fn a_surveyors_network_comes_out_as_published() {
    let mut points = about();
    let free: Vec<u32> = points.keys().copied().filter(|p| *p > 2).collect();
    assert_eq!((free.len(), DIRECTIONS.len() + DISTANCES.len()), (10, 69));
    let unknowns = 2 * free.len() + points.len();
    let mut adjusted = adjust(&equations(&points), unknowns).unwrap();
    for _ in 0..4 {
        for (i, point) in free.iter().enumerate() {
            let moved = [0, 1].map(|k| adjusted.unknowns[2 * i + k].value().as_mm() / 1000.0);
            points.entry(*point).and_modify(|[x, y]| (*x, *y) = (*x + moved[0], *y + moved[1]));
        }
        adjusted = adjust(&equations(&points), unknowns).unwrap();
    }
    let shares = adjusted
        .leftovers
        .iter()
        .zip(equations(&points))
        .map(|(left, read)| (left.value.value() / read.value.uncertainty()).power(2));
    let squares = 100.0 * shares.sum::<f64>();
    let redundancy: f64 = adjusted.leftovers.iter().map(|l| l.redundancy).sum();
    assert!((squares - 3435.60).abs() < 0.05, "{squares}");
    assert!((redundancy - 37.0).abs() < 1e-9, "{redundancy}");
    assert!(((squares / redundancy).sqrt() - 9.64).abs() < 0.005);
}

/// A size read at two spots with the jaws held wrongly in both, and a third time in another way: the two together are off by their
/// mean less the third, with u²/2 + u². Where nothing else was read nothing tells (closed form).
#[test]
fn an_error_that_readings_have_in_common_is_told_by_another() {
    let mut doubts = Doubts::<()>::default();
    let mut read = |mm: f64| {
        let doubt = Doubt::new(None, Origin::Resolution, f64::INFINITY);
        let value = doubts.enter(doubt, Length::from_mm(0.03)).moved_to(Length::from_mm(mm));
        Equation { terms: vec![(0, 1.0)], value }
    };
    let three = [read(10.6), read(10.4), read(10.0)];
    let adjusted = adjust(&three, 1).unwrap();
    let common = adjusted.in_common(&[(0, 1.0), (1, 1.0)]).unwrap();
    assert!((common.off.as_mm() - 0.5).abs() < 1e-6, "{common:?}");
    assert!((common.uncertainty.as_mm() - 0.03 * 1.5f64.sqrt()).abs() < 1e-6, "{common:?}");
    assert_eq!(adjusted.in_common(&[(0, 1.0), (1, 1.0), (2, 1.0)]), None);
}

/// Two pieces and the whole of them, each read over one hole: half of its diameter is added to the pieces and taken off the whole. With
/// the hole off by d the loop is off by 3 d/2, and nothing tells it from a slip in one of them but the prior (closed form).
#[test]
fn a_diameter_is_off_in_what_it_was_added_to_and_taken_off() {
    let mut doubts = Doubts::<()>::default();
    let mut read = |mm: f64| {
        let doubt = Doubt::new(None, Origin::Resolution, f64::INFINITY);
        doubts.enter(doubt, Length::from_mm(0.03)).moved_to(Length::from_mm(mm))
    };
    let loop_of_three = [
        Equation { terms: vec![(0, 1.0)], value: read(10.0) },
        Equation { terms: vec![(1, 1.0)], value: read(20.0) },
        Equation { terms: vec![(0, 1.0), (1, 1.0)], value: read(29.7) },
    ];
    let adjusted = adjust(&loop_of_three, 2).unwrap();
    let hole = adjusted.in_common(&[(0, 0.5), (1, 0.5), (2, -0.5)]).unwrap();
    assert!((hole.off.as_mm() - 0.2).abs() < 1e-6, "{hole:?}");
    assert!((hole.uncertainty.as_mm() - 0.03 * 3f64.sqrt() / 1.5).abs() < 1e-6, "{hole:?}");
    let alone = adjusted.in_common(&[(0, 1.0)]).unwrap();
    assert!((hole.ratio() - alone.ratio()).abs() < 1e-6, "{hole:?} {alone:?}");
}
