//! Many at once on one family: programs that read, write and undo beside each other, and an editor that saves by renaming.
//!
//! `CROWD=300 SAVES=200 cargo test -p bobbinwright --test crowd -- --nocapture`; every test run does a few. A system that can't
//! let two names change places is made of this one by `strace`; where there is none, that is said.

mod common;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use common::{copy, ends_with, name, run, text};

fn many(variable: &str, usual: usize) -> usize {
    std::env::var(variable).ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

fn has_strace() -> bool {
    let tried = Command::new("strace").args(["-qq", "-o", "/dev/null", "true"]).status();
    tried.is_ok_and(|status| status.success())
}

/// Runs it where two names can change places, or where they can't.
fn on_system(with_exchange: bool, arguments: &[&str]) -> Output {
    if with_exchange {
        return run(arguments);
    }
    let mut command = Command::new("strace");
    command.args(["-f", "-qq", "-o", "/dev/null", "-e", "inject=renameat2:error=EINVAL"]);
    command.arg(env!("CARGO_BIN_EXE_bobbinwright")).args(arguments).output().unwrap()
}

fn litter(folder: &Path) -> Vec<String> {
    let all = fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap());
    all.filter(|name| name.starts_with(".bobbinwright")).collect()
}

/// Readers, writers and undoers beside each other: each one's answer is true when all have ended.
#[test]
fn a_crowd_loses_nothing() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("gunwale", scratch.path());
    let all = many("CROWD", 40);
    let (next, begun) = (AtomicUsize::new(0), fs::read_to_string(family.join("readings.ron")).unwrap());
    let one = |n: usize| -> (usize, Output) {
        let figure = format!("20.{n:03}");
        let wall = format!("2.{:02}", 10 + n % 50);
        let family = name(&family);
        let done = match n % 5 {
            0 | 1 => run(&["read", family, "middle.rout.depth", &figure, "--spot", "bass end"]),
            2 => run(&["want", family, "cover.wall", &wall]),
            3 => run(&["check", family]),
            _ => run(&["stands", family]),
        };
        (n, done)
    };
    let ended: Vec<(usize, Output)> = std::thread::scope(|scope| {
        let worker = || {
            let numbers =
                std::iter::from_fn(|| Some(next.fetch_add(1, Ordering::Relaxed)).filter(|n| *n < all));
            numbers.map(one).collect::<Vec<_>>()
        };
        let running: Vec<_> = (0..16).map(|_| scope.spawn(worker)).collect();
        running.into_iter().flat_map(|t| t.join().unwrap()).collect()
    });
    let log = fs::read_to_string(family.join("readings.ron")).unwrap();
    assert!(log.starts_with(&begun));
    let (mut entered, mut refused) = (0, 0);
    for (n, output) in &ended {
        let said = text(&output.stdout);
        let whole = format!("got: mm(20.{n:03})");
        match (n % 5, output.status.code()) {
            (0 | 1, Some(0 | 1 | 3)) => {
                assert_eq!(log.matches(&whole).count(), 1, "{said}");
                entered += 1;
            }
            // Somebody else was first too often, or holds it too long: that is said, and nothing of it is there.
            (0 | 1, _) => {
                assert!(!log.contains(&whole), "{}", text(&output.stderr));
                refused += 1;
            }
            // Whoever reads meets whole files only.
            (3 | 4, code) => assert_ne!(code, Some(2), "{}", text(&output.stderr)),
            _ => {}
        }
    }
    println!("{all} at once: {entered} readings entered, {refused} refused");
    assert!(entered > all / 5);
    // What was wanted last of those that said so.
    let walls: BTreeSet<String> = ended
        .iter()
        .filter(|(n, output)| n % 5 == 2 && output.status.code() != Some(2))
        .map(|(n, _)| format!("mm(2.{:02})", 10 + n % 50))
        .collect();
    let wanted = fs::read_to_string(family.join("family.ron")).unwrap();
    assert!(walls.iter().any(|wall| wanted.contains(wall)), "{walls:?}");
    // Each of them can be taken back.
    for _ in 0..1000 {
        if run(&["want", name(&family), "--undo"]).status.code() == Some(2) {
            break;
        }
    }
    let now = fs::read_to_string(family.join("family.ron")).unwrap();
    assert_eq!(now, fs::read_to_string(common::specs().join("gunwale/family.ron")).unwrap());
    assert_eq!(litter(&family), Vec::<String>::new());
}

