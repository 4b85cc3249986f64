//! Versions of a family: the order of changes does not matter, and what can stay by sums done by hand.

use std::collections::BTreeMap;
use std::path::Path;

use bobbinwright_core::Prepared;
use bobbinwright_core::changes::Version;
use bobbinwright_fit::{Keeping, Verdict, keep};
use bobbinwright_kernel::difference;
use bobbinwright_spec::coil::{Packing, Until};
use bobbinwright_spec::{
    Estimate, FAMILY_FILE, Family, Handed, Length, Poles, READINGS_FILE, SourceFile, Survey, When,
};
use bobbinwright_tests::{demo, folder};
use rand::rngs::ChaCha8Rng;
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};

/// What a builder may try out: what the demo's file says, and something else.
const CHANGES: [(&str, &str); 8] = [
    ("wall: mm(2.0)", "wall: mm(2.3)"),
    ("roof: mm(1.8)", "roof: mm(2.1)"),
    ("height: mm(18.5)", "height: mm(18.9)"),
    ("rounding: mm(1.4)", "rounding: mm(1.1)"),
    ("corner_radius: mm(5.7)", "corner_radius: mm(6.4)"),
    ("pole_hole: mm(2.75)", "pole_hole: mm(2.85)"),
    ("spread: mm(14.0)", "spread: mm(15.0)"),
    ("got: mm([92.24, 92.21, 92.26])", "got: mm([92.04, 92.01, 92.06])"),
];

fn read(texts: &[String; 2]) -> Version {
    let file = |name: &str, text: &String| SourceFile { name: name.to_owned(), text: text.clone() };
    let (family, readings) = (file(FAMILY_FILE, &texts[0]), file(READINGS_FILE, &texts[1]));
    let survey = Survey::read_at("skerry", family, readings, When::default());
    survey.and_then(|s| Version::new("skerry", s)).unwrap_or_else(|problems| panic!("{problems}"))
}

fn build(version: &Version, into: &Path) {
    let Version { survey, prepared, .. } = version;
    bobbinwright_export::build(prepared, survey, into, || ()).unwrap();
}

fn content(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = std::fs::read_dir(folder).unwrap().map(Result::unwrap);
    // Builds that were replaced are another matter.
    let entries = entries.filter(|e| e.file_name() != "earlier");
    entries.map(|e| (e.file_name().into_string().unwrap(), std::fs::read(e.path()).unwrap())).collect()
}

/// Changes made one by one, with a build after each, give the folder that all at once give, to the byte; and
/// what comes off and on along the way adds up to the difference of the volumes.
#[test]
fn changes_one_by_one_and_all_at_once_give_the_same() {
    let text = |name: &str| std::fs::read_to_string(folder("tidewick").join(name)).unwrap();
    let start = [text(FAMILY_FILE), text(READINGS_FILE)];
    let mut rng = ChaCha8Rng::seed_from_u64(20);
    for _ in 0..4 {
        let mut changes = CHANGES;
        changes.shuffle(&mut rng);
        let scratch = tempfile::tempdir().unwrap();
        let (steps, once) = (scratch.path().join("steps"), scratch.path().join("once"));
        let first = read(&start);
        build(&first, &steps);
        let volumes = |v: &Version| -> Vec<f64> {
            v.prepared.positions.iter().flat_map(|p| &p.parts).map(|part| part.solid.volume).collect()
        };
        let (mut texts, mut last, mut gained) = (start.clone(), first, vec![0.0; 8]);
        let before = volumes(&last);
        for (from, to) in &changes[..rng.random_range(4..=8)] {
            let changed = texts.clone().map(|text| text.replace(from, to));
            assert!(changed != texts, "{from}");
            texts = changed;
            let next = read(&texts);
            build(&next, &steps);
            let parts =
                |v: &Version| v.prepared.positions.iter().flat_map(|p| p.parts.clone()).collect::<Vec<_>>();
            for ((gained, a), b) in gained.iter_mut().zip(parts(&last)).zip(parts(&next)) {
                let found = difference(&a.stack, &b.stack).unwrap();
                *gained += found.added - found.removed;
            }
            last = next;
        }
        build(&read(&texts), &once);
        assert!(content(&steps) == content(&once));
        for ((gained, before), after) in gained.iter().zip(before).zip(volumes(&last)) {
            // Rounded slabs are integrated to 1e-4 mm³ each.
            assert!((gained - (after - before)).abs() < 5e-3, "{gained} {before} {after}");
        }
    }
}

