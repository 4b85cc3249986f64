//! A browser to look at a page with.

// Not every test file uses all of it.
#![allow(dead_code)]

use std::io::{BufRead, BufReader, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use fantoccini::actions::{InputSource, KeyAction, KeyActions};
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};

/// A driver with one browser.
pub struct Browser {
    driver: Child,
    port: u16,
    pub client: Client,
}

/// No machine is so busy that what comes at all takes longer.
const PATIENCE: Duration = Duration::from_secs(90);

/// A browser of that width, or none, with a word, where there is no driver for one.
pub async fn browser(wide: u32, high: u32, downloads: &Path) -> Option<Browser> {
    browser_of(wide, high, downloads, None).await
}

/// The same; what it keeps is kept in a folder, if one is named.
pub async fn browser_of(wide: u32, high: u32, downloads: &Path, profile: Option<&Path>) -> Option<Browser> {
    let mut command = Command::new("chromedriver");
    command.arg("--port=0").stdout(Stdio::piped()).stderr(Stdio::null());
    #[cfg(unix)]
    std::os::unix::process::CommandExt::process_group(&mut command, 0);
    let Ok(mut driver) = command.spawn() else {
        assert!(std::env::var_os("CI").is_none(), "CI has a browser");
        eprintln!("skipped: there is no chromedriver here, so the page was not opened");
        return None;
    };
    let mut lines = BufReader::new(driver.stdout.take().unwrap()).lines().map_while(Result::ok);
    let started = lines.find(|l| l.contains("successfully on port")).expect("the driver starts");
    let port: u16 = started.rsplit(' ').next().unwrap().trim_end_matches('.').parse().unwrap();
    let mut arguments: Vec<String> = [
        "--headless=new",
        "--force-prefers-reduced-motion",
        "--no-sandbox",
        "--disable-dev-shm-usage",
        "--use-angle=swiftshader",
        "--enable-unsafe-swiftshader",
        "--ignore-gpu-blocklist",
        "--hide-scrollbars",
    ]
    .map(str::to_owned)
    .to_vec();
    arguments.push(format!("--window-size={wide},{high}"));
    arguments.extend(profile.map(|folder| format!("--user-data-dir={}", folder.display())));
    let options = json!({
        "args": arguments,
        "prefs": { "download.default_directory": downloads, "download.prompt_for_download": false },
    });
    let mut capabilities = serde_json::Map::new();
    capabilities.insert("goog:chromeOptions".into(), options);
    let client = ClientBuilder::new(HttpConnector::new())
        .capabilities(capabilities)
        .connect(&format!("http://127.0.0.1:{port}"))
        .await
        .expect("the browser starts");
    Some(Browser { driver, port, client })
}

/// A test that fails leaves neither driver nor browser behind: the browser is of the driver's group.
impl Drop for Browser {
    fn drop(&mut self) {
        #[cfg(unix)]
        let _ = Command::new("kill")
            .args(["-9", "--", &format!("-{}", self.driver.id())])
            .stderr(Stdio::null())
            .status();
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

impl Browser {
    pub async fn script(&self, script: &str) -> Value {
        self.client.execute(script, Vec::new()).await.unwrap_or_else(|e| panic!("{script}: {e}"))
    }

    /// Waits until a script gives something true.
    pub async fn until(&self, script: &str) -> Value {
        self.until_within(PATIENCE, script).await
    }

    /// The same within a time of its own.
    pub async fn until_within(&self, most: Duration, script: &str) -> Value {
        let since = Instant::now();
        loop {
            let value = self.script(&format!("return {script}")).await;
            if !matches!(value, Value::Null | Value::Bool(false)) && value != "" && value != 0 {
                return value;
            }
            assert!(since.elapsed() < most, "{script} stays untrue:\n{}", self.standing().await);
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }

    /// What there is to see of a page that does not get on, the short and telling first: and whether what it asks for is answered.
    async fn standing(&self) -> String {
        let seen = self
            .script(
                "const text = (q) => [...document.querySelectorAll(q)].map((e) => e.innerText).join(' | ');
                 return ['#gone', '#alert', '#done', '#verdict', '.entry .said', '.entry .written']
                   .map((q) => `${q}: ${text(q)}`)
                   .concat(`focus: ${document.hasFocus()} ${document.activeElement?.outerHTML.slice(0, 200)}`,
                     `requests not answered or last: ${performance.getEntriesByType('resource').slice(-5).map((r) => `${r.name.split('/').slice(-2).join('/')} ${Math.round(r.startTime)}+${Math.round(r.duration)}`)} of ${Math.round(performance.now())} ms`,
                     document.getElementById('main')?.innerText.slice(0, 1500)).join('\\n')",
            )
            .await;
        let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
        format!("load {load}{}", seen.as_str().unwrap_or_default())
    }

    /// Presses keys, one after the other, wherever the page has its focus by then.
    pub async fn keys(&self, typed: &str) {
        let mut keys = KeyActions::new("keys".into());
        for key in typed.chars() {
            keys = keys.then(KeyAction::Down { value: key }).then(KeyAction::Up { value: key });
        }
        self.client.perform_actions(keys).await.unwrap();
    }

    /// Makes the page's room so large, which a window need not be able to.
    pub async fn room(&self, wide: u32, high: u32) {
        let session = self.client.session_id().await.unwrap().unwrap();
        let body = json!({
            "cmd": "Emulation.setDeviceMetricsOverride",
            "params": { "width": wide, "height": high, "deviceScaleFactor": 1, "mobile": false },
        })
        .to_string();
        let head = format!(
            "POST /session/{session}/goog/cdp/execute HTTP/1.1\r\nHost: 127.0.0.1:{0}\r\nConnection: close\r\ncontent-type: application/json\r\ncontent-length: {1}\r\n\r\n{body}",
            self.port,
            body.len()
        );
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.write_all(head.as_bytes()).unwrap();
        // A driver may keep the connection open although it was asked not to.
        let (mut answer, mut lines) = (String::new(), BufReader::new(stream));
        while answer.is_empty() || !answer.ends_with("\r\n\r\n") {
            assert!(lines.read_line(&mut answer).unwrap() > 0, "{answer}");
        }
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        self.until(&format!("innerWidth === {wide} && innerHeight === {high}")).await;
    }

    /// Presses the first button in sight whose words begin so.
    pub async fn press(&self, words: &str) {
        self.until(&format!(
            "(() => {{ const button = [...document.querySelectorAll('button')].find((b) => b.offsetParent && b.textContent.trim().startsWith({words:?}));
               button?.click(); return Boolean(button); }})()"
        ))
        .await;
    }

