//! All contours of a part, cut at every crossing.
//!
//! **Vertex**: a place where contours start, end, cross or touch; places within [`SNAP`] are one.
//! **Piece**: a stretch of line or arc between two vertices that nothing crosses. Where contours
//! run along each other they share one piece. **Membership**: which contours a side of a piece
//! lies in, one bit a contour. With these bits every question about regions (is this piece a
//! border of slab 3? does the face below end here?) is a test of two numbers.
//!
//! Steps: cut every segment at its crossings with segments of other contours; merge pieces with
//! the same ends and the same middle; for each piece find which contours hold its two sides.
//!
//! What it does not promise: contours are taken to be simple (no contour crosses itself), and
//! crossings closer together than [`SNAP`] collapse into one vertex.

use rustc_hash::FxHashMap;

use super::{Bounds, Contour, Point, SNAP, Segment, TANGENT, cross, intersect};

/// Which contours a place lies in: bit *i* stands for contour *i*.
pub type Membership = u128;

/// How many contours one arrangement can hold: the width of [`Membership`].
pub const MAX_CONTOURS: usize = Membership::BITS as usize;

/// A stretch of border between two vertices.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Index of the start vertex.
    pub from: usize,
    /// Index of the end vertex.
    pub to: usize,
    /// Its geometry. Arcs always run counter-clockwise.
    pub segment: Segment,
    /// The contours that the area on the left lies in.
    pub left: Membership,
    /// The contours that the area on the right lies in.
    pub right: Membership,
    /// Pieces with the same carrier lie on the same line, or come from the same arc.
    pub carrier: usize,
}

/// The contours of a part cut into pieces.
///
/// ```
/// # use bobbinwright_kernel::plane::{Arrangement, Contour, Point};
/// let square = |at: f64| Contour::rectangle(Point::new(at, at), Point::new(at + 4.0, at + 4.0));
/// let two = Arrangement::new(&[square(0.0), square(3.0)]);
/// // Eight corners and two crossings; each crossing cuts two sides. Four areas by Euler: 12 - 10 + 2.
/// assert_eq!((two.vertices.len(), two.pieces.len()), (10, 12));
/// // Where both overlap, bits 0 and 1, by Green's theorem along its border: 1 mm by 1 mm.
/// let both = |place| f64::from(place == 0b11);
/// let twice = two.pieces.iter().map(|p| (both(p.left) - both(p.right)) * p.segment.twice_area()).sum::<f64>();
/// assert!((twice / 2.0 - 1.0).abs() < 1e-12);
/// ```
#[derive(Clone, Debug)]
pub struct Arrangement {
    /// Where pieces begin and end.
    pub vertices: Vec<Point>,
    /// All pieces, in the order of the contours they first appear in.
    pub pieces: Vec<Piece>,
    /// For each contour, for each of its segments, the pieces along it in order of travel;
    /// `true` when the piece runs the same way as the contour.
    pub along: Vec<Vec<Vec<(usize, bool)>>>,
}

impl Arrangement {
    /// Cuts `contours` (at most [`MAX_CONTOURS`], checked by the caller) into an arrangement.
    pub fn new(contours: &[Contour]) -> Self {
        let bounds: Vec<Bounds> = contours.iter().map(Contour::bounds).collect();
        let mut work = Cutter::default();
        let cuts = cut_points(contours, &bounds);
        let mut along = Vec::with_capacity(contours.len());
        for (contour, cuts) in contours.iter().zip(&cuts) {
            let mut per_segment = Vec::with_capacity(cuts.len());
            for (segment, points) in contour.segments().iter().zip(cuts) {
                per_segment.push(work.cut(segment, points));
            }
            along.push(per_segment);
        }
        let mut pieces = work.pieces;
        set_memberships(&mut pieces, contours, &bounds, &along);
        Self { vertices: work.vertices.points, pieces, along }
    }
}

/// For each segment of each contour, the points at which it is cut (its own ends not among them).
fn cut_points(contours: &[Contour], bounds: &[Bounds]) -> Vec<Vec<Vec<Point>>> {
    let mut cuts: Vec<Vec<Vec<Point>>> =
        contours.iter().map(|c| vec![Vec::new(); c.segments().len()]).collect();
    for i in 0..contours.len() {
        for j in i + 1..contours.len() {
            if !bounds[i].near(&bounds[j], SNAP) {
                continue;
            }
            for (s, a) in contours[i].segments().iter().enumerate() {
                let box_a = a.bounds();
                if !box_a.near(&bounds[j], SNAP) {
                    continue;
                }
                for (t, b) in contours[j].segments().iter().enumerate() {
                    if box_a.near(&b.bounds(), SNAP) {
                        let points = intersect::crossings(a, b);
                        cuts[i][s].extend(&points);
                        cuts[j][t].extend(&points);
                    }
                }
            }
        }
    }
    cuts
}

/// Collects vertices and pieces without repeating either.
#[derive(Default)]
struct Cutter {
    vertices: VertexPool,
    middles: VertexPool,
    pieces: Vec<Piece>,
    known: FxHashMap<(usize, usize, usize), usize>,
    lines: Vec<Segment>,
    carriers: usize,
    carrier_of_line: Vec<usize>,
}

