//! The bench page in a real browser: a family is started, measured and worked on.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use common::copy;
use opened::{SAID, VERDICT, WRITTEN, browser, on_a_runtime, readings, start_form, type_all, type_reading};
use served::{Served, get};

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
        let rout = "neck.rout.length";
        type_reading(&browser, rout, "91.70 91.72", "", false).await;
        browser.until(&format!("{VERDICT}.includes('with what is typed')")).await;
        assert_eq!(std::fs::read_to_string(&log).unwrap(), before);
        // What makes no sense is said in words for this page.
        type_reading(&browser, rout, "ninety", "", false).await;
        browser.until(&format!("{SAID}.includes('write it in digits')")).await;
        type_reading(&browser, rout, "3.631in", "", true).await;
        browser.until(&format!("{WRITTEN}.includes('is in the log')")).await;
        let after = std::fs::read_to_string(&log).unwrap();
        assert!(after.starts_with(&before) && after.contains("got: inch(3.631)"), "{after}");

        // Withdrawn, by one more entry.
        browser.tab("Log").await;
        // The row of that entry, not of the one before it.
        browser.until("document.querySelector('#main tbody tr')?.textContent.includes('3.631')").await;
        browser.press("Take it back").await;
        browser.until("document.querySelector('table.log td[title^=\"withdraw(\"]')?.textContent.startsWith('Taken back: entry ')").await;
        assert!(std::fs::read_to_string(&log).unwrap().contains("why: \"misread\""));

        // A value beyond what can be made is refused with the one that works, and one within is written.
        browser.tab("Want").await;
        let set = |value: &str| {
            format!(
                "const input = document.getElementById('neck-cover.rounding'); input.focus(); input.value = '{value}'; input.dispatchEvent(new Event('input')); input.dispatchEvent(new KeyboardEvent('keydown', {{ key: 'Enter' }}))"
            )
        };
        browser.until("document.getElementById('neck-cover.rounding')").await;
        // Everything shows what it is now, also where a word is chosen or more than a word is written.
        let blank = "return [...document.querySelectorAll('.wish')].filter((w) => !w.querySelector('select, input').value).length";
        assert_eq!(browser.script(blank).await, 0);
        let shown = "return ['coil.wire', 'coil.wind', 'magnets'].map((p) => document.getElementById('neck-' + p).value).join('; ')";
        assert_eq!(browser.script(shown).await, "awg(number: 43, film: single); turns(7600); alnico5");
        browser.script(&set("9 mm")).await;
        browser.until("document.getElementById('main').textContent.includes('With cover.rounding 2.50 mm it can be made')").await;
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
                "return fetch('of/tidewick/value', { method: 'POST', headers: { 'content-type': 'application/json' }, body: JSON.stringify({ path: 'cover.roof', position: 'neck', value: '2', rev: 'seen long ago' }) }).then((r) => r.json())",
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

