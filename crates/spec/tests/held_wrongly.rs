//! What repeats and spots agree about and is wrong all the same: corners that somebody stated, jaws that were held wrongly.

mod common;

use bobbinwright_spec::Guard;
use common::{READINGS, with_readings};

/// Corners of 7 mm where a packet says 6, read along both diagonals of a rout of 92.25 by 38.31 mm: 2 √(39.125² + 12.155²) + 14 is
/// 95.94 mm. No slip in one of them explains that, and corners do.
#[test]
fn corners_rounder_than_their_packet_show_in_both_diagonals() {
    let log = READINGS
        .replace(
            "neck.rout.diagonal.treble\", with: \"caliper\", got: mm([96.46, 96.44])",
            "neck.rout.diagonal.treble\", with: \"caliper\", got: mm([95.95, 95.93])",
        )
        .replace(
            "neck.rout.diagonal.bass\", with: \"caliper\", got: mm([96.43, 96.44])",
            "neck.rout.diagonal.bass\", with: \"caliper\", got: mm([95.93, 95.94])",
        );
    let family = with_readings(&log).unwrap_or_else(|e| panic!("{e}"));
    let notice = family.notices.iter().find(|n| n.message.contains("diagonal"));
    let hint = notice.and_then(|n| n.hint.clone()).unwrap_or_else(|| panic!("{:#?}", family.notices));
    let radius = hint.split("both diagonals are short: corners of a radius of about ").nth(1);
    let radius: f64 =
        radius.and_then(|rest| rest.split(' ').next()?.parse().ok()).unwrap_or_else(|| panic!("{hint}"));
    // The rout's own spots are a hundredth apart.
    assert!((radius - 7.0).abs() < 0.05, "{hint}");
    let rout = &family.positions[0].rout;
    let all = rout.corners.iter().map(|(_, radius)| radius).chain([&rout.corner_radius]);
    assert!(all.into_iter().all(|radius| radius.uncertainty().as_mm() > 0.4), "{:?}", rout.corner_radius);
    // One of them alone is a slip of that one.
    let log = READINGS.replace(
        "diagonal.treble\", with: \"caliper\", got: mm([96.46, 96.44])",
        "diagonal.treble\", with: \"caliper\", got: mm([95.45, 95.43])",
    );
    let family = with_readings(&log).unwrap_or_else(|e| panic!("{e}"));
    assert!(family.notices.iter().any(|n| n.message.contains("diagonal")), "{:#?}", family.notices);
    assert!(family.notices.iter().all(|n| !n.hint.as_ref().unwrap().contains("both diagonals")));
}

/// An opening read with the jaws held wrongly in all of its spots: they agree with each other, and only another reading would tell.
#[test]
fn spots_do_not_guard_each_other_from_one_wrong_hold() {
    let guard = |log: &str| {
        let family = with_readings(log).unwrap();
        let of = |g: &&Guard| g.quantity.to_string() == "neck.rout.width" && g.spot.is_none();
        family.positions[0].guards.iter().filter(of).find(|g| g.least_slip.is_none()).cloned()
    };
    assert_eq!(guard(READINGS), None, "diagonals were read");
    let without: String =
        READINGS.lines().filter(|l| !l.contains("diagonal")).flat_map(|line| [line, "\n"]).collect();
    let found = guard(&without).unwrap();
    assert_eq!(found.by.as_ref().map(ToString::to_string).as_deref(), Some("neck.rout.diagonal.treble"));
    assert_eq!(found.least_slip, None);
    // All of them a millimetre off move the width by as much, and each of its sides by half of that.
    let family = with_readings(&without).unwrap();
    let width = &family.positions[0].rout.width;
    assert!((found.moves(width) - 1.0).abs() < 0.05, "{}", found.moves(width));
}
