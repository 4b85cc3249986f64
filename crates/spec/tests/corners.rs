//! The radii in a rout's corners by where they were read.

mod common;

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::{Corners, Estimate, Family};
use common::{READINGS, near, with_readings};

const TREBLE_NECK: [f64; 2] = [1.0, 1.0];
const BASS_NECK: [f64; 2] = [-1.0, 1.0];
const TREBLE_BRIDGE: [f64; 2] = [1.0, -1.0];
const BASS_BRIDGE: [f64; 2] = [-1.0, -1.0];

/// The demo with the neck rout's corners read in these spots, and more entries.
fn family(radii: &[(&str, f64)], more: &str) -> Family {
    let is_old = |l: &&str| {
        l.contains("neck.rout.corner_radius") || !more.is_empty() && l.contains("neck.rout.diagonal")
    };
    let mut log: Vec<String> = READINGS.lines().filter(|l| !is_old(l)).map(str::to_owned).collect();
    for (spot, mm) in radii {
        let spot = if spot.is_empty() { String::new() } else { format!(", spot: {spot:?}") };
        log.push(format!(
            "reading(on: \"2026-09-20\", of: \"neck.rout.corner_radius\", with: \"caliper\"{spot}, got: mm([{mm}, {mm}]))"
        ));
    }
    log.push(more.to_owned());
    with_readings(&log.join("\n")).unwrap_or_else(|e| panic!("{e}"))
}

fn at(corners: &Corners<Estimate>, corner: [f64; 2]) -> f64 {
    corners.at(corner).value().as_mm()
}

#[test]
fn each_corner_has_the_radius_that_was_read_there() {
    let read = [("treble, neck", 4.0), ("bass, neck", 6.0), ("treble, bridge", 5.0), ("bass, bridge", 8.0)];
    let rout = &family(&read, "").positions[0].rout;
    for (corner, expected) in [(TREBLE_NECK, 4.0), (BASS_NECK, 6.0), (TREBLE_BRIDGE, 5.0), (BASS_BRIDGE, 8.0)]
    {
        near(at(&rout.corners, corner), expected, 1e-9, "radius");
    }
    // Where one counts for all, it is the one that stands furthest in.
    near(rout.corner_radius.value().as_mm(), 8.0, 1e-9, "roundest");
    assert!(rout.corners.alike().is_none());
}

#[test]
fn what_was_read_of_all_counts_where_nothing_else_was() {
    let rout = &family(&[("", 6.0), ("bass corner at the bridge", 9.0)], "").positions[0].rout;
    near(at(&rout.corners, BASS_BRIDGE), 9.0, 1e-9, "its own");
    near(at(&rout.corners, TREBLE_NECK), 6.0, 1e-9, "that of all");
    let alike = &family(&[("", 6.0)], "").positions[0].rout;
    assert_eq!(alike.corners.alike(), Some(&alike.corner_radius));
}

/// Two corners that are 2 mm apart leave the others anywhere about as far from their mean: ± 2, evenly.
#[test]
fn a_corner_that_nobody_read_is_about_as_the_others() {
    let rout = &family(&[("neck, treble", 5.0), ("neck, bass", 7.0)], "").positions[0].rout;
    near(at(&rout.corners, TREBLE_BRIDGE), 6.0, 1e-9, "mean");
    let doubt = rout.corners.at(TREBLE_BRIDGE).uncertainty().as_mm();
    assert!((doubt / (2.0 / 3f64.sqrt()) - 1.0).abs() < 0.01, "{doubt}");
    let side = &family(&[("neck side", 5.0), ("bridge side", 7.0)], "").positions[0].rout;
    assert_eq!([TREBLE_NECK, BASS_NECK, BASS_BRIDGE].map(|c| at(&side.corners, c)), [5.0, 5.0, 7.0]);
}

/// A square rout of 92.24 by 38.30 with corners of 4, 6, 5 and 8: between the arcs' centres by Pythagoras, and both radii.
#[test]
fn diagonals_go_from_arc_to_arc() {
    let across = |radii: f64| (92.24f64 - radii).hypotenuse(38.30 - radii) + radii;
    let read = [("treble, neck", 4.0), ("bass, neck", 6.0), ("treble, bridge", 5.0), ("bass, bridge", 8.0)];
    let entry = |from: &str, mm: f64| {
        format!(
            "reading(on: \"2026-09-20\", of: \"neck.rout.diagonal.{from}\", with: \"caliper\", got: mm([{mm:.3}, {mm:.3}]))\n"
        )
    };
    let diagonals = entry("treble", across(12.0)) + &entry("bass", across(11.0));
    let side = &family(&read, &diagonals).positions[0].rout.sides.treble;
    let askew = (side.reach(0.8).value() - side.reach(-0.8).value()).as_mm();
    assert!(askew.abs() < 0.06, "{askew}");
}

#[test]
fn a_corner_of_another_name_is_asked_about() {
    let family = family(&[("lower left", 6.0)], "");
    let said: Vec<&str> = family.notices.iter().map(|n| n.message.as_str()).collect();
    assert!(said.iter().any(|m| m.contains("lower left") && m.contains("every corner")), "{said:?}");
}

/// One cutter leaves all corners alike: of three that are and one that was read half as round, that one is pointed out, and may
/// be anything between, so that no diagonal is blamed for it. Another round, after something else, is believed.
#[test]
fn a_corner_unlike_all_others_is_pointed_out() {
    let read =
        [("treble, neck", 6.2), ("bass, neck", 6.25), ("treble, bridge", 2.95), ("bass, bridge", 6.15)];
    let halved = family(&read, "");
    let odd: Vec<&str> =
        halved.notices.iter().map(|n| &*n.message).filter(|message| message.contains("corner")).collect();
    let [odd] = odd[..] else { panic!("{:?}", halved.notices) };
    assert!(
        odd.contains("treble corner at the bridge was read as 2.95 mm, in the others as about 6.20 mm"),
        "{odd}"
    );
    let radius = halved.positions[0].rout.corners.at(TREBLE_BRIDGE).clone();
    near(radius.value().as_mm(), 2.95, 1e-9, "as it was read");
    // A rectangular distribution over what they are apart, and the readings beside it.
    assert!((radius.uncertainty().as_mm() - 3.25 / 12f64.sqrt()).abs() < 0.02, "{radius:?}");
    let again = [&read[..], &[("treble, bridge", 2.95)]].concat();
    let believed = family(&again, "");
    assert!(believed.notices.iter().all(|n| !n.message.contains("corner")), "{:?}", believed.notices);
    assert!(believed.positions[0].rout.corners.at(TREBLE_BRIDGE).uncertainty().as_mm() < 0.05);
    // Corners that all differ were worked by hand.
    let all = family(
        &[("treble, neck", 4.0), ("bass, neck", 6.0), ("treble, bridge", 5.0), ("bass, bridge", 8.0)],
        "",
    );
    assert!(all.notices.iter().all(|n| !n.message.contains("one cutter")), "{:?}", all.notices);
}
