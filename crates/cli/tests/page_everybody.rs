//! The bench page for everybody: by keyboard, with a screen reader, with thick fingers, on a narrow screen.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::path::Path;

use common::copy;
use opened::{Browser, TABS, VERDICT, browser, on_a_runtime};
use served::Served;

fn listed(found: &serde_json::Value, what: &str) -> Vec<String> {
    found.as_array().into_iter().flatten().map(|one| format!("{what}: {one}")).collect()
}

/// What the accessibility rules of axe-core (WCAG 2.2, levels A and AA) find, and what is laid out wrongly.
async fn not_for_everybody(browser: &Browser) -> Vec<String> {
    let found = browser
        .script("return axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }).then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160) + ' ' + n.failureSummary).join(' | ')))")
        .await;
    [listed(&found, "axe"), laid_out_wrongly(browser).await].concat()
}

/// Nothing is wider than the screen (WCAG 2.2, 1.4.10), and what is touched is 44 px large: but for links in text, and blanks on
/// the drawing, whose quantities stand in the list too.
async fn laid_out_wrongly(browser: &Browser) -> Vec<String> {
    let beyond = browser.script("return document.documentElement.scrollWidth - innerWidth").await;
    let small = browser
        .script(
            "const box = (one) => (one.closest('label') ?? one).getBoundingClientRect();
             return [...document.querySelectorAll('button, input, select, summary, [role=tab]')]
               .filter((one) => one.offsetParent && !one.classList.contains('blank') && getComputedStyle(one).visibility !== 'hidden')
               .filter((one) => box(one).height < 43.9 || box(one).width < 43.9)
               .map((one) => `${one.outerHTML.slice(0, 120)} ${box(one).width} x ${box(one).height}`)",
        )
        .await;
    let over_each_other = browser
        .script(
            "const tabs = [...document.querySelectorAll('[role=tab]')].map((tab) => [tab.textContent, tab.getBoundingClientRect()]);
             return tabs.slice(1).filter(([, box], i) => box.left < tabs[i][1].right - 0.5).map(([name]) => name)",
        )
        .await;
    let wider = beyond.as_i64().filter(|beyond| *beyond > 0).map(|beyond| format!("{beyond} px too wide"));
    listed(&small, "too small for a finger")
        .into_iter()
        .chain(listed(&over_each_other, "over another tab"))
        .chain(wider)
        .collect()
}

/// Every tab, in either theme, on a desk and in the narrowest window.
#[test]
fn everybody_can_use_it() {
    let axe = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/axe/package/axe.min.js");
    let Ok(axe) = std::fs::read_to_string(axe) else {
        assert!(std::env::var_os("CI").is_none(), "CI has axe-core");
        eprintln!("skipped: there is no axe-core here; .ci/run fetches it");
        return;
    };
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        // Something of each verdict.
        common::change(&family.join("family.ron"), "height: mm(18.5)", "height: mm(17.4)");
        let served = Served::of(scratch.path(), &["tidewick"]);
        let mut all = Vec::new();
        for (wide, high, theme) in [(500, 844, "light"), (1440, 1000, "dark")] {
            let Some(browser) = browser(wide, high, scratch.path()).await else { return };
            browser.client.goto(&served.url).await.unwrap();
            browser.until("document.querySelector('[role=tab]')").await;
            browser.script(&axe).await;
            browser.script(&format!("if (document.documentElement.dataset.theme !== '{theme}') document.getElementById('theme').click()")).await;
            for tab in TABS {
                browser.tab(tab).await;
                tokio::time::sleep(std::time::Duration::from_millis(700)).await;
                match tab {
                    "Measure" => {
                        browser.script("document.querySelector('.reading input').focus(); document.getElementById('job').open = true; document.querySelector('.entry details').open = true").await;
                    }
                    "Fit" => {
                        browser.script("document.querySelector('.check').click()").await;
                    }
                    _ => {}
                }
                let found = not_for_everybody(&browser).await;
                all.extend(found.into_iter().map(|one| format!("{tab}, {theme}, {wide} px: {one}")));
            }
            browser.close().await;
        }
        assert!(all.is_empty(), "{}", all.join("\n"));
    });
}

/// By keyboard alone: past the tabs in one press, every tab by arrows, and what is drawn anew under the fingers of whoever
/// is at it keeps the focus.
#[test]
fn the_keyboard_is_enough() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("bulkhead", scratch.path());
        let served = Served::of(scratch.path(), &["bulkhead"]);
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('clash')")).await;
        // What a phone loads over a workshop's network.
        let weight = "return performance.getEntriesByType('resource').reduce((sum, r) => sum + (/web\\//.test(r.name) ? r.encodedBodySize : 0), performance.getEntriesByType('navigation')[0].encodedBodySize)";
        let weight = browser.script(weight).await;
        assert!((20_000..75_000).contains(&weight.as_u64().unwrap()), "{weight} bytes");
        browser.keys("\u{e004}\u{e007}").await;
        browser.until("document.activeElement.id === 'main'").await;
        browser.script("document.querySelector('[role=tab][aria-selected=true]').focus()").await;
        for tab in TABS.iter().skip(1) {
            browser.keys("\u{e014}").await;
            let at = "document.activeElement.textContent";
            assert_eq!(browser.script(&format!("return {at}")).await, *tab);
        }
        browser.keys("\u{e011}").await;
        browser.until("document.activeElement.textContent === 'Measure'").await;

        // Through a proposal without a mouse: to the worst check, open it, try, take, undo.
        browser.tab("Fit").await;
        browser.until("document.querySelector('.check')").await;
        browser.script("document.querySelector('.check').focus()").await;
        browser.keys("\u{e007}").await;
        browser.until("document.activeElement.getAttribute('aria-expanded') === 'true'").await;
        browser.until("document.querySelector('.way button')").await;
        browser.keys("\u{e004}\u{e007}").await;
        browser.until("document.activeElement.textContent === 'Take it'").await;
        browser.keys("\u{e007}").await;
        browser.until("document.getElementById('done').textContent.includes('Written')").await;
        browser.until("document.activeElement !== document.body").await;

        // Somebody else writes while a control has the focus: it keeps it, on every tab.
        for tab in TABS {
            browser.tab(tab).await;
            browser.until("!document.getElementById('main').textContent.includes('One moment')").await;
            let first = "[...document.querySelectorAll('#main button, #main select, #main input, #main a')].find((one) => one.offsetParent && !one.disabled)";
            let named = "[document.activeElement.tagName, document.activeElement.getAttribute('aria-label') ?? document.activeElement.dataset.name ?? document.activeElement.textContent.trim()].join(' ')";
            let before = browser
                .script(&format!("const one = {first}; one?.focus(); return one ? {named} : null"))
                .await;
            assert!(!before.is_null(), "{tab} has nothing to press");
            let log = std::fs::read_to_string(family.join("readings.ron")).unwrap();
            std::fs::write(family.join("readings.ron"), format!("{log}// seen\n")).unwrap();
            let rev = "return fetch('of/bulkhead/state').then((r) => r.json()).then((s) => s.rev)";
            browser.script(rev).await;
            tokio::time::sleep(std::time::Duration::from_millis(700)).await;
            // It is on that control, not merely somewhere in the tab.
            assert_eq!(browser.script(&format!("return {named}")).await, before, "{tab} lost the focus");
        }
        browser.close().await;
    });
}
