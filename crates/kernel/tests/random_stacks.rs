//! Laws that hold for every stack: it builds into one sound solid with a sound mesh, or it is
//! refused; and turning or mirroring it changes nothing.

#![allow(clippy::disallowed_methods, reason = "what is expected may differ in its last bit")]

mod common;

use bobbinwright_kernel::mesh::mesh;
use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_kernel::solid::build;
use bobbinwright_kernel::{Kind, Rounding, StackError};
use common::{Role, Stack, chord_errors};
use proptest::prelude::*;

/// Sizes on a coarse grid, so that equal and touching ones come up often.
fn grid(low: i32, high: i32) -> impl Strategy<Value = f64> {
    (low..=high).prop_map(|n| f64::from(n) * 0.5)
}

prop_compose! {
    fn feature()(
        round in any::<bool>(), add in prop::bool::weighted(0.25),
        x in grid(-60, 60), y in grid(-30, 30), l in grid(2, 60), w in grid(2, 30),
        r in grid(0, 12), z in grid(0, 16), h in grid(1, 16),
    ) -> (Kind, Contour, f64, f64) {
        let center = Point::new(x, y);
        let contour = if round {
            Contour::circle(center, w / 4.0)
        } else {
            Contour::rounded_rectangle(center, l, w, r.min(l / 2.0).min(w / 2.0))
        };
        (if add { Kind::Add } else { Kind::Cut }, contour, z, z + h)
    }
}

prop_compose! {
    fn stack()(
        l in grid(20, 120), w in grid(16, 60), corner in grid(0, 16), rounding in grid(0, 12),
        features in prop::collection::vec(feature(), 0..6),
    ) -> Stack {
        let mut stack = Stack::default();
        let corner = corner.min(l / 2.0).min(w / 2.0);
        let outline = Contour::rounded_rectangle(Point::origin(), l, w, corner);
        let body = stack.add(Role::Outline, outline, 0.0, 8.0);
        for (kind, contour, bottom, top) in features {
            match kind {
                Kind::Add => stack.add(Role::Boss, contour, bottom, top.min(8.0).max(bottom + 0.5)),
                Kind::Cut => stack.cut(Role::Hollow, contour, bottom, top),
            };
        }
        if rounding > 0.0 {
            stack.rounding = Some(Rounding { feature: body, radius: rounding });
        }
        stack
    }
}

/// Bass and treble exchanged.
fn mirrored(stack: &Stack) -> Stack {
    let mut other = stack.clone();
    for f in &mut other.features {
        f.contour = f.contour.mirrored_x();
    }
    other
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_stack_builds_soundly_or_is_refused(stack in stack()) {
        match build(&stack) {
            // `build` checks shell, fans and volume by two ways; a mesh checks itself.
            Ok(solid) => {
                let mesh = mesh(&solid, 0.02).map_err(|e| TestCaseError::fail(e.to_string()))?;
                let errors = chord_errors(&solid, &mesh);
                prop_assert!(errors.iter().all(|e| *e <= 0.02 + 1e-9), "{errors:?}");
                prop_assert!((mesh.volume() - solid.volume).abs() <= 0.02 * solid.area);
            }
            Err(StackError::Unsound(why)) => prop_assert!(false, "unsound: {why}"),
            Err(_) => {}
        }
    }

    #[test]
    fn a_mirrored_stack_has_the_same_measures(stack in stack()) {
        match (build(&stack), build(&mirrored(&stack))) {
            (Ok(a), Ok(b)) => {
                prop_assert!((a.volume - b.volume).abs() < 1e-9 * a.volume);
                prop_assert!((a.area - b.area).abs() < 1e-9 * a.area);
                prop_assert_eq!(a.through_holes, b.through_holes);
                prop_assert_eq!(a.faces.len(), b.faces.len());
            }
            (Err(_), Err(_)) => {}
            (a, b) => prop_assert!(false, "{:?} but mirrored {:?}", a.map(|s| s.volume), b.map(|s| s.volume)),
        }
    }
}
