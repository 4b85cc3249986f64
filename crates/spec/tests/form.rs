//! The form of a rout by its spots and diagonals, against sums done by hand.

mod common;

use bobbinwright_spec::{Family, RoutSide, Sides};
use common::{READINGS, with_readings};

/// The demo with the neck rout's length, width and diagonals read as given.
fn rout(entries: &[(&str, &str, &str)]) -> Sides {
    let is_old = |l: &&str| {
        ["neck.rout.length", "neck.rout.width", "neck.rout.diagonal"].iter().any(|of| l.contains(of))
    };
    let mut log: Vec<String> = READINGS.lines().filter(|l| !is_old(l)).map(str::to_owned).collect();
    for (of, spot, got) in entries {
        let spot = if spot.is_empty() { String::new() } else { format!(", spot: {spot:?}") };
        log.push(format!(
            "reading(on: \"2026-09-20\", of: \"neck.rout.{of}\", with: \"caliper\"{spot}, got: mm([{got}]))"
        ));
    }
    let family: Family = with_readings(&log.join("\n")).unwrap_or_else(|e| panic!("{e}"));
    family.positions[0].rout.sides.clone()
}

fn apart(one: &RoutSide, other: &RoutSide, at: f64) -> (f64, f64) {
    let sum = one.reach(at) + other.reach(at);
    (sum.value().as_mm(), sum.uncertainty().as_mm())
}

/// Where the straight pieces of the neck rout's long sides end, of half its length: 1 - 2 · 6 / 92.24.
const END: f64 = 0.87;

/// A rout that is 0.4 mm wider at one end: read there and in the middle it is what was read, to the hundredths that two
/// readings are unsure of.
#[test]
fn a_rout_tapers_as_it_was_read() {
    let sides = rout(&[
        ("length", "", "92.24, 92.25"),
        ("width", "bass end", "38.10, 38.11"),
        ("width", "middle", "38.30, 38.31"),
        ("width", "treble end", "38.50, 38.51"),
    ]);
    for (at, read) in [(-END, 38.105), (0.0, 38.305), (END, 38.505)] {
        let (found, u) = apart(&sides.neck, &sides.bridge, at);
        assert!((found - read).abs() < 0.03, "{at}: {found} {read}");
        assert!((0.02..0.06).contains(&u), "{at}: {u}");
    }
    // The middle line runs in the middle, so each side goes out by half of it.
    let half = sides.neck.reach(END).value() - sides.neck.reach(-END).value();
    assert!((half.as_mm() - 0.2).abs() < 0.02, "{half}");
}

/// A rout that bows inwards by 0.2 mm on the whole is tightest in its middle, and one that bows outwards at its ends.
#[test]
fn a_rout_is_tightest_where_it_bows_inwards() {
    let tightest = |middle: &str| {
        let sides = rout(&[
            ("length", "", "92.24, 92.25"),
            ("width", "bass end", "38.30, 38.31"),
            ("width", "middle", middle),
            ("width", "treble end", "38.30, 38.31"),
        ]);
        [0.0, END].map(|at| apart(&sides.neck, &sides.bridge, at).0)
    };
    let [middle, end] = tightest("38.10, 38.11");
    assert!((end - middle - 0.2).abs() < 0.04, "{middle} {end}");
    let [middle, end] = tightest("38.50, 38.51");
    assert!((middle - end - 0.2).abs() < 0.04, "{middle} {end}");
}

/// Out of square by s from corner to corner, the diagonals are 2 · s · cos φ apart, where φ is their slope: by Pythagoras between the
/// arcs' centres, 80.25 by 26.3 mm apart, cos φ = 0.950.
#[test]
fn diagonals_tell_whether_it_is_square() {
    let sides = |treble: &str, bass: &str| {
        rout(&[
            ("length", "bridge side", "92.25, 92.25"),
            ("length", "neck side", "92.25, 92.25"),
            ("width", "bass end", "38.30, 38.30"),
            ("width", "treble end", "38.30, 38.30"),
            ("diagonal.treble", "", treble),
            ("diagonal.bass", "", bass),
        ])
    };
    let out_of_square = |sides: &Sides| {
        let of = |side: &RoutSide| side.reach(1.0) - side.reach(-1.0);
        // Both ends lean over to the same side: the treble end goes out towards the neck, the bass end goes in.
        ((of(&sides.treble) - of(&sides.bass)) * 0.5, of(&sides.treble).value() + of(&sides.bass).value())
    };
    let (square, _) = out_of_square(&sides("96.45, 96.45", "96.45, 96.45"));
    assert!(square.value().as_mm().abs() < 1e-6, "{square:?}");
    // 2 · 0.3 · 0.950 = 0.57; the belief that it is square takes a little of it back.
    let (skewed, both) = out_of_square(&sides("96.735, 96.735", "96.165, 96.165"));
    assert!((skewed.value().as_mm() - 0.3).abs() < 0.02, "{skewed:?}");
    assert!(both.as_mm().abs() < 1e-6, "{both}");
    // Without diagonals nobody knows: 0.15 mm, as is usual, and what waves add.
    let unread = rout(&[("length", "", "92.25, 92.25"), ("width", "", "38.30, 38.30")]);
    let u = out_of_square(&unread).0.uncertainty().as_mm();
    assert!((0.14..0.18).contains(&u), "{u}");
}

/// A side that leans inwards is as far out at the floor as was read there.
#[test]
fn a_side_leans_as_it_was_read() {
    let sides = rout(&[
        ("length", "", "92.24, 92.25"),
        ("width", "middle", "38.30, 38.31"),
        ("width", "middle, floor", "38.10, 38.11"),
    ]);
    let [top, floor] = &sides.neck.reaches(0.0)[..] else { panic!("{sides:?}") };
    assert!((top.value().as_mm() - floor.value().as_mm() - 0.1).abs() < 0.02, "{top:?} {floor:?}");
    // Nobody read the ends further down.
    assert_eq!(sides.treble.reaches(0.0).len(), 1);
}

/// More crooked than is usual: what was read of a taper makes the bows, which nobody read, more doubtful as well.
#[test]
fn a_crooked_rout_is_believed_to_be_crooked_elsewhere() {
    let doubt = |bass: &str, treble: &str| {
        let sides = rout(&[
            ("length", "", "92.24, 92.25"),
            ("width", "bass end", bass),
            ("width", "treble end", treble),
        ]);
        apart(&sides.neck, &sides.bridge, 0.0).1
    };
    let (straight, crooked) = (doubt("38.30, 38.31", "38.30, 38.31"), doubt("38.00, 38.01", "38.60, 38.61"));
    assert!(crooked > 1.5 * straight, "{straight} {crooked}");
}
