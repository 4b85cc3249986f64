//! Flatwork that is cut from sheet: where the cut runs, by closed forms over random families; what is refused; and whose
//! doubt counts. What other programs read of the files is held in `tests/outside/cut_check.py`.

#![allow(clippy::disallowed_methods, reason = "what is expected may differ in its last bit")]

use std::f64::consts::PI;

use bobbinwright_core::Prepared;
use bobbinwright_export::cut::{Lines, dxf, svg};
use bobbinwright_fit::CheckKind;
use bobbinwright_geometry::parts::{CutOut, Outlines, PartKind, PositionParts, build_family};
use bobbinwright_kernel::plane::{Contour, Segment, contour_distance_below};
use bobbinwright_print::printed;
use bobbinwright_print::sheets::sheets;
use bobbinwright_spec::{CutSheet, Family, Length, parameter};
use bobbinwright_tests::random_family::held_anyhow;
use bobbinwright_tests::{demo, stated};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};

const SHEET: &str = "flatwork: (sheet: (length: mm(200), width: mm(100), kerf: mm(0.15), tolerance: mm(0.08), thickness_tolerance: mm(0.12), least_hole: mm(0.5), least_web: mm(0.8), spacing: mm(3)),";

fn mm(mm: f64) -> Length {
    Length::from_mm(mm)
}

fn sheet(kerf: f64) -> CutSheet {
    CutSheet {
        length: mm(300.0),
        width: mm(140.0),
        kerf: mm(kerf),
        tolerance: mm(0.08),
        thickness_tolerance: mm(0.12),
        least_hole: mm(0.5),
        least_web: mm(0.8),
        spacing: mm(2.0),
    }
}

/// A demo whose flatwork is cut.
fn cut(name: &str) -> Family {
    let mut family = demo(name);
    family.positions.iter_mut().for_each(|p| p.wanted.flatwork.sheet = Some(sheet(0.15)));
    family
}

/// A border without corners that point inwards, moved outwards by d, is longer by 2 π d and its area larger by its length
/// times d and π d² (Steiner's formula for parallel curves; what bites into it is round and wider than the cut); a hole moved
/// inwards is a border moved by -d.
#[test]
fn the_cut_runs_beside_the_plate_by_half_of_its_width() {
    let mut rng = ChaCha8Rng::seed_from_u64(25);
    let (mut plates, mut with_reliefs) = (0, 0);
    for _ in 0..120 {
        let kerf = rng.random_range(0.05..0.4);
        let Some(family) = held_anyhow(&mut rng, 4).map(|drawn| drawn.family) else { continue };
        let mut family = family;
        family.positions.iter_mut().for_each(|p| p.wanted.flatwork.sheet = Some(sheet(kerf)));
        let Ok(built) = build_family(&family) else { continue };
        for (index, position) in built.iter().enumerate() {
            for part in position.parts.iter().filter(|part| position.layout.wanted.sheet(part.kind).is_some())
            {
                let bass = -position.layout.handed.treble();
                let found =
                    CutOut::of(part, mm(kerf), index, bass).expect("a plate that was built can be cut");
                holds_by_steiner(&found, kerf / 2.0);
                // The plate's area is its solid's.
                let by_solid = part.solid.volume / part.stack.height();
                assert!((found.outlines.area() - by_solid).abs() < 1e-9 * by_solid);
                assert_eq!(found.outlines.holes.len(), part.solid.through_holes);
                marks_are_clear(&found, bass);
                plates += 1;
                with_reliefs += usize::from(!position.layout.reliefs.is_empty());
            }
        }
    }
    assert!(plates > 150 && with_reliefs > 4, "{plates} {with_reliefs}");
}

fn holds_by_steiner(found: &CutOut, half: f64) {
    let Outlines { outer, holes } = &found.outlines;
    let (border, cuts) = found.cuts.split_last().unwrap();
    let moved = |before: &Contour, after: &Contour, by: f64| {
        let length = before.length() + 2.0 * PI * by;
        let area = before.area() + before.length() * by + PI * by * by;
        assert!((after.length() - length).abs() < 1e-8, "{} {length}", after.length());
        assert!((after.area() - area).abs() < 1e-8, "{} {area}", after.area());
    };
    moved(outer, border, half);
    assert_eq!(holes.len(), cuts.len());
    for (hole, cut) in holes.iter().zip(cuts) {
        moved(hole, cut, -half);
    }
}

