//! What the columns found, weighed with the exact areas of the triangles.

use super::bridges;
use super::columns::{Columns, Hit};
use super::surface::{GROUPS, Lie, Sum, Surface, corners, parts};
use super::undersides::Undersides;
use super::{Shape, Supported, Touch};

/// The steepest floor that support is taken to stand on: vertical part of its normal. On a steeper
/// one a single sample would stand for an area without bounds.
const STEEPEST_FLOOR: f64 = 0.01;

/// Areas below this are rounding, mm².
const NO_AREA: f64 = 1e-9;

/// What the columns found of one group.
#[derive(Clone, Copy, Debug, Default)]
struct Count {
    /// All columns that met it, and among them those where nothing holds it and where it spans.
    all: u32,
    open: u32,
    bridged: u32,
    /// Sum of the heights in all columns, mm.
    heights: f64,
    /// Sum of the gaps below it where nothing holds it, mm.
    gaps: f64,
}

/// Sums up what is known of a part.
pub(super) struct Account<'a> {
    surface: &'a Surface,
    counts: Vec<Count>,
    /// Area on which support stands, by place of the face, mm².
    standing: Vec<f64>,
    result: Supported,
}

impl<'a> Account<'a> {
    pub(super) fn new(surface: &'a Surface) -> Account<'a> {
        Account {
            surface,
            counts: vec![Count::default(); surface.sums.len()],
            standing: vec![0.0; surface.faces.len()],
            result: Supported { height: surface.height, ..Supported::default() },
        }
    }

    /// Takes in what the columns found.
    pub(super) fn count(&mut self, undersides: &Undersides, columns: &Columns) {
        let all = || undersides.slopes.iter().chain(&undersides.flats);
        for underside in all() {
            let hit = columns.hit(underside.hit);
            let count = self.add(hit);
            if underside.bridged {
                count.bridged += 1;
            } else {
                let floor = columns.floor(underside.cell, underside.hit);
                count.open += 1;
                count.gaps += hit.z - floor.map_or(0.0, |floor| floor.z);
            }
        }
        for hit in &undersides.inside {
            self.add(hit);
        }
        for underside in all().filter(|u| !u.bridged) {
            if let Some(floor) = columns.floor(underside.cell, underside.hit) {
                self.stand(columns.hit(underside.hit), floor.triangle);
            }
        }
    }

    /// Adds a hit to the count of its group.
    fn add(&mut self, hit: &Hit) -> &mut Count {
        let count = &mut self.counts[group(self.surface, hit)];
        count.all += 1;
        count.heights += hit.z;
        count
    }

    /// Puts the support under a hit on the part.
    fn stand(&mut self, hit: &Hit, floor: u32) {
        let group = group(self.surface, hit);
        if is_above(group) {
            let level = self.surface.sums[group].level / f64::from(self.counts[group].all);
            self.stand_on(floor, level);
        }
    }

    /// Puts support on a triangle, over an area seen from above.
    fn stand_on(&mut self, floor: u32, level: f64) {
        let facet = self.surface.facets[floor as usize];
        self.standing[facet.face as usize] += level / facet.up.max(STEEPEST_FLOOR);
    }

    /// Looks below the middle of each triangle of the groups that no column met: strips narrower
    /// than a cell.
    pub(super) fn look_below_missed(&mut self, shape: &Shape, columns: &Columns, longest: f64) {
        let missed = |i: usize| self.counts[i].all == 0 && self.surface.sums[i].area > NO_AREA;
        let missed: Vec<bool> = (0..self.counts.len()).map(missed).collect();
        if !missed.contains(&true) {
            return;
        }
        for (facet, triangle) in self.surface.facets.iter().zip(shape.triangles) {
            if !matches!(facet.lie, Lie::Slope | Lie::Flat) {
                continue;
            }
            let Some(corners) = corners(shape, triangle) else { continue };
            for part in parts(corners.map(|p| p[2]), self.surface.droop_below) {
                let group = self.surface.group(facet, part.height);
                if !missed[group] || part.share <= 0.0 {
                    continue;
                }
                let middle = |axis: usize| corners.iter().map(|p| p[axis]).sum::<f64>() / 3.0;
                let cell = columns.grid.cell_at(middle(0), middle(1));
                let area = facet.area * part.share;
                if facet.lie == Lie::Flat && bridges::is_pinched(columns, corners, part.height, longest) {
                    self.result.bridged += area;
                } else if is_above(group) {
                    self.hold_over(columns, cell, part.height, facet.face, [area, -area * facet.up]);
                } else {
                    self.droop(facet.face, area);
                }
            }
        }
    }

    /// Holds a piece of surface over what lies below it in one column. `area` is that of the piece
    /// and what is seen of it from above.
    fn hold_over(&mut self, columns: &Columns, cell: usize, z: f64, face: u32, area: [f64; 2]) {
        let below = columns.spans(cell).map(|[_, top]| top).take_while(|top| top.z < z).last();
        self.result.volume += area[1] * (z - below.map_or(0.0, |top| top.z));
        if let Some(top) = below {
            self.stand_on(top.triangle, area[1]);
        }
        self.support(face, area[0]);
    }

    /// The result: groups that columns met, in shares of their exact areas.
    pub(super) fn settle(mut self) -> Supported {
        for group in 0..self.counts.len() {
            let (count, sum) = (self.counts[group], self.surface.sums[group]);
            if count.all == 0 {
                continue;
            }
            let all = f64::from(count.all);
            let (open, bridged) = (f64::from(count.open) / all, f64::from(count.bridged) / all);
            let face = (group / GROUPS) as u32;
            self.result.bridged += sum.area * bridged;
            if is_above(group) {
                self.support(face, sum.area * open);
                self.result.volume += volume(&count, &sum);
            } else {
                self.droop(face, sum.area * open);
            }
        }
        for (face, &area) in self.surface.bed.iter().enumerate() {
            self.result.contact += area;
            self.result.touched.push((face as u32, Touch::Bed, area));
        }
        let standing = self.standing.iter().enumerate();
        self.result.touched.extend(standing.map(|(face, &area)| (face as u32, Touch::Standing, area)));
        self.result.touched = merged(self.result.touched, &self.surface.faces);
        self.result
    }

    fn support(&mut self, face: u32, area: f64) {
        self.result.area += area;
        self.result.touched.push((face, Touch::Support, area));
    }

    fn droop(&mut self, face: u32, area: f64) {
        self.result.drooping += area;
        self.result.touched.push((face, Touch::Droop, area));
    }
}

/// The group of a hit on an overhanging triangle.
fn group(surface: &Surface, hit: &Hit) -> usize {
    surface.group(&surface.facets[hit.triangle as usize], hit.z)
}

/// Whether a group lies high enough for support.
fn is_above(group: usize) -> bool {
    group % 2 == 1
}

/// Space below the open share of a group, mm³.
///
/// The columns give the mean gap. Their mean height misses the true one by up to half a cell of
/// slope, which is known exactly and put right; what is left is the error of the floor's height.
fn volume(count: &Count, sum: &Sum) -> f64 {
    let all = f64::from(count.all);
    let gaps = sum.level * count.gaps / all;
    let too_low = sum.moment - sum.level * count.heights / all;
    (gaps + too_low * f64::from(count.open) / all).max(0.0)
}

/// One entry for each face and kind of touch, with the faces' own numbers.
fn merged(mut touched: Vec<(u32, Touch, f64)>, faces: &[u32]) -> Vec<(u32, Touch, f64)> {
    touched.sort_by_key(|&(face, touch, _)| (face, touch));
    touched.dedup_by(|next, kept| {
        let same = (next.0, next.1) == (kept.0, kept.1);
        if same {
            kept.2 += next.2;
        }
        same
    });
    touched.retain(|&(_, _, area)| area > NO_AREA);
    for entry in &mut touched {
        entry.0 = faces[entry.0 as usize];
    }
    touched
}
