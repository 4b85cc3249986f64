//! A program that goes and comes back, and a page that loses nothing by it.

mod common;
#[path = "common/browser.rs"]
mod opened;
#[path = "common/served.rs"]
mod served;

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use common::{copy, wherry};
use opened::{browser, on_a_runtime};
use served::{Served, post};

/// What the log got, of each string's diameter.
fn gauges(log: &Path, from: usize) -> Vec<(String, String)> {
    let text = fs::read_to_string(log).unwrap();
    text[from..]
        .lines()
        .map(|line| {
            let of = line.split("of: \"").nth(1).unwrap().split('"').next().unwrap();
            (of.to_owned(), line.split("mm(").last().unwrap().trim_end_matches(')').to_owned())
        })
        .collect()
}

/// Two hundred readings, 20 ms from key to key: the first are answered after two seconds, then nothing is for five, and
/// the program is killed and started again. All are in the log, once, in order, and of the right string.
#[test]
fn two_hundred_readings_and_a_program_that_fails() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let log = family.join("readings.ron");
        // Nobody has read the diameters yet, so that the page walks through them by itself.
        let rest: String = fs::read_to_string(&log)
            .unwrap()
            .lines()
            .filter(|l| !l.contains("strings.gauge."))
            .map(|l| format!("{l}\n"))
            .collect();
        fs::write(&log, &rest).unwrap();
        let Some(browser) = browser(390, 844, scratch.path()).await else { return };
        let mut served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        browser
            .script(
                "const real = window.fetch; window.slow = 2; window.dead = false;
                 window.fetch = async (path, ...more) => {
                   if (!String(path).endsWith('/read')) return real(path, ...more);
                   if (window.dead) throw new TypeError('no network');
                   if (window.slow-- > 0) await new Promise((done) => setTimeout(done, 2000));
                   return real(path, ...more);
                 };
                 document.querySelector('.reading input[data-name=\"strings.gauge.1\"]').focus()",
            )
            .await;
        // Where each of them was typed, as a caliper types it: digits, then Enter.
        browser
            .script(
                "window.all = [];
                 const wait = () => new Promise((go) => setTimeout(go, 20));
                 (async () => {
                   for (let i = 0; i < 200; i++) {
                     const field = document.activeElement;
                     const figure = (0.4 + i / 1000).toFixed(3);
                     window.all.push([field.dataset.name, figure]);
                     for (const digit of figure) {
                       field.value += digit;
                       field.dispatchEvent(new Event('input'));
                       await wait();
                     }
                     field.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter' }));
                     await wait();
                     if (i === 60) { window.dead = true; setTimeout(() => { window.dead = false; }, 5000); }
                     if (i >= 11 && (i - 11) % 6 === 0) document.querySelector('.reading input[data-name=\"strings.gauge.1\"]').focus();
                   }
                 })().then(() => { window.typedAll = true; })",
            )
            .await;
        let folder = scratch.path().to_owned();
        let killed = std::thread::spawn(move || {
            std::thread::sleep(Duration::from_secs(14));
            served.kill();
            std::thread::sleep(Duration::from_secs(3));
            Served::of(&folder, &["tidewick"])
        });
        let again = killed.join().unwrap();
        browser.until_within(Duration::from_mins(1), "window.typedAll").await;
        let typed: Vec<(String, String)> =
            serde_json::from_str(browser.script("return JSON.stringify(window.all)").await.as_str().unwrap())
                .unwrap();
        browser
            .until_within(Duration::from_mins(1), "!document.body.textContent.includes('on the way')")
            .await;
        assert_eq!(gauges(&log, rest.len()), typed);
        let refused = browser.script("return document.querySelector('.refused').textContent").await;
        assert_eq!(refused, "");
        browser.close().await;
        drop(again);
    });
}

