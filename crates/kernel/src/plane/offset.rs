//! Contours moved inwards and outwards, and what is made from that.
//!
//! The moving itself is done by `cavalier_contours`; this module is its only user. Its results
//! come back in either direction of travel, which [`Contour::new`] puts right.
//!
//! A hollow with bosses is an *opening*: the area in which a disc of the inner radius can roll.
//! It is made without booleans of offset curves: eroding "wall inset minus boss discs" by r is
//! the wall inset by r more, minus discs larger by r, and growing each of the borders that are
//! left by r gives the opening.

use bobbinwright_elementary::Elementary;
use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};

use super::{Arrangement, Contour, Membership, Point, SNAP, Segment};

/// The contour moved inwards by `distance` mm: none, one, or several when it falls apart.
///
/// Convex corners stay sharp, others become arcs. A negative distance moves it outwards, one of nearly nought gives it
/// back.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point, offset};
/// let plate = Contour::rectangle(Point::new(0.0, 0.0), Point::new(10.0, 6.0));
/// let smaller = offset::inset(&plate, 1.0);
/// assert!(smaller.len() == 1 && (smaller[0].area() - 8.0 * 4.0).abs() < 1e-9);
/// // More than half its width leaves nothing.
/// assert!(offset::inset(&plate, 3.1).is_empty());
/// // A waist of 2 mm falls apart.
/// let waist = [(0, 0), (20, 0), (11, 10), (20, 20), (0, 20), (9, 10)];
/// let waist = waist.map(|(x, y)| Point::new(f64::from(x), f64::from(y)));
/// assert_eq!(offset::inset(&Contour::polygon(&waist), 1.5).len(), 2);
/// ```
pub fn inset(contour: &Contour, distance: f64) -> Vec<Contour> {
    moved(contour, distance)
}

/// The contour moved outwards by `distance` mm; corners become arcs of that radius. Where a mouth closes, the hole that
/// is left behind it is a contour of its own, counter-clockwise as well.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point, offset};
/// # use std::f64::consts::PI;
/// let plate = Contour::rectangle(Point::new(0.0, 0.0), Point::new(10.0, 6.0));
/// let larger = offset::outset(&plate, 2.0);
/// // Steiner's formula for a convex contour: area + length · d + π d².
/// assert!((larger[0].area() - (60.0 + 32.0 * 2.0 + 4.0 * PI)).abs() < 1e-9);
/// ```
pub fn outset(contour: &Contour, distance: f64) -> Vec<Contour> {
    moved(contour, -distance)
}

/// Positive `distance` is to the left of travel, which is inwards.
fn moved(contour: &Contour, distance: f64) -> Vec<Contour> {
    if distance.abs() < SNAP {
        return vec![contour.clone()];
    }
    let mut line = Polyline::new_closed();
    for s in contour.segments() {
        let bulge = (s.sweep() / 4.0).tangent();
        let sign = if s.bend.is_none_or(|b| b.ccw) { 1.0 } else { -1.0 };
        line.add(s.from.x, s.from.y, sign * bulge);
    }
    let results = line.parallel_offset(distance);
    results.iter().map(from_polyline).filter(|c| c.area() > SNAP).collect()
}

fn from_polyline(line: &Polyline<f64>) -> Contour {
    let n = line.vertex_count();
    let segments = (0..n).map(|i| {
        let (a, b) = (line.at(i), line.at((i + 1) % n));
        segment_of(Point::new(a.x, a.y), Point::new(b.x, b.y), a.bulge)
    });
    Contour::new(segments.collect())
}

/// The segment between two points with a bulge: the tangent of a quarter of the arc's sweep,
/// positive counter-clockwise.
fn segment_of(from: Point, to: Point, bulge: f64) -> Segment {
    let chord = to - from;
    if (bulge * chord.norm()).abs() < SNAP {
        return Segment::line(from, to);
    }
    // The centre lies on the chord's bisector at (1 - b²) / (4 b) chord lengths to the left.
    let center = from + chord / 2.0 + super::left_of(chord) * ((1.0 - bulge * bulge) / (4.0 * bulge));
    Segment::arc(from, to, center, bulge > 0.0)
}

/// A border of a region: an outer one, or a hole in it.
#[derive(Clone, Debug)]
pub struct Border {
    /// The contour, counter-clockwise in either case.
    pub contour: Contour,
    /// True when the region lies outside the contour.
    pub hole: bool,
}

