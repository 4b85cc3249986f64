//! How each triangle lies, and the exact sums over those that overhang.

use super::{DROOP_LAYERS, Limits, SAME_HEIGHT, Shape};
use bobbinwright_elementary::Elementary;

/// A sine may exceed its limit by this much: a wall drawn at exactly the limit holds.
const SINE_SLACK: f64 = 1e-6;

/// An underside whose normal points down by more than this cosine is flat.
const FLAT: f64 = 0.999;

/// A corner further from the origin than this is a mistake, mm.
const FAR: f64 = 1e6;

/// What becomes of a triangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lie {
    /// Not usable: left out everywhere.
    Unusable,
    /// Holds itself.
    Held,
    /// Lies on the bed.
    Bed,
    /// Overhangs, and is too steep to span.
    Slope,
    /// Overhangs as a flat underside.
    Flat,
}

/// One triangle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facet {
    pub(super) lie: Lie,
    /// Place of its face in [`Surface::faces`].
    pub(super) face: u32,
    /// Vertical part of its unit normal.
    pub(super) up: f64,
    /// mm².
    pub(super) area: f64,
}

/// A part's triangles, and what they sum up to by group.
#[derive(Debug)]
pub(super) struct Surface {
    pub(super) facets: Vec<Facet>,
    /// Numbers of the faces, sorted.
    pub(super) faces: Vec<u32>,
    /// Exact sums by [`Surface::group`].
    pub(super) sums: Vec<Sum>,
    /// Lowest and highest x and y of the triangles that overhang, mm.
    pub(super) overhanging: Option<[[f64; 2]; 2]>,
    /// Area on the bed by place of the face, mm².
    pub(super) bed: Vec<f64>,
    /// Below this height nothing fits under the surface, mm.
    pub(super) droop_below: f64,
    /// Highest point, mm.
    pub(super) height: f64,
}

/// Exact sums over a group: the slopes, or the flat undersides, of one face on one side of
/// [`Surface::droop_below`].
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sum {
    /// mm² of surface.
    pub(super) area: f64,
    /// mm² seen from above.
    pub(super) level: f64,
    /// Volume between the surface and the bed, mm³.
    pub(super) moment: f64,
}

/// Groups of one face: slopes and flat undersides, each near to the bed and above.
pub(super) const GROUPS: usize = 4;

impl Surface {
    pub(super) fn new(shape: &Shape, limits: &Limits) -> Surface {
        let mut faces: Vec<u32> = shape.faces.iter().take(shape.triangles.len()).copied().collect();
        if faces.len() < shape.triangles.len() {
            faces.push(0);
        }
        faces.sort_unstable();
        faces.dedup();
        // Three layers drawn as 0.6 mm may be a rounding error less than three times 0.2 mm.
        let droop_below = (DROOP_LAYERS * limits.layer - SAME_HEIGHT).max(0.0);
        let mut surface = Surface {
            facets: Vec::with_capacity(shape.triangles.len()),
            sums: vec![Sum::default(); faces.len() * GROUPS],
            bed: vec![0.0; faces.len()],
            faces,
            overhanging: None,
            droop_below,
            height: 0.0,
        };
        let steepest = limits.overhang.sine() + SINE_SLACK;
        let mut face = (0, 0);
        for (i, triangle) in shape.triangles.iter().enumerate() {
            let number = shape.faces.get(i).copied().unwrap_or(0);
            if i == 0 || number != face.0 {
                face = (number, surface.faces.partition_point(|&f| f < number) as u32);
            }
            surface.add(corners(shape, triangle), face.1, steepest);
        }
        surface
    }

    fn add(&mut self, corners: Option<[[f64; 3]; 3]>, face: u32, steepest: f64) {
        let Some(corners) = corners else {
            self.facets.push(Facet { lie: Lie::Unusable, face, up: 0.0, area: 0.0 });
            return;
        };
        let z = corners.map(|p| p[2]);
        self.height = z.into_iter().fold(self.height, f64::max);
        let (area, up) = area_and_up(corners);
        let on_bed = z.iter().all(|z| z.abs() <= SAME_HEIGHT);
        let lie = match () {
            () if on_bed && up < 0.0 => Lie::Bed,
            () if -up <= steepest || steepest.is_nan() => Lie::Held,
            () if -up > FLAT => Lie::Flat,
            () => Lie::Slope,
        };
        let facet = Facet { lie, face, up, area };
        match lie {
            Lie::Bed => self.bed[face as usize] += area,
            Lie::Slope | Lie::Flat => self.sum_up(&facet, corners),
            Lie::Held | Lie::Unusable => {}
        }
        self.facets.push(facet);
    }

