//! How the bench page and the report look, to everybody and at which speed.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::path::PathBuf;
use std::time::Duration;

use common::copy;
use opened::{browser, on_a_runtime, picture, run_async, type_reading};
use served::Served;

/// Pictures of all tabs, four widths, both themes, into the folder that `PAGE_PICTURES` names: for people to look at.
#[test]
fn pictures_for_people() {
    let Some(folder) = std::env::var_os("PAGE_PICTURES").map(PathBuf::from) else { return };
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        common::run(&[
            "build",
            &family.display().to_string(),
            "--out",
            &scratch.path().join("out").display().to_string(),
        ]);
        common::change(&family.join("family.ron"), "recess_depth: mm(2.4)", "recess_depth: mm(2.6)");
        let served = Served::of(scratch.path(), &["tidewick"]);
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        for (wide, high) in [(320, 568), (390, 844), (820, 1180), (1440, 1000)] {
            // No window is as narrow as a phone.
            browser.room(wide, high).await;
            browser.client.goto(&served.url).await.unwrap();
            for theme in ["light", "dark"] {
                browser.until("document.querySelector('[role=tab]')").await;
                browser.script(&format!("if (document.documentElement.dataset.theme !== '{theme}') document.getElementById('theme').click()")).await;
                for tab in opened::TABS {
                    browser.tab(tab).await;
                    browser.script("scrollTo(0, 0)").await;
                    tokio::time::sleep(Duration::from_millis(900)).await;
                    picture(&browser, &folder.join(format!("{tab}-{wide}-{theme}.png"))).await;
                }
            }
        }
        copy("bulkhead", scratch.path());
        let served = Served::of(scratch.path(), &["bulkhead"]);
        for (wide, high) in [(390, 844), (1440, 1000)] {
            browser.room(wide, high).await;
            browser.client.goto(&served.url).await.unwrap();
            browser.until("document.querySelector('[role=tab]')").await;
            browser.tab("Fit").await;
            browser.until("document.querySelector('.check')").await;
            browser.script("document.querySelector('.check').click()").await;
            tokio::time::sleep(Duration::from_millis(900)).await;
            picture(&browser, &folder.join(format!("Clash-{wide}.png"))).await;
            let show = "[...document.querySelectorAll('button')].find((b) => b.textContent.startsWith('Show the place')).click()";
            browser.script(show).await;
            tokio::time::sleep(Duration::from_millis(1500)).await;
            picture(&browser, &folder.join(format!("Place-{wide}.png"))).await;
        }
        browser.close().await;
    });
}