/// A caliper that types digits and Enter, on a network on which each answer takes 0.7 s: every reading stands in the log
/// once, under the quantity that it was typed for, and whoever types goes on without waiting. On 88f1e19 eight readings
/// of four gauges ended as two, one of them another string's.
#[test]
fn nothing_that_is_typed_waits_or_goes_astray() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let log = family.join("readings.ron");
        let gauges = ["1", "2", "3", "4"].map(|n| format!("strings.gauge.{n}\""));
        let rest: String = std::fs::read_to_string(&log)
            .unwrap()
            .lines()
            .filter(|l| {
                !gauges.iter().any(|g| l.contains(g))
                    && !l.contains("neck.rout.depth")
                    && !l.contains("rod.diameter")
            })
            .map(|l| format!("{l}\n"))
            .collect();
        std::fs::write(&log, &rest).unwrap();
        let Some(browser) = browser(390, 844, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        browser
            .script("const real = window.fetch; window.fetch = (...all) => new Promise((done) => setTimeout(done, 700)).then(() => real(...all));")
            .await;
        let first = "document.querySelector('.reading input[data-name=\"strings.gauge.1\"]').focus()";
        browser.script(first).await;
        // Two of each gauge, four rods, and the depth at both ends twice each, as the rows ask.
        let typed = "0.33 0.34 0.43 0.44 0.66 0.67 0.91 0.92 2.51 2.50 2.52 2.53 19.12 19.08 18.97 19.01";
        let mut at = Vec::new();
        for figure in typed.split(' ') {
            let name = browser.script("return document.activeElement.dataset.name").await;
            at.push(name.as_str().unwrap_or_default().to_owned());
            browser.keys(&format!("{figure}\u{e007}")).await;
        }
        let each = |name: &str, times: usize| vec![name.to_owned(); times];
        let expected = [
            each("strings.gauge.1", 2),
            each("strings.gauge.2", 2),
            each("strings.gauge.3", 2),
            each("strings.gauge.4", 2),
            each("rod.diameter", 4),
            each("neck.rout.depth", 4),
        ];
        assert_eq!(at, expected.concat());
        browser.until("!document.body.textContent.includes('on the way')").await;
        let now = std::fs::read_to_string(&log).unwrap();
        let added: Vec<String> = now[rest.len()..]
            .lines()
            .map(|l| {
                let of = l.split("of: \"").nth(1).unwrap().split('"').next().unwrap();
                let spot = l.split("spot: \"").nth(1).map_or("", |s| s.split('"').next().unwrap());
                format!("{of} {spot} {}", l.split("mm(").last().unwrap().trim_end_matches(')'))
            })
            .collect();
        let spots = ["", "bass end", "bass end", "treble end", "treble end"];
        let expected: Vec<String> = at
            .iter()
            .zip(typed.split(' '))
            .enumerate()
            .map(|(i, (of, figure))| format!("{of} {} {figure}", spots[if i < 12 { 0 } else { i - 11 }]))
            .collect();
        assert_eq!(added, expected);
        // What can't be is kept as it was said, and nothing else is touched, whatever tab is looked at meanwhile.
        let field = |name: &str| format!("document.querySelector('.reading input[data-name=\"{name}\"]')");
        browser.script(&format!("{}.focus()", field("neck.rout.width"))).await;
        browser
            .until("document.querySelector('.entry strong').textContent.includes('width of the rout')")
            .await;
        browser
            .script("const spot = document.querySelector('.entry input[list]'); spot.value = 'middle'")
            .await;
        browser.keys("3.8\u{e007}12").await;
        let other = browser.script("return document.activeElement.dataset.name").await;
        let other = other.as_str().unwrap().to_owned();
        assert_ne!(other, "neck.rout.width");
        browser.tab("Fit").await;
        tokio::time::sleep(std::time::Duration::from_millis(1500)).await;
        browser.tab("Measure").await;
        browser
            .until("document.querySelector('.refused').textContent.includes('Not entered: neck.rout.width at middle 3.8')")
            .await;
        assert_eq!(browser.script(&format!("return {}.value", field(&other))).await, "12");
        assert_eq!(browser.script(&format!("return {}.value", field("neck.rout.width"))).await, "");
        browser.script("document.querySelector('.refused button').click()").await;
        assert_eq!(browser.script(&format!("return {}.value", field("neck.rout.width"))).await, "3.8");
        assert_eq!(
            browser.script("return document.querySelector('.entry input[list]').value").await,
            "middle"
        );
        // It stands selected: what is typed replaces it.
        browser.keys("38.32\u{e007}").await;
        browser.until("!document.body.textContent.includes('on the way')").await;
        let later = std::fs::read_to_string(&log).unwrap();
        assert!(
            later.starts_with(&now) && later[now.len()..].contains("spot: \"middle\", got: mm(38.32)"),
            "{later}"
        );
        assert_eq!(later.lines().count(), now.lines().count() + 1);
        browser.close().await;
    });
}

