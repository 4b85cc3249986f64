//! A rout whose corners have radii of their own, and covers for it.

use bobbinwright_core::Prepared;
use bobbinwright_fit::{CheckKind, Verdict, Where};
use bobbinwright_spec::{Family, Handed, SourceFile};
use bobbinwright_tests::{demo, folder};

const READ: [(&str, f64); 4] =
    [("treble, neck", 4.5), ("bass, neck", 6.0), ("treble, bridge", 5.0), ("bass, bridge", 9.0)];

/// The tidewick with its neck rout's corners read, and its cover's wanted as given; none follows the rout.
fn family(read: &[(&str, f64)], wanted: Option<f64>) -> Family {
    let text = |name: &str| std::fs::read_to_string(folder("tidewick").join(name)).unwrap();
    let is_kept = |l: &&str| !l.contains("neck.rout.corner_radius") && !l.contains("neck.rout.diagonal");
    let mut log: Vec<String> = text("readings.ron").lines().filter(is_kept).map(str::to_owned).collect();
    for (spot, mm) in read {
        log.push(format!(
            "reading(on: \"2026-09-20\", of: \"neck.rout.corner_radius\", with: \"caliper\", spot: {spot:?}, got: mm([{mm}, {mm}]))"
        ));
    }
    let radius = wanted.map_or(String::new(), |mm| format!("corner_radius: mm({mm}),"));
    let wanted = text("family.ron").replacen("corner_radius: mm(5.7),", &radius, 1);
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    Family::read("test", file("family.ron", wanted), file("readings.ron", log.join("\n")))
        .unwrap_or_else(|e| panic!("{e}"))
}

/// Each corner of the cover is the rout's less the play: the gap is the same all round. By hand: each corner of the body
/// lacks a square of its radius less a quarter of a disc.
#[test]
fn a_cover_follows_the_corners() {
    for handed in [Handed::Right, Handed::Left] {
        let mut family = family(&READ, None);
        family.positions[0].handed = handed;
        let prepared = Prepared::new(family).unwrap_or_else(|e| panic!("{e}"));
        let layout = &prepared.positions[0].layout;
        let gap = layout.wanted.cover.fit_gap.as_mm();
        let lost: f64 =
            READ.iter().map(|(_, r)| (1.0 - std::f64::consts::FRAC_PI_4) * (r - gap).powi(2)).sum();
        let by_hand = layout.length.as_mm() * layout.width.as_mm() - lost;
        assert!((layout.body.area() - by_hand).abs() < 1e-9, "{} {by_hand}", layout.body.area());
        // The roundest corner stands back furthest from the rectangle's.
        let corner = |x: f64, y: f64| {
            let at = bobbinwright_kernel::plane::Point::new(
                handed.treble() * x * layout.length.as_mm() / 2.0,
                y * layout.width.as_mm() / 2.0,
            );
            -layout.body.depth_of(at)
        };
        let back = |r: f64| (r - gap) * (2f64.sqrt() - 1.0);
        assert!((corner(-1.0, -1.0) - back(9.0)).abs() < 1e-9 && (corner(1.0, 1.0) - back(4.5)).abs() < 1e-9);
        let check = prepared.fit.checks.iter().find(|c| c.kind == CheckKind::CoverInRout).unwrap();
        assert_eq!(check.verdict, Verdict::Fits);
        assert!((check.margin.value().as_mm() - gap).abs() < 0.1, "{}", check.margin.value());
    }
}

/// A cover with alike corners that go in everywhere but in one.
#[test]
fn one_round_corner_stops_a_cover() {
    let check = |read: &[(&str, f64)]| {
        let prepared = Prepared::new(family(read, Some(5.7))).unwrap_or_else(|e| panic!("{e}"));
        let check = prepared.fit.checks.iter().find(|c| c.kind == CheckKind::CoverInRout).unwrap().clone();
        (check.verdict, check.at)
    };
    let alike = READ.map(|(spot, _)| (spot, 6.0));
    assert_eq!(check(&alike).0, Verdict::Fits);
    let mut one = alike;
    one[3].1 = 12.0;
    assert_eq!(check(&one), (Verdict::Clashes, Where::Corners));
}

/// What was drawn for a demo is drawn as before.
#[test]
fn alike_corners_are_one_rectangle() {
    let family = demo("tidewick");
    assert!(family.positions.iter().all(|p| p.rout.corners.alike() == Some(&p.rout.corner_radius)));
}
