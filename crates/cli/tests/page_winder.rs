//! The bench page in a real browser: stops of the winder are entered, and what they tell is said.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::fs;

use common::copy;
use opened::{MAIN, browser, on_a_runtime};
use served::Served;

/// The same digits and Enter as at the program: the log has the stop, the tab says what it tells, and turns that touch are
/// said first of all. What is half typed stays while the tab is drawn anew.
#[test]
fn stops_of_the_winder_are_entered() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.tab("Wind").await;
        browser
            .until(&format!("{MAIN}.includes('At a stop of the winder') && {MAIN}.includes('To test')"))
            .await;
        let field = |label: &str| {
            format!(
                "[...document.querySelectorAll('#main label')].find((l) => l.textContent.startsWith('{label}')).querySelector('input')"
            )
        };
        let log = || fs::read_to_string(family.join("readings.ron")).unwrap();
        let before = log();
        let enter = async |turns: &str, reads: &str, celsius: &str| {
            for (label, typed) in [("Temperature", celsius), ("Turns", turns), ("The meter shows", reads)] {
                browser.script(&format!("const f = {}; f.focus(); f.value = ''", field(label))).await;
                browser.keys(typed).await;
            }
            browser.keys("\u{e007}").await;
        };
        enter("500", "4.0.2", "21").await;
        browser.until(&format!("{MAIN}.includes('is no resistance')")).await;
        assert_eq!(log(), before);
        for (turns, reads) in [("500", "400.1"), ("1000", "0.806k"), ("1500", "1,221k"), ("2000", "1642")] {
            enter(turns, reads, "21,5").await;
            browser
                .until(&format!("{MAIN}.includes('{turns} turns, ') && {}.value === ''", field("Turns")))
                .await;
        }
        assert!(
            log().contains("coil: \"neck\", turns: 1500, reads: kilohms(1.221), celsius: 21.5, wire: awg(number: 43, film: single), tape: mm(0.06))"),
            "{}",
            log()
        );
        let spool = format!("{}.value = '43 pl'", field("Spool"));
        browser.script(&spool).await;
        enter("2500", "1.9k", "21.5").await;
        browser.until(&format!("{MAIN}.includes('turns touch since 2000 turns')")).await;
        assert!(log().contains("turns: 2500, reads: kilohms(1.9), celsius: 21.5, spool: \"43 pl\", wire: "));
        // The rest is told for the temperature beside the winder, not for any other.
        browser.until(&format!("{MAIN}.includes('(at 21.5 °C)') && !{MAIN}.includes('(at 20 °C)')")).await;
        browser.close().await;
    });
}

/// Meter and thermometer are stated, and what tests came to is entered and judged, by digits and Enter.
#[test]
fn tools_and_tests_are_entered() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.tab("Wind").await;
        browser
            .until(&format!("{MAIN}.includes('When it is wound: tests') && {MAIN}.includes('To test')"))
            .await;
        let log = || fs::read_to_string(family.join("readings.ron")).unwrap();
        let labelled = |label: &str, kind: &str| {
            format!(
                "[...document.querySelectorAll('#main label')].find((l) => l.textContent.startsWith('{label}')).querySelector('{kind}')"
            )
        };
        let typed = async |label: &str, keys: &str| {
            browser.script(&format!("{}.focus()", labelled(label, "input"))).await;
            browser.keys(keys).await;
        };
        browser.script("document.querySelector('#main details').open = true").await;
        for (label, keys) in
            [("Meter", "bench"), ("Counts", "6000"), ("Percent", "0,8"), ("Digits", "3\u{e007}")]
        {
            typed(label, keys).await;
        }
        browser.until(&format!("{MAIN}.includes('meter(on:')")).await;
        for (label, keys) in [("Thermometer", "window"), ("May be off by", "0.5\u{e007}")] {
            typed(label, keys).await;
        }
        browser.until(&format!("{MAIN}.includes('thermometer(on:')")).await;
        assert!(log().contains("name: \"bench\", counts: 6000, percent: 0.8, digits: 3)"), "{}", log());
        // Nothing typed is nothing tested.
        let before = log();
        typed("Resistance", "\u{e007}").await;
        browser.until(&format!("{MAIN}.includes('nothing is typed that was tested')")).await;
        assert_eq!(log(), before);
        for (label, word) in [("North is", "up"), ("First swing", "plus")] {
            browser.script(&format!("{}.value = '{word}'", labelled(label, "select"))).await;
        }
        for (label, keys) in [
            ("Insulation", "open"),
            ("Inductance", "1.5"),
            ("Its temperature", "22"),
            ("Resistance", "6.7k\u{e007}"),
        ] {
            typed(label, keys).await;
        }
        browser.until(&format!("{MAIN}.includes('6.70 kΩ at 22 °C: as expected')")).await;
        browser.until(&format!("{MAIN}.includes('minus is expected: the two leads are exchanged')")).await;
        browser.until(&format!("{MAIN}.includes('open from coil to rods, as it should be')")).await;
        assert!(log().contains("north: up, kick: plus, hot: start, stated_north: up)"), "{}", log());
        browser.close().await;
    });
}