/// Two pages open on one family: what is entered on one is seen on the other, both readings of two people who type at
/// once are in the log, and of two who change the same value the later one has to look again.
#[test]
fn two_pages_at_once() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let Some(one) = browser(820, 900, scratch.path()).await else { return };
        let Some(other) = browser(820, 900, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["tidewick"]);
        for page in [&one, &other] {
            page.client.goto(&served.url).await.unwrap();
            page.until("document.querySelectorAll('.reading input').length > 40").await;
        }
        // Both have typed before either enters.
        type_reading(&one, "neck.rout.length", "92.21", "", false).await;
        type_reading(&other, "neck.rout.width", "38.29", "", false).await;
        // The key goes down on one while the other's reading is on its way.
        type_reading(&one, "neck.rout.length", "92.21", "", true).await;
        type_reading(&other, "neck.rout.width", "38.29", "", true).await;
        for page in [&one, &other] {
            page.until(&format!("{WRITTEN}.includes('is in the log')")).await;
        }
        let log = std::fs::read_to_string(family.join("readings.ron")).unwrap();
        assert!(log.contains("92.21") && log.contains("38.29"), "{log}");
        for page in [&one, &other] {
            page.tab("Log").await;
            page.until("['92.21', '38.29'].every((figure) => document.getElementById('main').textContent.includes(figure))").await;
        }

        // The same value on both, each typed before the other was written.
        for page in [&one, &other] {
            page.tab("Want").await;
            page.until("document.getElementById('neck-cover.wall')").await;
        }
        let set = |value: &str| {
            format!(
                "const input = document.getElementById('neck-cover.wall'); input.focus(); input.value = '{value}'; input.dispatchEvent(new Event('input')); input.dispatchEvent(new KeyboardEvent('keydown', {{ key: 'Enter' }}))"
            )
        };
        one.script(&set("2.1")).await;
        other.script(&set("2.3")).await;
        for page in [&one, &other] {
            page.until("['2.1 mm', '2.3 mm'].includes(document.getElementById('neck-cover.wall').value)")
                .await;
        }
        // The second was written after the first one, or is told that it was not.
        let changes = || std::fs::read_to_string(family.join("family.undo")).unwrap().lines().count();
        let told = "return document.getElementById('main').textContent.includes('changed meanwhile')";
        let mut waited = 0;
        while changes() == 1 && other.script(told).await != true {
            assert!(waited < 200, "the second is neither written nor told that it was not");
            tokio::time::sleep(std::time::Duration::from_millis(50)).await;
            waited += 1;
        }
        let text = std::fs::read_to_string(family.join("family.ron")).unwrap();
        let wall = if changes() == 2 { "wall: mm(2.3)" } else { "wall: mm(2.1)" };
        assert!(text.contains(wall), "{} changes: {text}", changes());
        one.close().await;
        other.close().await;
    });
}

/// A family is begun and shown.
const READINGS_LEFT: &str =
    "document.getElementById('verdict')?.textContent.includes('readings still to be taken')";

/// From nothing: a family is started on the page, everything is read and typed in, and the verdicts turn from unknown to
/// known. What the page hands out is what the program builds, byte for byte.
#[test]
fn a_family_is_started_and_measured() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &[]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelector('form')").await;
        browser
            .script("const of = (name) => document.querySelector(`[name=${name}]`); of('folder').value = '../skiff'; document.querySelector('form button').click()")
            .await;
        // What the caliper is nobody guesses.
        let asks = "document.activeElement.name === 'step' && !document.activeElement.value";
        browser.until(asks).await;
        browser
            .script("const of = (name) => document.querySelector(`[name=${name}]`); of('step').value = '0.01'; of('limit').value = '0.03'; document.querySelector('form button').click()")
            .await;
        browser.until("document.getElementById('alert').textContent.includes('small letters')").await;
        // A left-handed body with ears, measured in inches.
        let said = [
            ("folder", "skiff"),
            ("handed", "left"),
            ("mounting", "ears"),
            ("ears", "neck, bridge"),
            ("step", "0.0005in"),
            ("limit", "0.001in"),
        ];
        browser.script(&start_form(&said)).await;
        browser.until(READINGS_LEFT).await;
        let [family, log] = ["family.ron", "readings.ron"]
            .map(|f| std::fs::read_to_string(scratch.path().join("skiff").join(f)).unwrap());
        assert!(
            family.contains("handed: left") && family.contains("ear_recesses: [neck, bridge]"),
            "{family}"
        );
        assert!(log.contains("resolution: inch(0.0005), mpe_outside: inch(0.001)"), "{log}");
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelector('form')").await;
        browser
            .script("const of = (name) => document.querySelector(`[name=${name}]`); of('folder').value = 'tidewick'; of('step').value = '0.01'; of('limit').value = '0.02'; document.querySelector('form button').click()")
            .await;
        browser.until(READINGS_LEFT).await;

        let all = readings(&std::fs::read_to_string(common::specs().join("tidewick/readings.ron")).unwrap());
        assert!(all.len() > 50);
        type_all(&browser, &all).await;
        browser.until(&format!("/fit/.test({VERDICT})")).await;
        let log = std::fs::read_to_string(scratch.path().join("tidewick/readings.ron")).unwrap();
        assert_eq!(readings(&log), all);

        // Somebody puts the demo's wishes in its place: everything fits, and the files are those of the program.
        std::fs::copy(
            common::specs().join("tidewick/family.ron"),
            scratch.path().join("tidewick/family.ron"),
        )
        .unwrap();
        browser.until(&format!("{VERDICT}.includes('everything fits')")).await;
        browser.tab("Print").await;
        browser.until("document.querySelector('a[download=\"tidewick.3mf\"]')").await;
        browser.until("document.querySelector('figure img').naturalWidth").await;
        browser.close().await;

        let family = scratch.path().join("tidewick");
        let out = scratch.path().join("out");
        common::ends_with(0, &["build", family.to_str().unwrap(), "--out", out.to_str().unwrap()]);
        let (status, zipped) = get(&served, "of/tidewick/file/print/everything.zip");
        assert_eq!(status, 200);
        let mut zipped = zip::ZipArchive::new(std::io::Cursor::new(zipped)).unwrap();
        for (name, bytes) in common::content(&out.join("tidewick")) {
            if name == "manifest.json" {
                // It names the files it was made from, which lie elsewhere.
                continue;
            }
            let mut inside = Vec::new();
            let mut file = zipped.by_name(&format!("tidewick/{name}")).unwrap();
            std::io::Read::read_to_end(&mut file, &mut inside).unwrap();
            assert!(inside == bytes, "{name}");
        }
    });
}

