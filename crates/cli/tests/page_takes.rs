//! The bench page in a real browser: files taken and printed, entries corrected, versions compared, families begun.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::fs;

use common::{change, copy};
use opened::{MAIN, VERDICT, WRITTEN, browser, downloaded, on_a_runtime};
use served::Served;

/// Parts that clash are handed out to whoever says so, and only as they are then.
#[test]
fn clashing_parts_are_not_taken_without_a_word() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("bulkhead", scratch.path());
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["bulkhead"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('4 clash')")).await;
        browser.tab("Print").await;
        let asks = format!("{MAIN}.includes('the parts do not go together and in: 4 checks clash')");
        browser.until(&asks).await;
        let links = "document.querySelectorAll('#main a[download]').length";
        assert_eq!(browser.script(&format!("return {links}")).await, 0);
        browser.press("Take them all the same").await;
        browser.until(&format!("{links} > 5")).await;
        browser.press("Put the files into the build folder").await;
        browser.until(&format!("{MAIN}.includes('files are in')")).await;
        assert!(scratch.path().join("out/bulkhead/bulkhead.3mf").exists());
        // Of another state of things it asks anew.
        change(&family.join("family.ron"), "wall: mm(1.8)", "wall: mm(1.9)");
        browser.until(&format!("{asks} && {links} === 0")).await;
        browser.close().await;
    });
}

/// What was taken before something was changed is entered as of the build that it is of.
#[test]
fn what_was_taken_is_what_was_printed() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('everything fits')")).await;
        browser.tab("Print").await;
        browser.until("document.querySelector('a[download=\"neck-cover.stl\"]')").await;
        let mark = "document.querySelector('select[aria-label^=\"Which files\"]').value";
        let taken = browser.script(&format!("return {mark}")).await;
        browser.script("document.querySelector('a[download=\"neck-cover.stl\"]').click()").await;
        downloaded(scratch.path(), |name| name == "neck-cover.stl").await;
        change(&family.join("family.ron"), "wall: mm(2.0)", "wall: mm(2.2)");
        browser.until(&format!("{MAIN}.includes('Something was changed since files were taken')")).await;
        // The files that were taken are meant unless somebody says otherwise.
        assert_eq!(browser.script(&format!("return {mark}")).await, taken);
        browser
            .script("document.querySelector('input[aria-label=\"neck-cover went on the printer\"]').click()")
            .await;
        browser.press("These went on the printer today").await;
        browser.until(&format!("{MAIN}.includes('neck-cover, copy 1')")).await;
        let taken = taken.as_str().unwrap();
        let log = fs::read_to_string(family.join("readings.ron")).unwrap();
        assert!(log.lines().last().unwrap().contains(taken), "{taken}: {log}");
        let kept = fs::read_to_string(family.join(format!("printed/{taken}.json"))).unwrap();
        assert!(kept.contains("wall: mm(2.0)") && !kept.contains("wall: mm(2.2)"));
        browser.close().await;
    });
}

