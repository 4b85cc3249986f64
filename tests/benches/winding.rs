//! How long coils and fields take: `cargo bench -p bobbinwright-tests --bench winding`.

use bobbinwright_coil::magnet::row::Row;
use bobbinwright_core::Prepared;
use bobbinwright_export::winding::Winding;
use bobbinwright_spec::Length;
use bobbinwright_tests::demo;
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

/// All that the sheets of two positions say; asked 100 ms, their files included.
#[divan::bench]
fn two_positions(bencher: Bencher) {
    let prepared = Prepared::new(demo("tidewick")).expect("the demo builds");
    bencher.bench(|| Winding::all(black_box(&prepared), 20.0).len());
}

/// The field of twelve rods at 10,000 places; asked 20 ms.
#[divan::bench]
fn field_map(bencher: Bencher) {
    let prepared = Prepared::new(demo("tidewick")).expect("the demo builds");
    let (family, layout) = (&prepared.family, &prepared.positions[0].layout);
    let row = Row::of(&family.positions[0], layout, &family.hardware).expect("its rods' alloy is stated");
    let steps = |from: f64, to: f64| {
        (0..100).map(move |i| Length::from_mm(from + (to - from) * f64::from(i) / 99.0)).collect::<Vec<_>>()
    };
    let (along, heights) = (steps(-40.0, 40.0), steps(2.0, 20.0));
    bencher.bench(|| black_box(&row).map(&along, &heights).len());
}