    /// Adds an overhanging triangle to the sums of its groups.
    fn sum_up(&mut self, facet: &Facet, corners: [[f64; 3]; 3]) {
        for part in parts(corners.map(|p| p[2]), self.droop_below) {
            let group = self.group(facet, part.height);
            let sum = &mut self.sums[group];
            sum.area += facet.area * part.share;
            sum.level -= facet.area * part.share * facet.up;
            sum.moment -= facet.area * part.share * facet.up * part.height;
        }
        let [mut low, mut high] = self.overhanging.unwrap_or([[f64::INFINITY; 2], [-f64::INFINITY; 2]]);
        for p in corners {
            for axis in 0..2 {
                low[axis] = low[axis].min(p[axis]);
                high[axis] = high[axis].max(p[axis]);
            }
        }
        self.overhanging = Some([low, high]);
    }

    /// The group of a point of an overhanging triangle at some height.
    pub(super) fn group(&self, facet: &Facet, height: f64) -> usize {
        facet.face as usize * GROUPS
            + 2 * usize::from(facet.lie == Lie::Flat)
            + usize::from(height >= self.droop_below)
    }
}

/// The corners of a triangle, unless one of them is missing, not a number, or far away.
pub(super) fn corners(shape: &Shape, triangle: &[u32; 3]) -> Option<[[f64; 3]; 3]> {
    let point = |i: u32| shape.points.get(i as usize).copied();
    let corners = [point(triangle[0])?, point(triangle[1])?, point(triangle[2])?];
    corners.iter().flatten().all(|v| v.abs() < FAR).then_some(corners)
}

/// Area in mm², and the vertical part of the unit normal: 0 for a triangle without area.
fn area_and_up([a, b, c]: [[f64; 3]; 3]) -> (f64, f64) {
    let (u, v) = (difference(b, a), difference(c, a));
    let x = u[1] * v[2] - u[2] * v[1];
    let y = u[2] * v[0] - u[0] * v[2];
    let z = u[0] * v[1] - u[1] * v[0];
    let twice = (x * x + y * y + z * z).sqrt();
    if twice > 0.0 { (twice / 2.0, z / twice) } else { (0.0, 0.0) }
}

fn difference(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

/// A piece of a triangle on one side of a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Part {
    /// Share of the triangle's area.
    pub(super) share: f64,
    /// Height of its centre, mm.
    pub(super) height: f64,
}

/// The pieces of a triangle below and above a level, from the heights of its corners. A piece that
/// does not exist has no share, and the height of the other.
///
/// The level cuts off a triangle that is similar to the whole along two edges, on the side of the
/// corner that lies alone.
pub(super) fn parts(mut z: [f64; 3], level: f64) -> [Part; 2] {
    z.sort_unstable_by(f64::total_cmp);
    let [low, middle, high] = z;
    let centre = (low + middle + high) / 3.0;
    let whole = Part { share: 1.0, height: centre };
    let none = Part { share: 0.0, height: centre };
    if level <= low {
        return [none, whole];
    }
    if level >= high {
        return [whole, none];
    }
    let rest = |tip: Part| {
        let share = 1.0 - tip.share;
        let height = if share > 0.0 { (centre - tip.share * tip.height) / share } else { level };
        Part { share, height }
    };
    if level <= middle {
        let share = (level - low).power(2) / ((middle - low) * (high - low));
        let tip = Part { share, height: (low + 2.0 * level) / 3.0 };
        [tip, Part { height: rest(tip).height.max(level), ..rest(tip) }]
    } else {
        let share = (high - level).power(2) / ((high - low) * (high - middle));
        let tip = Part { share, height: (high + 2.0 * level) / 3.0 };
        [rest(tip), tip]
    }
}
