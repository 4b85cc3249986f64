//! The part cut into vertical columns, each with the heights between which it holds material.
//!
//! A triangle's edges are followed from the lower row of the raster to the higher one and rounded
//! to columns by one function, so two triangles at an edge divide the columns there without gap
//! or overlap, and every column of a closed mesh enters material as often as it leaves it.

use super::surface::{self, Surface};
use super::{SAME_HEIGHT, Shape};

/// The raster has at most this many cells.
const MOST_CELLS: f64 = 4e6;

/// The raster lies this far off the outermost edges, in cells: two odd fractions, so that on parts
/// with measures in tenths of a millimetre no sample falls on an edge.
const OFFSET: [f64; 2] = [0.038_196_6, 0.061_803_4];

/// Where a column meets a triangle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hit {
    /// mm.
    pub(super) z: f64,
    pub(super) triangle: u32,
    /// True where the way up leaves the material.
    leaves: bool,
}

/// A run of columns in a row that meet one triangle.
struct Strip {
    /// Height at the first column, and how much it grows from column to column, mm.
    z: f64,
    step: f64,
    cell: u32,
    cells: u32,
    triangle: u32,
    leaves: bool,
}

/// Where the columns stand.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grid {
    /// Lowest x and y, mm.
    origin: [f64; 2],
    /// Side of a cell, mm.
    pub(super) cell: f64,
    /// Cells by x and by y.
    pub(super) size: [usize; 2],
}

/// The columns over the overhanging part of a shape, and at least one more around it.
#[derive(Debug)]
pub(super) struct Columns {
    pub(super) grid: Grid,
    /// Where each column's hits begin.
    first: Vec<u32>,
    /// In each column entering and leaving by turns, then hits at infinity where some were dropped.
    hits: Vec<Hit>,
    /// Where a column enters a triangle inside material: another body of the part holds it.
    pub(super) hidden: Vec<Hit>,
}

impl Grid {
    fn new([low, high]: [[f64; 2]; 2], cell: f64) -> Grid {
        let extent = [high[0] - low[0], high[1] - low[1]];
        let usable = cell.is_finite() && cell > 0.0;
        let mut cell = if usable { cell } else { extent[0].max(extent[1]).max(1.0) / 500.0 };
        let count = |cell: f64| [0, 1].map(|axis: usize| (extent[axis] / cell).ceil() + 4.0);
        while count(cell)[0] * count(cell)[1] > MOST_CELLS {
            cell *= 1.05;
        }
        let origin = [0, 1].map(|axis: usize| low[axis] - (2.0 - OFFSET[axis]) * cell);
        Grid { origin, cell, size: count(cell).map(|n| n as usize) }
    }

    /// How many cells there are.
    pub(super) fn cells(&self) -> usize {
        self.size[0] * self.size[1]
    }

    /// How many columns along an axis stand at or before a coordinate.
    pub(super) fn before(&self, axis: usize, at: f64, per_mm: f64) -> u32 {
        let n = ((at - self.origin[axis]) * per_mm + 0.5).max(0.0) as u32;
        n.min(self.size[axis] as u32)
    }

    /// Where a column stands along an axis, mm.
    fn centre(&self, axis: usize, index: usize) -> f64 {
        self.origin[axis] + (index as f64 + 0.5) * self.cell
    }

    /// Where the column of a cell stands, mm.
    pub(super) fn middle(&self, cell: usize) -> [f64; 2] {
        [self.centre(0, cell % self.size[0]), self.centre(1, cell / self.size[0])]
    }

    /// The cell that holds a point.
    pub(super) fn cell_at(&self, x: f64, y: f64) -> usize {
        let index = |axis: usize, at: f64| {
            let n = ((at - self.origin[axis]) / self.cell).max(0.0) as usize;
            n.min(self.size[axis] - 1)
        };
        index(1, y) * self.size[0] + index(0, x)
    }

    /// How many cells on the next one along an axis is.
    pub(super) fn step(&self, axis: usize) -> usize {
        if axis == 0 { 1 } else { self.size[0] }
    }