/// The tidewick's neck, and what can stay of it after a change to its readings.
fn after(change: impl Fn(&mut Family)) -> (Prepared, Keeping) {
    let mut family = demo("tidewick");
    change(&mut family);
    between(&demo("tidewick"), &family)
}

/// The demo whose neck rout is so much narrower than it is, as somebody states of all of it; the screws stay in its middle.
fn stated_rout(narrower: f64) -> Family {
    let text = |name: &str| std::fs::read_to_string(folder("tidewick").join(name)).unwrap();
    let is_old =
        |l: &&str| ["neck.rout.width", "neck.rout.diagonal", "bridge_side"].iter().any(|of| l.contains(of));
    let log = text(READINGS_FILE);
    let mut kept: Vec<String> = log.lines().filter(|l| !is_old(l)).map(str::to_owned).collect();
    kept.push(format!(
        "reading(on: \"2026-09-16\", of: \"neck.rout.width\", how: packet, within: mm(0.05), got: mm({:.2}))",
        38.31 - narrower
    ));
    for screw in [1, 2] {
        let near = (38.31 - narrower) / 2.0 - 1.215;
        kept.push(format!(
            "reading(on: \"2026-09-16\", of: \"neck.screws.{screw}.bridge_side\", with: \"caliper\", how: hole_near, got: mm({near:.3}))"
        ));
    }
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    Family::read("tidewick", file(FAMILY_FILE, text(FAMILY_FILE)), file(READINGS_FILE, kept.join("\n")))
        .unwrap_or_else(|e| panic!("{e}"))
}

fn between(earlier: &Family, later: &Family) -> (Prepared, Keeping) {
    let [earlier, later] =
        [earlier, later].map(|family| Prepared::new(family.clone()).unwrap_or_else(|e| panic!("{e}")));
    let (was, now) = (&earlier.positions[0], &later.positions[0]);
    let mut changed = [false; 4];
    for ((changed, a), b) in changed.iter_mut().zip(&was.parts).zip(&now.parts) {
        *changed = !difference(&a.stack, &b.stack).unwrap().is_none();
    }
    let keeping = keep(&later.family, 0, [Some(was); 4], now, changed, &[]);
    (earlier, keeping)
}

fn stays(keeping: &Keeping) -> Vec<bool> {
    keeping.choices.iter().map(|c| c.stays).collect()
}

/// Where nothing but the rout's width changes, a printed cover has half the new difference to spare at the long
/// sides. Its play of 0.35 mm is used up when the rout turns out 0.7 mm narrower.
#[test]
fn a_printed_cover_stays_as_long_as_it_goes_in() {
    for (narrower, verdict) in [(0.2, Verdict::Fits), (0.7, Verdict::TooClose), (1.0, Verdict::Clashes)] {
        let (earlier, keeping) = between(&stated_rout(0.0), &stated_rout(narrower));
        let cover = &keeping.choices[0];
        assert_eq!(cover.stays, verdict == Verdict::Fits);
        let worst = cover.worst.as_ref().unwrap();
        assert_eq!(worst.verdict, verdict, "{narrower}");
        let rout = earlier.family.positions[0].rout.width.value().as_mm() - narrower;
        let by_hand = (rout - earlier.positions[0].layout.width.as_mm()) / 2.0;
        let found = worst.margin.value().as_mm();
        assert!((found - by_hand).abs() < 1e-6, "{}: {found} {by_hand}", worst.kind.name());
        // The new parts fit, whatever had to be printed.
        assert_eq!(keeping.verdict, Verdict::Fits);
    }
}

