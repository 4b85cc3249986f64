//! The bench page in a real browser: the mark on a bag is typed where a copy's lesson is held back.

mod common;
#[path = "common/mixed.rs"]
mod mixed;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::fs;

use mixed::{Shop, shop};
use opened::{MAIN, browser, on_a_runtime};
use served::Served;

const FIELD: &str = "document.querySelector('#main form input')";

#[test]
fn the_mark_on_the_bag_decides() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let Shop { printer, marks: [first, second], .. } = shop(scratch.path());
        let log = || fs::read_to_string(printer.join("readings.ron")).unwrap();
        let before = log();
        let served = Served::of(&scratch.path().join("specs"), &["wherry"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelector('nav')").await;
        browser.tab("Inspect").await;
        browser.until(&format!("{MAIN}.includes('goes as well with bridge-cover of build {first}')")).await;
        // Who does not look at the bag is not told what stands on it.
        assert_eq!(browser.script(&format!("return {FIELD}.value")).await, "");
        let label = browser.script(&format!("return {FIELD}.closest('label').textContent")).await;
        assert_eq!(label, "Mark on its bag or label");
        let alert = "document.querySelector('#main form [role=alert]')";
        browser.script(&format!("{FIELD}.focus()")).await;
        browser.keys("\u{e007}").await;
        browser.until(&format!("{alert}.textContent.includes('Type the mark')")).await;
        browser.keys(&format!("{first}\u{e007}")).await;
        browser
            .until(&format!("{alert}.textContent.includes('No copy on the bench is of build {first}; they are of {second} (bridge-cover, copy 2)')"))
            .await;
        // It can be typed again at once, and nothing was entered.
        assert_eq!(browser.script(&format!("return document.activeElement === {FIELD}")).await, true);
        assert_eq!(log(), before);
        browser.script(&format!("{FIELD}.select()")).await;
        browser.keys(&format!(" {second}\u{e007}")).await;
        browser.until(&format!("{MAIN}.includes('the printer would be known like this')")).await;
        browser.until(&format!("!{MAIN}.includes('goes as well with') && !{FIELD}")).await;
        assert_eq!(log(), before);
        browser.press("Enter these 2 readings in the printer's log").await;
        browser.until("document.getElementById('done').textContent.includes('2 readings')").await;
        assert!(log()[before.len()..].contains("108."), "{}", &log()[before.len()..]);
        // It is not asked for what was said.
        browser.until(&format!("{MAIN}.includes('What the printer learns') && !{FIELD}")).await;
        browser.close().await;
    });
}
