//! The arithmetic of readings against worked examples and sums done by hand.

mod common;

use bobbinwright_spec::{
    Doubt, Doubts, Estimate, Family, InstrumentQuantity, Length, Origin, PositionQuantity, Quantity, When,
};

use common::{FAMILY, READINGS, file, near, replaced, with_readings};

/// A caliper budget worked by hand with the rules of JCGM 100 (4.2.3, 4.3.7, G.4.1): readings
/// 52.01 52.03 52.02 52.02 52.00, step 0.01, limit ± 0.02 rectangular. Mean 52.016, sum of squares 0.00052 with 4
/// degrees of freedom; with what is believed of a hand, 0.03 with as many, s² = (0.00052 + 0.0036) / 8, s 0.022694,
/// u 0.015642, effective degrees of freedom 45. The tool is used for nothing else, so that no other series counts.
#[test]
fn a_caliper_budget_comes_out_as_worked_by_hand() {
    let family = replaced(
        "neck.screws.pitch",
        r#"tool(on: "2026-09-20", name: "other", resolution: mm(0.01), mpe_outside: mm(0.02))
           reading(on: "2026-09-20", of: "neck.screws.pitch", with: "other", how: outside, got: mm([52.01, 52.03, 52.02, 52.02, 52.00]))"#,
    );
    let length = family.positions[0].rout.screw_pitch.as_ref().unwrap();
    near(length.value().as_mm(), 52.016, 1e-9, "mean");
    near(length.uncertainty().as_mm(), 0.015_642, 5e-7, "combined standard uncertainty");
    near(family.doubts.freedom(length).floor(), 45.0, 0.0, "degrees of freedom");
}

/// JCGM 100 H.1, the end gauge: published 50.000838 mm, u 32 nm, 16 degrees of freedom. (The model
/// is linear in each quantity, so central differences are exact; temperatures and coefficients
/// ride in the same type as plain numbers.)
#[test]
fn the_end_gauge_of_the_gum_comes_out_as_published() {
    let mut doubts = Doubts::default();
    let mut input = |value: f64, u: f64, freedom: f64| {
        let doubt = Doubt::new(None, Origin::Stated, freedom);
        doubts.enter(doubt, Length::from_mm(u)).moved_to(Length::from_mm(value))
    };
    let rectangular = |a: f64| a / 3f64.sqrt();
    let ls = input(50.000_623, 25e-6, 18.0);
    // The comparison's own doubts: repeats, random and systematic error of the comparator.
    let d = input(215e-6, 5.8e-6, 24.0) + input(0.0, 3.9e-6, 5.0) + input(0.0, 6.7e-6, 8.0);
    let alpha = input(11.5e-6, rectangular(2e-6), f64::INFINITY);
    let d_alpha = input(0.0, rectangular(1e-6), 50.0);
    let d_theta = input(0.0, rectangular(0.05), 2.0);
    let theta = input(-0.1, 0.2, f64::INFINITY) + input(0.0, 0.5 / 2f64.sqrt(), f64::INFINITY);
    let length = Estimate::of(&[&ls, &d, &alpha, &d_alpha, &d_theta, &theta], |v| {
        let [ls, d, alpha, d_alpha, d_theta, theta] = [0, 1, 2, 3, 4, 5].map(|i| v[i].as_mm());
        Length::from_mm(ls + d - ls * (d_alpha * theta + alpha * d_theta))
    });
    near(length.value().as_mm(), 50.000_838, 5e-7, "length");
    near(length.uncertainty().as_mm() * 1e6, 31.66, 0.05, "u in nm");
    near(doubts.freedom(&length).floor(), 16.0, 0.0, "degrees of freedom");
}

/// Centre distance = outer distance less half of both diameters, whichever way it was taken.
#[test]
fn three_ways_to_a_pitch_agree() {
    let pitch = |how: &str, reading: f64| {
        let entry = format!(
            "reading(on: \"2026-09-20\", of: \"neck.screws.pitch\", with: \"caliper\", how: {how}, got: mm({reading}))"
        );
        replaced("neck.screws.pitch", &entry).positions[0].rout.screw_pitch.as_ref().unwrap().value().as_mm()
    };
    // The demo's hole: mean of 2.42, 2.45, 2.43.
    let hole = (2.42 + 2.45 + 2.43) / 3.0;
    near(pitch("outside", 80.0), 80.0, 1e-9, "direct");
    near(pitch("holes_far", 80.0 + hole), 80.0, 1e-9, "far edge to far edge");
    near(pitch("holes_near", 80.0 - hole), 80.0, 1e-9, "near edge to near edge");
}