/// Strings that all lie a millimetre further make new plates of both, and leave cover and baseplate as they are:
/// one old plate over a new one leaves a rod its play less that millimetre.
#[test]
fn plates_of_two_versions_do_not_go_together() {
    let (earlier, keeping) = after(|family| {
        for string in &mut family.positions[0].strings {
            string.place = string.place.clone() + Estimate::exact(Length::from_mm(1.0));
        }
    });
    // Cover, baseplate, then the two plates.
    assert_eq!(stays(&keeping), [true, true, false, false]);
    assert_eq!(keeping.verdict, Verdict::Fits);
    let hole = earlier.family.positions[0].wanted.flatwork.pole_hole;
    let by_hand = (hole - earlier.family.hardware.rod_diameter.value()).as_mm() - 1.0;
    let bottom = keeping.choices[2].worst.as_ref().unwrap();
    assert_eq!(bottom.kind.name(), "rod-through-flatwork");
    assert!((bottom.margin.value().as_mm() - by_hand).abs() < 1e-9, "{:?}", bottom.margin);
}

/// Strings that lie two millimetres further, and rods wanted so far apart that a large coil has no room round them: each is one
/// clash, but only the rods are mended by a print, and how much is wound can still be chosen.
#[test]
fn what_no_print_mends_keeps_no_plate() {
    let (_, keeping) = after(|family| {
        let position = &mut family.positions[0];
        for string in &mut position.strings {
            string.place = string.place.clone() + Estimate::exact(Length::from_mm(2.0));
        }
        position.wanted.poles = Poles::Pair { spread: Length::from_mm(6.5) };
        position.wanted.flatwork.play = Length::from_mm(0.9);
        if let Some(coil) = &mut position.wanted.coil {
            // As tightly as is usual, and measured, so that there is little doubt.
            coil.packing = Packing::Measured { turns: 7600.0, across: Length::from_mm(9.3) };
            coil.until = Until::Turns(11_500.0);
        }
    });
    assert_eq!(stays(&keeping), [true, true, false, false]);
    assert_eq!(keeping.verdict, Verdict::Clashes);
    let worst = keeping.choices[2].worst.as_ref().map(|c| c.kind.name());
    assert!(matches!(worst, Some("rod-through-flatwork" | "string-between-poles")), "{worst:?}");
}

/// A thicker wall, roof and rim ask for no print: what is there still fits.
#[test]
fn a_wish_alone_asks_for_no_print() {
    let (_, keeping) = after(|family| {
        let cover = &mut family.positions[0].wanted.cover;
        (cover.wall, cover.roof) = (Length::from_mm(2.3), Length::from_mm(1.9));
    });
    assert_eq!(stays(&keeping), [true; 4]);
    assert!(keeping.chance > 0.9 && keeping.verdict == Verdict::Fits);
}

/// Plates for two rods a string are none for one; and on a left-handed twin the lead leaves at the other end, and
/// the mark of the old top plate would tell the wrong one.
#[test]
fn parts_that_were_made_for_something_else_do_not_stay() {
    let (_, keeping) = after(|family| {
        for position in &mut family.positions {
            position.wanted.poles = Poles::Single;
        }
    });
    assert_eq!(stays(&keeping), [true, true, false, false]);
    let (_, keeping) = after(|family| {
        for position in &mut family.positions {
            position.handed = Handed::Left;
        }
    });
    // The row of strings is not quite in the middle: mirrored holes stand 0.12 mm beside the new ones, half of a rod's play,
    // which leaves the bottom plate's rods room enough; the top plate has the mark at the other end.
    assert_eq!(stays(&keeping), [false, false, true, false]);
    let worst = |i: usize| keeping.choices[i].worst.as_ref().map(|c| c.kind.name());
    assert_eq!(worst(0), Some("lead-out-at-channel"));
    assert_eq!(worst(1), Some("lead-through-baseplate"));
    assert_eq!(worst(3), Some("string-between-poles"));
}
