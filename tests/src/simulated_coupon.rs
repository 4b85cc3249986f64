//! A printer with known faults, a coupon printed on it, and a caliper in a hand.

use std::fmt::Write;

use bobbinwright_spec::printer::coupon::{Axis, CouponSize};
use bobbinwright_spec::printer::profile::{Made, Profile};
use bobbinwright_spec::{Length, PrinterSurvey, SourceFile, When};
use rand::{Rng, RngExt};
use rand_distr::{Distribution, StandardNormal};

/// What a printer really does, mm; the same figures as a profile's, by formulas of the tests' own.
#[derive(Clone, Copy, Debug)]
pub struct Truth {
    /// Printed over drawn length along x, y and z.
    pub scale: [f64; 3],
    /// How far walls stand out.
    pub growth: f64,
    /// What holes lose.
    pub hole: f64,
    /// What a hole of 1 mm loses besides, in inverse proportion to the diameter.
    pub curve: f64,
    /// How much further the first layer spreads.
    pub foot: f64,
    /// What heights gain.
    pub lift: f64,
    /// Standard deviation of one printed size.
    pub scatter: f64,
}

impl Truth {
    /// A printer as there may be one.
    pub fn drawn(rng: &mut impl Rng) -> Self {
        let mut between = |low: f64, high: f64| rng.random_range(low..high);
        Self {
            scale: [between(0.99, 1.002), between(0.99, 1.002), between(0.99, 1.002)],
            growth: between(-0.05, 0.12),
            hole: between(0.0, 0.3),
            curve: between(0.0, 0.4),
            foot: between(0.0, 0.3),
            lift: between(-0.1, 0.1),
            scatter: between(0.01, 0.05),
        }
    }

    /// A size as it comes out, without scatter.
    pub fn prints(&self, size: CouponSize) -> f64 {
        let d = size.drawn().as_mm();
        let along = |axis: Axis| self.scale[usize::from(axis == Axis::Y)] * d;
        let mean = 0.5 * (self.scale[0] + self.scale[1]) * d;
        match size {
            CouponSize::Outer(axis, _) => along(axis) + 2.0 * self.growth,
            CouponSize::Slot(axis, _) => along(axis) - 2.0 * self.growth,
            CouponSize::Foot(axis, _) => along(axis) + 2.0 * self.growth + 2.0 * self.foot,
            CouponSize::Post(_) => mean + 2.0 * self.growth,
            CouponSize::Hole(_) => mean - self.hole - self.curve / d,
            CouponSize::Height(_) => self.scale[2] * d + self.lift,
        }
    }

    /// The same of a size of any part that is drawn so, mm; distances between holes only stretch, and so do depths.
    pub fn makes(&self, drawn: f64, made: Made) -> f64 {
        match (Profile::as_coupon(Length::from_mm(drawn), made), made) {
            (Some(size), _) => self.prints(size),
            (None, Made::Between(axis)) => self.scale[axis as usize] * drawn,
            (None, _) => self.scale[2] * drawn,
        }
    }

    /// Its figures in the order of [`figures`].
    pub fn figures(&self) -> [f64; 8] {
        let stretch = self.scale.map(|s| (s - 1.0) * 100.0);
        let [x, y, z] = stretch;
        [x, y, z, self.growth, self.hole, self.curve / 3.0, self.foot, self.lift]
    }
}

/// What the figures are called.
pub const FIGURES: [&str; 8] =
    ["stretch x", "stretch y", "stretch z", "growth", "hole, far", "hole, near", "foot", "lift"];

/// A profile's figures.
pub fn figures(p: &Profile) -> [&bobbinwright_spec::Estimate; 8] {
    let [x, y, z] = &p.stretch;
    [x, y, z, &p.growth, &p.hole_far, &p.hole_near, &p.foot, &p.lift]
}

/// The printer's file of every run.
pub const PRINTER: &str = "(
    title: \"simulated\",
    bed: mm([220, 220, 240]),
    least_wall: mm(0.8),
    least_hole: mm(2.0),
    coupon: (holes: mm([2.6, 3.6, 5.0, 6.4])),
)";

/// Half a caliper's permitted error, mm.
const LIMIT: f64 = 0.02;

/// How a caliper errs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CaliperError {
    /// By something else at each size.
    AnotherEachTime,
    /// By the same with its outside jaws everywhere, and with its inside jaws.
    TheSameEverywhere,
}

fn is_inside(size: CouponSize) -> bool {
    matches!(size, CouponSize::Slot(..) | CouponSize::Hole(_))
}

fn normal(rng: &mut impl Rng) -> f64 {
    StandardNormal.sample(rng)
}

/// A log of one coupon, printed and read three times each.
///
/// # Panics
///
/// When the printer's file can't be read.
pub fn log(truth: &Truth, hand: f64, error: CaliperError, rng: &mut impl Rng) -> String {
    let empty = survey(
        "tool(on: \"2026-09-01\", name: \"caliper\", resolution: mm(0.01), mpe_outside: mm(0.02), mpe_inside: mm(0.02), mpe_depth: mm(0.02))\n",
    );
    let mut log = empty.problems.files[1].text.clone();
    let everywhere = [(); 2].map(|()| rng.random_range(-LIMIT..LIMIT));
    for size in empty.coupon.sizes() {
        let printed = truth.prints(size) + truth.scatter * normal(rng);
        let caliper = match error {
            CaliperError::AnotherEachTime => rng.random_range(-LIMIT..LIMIT),
            CaliperError::TheSameEverywhere => everywhere[usize::from(is_inside(size))],
        };
        let mut read = || printed + caliper + hand * normal(rng);
        // Writing to a String does not fail.
        let _ = writeln!(
            log,
            "reading(on: \"2026-09-02\", of: \"{size}\", got: mm([{:.2}, {:.2}, {:.2}]))",
            read(),
            read(),
            read()
        );
    }
    log
}

/// The printer's folder with this log.
///
/// # Panics
///
/// When the log can't be read.
pub fn survey(log: &str) -> PrinterSurvey {
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    PrinterSurvey::read_at(
        "simulated",
        file("printer.ron", PRINTER),
        file("readings.ron", log),
        When::default(),
    )
    .unwrap_or_else(|e| panic!("{e}"))
}