    /// The neighbour of a cell towards higher or lower x or y.
    pub(super) fn beside(&self, cell: usize, axis: usize, up: bool) -> Option<usize> {
        let place = if axis == 0 { cell % self.size[0] } else { cell / self.size[0] };
        match up {
            true if place + 1 < self.size[axis] => Some(cell + self.step(axis)),
            false if place > 0 => Some(cell - self.step(axis)),
            _ => None,
        }
    }
}

impl Columns {
    /// Columns over `bounds`, the lowest and highest x and y to be looked at.
    pub(super) fn new(shape: &Shape, surface: &Surface, bounds: [[f64; 2]; 2], cell: f64) -> Columns {
        let grid = Grid::new(bounds, cell);
        let strips = strips(shape, surface, &grid);
        let (first, mut hits) = spread(&strips, grid.cells());
        let mut hidden = Vec::new();
        for ends in first.windows(2) {
            if ends[0] < ends[1] {
                settle(&mut hits[ends[0] as usize..ends[1] as usize], &mut hidden);
            }
        }
        Columns { grid, first, hits, hidden }
    }

    /// Where a column enters and leaves material, from below.
    pub(super) fn spans(&self, cell: usize) -> impl Iterator<Item = &[Hit; 2]> {
        let hits = &self.hits[self.first[cell] as usize..self.first[cell + 1] as usize];
        let (pairs, _) = hits.as_chunks::<2>();
        pairs.iter().take_while(|pair| pair[0].z < f64::INFINITY)
    }

    /// Which hit is the first one of a column.
    pub(super) fn first(&self, cell: usize) -> u32 {
        self.first[cell]
    }

    /// One of the hits.
    pub(super) fn hit(&self, hit: u32) -> &Hit {
        &self.hits[hit as usize]
    }

    /// The top of what lies below the material that a column enters by a hit; none above the bed.
    pub(super) fn floor(&self, cell: u32, hit: u32) -> Option<&Hit> {
        (hit > self.first[cell as usize]).then(|| &self.hits[hit as usize - 1])
    }
}

/// All strips of columns that meet a triangle, triangle by triangle.
fn strips(shape: &Shape, surface: &Surface, grid: &Grid) -> Vec<Strip> {
    let per_mm = 1.0 / grid.cell;
    let mut found = Vec::with_capacity(shape.triangles.len() * 4);
    for (i, triangle) in shape.triangles.iter().enumerate() {
        if surface.facets[i].lie == surface::Lie::Unusable {
            continue;
        }
        let corners = triangle.map(|p| shape.points[p as usize]);
        let rows = corners.map(|p| grid.before(1, p[1], per_mm));
        let (order, even) = sorted(rows);
        let [low, middle, high] = order.map(|k| (rows[k], corners[k]));
        let across = corners.map(|p| grid.before(0, p[0], per_mm));
        // Between two rows, or between two columns: no sample lies in it.
        if low.0 == high.0 || (across[0] == across[1] && across[1] == across[2]) {
            continue;
        }
        let long = Edge::new(low.1, high.1);
        let mut follow = |from: (u32, [f64; 3]), to: (u32, [f64; 3])| {
            if from.0 == to.0 {
                return;
            }
            let short = Edge::new(from.1, to.1);
            for row in from.0..to.0 {
                let y = grid.centre(1, row as usize);
                // With the corners in turn the long edge runs down, outside on its left.
                let (a, b) = (long.at(y), short.at(y));
                let leaves = (a[0] < b[0]) == even;
                let (a, b) = if a[0] < b[0] { (a, b) } else { (b, a) };
                let (start, end) = (grid.before(0, a[0], per_mm), grid.before(0, b[0], per_mm));
                if start < end {
                    let slope = (b[1] - a[1]) / (b[0] - a[0]);
                    let z = a[1] + (grid.centre(0, start as usize) - a[0]) * slope;
                    let cell = row * grid.size[0] as u32 + start;
                    let step = slope * grid.cell;
                    found.push(Strip { z, step, cell, cells: end - start, triangle: i as u32, leaves });
                }
            }
        };
        follow(low, middle);
        follow(middle, high);
    }
    found
}

