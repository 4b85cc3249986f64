//! Copies that are mixed up on a simulated bench: a printer with scale and hole offset whose coupon was read, a hand that
//! scatters, and two builds of a cover that differ in one size. `BENCHES=200 cargo test --release -p bobbinwright-tests --test mixed --
//! --nocapture` prints the table.

use std::fmt::Write;

use bobbinwright_core::Prepared;
use bobbinwright_export::mixed::ever_printed;
use bobbinwright_export::teach::{Bench, Lesson, NothingLearnt, of_copies};
use bobbinwright_export::{bench, manifest};
use bobbinwright_folder::Memory;
use bobbinwright_install::gather;
use bobbinwright_spec::printer::coupon::CouponSize;
use bobbinwright_spec::{Book, Folder, Length, NotWritten, PrinterSurvey, Survey, When};
use bobbinwright_tests::folder;
use bobbinwright_tests::simulated_coupon::{CaliperError, PRINTER, Truth, log};
use rand::rngs::ChaCha8Rng;
use rand::{Rng, RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use serde_json::Value;

const WHEN: When = When { latest: None, as_of: None };

/// How far the other build draws the hollow otherwise, mm; none where the copy is what it is said to be.
const MIXED: [f64; 4] = [0.1, 0.14, 0.3, 0.6];

/// What is read of a cover, in the order in which it decides.
const READ: [&str; 5] = ["hollow_length", "length", "width", "hollow_width", "screw_hole"];

/// The size in which both builds differ.
const DIFFERS: &str = "hollow_length";

fn normal(rng: &mut impl Rng) -> f64 {
    StandardNormal.sample(rng)
}

/// A family and its printer in memory, as they are before anything is printed.
struct Shop {
    root: Folder,
    truth: Truth,
    hand: f64,
    /// The manifest of what is printed, and its mark.
    built: (Value, String),
}

impl Shop {
    fn drawn(rng: &mut impl Rng) -> Option<Self> {
        let truth = Truth::drawn(rng);
        let hand = rng.random_range(0.03..0.05);
        let root = Folder::in_memory(Memory::default(), "specs");
        let text = |name: &str| std::fs::read_to_string(folder("wherry").join(name)).unwrap();
        let family = text("family.ron");
        root.join("wherry")
            .create(&[("family.ron", &family), ("readings.ron", &text("readings.ron"))])
            .unwrap();
        let coupon = log(&truth, hand, CaliperError::TheSameEverywhere, rng);
        root.join("wherry/quay").create(&[("printer.ron", PRINTER), ("readings.ron", &coupon)]).unwrap();
        let own = root.join("wherry");
        let survey = Survey::load_at(&own, WHEN).unwrap();
        let prepared = Prepared::new(survey.clone().family().ok()?).ok()?;
        let files = gather(|sink| bobbinwright_export::write(&prepared, &survey, None, sink, || ())).ok()?;
        let (_, bytes) = files.into_iter().find(|(name, _)| name == manifest::FILE)?;
        let value: Value = serde_json::from_slice(&bytes).unwrap();
        let mark = bobbinwright_export::changes::Built::of(&bytes, manifest::FILE.as_ref()).unwrap().mark;
        own.join(bench::KEPT)
            .create(&[(&format!("{mark}.json"), &String::from_utf8(bytes).unwrap())])
            .unwrap();
        Some(Self { root, truth, hand, built: (value, mark) })
    }

    fn size(&self, word: &str) -> CouponSize {
        let parts = self.built.0["parts"].as_array().unwrap();
        let cover = parts.iter().find(|p| p["id"] == "bridge-cover").unwrap();
        CouponSize::parse(cover["printed"]["drawn"][word].as_str().unwrap()).unwrap()
    }

    /// Two covers were printed, of which the other's hollow is longer by so much; the readings that are said to be of this build's
    /// are of the other's where they are mixed up.
    fn taught(&self, by: f64, mixed: bool, rng: &mut impl Rng) -> [Option<bool>; 3] {
        let own = self.root.join("wherry");
        let CouponSize::Slot(axis, drawn) = self.size(DIFFERS) else { panic!("a hollow is a slot") };
        let other =
            bobbinwright_spec::printer::coupon::Drawn::new(Length::from_mm(drawn.length().as_mm() + by));
        let other = CouponSize::Slot(axis, other);
        let mut value = self.built.0.clone();
        for part in value["parts"].as_array_mut().unwrap().iter_mut().filter(|p| p["id"] == "bridge-cover") {
            part["printed"]["drawn"][DIFFERS] = Value::String(other.to_string());
        }
        let kept = own.join(bench::KEPT);
        match kept.read("0000000d.json", 1 << 24) {
            Ok(was) => kept
                .turn()
                .map_err(NotWritten::from)
                .and_then(|t| t.replace("0000000d.json", &was, &value.to_string()))
                .unwrap(),
            Err(_) => kept.create(&[("0000000d.json", &value.to_string())]).unwrap(),
        }
        let mut text = std::fs::read_to_string(folder("wherry").join("readings.ron")).unwrap();
        for mark in ["0000000d", &self.built.1] {
            // Writing to a String does not fail.
            let _ = writeln!(text, "printed(on: \"2026-11-02\", part: \"bridge-cover\", build: \"{mark}\")");
        }
        let caliper = [(); 2].map(|()| rng.random_range(-0.02..0.02));
        for word in READ {
            let size = if mixed && word == DIFFERS { other } else { self.size(word) };
            let is_inside = matches!(size, CouponSize::Slot(..) | CouponSize::Hole(_));
            let made =
                self.truth.prints(size) + self.truth.scatter * normal(rng) + caliper[usize::from(is_inside)];
            let [a, b] = [(); 2].map(|()| made + self.hand * normal(rng));
            let _ = writeln!(
                text,
                "reading(on: \"2026-11-03\", of: \"bridge.cover.{word}\", with: \"caliper\", got: mm([{a:.2}, {b:.2}]))"
            );
        }
        let was = own.read("readings.ron", 1 << 22).unwrap();
        own.turn()
            .map_err(NotWritten::from)
            .and_then(|turn| turn.replace("readings.ron", &was, &text))
            .unwrap();
        let survey = Survey::load_at(&own, WHEN).unwrap();
        let family = survey.clone().family().unwrap_or_else(|e| panic!("{e}"));
        let printer = PrinterSurvey::load_at(&own.join("quay"), WHEN).unwrap();
        let log = survey.log_folder(&own);
        let lying = bench::lying(&log, &survey, WHEN);
        let others = ever_printed(&own, &log, &survey, "quay");
        assert_eq!(others.iter().filter(|o| o.name.starts_with("bridge-cover")).count(), 2);
        // As it was before others were asked, as it is, and where somebody says by its bag which build it is of.
        let said = Some(self.built.1.as_str());
        [(&[][..], None), (&others, None), (&others, said)].map(|(others, said)| {
            let lesson = of_copies(&survey, &family, &lying, &printer, "quay", Bench { others, said });
            believed(&lesson, &self.size(DIFFERS).to_string())
        })
    }
}

/// Is the size believed that decides? None where the copy teaches nothing at all.
fn believed(lesson: &Result<Lesson, NothingLearnt>, drawn: &str) -> Option<bool> {
    let lesson = lesson.as_ref().ok().filter(|lesson| !lesson.entries.is_empty())?;
    Some(lesson.entries.iter().any(|entry| entry.contains(&format!("of: \"{drawn}\""))))
}

#[test]
fn mixed_up_copies_teach_seldom() {
    let benches: u64 = std::env::var("BENCHES").ok().and_then(|n| n.parse().ok()).unwrap_or(12);
    let mut counts = [[[[0u32; 2]; 3]; 4]; 2];
    let mut all = 0;
    for number in 0..benches {
        let mut rng = ChaCha8Rng::seed_from_u64(number);
        let Some(shop) = Shop::drawn(&mut rng) else { continue };
        all += 1;
        for (i, by) in MIXED.into_iter().enumerate() {
            let by = if rng.random_bool(0.5) { by } else { -by };
            for mixed in [false, true] {
                for (now, taught) in shop.taught(by, mixed, &mut rng).into_iter().enumerate() {
                    let count = &mut counts[usize::from(mixed)][i][now];
                    count[0] += u32::from(taught == Some(true));
                    count[1] += u32::from(taught.is_none());
                }
            }
        }
    }
    println!(
        "{all} benches; of 100: hollow taught before, now, now with its mark said; copy teaches nothing before, now"
    );
    for (mixed, counts) in ["honest", "mixed up"].into_iter().zip(&counts) {
        for (by, [before, now, said]) in MIXED.into_iter().zip(counts) {
            let share = |n: u32| 100.0 * f64::from(n) / f64::from(all);
            println!(
                "{mixed:8} beside one {by:.2} mm otherwise: {:5.1} {:5.1} {:5.1}   {:5.1} {:5.1}",
                share(before[0]),
                share(now[0]),
                share(said[0]),
                share(before[1]),
                share(now[1])
            );
        }
    }
    let [honest, mixed] = counts;
    let sum = |of: &[[[u32; 2]; 3]; 4], now: usize| of.iter().map(|c| c[now][0]).sum::<u32>();
    // Mixed up by 0.3 mm next to nothing is taught; on the whole far less than before, and of what is honest most of it.
    assert!(mixed[2][1][0] + mixed[3][1][0] <= all / 50, "{mixed:?}");
    assert!(sum(&mixed, 1) * 2 < sum(&mixed, 0).max(1), "{mixed:?}");
    assert!(f64::from(sum(&honest, 1)) > 0.85 * f64::from(sum(&honest, 0)), "{honest:?}");
}
