//! The program is killed, crowded and interrupted: what is on disk is the old or the new, whole, and nothing that was
//! confirmed is lost.

mod common;
#[path = "common/served.rs"]
mod served;

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use common::{change, content, copy, ends_with, text};
use served::{Served, post};

/// How often each command is killed.
const KILLS: u64 = 100;

fn start(arguments: &[&str]) -> Child {
    Command::new(env!("CARGO_BIN_EXE_bobbinwright"))
        .args(arguments)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Lets it run for a while that is another one each time, then kills it; whether it had ended by itself, and what
/// it had said.
fn killed_after(mut child: Child, micros: u64) -> (bool, String) {
    std::thread::sleep(Duration::from_micros(micros));
    let _ = child.kill();
    let output = child.wait_with_output().unwrap();
    (output.status.success(), text(&output.stdout))
}

/// How long something takes that nobody kills, and half as long again, µs: on a machine with more to do kills come later too.
fn while_it_lasts(run: impl FnOnce()) -> u64 {
    let begun = Instant::now();
    run();
    u64::try_from(begun.elapsed().as_micros() * 3 / 2).unwrap()
}

/// A moment, spread over a range without a pattern that a program could keep time with.
fn moment(n: u64, most: u64) -> u64 {
    n.wrapping_mul(0x9e37_79b9_7f4a_7c15) % most
}

fn name(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Files by their names.
type Files = Vec<(String, Vec<u8>)>;

/// A family, its wishes in two versions, and what the build of each is.
fn versions(scratch: &Path) -> (PathBuf, [(String, Files); 2]) {
    let family = copy("saltern", scratch);
    let both = [None, Some("wall: mm(2.2)")].map(|wall| {
        if let Some(wall) = wall {
            let text = fs::read_to_string(family.join("family.ron")).unwrap();
            let was = text
                .lines()
                .find_map(|l| l.trim().strip_suffix(',').filter(|l| l.starts_with("wall:")))
                .unwrap();
            change(&family.join("family.ron"), was, wall);
        }
        let out = scratch.join(if wall.is_some() { "later" } else { "earlier" });
        ends_with(0, &["build", name(&family), "--out", name(&out)]);
        (fs::read_to_string(family.join("family.ron")).unwrap(), content(&out.join("saltern")))
    });
    (family, both)
}

/// Puts other wishes into a family as an editor does, whole.
fn want(family: &Path, wishes: &str) {
    fs::write(family.join("saved"), wishes).unwrap();
    fs::rename(family.join("saved"), family.join("family.ron")).unwrap();
}

#[test]
fn a_build_that_is_killed_leaves_the_old_or_the_new() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, both) = versions(scratch.path());
    let out = scratch.path().join("out");
    want(&family, &both[0].0);
    let most = while_it_lasts(|| drop(ends_with(0, &["build", name(&family), "--out", name(&out)])));
    let (mut stayed, mut came) = (0, 0);
    let mut before = 0;
    for n in 0..KILLS {
        let wanted = (n % 2) as usize;
        want(&family, &both[wanted].0);
        killed_after(start(&["build", name(&family), "--out", name(&out)]), moment(n, most));
        let found = content(&out.join("saltern"));
        let is = both.iter().position(|(_, whole)| *whole == found);
        let is = is.unwrap_or_else(|| panic!("kill {n}: neither the old nor the new: {:?}", names(&found)));
        assert!(is == before || is == wanted, "kill {n}");
        if is == before {
            stayed += 1;
        } else {
            came += 1;
        }
        before = is;
    }
    println!("{stayed} left the old, {came} the new");
    assert!(stayed > 0 && came > 0, "{stayed} {came}");
    // And the next one clears away what the killed ones left.
    want(&family, &both[1].0);
    ends_with(0, &["build", name(&family), "--out", name(&out)]);
    assert_eq!(content(&out.join("saltern")), both[1].1);
    let left: Vec<_> = fs::read_dir(&out).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(left, ["saltern"], "left behind");
}

fn names(files: &[(String, Vec<u8>)]) -> Vec<&str> {
    files.iter().map(|(name, _)| name.as_str()).collect()
}

#[test]
fn two_builds_at_once_leave_one_of_them_whole() {
    let scratch = tempfile::tempdir().unwrap();
    let (family, both) = versions(scratch.path());
    for n in 0..10 {
        let out = scratch.path().join(format!("out-{n}"));
        want(&family, &both[0].0);
        ends_with(0, &["build", name(&family), "--out", name(&out)]);
        let builds = [n % 2, (n + 1) % 2].map(|v| {
            want(&family, &both[v].0);
            let build = start(&["build", name(&family), "--out", name(&out)]);
            // So that the first one has read its wishes, mostly.
            std::thread::sleep(Duration::from_millis(8));
            build
        });
        let marks = builds.map(|build| {
            let output = build.wait_with_output().unwrap();
            let said = text(&output.stdout);
            assert!(output.status.success(), "round {n}: {said}{}", text(&output.stderr));
            said.split(", build ").nth(1).map(|rest| rest[..8].to_owned())
        });
        let found = content(&out.join("saltern"));
        assert!(both.iter().any(|(_, whole)| *whole == found), "round {n}: {:?}", names(&found));
        // And how the other one was drawn stays known, for whoever printed from it.
        if marks[0] != marks[1] {
            let kept = fs::read_dir(out.join("saltern").join("earlier")).unwrap().count();
            assert!(kept >= 1, "round {n}");
        }
    }
}

