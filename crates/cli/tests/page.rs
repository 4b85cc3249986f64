//! The bench page in a real browser.

mod common;
#[path = "common/browser.rs"]
mod opened;

use std::path::{Path, PathBuf};
use std::time::Duration;

use common::copy;
use opened::{Browser, Served, browser};

fn on_a_runtime(test: impl Future<Output = ()>) {
    tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap().block_on(test);
}

/// Pictures of all tabs, three widths, both themes, into the folder that `PAGE_PICTURES` names: for people to look at.
#[test]
fn pictures_for_people() {
    let Some(folder) = std::env::var_os("PAGE_PICTURES").map(PathBuf::from) else { return };
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        copy("tidewick", scratch.path());
        let served = Served::of(scratch.path(), &["tidewick"]);
        for (wide, high) in [(390, 844), (820, 1180), (1440, 1000)] {
            let Some(browser) = browser(wide, high, scratch.path()).await else { return };
            browser.client.set_window_rect(0, 0, wide, high).await.unwrap();
            browser.client.goto(&served.url).await.unwrap();
            for theme in ["light", "dark"] {
                browser.until("document.querySelector('[role=tab]')").await;
                browser.script(&format!("if (document.documentElement.dataset.theme !== '{theme}') document.getElementById('theme').click()")).await;
                for tab in ["Measure", "Want", "Fit", "Look", "Print", "Wind", "Versions"] {
                    if theme == "dark" && !matches!(tab, "Measure" | "Fit" | "Look") {
                        continue;
                    }
                    browser.tab(tab).await;
                    tokio::time::sleep(Duration::from_millis(900)).await;
                    picture(&browser, &folder.join(format!("{tab}-{wide}-{theme}.png"))).await;
                }
            }
            browser.close().await;
        }
    });
}

async fn picture(browser: &Browser, file: &Path) {
    std::fs::write(file, browser.client.screenshot().await.unwrap()).unwrap();
}

/// Calls a function of the page's own elements: types into the blank of a quantity and presses Enter.
async fn type_reading(browser: &Browser, what: &str, figures: &str, how: &str, enter: bool) {
    let script = format!(
        "const row = [...document.querySelectorAll('.reading input')].find((i) => i.getAttribute('aria-label') === {what:?});
         row.focus();
         const ways = document.querySelector('.entry select');
         if ({how:?}) {{ ways.value = {how:?}; ways.dispatchEvent(new Event('input')); }}
         row.value = {figures:?};
         row.dispatchEvent(new Event('input'));
         if ({enter}) row.dispatchEvent(new KeyboardEvent('keydown', {{ key: 'Enter' }}));"
    );
    browser.script(&script).await;
}

const VERDICT: &str = "document.getElementById('verdict').textContent";
const WRITTEN: &str = "document.querySelector('.entry .written').textContent";
const SAID: &str = "document.querySelector('.entry .said').textContent";

/// A reading is tried while it is typed, entered with Enter, and withdrawn by another entry; a value is changed, refused
/// beyond its bound, and taken back; what an editor writes shows up; and of two pages none writes over the other.
#[test]
fn a_family_is_worked_on() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let (wanted, log) = (family.join("family.ron"), family.join("readings.ron"));
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('everything fits')")).await;

        // Tried, not entered: a rout two millimetres shorter.
        let before = std::fs::read_to_string(&log).unwrap();
        let rout = "length of the rout, along the row of strings (neck)";
        let labels = browser.script("return [...document.querySelectorAll('.reading input')].map((i) => i.getAttribute('aria-label'))").await;
        assert!(labels.as_array().unwrap().iter().any(|l| l == rout), "{labels}");
        type_reading(&browser, rout, "90.20 90.22", "", false).await;
        browser.until(&format!("{VERDICT}.includes('with this reading')")).await;
        assert_eq!(std::fs::read_to_string(&log).unwrap(), before);
        // What makes no sense is said in words for this page.
        type_reading(&browser, rout, "ninety", "", false).await;
        browser.until(&format!("{SAID}.includes('write it in digits')")).await;
        type_reading(&browser, rout, "3.631in", "", true).await;
        browser.until(&format!("{WRITTEN}.includes('is in the log')")).await;
        let after = std::fs::read_to_string(&log).unwrap();
        assert!(after.starts_with(&before) && after.contains("got: inch(3.631)"), "{after}");

        // Withdrawn, by one more entry.
        browser.script("document.querySelector('details').open = true").await;
        browser.until("document.querySelector('details tbody tr')").await;
        browser
            .script("const row = document.querySelector('details tbody tr'); row.querySelector('input').value = 'misread'; row.querySelector('button').click()")
            .await;
        browser.until("document.querySelector('details code').textContent.includes('withdraw(')").await;
        assert!(std::fs::read_to_string(&log).unwrap().contains("why: \"misread\""));

        // A value beyond what can be made is refused with the one that works, and one within is written.
        browser.tab("Want").await;
        let set = |value: &str| {
            format!(
                "const input = document.getElementById('neck-cover.rounding'); input.focus(); input.value = '{value}'; input.dispatchEvent(new Event('input')); input.dispatchEvent(new KeyboardEvent('keydown', {{ key: 'Enter' }}))"
            )
        };
        browser.until("document.getElementById('neck-cover.rounding')").await;
        browser.script(&set("9 mm")).await;
        browser.until("document.getElementById('main').textContent.includes('With cover.rounding 2.53 mm it can be made')").await;
        assert!(std::fs::read_to_string(&wanted).unwrap().contains("rounding: mm(1.4)"));
        browser.script(&set("1.6")).await;
        browser.until("document.getElementById('main').textContent.includes('Undo: cover.rounding')").await;
        assert!(std::fs::read_to_string(&wanted).unwrap().contains("rounding: mm(1.6),"));
        browser.script("document.querySelector('#main button').click()").await;
        browser.until("document.getElementById('neck-cover.rounding').value === '1.4 mm'").await;

        // The editor's change shows up, and a page that has not seen it does not write over it.
        let text = std::fs::read_to_string(&wanted).unwrap();
        std::fs::write(&wanted, text.replace("wall: mm(2.0)", "wall: mm(2.2)")).unwrap();
        browser.until("document.getElementById('neck-cover.wall').value === '2.2 mm'").await;
        let stale = browser
            .script(
                "return fetch('of/tidewick/value', { method: 'POST', body: JSON.stringify({ path: 'cover.roof', position: 'neck', value: '2', rev: 'seen long ago' }) }).then((r) => r.json())",
            )
            .await;
        assert!(stale["why"].as_str().unwrap().contains("changed meanwhile"), "{stale}");

        // The program goes and comes back between two keystrokes: the page says so, and goes on.
        let port = served.address().rsplit(':').next().unwrap().to_owned();
        drop(served);
        browser.tab("Measure").await;
        type_reading(&browser, rout, "92.2", "", false).await;
        browser.until(&format!("{SAID}.includes('does not answer')")).await;
        let again = Served::of(scratch.path(), &["tidewick", "--port", &port]);
        browser.client.goto(&again.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        type_reading(&browser, rout, "92.2", "", true).await;
        browser.until(&format!("{WRITTEN}.includes('is in the log')")).await;
        browser.close().await;
    });
}
