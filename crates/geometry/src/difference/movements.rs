//! How far surfaces moved that two versions of a part both have.

use super::Movement;
use crate::plane::{SNAP, furthest};
use crate::stack::{Role, Stack};

/// Features of the same role are compared in order.
pub(super) fn movements(a: &Stack, b: &Stack) -> (Vec<Movement>, Vec<Role>, Vec<Role>) {
    let mut roles: Vec<Role> = a.features.iter().chain(&b.features).map(|f| f.role).collect();
    roles.sort_unstable();
    roles.dedup();
    let (mut moved, mut gone, mut new) = (Vec::new(), Vec::new(), Vec::new());
    for role in roles {
        let (was, now): (Vec<_>, Vec<_>) = (a.with_role(role).collect(), b.with_role(role).collect());
        gone.extend(was.iter().skip(now.len()).map(|_| role));
        new.extend(now.iter().skip(was.len()).map(|_| role));
        for (f, g) in was.iter().zip(&now) {
            let ((out, at), (back, _)) = (furthest(&f.contour, &g.contour), furthest(&g.contour, &f.contour));
            let level = (f.bottom - g.bottom).abs().max((f.top - g.top).abs());
            let distance = out.max(back).hypot(level);
            if distance > SNAP {
                moved.push(Movement { role, distance, at });
            }
        }
    }
    if let Some(change) = rounding_moved(a, b) {
        moved.push(change);
    }
    moved.sort_by(|x, y| y.distance.total_cmp(&x.distance));
    (moved, gone, new)
}

/// A quarter-round of another radius: its middle lies (√2 - 1) times the difference further in.
fn rounding_moved(a: &Stack, b: &Stack) -> Option<Movement> {
    let radius = |s: &Stack| s.rounding.map_or(0.0, |r| r.radius);
    let distance = (radius(a) - radius(b)).abs() * (2f64.sqrt() - 1.0);
    let feature = a.rounding.or(b.rounding)?.feature;
    let outline = a.features.get(feature).or(b.features.get(feature))?;
    let at = outline.contour.segments().first()?.from;
    (distance > SNAP).then_some(Movement { role: outline.role, distance, at })
}
