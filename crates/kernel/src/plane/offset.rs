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
    let centers = centers(contour);
    results.iter().map(|line| from_polyline(line, &centers)).filter(|c| c.area() > SNAP).collect()
}

/// What an arc of a moved contour may turn about: what it turned about before, or the corner that it came from.
fn centers(contour: &Contour) -> Vec<Point> {
    let of = |s: &Segment| [Some(s.from), s.bend.map(|b| b.center)];
    contour.segments().iter().flat_map(of).flatten().collect()
}

fn from_polyline(line: &Polyline<f64>, centers: &[Point]) -> Contour {
    let n = line.vertex_count();
    let segments = (0..n).map(|i| {
        let (a, b) = (line.at(i), line.at((i + 1) % n));
        segment_of(Point::new(a.x, a.y), Point::new(b.x, b.y), a.bulge, centers)
    });
    Contour::new(segments.collect())
}

/// The segment between two points with a bulge: the tangent of a quarter of the arc's sweep,
/// positive counter-clockwise.
///
/// Which of the centres it turns about is all that is taken from the bulge of an arc: its last bits are those of the system's
/// tangent, which differ from one system to the next.
fn segment_of(from: Point, to: Point, bulge: f64, centers: &[Point]) -> Segment {
    let chord = to - from;
    if (bulge * chord.norm()).abs() < SNAP {
        return Segment::line(from, to);
    }
    // The centre lies on the chord's bisector at (1 - b²) / (4 b) chord lengths to the left.
    let center = from + chord / 2.0 + super::left_of(chord) * ((1.0 - bulge * bulge) / (4.0 * bulge));
    let known = centers.iter().find(|known| (**known - center).norm() < SNAP);
    Segment::arc(from, to, known.copied().unwrap_or(center), bulge > 0.0)
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
///
/// // A waist of 7.6 mm is too narrow for a disc of 4 mm radius, and yet the two rooms' discs overlap in it: one room.
/// let boss = |y: f64, r: f64| Contour::circle(Point::new(20.0, y), 7.2 + r);
/// let wall = Contour::rectangle(Point::new(0.0, 0.0), Point::new(40.0, 22.0));
/// let room = offset::opened(4.0, |r| (offset::inset(&wall, r), vec![boss(0.0, r), boss(22.0, r)]));
/// assert_eq!(room.len(), 1);
/// ```
pub fn opened(radius: f64, shrink: impl Fn(f64) -> (Vec<Contour>, Vec<Contour>)) -> Vec<Border> {
    let (plus, minus) = shrink(radius);
    let eroded = borders(&plus, &minus);
    if radius < SNAP {
        return eroded;
    }
    let grown: Vec<Grown> = eroded.iter().map(|b| Grown::of(b, radius)).collect();
    if Grown::are_apart(&grown) {
        return grown.into_iter().flat_map(Grown::alone).collect();
    }
    united(&eroded, &grown)
}

/// What a border of a region becomes as the region grows.
struct Grown {
    hole: bool,
    contours: Vec<Contour>,
}

impl Grown {
    fn of(border: &Border, radius: f64) -> Self {
        let moved = if border.hole { inset } else { outset };
        Self { hole: border.hole, contours: moved(&border.contour, radius) }
    }

    fn alone(self) -> impl Iterator<Item = Border> {
        let hole = self.hole;
        self.contours.into_iter().map(move |contour| Border { contour, hole })
    }

    /// No outer border closed round a gap, and no two grew into each other.
    fn are_apart(all: &[Self]) -> bool {
        let outer: Vec<&Self> = all.iter().filter(|g| !g.hole).collect();
        let one_each = outer.iter().all(|g| g.contours.len() <= 1);
        let bounds: Vec<_> = outer.iter().flat_map(|g| &g.contours).map(Contour::bounds).collect();
        one_each && (1..bounds.len()).all(|i| bounds[..i].iter().all(|b| !b.near(&bounds[i], SNAP)))
    }
}

/// The union of pieces that grew together, or round a gap: each piece is what lies in its outer border and in none of its
/// holes.
fn united(eroded: &[Border], grown: &[Grown]) -> Vec<Border> {
    let all: Vec<Contour> = grown.iter().flat_map(|g| g.contours.iter().cloned()).collect();
    let mut first = 0;
    let mut pieces: Vec<(usize, Membership, Membership)> = Vec::new();
    let mut holes: Vec<(usize, Membership)> = Vec::new();
    for (i, g) in grown.iter().enumerate() {
        let bits = (first..first + g.contours.len()).map(|n| (n, 1 << n));
        if g.hole {
            holes.push((i, bits.map(|(_, bit)| bit).sum()));
        } else {
            // What closed round a gap lies within what runs round it all.
            let is_gap = |n: usize| {
                all[first..first + g.contours.len()].iter().enumerate().any(|(k, other)| {
                    first + k != n && all[n].segments().first().is_some_and(|s| other.contains(s.from))
                })
            };
            let (gaps, outer): (Vec<_>, Vec<_>) = bits.partition(|(n, _)| is_gap(*n));
            let sum = |some: Vec<(usize, Membership)>| some.into_iter().map(|(_, bit)| bit).sum();
            pieces.push((i, sum(outer), sum(gaps)));
        }
        first += g.contours.len();
    }
    // A hole is of the smallest piece round it.
    for (hole, bits) in holes {
        let inside = eroded[hole].contour.segments().first().map_or(Point::origin(), |s| s.from);
        let around = pieces.iter_mut().filter(|(i, ..)| eroded[*i].contour.contains(inside));
        let area = |i: usize| eroded[i].contour.area();
        if let Some((_, _, gaps)) = around.min_by(|a, b| area(a.0).total_cmp(&area(b.0))) {
            *gaps |= bits;
        }
    }
    let holds = |m: Membership| pieces.iter().any(|(_, outer, gaps)| m & outer != 0 && m & gaps == 0);
    trace(&Arrangement::new(&all), holds)
}