/// How long a keystroke takes to a new verdict and to new parts, the first page, and what the page weighs: printed where
/// `PAGE_FIGURES` is set, for people to judge. (`cargo test --release -p bobbinwright --test page_looks figures -- --nocapture`)
#[test]
fn figures_for_people() {
    if std::env::var_os("PAGE_FIGURES").is_none() {
        return;
    }
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        copy("tidewick", scratch.path());
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let start = std::time::Instant::now();
        let served = Served::of(scratch.path(), &["tidewick"]);
        let up = start.elapsed().as_secs_f64() * 1e3;
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        let page = browser
            .script("return [performance.getEntriesByType('paint').at(-1)?.startTime, performance.getEntriesByType('resource').reduce((sum, r) => sum + (/state|scene|changes|bounds/.test(r.name) ? 0 : r.encodedBodySize), performance.getEntriesByType('navigation')[0].encodedBodySize)]")
            .await;
        println!(
            "program up after {up:.0} ms; page painted {} ms later; its own files weigh {} bytes",
            page[0], page[1]
        );
        type_reading(&browser, "neck.rout.length", "92.0", "", false).await;
        let verdict = "const input = [...document.querySelectorAll('.reading input')].find((i) => i.dataset.name === 'neck.rout.length');
            const times = [], words = [];
            for (let i = 0; i < 60; i++) {
              const said = document.querySelector('.entry .said');
              const changed = new Promise((done) => new MutationObserver((_, o) => { o.disconnect(); done(); }).observe(said, { childList: true, characterData: true, subtree: true }));
              const from = performance.now();
              input.value = `92.${10 + i}`;
              input.dispatchEvent(new Event('input'));
              await changed;
              words.push(performance.now() - from);
              await new Promise(requestAnimationFrame);
              times.push(performance.now() - from);
            }
            for (const all of [times, words]) all.sort((a, b) => a - b);
            return [times[30], times[56], times[59], words[30]];";
        println!(
            "keystroke to verdict on the screen, ms (half, 19 of 20, all within; half of them before the frame): {}",
            run_async(&browser, verdict).await
        );
        browser.tab("Want").await;
        browser.until("performance.getEntriesByName('scene shown').length").await;
        tokio::time::sleep(Duration::from_secs(2)).await;
        let scene = "const input = document.getElementById('neck-cover.height');
            const times = [], handed = [];
            for (let i = 0; i < 40; i++) {
              const before = performance.getEntriesByName('scene shown').length;
              const from = performance.now();
              input.value = `18.${10 + i}`;
              input.dispatchEvent(new Event('input'));
              while (performance.getEntriesByName('scene shown').length === before) await new Promise((go) => setTimeout(go, 1));
              handed.push(performance.getEntriesByName('scene shown').at(-1).startTime - from);
              await new Promise(requestAnimationFrame);
              times.push(performance.now() - from);
            }
            const wire = [];
            for (let i = 0; i < 20; i++) {
              const from = performance.now();
              const body = { path: 'cover.height', position: 'neck', value: `18.${50 + i}`, rev: '' };
              await (await fetch('of/tidewick/tryscene', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) })).arrayBuffer();
              wire.push(performance.now() - from);
            }
            for (const all of [times, wire, handed]) all.sort((a, b) => a - b);
            return [times[20], times[37], times[39], handed[20], wire[10]];";
        println!(
            "keystroke to new parts in 3D, ms (half, 19 of 20, all within; half of them handed to the graphics; half of them from the program): {}",
            run_async(&browser, scene).await
        );
        browser.close().await;
    });
}

/// The report opens by itself, shows the parts and every drawing, and asks nobody for anything.
#[test]
fn the_report_stands_alone() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let out = scratch.path().join("out");
        common::ends_with(0, &["build", family.to_str().unwrap(), "--out", out.to_str().unwrap()]);
        // Nothing else of the build is beside it.
        let report = scratch.path().join("report.html");
        std::fs::rename(out.join("tidewick/report.html"), &report).unwrap();
        let Some(browser) = browser(1000, 1400, scratch.path()).await else { return };
        browser.client.goto(&format!("file://{}", report.display())).await.unwrap();
        // Two plans and two of how the covers lie, of either coil its rods, section, response and field, how both are joined, what hangs on them, and the five pages of the measuring sheet.
        browser.until("document.querySelectorAll('.drawing svg').length === 19").await;
        let size = browser
            .until(
                "(() => { const c = document.getElementById('parts'); return c.width > 300 && c.width; })()",
            )
            .await;
        assert!(size.as_u64().is_some(), "{size}");
        assert_eq!(browser.script("return performance.getEntriesByType('resource').filter((r) => !r.name.startsWith('data:')).length").await, 0);
        browser.script("document.getElementById('cut').value = 'x'; document.getElementById('cut').dispatchEvent(new Event('input'))").await;
        tokio::time::sleep(Duration::from_millis(800)).await;
        if let Some(folder) = std::env::var_os("PAGE_PICTURES").map(PathBuf::from) {
            picture(&browser, &folder.join("report.png")).await;
        }
        let errors = browser.script("return document.getElementById('distance').textContent").await;
        assert_eq!(errors, "", "the parts are shown");
        browser.close().await;
    });
}