/// An editor that saves `text` with one more remark, whole, under another name, and renames it over the file. Gives its
/// remarks.
fn edit(file: &Path, stop: &AtomicBool, turn: &AtomicUsize) -> Vec<String> {
    let beside = file.with_extension("editor");
    let mut remarks = Vec::new();
    while !stop.load(Ordering::Relaxed) {
        let n = turn.fetch_add(1, Ordering::Relaxed);
        let remark = format!("// remark {n}\n");
        let Ok(text) = fs::read_to_string(file) else { continue };
        fs::write(&beside, format!("{text}{remark}")).unwrap();
        fs::rename(&beside, file).unwrap();
        remarks.push(remark);
        std::thread::sleep(Duration::from_micros(500 + (n as u64).wrapping_mul(7919) % 9000));
    }
    remarks
}

/// What an editor saved by renaming is never overwritten by `read` or `want`, and what these confirm goes into the file that is
/// there.
#[test]
fn an_editor_that_renames() {
    let mut systems = vec![true];
    if has_strace() {
        systems.push(false);
    } else {
        println!("no strace here: two names can always change places");
    }
    for with_exchange in systems {
        let scratch = tempfile::tempdir().unwrap();
        let family = copy("gunwale", scratch.path());
        let saves = many("SAVES", 12);
        let (stop, turn) = (AtomicBool::new(false), AtomicUsize::new(0));
        let files: [PathBuf; 2] = ["readings.ron", "family.ron"].map(|f| family.join(f));
        let (remarks, mut confirmed, refused) = std::thread::scope(|scope| {
            let editors: Vec<_> = files.iter().map(|file| scope.spawn(|| edit(file, &stop, &turn))).collect();
            let (mut confirmed, mut refused) = (Vec::new(), 0);
            for n in 0..saves {
                let (figure, wall) = (format!("20.{n:03}"), format!("2.{:02}", 10 + n % 50));
                let family = name(&family);
                let read = ["read", family, "middle.rout.depth", &figure, "--spot", "bass end"];
                let want = ["want", family, "cover.wall", &wall];
                let output = on_system(with_exchange, if n % 2 == 0 { &read } else { &want });
                match (n % 2, output.status.code()) {
                    (_, Some(2)) => refused += 1,
                    (0, _) => confirmed.push(figure),
                    _ => {}
                }
            }
            stop.store(true, Ordering::Relaxed);
            let remarks: Vec<Vec<String>> = editors.into_iter().map(|e| e.join().unwrap()).collect();
            (remarks, confirmed, refused)
        });
        let said = if with_exchange { "with exchange" } else { "without exchange" };
        for (file, remarks) in files.iter().zip(&remarks) {
            let text = fs::read_to_string(file).unwrap();
            let lost = remarks.iter().filter(|remark| !text.contains(remark.as_str())).count();
            println!("{said}: {} of {} saves of {} lost", lost, remarks.len(), file.display());
            assert_eq!(lost, 0, "{said}: {}", file.display());
        }
        let log = fs::read_to_string(&files[0]).unwrap();
        let all = confirmed.len();
        confirmed.retain(|figure| !log.contains(&format!("mm({figure})")));
        println!(
            "{said}: {all} readings confirmed, {} of them not there, {refused} refused",
            confirmed.len()
        );
        // An editor that read before an entry and renames after it takes it away: few, and only then.
        assert!(confirmed.len() * 20 <= all.max(20), "{said}: {confirmed:?}");
        ends_with(0, &["parts", name(&family)]);
        assert_eq!(litter(&family), Vec::<String>::new());
    }
}
