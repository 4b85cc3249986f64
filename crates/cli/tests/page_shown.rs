//! The bench page in a real browser: pictures of what is wanted and of what is read on printed parts; and the printer, which is
//! described and taught there.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::fs;

use common::{copy, ends_with, name, wherry};
use opened::{VERDICT, browser, on_a_runtime};
use served::Served;

/// Every length that is wanted has a picture with something marked that is in it, on a desk and on a phone.
#[test]
fn every_length_has_a_picture() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        // Bosses and pairs of rods; ears, and a single rod.
        for demo in ["tidewick", "gunwale"] {
            copy(demo, scratch.path());
        }
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        for demo in ["tidewick", "gunwale"] {
            let served = Served::of(scratch.path(), &[demo]);
            browser.client.goto(&served.url).await.unwrap();
            browser.until(&format!("{VERDICT}.includes('%')")).await;
            browser.tab("Want").await;
            browser.until("document.querySelectorAll('.pic svg').length > 25").await;
            browser
                .script("document.querySelectorAll('#main details').forEach((one) => { one.open = true; })")
                .await;
            // A wish that is a length has an input of its own width; of those that are none some are nothing to be seen.
            let without = browser
                .script(
                    "return [...document.querySelectorAll('.wish:not(.wordy)')]
                       .filter((wish) => wish.querySelector('input[id]') && !wish.querySelector('.pic svg'))
                       .map((wish) => wish.querySelector('label').title)",
                )
                .await;
            assert_eq!(without, serde_json::json!([]), "{demo}");
            let beyond = browser
                .script(
                    "return [...document.querySelectorAll('.pic svg')].filter((svg) => {
                       const [x, y, width, height] = svg.getAttribute('viewBox').split(' ').map(Number);
                       const mark = svg.lastChild.getBBox();
                       const [right, bottom] = [mark.x + mark.width, mark.y + mark.height];
                       return !(mark.width + mark.height > 0 && mark.x >= x - 0.02 * width && mark.y >= y - 0.02 * height
                         && right <= x + 1.02 * width && bottom <= y + 1.02 * height);
                     }).map((svg) => svg.closest('.wish').querySelector('label').title)",
                )
                .await;
            assert_eq!(beyond, serde_json::json!([]), "{demo}: marks that leave their pictures");
        }
        browser.close().await;
    });
}

/// Sizes to be read stand on a drawing of their part by the numbers that they have in the list; the one that is being read is
/// lit, and a number that is touched leads to its field.
#[test]
fn printed_parts_are_read_by_a_drawing() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        copy("tidewick", scratch.path());
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('%')")).await;
        browser.tab("Inspect").await;
        browser.until("document.querySelector('.sizerow input[data-name]') && document.querySelector('.drawing svg')").await;
        let missing = browser
            .script(
                "return [...document.querySelectorAll('#main section')].flatMap((section) => {
                   const texts = [...section.querySelectorAll('.drawing text')].map((text) => text.textContent);
                   return [...section.querySelectorAll('.sizerow > :first-child')].map((row) => row.firstChild.textContent)
                     .filter((words) => !texts.includes(words.split(' ')[0]));
                 })",
            )
            .await;
        assert_eq!(missing, serde_json::json!([]), "sizes that no drawing shows");
        browser.script("document.querySelector('.sizerow input[data-name]').focus()").await;
        browser.until("document.querySelectorAll('.drawing .lit').length === 1").await;
        let lit = "const { x, y, width, height } = document.querySelector('.drawing .lit').getBoundingClientRect(); return [x + width / 2, y + height / 2]";
        let first = browser.script(lit).await;
        // By another number of the same drawing.
        browser
            .script(
                "const second = document.querySelectorAll('.sizerow > :first-child')[1].firstChild.textContent.split(' ')[0];
                 const number = [...document.querySelectorAll('.drawing text')].find((text) => text.textContent === second);
                 const { x, y, width, height } = number.getBoundingClientRect();
                 number.dispatchEvent(new MouseEvent('click', { bubbles: true, clientX: x + width / 2, clientY: y + height / 2 }))",
            )
            .await;
        browser
            .until("document.activeElement === document.querySelectorAll('.sizerow input[data-name]')[1]")
            .await;
        assert_ne!(browser.script(lit).await, first);
        browser.close().await;
    });
}

