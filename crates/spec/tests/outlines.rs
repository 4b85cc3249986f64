//! Routs that are no rectangles on purpose, by their readings.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::{Family, Problems, SourceFile};

const FAMILY: &str = include_str!("../../../specs/transom/family.ron");
const READINGS: &str = include_str!("../../../specs/transom/readings.ron");

fn read(family: &str, readings: &str) -> Result<Family, Problems> {
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    Family::read("transom", file("family.ron", family), file("readings.ron", readings))
}

/// The demo was drawn with 86.43 along the row, 36.18 across it and ends that run 0.17 towards bass for each mm towards the neck,
/// and read with a scatter of 0.012.
#[test]
fn sides_and_diagonals_tell_a_parallelogram() {
    let family = read(FAMILY, READINGS).unwrap_or_else(|e| panic!("{e}"));
    let rout = &family.positions[0].rout;
    let [along, across] = rout.sides.half;
    for (side, towards) in [(&rout.sides.treble, 1.0), (&rout.sides.bass, -1.0)] {
        let [mean, tilt] = side.line();
        assert!((mean - 86.43 / 2.0).abs() < 0.03, "{mean}");
        let lean = towards * tilt / across;
        assert!((lean + 0.17).abs() < 0.003, "{lean}");
        let u = side.reach(1.0).uncertainty().as_mm();
        assert!((0.02..0.12).contains(&u), "{u}");
    }
    for side in [&rout.sides.neck, &rout.sides.bridge] {
        let [mean, tilt] = side.line();
        assert!((mean - 36.18 / 2.0).abs() < 0.03 && (tilt / along).abs() < 0.002, "{mean} {tilt}");
    }
    // The screws stand where they were put, though they were read square to ends that lean.
    for (screw, [x, y]) in rout.screws.iter().zip([[14.2, 23.44], [-13.81, -23.37]]) {
        let [along, across] = [&screw.along, &screw.across].map(|place| place.value().as_mm());
        assert!((along - x).abs() < 0.06 && (across - y).abs() < 0.06, "{along} {across}");
    }
    assert!(family.notices.iter().all(|n| !n.message.contains("contradict")), "{:?}", family.notices);
}

/// A trapezoid that is 40 wide at treble and 32 at bass, where the spots are, with ends square to its middle line.
#[test]
fn spots_tell_a_trapezoid() {
    let (l, w, widens, r) = (86.0f64, 36.0f64, 4.0 / 0.89, 4.76f64);
    let slope: f64 = widens / l;
    // The arcs' middles: a radius in from each side, square to it.
    let centre = |end: f64| {
        let x = end * (l / 2.0 - r);
        [x, w / 2.0 + slope * x - r * slope.hypotenuse(1.0)]
    };
    let ([a, b], [c, d]) = (centre(1.0), centre(-1.0));
    let diagonal = (a - c).hypotenuse(b + d) + 2.0 * r;
    let is_old = |line: &&str| {
        ["rout.length", "rout.width", "rout.diagonal", "corner_radius\", spot", "screws.1.", "screws.2."]
            .iter()
            .any(|of| line.contains(of))
            || line.contains("bridge.ears")
            || line.contains("screws.pitch")
    };
    let mut log: Vec<String> = READINGS.lines().filter(|l| !is_old(l)).map(str::to_owned).collect();
    let mut add = |of: &str, spot: &str, mm: f64| {
        let spot = if spot.is_empty() { String::new() } else { format!(", spot: {spot:?}") };
        log.push(format!(
            "reading(on: \"2026-11-24\", of: \"bridge.{of}\", with: \"caliper\"{spot}, got: mm([{mm:.3}, {mm:.3}]))"
        ));
    };
    for spot in ["bridge side", "middle", "neck side"] {
        add("rout.length", spot, l);
    }
    // 1 - 2 · 4.76 / 86 of the way to the ends is where jaws stand there.
    let end = 1.0 - 2.0 * r / l;
    for (spot, at) in [("bass end", -end), ("middle", 0.0), ("treble end", end)] {
        add("rout.width", spot, w + widens * at);
    }
    add("rout.diagonal.treble", "", diagonal);
    add("rout.diagonal.bass", "", diagonal);
    add("rout.corner_radius", "", r);
    add("screws.pitch", "", 70.0);
    let bosses = "mounting: bosses(diameter: mm(9.0), recess_diameter: mm(6.4), recess_depth: mm(2.4))";
    let family = FAMILY.replace("mounting: ears(thickness: mm(3.0), blend: mm(0.6))", bosses).replace(
        "outline: parallelogram, slant: degrees(11), ear_recesses: [neck, bridge], ",
        "outline: trapezoid, slant: degrees(11), ",
    );
    let family = read(&family, &log.join("\n")).unwrap_or_else(|e| panic!("{e}"));
    let sides = &family.positions[0].rout.sides;
    for side in [&sides.neck, &sides.bridge] {
        let [mean, tilt] = side.line();
        let found = tilt / sides.half[0];
        assert!((mean - w / 2.0).abs() < 0.03 && (found - slope).abs() < 0.001, "{mean} {found} {slope}");
    }
    for side in [&sides.treble, &sides.bass] {
        let [mean, tilt] = side.line();
        assert!((mean - l / 2.0).abs() < 0.03 && (tilt / sides.half[1]).abs() < 0.003, "{mean} {tilt}");
    }
}

#[test]
fn a_parallelogram_needs_both_diagonals() {
    let log: Vec<&str> = READINGS.lines().filter(|line| !line.contains("diagonal.bass")).collect();
    let said = read(FAMILY, &log.join("\n")).err().map(|e| e.to_string()).unwrap_or_default();
    assert!(said.contains("bridge.rout.diagonal.bass"), "{said}");
}