#[test]
fn strings_outer_and_inner_give_the_same_centres() {
    let spread = |how: &str, reading: f64| {
        let entry = format!(
            "reading(on: \"2026-09-20\", of: \"bridge.spread\", with: \"caliper\", how: {how}, got: mm({reading}))"
        );
        let family = replaced("bridge.spread", &entry);
        family.positions[1].fan_out.clone().unwrap().predicted.value().as_mm()
    };
    let thin = (0.33 + 0.34 + 0.33) / 3.0;
    let thick = (1.57 + 1.58 + 1.57) / 3.0;
    let half = f64::midpoint(thin, thick);
    near(spread("strings_outer", 52.0 + half), spread("strings_inner", 52.0 - half), 1e-9, "spread");
}

/// Fan-out w(x) = `w_b` + (`w_n` - `w_b`) x / scale, worked: 52.5 at the bridge, 35 at the nut, 648
/// scale, 160 from the saddles gives 48.1790; at 45 gives 51.2847. (Similar triangles.)
#[test]
fn strings_fan_out_by_similar_triangles() {
    let predicted = |x: f64| {
        let entries = format!(
            r#"reading(on: "2026-09-20", of: "bridge.spread", with: "caliper", got: mm(52.5), afresh: true)
               reading(on: "2026-09-20", of: "nut.spread", with: "caliper", got: mm(35.0), afresh: true)
               reading(on: "2026-09-20", of: "scale", with: "rule", got: mm(648.0), afresh: true)
               reading(on: "2026-09-20", of: "neck.distance", with: "rule", got: mm({x}), afresh: true)"#
        );
        let family = with_readings(&format!("{READINGS}\n{entries}")).unwrap_or_else(|e| panic!("{e}"));
        family.positions[0].fan_out.clone().unwrap().predicted.value().as_mm()
    };
    near(predicted(160.0), 48.1790, 5e-5, "neck");
    near(predicted(45.0), 51.2847, 5e-5, "bridge");
}

/// A withdrawn entry does not count; the log keeps it.
#[test]
fn a_withdrawn_reading_does_not_count() {
    let before = with_readings(READINGS).unwrap().positions[0].rout.width.value();
    let slip = "reading(on: \"2026-09-20\", of: \"neck.rout.width\", with: \"caliper\", got: mm(39.9))";
    let number = READINGS.lines().filter(|l| l.starts_with("tool(") || l.starts_with("reading(")).count() + 1;
    let withdrawal = format!("withdraw(on: \"2026-09-21\", entry: {number}, why: \"misread\")");
    let slipped = with_readings(&format!("{READINGS}\n{slip}")).unwrap();
    assert!(slipped.positions[0].rout.width.value() > before);
    let mended = with_readings(&format!("{READINGS}\n{slip}\n{withdrawal}")).unwrap();
    assert_eq!(mended.positions[0].rout.width.value(), before);
}

/// The shallowest spot decides about a depth.
#[test]
fn the_shallowest_spot_is_the_depth() {
    let family = with_readings(READINGS).unwrap();
    near(family.positions[0].rout.depth.value().as_mm(), f64::midpoint(18.97, 19.01), 1e-9, "treble end");
}

/// Inches and millimetres meet: 1 in = 25.4 mm exactly (international yard and pound agreement of 1959, from memory).
#[test]
fn inches_become_millimetres() {
    let family = replaced(
        "rod.diameter",
        "reading(on: \"2026-09-20\", of: \"rod.diameter\", how: packet, within: inch(0.001), got: inch(0.1875))",
    );
    near(family.hardware.rod_diameter.value().as_mm(), 4.7625, 1e-12, "3/16 in");
    near(family.hardware.rod_diameter.uncertainty().as_mm(), 0.0254 / 3f64.sqrt(), 1e-12, "rectangular");
}