/// What to do about a clash was tried, when somebody looks: the page says with which value it fits.
#[test]
fn advice_on_the_page_was_tried() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("bulkhead", scratch.path());
        let Some(browser) = browser(820, 900, scratch.path()).await else { return };
        let served = Served::of(scratch.path(), &["bulkhead"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.tab("Fit").await;
        let height = "[...document.querySelectorAll('.check')].find((c) => c.textContent.includes('under the strings'))";
        browser.until(height).await;
        browser.script(&format!("{height}.click()")).await;
        browser.until("document.querySelector('.more').textContent.includes('With cover.height')").await;
        let (said, _) = common::ends_with(1, &["check", family.to_str().unwrap()]);
        let tried = browser.script("return document.querySelector('.more p').textContent").await;
        assert!(said.contains(tried.as_str().unwrap()), "{said}\n{tried}");
        browser.close().await;
    });
}

/// Parts are ticked, entered, and looked at again after another wish: each copy is compared as it was drawn.
#[test]
fn what_was_printed_is_known() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let Some(browser) = browser(1440, 1000, scratch.path()).await else { return };
        let family = common::copy("tidewick", scratch.path());
        let served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until(&format!("{VERDICT}.includes('everything fits')")).await;
        browser.tab("Print").await;
        browser.until("document.querySelector('input[aria-label=\"neck-cover went on the printer\"]')").await;
        let press = "[...document.querySelectorAll('button')].find((b) => b.textContent === 'These went on the printer today').click()";
        browser.script(press).await;
        browser.until("document.querySelector('#main').textContent.includes('Say which parts')").await;
        browser
            .script(&format!(
                "document.querySelector('input[aria-label=\"neck-cover went on the printer\"]').click(); {press}"
            ))
            .await;
        browser.until("document.querySelector('#main').textContent.includes('neck-cover, copy 1')").await;
        let log = || std::fs::read_to_string(family.join("readings.ron")).unwrap();
        assert!(log().lines().last().unwrap().contains("part: \"neck-cover\""), "{}", log());
        common::change(&family.join("family.ron"), "wall: mm(2.0)", "wall: mm(2.2)");
        browser.tab("Versions").await;
        browser
            .until("document.querySelector('#main').textContent.includes('the copies on the bench')")
            .await;
        browser.until("document.querySelector('#main').textContent.includes('not printed yet')").await;
        browser.tab("Print").await;
        browser.until("document.querySelector('select[aria-label^=\"What became of neck-cover\"]')").await;
        browser
            .script(
                "const became = document.querySelector('select[aria-label^=\"What became of neck-cover\"]');
                 became.value = 'broken'; became.dispatchEvent(new Event('change'))",
            )
            .await;
        browser.until("document.querySelector('select[aria-label^=\"What became of neck-cover\"]').value === 'broken'").await;
        browser.close().await;
        assert!(log().contains("copy: 1, is: broken"), "{}", log());
    });
}