/// A coupon's readings too: typed while the program was gone, two of them alike, each is in the printer's log once, in the order in
/// which it was typed, and none in the family's.
#[test]
fn a_coupons_readings_outlive_the_program() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let (family, printer) = wherry(scratch.path());
        let [own, log] = [&family, &printer].map(|folder| folder.join("readings.ron"));
        let read = |log: &Path| fs::read_to_string(log).unwrap();
        let (before, own_before) = (read(&log), read(&own));
        let Some(browser) = browser(820, 900, scratch.path()).await else { return };
        let mut served = Served::of(&family, &["."]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelector('[role=tab]')").await;
        browser.tab("Printer").await;
        browser.until("document.querySelectorAll('.sizes input[data-name]').length > 10").await;
        served.kill();
        browser.until("!document.getElementById('gone').hidden").await;
        let mut typed = Vec::new();
        for (field, figure) in [(0, "90.11"), (1, "16.02"), (0, "90.11"), (2, "60.05")] {
            let at = format!("document.querySelectorAll('.sizes input[data-name]')[{field}]");
            let name = browser.script(&format!("{at}.focus(); return {at}.dataset.name")).await;
            browser.keys(&format!("{figure}\u{e007}")).await;
            typed.push((name.as_str().unwrap().to_owned(), figure.to_owned()));
        }
        browser.until("document.body.textContent.includes('4 on the way')").await;
        let _again = Served::of(&family, &["."]);
        browser.until("!document.body.textContent.includes('on the way')").await;
        assert_eq!(gauges(&log, before.len()), typed);
        assert_eq!(read(&own), own_before);
        browser.close().await;
    });
}

/// The program goes: it is said within three seconds. What is typed meanwhile is kept, also when the page is closed, and
/// goes into the log when the program is there again, at the same address.
#[test]
fn what_is_typed_outlives_page_and_program() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let log = family.join("readings.ron");
        let before = fs::read_to_string(&log).unwrap();
        let Some(browser) = browser(820, 900, scratch.path()).await else { return };
        let mut served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        served.kill();
        let gone = Instant::now();
        browser.until("!document.getElementById('gone').hidden").await;
        assert!(gone.elapsed() < Duration::from_secs(3), "{:?}", gone.elapsed());
        let enter = "const field = document.querySelector('.reading input[data-name=\"strings.gauge.2\"]');
             field.focus(); field.value = '0.436'; field.dispatchEvent(new Event('input'));
             field.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter' }));
             const other = document.querySelector('.reading input[data-name=\"strings.gauge.3\"]');
             other.focus(); other.value = '0.66'; other.dispatchEvent(new Event('input'))";
        browser.script(enter).await;
        browser.until("document.body.textContent.includes('on the way')").await;
        let address = served.url.clone();
        // The page goes too; another one comes when the program is there.
        browser.client.goto("about:blank").await.unwrap();
        let served = Served::of(scratch.path(), &["tidewick"]);
        assert_eq!(served.url, address);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        browser.until("!document.body.textContent.includes('on the way')").await;
        assert_eq!(gauges(&log, before.len()), [("strings.gauge.2".to_owned(), "0.436".to_owned())]);
        browser
            .until("document.querySelector('.reading input[data-name=\"strings.gauge.3\"]').value === '0.66'")
            .await;
        // A page that stays open finds the program again by itself.
        let mut served = served;
        served.kill();
        browser.until("!document.getElementById('gone').hidden").await;
        let _served = Served::of(scratch.path(), &["tidewick"]);
        browser.until("document.getElementById('gone').hidden").await;
        browser.close().await;
    });
}