fn marks_are_clear(found: &CutOut, bass: f64) {
    for Segment { from, to, .. } in &found.marks {
        let round = Contour::rectangle(*from - bobbinwright_kernel::plane::Vector::new(0.0, 1e-3), *to);
        let all = found.outlines.holes.iter().chain([&found.outlines.outer]);
        for border in all {
            assert!(contour_distance_below(border, &round, 1.0) > 0.35);
        }
        assert!(found.outlines.outer.contains(*from) && from.x * bass > 0.0);
    }
}

/// A cut that is as wide as a hole leaves none: refused, with a kerf that works.
#[test]
fn a_kerf_that_closes_a_hole_is_refused() {
    let mut family = cut("tidewick");
    let kerf = parameter("flatwork.sheet.kerf").unwrap();
    let too_wide = mm(2.6);
    family.positions.iter_mut().for_each(|p| *(kerf.field)(&mut p.wanted).unwrap() = too_wide);
    let refused = build_family(&family).unwrap_err();
    assert_eq!(refused[0].parameter, "flatwork.sheet.kerf");
    let why = refused[0].why.to_string();
    assert!(why.contains("2.60 mm") && why.contains("eyelet hole"), "{why}");
    assert!(refused[0].mend_in(&mut family.positions[0]), "{:?}", refused[0]);
    let most = family.positions[0].wanted.flatwork.sheet.unwrap().kerf;
    assert!((most.as_mm() - 2.58).abs() < 0.011, "{most}");
}

/// Sizes of plates that are cut are as sure as the cutter, others as the printer; half-widths of rectangular distributions
/// (JCGM 100, 4.3.7), beside what is known of the eyelet.
#[test]
fn each_size_has_the_doubt_of_whoever_makes_it() {
    let family = cut("tidewick");
    let eyelet = family.hardware.eyelet_barrel.uncertainty().as_mm();
    let prepared = Prepared::new(family).unwrap();
    let of = |kind: CheckKind| prepared.fit.checks.iter().find(|check| check.kind == kind).unwrap();
    let u = of(CheckKind::EyeletThroughHole).margin.uncertainty().as_mm();
    let cutter = 0.08 / 3f64.sqrt();
    assert!((u - eyelet.hypot(cutter)).abs() < 1e-5, "{u}");
    let printed = demo("tidewick");
    let prepared = Prepared::new(printed).unwrap();
    let u = prepared
        .fit
        .checks
        .iter()
        .find(|c| c.kind == CheckKind::EyeletThroughHole)
        .unwrap()
        .margin
        .uncertainty();
    assert!((u.as_mm() - eyelet.hypot(0.10 / 3f64.sqrt())).abs() < 1e-5, "{u}");
}

/// Neither the printer's bed nor its profile has anything to do with what is cut.
#[test]
fn what_is_cut_is_not_printed() {
    let family = cut("wherry");
    let built = build_family(&family).unwrap();
    let kinds = |parts: &PositionParts| printed(parts).map(|part| part.kind).collect::<Vec<_>>();
    assert!(built.iter().all(|parts| kinds(parts) == [PartKind::Cover, PartKind::Baseplate]));
    let laid = bobbinwright_print::lay(&family, &built, 0.05).unwrap();
    assert_eq!(laid.parts.len(), built.len() * 2);
}

