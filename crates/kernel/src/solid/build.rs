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
///
/// An error names the features involved by their place in the stack. [`StackError::Unsound`] alone is no fault of
/// the stack.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Rounding, Stack, StackError, solid};
/// # use std::f64::consts::PI;
/// let mut plate = Stack::default();
/// let feature = plate.add((), Contour::rounded_rectangle(Point::origin(), 40.0, 20.0, 3.0), 0.0, 5.0);
/// // In mm³ and mm²: what four corners leave of 40 · 20, and 120 - 24 + 6 π of wall.
/// let (flat, round) = (800.0 - (4.0 - PI) * 9.0, 96.0 + 6.0 * PI);
/// let solid = solid::build(&plate)?;
/// assert!((solid.volume - 5.0 * flat).abs() < 1e-9 && (solid.area - (2.0 * flat + 5.0 * round)).abs() < 1e-9);
/// // Rounded by more than its corners' radius, its top can't be.
/// plate.rounding = Some(Rounding { feature, radius: 4.0 });
/// let Err(StackError::RoundingOverCorner { corner }) = solid::build(&plate) else { panic!() };
/// assert!((corner - 3.0).abs() < 1e-9);
/// # Ok::<(), StackError>(())
/// ```
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
