//! Where the time of a build goes: `cargo bench -p bobbinwright-tests`.

use std::fmt::Write;

use bobbinwright_core::Prepared;
use bobbinwright_export::{CHORD, step, stl};
use bobbinwright_geometry::parts::{PartKind, build_family, build_part};
use bobbinwright_kernel::mesh::mesh;
use bobbinwright_spec::{
    Angle, Family, Folder, Handed, Held, Length, Outline, SourceFile, Start, Survey, Unit, When,
};
use bobbinwright_tests::{demo, folder};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

/// Files to estimates.
#[divan::bench]
fn read_two_positions(bencher: Bencher) {
    let folder = folder("tidewick");
    bencher.bench(|| Family::load(black_box(&Folder::on_disk(&folder))));
}

/// Files to verdicts, solids included: what `check` does.
#[divan::bench]
fn check_two_positions(bencher: Bencher) {
    let folder = folder("tidewick");
    bencher.bench(|| {
        let family = Family::load(black_box(&Folder::on_disk(&folder))).expect("the demo loads");
        Prepared::new(family).map(|p| p.fit.verdict()).ok()
    });
}

/// Verdicts alone: every check of a family whose parts are built.
#[divan::bench]
fn fit_of_two_positions(bencher: Bencher) {
    let family = demo("tidewick");
    let built = build_family(&family).expect("the demo builds");
    bencher.bench(|| bobbinwright_fit::check(black_box(&family), black_box(&built), &[]));
}

/// Eight exact solids.
#[divan::bench]
fn solids_of_two_positions(bencher: Bencher) {
    let family = demo("tidewick");
    bencher.bench(|| build_family(black_box(&family)));
}

/// One cover: exact solid.
#[divan::bench]
fn solid_of_a_cover(bencher: Bencher) {
    let family = demo("tidewick");
    bencher.bench(|| build_part(&family.positions[0], &family.hardware, PartKind::Cover));
}

fn each_part(bencher: Bencher, work: impl Fn(&bobbinwright_geometry::parts::Part)) {
    let built = build_family(&demo("tidewick")).expect("the demo builds");
    bencher.bench_local(|| built.iter().flat_map(|p| &p.parts).for_each(&work));
}

/// Eight meshes, one thread.
#[divan::bench]
fn meshes_of_two_positions(bencher: Bencher) {
    each_part(bencher, |part| drop(black_box(mesh(&part.solid, CHORD))));
}

/// Eight meshes and STL files in memory, one thread.
#[divan::bench]
fn stl_of_two_positions(bencher: Bencher) {
    each_part(bencher, |part| drop(black_box(mesh(&part.solid, CHORD).map(|m| stl::write(&m)))));
}

/// Eight STEP files in memory, one thread.
#[divan::bench]
fn step_of_two_positions(bencher: Bencher) {
    each_part(bencher, |part| drop(black_box(step::part("part", &part.solid))));
}

/// Eight parts drawn for the printer, laid on the better of their sides and placed on its bed.
#[divan::bench]
fn lay_two_positions(bencher: Bencher) {
    let family = demo("tidewick");
    let built = build_family(&family).expect("the demo builds");
    bencher.bench(|| bobbinwright_print::lay(black_box(&family), black_box(&built), CHORD).is_ok());
}

/// What each side of a cover would need on the bed: support, bridges, what gets marked.
#[divan::bench]
fn weigh_a_cover(bencher: Bencher) {
    let family = demo("tidewick");
    let built = build_family(&family).expect("the demo builds");
    let position = &built[0];
    let part = position.parts.iter().find(|p| p.kind == PartKind::Cover).expect("there is a cover");
    bencher.bench(|| {
        bobbinwright_print::weigh::weigh(black_box(part), &position.layout, &family.printer).is_ok()
    });
}

/// Readings to all files on disk.
#[divan::bench]
fn build_two_positions(bencher: Bencher) {
    let folder = folder("tidewick");
    let scratch = tempfile::tempdir().expect("a temporary folder");
    bencher.bench_local(|| {
        let survey = Survey::load_at(&Folder::on_disk(&folder), When::default()).expect("the demo loads");
        let prepared = survey.clone().family().and_then(Prepared::new).expect("the demo builds");
        bobbinwright_export::build(&prepared, &survey, &scratch.path().join("out"), || ())
            .expect("the disk takes it")
    });
}