/// The log only ever gets longer by whole entries, and has each one that was confirmed.
#[test]
fn a_reading_that_was_confirmed_is_in_the_log() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let log = family.join("readings.ron");
    let one = ["read", name(&family), "neck.rout.length", "92.24"];
    let most = while_it_lasts(|| drop(ends_with(0, &one)));
    let (mut confirmed, mut lost) = (0, 0);
    for n in 0..KILLS {
        let before = fs::read_to_string(&log).unwrap();
        let figure = format!("92.{:02}", 20 + n % 9);
        let child = start(&["read", name(&family), "neck.rout.length", &figure]);
        let (ended, said) = killed_after(child, moment(n, most));
        let now = fs::read_to_string(&log).unwrap();
        let added = now.strip_prefix(&before).unwrap_or_else(|| panic!("kill {n}: the log is another one"));
        assert!(
            added.is_empty() || (added.contains(&figure) && added.ends_with(")\n")),
            "kill {n}: {added:?}"
        );
        if ended || said.contains("Entry ") {
            assert!(!added.is_empty(), "kill {n}: confirmed, and not there");
            confirmed += 1;
        } else {
            lost += 1;
        }
    }
    println!("{confirmed} confirmed, {lost} not");
    assert!(confirmed > 0 && lost > 0, "{confirmed} {lost}");
    ends_with(0, &["check", name(&family)]);
}

/// The same for the page, whose program is killed while readings come in.
#[test]
fn a_reading_that_the_page_confirmed_is_in_the_log() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let log = family.join("readings.ron");
    let mut sent = 0;
    for n in 0..KILLS {
        let served = Served::of(scratch.path(), &["tidewick"]);
        let (address, path) = (served.address().to_owned(), format!("{}of/tidewick/read", served.path()));
        // Each reading is another one, so that it can be found again.
        let readings = std::thread::spawn(move || {
            let figures = (0..1000).map(|i| format!("92.{:02}{:03}", 20 + n % 9, i));
            figures.take_while(|f| reading(&address, &path, f)).collect::<Vec<_>>()
        });
        std::thread::sleep(Duration::from_micros(5_000 + moment(n, 30_000)));
        drop(served);
        let confirmed = readings.join().unwrap();
        let text = fs::read_to_string(&log).unwrap();
        for figure in &confirmed {
            assert!(text.contains(figure.as_str()), "kill {n}: {figure} was confirmed");
        }
        assert!(text.ends_with(")\n"), "kill {n}: {:?}", text.lines().last());
        sent += confirmed.len();
    }
    println!("{sent} confirmed");
    assert!(sent > 0);
    ends_with(0, &["check", name(&family)]);
}

/// Sends a reading; whether it was confirmed.
fn reading(address: &str, path: &str, figure: &str) -> bool {
    let body = format!(r#"{{"of":"neck.rout.length","figures":"{figure}"}}"#);
    post(address, path, &body).0 == 200
}

/// An entry that breaks off is pointed at; nothing is added behind it, so nothing gets lost in it.
#[test]
fn a_torn_last_line_is_noticed() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let log = family.join("readings.ron");
    let whole = fs::read_to_string(&log).unwrap();
    let last = whole.trim_end().rfind('\n').unwrap() + 1;
    for end in last + 1..whole.trim_end().len() {
        fs::write(&log, &whole[..end]).unwrap();
        let (_, err) = ends_with(2, &["read", name(&family), "neck.rout.width", "38.3"]);
        let line = whole[..last].lines().count() + 1;
        assert!(err.contains(&format!("readings.ron:{line}:")) && err.contains("= help: "), "{end}: {err}");
        assert_eq!(fs::read_to_string(&log).unwrap(), whole[..end]);
    }
}

/// While another program holds the log, a reading waits; what that one wrote stays.
#[test]
fn a_log_that_is_held_is_waited_for() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let log = family.join("readings.ron");
    let held = File::open(&log).unwrap();
    held.lock().unwrap();
    let mut child = start(&["read", name(&family), "neck.rout.width", "38.30"]);
    std::thread::sleep(Duration::from_millis(300));
    assert!(child.try_wait().unwrap().is_none(), "it did not wait");
    let other = "reading(on: \"2026-09-15\", of: \"neck.rout.width\", got: mm(38.28))\n";
    let text = fs::read_to_string(&log).unwrap() + other;
    fs::write(&log, &text).unwrap();
    drop(held);
    let status = child.wait().unwrap();
    let after = fs::read_to_string(&log).unwrap();
    let added = after.strip_prefix(&text).expect("what the other wrote stays");
    assert!(status.success() && added.contains("38.30"), "{added}");
}

