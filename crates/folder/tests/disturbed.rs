//! What may befall a writer between any two steps, forced to happen there.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, Mutex};

use bobbinwright_folder::{Disk, Folder, Memory, NotWritten, Step, Store};
use tempfile::TempDir;

const NAME: &str = "family.ron";

fn scratch() -> TempDir {
    tempfile::tempdir().expect("a folder for the test")
}

/// All files of a folder, hidden ones too.
fn files(folder: &Path) -> BTreeMap<String, String> {
    let entries = fs::read_dir(folder).expect("the folder is there").flatten();
    entries
        .map(|e| {
            let text = fs::read_to_string(e.path()).expect("it is text");
            (e.file_name().to_string_lossy().into_owned(), text)
        })
        .collect()
}

/// As editors save that never leave half a file.
fn save_by_renaming(file: &Path, text: &str) {
    let new = file.with_extension("editor");
    fs::write(&new, text).expect("written");
    fs::rename(&new, file).expect("renamed");
}

/// As editors save that write into the file.
fn save_in_place(file: &Path, text: &str) {
    fs::write(file, text).expect("written");
}

/// A disk on which something happens once, before the given step.
fn once(step: Step, act: impl Fn() + Send + Sync + 'static) -> Arc<dyn Store> {
    times(step, 1, act)
}

fn times(step: Step, most: u32, act: impl Fn() + Send + Sync + 'static) -> Arc<dyn Store> {
    let done = AtomicU32::new(0);
    Arc::new(Disk::disturbed(move |now, _| {
        if now == step && done.fetch_add(1, Ordering::Relaxed) < most {
            act();
        }
        Ok(())
    }))
}

#[test]
fn what_an_editor_saves_meanwhile_stays() {
    for save in [save_by_renaming, save_in_place] {
        for step in [Step::Write, Step::Keep, Step::Name, Step::Look, Step::Exchange] {
            let scratch = scratch();
            let file = scratch.path().join(NAME);
            fs::write(&file, "old").unwrap();
            let theirs = file.clone();
            let disk = once(step, move || save(&theirs, "theirs"));
            let done = Folder::in_store(disk, scratch.path()).turn().unwrap().replace(NAME, b"old", "ours");
            assert!(matches!(done, Err(NotWritten::Changed)), "{step:?}: {done:?}");
            assert_eq!(files(scratch.path()), BTreeMap::from([(NAME.into(), "theirs".into())]), "{step:?}");
        }
    }
}

/// The last of what was saved stays, and what was ours does not.
#[test]
fn an_editor_that_saves_again_and_again() {
    let scratch = scratch();
    let file = scratch.path().join(NAME);
    fs::write(&file, "old").unwrap();
    let theirs = file.clone();
    let count = AtomicU32::new(0);
    let save = move || {
        let n = count.fetch_add(1, Ordering::Relaxed);
        save_by_renaming(&theirs, &format!("theirs {n}"));
    };
    // Before the exchange, and again before the look at what was exchanged.
    let first = Mutex::new(false);
    let disk = Disk::disturbed(move |step, path| {
        let changing = path.file_name().is_some_and(|n| n.to_string_lossy().starts_with('.'));
        let mut exchanged = first.lock().unwrap();
        if step == Step::Exchange || *exchanged && step == Step::Look && changing {
            *exchanged = true;
            save();
        }
        Ok(())
    });
    let done = Folder::in_store(Arc::new(disk), scratch.path()).turn().unwrap().replace(NAME, b"old", "ours");
    assert!(matches!(done, Err(NotWritten::Changed)), "{done:?}");
    let now = files(scratch.path());
    assert_eq!(now[NAME], "theirs 1");
    assert!(now.values().all(|text| text.starts_with("theirs")), "{now:?}");
}

/// Whatever step the system refuses: the old text or the new one, as it is said, and no litter.
#[test]
fn whatever_fails_it_is_all_or_nothing() {
    type Act = fn(&Folder) -> Result<(), NotWritten>;
    let acts: [(&str, Act, &str); 4] = [
        ("replace", |f| f.turn()?.replace(NAME, b"old", "new"), "new"),
        ("append", |f| f.append(NAME, b"old", "+"), "old+"),
        ("begin", |f| f.append("family.undo", b"", "begun"), "old"),
        ("create", |f| Ok(f.create(&[("a", "1"), ("b", "2")])?), "old"),
    ];
    let mut refused = 0;
    let every = (0..12).flat_map(|nth| [true, false].map(|exchanges| (nth, exchanges)));
    for ((name, act, new), (nth, exchanges)) in
        acts.iter().flat_map(|act| every.clone().map(move |e| (act, e)))
    {
        let scratch = scratch();
        fs::write(scratch.path().join(NAME), "old").unwrap();
        let before = files(scratch.path());
        let count = AtomicU32::new(0);
        let disk = Disk::disturbed(move |step, _| match count.fetch_add(1, Ordering::Relaxed) {
            now if now == nth => Err(io::Error::other("the disk is full")),
            _ if !exchanges && step == Step::Exchange => Err(io::ErrorKind::Unsupported.into()),
            _ => Ok(()),
        });
        let done = act(&Folder::in_store(Arc::new(disk), scratch.path()));
        let mut after = files(scratch.path());
        if done.is_ok() {
            assert_eq!(after[NAME], *new, "{name}, step {nth}");
            assert!(after.keys().all(|name| !name.starts_with('.')), "{name}, step {nth}: {after:?}");
            continue;
        }
        refused += 1;
        // What was only begun may be there, empty.
        after.retain(|_, text| !text.is_empty());
        assert_eq!(after, before, "{name}, step {nth}");
    }
    assert!(refused >= 30, "{refused}");
}

