//! Every command that writes is killed, at random and at chosen calls, on a system that can let two names change places
//! and on one that can't: nothing that was confirmed is lost, nothing of the user's is out of sight, and after the next
//! run nothing lies about.
//!
//! `KILLS=500 CHOSEN=100 cargo test -p bobbinwright --test kills -- --nocapture` prints the table; every test run does a
//! few. Calls are chosen and refused by `strace`; where there is none, that is said.

mod common;
#[path = "common/served.rs"]
mod served;

use std::fs;
#[cfg(unix)]
use std::os::unix::process::CommandExt;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use common::{ends_with, name, run, text, wherry};
use served::{Served, post};

/// What the program asks the system for when it writes.
const CALLS: [&str; 9] =
    ["openat", "write", "fsync", "fdatasync", "rename", "renameat2", "linkat", "unlink", "ftruncate"];

fn many(variable: &str, usual: usize) -> usize {
    std::env::var(variable).ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

/// A number that has no pattern, below `most`.
fn moment(n: usize, most: u64) -> u64 {
    (n as u64 + 1).wrapping_mul(0x9e37_79b9_7f4a_7c15).rotate_left(29) % most.max(1)
}

/// A family with a printer, a build, a printed part and something of the user's in each folder.
struct Bench {
    family: PathBuf,
    printer: PathBuf,
    out: PathBuf,
    scratch: tempfile::TempDir,
    figure: usize,
}

/// What of the user's lies where.
const OWN: [&str; 3] = ["specs/wherry/notes.txt", "out/wherry/settings.txt", "out/wherry-sheet/filled.txt"];

impl Bench {
    fn new() -> Self {
        let scratch = tempfile::tempdir().unwrap();
        let (family, printer) = wherry(scratch.path());
        let out = scratch.path().join("out");
        ends_with(0, &["build", name(&family), "--out", name(&out)]);
        ends_with(0, &["sheet", name(&family), "--out", name(&out)]);
        ends_with(0, &["printed", name(&family), "--out", name(&out)]);
        let bench = Self { family, printer, out, scratch, figure: 0 };
        for own in OWN {
            fs::write(bench.scratch.path().join(own), own).unwrap();
        }
        bench
    }

    /// The commands that write, each so that it has something to do.
    fn command(&mut self, n: usize) -> (&'static str, Vec<String>) {
        self.figure += 1;
        let n = n % NAMES.len();
        let (family, out) = (name(&self.family).to_owned(), name(&self.out).to_owned());
        let new = |kind: &str| name(&self.scratch.path().join(format!("{kind}{}", self.figure))).to_owned();
        let wall = format!("2.{:02}", 10 + self.figure % 40);
        let all: Vec<String> = match NAMES[n] {
            "read" => vec![
                "read".into(),
                family,
                "bridge.rout.depth".into(),
                self.read(),
                "--spot".into(),
                "bass".into(),
            ],
            "withdraw" => vec!["withdraw".into(), family, self.last_reading().to_string(), "tried".into()],
            "tool" => ["tool", &family, &format!("rule{}", self.figure), "--step", "0.5", "--limit", "0.3"]
                .map(str::to_owned)
                .to_vec(),
            "want" => vec!["want".into(), family, "cover.wall".into(), wall],
            "undo" => vec!["want".into(), family, "--undo".into()],
            "new" => vec!["new".into(), new("skiff"), "--strings".into(), "4".into()],
            "build" | "sheet" | "inspect" | "label" => vec![NAMES[n].into(), family, "--out".into(), out],
            "diff" => vec!["diff".into(), family, "--out".into(), out],
            "coupon" => vec!["coupon".into(), new("printer"), "--out".into(), out],
            "printed" => {
                ["printed", &family, "bridge-cover", "--again", "--out", &out].map(str::to_owned).to_vec()
            }
            "parts" => ["parts", &family, "bridge-cover", "spare"].map(str::to_owned).to_vec(),
            _ => ["done", &family, "bridge", "soldered", "--hot", "finish"].map(str::to_owned).to_vec(),
        };
        (NAMES[n], all)
    }

    /// A figure that no other reading has.
    fn read(&self) -> String {
        format!("24.{:03}", self.figure % 1000)
    }

    /// The number of the last entry that such a reading made.
    fn last_reading(&self) -> usize {
        let log = fs::read_to_string(self.family.join("readings.ron")).unwrap();
        let entries =
            log.lines().filter(|l| l.split_once("(on:").is_some_and(|(kind, _)| !kind.starts_with('/')));
        entries.enumerate().filter(|(_, l)| l.contains("got: mm(24.")).last().map_or(1, |(i, _)| i + 1)
    }

    /// What is wrong after a command was killed that had said this.
    fn wrong(&self, said: &str) -> Vec<String> {
        let mut wrong = Vec::new();
        for entry in said.lines().filter(|l| l.starts_with("Entry ")) {
            let entry = entry.split_once(": ").map_or("", |(_, entry)| entry);
            let log = fs::read_to_string(self.family.join("readings.ron")).unwrap_or_default();
            if entry.contains("(on:") && !log.contains(entry) {
                wrong.push(format!("confirmed and not there: {entry}"));
            }
        }
        for own in OWN {
            if fs::read_to_string(self.scratch.path().join(own)).is_ok_and(|text| text == own) {
                continue;
            }
            wrong.push(format!("out of sight: {own}"));
        }
        let code = run(&["check", name(&self.family)]).status.code();
        if code == Some(2) {
            wrong.push("the family can't be read".to_owned());
        }
        wrong
    }

    /// What lies about that nobody asked for.
    fn litter(&self) -> Vec<String> {
        let folders =
            [self.scratch.path(), &self.family, &self.printer, &self.out, &self.scratch.path().join("specs")];
        let all = folders.iter().flat_map(|folder| fs::read_dir(folder).into_iter().flatten().flatten());
        all.map(|e| e.path().display().to_string()).filter(|path| path.contains("/.bobbinwright")).collect()
    }
}

const NAMES: [&str; 15] = [
    "read", "withdraw", "tool", "want", "undo", "new", "build", "sheet", "inspect", "label", "diff",
    "coupon", "printed", "parts", "done",
];

/// Those that clear away what was left: one for each folder that is written to.
const CLEARING: [&str; 3] = ["want", "build", "sheet"];

/// Under what the program runs.
#[derive(Clone, Copy)]
enum Under {
    Nothing,
    /// No two names can change places; killed after so many microseconds.
    NoExchange(u64),
    /// It is killed at the n-th of these calls.
    Call(&'static str, usize),
}

fn start(arguments: &[String], under: Under) -> Command {
    let program = env!("CARGO_BIN_EXE_bobbinwright");
    let (inject, after) = match under {
        Under::Nothing => {
            let mut command = Command::new(program);
            command.args(arguments);
            return command;
        }
        Under::NoExchange(after) => ("inject=renameat2:error=EINVAL".to_owned(), Some(after)),
        Under::Call(call, n) => (format!("inject={call}:signal=SIGKILL:when={n}"), None),
    };
    let mut command = Command::new("strace");
    command.args(["-f", "-qq", "-o", "/dev/null", "-e"]).arg(inject);
    // Not strace is killed, which would leave the program alone.
    command.args(
        after
            .map(|micros| format!("{:.6}", micros as f64 / 1e6))
            .iter()
            .flat_map(|after| ["timeout", "-s", "KILL", after]),
    );
    command.arg(program).args(arguments);
    command
}

/// No command takes so long, even under `strace` on a slow machine.
const LONGEST: Duration = Duration::from_mins(1);

/// Kills it after a while, or lets it end; what it had said. One that never ends is killed with whatever it started.
fn killed(mut command: Command, after: Option<u64>) -> String {
    #[cfg(unix)]
    command.process_group(0);
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
    if let Some(micros) = after {
        std::thread::sleep(Duration::from_micros(micros));
        let _ = child.kill();
    }
    let (id, begun) = (child.id(), Instant::now());
    let reading = std::thread::spawn(move || child.wait_with_output().unwrap().stdout);
    while !reading.is_finished() && begun.elapsed() < LONGEST {
        std::thread::sleep(Duration::from_millis(1));
    }
    if !reading.is_finished() {
        println!("never ended: {command:?}");
        let _ = Command::new("kill").args(["-KILL", "--", &format!("-{id}")]).status();
    }
    text(&reading.join().unwrap())
}

fn has_strace() -> bool {
    let tried = Command::new("strace").args(["-qq", "-o", "/dev/null", "true"]).status();
    tried.is_ok_and(|status| status.success())
}

/// What came of a kind of disturbance.
struct Row {
    how: &'static str,
    kills: usize,
    wrong: Vec<String>,
}

/// Runs each command in turn, killed so many times, then once to its end, and looks.
fn tried(how: &'static str, kills: usize, mut at: impl FnMut(&mut Bench, usize, &[String]) -> String) -> Row {
    let mut bench = Bench::new();
    let mut wrong = Vec::new();
    for n in 0..kills {
        let (command, arguments) = bench.command(n);
        let said = at(&mut bench, n, &arguments);
        wrong.extend(bench.wrong(&said).into_iter().map(|w| format!("{command}: {w}")));
        // The next of each clears away what was left.
        if n % NAMES.len() == NAMES.len() - 1 || n + 1 == kills {
            for (n, _) in NAMES.iter().enumerate().filter(|(_, name)| CLEARING.contains(name)) {
                let (_, arguments) = bench.command(n);
                killed(start(&arguments, Under::Nothing), None);
            }
            wrong.extend(bench.litter().into_iter().map(|path| format!("litter: {path}")));
        }
    }
    Row { how, kills, wrong }
}

/// The page is killed while a reading is on its way.
fn page(kills: usize) -> Row {
    let mut bench = Bench::new();
    let mut wrong = Vec::new();
    for n in 0..kills {
        bench.figure += 1;
        let mut served = Served::of(bench.scratch.path(), &[name(&bench.family)]);
        let (address, path) = (served.address().to_owned(), format!("{}of/wherry/read", served.path()));
        let figure = bench.read();
        let body = format!(r#"{{"of":"bridge.rout.depth","figures":"{figure}","spot":"bass"}}"#);
        let sent = std::thread::spawn(move || post(&address, &path, &body));
        std::thread::sleep(Duration::from_micros(moment(n, 12_000)));
        served.kill();
        let (status, _) = sent.join().unwrap();
        let log = fs::read_to_string(bench.family.join("readings.ron")).unwrap();
        if status == 200 && !log.contains(&format!("mm({figure})")) {
            wrong.push(format!("page: confirmed and not there: {figure}"));
        }
        wrong.extend(bench.wrong("").into_iter().map(|w| format!("page: {w}")));
    }
    Row { how: "page", kills, wrong }
}

#[test]
fn nothing_is_lost_by_a_kill() {
    let (random, chosen) = (many("KILLS", 15), many("CHOSEN", 5));
    // How long a command takes decides when it is killed: anywhere in it.
    let most = |arguments: &[String]| {
        if ["build", "inspect", "diff", "coupon"].contains(&arguments[0].as_str()) { 400_000 } else { 60_000 }
    };
    let begun = Instant::now();
    let mut rows = vec![
        tried("random, exchange", random, |_, n, arguments| {
            killed(start(arguments, Under::Nothing), Some(moment(n, most(arguments))))
        }),
        page(random / 5),
    ];
    if has_strace() {
        rows.push(tried("random, no exchange", random / 3, |_, n, arguments| {
            killed(start(arguments, Under::NoExchange(moment(n, 3 * most(arguments)))), None)
        }));
        rows.push(tried("chosen calls", chosen, |_, n, arguments| {
            let call = CALLS[n % CALLS.len()];
            killed(start(arguments, Under::Call(call, 1 + moment(n, 6) as usize)), None)
        }));
    } else {
        println!("no strace here: calls are neither chosen nor refused");
    }
    println!("{:<22} {:>6} {:>6}", "killed", "times", "wrong");
    for row in &rows {
        println!("{:<22} {:>6} {:>6}", row.how, row.kills, row.wrong.len());
    }
    println!("{:.0} s", begun.elapsed().as_secs_f64());
    let wrong: Vec<&String> = rows.iter().flat_map(|row| &row.wrong).collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}