    /// Opens a tab of the page by its name.
    pub async fn tab(&self, name: &str) {
        self.until(&format!(
            "(() => {{ const tab = [...document.querySelectorAll('[role=tab]')].find((t) => t.textContent === '{name}'); tab?.click(); return Boolean(tab); }})()"
        ))
        .await;
    }

    /// Ends browser and driver as a lack of power would.
    pub fn kill(self) {
        let capabilities = self.client.capabilities();
        let id =
            capabilities.and_then(|c| c.get("goog:processID")).and_then(Value::as_u64).expect("it has one");
        let killed = Command::new("kill").args(["-9", &id.to_string()]).status().expect("there is kill");
        assert!(killed.success());
    }

    pub async fn close(self) {
        let _ = self.client.clone().close().await;
    }
}

/// Runs a test that waits.
pub fn on_a_runtime(test: impl Future<Output = ()>) {
    tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap().block_on(test);
}

pub async fn run_async(browser: &Browser, body: &str) -> serde_json::Value {
    browser.script(&format!("return (async () => {{ {body} }})()")).await
}

pub async fn picture(browser: &Browser, file: &Path) {
    std::fs::write(file, browser.client.screenshot().await.unwrap()).unwrap();
}

/// A file that the browser was handed, once it is whole.
pub async fn downloaded(folder: &Path, is_it: impl Fn(&str) -> bool) -> Vec<u8> {
    let since = Instant::now();
    loop {
        let found = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
        let found =
            found.into_iter().find(|p| p.is_file() && is_it(&p.file_name().unwrap().to_string_lossy()));
        if let Some(found) = found {
            let bytes = std::fs::read(&found).unwrap();
            if !bytes.is_empty() {
                std::fs::remove_file(found).unwrap();
                return bytes;
            }
        }
        assert!(since.elapsed() < PATIENCE, "nothing came");
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
}

/// Says what a new family is, field by field, and starts it.
pub fn start_form(fields: &[(&str, &str)]) -> String {
    let said = serde_json::to_string(fields).unwrap();
    format!(
        "const form = document.querySelector('form.card');
         for (const [name, value] of {said}) {{
           const field = form.querySelector(`[name=${{name}}]`);
           field.value = value;
           field.dispatchEvent(new Event('change'));
         }}
         form.requestSubmit()"
    )
}

/// A reading of a demo's log as a person would type it: name, figures, word for how, tolerance.
pub fn readings(log: &str) -> Vec<[String; 4]> {
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

/// Calls a function of the page's own elements: types into the blank of a quantity and presses Enter.
pub async fn type_reading(browser: &Browser, name: &str, figures: &str, how: &str, enter: bool) {
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

/// Types readings one after the other, each until it is in the log.
pub async fn type_all(browser: &Browser, readings: &[[String; 4]]) {
    for [name, figures, how, within] in readings {
        browser.until(&format!("document.querySelector('.reading input[data-name=\"{name}\"]')")).await;
        browser
            .script(&format!(
                "document.querySelector('.reading input[data-name=\"{name}\"]').focus();
                 document.querySelector('.entry .within').value = '{within}';
                 document.querySelector('.entry .written').title = ''"
            ))
            .await;
        type_reading(browser, name, figures, how, true).await;
        browser.until(&format!("{WRITTEN}.includes('{name}')")).await;
    }
}

/// Opens a check on Fit by the words in its title.
pub async fn open_check(browser: &Browser, title: &str) {
    browser.tab("Fit").await;
    browser
        .until(&format!(
            "(() => {{ const check = [...document.querySelectorAll('.check')].find((c) => c.textContent.includes({title:?}));
               check?.click(); return Boolean(check); }})()"
        ))
        .await;
}

/// All tabs of a family's page.
pub const TABS: [&str; 10] =
    ["Measure", "Want", "Fit", "Look", "Print", "Inspect", "Wind", "Printer", "Versions", "Log"];

/// What is seen of an element, without scrolling: it is whole, and nothing lies over its middle.
pub const SEEN: &str = "const seen = (element) => {
    const { top, bottom, left, right } = element.getBoundingClientRect();
    const over = document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
    return top >= 0 && bottom <= innerHeight && left >= 0 && right <= innerWidth + 1 && (element === over || element.contains(over));
};";

pub const MAIN: &str = "document.getElementById('main').textContent";
pub const VERDICT: &str = "document.getElementById('verdict').textContent";
pub const WRITTEN: &str = "document.querySelector('.entry .written').title";
pub const SAID: &str = "document.querySelector('.entry .said').textContent";
