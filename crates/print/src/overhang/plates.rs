//! The flat triangles of a shape, asked where exactly they end.
//!
//! The cells of a run tell its length to within one cell. Only a run that may be just short enough
//! is looked at here, so nothing is prepared before it is needed.

use std::cell::OnceCell;

use super::columns::Grid;
use super::surface::{Lie, Surface, corners};
use super::{SAME_HEIGHT, Shape};

/// Lengths that differ by less are the same, mm: measures are not exact in binary.
const SAME_LENGTH: f64 = 1e-6;

/// An end of a run of flat underside.
#[derive(Clone, Copy, Debug)]
pub(super) struct End {
    pub(super) cell: usize,
    pub(super) z: f64,
}

/// The flat triangles of a shape.
pub(super) struct Plates<'a> {
    shape: &'a Shape<'a>,
    surface: &'a Surface,
    grid: &'a Grid,
    longest: f64,
    /// For runs along x and along y.
    lines: [OnceCell<Lines>; 2],
}

/// Flat triangles by the lines of columns that cross them.
struct Lines {
    /// Where each line's triangles begin.
    first: Vec<u32>,
    triangles: Vec<[[f64; 3]; 3]>,
    /// Places in `triangles`, line by line.
    crossed: Vec<u32>,
}

impl<'a> Plates<'a> {
    /// `longest` is the longest run that spans freely, mm.
    pub(super) fn new(shape: &'a Shape, surface: &'a Surface, grid: &'a Grid, longest: f64) -> Plates<'a> {
        Plates { shape, surface, grid, longest, lines: [OnceCell::new(), OnceCell::new()] }
    }

    /// Whether a run along an axis is short enough to span.
    pub(super) fn allow(&self, ends: &[End; 2], axis: usize) -> bool {
        let cell = self.grid.cell;
        let between = ((ends[1].cell - ends[0].cell) / self.grid.step(axis)) as f64 * cell;
        let allowed = self.longest + SAME_LENGTH - between;
        allowed >= 2.0 * cell
            || allowed > 0.0 && self.reach(&ends[0], axis, -1.0) + self.reach(&ends[1], axis, 1.0) <= allowed
    }

    /// How far the underside goes on past the middle of the cell at its end, mm.
    fn reach(&self, end: &End, axis: usize, sign: f64) -> f64 {
        let at = self.grid.middle(end.cell);
        let across = if axis == 0 { end.cell / self.grid.size[0] } else { end.cell % self.grid.size[0] };
        let lines = self.lines[axis].get_or_init(|| Lines::new(self, 1 - axis));
        let mut reached = 0.0;
        while reached <= self.grid.cell {
            let from = reached;
            let near = |c: &[f64; 3]| sign * (c[axis] - at[axis]) <= from + SAME_LENGTH;
            let far = |c: &[f64; 3]| sign * (c[axis] - at[axis]) >= from;
            let meets = |c: &&[[f64; 3]; 3]| c.iter().any(near) && c.iter().any(far) && is_level(c, end.z);
            for corners in lines.crossed(across).filter(meets) {
                let Some(ends) = crossing(*corners, at, axis) else { continue };
                let ends = if sign < 0.0 { [-ends[1], -ends[0]] } else { ends };
                if ends[0] <= from + SAME_LENGTH {
                    reached = f64::max(reached, ends[1]);
                }
            }
            if reached <= from + SAME_LENGTH {
                return reached;
            }
        }
        // It goes on inside another body of the part, whose side ends the run somewhere before the
        // next column: half a cell from here on average.
        self.grid.cell / 2.0
    }
}

impl Lines {
    /// Lines that stand side by side along the axis `across`.
    fn new(plates: &Plates, across: usize) -> Lines {
        let all = plates.shape.triangles.iter().zip(&plates.surface.facets);
        let flat = all.filter(|(_, facet)| facet.lie == Lie::Flat);
        let triangles: Vec<_> = flat.filter_map(|(t, _)| corners(plates.shape, t)).collect();
        let per_mm = 1.0 / plates.grid.cell;
        let range = |corners: &[[f64; 3]; 3]| {
            let [a, b, c] = corners.map(|p| plates.grid.before(across, p[across], per_mm) as usize);
            a.min(b).min(c)..a.max(b).max(c)
        };
        let mut first = vec![0u32; plates.grid.size[across] + 1];
        for line in triangles.iter().flat_map(range) {
            first[line + 1] += 1;
        }
        for line in 1..first.len() {
            first[line] += first[line - 1];
        }
        let mut next = first.clone();
        let mut crossed = vec![0; first[first.len() - 1] as usize];
        for (k, corners) in triangles.iter().enumerate() {
            for line in range(corners) {
                crossed[next[line] as usize] = k as u32;
                next[line] += 1;
            }
        }
        Lines { first, triangles, crossed }
    }

    /// The triangles that a line crosses.
    fn crossed(&self, line: usize) -> impl Iterator<Item = &[[f64; 3]; 3]> {
        let places = &self.crossed[self.first[line] as usize..self.first[line + 1] as usize];
        places.iter().map(|&k| &self.triangles[k as usize])
    }
}

/// Whether a triangle touches a height.
fn is_level(corners: &[[f64; 3]; 3], z: f64) -> bool {
    corners.iter().any(|p| p[2] <= z + SAME_HEIGHT) && corners.iter().any(|p| p[2] >= z - SAME_HEIGHT)
}

/// Where a line through a point along an axis enters and leaves a triangle seen from above, from
/// the point on, mm.
pub(super) fn crossing(corners: [[f64; 3]; 3], at: [f64; 2], axis: usize) -> Option<[f64; 2]> {
    let across = 1 - axis;
    let mut ends = [f64::INFINITY, -f64::INFINITY];
    for (a, b) in [(0, 1), (1, 2), (2, 0)] {
        let (a, b) = (corners[a], corners[b]);
        if (a[across] <= at[across]) != (b[across] <= at[across]) {
            let t = (at[across] - a[across]) / (b[across] - a[across]);
            let place = a[axis] + t * (b[axis] - a[axis]) - at[axis];
            ends = [ends[0].min(place), ends[1].max(place)];
        }
    }
    (ends[0] <= ends[1]).then_some(ends)
}