/// Half of the variance of a caliper's error is the same in all that one pair of its jaws reads (JCGM 100 F.1.2.3): of a sum of n
/// sizes the tool's part is a²/3 (n²/2 + n/2), of a difference of two a²/3, and with other jaws nothing is shared.
#[test]
fn a_calipers_error_adds_up_along_a_chain() {
    let family = with_readings(READINGS).unwrap();
    let doubts = &family.doubts;
    let of_tool = |e: &Estimate| -> f64 {
        let is_tool = |id| doubts.get(id).is_some_and(|d| d.origin == Origin::ToolError);
        e.contributions().filter(|(id, _)| is_tool(*id)).map(|(_, u)| u.as_mm() * u.as_mm()).sum()
    };
    let hardware = &family.hardware;
    let [a, b, c] = [&hardware.screw_head, &hardware.lead_diameter, &hardware.eyelet_flange];
    let one = 0.02 * 0.02 / 3.0;
    near(of_tool(a), one, 1e-12, "one size");
    near(of_tool(&(a.clone() + b.clone() + c.clone())), one * (9.0 + 3.0) / 2.0, 1e-12, "a sum of three");
    near(of_tool(&(a.clone() - b.clone())), one, 1e-12, "a difference");
    let depth = &family.positions[0].rout.depth;
    let both = of_tool(&(a.clone() - depth.clone()));
    near(both, one + of_tool(depth), 1e-12, "with other jaws");
}

/// What two quantities share cancels in their difference.
#[test]
fn common_doubts_cancel() {
    let mut doubts = Doubts::default();
    let scatter = Origin::Scatter { readings: 6 };
    let doubt = |q| Doubt::new(Some(q), scatter, 5.0);
    let gauge =
        doubts.enter(doubt(Quantity::Instrument(InstrumentQuantity::Gauge(1))), Length::from_mm(0.03));
    let depth = Quantity::At("neck".into(), PositionQuantity::RoutDepth);
    let own = doubts.enter(doubt(depth.clone()), Length::from_mm(0.04));
    let difference = (gauge.clone() + own) - gauge;
    near(difference.uncertainty().as_mm(), 0.04, 1e-12, "only what is not shared");
    assert_eq!(doubts.main_doubt(&difference).unwrap().0, depth);
}

/// From the rout's side to the near face of a string: half its diameter more is its centre; to the
/// far face: half less. String 6 then lies half the rout's length less that to the bass side.
#[test]
fn near_and_far_face_of_an_outer_string_agree() {
    let place = |how: &str, reading: f64| {
        let entry = format!(
            "reading(on: \"2026-09-20\", of: \"neck.strings.bass_side\", with: \"caliper\", how: {how}, got: mm({reading}))"
        );
        let tag = |q: &str| format!("of: \"neck.strings.{q}\"");
        let gone = [tag("bass_side"), tag("treble_side")];
        let kept: Vec<&str> = READINGS.lines().filter(|l| !gone.iter().any(|g| l.contains(g))).collect();
        let family =
            with_readings(&format!("{}\n{entry}\n", kept.join("\n"))).unwrap_or_else(|e| panic!("{e}"));
        let end = family.positions[0].rout.sides.bass.reach(0.0).value().as_mm();
        (family.positions[0].strings[5].place.value().as_mm(), end)
    };
    let half = (1.57 + 1.58 + 1.57) / 6.0;
    let (near_face, end) = place("string_near", 22.0 - half);
    near(near_face, 22.0 - end, 1e-3, "near face");
    near(place("string_far", 22.0 + half).0, near_face, 1e-9, "far face");
    near(place("inside", 22.0).0, near_face, 1e-9, "centre");
}

/// A reading afresh puts aside the earlier ones, of all spots when it names none.
#[test]
fn a_reading_afresh_replaces_the_earlier_ones() {
    let entry = "reading(on: \"2026-09-20\", of: \"neck.rout.depth\", with: \"caliper\", got: mm(22.5), afresh: true)";
    let family = with_readings(&format!("{READINGS}\n{entry}")).unwrap();
    near(family.positions[0].rout.depth.value().as_mm(), 22.5, 1e-9, "deepened");
}

