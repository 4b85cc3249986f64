//! Horizontal faces: wherever material begins or ends from one slab to the next.

use super::plan::{Plan, Raw, RawFace, Side};
use super::{Point3, Surface, Vector3};
use crate::plane::Membership;
use crate::stack::StackError;

/// Which way a horizontal face looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Facing {
    Up,
    Down,
}

/// All horizontal faces. Each raw face holds *all* borders that look the same way at one level;
/// `join` sorts them into faces with their holes.
pub(super) fn faces(plan: &Plan) -> Result<Vec<RawFace>, StackError> {
    let mut faces = Vec::new();
    for level in 0..plan.levels.len() {
        refuse_crossed_edges(plan, level)?;
        for facing in [Facing::Up, Facing::Down] {
            let sides = sides(plan, level, facing);
            if !sides.is_empty() {
                faces.push(RawFace { surface: surface(plan, level, facing), sides });
            }
        }
    }
    Ok(faces)
}

/// What a place is at a level: the end of material, its beginning, or neither.
fn facing_at(plan: &Plan, level: usize, place: Membership) -> Option<Facing> {
    let below = plan.is_material(level.checked_sub(1), place);
    let above = plan.is_material(Some(level), place);
    match (below, above) {
        (true, false) => Some(Facing::Up),
        (false, true) => Some(Facing::Down),
        _ => None,
    }
}

/// The borders of the area that looks this way, in the sense of a face.
fn sides(plan: &Plan, level: usize, facing: Facing) -> Vec<Side> {
    let mut sides = Vec::new();
    for (i, piece) in plan.arrangement.pieces.iter().enumerate() {
        let left = facing_at(plan, level, piece.left) == Some(facing);
        let right = facing_at(plan, level, piece.right) == Some(facing);
        if left != right {
            // Seen from above the area lies to the left of travel; from below to the right.
            sides.push((i, left == (facing == Facing::Up)));
        }
    }
    let top = plan.levels.len() - 1;
    match &plan.crest {
        Some(crest) if level == top && facing == Facing::Up => {
            let flat = sides.iter().filter(|(i, _)| !plan.outline_segment.contains_key(i));
            let flat = flat.map(|&(i, forward)| (Raw::Flat(i, level), forward));
            // The outline runs counter-clockwise: its crest bounds the top from outside.
            let present = crest.copies.iter().enumerate().filter(|(_, copy)| copy.is_some());
            flat.chain(present.map(|(s, _)| (Raw::Crest(s), true))).collect()
        }
        _ => sides.into_iter().map(|(i, forward)| (Raw::Flat(i, level), forward)).collect(),
    }
}

fn surface(plan: &Plan, level: usize, facing: Facing) -> Surface {
    let normal = match facing {
        Facing::Up => Vector3::z(),
        Facing::Down => -Vector3::z(),
    };
    Surface::Plane { origin: Point3::new(0.0, 0.0, plan.levels[level]), normal }
}

/// Material left of a piece below a level and right of it above: two bodies that share no more
/// than an edge.
fn refuse_crossed_edges(plan: &Plan, level: usize) -> Result<(), StackError> {
    for piece in &plan.arrangement.pieces {
        let (left, right) = (facing_at(plan, level, piece.left), facing_at(plan, level, piece.right));
        if matches!((left, right), (Some(a), Some(b)) if a != b) {
            return Err(StackError::Touching { features: plan.features_at(piece.from) });
        }
    }
    Ok(())
}