/// Plates of two thicknesses are on two sheets, none over another, and none is left out; one that is longer than its sheet lies
/// across it.
#[test]
fn every_plate_lies_on_a_sheet_of_its_thickness() {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    let (mut turned, mut several) = (0, 0);
    for name in ["tidewick", "thwart", "saltern", "capstan", "halyard"] {
        for _ in 0..20 {
            let mut family = cut(name);
            let (length, width) = (rng.random_range(40.0..400.0), rng.random_range(95.0..160.0));
            for position in &mut family.positions {
                let of =
                    CutSheet { length: mm(length), width: mm(width), ..sheet(rng.random_range(0.1..0.2)) };
                position.wanted.flatwork.sheet = Some(of);
            }
            let built = build_family(&family).unwrap();
            let all = sheets(&family, &built);
            let mut seen = Vec::new();
            for one in &all {
                let boxes = one.plates.iter().map(|plate| {
                    let layout = &built[plate.position].layout;
                    let bottom = plate.kind == PartKind::FlatworkBottom;
                    let thick =
                        if bottom { layout.wanted.flatwork.bottom } else { layout.wanted.flatwork.top };
                    assert_eq!(thick, one.thickness);
                    let kerf = one.of.kerf.as_mm();
                    let half = [layout.plate.length, layout.plate.width].map(|l| l.as_mm() / 2.0 + kerf);
                    let half = if plate.turned { [half[1], half[0]] } else { half };
                    let [x, y] = plate.middle.map(Length::as_mm);
                    turned += usize::from(plate.turned);
                    seen.push((plate.position, plate.kind));
                    [x - half[0], x + half[0], y - half[1], y + half[1]]
                });
                let boxes: Vec<[f64; 4]> = boxes.collect();
                let spacing = one.of.spacing.as_mm() - 1e-9;
                for (i, a) in boxes.iter().enumerate() {
                    assert!(a[0] >= spacing && a[2] >= spacing, "{a:?}");
                    assert!(a[1] <= length - spacing && a[3] <= width - spacing, "{a:?}");
                    for b in &boxes[..i] {
                        let apart = (b[0] - a[1]).max(a[0] - b[1]).max(b[2] - a[3]).max(a[2] - b[3]);
                        assert!(apart >= spacing, "{a:?} {b:?}");
                    }
                }
                several += usize::from(one.number > 1);
            }
            let fits = |p: &PositionParts| {
                let [l, w] = [p.layout.plate.length, p.layout.plate.width].map(Length::as_mm);
                let room = |side: f64| side - 2.0 * (2.0 + 0.1);
                (l <= room(length) && w <= room(width)) || (w <= room(length) && l <= room(width))
            };
            // What is near to either does not count here.
            let most = built.iter().filter(|p| fits(p)).count() * 2;
            assert!(seen.len() <= most && (seen.len() == most || length < 110.0), "{name} {length} {width}");
        }
    }
    assert!(turned > 10 && several > 5, "{turned} {several}");
}

/// A rectangle of 20 by 10 mm with a hole, by hand: each side half a kerf of 0.2 further out, its corners quarter rounds.
#[test]
fn files_hold_what_a_ruler_would_read() {
    let outer = Contour::rounded_rectangle(bobbinwright_kernel::plane::Point::origin(), 20.2, 10.2, 0.1);
    let hole = Contour::circle(bobbinwright_kernel::plane::Point::new(4.0, 1.0), 1.4);
    let lines = Lines { cuts: vec![hole, outer], marks: Vec::new(), sheet: Some([30.0, 20.0]) };
    let svg = svg::write(&lines, "A & B");
    assert!(svg.starts_with(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"30mm\" height=\"20mm\" viewBox=\"0 0 30 20\">"
    ));
    // y is turned down.
    assert!(
        svg.contains("<title>A &amp; B</title>") && svg.contains("<circle cx=\"4\" cy=\"19\" r=\"1.4\"/>"),
        "{svg}"
    );
    let dxf = dxf::write(&lines);
    // A quarter round's bulge is the tangent of a sixteenth of a turn.
    assert!(dxf.contains("42\n0.41421356237309") && dxf.contains("40\n1.4\n"), "{dxf}");
    assert!(dxf.contains("$INSUNITS\n70\n4\n") && dxf.ends_with("0\nEOF\n"));
    assert_eq!(dxf.lines().count() % 2, 0);
}

/// As a family's file says it.
#[test]
fn a_sheet_is_read_with_all_that_it_says() {
    let text = std::fs::read_to_string(bobbinwright_tests::folder("tidewick").join("family.ron")).unwrap();
    assert!(text.contains("flatwork: (\n"));
    let family = stated("tidewick", "");
    assert!(family.positions[0].wanted.flatwork.sheet.is_none());
    let with = text.replacen("flatwork: (\n", &format!("{SHEET}\n"), 1);
    let file = |name: &str, text: String| bobbinwright_spec::SourceFile { name: name.into(), text };
    let readings =
        std::fs::read_to_string(bobbinwright_tests::folder("tidewick").join("readings.ron")).unwrap();
    let family = Family::read("tidewick", file("family.ron", with), file("readings.ron", readings)).unwrap();
    let [length, width, spacing] = [200.0, 100.0, 3.0].map(mm);
    let expected = CutSheet { length, width, spacing, ..sheet(0.15) };
    assert!(family.positions.iter().all(|p| p.wanted.flatwork.sheet == Some(expected)));
}