/// Killed at any step: what stands is whole, the next change goes through, and nothing is left.
#[test]
fn killed_at_any_step() {
    const KILLED: &str = "killed here";
    let mut killed = 0;
    for nth in 0..8 {
        let scratch = scratch();
        fs::write(scratch.path().join(NAME), "old").unwrap();
        let count = AtomicU32::new(0);
        // A panic that nobody catches before the thread ends: nothing after it is done, as by a kill.
        let disk = Disk::disturbed(move |_, _| {
            assert!(count.fetch_add(1, Ordering::Relaxed) != nth, "{KILLED}");
            Ok(())
        });
        let folder = Folder::in_store(Arc::new(disk), scratch.path());
        let ended = std::thread::spawn(move || folder.turn().unwrap().replace(NAME, b"old", "new")).join();
        killed += usize::from(ended.is_err());
        let now = files(scratch.path())[NAME].clone();
        assert!(now == "old" || now == "new", "{now}");
        Folder::on_disk(scratch.path()).turn().unwrap().replace(NAME, now.as_bytes(), "newer").unwrap();
        assert_eq!(files(scratch.path()), BTreeMap::from([(NAME.into(), "newer".into())]), "step {nth}");
    }
    assert!(killed >= 5, "{killed}");
}

/// Killed between the exchange and the look: the hidden file holds what somebody saved.
#[test]
fn what_somebody_saved_is_shown_after_a_kill() {
    let scratch = scratch();
    let file = scratch.path().join(NAME);
    fs::write(&file, "old").unwrap();
    let theirs = file.clone();
    let disk = Disk::disturbed(move |step, path| {
        let hidden = path.file_name().is_some_and(|n| n.to_string_lossy().starts_with('.'));
        if step == Step::Exchange {
            save_by_renaming(&theirs, "theirs");
        }
        assert!(!(step == Step::Look && hidden), "killed here");
        Ok(())
    });
    let folder = Folder::in_store(Arc::new(disk), scratch.path());
    let _ =
        std::thread::spawn(move || folder.turn().unwrap().replace(NAME, b"old", "ours")).join().unwrap_err();
    Folder::on_disk(scratch.path()).turn().unwrap().replace(NAME, b"ours", "newer").unwrap();
    let expected = [(NAME, "newer"), ("family.yours-1.ron", "theirs")];
    assert_eq!(files(scratch.path()), expected.map(|(n, t)| (n.to_owned(), t.to_owned())).into());
}

/// While an entry waits, an editor saves by renaming: the entry must not go into the file that is gone.
#[test]
fn an_entry_does_not_go_into_a_file_that_was_replaced() {
    let scratch = scratch();
    let file = scratch.path().join("log");
    fs::write(&file, "one\n").unwrap();
    let theirs = file.clone();
    let disk = once(Step::Turn, move || save_by_renaming(&theirs, "one\n"));
    let folder = Folder::in_store(disk, scratch.path());
    assert!(matches!(folder.append("log", b"one\n", "two\n"), Err(NotWritten::Changed)));
    assert_eq!(files(scratch.path())["log"], "one\n");
    folder.append("log", b"one\n", "two\n").unwrap();
    // Replaced while it is written: it is told as it is.
    let theirs = file.clone();
    let disk = once(Step::Keep, move || save_by_renaming(&theirs, "one\ntwo\nother\n"));
    let done = Folder::in_store(disk, scratch.path()).append("log", b"one\ntwo\n", "three\n");
    assert!(matches!(done, Err(NotWritten::Changed)), "{done:?}");
    let theirs = file.clone();
    let disk = once(Step::Keep, move || save_by_renaming(&theirs, "one\ntwo\nother\nthree\n"));
    let done = Folder::in_store(disk, scratch.path()).append("log", b"one\ntwo\nother\n", "three\n");
    assert!(done.is_ok(), "{done:?}");
}

/// Killed after the first of two files: asked for the same again, both are there.
#[test]
fn a_half_made_folder_is_made_whole() {
    let scratch = scratch();
    let inner = scratch.path().join("wherry");
    let both = [("readings.ron", "1"), ("family.ron", "2")];
    let count = AtomicU32::new(0);
    let disk = Disk::disturbed(move |step, _| {
        assert!(step != Step::Name || count.fetch_add(1, Ordering::Relaxed) == 0, "killed here");
        Ok(())
    });
    let folder = Folder::in_store(Arc::new(disk), &inner);
    let _ = std::thread::spawn(move || folder.create(&both)).join().unwrap_err();
    let folder = Folder::on_disk(&inner);
    folder.create(&both).unwrap();
    assert_eq!(files(&inner), both.map(|(n, t)| (n.to_owned(), t.to_owned())).into());
    // Over another one it goes never.
    let other = folder.create(&[("new", "0"), ("family.ron", "3")]).unwrap_err();
    assert_eq!(other.kind(), io::ErrorKind::AlreadyExists);
    assert_eq!(files(&inner).len(), 2);
}

