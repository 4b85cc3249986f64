//! Where the time of a build goes: `cargo bench -p bobbinwright-tests`.

use bobbinwright_core::Prepared;
use bobbinwright_export::{CHORD, step, stl};
use bobbinwright_geometry::parts::{PartKind, build_family, build_part};
use bobbinwright_kernel::mesh::mesh;
use bobbinwright_spec::{Family, Folder, Survey, When};
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
    bencher.bench(|| bobbinwright_fit::check(black_box(&family), black_box(&built)));
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
