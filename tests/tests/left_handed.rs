//! An instrument for the left hand: everything that readings say of bass and treble is mirrored, and nothing
//! else.

use bobbinwright_export::{Prepared, drawing};
use bobbinwright_geometry::parts::PositionParts;
use bobbinwright_geometry::{Stack, difference};
use bobbinwright_spec::{Family, Handed};
use bobbinwright_tests::{FITTING, demo};

fn prepared(name: &str, handed: Handed) -> Prepared {
    let mut family: Family = demo(name);
    for position in &mut family.positions {
        position.handed = handed;
    }
    Prepared::new(family).unwrap_or_else(|e| panic!("{e}"))
}

/// The stack as a mirror shows it: x is turned round, heights stay.
fn mirrored(stack: &Stack) -> Stack {
    let mut other = stack.clone();
    for feature in &mut other.features {
        feature.contour = feature.contour.mirrored_x();
    }
    other
}

fn stacks(built: &[PositionParts]) -> impl Iterator<Item = &Stack> {
    built.iter().flat_map(|p| p.parts.iter().map(|part| &part.stack))
}

/// Every part of a left-handed twin is the right-handed one's mirror image, bass mark and all, and nothing in
/// between: something is different in each family (its strings do not lie evenly to both sides).
#[test]
fn parts_of_a_left_handed_twin_are_mirror_images() {
    for name in FITTING {
        let (right, left) = (prepared(name, Handed::Right), prepared(name, Handed::Left));
        let mut differing = 0;
        for (right, left) in stacks(&right.positions).zip(stacks(&left.positions)) {
            let found = difference(&mirrored(right), left).unwrap();
            assert!(found.is_none(), "{name}: {found:?}");
            differing += u32::from(!difference(right, left).unwrap().is_none());
        }
        assert!(differing > 0, "{name}");
    }
}

/// What fits fits mirrored, with the same margins and doubts.
#[test]
fn verdicts_of_a_left_handed_twin_are_the_same() {
    for name in FITTING {
        let (right, left) = (prepared(name, Handed::Right), prepared(name, Handed::Left));
        for (r, l) in right.fit.checks.iter().zip(&left.fit.checks) {
            assert_eq!((&r.title, r.verdict), (&l.title, l.verdict), "{name}");
            assert!((r.margin.value() - l.margin.value()).as_mm().abs() < 1e-9, "{name} {}", r.name);
            assert!((r.probability - l.probability).abs() < 1e-6, "{name} {}", r.name);
        }
    }
}

/// Words stay words: in the drawing bass is written at the other end, and every letter reads as before.
#[test]
fn words_are_never_mirrored() {
    let plan = |handed| {
        let prepared = prepared("tidewick", handed);
        drawing::plan(&prepared.family.positions[0], &prepared.positions[0].layout)
    };
    let x_of = |svg: &str, word: &str| -> f64 {
        let line = svg.lines().find(|l| l.contains(&format!(">{word}<"))).unwrap();
        line.split("x=\"").nth(1).unwrap().split('"').next().unwrap().parse().unwrap()
    };
    let (right, left) = (plan(Handed::Right), plan(Handed::Left));
    assert!(x_of(&right, "bass") < x_of(&right, "treble"));
    assert!(x_of(&left, "bass") > x_of(&left, "treble"));
    assert!(!left.contains("scale(-") && !left.contains("matrix("));
}
