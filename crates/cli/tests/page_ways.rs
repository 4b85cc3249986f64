//! The bench page in a real browser: what is proposed is tried, taken and undone with buttons.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::fs;

use common::{change, copy};
use opened::{Browser, VERDICT, WRITTEN, browser, on_a_runtime};
use served::Served;

/// Opens a check on Fit by the words in its title, and waits for what was found to help it.
async fn open_check(browser: &Browser, title: &str) {
    opened::open_check(browser, title).await;
    browser.until("document.querySelector('.way button')").await;
}

const DONE: &str = "document.getElementById('done').textContent";

/// A set of changes shows what turns, is written as one and taken back as one.
#[test]
fn a_set_of_changes_is_taken_and_undone() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("bulkhead", scratch.path()).join("family.ron");
        let before = fs::read_to_string(&family).unwrap();
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["bulkhead"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('4 clash')")).await;
        open_check(&browser, "Lead-out at the wire channel").await;

        browser.press("Try cover.lead_out.side bridge and cover.lead_out.offset").await;
        let turned = browser.until("document.querySelector('.outcome .turned')?.innerText").await;
        let turned = turned.as_str().unwrap();
        assert!(turned.contains("Lead-out at the wire channel: clashes, then ✓ fits"), "{turned}");
        browser.until(&format!("{VERDICT}.includes('with this: 3 clash')")).await;
        assert_eq!(fs::read_to_string(&family).unwrap(), before, "only tried");
        // Left, it is as if it never was.
        browser.press("Leave it").await;
        browser.until(&format!("{VERDICT}.startsWith('✗ 4 clash')")).await;

        browser.press("Try cover.lead_out.side bridge").await;
        browser.press("Take it").await;
        browser.until(&format!("{VERDICT}.startsWith('✗ 3 clash')")).await;
        let after = fs::read_to_string(&family).unwrap();
        let changed: Vec<&str> = after.lines().filter(|line| !before.contains(*line)).collect();
        assert!(
            changed.concat().contains("side: bridge") && after.contains("offset: mm(10.95)"),
            "{changed:?}"
        );
        browser.press("Undo").await;
        browser.until(&format!("{DONE}.includes('as before again')")).await;
        assert_eq!(fs::read_to_string(&family).unwrap(), before);
        browser.until(&format!("{VERDICT}.startsWith('✗ 4 clash')")).await;
        browser.close().await;
    });
}

/// A reading that is asked for is one press away, also one that no list has otherwise.
#[test]
fn a_reading_that_is_asked_for_is_one_press_away() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("bulkhead", scratch.path());
        let log = family.join("readings.ron");
        let Some(browser) = browser(390, 844, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["bulkhead"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('clash')")).await;
        browser.tab("Fit").await;
        browser.press("Read distance of screw 2 from the rout's bass side").await;
        browser.until("document.activeElement.classList.contains('caliper')").await;
        let title = browser.script("return document.querySelector('.entry strong').textContent").await;
        assert!(title.as_str().unwrap().contains("distance of screw 2"), "{title}");
        browser.script("const ways = document.querySelector('.entry select'); ways.value = 'hole_near'; ways.dispatchEvent(new Event('input'))").await;
        browser.keys("4.61\u{e007}").await;
        browser.until(&format!("{WRITTEN}.includes('is in the log')")).await;
        let text = fs::read_to_string(&log).unwrap();
        assert!(text.lines().last().unwrap().contains("of: \"bridge.screws.2.bass_side\""), "{text}");
        browser.close().await;
    });
}

/// What would have to be bought thinner is tried as well; it is taken by reading what was bought.
#[test]
fn thinner_rods_are_tried_and_read() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let folder = copy("tidewick", scratch.path());
        let family = folder.join("family.ron");
        // Rods too thick to leave the strings between them, whatever their spread (tests/tests/verdicts.rs has the same).
        change(&family, "pair(spread: mm(5.4))", "pair(spread: mm(4.85))");
        change(&family, "pole_hole: mm(2.75)", "pole_hole: mm(4.75)");
        let rods = "of: \"rod.diameter\", with: \"caliper\", got: mm([";
        change(
            &folder.join("readings.ron"),
            &format!("{rods}2.51, 2.50, 2.52, 2.51"),
            &format!("{rods}4.51, 4.50, 4.52, 4.51"),
        );
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('clash')")).await;
        open_check(&browser, "neck: Strings between").await;
        browser.press("Try rods of at most").await;
        let turned = browser.until("document.querySelector('.outcome .turned')?.innerText").await;
        assert!(turned.as_str().unwrap().contains("then ✓ fits"), "{turned}");
        browser.press("I have them: read them").await;
        let at = "document.activeElement.classList.contains('caliper') && document.activeElement.dataset.name === 'rod.diameter'";
        browser.until(at).await;
        browser.keys("2.05\u{e007}").await;
        browser.until(&format!("{WRITTEN}.includes('rod.diameter')")).await;
        let log = fs::read_to_string(folder.join("readings.ron")).unwrap();
        assert!(
            log.lines().last().unwrap().contains("afresh: true"),
            "those that were bought before count no more: {log}"
        );
        browser.close().await;
    });
}
