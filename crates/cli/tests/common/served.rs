//! The program, serving its page, and plain requests to it without a browser.

// Not every test file uses all of it.
#![allow(dead_code)]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// The program, serving its page.
pub struct Served {
    program: Child,
    /// The page's address, the secret in it.
    pub url: String,
}

impl Served {
    /// Serves what the arguments name, in a folder.
    pub fn of(folder: &Path, arguments: &[&str]) -> Self {
        Self::at(folder, arguments, 0).expect("it says its address")
    }

    /// The same, by the page's address in the machine's network; none where there is no network.
    pub fn in_network(folder: &Path, arguments: &[&str]) -> Option<Self> {
        Self::at(folder, &[arguments, &["--lan"]].concat(), 1)
    }

    /// The same with a browser opened, by whatever program of that folder opens one.
    pub fn opening(folder: &Path, arguments: &[&str]) -> Self {
        Self::started(folder, arguments, 0, &[]).expect("it says its address")
    }

    /// By the address that it says first, second, …
    fn at(folder: &Path, arguments: &[&str], number: usize) -> Option<Self> {
        Self::started(folder, arguments, number, &["--quiet"])
    }

    fn started(folder: &Path, arguments: &[&str], number: usize, quiet: &[&str]) -> Option<Self> {
        let path = format!("{}:{}", folder.display(), std::env::var("PATH").unwrap_or_default());
        let mut program = Command::new(env!("CARGO_BIN_EXE_bobbinwright"))
            .arg("bench")
            .args(quiet)
            .env("PATH", path)
            .args(arguments)
            .current_dir(folder)
            // Its address is kept there, and not among the settings of whoever runs the tests.
            .env("XDG_CONFIG_HOME", folder.join(".settings"))
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let lines = BufReader::new(program.stdout.take().unwrap()).lines();
        let mut addresses =
            lines.map_while(Result::ok).filter_map(|l| Some(l[l.find("http://")?..].trim().to_owned()));
        let url = addresses.nth(number);
        // Made in any case, so that the program ends with it.
        let served = Self { program, url: url.clone().unwrap_or_default() };
        url.map(|_| served)
    }

    pub fn address(&self) -> &str {
        self.url.strip_prefix("http://").unwrap().split('/').next().unwrap()
    }

    /// The path up to and with the secret.
    pub fn path(&self) -> &str {
        &self.url["http://".len() + self.address().len()..]
    }
}

impl Served {
    /// Ends the program as a power cut would.
    pub fn kill(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

/// A plain request.
pub fn get(served: &Served, path: &str) -> (u16, Vec<u8>) {
    let head = format!(
        "GET {}{path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
        served.path(),
        served.address()
    );
    asked(served.address(), head.as_bytes())
}

/// Something that is told by a plain request.
pub fn post(address: &str, path: &str, body: &str) -> (u16, Vec<u8>) {
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\ncontent-type: application/json\r\ncontent-length: {}\r\n\r\n{body}",
        body.len()
    );
    asked(address, head.as_bytes())
}

/// Bytes sent as they are; the status and the body that come back, nought and nothing where none does.
pub fn asked(address: &str, bytes: &[u8]) -> (u16, Vec<u8>) {
    let Ok(mut stream) = TcpStream::connect(address) else { return (0, Vec::new()) };
    let _ = stream.set_read_timeout(Some(Duration::from_secs(30)));
    let _ = stream.write_all(bytes);
    let mut all = Vec::new();
    let _ = stream.read_to_end(&mut all);
    let end = all.windows(4).position(|w| w == b"\r\n\r\n").map_or(all.len(), |i| i + 4);
    let status =
        std::str::from_utf8(all.get(9..12).unwrap_or_default()).unwrap_or_default().parse().unwrap_or(0);
    (status, all.split_off(end))
}