/// The borders of `plus` (united) without `minus`.
///
/// Borders come in no particular order. At most [`MAX_CONTOURS`](super::MAX_CONTOURS) contours altogether.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point, offset};
/// # use std::f64::consts::PI;
/// let plate = Contour::rectangle(Point::new(0.0, 0.0), Point::new(10.0, 10.0));
/// let corner = Contour::circle(Point::new(10.0, 10.0), 4.0);
/// let window = Contour::circle(Point::new(4.0, 4.0), 1.0);
/// let left = offset::borders(&[plate], &[corner, window]);
/// // The corner is bitten off the outer border, the window is a hole.
/// let of = |hole: bool| left.iter().filter(|b| b.hole == hole).map(|b| b.contour.area()).sum::<f64>();
/// assert!((of(false) - (100.0 - 4.0 * PI)).abs() < 1e-9 && (of(true) - PI).abs() < 1e-9);
/// ```
pub fn borders(plus: &[Contour], minus: &[Contour]) -> Vec<Border> {
    let all: Vec<Contour> = plus.iter().chain(minus).cloned().collect();
    let plus_bits: Membership = (0..plus.len()).map(|i| 1 << i).sum();
    let arrangement = Arrangement::new(&all);
    let inside = |m: Membership| m & plus_bits != 0 && m & !plus_bits == 0;
    trace(&arrangement, inside)
}

/// Follows the borders of a region given by a predicate on memberships, region on the left.
pub(crate) fn trace(arrangement: &Arrangement, inside: impl Fn(Membership) -> bool) -> Vec<Border> {
    let mut open: Vec<(usize, usize, Segment)> = Vec::new();
    for p in &arrangement.pieces {
        match (inside(p.left), inside(p.right)) {
            (true, false) => open.push((p.from, p.to, p.segment)),
            (false, true) => open.push((p.to, p.from, p.segment.reversed())),
            _ => {}
        }
    }
    let mut found = Vec::new();
    while let Some((start, mut end, segment)) = open.pop() {
        let mut chain = vec![segment];
        while end != start {
            let Some(next) = leftmost(&open, end, chain[chain.len() - 1]) else { break };
            let (_, to, segment) = open.swap_remove(next);
            chain.push(segment);
            end = to;
        }
        let twice_area: f64 = chain.iter().map(Segment::twice_area).sum();
        found.push(Border { contour: Contour::new(chain), hole: twice_area < 0.0 });
    }
    found
}

/// Among the pieces that start at `vertex`, the one that turns most to the left, so that a region
/// which touches itself in a point is followed as separate borders.
fn leftmost(open: &[(usize, usize, Segment)], vertex: usize, arriving: Segment) -> Option<usize> {
    let d = arriving.direction_at(arriving.to);
    let turn = |s: &Segment| {
        let e = s.direction_at(s.from);
        super::cross(d, e).direction_with(d.dot(&e))
    };
    (0..open.len())
        .filter(|&i| open[i].0 == vertex)
        .max_by(|&a, &b| turn(&open[a].2).total_cmp(&turn(&open[b].2)))
}

/// `plus` without `minus`, opened by a disc of `radius`: every corner of the region that a disc of
/// that radius cannot reach is rounded off, and slots narrower than the disc are closed.
///
/// `shrink(r)` must give `plus` and `minus` already moved by `r` into the region (outer borders
/// inset, obstacles grown). Moving by the *sum* of two distances at once keeps exact arcs exact.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point, offset};
/// # use std::f64::consts::PI;
/// let wall = Contour::rectangle(Point::new(0.0, 0.0), Point::new(10.0, 10.0));
/// let room = offset::opened(2.0, |r| (offset::inset(&wall, r), vec![]));
/// // In each corner a square of 2 mm keeps a quarter disc only.
/// assert_eq!(room.len(), 1);
/// assert!((room[0].contour.area() - (100.0 - (4.0 - PI) * 4.0)).abs() < 1e-9);
/// ```
pub fn opened(radius: f64, shrink: impl Fn(f64) -> (Vec<Contour>, Vec<Contour>)) -> Vec<Border> {
    let (plus, minus) = shrink(radius);
    let eroded = borders(&plus, &minus);
    if radius < SNAP {
        return eroded;
    }
    let grow = |b: Border| {
        let moved = if b.hole { inset(&b.contour, radius) } else { outset(&b.contour, radius) };
        moved.into_iter().map(move |contour| Border { contour, hole: b.hole })
    };
    eroded.into_iter().flat_map(grow).collect()
}
