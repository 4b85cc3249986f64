//! What a coupon tells of a printer.

use std::fmt::Write;

use bobbinwright_estimate::expanded;
use bobbinwright_spec::printer::coupon::Axis;
use bobbinwright_spec::printer::profile::{Made, Profile};
use bobbinwright_spec::{Length, Printer};
use bobbinwright_tests::simulated_coupon::{CaliperError, FIGURES, Truth, figures, log, survey};
use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;

fn printer(log: &str) -> (Printer, bobbinwright_spec::Doubts) {
    let found = survey(log).printer().unwrap_or_else(|e| panic!("{e}"));
    (found.printer, found.doubts)
}

/// Of so many simulated printers, coupons and calipers, how many truths the stated 95 % intervals hold,
/// figure by figure.
fn held(runs: u64, error: CaliperError) -> [u64; 8] {
    let mut held = [0; 8];
    for run in 0..runs {
        let mut rng = ChaCha8Rng::seed_from_u64(run);
        let truth = Truth::drawn(&mut rng);
        let (printer, doubts) = printer(&log(&truth, 0.015, error, &mut rng));
        let profile = printer.profile().unwrap();
        for (i, (stated, true_value)) in figures(profile).into_iter().zip(truth.figures()).enumerate() {
            let off = (stated.value().as_mm() - true_value).abs();
            held[i] += u64::from(off <= expanded(stated, &doubts, 0.95).as_mm());
        }
    }
    for (name, held) in FIGURES.into_iter().zip(held) {
        println!("{error:?}, {name}: {:.1} %", 100.0 * held as f64 / runs as f64);
    }
    held
}

/// Of 1,000 runs an interval that holds 95 of 100 truths holds so many, less two standard deviations of such a count.
const ENOUGH: u64 = 936;

/// In 95 of 100, and not in all: an interval that is never wrong says nothing. (6,000 runs: 95.6 to 97.4 of 100.)
#[test]
fn the_truth_lies_within_the_stated_uncertainty() {
    for (name, held) in FIGURES.into_iter().zip(held(1000, CaliperError::AnotherEachTime)) {
        assert!((ENOUGH..=990).contains(&held), "{name}: {held} of 1000");
    }
}

/// The same with a caliper that is off by as much everywhere.
#[test]
fn a_caliper_that_is_off_everywhere_is_allowed_for() {
    for (name, held) in FIGURES.into_iter().zip(held(1000, CaliperError::TheSameEverywhere)) {
        assert!(held >= ENOUGH, "{name}: {held} of 1000");
    }
}

/// What is drawn for a wanted size comes out as wanted on the printer that the coupon was read from,
/// within what is stated: 95 of 100 sizes of each kind.
#[test]
fn drawn_sizes_come_out_as_wanted() {
    const RUNS: u64 = 300;
    let cases = [
        ("outside", 92.0, Made::Outer(Axis::X)),
        ("inside", 34.0, Made::Inner(Axis::Y)),
        ("hole", 2.75, Made::Hole),
        ("height", 18.5, Made::Height),
    ];
    for (name, wanted, made) in cases {
        let mut held = 0;
        for run in 0..RUNS {
            let mut rng = ChaCha8Rng::seed_from_u64(10_000 + run);
            let truth = Truth::drawn(&mut rng);
            let (printer, mut doubts) = printer(&log(&truth, 0.015, CaliperError::AnotherEachTime, &mut rng));
            let profile = printer.profile().unwrap();
            let drawn = profile.drawn(Length::from_mm(wanted), made);
            let stated = profile.made(Length::from_mm(wanted), made, None, &mut doubts);
            // One more print of it.
            let scatter = rand_distr::Normal::new(0.0, truth.scatter).unwrap();
            let printed = truth.prints(Profile::as_coupon(drawn, made).unwrap())
                + rand_distr::Distribution::sample(&scatter, &mut rng);
            let off = (printed - wanted).abs();
            held += u32::from(off <= expanded(&stated, &doubts, 0.95).as_mm() + 0.001);
        }
        println!("{name}: {:.1} %", f64::from(held) * 100.0 / RUNS as f64);
        // Less two standard deviations of so many runs.
        assert!(f64::from(held) >= RUNS as f64 * 0.925, "{name}: {held} of {RUNS}");
    }
}

/// Without scatter, and with figures that are sizes themselves, the fit gives the truth back.
#[test]
fn exact_readings_give_the_exact_profile() {
    let truth = Truth {
        scale: [0.995, 0.998, 1.001],
        growth: 0.06,
        hole: 0.15,
        curve: 0.3,
        foot: 0.2,
        lift: -0.04,
        scatter: 0.0,
    };
    let empty =
        survey("tool(on: \"2026-09-01\", name: \"caliper\", resolution: mm(0.01), mpe_outside: mm(0.02))\n");
    let mut text = empty.problems.files[1].text.clone();
    for size in empty.coupon.sizes() {
        let printed = truth.prints(size);
        writeln!(text, "reading(on: \"2026-09-02\", of: \"{size}\", got: mm({printed:.9}))").unwrap();
    }
    let (printer, _) = printer(&text);
    for (stated, true_value) in figures(printer.profile().unwrap()).into_iter().zip(truth.figures()) {
        assert!((stated.value().as_mm() - true_value).abs() < 1e-6, "{stated:?} {true_value}");
    }
}

/// Whoever is in the middle of reading a coupon has a family that can be judged all the same, by what is usual.
#[test]
fn a_coupon_that_is_read_in_part_tells_nothing_yet() {
    let mut rng = ChaCha8Rng::seed_from_u64(1);
    let whole = log(&Truth::drawn(&mut rng), 0.015, CaliperError::AnotherEachTime, &mut rng);
    let part: String = whole.lines().take(5).flat_map(|line| [line, "\n"]).collect();
    let [unread, part, whole] = ["", &part, &whole].map(|log| {
        let tool =
            "tool(on: \"2026-09-01\", name: \"caliper\", resolution: mm(0.01), mpe_outside: mm(0.02))\n";
        let found =
            survey(if log.is_empty() { tool } else { log }).printer().unwrap_or_else(|e| panic!("{e}"));
        let said = found.notices.iter().any(|n| n.message.contains("not read yet"));
        (found.printer.profile().unwrap().hole_far.value(), said)
    });
    assert_eq!(unread.0, part.0);
    assert!(part.1 && !whole.1);
    assert_ne!(part.0, whole.0);
}
