//! What the steps of building a solid share: the arranged stack, and names for edges and corners
//! before they are numbered.
//!
//! A **level** is a z at which something begins or ends; a **slab** lies between two levels; the
//! **rounding zone** are the slabs from the level where the rounding starts up to the top. A **raw
//! edge** is the smallest unit of border: a piece at a level, a vertex' upright in a slab, a quarter
//! arc of the rounding, or the inset copy of an outline segment at the top.

use rustc_hash::FxHashMap;

use super::Point3;
use crate::plane::{Arrangement, Contour, MAX_CONTOURS, Piece, Point, SNAP};
use crate::stack::{Numbered, Region, StackError};

/// A raw edge's name. Its direction: as the piece runs; upwards; in the outline's sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Raw {
    /// Piece at a level.
    Flat(usize, usize),
    /// Upright at an arrangement vertex through a slab.
    Upright(usize, usize),
    /// Quarter arc of the rounding, at an arrangement vertex.
    Quarter(usize),
    /// Inset copy of an outline segment, at the top.
    Crest(usize),
}

/// A vertex of the solid before numbering.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Corner {
    /// An arrangement vertex at a level.
    Level(usize, usize),
    /// An inset vertex at the top (see [`Crest::corners`]).
    Crest(usize),
}

/// A raw edge in a face's border, and whether it is taken in its own direction.
pub(super) type Side = (Raw, bool);

/// The rounding, worked out.
pub(super) struct Crest {
    /// The rounded contour's index.
    pub contour: usize,
    /// Radius, mm.
    pub radius: f64,
    /// The level at which it starts.
    pub level: usize,
    /// For each outline segment, its inset copy; `None` where the arc shrinks to a point.
    pub copies: Vec<Option<crate::plane::Segment>>,
    /// Inset places of the outline's own vertices, without repeats.
    pub corners: Vec<Point>,
    /// For each outline segment, index into `corners` of the inset of its start.
    pub corner_at_start: Vec<usize>,
}

/// Everything that the steps share.
pub(super) struct Plan<'a> {
    pub stack: &'a Numbered,
    pub arrangement: Arrangement,
    pub levels: Vec<f64>,
    pub regions: Vec<Region>,
    pub crest: Option<Crest>,
    /// The outline piece's segment index in the rounded contour, by piece.
    pub outline_segment: FxHashMap<usize, usize>,
}

/// A face before its raw edges are joined.
pub(super) struct RawFace {
    pub surface: super::Surface,
    pub sides: Vec<Side>,
}

impl<'a> Plan<'a> {
    /// Arranges a stack's contours; the rounding is still to be worked out.
    pub fn new(stack: &'a Numbered) -> Result<Self, StackError> {
        let have = stack.features.len();
        if have > MAX_CONTOURS {
            return Err(StackError::TooManyContours { have, max: MAX_CONTOURS });
        }
        for (i, f) in stack.features.iter().enumerate() {
            let area = f.contour.area();
            let sound = area.is_finite() && area > SNAP && f.top.is_finite() && f.top - f.bottom > SNAP;
            if !sound {
                return Err(StackError::Empty { feature: i });
            }
        }
        let contours: Vec<Contour> = stack.features.iter().map(|f| f.contour.clone()).collect();
        let arrangement = Arrangement::new(&contours);
        let levels = stack.levels();
        let regions = levels.windows(2).map(|w| stack.region(w[0], w[1])).collect();
        Ok(Self { stack, arrangement, levels, regions, crest: None, outline_segment: FxHashMap::default() })
    }

    /// Is the side of a piece material in a slab? (Slab indices outside the stack are air.)
    pub fn is_material(&self, slab: Option<usize>, place: crate::plane::Membership) -> bool {
        slab.and_then(|s| self.regions.get(s)).is_some_and(|r| r.holds(place))
    }

    /// Material on exactly one side of a piece in a slab: `Some(true)` when it is on the left.
    pub fn wall_side(&self, piece: &Piece, slab: usize) -> Option<bool> {
        let left = self.is_material(Some(slab), piece.left);
        let right = self.is_material(Some(slab), piece.right);
        (left != right).then_some(left)
    }

    /// True for a piece of the rounded outline in a slab of the rounding zone.
    pub fn is_rounded(&self, piece: usize, slab: usize) -> bool {
        self.crest.as_ref().is_some_and(|c| slab >= c.level) && self.outline_segment.contains_key(&piece)
    }

    /// The features whose contours pass through an arrangement vertex.
    pub fn features_at(&self, vertex: usize) -> Vec<usize> {
        let touches = |segments: &Vec<Vec<(usize, bool)>>| {
            segments.iter().flatten().any(|&(p, _)| {
                let piece = &self.arrangement.pieces[p];
                piece.from == vertex || piece.to == vertex
            })
        };
        let along = self.arrangement.along.iter().enumerate();
        along.filter(|(_, segments)| touches(segments)).map(|(i, _)| i).collect()
    }

    /// A corner's place in space.
    pub fn place(&self, corner: Corner) -> Point3 {
        let top = self.levels.len() - 1;
        let (p, z) = match (corner, &self.crest) {
            (Corner::Level(v, l), _) => (self.arrangement.vertices[v], self.levels[l]),
            (Corner::Crest(c), Some(crest)) => (crest.corners[c], self.levels[top]),
            (Corner::Crest(_), None) => (Point::origin(), self.levels[top]),
        };
        Point3::new(p.x, p.y, z)
    }
}
