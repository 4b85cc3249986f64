//! Printed parts that were measured: what is allowed, and what to file, where several sizes are off at once.

use bobbinwright_core::Prepared;
use bobbinwright_fit::{Belief, CheckKind, Deciding, Verdict, check_pieces, deciding};
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{
    Doubt, Estimate, Family, Length, Origin, PartKind, PieceSize, SizeOf, SourceFile, Unit,
};
use bobbinwright_tests::{demo, folder};

/// Tidewick with sizes of its neck's cover that were read to 0.02 mm.
fn with(sizes: &[(SizeOf, f64)]) -> Family {
    let mut family = demo("tidewick");
    for (size, mm) in sizes {
        let doubt = Doubt::new(None, Origin::Stated, f64::INFINITY);
        let read: Estimate = family.doubts.enter(doubt, Length::from_mm(0.02)).moved_to(Length::from_mm(*mm));
        let piece = PieceSize { part: PartKind::Cover, size: *size };
        family.pieces.insert(("neck".into(), piece), read);
    }
    family
}

fn of(family: &Family, size: SizeOf) -> Deciding {
    let prepared = Prepared::new(family.clone()).unwrap();
    let all = deciding(family, &prepared.positions, &[], &[], |position, part| prepared.lie(position, part));
    let is_it = |d: &Deciding| d.position == 0 && d.piece.size == PieceSize { part: PartKind::Cover, size };
    all.into_iter().find(is_it).unwrap()
}

/// A hole that came out smaller than its screw of 2.95 mm clashes, and may be as large as it takes to let the screw pass
/// and no larger than what the head bears on. Before, the table said that no size would fit.
#[test]
fn a_hole_that_is_too_small_may_be_larger() {
    let hole = of(&with(&[(SizeOf::ScrewHole, 2.6)]), SizeOf::ScrewHole);
    assert_eq!(hole.verdict, Some(Verdict::Clashes));
    let [Some(least), Some(most)] = hole.allowed else { panic!("{:?}", hole.allowed) };
    assert!((2.95..3.5).contains(&least.as_mm()), "{least}");
    // By hand: the head of 5.50 bears on a quarter of a millimetre all round.
    assert!((4.7..5.0).contains(&most.as_mm()), "{most}");
}

/// Two sizes that are off together are each told what it takes with the other as it is: holes 0.4 mm further apart than the
/// screws, and too narrow for that.
#[test]
fn two_sizes_that_are_off_together_are_judged_together() {
    let wide = of(&with(&[(SizeOf::ScrewPitch, 80.4)]), SizeOf::ScrewPitch);
    let both = with(&[(SizeOf::ScrewPitch, 80.4), (SizeOf::ScrewHole, 3.2)]);
    let narrow = of(&both, SizeOf::ScrewHole);
    assert_ne!(narrow.verdict, Some(Verdict::Fits));
    // 0.4 mm in pitch ask for 0.4 mm more in the hole's diameter than the screw has: 3.35 and its doubts.
    let least = narrow.allowed[0].unwrap().as_mm();
    assert!((3.35..3.6).contains(&least), "{least}");
    let pitch = of(&both, SizeOf::ScrewPitch);
    assert!(pitch.allowed[1].unwrap() < wide.allowed[1].unwrap(), "{:?} {:?}", pitch.allowed, wide.allowed);
}

/// A cover that is too long is as wide as it may be all the same: to the rout's 38.31 mm and no further.
#[test]
fn what_is_not_to_blame_keeps_its_limits() {
    let family = with(&[(SizeOf::Length, 92.3)]);
    assert_ne!(of(&family, SizeOf::Length).verdict, Some(Verdict::Fits));
    let [_, Some(most)] = of(&family, SizeOf::Width).allowed else { panic!("any width is said to do") };
    assert!((38.0..38.32).contains(&most.as_mm()), "{most}");
}

