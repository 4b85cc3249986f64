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