/// The log as it stood on a day.
#[test]
fn a_log_can_be_read_as_of_a_day() {
    let entry = "reading(on: \"2026-09-20\", of: \"neck.rout.width\", with: \"caliper\", got: mm(39.0), afresh: true)";
    // Diagonals of the rout as it was would contradict it.
    let log: String =
        READINGS.lines().filter(|l| !l.contains("diagonal")).map(|l| format!("{l}\n")).collect();
    let read = |day: &str| {
        let when = When { latest: None, as_of: Some(day.parse().unwrap()) };
        let files = (file("family.ron", FAMILY), file("readings.ron", &format!("{log}\n{entry}")));
        Family::read_at("test", files.0, files.1, when).unwrap_or_else(|e| panic!("{e}"))
    };
    near(read("2026-09-20").positions[0].rout.width.value().as_mm(), 39.0, 1e-9, "then");
    let before = with_readings(&log).unwrap().positions[0].rout.width.clone();
    assert_eq!(read("2026-09-19").positions[0].rout.width.value(), before.value());
    assert!(
        Family::read_at(
            "test",
            file("family.ron", FAMILY),
            file("readings.ron", READINGS),
            When { latest: None, as_of: Some("2026-09-01".parse().unwrap()) }
        )
        .is_err()
    );
}

/// Two series that differ by far more than their doubts are pointed out; both still count.
#[test]
fn contradicting_series_are_pointed_out() {
    let entry = "reading(on: \"2026-09-20\", of: \"neck.screws.pitch\", with: \"caliper\", how: outside, got: mm([80.98, 80.99]))";
    let family = with_readings(&format!("{READINGS}\n{entry}")).unwrap();
    assert!(family.notices.iter().any(|n| n.message.contains("contradict")), "{:?}", family.notices);
    let pitch = family.positions[0].rout.screw_pitch.as_ref().unwrap().value().as_mm();
    assert!(pitch > 80.1 && pitch < 80.9, "{pitch}");
}

/// A slip of 4 mm in one side reading contradicts the spacings and the other side: it is pointed out,
/// and the strings' places carry doubt of that size instead of the caliper's hundredths.
#[test]
fn contradicting_string_readings_are_pointed_out_and_doubted() {
    let entry = "reading(on: \"2026-09-20\", of: \"neck.strings.bass_side\", with: \"caliper\", how: string_near, got: mm([25.0, 25.02]), afresh: true)";
    let sound = with_readings(READINGS).unwrap();
    assert!(sound.notices.is_empty(), "{:?}", sound.notices);
    let family = with_readings(&format!("{READINGS}\n{entry}")).unwrap();
    assert!(family.notices.iter().any(|n| n.message.contains("contradict")), "{:?}", family.notices);
    let doubt = |f: &Family| f.positions[0].strings[5].place.uncertainty().as_mm();
    assert!(doubt(&sound) < 0.05 && doubt(&family) > 0.5, "{} {}", doubt(&sound), doubt(&family));
}

/// Six readings whose scatter was pooled are wrong about it together: as many degrees of freedom as the
/// pool has, not six times as many (JCGM 100 G.4.1 asks for independent estimates). Worked: equal parts u,
/// ν = 3: (6u²)² / ((6u²)²/3) = 3; on their own 6²u⁴ / (6u⁴/3) = 18.
#[test]
fn pooled_scatter_has_its_degrees_of_freedom_once() {
    let sum_of_six = |pool: Option<usize>| {
        let mut doubts = Doubts::default();
        let scatter = Origin::Scatter { readings: 2 };
        let mut sum = Estimate::default();
        for _ in 0..6 {
            let doubt = Doubt { pool, ..Doubt::new(None, scatter, 3.0) };
            sum = sum + doubts.enter(doubt, Length::from_mm(0.02));
        }
        doubts.freedom(&sum)
    };
    near(sum_of_six(Some(0)), 3.0, 1e-9, "one pool");
    near(sum_of_six(None), 18.0, 1e-9, "each its own");
}
