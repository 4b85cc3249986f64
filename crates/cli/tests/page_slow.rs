//! What is typed on the page while answers are late: counted once, taken back as it was typed; and what another tab or a turned
//! screen leaves of it.

#[path = "common/browser.rs"]
mod browsing;
mod common;
#[path = "common/served.rs"]
mod serving;

use std::fs;
use std::path::Path;
use std::time::Duration;

use browsing::{Browser, browser, on_a_runtime};
use common::copy;
use serving::Served;

/// A family's page in which what is read of a quantity is answered late, though it stands in the log at once.
async fn late(folder: &Path, of: &str, milliseconds: u32) -> Option<(Browser, Served, std::path::PathBuf)> {
    let family = copy("tidewick", folder);
    let log = family.join("readings.ron");
    let rest = fs::read_to_string(&log).unwrap();
    let kept: String =
        rest.lines().filter(|l| !l.contains(&format!("\"{of}\""))).map(|l| format!("{l}\n")).collect();
    fs::write(&log, kept).unwrap();
    let browser = browser(1440, 900, folder).await?;
    let served = Served::of(folder, &["tidewick"]);
    browser.client.goto(&served.url).await.unwrap();
    browser.until("document.querySelectorAll('.reading input').length > 40").await;
    let slow = format!(
        "const real = window.fetch;
         window.late = {milliseconds};
         window.fetch = async (path, ...more) => {{
           const answer = await real(path, ...more);
           if (String(path).endsWith('/read')) await new Promise((done) => setTimeout(done, window.late));
           return answer;
         }};
         document.querySelector('.reading input[data-name=\"{of}\"]')?.focus()"
    );
    browser.script(&slow).await;
    Some((browser, served, log))
}

const TITLE: &str = "document.querySelector('.entry strong').textContent";

/// Four rods are asked for: four are read, however late the answers come and however slowly they are typed, and after the first
/// the second is asked for.
#[test]
fn repeats_are_counted_once() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let Some((browser, _served, _)) = late(scratch.path(), "rod.diameter", 1200).await else { return };
        let name = "return document.activeElement.dataset.name";
        for (i, figure) in ["2.51", "2.50", "2.52", "2.51"].into_iter().enumerate() {
            assert_eq!(browser.script(name).await, "rod.diameter", "before the {}th", i + 1);
            let title = browser.script(&format!("return {TITLE}")).await;
            assert!(title.as_str().unwrap().contains(&format!("{} of 4", i + 1)), "{title}");
            browser.keys(&format!("{figure}\u{e007}")).await;
            // The state is here before the answer.
            tokio::time::sleep(Duration::from_millis(900)).await;
        }
        assert_ne!(browser.script(name).await, "rod.diameter");
        browser.until("!document.body.textContent.includes('on the way')").await;
        browser.close().await;
    });
}

/// Whoever takes back takes back what was typed last, in the log or on its way to it, one after the other, and is led to where it is
/// read.
#[test]
fn what_is_taken_back_is_what_was_typed_last() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let of = "strings.gauge.1";
        let Some((browser, _served, log)) = late(scratch.path(), of, 0).await else { return };
        let field = "document.querySelector('.entry .caliper')";
        browser.script(&format!("{field}.focus()")).await;
        browser.keys("0.26\u{e007}").await;
        browser.until("document.querySelector('.written').textContent.includes('0.26 mm')").await;
        browser.script("window.late = 2000").await;
        browser.keys("0.27\u{e007}").await;
        let back = "[...document.querySelectorAll('.entry button')].find((b) => b.textContent === 'Take it back').click()";
        browser.script(back).await;
        browser.until("document.querySelector('.written').textContent.includes('0.27 was taken back')").await;
        assert!(browser.script(&format!("return {TITLE}")).await.as_str().unwrap().contains("string 1"));
        browser.until("!document.body.textContent.includes('on the way')").await;
        let last =
            || fs::read_to_string(&log).unwrap().lines().rev().take(2).map(str::to_owned).collect::<Vec<_>>();
        let mut waited = 0;
        while !last()[0].contains("withdraw(") {
            assert!(waited < 100, "{:?}", last());
            tokio::time::sleep(Duration::from_millis(100)).await;
            waited += 1;
        }
        assert!(last()[1].contains("0.27"), "{:?}", last());
        // The one before it is next.
        browser.script(back).await;
        browser
            .until("/Entry \\d+ was taken back/.test(document.querySelector('.written').textContent)")
            .await;
        let all = fs::read_to_string(&log).unwrap();
        let number = |figure: &str| {
            all.lines().filter(|l| l.contains("(on:")).position(|l| l.contains(figure)).unwrap() + 1
        };
        assert!(last()[0].contains(&format!("entry: {}", number("mm(0.26)"))), "{:?}", last());
        browser.close().await;
    });
}

