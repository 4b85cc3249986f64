//! An instrument for the left hand: everything that readings say of bass and treble is mirrored, and nothing
//! else.

use bobbinwright_core::Prepared;
use bobbinwright_export::drawing;
use bobbinwright_fit::check;
use bobbinwright_geometry::Stack;
use bobbinwright_geometry::parts::{PositionParts, Ranges, Refusal, build_family, room_for};
use bobbinwright_kernel::difference;
use bobbinwright_spec::{Family, Handed, Length, PARAMETERS, parameter};
use bobbinwright_tests::random_family::drawn;
use bobbinwright_tests::{FITTING, demo};
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;

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
            assert!((r.margin.value() - l.margin.value()).as_mm().abs() < 1e-9, "{name} {}", r.kind.name());
            assert!((r.probability - l.probability).abs() < 1e-6, "{name} {}", r.kind.name());
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

/// What is refused for one hand is refused for the other, with the same value that works; what is built has the same
/// checks, and every dimension the same bounds. Families that nobody thought of, with what was refused on the way to
/// each.
#[test]
fn both_hands_are_refused_and_judged_alike() {
    let (mut refused, mut built) = (0, 0);
    for number in 0..40 {
        let mut rng = ChaCha8Rng::seed_from_u64(11);
        rng.set_stream(number);
        let Some(drawn) = drawn(&mut rng, 8) else { continue };
        for (family, _) in &drawn.refused {
            let [right, left] =
                hands(family).map(|f| build_family(&f).map_err(|all| of_any_hand(&all)).err());
            assert_eq!(right, left, "family {number}");
            refused += usize::from(right.is_some());
        }
        let both = hands(&drawn.family).map(|f| build_family(&f).map(|parts| check(&f, &parts, &[])));
        let [Ok(right), Ok(left)] = both else { panic!("family {number} is built for one hand only") };
        for (r, l) in right.checks.iter().zip(&left.checks) {
            assert_eq!((&r.title, r.verdict), (&l.title, l.verdict), "family {number}");
            // Where a cover lies is looked for by steps, the last of which move it by less than that.
            let apart = (r.margin.value() - l.margin.value()).as_mm().abs();
            assert!(apart < 1e-8, "{number} {}: {apart}", r.kind.name());
            // Draws are not mirrored; each tells a chance to 0.012 in the worst of a thousand directions (`estimate::draws`).
            let apart = (r.probability - l.probability).abs();
            assert!(apart < 2.0 * 0.012, "{number} {}: {apart}", r.kind.name());
        }
        built += 1;
        let [right, left] = hands(&drawn.family);
        let dimension = &PARAMETERS[number as usize % PARAMETERS.len()];
        for (r, l) in right.positions.iter().zip(&left.positions) {
            let [r, l] = [r, l].map(|p| room_for(p, &drawn.family.hardware, dimension));
            let alike = match (&r, &l) {
                (Some(r), Some(l)) => {
                    let ends = |ranges: &Ranges| ranges.all().concat();
                    ends(r).len() == ends(l).len()
                        && ends(r).iter().zip(ends(l)).all(|(a, b)| (*a - b).as_mm().abs() < 1e-6)
                }
                (r, l) => r == l,
            };
            assert!(alike, "family {number}, {}: {r:?} {l:?}", dimension.path);
        }
    }
    assert!(refused > 20 && built > 20, "{refused} {built}");
}

fn hands(family: &Family) -> [Family; 2] {
    [Handed::Right, Handed::Left].map(|hand| {
        let mut family = family.clone();
        family.positions.iter_mut().for_each(|p| p.handed = hand);
        family
    })
}

/// A refusal without the sides that a mirror exchanges.
fn of_any_hand(all: &[Refusal]) -> Vec<(String, &'static str, Option<Length>)> {
    all.iter().map(|r| (r.part.name().to_owned(), r.parameter, r.works)).collect()
}

/// Waists that run into a plate's corners are refused for both hands.
#[test]
fn waists_in_the_corners_are_refused_for_both_hands() {
    for (path, value) in [("flatwork.waists.offset", 30.0), ("flatwork.eyelets.spread", 50.0)] {
        for mut family in hands(&demo("tidewick")) {
            for position in &mut family.positions {
                let field = parameter(path).unwrap().field;
                *field(&mut position.wanted).unwrap() = Length::from_mm(value);
            }
            let refused = build_family(&family).unwrap_err();
            assert!(
                refused[0].to_string().contains("the waists run into the plate's corners"),
                "{refused:?}"
            );
        }
    }
}
