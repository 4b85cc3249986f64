//! The bench page in a real browser.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::path::{Path, PathBuf};
use std::time::Duration;

use common::copy;
use opened::{Browser, browser};
use served::{Served, asked, get};

fn on_a_runtime(test: impl Future<Output = ()>) {
    tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap().block_on(test);
}

/// Pictures of all tabs, three widths, both themes, into the folder that `PAGE_PICTURES` names: for people to look at.
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
        copy("bulkhead", scratch.path());
        let served = Served::of(scratch.path(), &["bulkhead"]);
        for (wide, high) in [(390, 844), (1440, 1000)] {
            let Some(browser) = browser(wide, high, scratch.path()).await else { return };
            browser.client.set_window_rect(0, 0, wide, high).await.unwrap();
            browser.client.goto(&served.url).await.unwrap();
            browser.until("document.querySelector('[role=tab]')").await;
            browser.tab("Fit").await;
            browser.script("document.querySelector('.check').click()").await;
            tokio::time::sleep(Duration::from_millis(900)).await;
            picture(&browser, &folder.join(format!("Clash-{wide}.png"))).await;
            browser.close().await;
        }
    });
}

/// How long a keystroke takes to a new verdict and to new parts, the first page, and what the page weighs: printed where
/// `PAGE_FIGURES` is set, for people to judge. (`cargo test --release -p bobbinwright --test page figures -- --nocapture`)
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
              await (await fetch('of/tidewick/tryscene', { method: 'POST', body: JSON.stringify(body) })).arrayBuffer();
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

async fn run_async(browser: &Browser, body: &str) -> serde_json::Value {
    browser.script(&format!("return (async () => {{ {body} }})()")).await
}

async fn picture(browser: &Browser, file: &Path) {
    std::fs::write(file, browser.client.screenshot().await.unwrap()).unwrap();
}

/// Calls a function of the page's own elements: types into the blank of a quantity and presses Enter.
async fn type_reading(browser: &Browser, name: &str, figures: &str, how: &str, enter: bool) {
    let script = format!(
        "const row = [...document.querySelectorAll('.reading input')].find((i) => i.dataset.name === {name:?});
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
        let rout = "neck.rout.length";
        type_reading(&browser, rout, "90.20 90.22", "", false).await;
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
            page.until("document.querySelector('details').textContent.includes('92.21') && document.querySelector('details').textContent.includes('38.29')").await;
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
        if changes() == 1 {
            other.until("document.getElementById('main').textContent.includes('changed meanwhile')").await;
        }
        let text = std::fs::read_to_string(family.join("family.ron")).unwrap();
        let wall = if changes() == 2 { "wall: mm(2.3)" } else { "wall: mm(2.1)" };
        assert!(text.contains(wall), "{} changes: {text}", changes());
        one.close().await;
        other.close().await;
    });
}

/// A reading of a demo's log as a person would type it: name, figures, word for how, tolerance.
fn readings(log: &str) -> Vec<[String; 4]> {
    let between = |line: &str, from: &str, to: &str| {
        let start = line.find(from)? + from.len();
        Some(line[start..start + line[start..].find(to)?].to_owned())
    };
    let one = |line: &str| {
        let unit = if line.contains("got: inch(") { "in" } else { "" };
        let got = between(line, "got: mm(", ")").or_else(|| between(line, "got: inch(", ")"))?;
        let figures: Vec<String> =
            got.trim_matches(['[', ']']).split(',').map(|f| format!("{}{unit}", f.trim())).collect();
        let how = between(line, "how: ", ",").unwrap_or_default();
        let within = between(line, "within: mm(", ")").unwrap_or_default();
        Some([between(line, "of: \"", "\"")?, figures.join(" "), how, within])
    };
    log.lines().filter(|l| l.starts_with("reading(")).filter_map(one).collect()
}

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
            .script("document.querySelector('[name=folder]').value = '../skiff'; document.querySelector('form button').click()")
            .await;
        browser.until("document.getElementById('alert').textContent.includes('small letters')").await;
        browser
            .script("document.querySelector('[name=folder]').value = 'tidewick'; document.querySelector('form button').click()")
            .await;
        browser
            .until("document.getElementById('verdict')?.textContent.includes('readings still to be taken')")
            .await;

        let all = readings(&std::fs::read_to_string(common::specs().join("tidewick/readings.ron")).unwrap());
        assert!(all.len() > 50);
        for [name, figures, how, within] in &all {
            browser.until(&format!("document.querySelector('.reading input[data-name=\"{name}\"]')")).await;
            browser
                .script(&format!(
                    "document.querySelector('.reading input[data-name=\"{name}\"]').focus();
                     document.querySelector('.entry input').value = '{within}';
                     document.querySelector('.entry .written').textContent = ''"
                ))
                .await;
            type_reading(&browser, name, figures, how, true).await;
            browser.until(&format!("{WRITTEN}.includes('{name}')")).await;
        }
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