/// Another tab stays itself when the screen is turned or zoomed, and nothing says any more what was only tried on the one before.
#[test]
fn a_tab_stays_when_the_screen_is_turned() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let Some((browser, _served, _)) = late(scratch.path(), "nothing", 0).await else { return };
        browser.tab("Want").await;
        browser.until("document.getElementById('neck-cover.height')").await;
        browser.room(720, 500).await;
        browser.room(1440, 900).await;
        let here = "return [document.querySelectorAll('.reading').length, document.querySelectorAll('.wish').length > 20]";
        assert_eq!(browser.script(here).await, serde_json::json!([0, true]));
        browser.script("document.getElementById('neck-cover.height').focus()").await;
        browser.script("document.getElementById('neck-cover.height').value = ''").await;
        browser.keys("17.2").await;
        let verdict = "document.getElementById('verdict').textContent";
        browser.until(&format!("{verdict}.includes('with what is typed')")).await;
        // Beside the field, too.
        browser.until("document.getElementById('neck-cover.height').closest('.wish').textContent.includes('would turn')").await;
        browser.tab("Fit").await;
        browser.until(&format!("!{verdict}.includes('with what is typed')")).await;
        // Measure shows what it knows, whichever way the screen is held.
        browser.tab("Measure").await;
        browser.until("document.querySelectorAll('.reading').length > 40").await;
        browser.room(390, 844).await;
        browser.until("document.querySelector('#main').firstChild.classList.contains('entry')").await;
        let known = "[...document.querySelectorAll('.reading')].filter((row) => row.textContent.includes('read 2 times')).length > 10";
        browser.until(known).await;
        browser.close().await;
    });
}

/// What is half typed in a wish or beside the winder is there again after another tab was looked at, and what comes next is said over
/// all of them, with where it is done.
#[test]
fn what_is_half_typed_stays() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let Some((browser, served, _)) = late(scratch.path(), "nothing", 0).await else { return };
        let next = "document.querySelector('#job summary').textContent";
        browser.until(&format!("{next}.includes('Next: neck: ') && {next}.includes('bridge: ')")).await;
        browser.script("document.querySelector('#job summary').click()").await;
        let stages = browser
            .script("return [...document.querySelectorAll('#job thead th')].map((th) => th.textContent)")
            .await;
        assert!(stages.as_array().unwrap().iter().any(|s| s == "measured"), "{stages}");
        browser.tab("Want").await;
        browser.until("document.getElementById('neck-cover.height')").await;
        browser
            .script(
                "const field = document.getElementById('neck-cover.height'); field.focus(); field.select()",
            )
            .await;
        browser.keys("17.2").await;
        browser.press("Open ").await;
        browser.until("!document.getElementById('neck-cover.height')").await;
        browser.tab("Want").await;
        browser.until("document.getElementById('neck-cover.height')?.value === '17.2'").await;
        browser.until("document.getElementById('neck-cover.height').closest('.wish').textContent.includes('not kept yet')").await;
        // Beside the winder also when the page was closed.
        let turns = "[...document.querySelectorAll('form label')].find((l) => l.firstChild.textContent === 'Turns')?.querySelector('input')";
        browser.tab("Wind").await;
        browser.until(turns).await;
        browser.script(&format!("{turns}.focus()")).await;
        browser.keys("1500").await;
        browser.tab("Fit").await;
        browser.client.goto("about:blank").await.unwrap();
        browser.client.goto(&format!("{}#Wind", served.url.trim_end_matches('#'))).await.unwrap();
        browser.until("document.querySelector('[role=tab]')").await;
        browser.tab("Wind").await;
        browser.until(&format!("{turns}?.value === '1500'")).await;
        browser.close().await;
    });
}

/// By the keyboard the words for what the caliper touched are one step from the row, of the quantity that is meant, and Escape leads
/// back.
#[test]
fn the_words_are_one_step_from_the_row() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let Some((browser, _served, _)) = late(scratch.path(), "nothing", 0).await else { return };
        let row = "document.querySelector('.reading input[data-name=\"neck.strings.1-2\"]')";
        browser.script(&format!("{row}.focus()")).await;
        browser.keys("\u{e004}\u{e007}").await;
        browser
            .until("document.activeElement.closest('.entry') && document.activeElement.tagName === 'SELECT'")
            .await;
        assert!(
            browser.script(&format!("return {TITLE}")).await.as_str().unwrap().contains("strings 1 and 2")
        );
        browser.keys("\u{e00c}").await;
        browser.until(&format!("document.activeElement === {row}")).await;
        browser.close().await;
    });
}
