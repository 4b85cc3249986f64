//! From a stack to a solid.
//!
//! Steps (their words are explained in `plan`):
//! 1. arrange all contours; a slab's region is a predicate on the pieces' memberships;
//! 2. a wall cell for each (piece, slab) that is a border of the slab's region (`walls`);
//! 3. horizontal faces where the region changes from slab to slab (`levels`);
//! 4. bands in place of walls where the rounding runs (`bands`);
//! 5. dissolve raw edges between cells on the same carrier, join the rest into edges and borders
//!    (`join`);
//! 6. check and measure (`invariants`, `measure`).

use super::plan::Plan;
use super::{Solid, bands, invariants, join, levels, measure, walls};
use crate::plane::SNAP;
use crate::stack::{Numbered, Stack, StackError};

/// Builds the solid of a stack, or says why there is none.
///
/// The result is checked: one closed, oriented shell, its volume equal to the sum of its slabs.
pub fn build<R>(stack: &Stack<R>) -> Result<Solid, StackError> {
    build_numbered(&stack.numbered(|_| 0))
}

fn build_numbered(stack: &Numbered) -> Result<Solid, StackError> {
    let mut plan = Plan::new(stack)?;
    if let Some(rounding) = stack.rounding.filter(|r| r.radius > SNAP) {
        bands::prepare(&mut plan, rounding)?;
    }
    let cells = walls::cells(&plan);
    let mut faces = walls::faces(&plan, &cells)?;
    faces.extend(levels::faces(&plan)?);
    faces.extend(bands::faces(&plan));
    if faces.is_empty() {
        return Err(StackError::Nothing);
    }
    let mut solid = join::join(&plan, faces)?;
    invariants::check_shell(&mut solid)?;
    measure::measure(&mut solid);
    invariants::check_volume(&solid, measure::volume_of_slabs(&plan))?;
    Ok(solid)
}