/// What a hostile page or program may try.
#[test]
fn nobody_else_gets_in() {
    use std::io::Write;
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let served = Served::of(scratch.path(), &["tidewick"]);
    let (path, host) = (served.path().to_owned(), served.address().to_owned());
    let request = |method: &str, path: &str, host: &str, more: &str, body: &str| {
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n{more}content-length: {}\r\n\r\n{body}",
            body.len()
        );
        asked(served.address(), head.as_bytes())
    };
    assert_eq!(request("GET", &path, &host, "", "").0, 200);
    // Another name that leads here, and an address without the secret, or with another.
    assert_eq!(request("GET", &path, "elsewhere.example", "", "").0, 403);
    assert_eq!(request("GET", "/", &host, "", "").0, 403);
    assert_eq!(request("GET", &path.replace(['a', 'b', 'c', '1', '2'], "0"), &host, "", "").0, 403);
    // A foreign page that sends something.
    let log = std::fs::read(family.join("readings.ron")).unwrap();
    let reading = r#"{"of":"neck.rout.length","figures":"92.2"}"#;
    let read = format!("{path}of/tidewick/read");
    assert_eq!(request("POST", &read, &host, "Origin: http://elsewhere.example\r\n", reading).0, 403);
    assert_eq!(request("POST", &read, &host, "Origin: null\r\n", reading).0, 403);
    assert_eq!(std::fs::read(family.join("readings.ron")).unwrap(), log);
    // Out of the folder, by every name that a request can have.
    std::fs::write(scratch.path().join("secret.txt"), "not for you").unwrap();
    for up in [
        "../secret.txt",
        "..%2fsecret.txt",
        "%2e%2e/secret.txt",
        "..%2F..%2Fetc%2Fpasswd",
        "....//secret.txt",
        "%00",
        "%zz",
    ] {
        for at in [
            "",
            "web/",
            "web/viewer/",
            "of/",
            "of/tidewick/",
            "of/tidewick/file/print/",
            "of/tidewick/made/",
            "of/tidewick/bounds?path=",
        ] {
            let (status, body) = get(&served, &format!("{at}{up}"));
            assert!(!String::from_utf8_lossy(&body).contains("not for you"), "{at}{up}");
            let null = body == b"null";
            assert!(matches!(status, 400 | 403 | 404) || null, "{at}{up}: {status}");
        }
    }
    for typed in [
        r#"{"of":"../../x","figures":"1"}"#,
        r#"{"of":"neck.rout.length\"),evil(","figures":"92.2"}"#,
        r#"{"of":"neck.rout.length","figures":"92.2","spot":"a\nwithdraw(on: \"2026-01-01\", entry: 1, why: \"x\")"}"#,
        "[]",
        "{",
        "",
    ] {
        let (status, body) = request("POST", &read, &host, "", typed);
        let text = std::fs::read_to_string(family.join("readings.ron")).unwrap();
        assert!(
            status == 422 || (status == 200 && !text.contains("\nwithdraw(")),
            "{typed}: {status} {}",
            String::from_utf8_lossy(&body)
        );
    }
    for path_and_value in [
        ("cover.rounding", "1.4), evil: ("),
        ("like", "\"../x\""),
        ("title", "\"x\""),
        ("printer", "\"/etc\""),
    ] {
        let body = serde_json::json!({ "path": path_and_value.0, "position": "neck", "value": path_and_value.1, "rev": "" }).to_string();
        assert_eq!(
            request("POST", &format!("{path}of/tidewick/tryvalue"), &host, "", &body).0,
            422,
            "{path_and_value:?}"
        );
    }
    // A body of a gigabyte: said at once, and not taken in.
    let head = format!("POST {read} HTTP/1.1\r\nHost: {host}\r\ncontent-length: 1073741824\r\n\r\n");
    let mut stream = std::net::TcpStream::connect(&host).unwrap();
    stream.write_all(head.as_bytes()).unwrap();
    let block = vec![b' '; 1 << 20];
    let sent = (0..1024).take_while(|_| stream.write_all(&block).is_ok()).count();
    assert!(sent < 64, "{sent} MB were taken");
    // A thousand that say nothing, or a letter now and then: whoever asks properly is answered all the same.
    let mut slow: Vec<_> = (0..1000).filter_map(|_| std::net::TcpStream::connect(&host).ok()).collect();
    assert!(slow.len() > 900, "{}", slow.len());
    for stream in &mut slow {
        let _ = stream.write_all(b"GET /");
    }
    assert_eq!(request("GET", &path, &host, "", "").0, 200);
    drop(slow);
    // The family goes while it is open: that is said, and nothing else happens.
    std::fs::remove_dir_all(&family).unwrap();
    let (status, body) = get(&served, "of/tidewick/state");
    assert!(
        status == 409 && String::from_utf8_lossy(&body).contains("is not a folder"),
        "{status} {}",
        String::from_utf8_lossy(&body)
    );
    assert_eq!(request("POST", &read, &host, "", reading).0, 422);
    assert_eq!(get(&served, "").0, 200);
}