/// Twelve strings, six screws, sides in five stations: 150 readings that check each other, read and adjusted.
#[divan::bench]
fn read_a_large_sheet(bencher: Bencher) {
    let [family, log] = large_sheet();
    let file = |name: &str, text: &str| SourceFile { name: name.into(), text: text.into() };
    bencher.bench(|| {
        Family::read("large", file("family.ron", black_box(&family)), file("readings.ron", black_box(&log)))
            .is_ok()
    });
}

fn large_sheet() -> [String; 2] {
    let start = Start {
        title: "Large".into(),
        strings: 12,
        positions: vec!["bridge".into()],
        handed: Handed::Right,
        outline: Outline::Rectangle,
        slant: Angle::default(),
        held: Held::Screws(6),
        pair: true,
        step: Length::from_mm(0.01),
        limit: Length::from_mm(0.03),
        unit: Unit::Mm,
        on: "2026-10-03".parse().expect("a day"),
    };
    let (length, width, spacing) = (170.0, 40.0, 9.0);
    let mut log = start.readings();
    let mut read = |of: &str, how: &str, spot: &str, figures: &[f64]| {
        let figures: Vec<String> = figures.iter().map(|figure| format!("{figure:.2}")).collect();
        let spot = if spot.is_empty() { String::new() } else { format!(", spot: {spot:?}") };
        let how = if how.is_empty() { String::new() } else { format!(", how: {how}") };
        let _ = writeln!(
            log,
            "reading(on: \"2026-10-03\", of: \"{of}\"{how}{spot}, got: mm([{}]))",
            figures.join(", ")
        );
    };
    let twice = |figure: f64| [figure, figure + 0.01];
    let gauge = |n: usize| 0.3 + 0.1 * n as f64;
    (1..=12).for_each(|n| read(&format!("strings.gauge.{n}"), "", "", &twice(gauge(n))));
    for (of, figure) in [
        ("rod.diameter", 2.5),
        ("rod.length", 15.5),
        ("eyelet.barrel", 2.3),
        ("eyelet.flange", 3.5),
        ("screw.diameter", 2.9),
        ("screw.head", 5.3),
        ("screw.head_height", 2.0),
        ("lead.diameter", 2.6),
        ("bridge.rout.corner_radius", 5.0),
        ("bridge.rout.depth", 19.0),
        ("bridge.screws.hole", 2.4),
        ("bridge.channel.offset", 14.0),
        ("bridge.strings.height.1", 12.0),
        ("bridge.strings.height.12", 12.0),
    ] {
        read(of, "", "", &twice(figure));
    }
    for spot in ["bridge side", "middle", "neck side", "bridge side, floor", "neck side, floor"] {
        read("bridge.rout.length", "", spot, &twice(length));
    }
    for spot in ["bass end", "middle", "treble end", "bass end, floor", "treble end, floor"] {
        read("bridge.rout.width", "", spot, &twice(width));
    }
    for corner in ["treble", "bass"] {
        let diagonal: f64 = (length - 10.0f64).hypot(width - 10.0) + 10.0;
        read(&format!("bridge.rout.diagonal.{corner}"), "", "", &twice(diagonal));
    }
    let screws: [[f64; 2]; 6] =
        [[75.0, 12.0], [75.0, -12.0], [0.0, 12.0], [0.0, -12.0], [-75.0, 12.0], [-75.0, -12.0]];
    for (i, [x, y]) in screws.into_iter().enumerate() {
        let sides = [
            ("treble", length / 2.0 - x),
            ("bass", length / 2.0 + x),
            ("neck", width / 2.0 - y),
            ("bridge", width / 2.0 + y),
        ];
        for (side, reach) in sides {
            read(&format!("bridge.screws.{}.{side}_side", i + 1), "outside", "", &twice(reach));
        }
        for (j, [u, v]) in screws.into_iter().enumerate().skip(i + 1) {
            let name = if (i, j) == (0, 1) { "pitch".to_owned() } else { format!("{}-{}", i + 1, j + 1) };
            read(&format!("bridge.screws.{name}"), "outside", "", &twice((x - u).hypot(y - v)));
        }
    }
    for spot in ["neck edge", "middle line", "bridge edge"] {
        let end = (length - 11.0 * spacing) / 2.0;
        read("bridge.strings.bass_side", "outside", spot, &twice(end));
        read("bridge.strings.treble_side", "outside", spot, &twice(end));
        for n in 1..12 {
            read(&format!("bridge.strings.{n}-{}", n + 1), "outside", spot, &twice(spacing));
        }
        read("bridge.strings.1-12", "outside", spot, &twice(11.0 * spacing));
        read("bridge.strings.1-6", "outside", spot, &twice(5.0 * spacing));
    }
    [start.family(), log]
}