/// A folder that can't be filled is not made.
#[test]
fn a_folder_that_cannot_be_filled_is_none() {
    let scratch = scratch();
    let inner = scratch.path().join("wherry");
    let disk = Disk::disturbed(|step, _| match step {
        Step::Keep => Err(io::Error::other("the disk is full")),
        _ => Ok(()),
    });
    Folder::in_store(Arc::new(disk), &inner).create(&[("family.ron", "()")]).unwrap_err();
    assert!(!inner.exists());
}

/// Two hundred writers: each takes its turn, reads, and adds one.
#[test]
fn many_writers_lose_nothing() {
    let scratch = scratch();
    fs::write(scratch.path().join(NAME), "0").unwrap();
    std::thread::scope(|scope| {
        for _ in 0..20 {
            scope.spawn(|| {
                let folder = Folder::on_disk(scratch.path());
                for _ in 0..10 {
                    loop {
                        let now = folder.read(NAME, 100).unwrap();
                        let next: u32 = std::str::from_utf8(&now).unwrap().parse::<u32>().unwrap() + 1;
                        match folder.turn().unwrap().replace(NAME, &now, &next.to_string()) {
                            Ok(()) => break,
                            Err(NotWritten::Changed) => {}
                            Err(e) => panic!("{e}"),
                        }
                    }
                }
            });
        }
    });
    assert_eq!(files(scratch.path()), BTreeMap::from([(NAME.into(), "200".into())]));
}

/// Memory does what a disk does, whatever is asked in whatever order.
#[test]
fn memory_is_like_a_disk() {
    let scratch = scratch();
    let disk: Arc<dyn Store> = Arc::new(Disk::default());
    let memory: Arc<dyn Store> = Arc::new(Memory::default());
    let root = scratch.path().canonicalize().unwrap();
    // A detour leads only through what is there.
    for store in [&disk, &memory] {
        Folder::in_store(store.clone(), root.join("c")).create(&[("x", "")]).unwrap();
    }
    // A plain congruential generator (Numerical Recipes' constants, from memory): any sequence will do.
    let mut state = 1u32;
    let mut draw = |n: u32| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 16) % n
    };
    let kind = |e: &NotWritten| match e {
        NotWritten::Changed => None,
        NotWritten::As(e) | NotWritten::Half { why: e, .. } => Some(e.kind()),
    };
    for _ in 0..3_000 {
        let folder: PathBuf = ["a", "a/b", "c", "c/../a"][draw(4) as usize].into();
        let name = ["x", "y"][draw(2) as usize];
        let text = ["", "1", "22"][draw(3) as usize];
        let act = draw(6);
        let [one, other] = [&disk, &memory].map(|store| {
            let folder = Folder::in_store(store.clone(), root.join(&folder));
            let now = folder.read(name, 1).unwrap_or_default();
            match act {
                0 => format!("{:?}", folder.create(&[(name, text), ("z", "0")]).map_err(|e| e.kind())),
                // The disk has no way through a folder that is not there, and no file without its folder.
                1 if folder.is_there() => {
                    format!("{:?}", folder.append(name, &now, text).map_err(|e| kind(&e)))
                }
                2 if folder.is_there() => format!(
                    "{:?}",
                    folder.turn().unwrap().replace(name, text.as_bytes(), "3").map_err(|e| kind(&e))
                ),
                3 if folder.has("z") => {
                    format!("{:?}", folder.turn().unwrap().remove(name, &now).map_err(|e| kind(&e)))
                }
                4 => format!("{:?}", folder.read(name, 1).map_err(|e| e.kind())),
                _ => {
                    let inner = folder.folders().unwrap_or_default();
                    format!("{:?} {} {inner:?}", folder.has(name), folder.name().unwrap_or_default())
                }
            }
        });
        assert_eq!(one, other, "{act} {} {name} {text:?}", folder.display());
    }
}

/// Files that would be waited for, or are too long.
#[cfg(unix)]
#[test]
fn what_is_no_text_is_told_apart() {
    let scratch = scratch();
    let folder = Folder::on_disk(scratch.path());
    fs::create_dir(scratch.path().join("folder")).unwrap();
    fs::write(scratch.path().join("long"), "12345").unwrap();
    let kind = |name: &str| folder.read(name, 3).map_err(|e| e.kind());
    assert_eq!(kind("none"), Err(io::ErrorKind::NotFound));
    assert_eq!(kind("folder"), Err(io::ErrorKind::IsADirectory));
    assert_eq!(kind("long"), Ok(b"1234".to_vec()));
    assert_eq!(
        Folder::on_disk("/dev").read("zero", 3).map_err(|e| e.kind()),
        Err(io::ErrorKind::InvalidInput)
    );
}