/// What is said to be filed or drilled ends in a fit.
#[test]
fn what_is_filed_as_told_fits() {
    let cases: [&[(SizeOf, f64)]; 4] = [
        &[(SizeOf::ScrewHole, 2.9)],
        &[(SizeOf::ScrewPitch, 80.4), (SizeOf::ScrewHole, 3.2)],
        &[(SizeOf::Length, 92.3)],
        &[(SizeOf::Width, 38.35), (SizeOf::ScrewHole, 3.1)],
    ];
    let mut filed = 0;
    for sizes in cases {
        let family = with(sizes);
        let prepared = Prepared::new(family.clone()).unwrap();
        let fit = check_pieces(&family, &prepared.positions, &[], &[]);
        for check in fit.checks.iter().filter(|c| c.position == "neck" && c.verdict != Verdict::Fits) {
            let made = |size: PieceSize| match size.size {
                SizeOf::ScrewHole | SizeOf::Recess => Some(Made::Hole),
                SizeOf::Length => Some(Made::Outer(bobbinwright_spec::printer::coupon::Axis::X)),
                SizeOf::Width => Some(Made::Outer(bobbinwright_spec::printer::coupon::Axis::Y)),
                _ => None,
            };
            for work in fit.rework(check, Unit::Mm, made) {
                let mut changed = family.clone();
                let Some(read) = changed.pieces.get_mut(&("neck".into(), work.size)) else { continue };
                *read = read.clone().moved_to(work.to);
                let after = check_pieces(&changed, &prepared.positions, &[], &[]);
                let same = after.checks.iter().find(|c| c.is_same(check)).unwrap();
                assert_eq!(
                    same.verdict,
                    Verdict::Fits,
                    "{sizes:?}: {} to {}: {}",
                    work.size,
                    work.to,
                    same.title
                );
                filed += 1;
            }
        }
    }
    assert!(filed >= 4, "{filed}");
}

/// Tidewick with three pole holes of its neck's top plate that were read one by one.
fn with_holes(sizes: &[&str]) -> Family {
    let text = |file: &str| std::fs::read_to_string(folder("tidewick").join(file)).unwrap();
    let hole = |(i, mm): (usize, &&str)| {
        format!(
            "reading(on: \"2026-09-20\", of: \"neck.flatwork-top.pole_hole\", with: \"caliper\", spot: \"string {}\", got: mm([{mm}, {mm}]))\n",
            i + 1
        )
    };
    let log = text("readings.ron") + &sizes.iter().enumerate().map(hole).collect::<String>();
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    let family = Family::read("test", file("family.ron", text("family.ron")), file("readings.ron", log));
    family.unwrap_or_else(|e| panic!("{e}"))
}

fn verdict(family: &Family, name: &str) -> Verdict {
    let prepared = Prepared::new(family.clone()).unwrap();
    let fit = check_pieces(&prepared.family, &prepared.positions, &[], &[]);
    fit.checks.iter().find(|c| c.position == "neck" && c.kind.name() == name).unwrap().verdict
}

/// Of several holes the one that came out smallest stops a rod: a rod of 2.51 mm does not go through a hole of 2.45, however
/// wide the others are; and the one that came out widest does not hold it, however tight the others are.
#[test]
fn the_tightest_and_the_widest_of_several_holes_decide() {
    let family = with_holes(&["2.80", "2.45", "2.81"]);
    let piece = PieceSize { part: PartKind::FlatworkTop, size: SizeOf::PoleHole };
    let read = &family.pieces[&("neck".to_owned(), piece)];
    assert!((read.value().as_mm() - 2.45).abs() < 0.005, "{read:?}");
    assert_ne!(verdict(&family, "rod-through-flatwork"), Verdict::Fits);
    // By common practice half a millimetre of play on the diameter is what a rod may have: 3.01 mm.
    assert_ne!(verdict(&with_holes(&["2.80", "2.78", "3.20"]), "rod-held"), Verdict::Fits);
    let even = with_holes(&["2.75", "2.76", "2.75"]);
    assert_eq!(["rod-through-flatwork", "rod-held"].map(|name| verdict(&even, name)), [Verdict::Fits; 2]);
}

/// One hole that was read says little of the five beside it: it is said, and ends once they were read.
#[test]
fn one_hole_that_was_read_leaves_a_doubt_of_the_others() {
    let of = |sizes: &[&str]| {
        let family = with_holes(sizes);
        let piece = PieceSize { part: PartKind::FlatworkTop, size: SizeOf::PoleHole };
        let doubt = family.pieces[&("neck".to_owned(), piece)].uncertainty();
        let prepared = Prepared::new(family).unwrap();
        let fit = check_pieces(&prepared.family, &prepared.positions, &[], &[]);
        let check =
            fit.checks.iter().find(|c| c.position == "neck" && c.kind == CheckKind::RodThroughFlatwork);
        let check = check.unwrap().clone();
        let alike = check.assumed.iter().any(|a| a.what == Belief::HolesAlike);
        (doubt, alike)
    };
    let ((one, is_said), (all, is_still_said)) = (of(&["2.75"]), of(&["2.75", "2.75", "2.75", "2.75"]));
    assert!(is_said && !is_still_said && one > all, "{one} {all}");
}