/// Two pages of a family keep what was typed while the program was gone; each of it goes into the log once.
#[test]
fn two_pages_enter_what_was_kept_once() {
    on_a_runtime(async {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("tidewick", scratch.path());
        let log = family.join("readings.ron");
        let before = fs::read_to_string(&log).unwrap();
        let Some(browser) = browser(1000, 900, scratch.path()).await else { return };
        let mut served = Served::of(scratch.path(), &["tidewick"]);
        browser.client.goto(&served.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        served.kill();
        browser.until("!document.getElementById('gone').hidden").await;
        for (gauge, figure) in [(2, "0.436"), (3, "0.661"), (4, "0.912")] {
            browser
                .script(&format!(
                    "const field = document.querySelector('.reading input[data-name=\"strings.gauge.{gauge}\"]');
                     field.focus(); field.value = '{figure}'; field.dispatchEvent(new Event('input'));
                     field.dispatchEvent(new KeyboardEvent('keydown', {{ key: 'Enter' }}))"
                ))
                .await;
        }
        let again = Served::of(scratch.path(), &["tidewick"]);
        // Another page at once, while the first one still waits.
        let window = browser.client.new_window(true).await.unwrap();
        browser.client.switch_to_window(window.handle).await.unwrap();
        browser.client.goto(&again.url).await.unwrap();
        browser.until("document.querySelectorAll('.reading input').length > 40").await;
        browser.until("!document.body.textContent.includes('on the way')").await;
        tokio::time::sleep(Duration::from_secs(3)).await;
        let expected = [("2", "0.436"), ("3", "0.661"), ("4", "0.912")];
        let expected = expected.map(|(n, figure)| (format!("strings.gauge.{n}"), figure.to_owned()));
        assert_eq!(gauges(&log, before.len()), expected);
        assert_eq!(
            browser
                .script("return Object.keys(localStorage).filter((k) => k.includes(' reading ')).length")
                .await,
            0
        );
        browser.close().await;
    });
}

/// The entry is in the log, and its answer was lost: sent again it is not entered twice, also by a program that was started
/// since, and a day later. What was typed for another family is not entered at all.
#[test]
fn an_answer_that_was_lost() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let log = family.join("readings.ron");
    let before = fs::read_to_string(&log).unwrap();
    let entries = before.matches("(on: ").count();
    let count = || fs::read_to_string(&log).unwrap()[before.len()..].lines().count();
    let send = |served: &Served, more: &str| {
        let body = format!("{{\"of\":\"strings.gauge.2\",\"figures\":\"0.436\"{more}}}");
        let (status, answer) = post(served.address(), &format!("{}of/tidewick/read", served.path()), &body);
        let answer: serde_json::Value = serde_json::from_slice(&answer).unwrap();
        (status, answer["entry"].as_u64().unwrap_or_default())
    };
    let served = Served::of(scratch.path(), &["tidewick"]);
    let said = format!(",\"id\":\"a\",\"on\":\"2026-10-12\",\"known\":{entries}");
    let (status, first) = send(&served, &said);
    assert_eq!((status, count()), (200, 1));
    assert!(fs::read_to_string(&log).unwrap().lines().last().unwrap().contains("2026-10-12"));
    // From another page, which does not know that it was sent.
    assert_eq!((send(&served, &said), count()), ((200, first), 1));
    drop(served);
    let served = Served::of(scratch.path(), &["tidewick"]);
    assert_eq!((send(&served, &format!("{said},\"again\":true")), count()), ((200, first), 1));
    // Another reading of the same figure is another one.
    let other = said.replace("\"a\"", "\"b\"");
    assert_eq!((send(&served, &other), count()), ((200, first + 1), 2));
    assert_eq!(send(&served, ",\"home\":\"/elsewhere/tidewick\"").0, 421);
    assert_eq!(count(), 2);
    let home = family.canonicalize().unwrap();
    assert_eq!(send(&served, &format!(",\"home\":{:?}", home.display().to_string())).0, 200);
}

/// The address stays, for its owner alone to read, until another one is asked for.
#[test]
fn the_address_stays_until_another_is_asked_for() {
    let scratch = tempfile::tempdir().unwrap();
    copy("tidewick", scratch.path());
    let address = |arguments: &[&str]| Served::of(scratch.path(), &[&["tidewick"], arguments].concat());
    let first = address(&[]);
    // Beside it another one takes a port of its own, and leaves the usual one alone.
    let beside = address(&[]);
    assert_ne!(first.address(), beside.address());
    let url = first.url.clone();
    drop((first, beside));
    assert_eq!(address(&[]).url, url);
    let file = scratch.path().join(".settings/bobbinwright/bench");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(fs::metadata(&file).unwrap().permissions().mode() & 0o777, 0o600);
    }
    let new = address(&["--new-address"]).url.clone();
    assert_ne!(new.rsplit('/').nth(1), url.rsplit('/').nth(1));
    assert_eq!(address(&[]).url, new);
    // What is no address is another one.
    for broken in ["", "x y", "0123456789abcdef0123456789abcdeg 1", "0123456789abcdef0123456789abcdef 99999"]
    {
        fs::write(&file, broken).unwrap();
        assert_ne!(address(&[]).url, new);
    }
}