/// The order of three rows, and whether it is a turn of 0, 1, 2.
fn sorted(rows: [u32; 3]) -> ([usize; 3], bool) {
    let mut order = [0, 1, 2];
    let mut even = true;
    for (i, j) in [(0, 1), (1, 2), (0, 1)] {
        if rows[order[i]] > rows[order[j]] {
            order.swap(i, j);
            even = !even;
        }
    }
    (order, even)
}

/// An edge as a function of y, seen alike from both its sides.
struct Edge {
    from: [f64; 3],
    /// Growth of x and of z with y.
    slope: [f64; 2],
}

impl Edge {
    fn new(low: [f64; 3], high: [f64; 3]) -> Edge {
        let rise = high[1] - low[1];
        Edge { from: low, slope: [(high[0] - low[0]) / rise, (high[2] - low[2]) / rise] }
    }

    /// x and z at y.
    fn at(&self, y: f64) -> [f64; 2] {
        let along = y - self.from[1];
        [self.from[0] + along * self.slope[0], self.from[2] + along * self.slope[1]]
    }
}

/// Sorts the hits by column: where each column's begin, and the hits.
///
/// Heights at which material ends are raised by [`SAME_HEIGHT`], so that a body that begins where
/// another one ends sorts before that end, and the two become one.
fn spread(strips: &[Strip], cells: usize) -> (Vec<u32>, Vec<Hit>) {
    // Steps of the number of hits from column to column first, then where the hits begin.
    let mut first = vec![0u32; cells + 1];
    for s in strips {
        let start = s.cell as usize;
        first[start] = first[start].wrapping_add(1);
        let end = start + s.cells as usize;
        first[end] = first[end].wrapping_sub(1);
    }
    let (mut here, mut total) = (0u32, 0u32);
    for f in &mut first {
        here = here.wrapping_add(*f);
        *f = total;
        total += here;
    }
    let mut next = first.clone();
    let mut hits = vec![Hit { z: f64::INFINITY, triangle: 0, leaves: true }; total as usize];
    for s in strips {
        let mut z = if s.leaves { s.z + SAME_HEIGHT } else { s.z };
        for n in &mut next[s.cell as usize..(s.cell + s.cells) as usize] {
            hits[*n as usize] = Hit { z, triangle: s.triangle, leaves: s.leaves };
            *n += 1;
            z += s.step;
        }
    }
    (first, hits)
}

/// Sorts a column and leaves only where it enters material from outside and leaves it to there.
fn settle(column: &mut [Hit], hidden: &mut Vec<Hit>) {
    if let [enter, leave] = column
        && !enter.leaves
        && leave.leaves
        && enter.z <= leave.z
    {
        leave.z -= SAME_HEIGHT;
        return;
    }
    sort(column);
    let (mut kept, mut depth) = (0, 0u32);
    let mut start = column[0];
    let mut last = None;
    for k in 0..column.len() {
        let hit = column[k];
        if !hit.leaves {
            if depth == 0 {
                (start, last) = (hit, None);
            } else {
                hidden.push(hit);
            }
            depth += 1;
        } else if depth > 0 {
            depth -= 1;
            last = Some(Hit { z: hit.z - SAME_HEIGHT, ..hit });
            if depth == 0 {
                kept = keep(column, kept, start, last.take());
            }
        }
    }
    // An end is missing: the mesh is open there. The last one that was found must do.
    kept = keep(column, kept, start, last);
    for hit in &mut column[kept..] {
        hit.z = f64::INFINITY;
    }
}

/// Writes a span over hits that are done with; returns how many hits are kept.
fn keep(column: &mut [Hit], kept: usize, start: Hit, end: Option<Hit>) -> usize {
    let Some(end) = end else { return kept };
    column[kept] = start;
    column[kept + 1] = end;
    kept + 2
}

/// Sorts hits by height. Most columns hold two or four of them, for which insertion is fastest.
fn sort(column: &mut [Hit]) {
    if column.len() > 20 {
        column.sort_unstable_by(|a, b| a.z.total_cmp(&b.z));
        return;
    }
    for k in 1..column.len() {
        let hit = column[k];
        let mut at = k;
        while at > 0 && column[at - 1].z > hit.z {
            column[at] = column[at - 1];
            at -= 1;
        }
        column[at] = hit;
    }
}
