//! The whole shelf as one file: a ZIP of its folders, byte for byte as a program's shelf has them.
//!
//! What comes in was written by anybody: how large, how deep, how many and under what names is looked at before any of it
//! is believed.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read, Write};
use std::path::{Path, PathBuf};

use bobbinwright_folder::Memory;
use jiff::civil::Date;
use zip::write::SimpleFileOptions;

/// No shelf is larger, bytes, taken out of its file.
const LARGEST: u64 = 64 << 20;
/// Nor has it more files.
const MOST: usize = 5_000;
/// Nor folders in folders.
const DEEPEST: usize = 8;
/// Nor longer names, bytes.
const LONGEST: usize = 120;

/// Why a file is no backup.
#[derive(Debug, PartialEq, Eq)]
pub struct NotABackup(String);

impl std::fmt::Display for NotABackup {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for NotABackup {}

/// What a backup holds.
#[derive(Debug, Default)]
pub struct Unpacked {
    /// Files by their paths on the shelf.
    pub files: BTreeMap<PathBuf, Vec<u8>>,
    /// How many were left out: systems and programs put hidden files of their own beside others.
    pub left_out: usize,
}

/// All files as one, in the order of their paths, without dates: the same shelf gives the same bytes.
pub fn pack(files: &[(PathBuf, Vec<u8>)]) -> Result<Vec<u8>, String> {
    let options = SimpleFileOptions::default().last_modified_time(zip::DateTime::default());
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (path, bytes) in files {
        let names: Vec<_> = path.iter().map(|name| name.to_string_lossy()).collect();
        zip.start_file(names.join("/"), options).map_err(|e| e.to_string())?;
        zip.write_all(bytes).map_err(|e| e.to_string())?;
    }
    Ok(zip.finish().map_err(|e| e.to_string())?.into_inner())
}

/// The files of a backup.
pub fn unpack(bytes: &[u8]) -> Result<Unpacked, NotABackup> {
    let not = |why: String| NotABackup(why);
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes))
        .map_err(|e| not(format!("this is no backup of a shelf, or a part of it is missing ({e})")))?;
    if zip.len() > MOST {
        return Err(not(format!("it has {} files, and no shelf has more than {MOST}", zip.len())));
    }
    let mut unpacked = Unpacked::default();
    let mut room = LARGEST;
    for index in 0..zip.len() {
        let mut file = zip.by_index(index).map_err(|e| not(format!("a file in it can't be read ({e})")))?;
        if file.is_dir() {
            continue;
        }
        let name = String::from_utf8(file.name_raw().to_vec())
            .map_err(|_| not("a name in it is no text".to_owned()))?;
        let path = plain(&name)?;
        if file.is_symlink() {
            return Err(not(format!("{} is a link, and a shelf has none", path.display())));
        }
        if path.iter().any(|part| part.to_string_lossy().starts_with('.') || part == "__MACOSX") {
            unpacked.left_out += 1;
            continue;
        }
        // What it says of its size is not believed.
        let mut content = Vec::new();
        let read = file.by_ref().take(room + 1).read_to_end(&mut content);
        read.map_err(|e| not(format!("{} can't be read ({e})", path.display())))?;
        room = room
            .checked_sub(content.len() as u64)
            .ok_or_else(|| not(format!("it holds more than {} MB, and no shelf does", LARGEST >> 20)))?;
        unpacked.files.insert(path, content);
    }
    if unpacked.files.is_empty() {
        return Err(not("there is nothing in it".to_owned()));
    }
    let is_folder = |path: &PathBuf| unpacked.files.contains_key(path);
    let both =
        unpacked.files.keys().find_map(|path| path.ancestors().skip(1).map(Path::to_owned).find(is_folder));
    match both {
        Some(path) => Err(not(format!("{} is a file and a folder in it", path.display()))),
        None => Ok(unpacked),
    }
}

/// A path that leads nowhere but below the shelf, on any system.
fn plain(name: &str) -> Result<PathBuf, NotABackup> {
    let shown: String = name.chars().take(60).filter(|c| !c.is_control()).collect();
    let not = |why: &str| NotABackup(format!("a file in it is called {shown:?}, which {why}"));
    if name.chars().any(char::is_control) {
        return Err(not("has control characters in it"));
    }
    if name.contains(['\\', ':']) {
        return Err(not("leads elsewhere on some systems"));
    }
    let parts: Vec<&str> = name.split('/').collect();
    if parts.iter().any(|part| part.is_empty() || matches!(*part, "." | "..")) {
        return Err(not("leads out of the shelf"));
    }
    if parts.len() > DEEPEST {
        return Err(not("lies too deep"));
    }
    if parts.iter().any(|part| part.len() > LONGEST) {
        return Err(not("is too long"));
    }
    Ok(parts.iter().collect())
}

/// What became of a backup that was taken in.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Took {
    /// It is all there now.
    All {
        /// Files that were not there before.
        new: usize,
        /// Files that were, just so.
        same: usize,
        /// Folders that were there otherwise, and where they are now.
        aside: Vec<(String, String)>,
    },
    /// Nothing was taken in, since these are there already, and otherwise.
    Nothing {
        /// Their folders.
        differ: Vec<String>,
    },
}

/// Lays files onto a shelf. Nothing that is there is ever lost: what is there otherwise stops it, or, if that is asked for,
/// is set aside with its whole folder first.
pub(crate) fn take(
    memory: &Memory,
    root: &Path,
    files: BTreeMap<PathBuf, Vec<u8>>,
    instead: bool,
    today: Date,
) -> Took {
    let there: BTreeMap<PathBuf, Vec<u8>> = memory
        .all()
        .into_iter()
        .filter_map(|(p, b)| Some((p.strip_prefix(root).ok()?.to_owned(), b)))
        .collect();
    let top =
        |path: &Path| path.iter().next().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let differs = |(path, bytes): &(&PathBuf, &Vec<u8>)| there.get(*path).is_some_and(|old| old != *bytes);
    let mut differ: BTreeSet<String> = files.iter().filter(differs).map(|(path, _)| top(path)).collect();
    // A file where the other has a folder is another thing too.
    let blocks = |path: &PathBuf| {
        there.keys().any(|old| old != path && (old.starts_with(path) || path.starts_with(old)))
    };
    differ.extend(files.keys().filter(|path| blocks(path)).map(|path| top(path)));
    if !differ.is_empty() && !instead {
        return Took::Nothing { differ: differ.into_iter().collect() };
    }
    let mut aside = Vec::new();
    for name in &differ {
        // A file that is there takes one number at most.
        let to = (1..=there.len() + 1)
            .map(|number| PathBuf::from(format!("set-aside/{today}-{number}")).join(name))
            .find(|to| !there.keys().any(|path| path.starts_with(to)));
        let Some(to) = to else { continue };
        for (path, bytes) in there.iter().filter(|(path, _)| top(path) == *name) {
            let below = path.strip_prefix(name).unwrap_or(path);
            let to = if below.as_os_str().is_empty() { to.clone() } else { to.join(below) };
            memory.exchange(&root.join(to), Some(bytes.clone()));
            memory.exchange(&root.join(path), None);
        }
        aside.push((name.clone(), to.display().to_string()));
    }
    let (mut new, mut same) = (0, 0);
    for (path, bytes) in files {
        if !differ.contains(&top(&path)) && there.contains_key(&path) {
            same += 1;
            continue;
        }
        new += 1;
        memory.exchange(&root.join(path), Some(bytes));
    }
    Took::All { new, same, aside }
}
