//! The whole job of a newcomer by the page alone: from nothing to plate, coupon, inspection and winding sheet. No file is
//! opened, and no command typed.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use opened::{Browser, VERDICT, browser, on_a_runtime, readings, start_form, type_all};
use served::{Served, get};

/// Starts a family of six strings and two rods each at one position, with the caliper's data sheet beside.
async fn start(browser: &Browser) {
    browser.until("document.querySelector('form')").await;
    let said =
        [("folder", "skiff"), ("title", "Skiff"), ("positions", "neck"), ("step", "0.01"), ("limit", "0.02")];
    browser.script(&start_form(&said)).await;
    browser
        .until("document.getElementById('verdict')?.textContent.includes('readings still to be taken')")
        .await;
}

/// Types every reading that the demo's log has of that position and of what all share.
async fn measure(browser: &Browser) {
    let log = std::fs::read_to_string(common::specs().join("tidewick/readings.ron")).unwrap();
    let own = readings(&log).into_iter().filter(|[name, ..]| !name.starts_with("bridge."));
    type_all(browser, &own.collect::<Vec<_>>()).await;
    browser.until(&format!("/fit|clash|close/.test({VERDICT})")).await;
}

/// Takes what is proposed for the worst check, until nothing clashes any more; gives how often.
async fn do_what_is_proposed(browser: &Browser) -> usize {
    for taken in 0..8 {
        browser.tab("Fit").await;
        browser.until("document.querySelector('.check')").await;
        if browser.script("return document.querySelector('.check.clashes') === null").await == true {
            return taken;
        }
        browser.script("document.querySelector('.check.clashes').click()").await;
        browser.press("Try ").await;
        browser.press("Take it").await;
        browser.until("document.getElementById('done').textContent.includes('Written')").await;
    }
    panic!("something still clashes");
}

/// Types into every field of a list what its part was drawn or wanted to, a little off as parts are.
async fn read_all_sizes(browser: &Browser, of: &str) {
    browser.until("document.querySelector('.sizerow input[data-name]')").await;
    let count = browser.script("return document.querySelectorAll('.sizerow input[data-name]').length").await;
    browser.script("document.querySelector('.sizerow input[data-name]').focus()").await;
    for _ in 0..count.as_u64().unwrap() {
        let size = browser.script("return document.activeElement.placeholder").await;
        let size: f64 = size.as_str().unwrap().trim_end_matches('?').parse().expect(of);
        browser.keys(&format!("{size:.2} {:.2}\u{e007}", size + 0.01)).await;
    }
    browser.until("!document.getElementById('main').textContent.includes('on the way')").await;
}

/// A part is tried in the body, and the pickup soldered and built in.
async fn try_and_build_in(browser: &Browser) {
    let choose = async |label: &str, word: &str| {
        browser
            .script(&format!(
                "const own = [...document.querySelectorAll('#main label')].find((l) => l.textContent.startsWith('{label}'));
                 const field = own.querySelector('select, input');
                 field.value = '{word}';
                 field.dispatchEvent(new Event('change', {{ bubbles: true }}))"
            ))
            .await;
    };
    let said = async |words: &str| {
        browser.until(&format!("document.getElementById('main').innerText.includes('{words}')")).await;
    };
    browser.tab("Print").await;
    said("Tried in the body").await;
    choose("Part", "neck-cover 1").await;
    choose("It was tried", "rout").await;
    browser.press("Enter how it went").await;
    said("say how it went").await;
    choose("How it went", "goes_in").await;
    browser.press("Enter how it went").await;
    said("it: goes_in).").await;
    browser.tab("Wind").await;
    said("When a step is done").await;
    choose("What is done", "soldered").await;
    choose("To the output goes", "finish").await;
    browser.press("Enter that it is done").await;
    said("what: soldered, hot: finish).").await;
    choose("What is done", "built_in").await;
    // Half of it is not entered.
    choose("Gap at the bass side", "2.5").await;
    browser.press("Enter that it is done").await;
    said("say two lengths").await;
    choose("gap at the treble side", "2.0").await;
    choose("What you hear", "clear").await;
    browser.press("Enter that it is done").await;
    said("what: built_in, gaps: mm([2.5, 2.0])").await;
}

