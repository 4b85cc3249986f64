//! Flat undersides that span freely between two held ends.
//!
//! Cells of flat underside at one height that touch along their sides form a region. A region is
//! printed in one direction, along x or along y, whichever lets more of it span. A run of its
//! cells in that direction spans when the material goes on past both ends, from below the
//! underside to above it, and the run is not too long.

use super::columns::Columns;
use super::plates::{End, Plates, crossing};
use super::surface::Surface;
use super::undersides::Underside;
use super::{SAME_HEIGHT, Shape};

/// Material must reach this far below and above an underside to hold its end, mm.
const GRIP: f64 = 1e-4;

/// Stands for no underside in lists of them.
const NONE: u32 = u32::MAX;

/// Marks the flat undersides that span freely. They must come by cell, and from below in each.
pub(super) fn mark(
    flats: &mut [Underside],
    columns: &Columns,
    shape: &Shape,
    surface: &Surface,
    longest: f64,
) {
    let plates = Plates::new(shape, surface, &columns.grid, longest);
    let runs = [0, 1].map(|axis| Runs::new(flats, axis, columns, &plates));
    if runs.iter().all(|r| r.free.is_empty()) {
        return;
    }
    let region = regions(&runs);
    let mut gain = vec![[0; 2]; flats.len()];
    for (axis, runs) in runs.iter().enumerate() {
        for &(head, length) in &runs.free {
            gain[region[head as usize] as usize][axis] += length;
        }
    }
    let mut spans = vec![[false; 2]; flats.len()];
    for (axis, runs) in runs.iter().enumerate() {
        for &(head, _) in &runs.free {
            spans[head as usize][axis] = true;
        }
    }
    for (k, flat) in flats.iter_mut().enumerate() {
        let gain = gain[region[k] as usize];
        let axis = usize::from(gain[1] > gain[0]);
        flat.bridged = spans[runs[axis].head[k] as usize][axis];
    }
}

/// Whether a flat triangle that no column met is a strip narrower than a cell, between material on
/// both sides. The columns on both sides of its middle are asked, across the strip only. They do not
/// stand in line with it, so the material must reach further down than a flat underside slopes.
pub(super) fn is_pinched(columns: &Columns, corners: [[f64; 3]; 3], z: f64, longest: f64) -> bool {
    let grid = &columns.grid;
    let middle = [0, 1].map(|axis: usize| corners.iter().map(|p| p[axis]).sum::<f64>() / 3.0);
    (0..2).any(|axis| {
        let Some(ends) = crossing(corners, middle, axis) else { return false };
        let beside = |end: f64, side: f64| {
            let mut at = middle;
            at[axis] += end + side * grid.cell / 2.0;
            holds(columns, grid.cell_at(at[0], at[1]), z, grid.cell / 4.0)
        };
        ends[1] - ends[0] <= grid.cell.min(longest) && beside(ends[0], -1.0) && beside(ends[1], 1.0)
    })
}

/// The runs of flats along one axis.
struct Runs {
    /// For each flat, the one before it in its run.
    before: Vec<u32>,
    /// For each flat, the first one of its run.
    head: Vec<u32>,
    /// The first flats of the runs that span freely, and the lengths of these in cells.
    free: Vec<(u32, u32)>,
}

impl Runs {
    fn new(flats: &[Underside], axis: usize, columns: &Columns, plates: &Plates) -> Runs {
        let step = columns.grid.step(axis) as u32;
        let before = linked(flats, step, columns);
        let mut head: Vec<u32> = (0..flats.len() as u32).collect();
        let mut last = vec![true; flats.len()];
        for (k, &b) in before.iter().enumerate() {
            if b != NONE {
                head[k] = head[b as usize];
                last[b as usize] = false;
            }
        }
        let mut free = Vec::new();
        for k in (0..flats.len()).filter(|&k| last[k]) {
            let ends = [flats[head[k] as usize], flats[k]]
                .map(|f| End { cell: f.cell as usize, z: columns.hit(f.hit).z });
            if spans_freely(&ends, axis, columns, plates) {
                free.push((head[k], (ends[1].cell - ends[0].cell) as u32 / step + 1));
            }
        }
        Runs { before, head, free }
    }
}

/// For each flat, the one at the same height `step` cells earlier.
///
/// That cell is the neighbour: no flat lies on the rim of the raster.
fn linked(flats: &[Underside], step: u32, columns: &Columns) -> Vec<u32> {
    let mut start = 0;
    let link = |flat: &Underside| {
        let (cell, z) = (flat.cell.wrapping_sub(step), columns.hit(flat.hit).z);
        while flats[start].cell.wrapping_add(step) < flat.cell {
            start += 1;
        }
        let mut k = start;
        while flats[k].cell == cell {
            if (columns.hit(flats[k].hit).z - z).abs() <= SAME_HEIGHT {
                return k as u32;
            }
            k += 1;
        }
        NONE
    };
    flats.iter().map(link).collect()
}

/// For each flat, the first one of its region: runs along x that touch along y.
fn regions([along_x, along_y]: &[Runs; 2]) -> Vec<u32> {
    let mut root = along_x.head.clone();
    let mut joined = [NONE; 2];
    for (k, &other) in along_y.before.iter().enumerate() {
        if other == NONE {
            continue;
        }
        let pair = [along_x.head[k], along_x.head[other as usize]];
        if pair != joined {
            joined = pair;
            let [a, b] = pair.map(|head| find(&mut root, head));
            root[a.max(b) as usize] = a.min(b);
        }
    }
    // A root is never later than what hangs on it, so one pass reaches all of them.
    for k in 0..root.len() {
        root[k] = root[root[k] as usize];
    }
    root
}

fn find(root: &mut [u32], mut k: u32) -> u32 {
    while root[k as usize] != k {
        root[k as usize] = root[root[k as usize] as usize];
        k = root[k as usize];
    }
    k
}

/// Whether a run ends on material at both ends and is short enough.
fn spans_freely(ends: &[End; 2], axis: usize, columns: &Columns, plates: &Plates) -> bool {
    holds_beside(columns, ends[0].cell, axis, false, ends[0].z)
        && holds_beside(columns, ends[1].cell, axis, true, ends[1].z)
        && plates.allow(ends, axis)
}

/// Whether the material beside a cell reaches through a height.
fn holds_beside(columns: &Columns, cell: usize, axis: usize, up: bool, z: f64) -> bool {
    columns.grid.beside(cell, axis, up).is_some_and(|beside| holds(columns, beside, z, GRIP))
}

/// Whether the material of a cell reaches through a height, and how far below it at least.
fn holds(columns: &Columns, cell: usize, z: f64, below: f64) -> bool {
    columns.spans(cell).any(|[enter, leave]| enter.z <= z - below && leave.z >= z + GRIP)
}
