//! Many versions of a family, and what changed from one to another: `cargo bench -p bobbinwright-tests`.

use bobbinwright_core::changes::{Changes, Version};
use bobbinwright_export::changes::LIST;
use bobbinwright_install::install;
use bobbinwright_kernel::threads;
use bobbinwright_spec::{Survey, When};
use bobbinwright_tests::variants::Variants;
use bobbinwright_tests::{folder, plain};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

/// A thousand versions of a family with two positions: from their texts to their verdicts.
#[divan::bench(sample_count = 5)]
fn check_1000_variants(bencher: Bencher) {
    let variants = Variants::new(1000);
    let all: Vec<usize> = (0..variants.count).collect();
    bencher.bench(|| threads::map(&all, |i| black_box(&variants).prepared(*i).fit.verdict()));
}

/// The same, built: STL and STEP of each on the disk, one after the other's removal.
#[divan::bench(sample_count = 1)]
fn build_1000_variants(bencher: Bencher) {
    let variants = Variants::new(1000);
    let all: Vec<usize> = (0..variants.count).collect();
    bencher.bench(|| {
        threads::map(&all, |i| {
            let scratch = tempfile::tempdir().expect("a temporary folder");
            plain::build(&variants.prepared(*i), &scratch.path().join("out"));
        })
    });
}

fn version(change: impl Fn(String) -> String) -> Version {
    let file = |name: &str| bobbinwright_spec::SourceFile {
        name: name.to_owned(),
        text: std::fs::read_to_string(folder("tidewick").join(name)).expect("the demo is there"),
    };
    let mut family = file(bobbinwright_spec::FAMILY_FILE);
    family.text = change(family.text);
    let survey = Survey::read_at("skerry", family, file(bobbinwright_spec::READINGS_FILE), When::default())
        .expect("the demo is read");
    Version::new("specs/tidewick", survey).expect("the demo builds")
}

/// Two versions that differ in every part, in height and in corners: what changed, what can stay, and a
/// picture of each part as SVG and PNG, on the disk.
#[divan::bench]
fn changes_with_pictures(bencher: Bencher) {
    let earlier = version(|text| text);
    let later = version(|text| {
        let text =
            text.replace("wall: mm(2.0)", "wall: mm(2.4)").replace("height: mm(18.5)", "height: mm(18.8)");
        text.replace("corner_radius: mm(5.7)", "corner_radius: mm(6.2)").replace("2.75", "2.8")
    });
    let scratch = tempfile::tempdir().expect("a temporary folder");
    bencher.bench_local(|| {
        let changes = Changes::between(&earlier, &later).expect("both can be compared");
        assert_eq!(changes.changed_parts().count(), 8);
        install(&scratch.path().join("out"), LIST, |sink| bobbinwright_export::changes::write(&changes, sink))
            .expect("the disk takes it")
    });
}