impl Cutter {
    /// Cuts one segment at `points` and returns its pieces in order of travel.
    fn cut(&mut self, segment: &Segment, points: &[Point]) -> Vec<(usize, bool)> {
        if points.is_empty() {
            let (from, to) = (self.vertices.index_of(segment.from), self.vertices.index_of(segment.to));
            let carrier = self.carrier_of(segment);
            return vec![self.piece(segment, from, to, carrier)];
        }
        let mut stops: Vec<(f64, usize)> = std::iter::once(segment.from)
            .chain(points.iter().copied())
            .chain(std::iter::once(segment.to))
            .map(|p| (progress(segment, p), self.vertices.index_of(p)))
            .collect();
        stops.sort_by(|a, b| a.0.total_cmp(&b.0));
        stops.dedup_by_key(|s| s.1);
        let carrier = self.carrier_of(segment);
        stops.windows(2).map(|w| self.piece(segment, w[0].1, w[1].1, carrier)).collect()
    }

    /// The piece of `segment` between two vertices, new or already known.
    fn piece(&mut self, segment: &Segment, from: usize, to: usize, carrier: usize) -> (usize, bool) {
        let (start, end) = (self.vertices.points[from], self.vertices.points[to]);
        let stretch = Segment { from: start, to: end, bend: segment.bend };
        let middle = self.middles.index_of(stretch.middle());
        let key = (from.min(to), from.max(to), middle);
        if let Some(&index) = self.known.get(&key) {
            return (index, self.pieces[index].from == from);
        }
        let forward = stretch.bend.is_none_or(|b| b.ccw);
        let stored = if forward { stretch } else { stretch.reversed() };
        let (a, b) = if forward { (from, to) } else { (to, from) };
        self.known.insert(key, self.pieces.len());
        self.pieces.push(Piece { from: a, to: b, segment: stored, left: 0, right: 0, carrier });
        (self.pieces.len() - 1, forward)
    }

    /// A number shared by all segments on the same line; arcs get one each.
    fn carrier_of(&mut self, segment: &Segment) -> usize {
        if segment.bend.is_none() {
            let known = self.lines.iter().position(|l| collinear(l, segment));
            if let Some(i) = known {
                return self.carrier_of_line[i];
            }
            self.lines.push(*segment);
            self.carrier_of_line.push(self.carriers);
        }
        self.carriers += 1;
        self.carriers - 1
    }
}

/// How far along the segment a point on it lies; only the order matters.
fn progress(segment: &Segment, p: Point) -> f64 {
    match segment.bend {
        None => (p - segment.from).dot(&(segment.to - segment.from)),
        Some(_) => segment.angle_along(p),
    }
}

fn collinear(a: &Segment, b: &Segment) -> bool {
    let u = (a.to - a.from).normalize();
    cross(u, b.from - a.from).abs() < TANGENT && cross(u, b.to - a.from).abs() < TANGENT
}

/// For each piece: the contours on its left and right.
fn set_memberships(
    pieces: &mut [Piece],
    contours: &[Contour],
    bounds: &[Bounds],
    along: &[Vec<Vec<(usize, bool)>>],
) {
    let mut on: Vec<Membership> = vec![0; pieces.len()];
    for (i, segments) in along.iter().enumerate() {
        let bit = 1 << i;
        for &(piece, forward) in segments.iter().flatten() {
            on[piece] |= bit;
            // Contours run counter-clockwise: their inside is on the left.
            if forward {
                pieces[piece].left |= bit;
            } else {
                pieces[piece].right |= bit;
            }
        }
    }
    for (piece, on) in pieces.iter_mut().zip(on) {
        let probe = piece.segment.middle();
        for (i, contour) in contours.iter().enumerate() {
            let bit = 1 << i;
            if on & bit == 0 && bounds[i].contains(probe) && contour.contains(probe) {
                piece.left |= bit;
                piece.right |= bit;
            }
        }
    }
}

/// Points, each stored once; a point within [`SNAP`] of a stored one is that one.
#[derive(Default)]
struct VertexPool {
    points: Vec<Point>,
    /// The newest vertex of every cell.
    newest: FxHashMap<(i64, i64), usize>,
    /// For each vertex, the one before it in its cell.
    before: Vec<Option<usize>>,
}

impl VertexPool {
    /// Cells are wider than the snapping distance, so most points have one cell to look in.
    const CELL: f64 = 1e-3;

    fn index_of(&mut self, p: Point) -> usize {
        let cell = |v: f64| (v / Self::CELL).floor() as i64;
        for x in cell(p.x - SNAP)..=cell(p.x + SNAP) {
            for y in cell(p.y - SNAP)..=cell(p.y + SNAP) {
                let mut near = self.newest.get(&(x, y)).copied();
                while let Some(i) = near {
                    if (self.points[i] - p).norm() < SNAP {
                        return i;
                    }
                    near = self.before[i];
                }
            }
        }
        let cell = (cell(p.x), cell(p.y));
        self.before.push(self.newest.insert(cell, self.points.len()));
        self.points.push(p);
        self.points.len() - 1
    }
}