/// A clock that was set back: the entry is dated by it, and the odd order is pointed out.
#[test]
fn a_clock_that_was_set_back_is_noticed() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let log = family.join("readings.ron");
    let text = fs::read_to_string(&log).unwrap();
    fs::write(&log, text + "reading(on: \"2099-01-01\", of: \"neck.rout.length\", got: mm(92.24))\n")
        .unwrap();
    let (_, err) = ends_with(0, &["read", name(&family), "neck.rout.width", "38.3"]);
    assert!(err.contains("but it follows one of 2099-01-01"), "{err}");
}

/// Where nothing can be written, that is said, and what was there stays.
#[test]
fn a_folder_that_takes_nothing() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("saltern", scratch.path());
    // A device's folder takes no new files, whoever asks.
    for out in ["/proc/self", "/dev/null/out"] {
        let output = start(&["build", name(&family), "--out", out]).wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{out}");
    }
    let (_, err) = ends_with(2, &["build", name(&family), "--out", "/proc/self"]);
    assert!(err.contains("/proc/self"), "{err}");
}

/// Files may come from a stranger: what they hold does not reach the terminal as a command, and none of it hangs.
#[cfg(unix)]
#[test]
fn a_strangers_files_do_no_harm() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let file = family.join("family.ron");
    let sound = fs::read_to_string(&file).unwrap();
    let title = "title: \"Tidewick baritone, neck and bridge\"";
    let with = |now: &str| fs::write(&file, sound.replacen(title, now, 1)).unwrap();
    // Written as it is, escaped, and quoted in a line that is shown for another mistake.
    for now in ["title: \"a\u{1b}]0;owned\u{7}\"", "title: \"a\\u{9b}2J\"", "titel: \"a\u{1b}[2J\""] {
        with(now);
        let (said, err) = ends_with(2, &["check", name(&family)]);
        let obeyed = |c: char| c.is_control() && c != '\n';
        assert!(!said.contains(obeyed) && !err.contains(obeyed), "{said:?} {err:?}");
    }
    with(&format!("title: \"{}\"", "x".repeat(100_000)));
    let (_, err) = ends_with(2, &["check", name(&family)]);
    assert!(err.contains("title has 100000 letters") && err.contains("use 120 at most"), "{}", &err[..200]);
    // A byte order mark is no mistake, and places in the file stay what they are.
    fs::write(&file, format!("\u{feff}{sound}")).unwrap();
    ends_with(0, &["check", name(&family)]);
    ends_with(0, &["want", name(&family), "cover.rounding", "1.5"]);
    assert_eq!(
        fs::read_to_string(&file).unwrap(),
        format!("\u{feff}{}", sound.replace("rounding: mm(1.4)", "rounding: mm(1.5)"))
    );
    // A pipe that nobody writes to, and a device without an end.
    let log = family.join("readings.ron");
    fs::remove_file(&log).unwrap();
    assert!(Command::new("mkfifo").arg(&log).status().unwrap().success());
    let (_, err) = ends_with(2, &["check", name(&family)]);
    assert!(err.contains("it is no plain file"), "{err}");
    fs::remove_file(&log).unwrap();
    std::os::unix::fs::symlink("/dev/zero", &log).unwrap();
    let (_, err) = ends_with(2, &["check", name(&family)]);
    assert!(err.contains("it is no plain file"), "{err}");
}

/// What can't be taken back is not written: the message says so, and it is true.
#[cfg(unix)]
#[test]
fn a_wish_that_cannot_be_undone_is_not_written() {
    let scratch = tempfile::tempdir().unwrap();
    let family = copy("tidewick", scratch.path());
    let before = fs::read_to_string(family.join("family.ron")).unwrap();
    fs::create_dir(family.join("family.undo")).unwrap();
    let (_, err) = ends_with(2, &["want", name(&family), "cover.rounding", "1.5"]);
    assert!(err.contains("was not written"), "{err}");
    assert_eq!(fs::read_to_string(family.join("family.ron")).unwrap(), before);
    // A line that was torn off does not take the next one with it.
    fs::remove_dir(family.join("family.undo")).unwrap();
    fs::write(family.join("family.undo"), "(path:\"cover.wa").unwrap();
    ends_with(0, &["want", name(&family), "cover.rounding", "1.5"]);
    let (said, _) = ends_with(0, &["want", name(&family), "--undo"]);
    assert!(said.contains("cover.rounding is 1.4 mm again"), "{said}");
    assert_eq!(fs::read_to_string(family.join("family.ron")).unwrap(), before);
}
