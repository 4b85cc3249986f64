//! A simulated bench on which covers are painted: what was read is read again with the paint on, or is the bare print's and
//! entered too late. `BENCHES=2000 cargo test --release -p bobbinwright-tests --test bare -- --nocapture` prints the table.

use std::fmt::Write;

use bobbinwright_spec::{SourceFile, Survey, When};
use bobbinwright_tests::folder;
use rand::rngs::ChaCha8Rng;
use rand::{Rng, RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};

/// What is put on a face, mm, as it was read on a scrap.
const COATS: [f64; 4] = [0.05, 0.1, 0.15, 0.2];

/// Faces of a cover with how many of them lie in the size, and about how large they are.
const SIZES: [(&str, f64, f64); 3] = [("height", 1.0, 17.6), ("length", 2.0, 96.0), ("width", 2.0, 40.0)];

/// What is entered after the cover is finished.
#[derive(Clone, Copy, PartialEq)]
enum Entered {
    /// What is read then.
    Finished,
    /// What was read with the other figures of the bare print, or of another copy.
    Bare,
}

fn normal(rng: &mut impl Rng) -> f64 {
    StandardNormal.sample(rng)
}

/// How many figures are read of a size, each time.
const FIGURES: [usize; 3] = [1, 2, 3];

/// Of each size: is it said that it is the bare print's?
fn noticed(coat: f64, figures: usize, entered: Entered, rng: &mut impl Rng) -> [bool; 3] {
    let text = |name: &str| std::fs::read_to_string(folder("tidewick").join(name)).unwrap();
    let finish = format!("finish: (cover: coats(primer: 2, paint: 3, adds: mm({coat}))), cover: (");
    let family = text("family.ron").replacen("cover: (", &finish, 1);
    let mut log = text("readings.ron");
    log.push_str("printed(on: \"2026-10-01\", part: \"neck-cover\", build: \"00000001\")\n");
    let hand = rng.random_range(0.03..0.05);
    let caliper = rng.random_range(-0.02..0.02);
    // By no more than a fifth is a coat off what was read on a scrap, and by 0.02 mm at least.
    let within = (coat * 0.2f64).max(0.02);
    let coat = coat + rng.random_range(-within..within);
    let sizes = SIZES.map(|(word, faces, about)| {
        (word, about + rng.random_range(-0.5..0.5), if entered == Entered::Bare { 0.0 } else { coat * faces })
    });
    for (day, is_finished) in [(2, false), (11, true)] {
        if is_finished {
            log.push_str("copy(on: \"2026-10-10\", part: \"neck-cover\", copy: 1, is: finished)\n");
        }
        for (word, bare, coat) in sizes {
            let is = bare + if is_finished { coat } else { 0.0 } + caliper;
            let got: Vec<String> = (0..figures).map(|_| format!("{:.2}", is + hand * normal(rng))).collect();
            // Writing to a String does not fail.
            let _ = writeln!(
                log,
                "reading(on: \"2026-10-{day:02}\", of: \"neck.cover.{word}\", with: \"caliper\", got: mm([{}]))",
                got.join(", ")
            );
        }
    }
    let file = |name: &str, text: String| SourceFile { name: name.into(), text };
    let survey =
        Survey::read_at("test", file("family.ron", family), file("readings.ron", log), When::default());
    let survey = survey.unwrap_or_else(|e| panic!("{e}"));
    assert!(!survey.problems.has_errors(), "{}", survey.problems);
    SIZES.map(|(word, ..)| {
        let is_of = |message: &str| message.contains(&format!("neck.cover.{word} is "));
        survey.problems.all.iter().any(|p| is_of(&p.message) && p.message.contains("as a bare print"))
    })
}

#[test]
fn bare_sizes_are_noticed_and_finished_ones_seldom() {
    let benches: u64 = std::env::var("BENCHES").ok().and_then(|n| n.parse().ok()).unwrap_or(60);
    println!("of 100 sizes with one face and two: noticed where finished, and where bare");
    let (mut honest, mut worst, mut thick) = (0u32, 0.0f64, 0u32);
    for figures in FIGURES {
        for coat in COATS {
            let mut counts = [[0u32; 2]; 2];
            for number in 0..benches {
                let mut rng = ChaCha8Rng::seed_from_u64(number);
                for (i, entered) in [Entered::Finished, Entered::Bare].into_iter().enumerate() {
                    let [one, two, three] = noticed(coat, figures, entered, &mut rng).map(u32::from);
                    counts[i][0] += one;
                    counts[i][1] += two + three;
                }
            }
            let share = |n: u32, sizes: u64| 100.0 * f64::from(n) / (sizes * benches) as f64;
            let [finished, bare] = counts.map(|[one, two]| [share(one, 1), share(two, 2)]);
            println!(
                "{figures} figures, {coat:.2} mm a face: finished {:5.1} {:5.1}   bare {:5.1} {:5.1}",
                finished[0], finished[1], bare[0], bare[1]
            );
            honest += counts[0][0] + counts[0][1];
            worst = worst.max(finished[0]).max(finished[1]);
            thick += u32::from(coat > 0.09 && figures > 1 && bare[1] > 80.0);
        }
    }
    let all = FIGURES.len() as u64 * COATS.len() as u64 * SIZES.len() as u64 * benches;
    let share = f64::from(honest) / all as f64;
    println!("{share:.4} of {all} honest sizes noticed, at most {worst:.1} of 100");
    assert!(share < 0.01, "{share}");
    assert_eq!(thick, 6, "two faces of 0.1 mm and more, read twice and more");
}
