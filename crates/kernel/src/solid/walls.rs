//! Vertical walls: one cell for each piece and slab, dissolved into whole faces.

use rustc_hash::{FxHashMap, FxHashSet};

use super::plan::{Plan, Raw, RawFace, Side};
use super::{Point3, Surface, Vector3};
use crate::plane::left_of;
use crate::stack::StackError;

/// A wall cell: a piece through one slab, and on which side the material lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Cell {
    pub piece: usize,
    pub slab: usize,
    pub left: bool,
}

/// All wall cells, piece by piece from the bottom up.
pub(super) fn cells(plan: &Plan) -> Vec<Cell> {
    let mut cells = Vec::new();
    for (i, piece) in plan.arrangement.pieces.iter().enumerate() {
        for slab in 0..plan.regions.len() {
            if plan.is_rounded(i, slab) {
                continue;
            }
            if let Some(left) = plan.wall_side(piece, slab) {
                cells.push(Cell { piece: i, slab, left });
            }
        }
    }
    cells
}

/// Wall faces: cells on the same carrier joined wherever they share a raw edge.
pub(super) fn faces(plan: &Plan, cells: &[Cell]) -> Result<Vec<RawFace>, StackError> {
    let mut groups = Groups::new(cells.len());
    let mut dissolved: FxHashSet<Raw> = FxHashSet::default();
    for (edge, users) in sides_in_order(plan, cells) {
        if let Raw::Upright(vertex, _) = edge
            && users.len() > 2
        {
            return Err(StackError::Touching { features: plan.features_at(vertex) });
        }
        if let [(a, from), (b, to)] = users[..]
            && from != to
            && plan.arrangement.pieces[cells[a].piece].carrier
                == plan.arrangement.pieces[cells[b].piece].carrier
        {
            groups.unite(a, b);
            dissolved.insert(edge);
        }
    }
    let mut faces: Vec<(usize, RawFace)> = Vec::new();
    for (i, cell) in cells.iter().enumerate() {
        let group = groups.find(i);
        let at = faces.iter().position(|f| f.0 == group).unwrap_or_else(|| {
            faces.push((group, RawFace { surface: surface(plan, *cell), sides: Vec::new() }));
            faces.len() - 1
        });
        let open = sides(plan, *cell).into_iter().filter(|s| !dissolved.contains(&s.0));
        faces[at].1.sides.extend(open);
    }
    Ok(faces.into_iter().map(|f| f.1).collect())
}

/// A raw edge and the cells that use it, each with the direction of its use.
type Shared = (Raw, Vec<(usize, bool)>);

/// Every raw edge of the cells with its users, in the order of first use.
fn sides_in_order(plan: &Plan, cells: &[Cell]) -> Vec<Shared> {
    let mut order: Vec<Shared> = Vec::with_capacity(cells.len() * 3);
    let mut index: FxHashMap<Raw, usize> =
        FxHashMap::with_capacity_and_hasher(cells.len() * 3, rustc_hash::FxBuildHasher);
    for (i, cell) in cells.iter().enumerate() {
        for (raw, forward) in sides(plan, *cell) {
            let at = *index.entry(raw).or_insert_with(|| {
                order.push((raw, Vec::with_capacity(2)));
                order.len() - 1
            });
            order[at].1.push((i, forward));
        }
    }
    order
}

/// The border of a cell, counter-clockwise seen from outside: with the outward normal to the
/// right of travel, the lower side runs forward and the right-hand upright goes up.
fn sides(plan: &Plan, cell: Cell) -> [Side; 4] {
    let piece = &plan.arrangement.pieces[cell.piece];
    let (lower, upper) = (Raw::Flat(cell.piece, cell.slab), Raw::Flat(cell.piece, cell.slab + 1));
    let (start, end) = (Raw::Upright(piece.from, cell.slab), Raw::Upright(piece.to, cell.slab));
    if cell.left {
        [(lower, true), (end, true), (upper, false), (start, false)]
    } else {
        [(lower, false), (start, true), (upper, true), (end, false)]
    }
}

fn surface(plan: &Plan, cell: Cell) -> Surface {
    let segment = &plan.arrangement.pieces[cell.piece].segment;
    let z = plan.levels[cell.slab];
    match segment.bend {
        None => {
            let right = -left_of((segment.to - segment.from).normalize());
            let out = if cell.left { right } else { -right };
            Surface::Plane {
                origin: Point3::new(segment.from.x, segment.from.y, z),
                normal: Vector3::new(out.x, out.y, 0.0),
            }
        }
        // Pieces run counter-clockwise, so material on the left is material round the axis.
        Some(b) => Surface::Cylinder {
            origin: Point3::new(b.center.x, b.center.y, z),
            axis: Vector3::z(),
            radius: b.radius,
            convex: cell.left,
        },
    }
}

/// Disjoint sets of cells.
struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    fn new(n: usize) -> Self {
        Self { parent: (0..n).collect() }
    }

    fn find(&mut self, i: usize) -> usize {
        let mut root = i;
        while self.parent[root] != root {
            root = self.parent[root];
        }
        self.parent[i] = root;
        root
    }

    fn unite(&mut self, a: usize, b: usize) {
        let (a, b) = (self.find(a), self.find(b));
        // The smaller index stays the root, so groups are numbered by their first cell.
        self.parent[a.max(b)] = a.min(b);
    }
}