/// The accessibility rules of axe-core (WCAG 2.2, levels A and AA) find nothing on any tab, in either theme, on a phone
/// and on a desk.
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
        common::ends_with(
            0,
            &["build", family.to_str().unwrap(), "--out", scratch.path().join("out").to_str().unwrap()],
        );
        // Something of each verdict.
        common::change(&family.join("family.ron"), "height: mm(18.5)", "height: mm(17.4)");
        let served = Served::of(scratch.path(), &["tidewick"]);
        for (wide, high) in [(390, 844), (1440, 1000)] {
            let Some(browser) = browser(wide, high, scratch.path()).await else { return };
            browser.client.goto(&served.url).await.unwrap();
            browser.until("document.querySelector('[role=tab]')").await;
            browser.script(&axe).await;
            for theme in ["light", "dark"] {
                browser.script(&format!("if (document.documentElement.dataset.theme !== '{theme}') document.getElementById('theme').click()")).await;
                for tab in ["Measure", "Want", "Fit", "Look", "Print", "Wind", "Versions"] {
                    browser.tab(tab).await;
                    tokio::time::sleep(Duration::from_millis(700)).await;
                    match tab {
                        "Measure" => browser.script("document.querySelector('.reading input').focus(); document.querySelector('details').open = true").await,
                        "Fit" => browser.script("document.querySelector('.check').click()").await,
                        _ => serde_json::Value::Null,
                    };
                    let found = browser
                        .script("return axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }).then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160) + ' ' + n.failureSummary).join(' | ')))")
                        .await;
                    assert_eq!(found, serde_json::json!([]), "{tab}, {theme}, {wide} px");
                }
            }
            browser.close().await;
        }
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
        // Two plans, and of either coil its rods, section, response and field.
        browser.until("document.querySelectorAll('.drawing svg').length === 10").await;
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