/// What the printer can do is said on the page, and stands in its file; what can't be is refused.
#[test]
fn a_printer_is_described_on_the_page() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        copy("tidewick", scratch.path());
        let Some(browser) = browser(820, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('%')")).await;
        browser.tab("Printer").await;
        browser.until("document.querySelector('#main input')").await;
        browser.script("const folder = document.querySelector('#main input'); folder.value = 'shed'; const material = document.querySelector('#main select'); material.value = 'petg'").await;
        browser.press("Start it").await;
        browser.until("document.getElementById('printer-least_wall')").await;
        let said = || fs::read_to_string(scratch.path().join("shed/printer.ron")).unwrap();
        let before = said();
        assert!(before.contains("material: petg"), "{before}");
        browser
            .script(
                "const field = document.getElementById('printer-layer'); field.value = '9'; field.focus()",
            )
            .await;
        browser.keys("\u{e007}").await;
        browser.until("document.querySelector('.able .said.bad')").await;
        assert_eq!(said(), before);
        browser.script("const field = document.getElementById('printer-least_wall'); field.value = '1,2'; field.focus()").await;
        browser.keys("\u{e007}").await;
        browser.until("document.getElementById('done').textContent.includes('least wall is 1,2 now, before 0.8 mm')").await;
        assert_eq!(said(), before.replace("least_wall: mm(0.8)", "least_wall: mm(1.2)"));
        browser.until("document.getElementById('printer-least_wall').value === '1.2 mm'").await;
        browser
            .script("const material = document.getElementById('printer-material'); material.value = 'pla'; material.dispatchEvent(new Event('change'))")
            .await;
        browser.until("document.getElementById('done').textContent.includes('material is pla')").await;
        assert!(said().contains("material: pla"));
        browser.close().await;
    });
}

/// What printed parts teach is shown and entered on the page: the same entries as the command makes.
#[test]
fn the_printer_is_taught_on_the_page() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let (family, printer) = wherry(scratch.path());
        let out = scratch.path().join("out");
        ends_with(0, &["build", name(&family), "--out", name(&out)]);
        ends_with(0, &["printed", name(&family), "bridge-cover", "--on", "2026-10-12", "--out", name(&out)]);
        for (size, figures) in [("hollow_length", ["108.36", "108.38"]), ("pole_hole", ["5.01", "5.03"])] {
            let of = format!("bridge.cover.{size}");
            common::run(&["read", name(&family), &of, figures[0], figures[1], "--on", "2026-10-13"]);
        }
        let log = || fs::read_to_string(printer.join("readings.ron")).unwrap();
        let before = log();
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(&family, &["."]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('%')")).await;
        browser.tab("Inspect").await;
        browser
            .until("document.getElementById('main').textContent.includes('What the printer learns')")
            .await;
        assert_eq!(log(), before, "nothing is entered before somebody says so");
        browser.until("[...document.querySelectorAll('#main li')].some((one) => one.textContent.includes(', before '))").await;
        browser.press("Enter th").await;
        browser.until("document.getElementById('done').textContent.includes(\"In the printer's log\")").await;
        let taught = log();
        assert!(taught.len() > before.len());
        browser
            .until("document.getElementById('main').textContent.includes('learns nothing from these parts')")
            .await;
        browser.close().await;
        drop(served);
        fs::write(printer.join("readings.ron"), &before).unwrap();
        common::run(&["inspect", name(&family), "--out", name(&out), "--teach"]);
        assert_eq!(log(), taught, "as the command does it");
    });
}
