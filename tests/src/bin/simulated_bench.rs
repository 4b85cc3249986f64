//! The uncertainty of the program against other ways to it, at length: tables for the log of the tests.
//!
//! Ends with 1 when a stated share or interval is not kept.
//!
//! Usage: `simulated_bench [ONE_IN]`. With a number only one in so many of the builds is tried: enough to see a verdict that went
//! wrong, not enough for every bin of the tables.

use bobbinwright_tests::monte_carlo::{self, Row};
use bobbinwright_tests::simulated_bench::{CaliperError, at_gap, simulate};
use bobbinwright_tests::verdict_on;

fn main() {
    let one_in = std::env::args().nth(1).map_or(1, |n| n.parse().unwrap_or_else(|e| panic!("{n}: {e}")));
    let rows = monte_carlo::table(60_000);
    println!("Propagation of distributions (JCGM 101), 60,000 draws each, against the stated uncertainty:\n");
    println!("{}", Row::HEAD);
    for row in &rows {
        println!("{row}");
    }
    let mut kept = verdict_on::rows(&rows);
    let worlds = [
        (9_000, CaliperError::AnewAtEachSize, 1.0),
        (2_500, CaliperError::TheSameEverywhere, 1.0),
        // A hand twice as rough as the program takes for usual.
        (2_500, CaliperError::AnewAtEachSize, 2.0),
    ];
    for (builds, error, crooked) in worlds {
        let table = simulate(builds / one_in, error, crooked);
        println!(
            "\n{} simulated builds; the caliper errs: {error:?}; the bodies are {crooked} times as crooked as usual\n\n{table}",
            table.builds
        );
        kept.extend(verdict_on::table(&table));
    }
    let gap = at_gap(1_500 / one_in, 0.3);
    println!("Pickups with a gap of 0.3 mm and room everywhere else:\n{gap}");
    kept.extend(verdict_on::gap(&gap));
    if kept.is_empty() {
        println!("All stated shares and intervals are kept.");
        return;
    }
    for broken in &kept {
        println!("NOT KEPT: {broken}");
    }
    std::process::exit(1);
}
