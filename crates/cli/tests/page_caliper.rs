//! One hand holds the caliper: the panel alone is enough, whatever a screen has room for.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::fs;

use common::copy;
use opened::{Browser, SEEN, browser, on_a_runtime};
use served::Served;

/// What a window has besides the page, here.
const BESIDES: u32 = 143;

/// Makes the window about so large inside.
async fn sized(browser: &Browser, [width, height]: [u32; 2]) {
    browser.client.set_window_size(width, height + BESIDES).await.unwrap();
    // It says that it is another size before it is.
    browser.until(&format!("innerWidth === {width} && innerHeight === {height}")).await;
}

/// Field and verdict are in sight, and the field is never covered: on a desk, on a phone, in what its keyboard leaves, and
/// where everything is twice as large.
#[test]
fn field_and_verdict_are_always_in_sight() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        copy("tidewick", scratch.path());
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        let windows = [[1440, 850], [820, 850], [500, 380], [740, 200]];
        for size in windows {
            sized(&browser, size).await;
            for name in ["strings.gauge.1", "bridge.strings.height.6"] {
                browser
                    .script(&format!(
                        "const row = document.querySelector('.reading input[data-name=\"{name}\"]');
                         row.focus();
                         const field = document.activeElement;
                         field.value = '3';
                         field.dispatchEvent(new Event('input'))"
                    ))
                    .await;
                browser.until("document.querySelector('.entry .verdict').textContent.includes('%')").await;
                // What was asked may move what is seen, for a moment.
                let seen = format!(
                    "(() => {{ /* {size:?} */ {SEEN} const field = document.activeElement;
                     return field.dataset.name === '{name}' && seen(field) && seen(document.querySelector('.entry .verdict')); }})()"
                );
                browser.until(&seen).await;
                browser.keys("\u{e00c}").await;
            }
        }
        browser.close().await;
    });
}

/// Digits and Enter walk through repeats, spots and quantities without the hand leaving the panel; a slip is taken back with
/// one press.
#[test]
fn enter_goes_from_reading_to_reading() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let log = family.join("readings.ron");
        let rest: String = fs::read_to_string(&log)
            .unwrap()
            .lines()
            .filter(|l| !l.contains("strings.gauge.1\"") && !l.contains("neck.rout.depth"))
            .map(|l| format!("{l}\n"))
            .collect();
        fs::write(&log, &rest).unwrap();
        let Some(browser) = browser(500, 844, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        browser
            .script("document.querySelector('.reading input[data-name=\"strings.gauge.1\"]').focus()")
            .await;
        let mut said = Vec::new();
        for figure in ["0,33", "0.34", "19.12", "19.08", "18.97", "19.01"] {
            let title = browser.script("return document.querySelector('.entry strong').textContent").await;
            let title = title.as_str().unwrap().split(':').next().unwrap().to_owned();
            let lit = browser.script("return document.querySelector('.entry .lit') !== null").await;
            said.push((title, lit == true));
            let at = browser.script("return document.activeElement.className").await;
            assert_eq!(at, "caliper");
            browser.keys(&format!("{figure}\u{e007}")).await;
        }
        let depth = |spot: &str, n: usize| (format!("depth of the rout (neck), {spot}, {n} of 2"), true);
        let without_number: Vec<(String, bool)> = said
            .into_iter()
            .map(|(title, lit)| (title.split_once("  ").unwrap().1.to_owned(), lit))
            .collect();
        assert_eq!(
            without_number,
            [
                ("diameter of string 1, 1 of 2".to_owned(), false),
                ("diameter of string 1, 2 of 2".to_owned(), false),
                depth("bass end", 1),
                depth("bass end", 2),
                depth("treble end", 1),
                depth("treble end", 2),
            ]
        );
        browser.until("!document.body.textContent.includes('on the way')").await;
        let text = fs::read_to_string(&log).unwrap();
        assert!(text[rest.len()..].lines().next().unwrap().contains("got: mm(0.33)"), "{text}");
        browser.until("document.querySelector('.entry .written').textContent.includes('19.01')").await;
        browser.script("[...document.querySelectorAll('.entry button')].find((b) => b.textContent === 'Take it back').click()").await;
        browser
            .until("document.querySelector('.entry .written').textContent.includes('was taken back')")
            .await;
        let text = fs::read_to_string(&log).unwrap();
        assert!(text.lines().last().unwrap().contains("why: \"a slip of the hand\""), "{text}");
        browser.close().await;
    });
}

/// A high tone for what was taken and a low one for what was not; and which check an entry has turned stands beside the field.
#[test]
fn what_became_of_an_entry_is_heard_and_seen() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        copy("tidewick", scratch.path());
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        browser
            .script(
                "window.heard = [];
                 window.AudioContext = class {
                   currentTime = 0;
                   createOscillator() {
                     const frequency = { value: 0 };
                     return { frequency, connect() {}, start() { window.heard.push(frequency.value); }, stop() {} };
                   }
                   close() {}
                 };
                 document.querySelector('.reading input[data-name=\"neck.strings.height.1\"]').focus();
                 [...document.querySelectorAll('.entry label')].find((one) => one.textContent === 'tones').querySelector('input').click();
                 [...document.querySelectorAll('.entry label')].find((one) => one.textContent.startsWith('changed since')).querySelector('input').click();
                 document.querySelector('.reading input[data-name=\"neck.strings.height.1\"]').focus()",
            )
            .await;
        let verdict = "document.querySelector('.entry .verdict').textContent";
        browser.keys("7.5").await;
        browser.until(&format!("{verdict}.includes('would turn: neck Cover under the strings')")).await;
        browser.keys("\u{e007}").await;
        browser.until(&format!("{verdict}.includes('just turned: neck Cover under the strings')")).await;
        assert_eq!(browser.script("return window.heard").await, serde_json::json!([880]));
        // What is refused: no such figure.
        browser.keys("7..1\u{e007}").await;
        browser.until("document.querySelector('.refused').textContent.includes('Not entered')").await;
        assert_eq!(browser.script("return window.heard").await, serde_json::json!([880, 220]));
        browser.close().await;
    });
}
