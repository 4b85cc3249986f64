//! The stated uncertainty against propagated distributions and a simulated bench. The same at length,
//! with its tables: `cargo run --release -p bobbinwright-tests --bin simulated_bench`.

use bobbinwright_tests::simulated_bench::{CaliperError, simulate};
use bobbinwright_tests::{monte_carlo, verdict_on};

#[test]
fn derived_quantities_are_as_uncertain_as_their_draws() {
    let rows = monte_carlo::table(30_000);
    assert!(rows.len() > 40, "{}", rows.len());
    let broken = verdict_on::rows(&rows);
    assert!(broken.is_empty(), "{broken:#?}");
}

#[test]
fn what_is_said_to_fit_fits_on_a_simulated_bench() {
    let table = simulate(1_500, CaliperError::AnewAtEachSize, 1.0);
    assert!(table.checks.len() > 12, "{table}");
    let broken = verdict_on::table(&table);
    assert!(broken.is_empty(), "{broken:#?}\n{table}");
}