#[test]
fn from_nothing_to_plate_coupon_inspection_and_winding_sheet() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &[]);
        browser.client.goto(&served.url).await.unwrap();
        start(&browser).await;
        measure(&browser).await;
        do_what_is_proposed(&browser).await;

        // A coil.
        browser.tab("Wind").await;
        browser.press("Begin it").await;
        browser.until("document.querySelector('a[href$=\"-winding.pdf\"]')").await;

        // A printer, its coupon and what was read of it.
        browser.tab("Printer").await;
        browser.until("document.querySelector('#main input')").await;
        browser.script("const folder = document.querySelector('#main input'); folder.value = 'mine'").await;
        browser.press("Start it").await;
        browser.until("document.querySelector('a[download=\"mine-coupon.3mf\"]')").await;
        read_all_sizes(&browser, "coupon").await;
        browser
            .until("document.getElementById('main').textContent.includes('All of it has been read.')")
            .await;
        browser
            .until("document.getElementById('main').textContent.includes('sizes read on its prints')")
            .await;
        do_what_is_proposed(&browser).await;

        // The plate, and what went on the printer.
        browser.tab("Print").await;
        browser
            .until("document.getElementById('main').textContent.includes('Drawn for the printer mine')")
            .await;
        browser.until("document.querySelector('a[download=\"skiff.3mf\"]')").await;
        browser
            .script("document.querySelectorAll('td input[type=checkbox]').forEach((tick) => tick.click())")
            .await;
        browser.press("These went on the printer today").await;
        browser.until("document.getElementById('main').textContent.includes('neck-cover, copy 1')").await;

        // The printed parts.
        browser.tab("Inspect").await;
        browser.until("document.querySelector('.sizerow select')").await;
        // Middles are read from middle to middle here, by a rule that shows them.
        browser
            .script(
                "document.querySelectorAll('.sizerow select').forEach((way) => { way.value = 'outside'; })",
            )
            .await;
        read_all_sizes(&browser, "inspection").await;
        browser.until("document.querySelectorAll('.sizerow .fits').length > 5").await;
        browser
            .until(
                "/These copies: neck (✓ fits|≈ too close)/.test(document.getElementById('main').textContent)",
            )
            .await;
        try_and_build_in(&browser).await;
        browser.close().await;
        let log = std::fs::read_to_string(scratch.path().join("skiff/readings.ron")).unwrap();
        for entry in [
            "part: \"neck-cover\", copy: 1, with: rout, it: goes_in)",
            "position: \"neck\", what: soldered, hot: finish)",
            "position: \"neck\", what: built_in, gaps: mm([2.5, 2.0]), heard: \"clear\")",
        ] {
            assert!(log.contains(entry), "{entry}\n{log}");
        }

        for (file, begins) in [
            ("of/skiff/file/print/skiff.3mf", &b"PK"[..]),
            ("of/skiff/file/coupon/mine-coupon.3mf", b"PK"),
            ("of/skiff/file/coupon/mine-coupon-sheet.pdf", b"%PDF"),
            ("of/skiff/file/inspect/skiff-inspection-sheet.pdf", b"%PDF"),
            ("of/skiff/file/wind/skiff-winding.pdf", b"%PDF"),
        ] {
            let (status, bytes) = get(&served, file);
            assert!(status == 200 && bytes.starts_with(begins), "{file}: {status}");
        }
        // What could be stated besides: nothing that its screws, its rods or what is not there rule out.
        let (status, unstated) = get(&served, "of/skiff/unstated?position=neck");
        let unstated: serde_json::Value = serde_json::from_slice(&unstated).unwrap();
        let paths: Vec<&str> =
            unstated.as_array().unwrap().iter().filter_map(|w| w["path"].as_str()).collect();
        assert!(status == 200 && paths.contains(&"flatwork.sheet") && paths.contains(&"north"), "{paths:?}");
        for out_of_place in ["cover.mounting.length", "flatwork.sheet.kerf", "cover.wall", "title"] {
            assert!(!paths.contains(&out_of_place), "{paths:?}");
        }
        let family = scratch.path().join("skiff");
        let (said, _) = common::ends_with(
            common::run(&["check", family.to_str().unwrap()]).status.code().unwrap(),
            &["check", family.to_str().unwrap()],
        );
        assert!(!said.contains("clashes"), "{said}");
    });
}
