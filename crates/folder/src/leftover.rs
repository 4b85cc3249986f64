//! Files that a change needs for a moment, and what is left of them where a program was killed.
//!
//! A new content is written under a name of its own, then takes a name that tells by two hashes what it may hold:
//! the old content or the new. Whatever else such a file holds was saved by somebody at that very moment, and is theirs.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

/// What all their names begin with.
const PREFIX: &str = ".bobbinwright-text-";
/// And those whose content is not whole yet.
const UNFINISHED: &str = ".bobbinwright-text-new-";

/// A name in a folder that nobody else has.
pub(crate) fn unfinished(folder: &Path) -> PathBuf {
    folder.join(format!("{UNFINISHED}{}-{}", std::process::id(), next()))
}

/// The name of a file that is about to change places with another one.
pub(crate) fn changing(folder: &Path, known: &[u8], text: &[u8]) -> PathBuf {
    let [known, text] = [known, text].map(hash);
    folder.join(format!("{PREFIX}{known:016x}-{text:016x}-{}-{}", std::process::id(), next()))
}

fn next() -> u32 {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    COUNT.fetch_add(1, Ordering::Relaxed)
}

/// FNV-1a, 64 bits: the same in every version of the program.
fn hash(bytes: &[u8]) -> u64 {
    bytes
        .iter()
        .fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x100_0000_01b3))
}

/// Clears away what killed programs left beside a file, in its folder's turn. What somebody saved stays, under a name that is seen.
pub(crate) fn clear(file: &Path) {
    let Some(folder) = file.parent() else { return };
    let Ok(entries) = fs::read_dir(folder) else { return };
    for path in entries.flatten().map(|entry| entry.path()) {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if !name.starts_with(PREFIX) {
            continue;
        }
        let is_ours = name.starts_with(UNFINISHED) || {
            let hashes = name[PREFIX.len()..].split('-').take(2);
            let hashes: Vec<u64> = hashes.filter_map(|h| u64::from_str_radix(h, 16).ok()).collect();
            fs::read(&path).is_ok_and(|bytes| hashes.contains(&hash(&bytes)))
        };
        let _ = if is_ours { fs::remove_file(&path) } else { show(&path, file).map(|_| ()) };
    }
}

/// Gives a hidden file that is somebody's a name beside `file` that is seen: `family.yours-1.ron`.
pub(crate) fn show(hidden: &Path, file: &Path) -> io::Result<PathBuf> {
    let stem = file.file_stem().unwrap_or_default().to_string_lossy();
    let ending = file.extension().map(|e| format!(".{}", e.to_string_lossy())).unwrap_or_default();
    let mut number = 1u32;
    loop {
        let seen = file.with_file_name(format!("{stem}.yours-{number}{ending}"));
        // A second name is never given over a file that is there.
        match fs::hard_link(hidden, &seen) {
            Ok(()) => return fs::remove_file(hidden).map(|()| seen),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => number += 1,
            // Not every disk knows second names.
            Err(_) if !seen.exists() => return fs::rename(hidden, &seen).map(|()| seen),
            Err(e) => return Err(e),
        }
    }
}