/// A slip is corrected with one press, another tool is entered, and any two versions are compared.
#[test]
fn the_log_is_corrected_and_days_are_compared() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let log = family.join("readings.ron");
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('fits')")).await;
        browser.tab("Log").await;
        let row = "[...document.querySelectorAll('tbody tr')].find((row) => row.textContent.includes('depth of the rout (neck), bass end'))";
        browser.until(row).await;
        let text = browser.script(&format!("return {row}.cells[2].title")).await;
        let figures =
            text.as_str().unwrap().split("mm([").nth(1).unwrap().split(']').next().unwrap().replace(',', "");
        browser.script(&format!("{row}.querySelector('button').click()")).await;
        let at = "document.activeElement.classList.contains('caliper') && document.activeElement.dataset.name === 'neck.rout.depth'";
        browser.until(at).await;
        assert_eq!(browser.script("return document.activeElement.value").await, figures);
        // It counts until the new figures are there.
        assert!(!fs::read_to_string(&log).unwrap().contains("why: \"corrected\""));
        browser.until("document.querySelector('.entry').textContent.includes('in place of entry')").await;
        browser.script("document.activeElement.select()").await;
        browser.keys("19.02 19.01\u{e007}").await;
        browser.until(&format!("{WRITTEN}.includes('19.01')")).await;
        let now = fs::read_to_string(&log).unwrap();
        let [.., before, last] = &now.lines().collect::<Vec<_>>()[..] else { panic!("{now}") };
        assert!(before.contains("why: \"corrected\""), "{now}");
        assert!(last.contains("spot: \"bass end\", got: mm([19.02, 19.01])"), "{now}");

        browser.tab("Log").await;
        browser
            .script("const [name, step, limit] = [...document.querySelectorAll('#main input')].slice(-3); name.value = 'rule'; step.value = '0.5'; limit.value = '0.2'")
            .await;
        browser.press("Enter the tool").await;
        browser.until(&format!("{MAIN}.includes('rule: steps of 0.5 mm')")).await;
        browser.tab("Measure").await;
        browser
            .until("(() => { document.querySelector('.reading input').focus(); return [...document.querySelectorAll('.entry select option')].some((o) => o.value === 'rule'); })()")
            .await;

        browser.tab("Versions").await;
        browser.until("document.querySelectorAll('#main select').length === 2").await;
        change(&family.join("family.ron"), "wall: mm(2.0)", "wall: mm(2.2)");
        // The first day of all readings, by the wishes of now, and now: only readings differ.
        browser
            .until("(() => { const [from] = document.querySelectorAll('#main select'); const days = [...from.options].filter((o) => o.value.startsWith('day:')); if (!days.length) return false; from.value = days[0].value; return true; })()")
            .await;
        browser.press("Compare").await;
        browser
            .until("[...document.querySelectorAll('#main [role=status]')].some((said) => /Nothing differs|neck/.test(said.textContent))")
            .await;
        browser.close().await;
    });
}

/// What was read in millimetres stays so when it is corrected, in a family in inches too.
#[test]
fn a_corrected_reading_keeps_its_unit() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("gunwale", scratch.path());
        let log = family.join("readings.ron");
        let before = fs::read_to_string(&log).unwrap();
        let read = "reading(on: \"2026-11-20\", of: \"lead.diameter\", got: mm([2.71, 2.72]))\n";
        fs::write(&log, before + read).unwrap();
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["gunwale"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('fits')")).await;
        browser.tab("Log").await;
        browser.until("document.querySelector('table.log tbody button')").await;
        browser.script("document.querySelector('table.log tbody button').click()").await;
        browser.until("document.activeElement.classList.contains('caliper') && document.activeElement.value === '2.71mm 2.72mm'").await;
        browser.keys("\u{e007}").await;
        browser.until(&format!("{WRITTEN}.includes('2.71')")).await;
        let now = fs::read_to_string(&log).unwrap();
        assert!(now.lines().last().unwrap().ends_with("got: mm([2.71, 2.72]))"), "{now}");
        browser.close().await;
    });
}

/// A family that is like another says only what differs.
#[test]
fn a_twin_for_the_other_hand_is_started() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        copy("tidewick", scratch.path());
        let Some(browser) = browser(820, 900, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &[]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('form').length === 2").await;
        browser
            .script("const form = document.querySelectorAll('form')[1]; form.querySelector('[name=folder]').value = 'twin'; form.querySelectorAll('select')[1].value = 'left'; form.querySelector('button').click()")
            .await;
        browser.until(&format!("{VERDICT}.includes('fit')")).await;
        let family = fs::read_to_string(scratch.path().join("twin/family.ron")).unwrap();
        assert!(family.contains("like: \"../tidewick\"") && family.contains("handed: left"), "{family}");
        browser.close().await;
    });
}
