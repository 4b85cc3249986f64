//! New entries of the readings log. The log is only ever added to, at its end.

use std::fmt;
use std::fs::{File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::Path;

use bobbinwright_estimate::{Length, Unit};
use jiff::civil::Date;

use crate::family::READINGS_FILE;
use crate::in_unit::written;
use crate::log::Tool;

/// A reading to be entered. Nothing is checked here: what can't be read back, [`crate::Survey`] says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewReading {
    /// The day it was taken.
    pub on: Date,
    /// The quantity's name.
    pub of: String,
    /// The tool's name; by default the last one entered.
    pub with: Option<String>,
    /// The word for how it was taken.
    pub how: Option<String>,
    /// The tolerance that a packet states, in the same unit.
    pub within: Option<String>,
    /// Where, when it is read in several spots.
    pub spot: Option<String>,
    /// Earlier readings do not count any more.
    pub afresh: bool,
    /// The unit of all figures.
    pub unit: Unit,
    /// The figures as they were read, digits kept: `92.20`.
    pub got: Vec<String>,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewReading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = self.unit.word();
        write!(f, "reading(on: \"{}\", of: {:?}", self.on, self.of)?;
        if let Some(with) = &self.with {
            write!(f, ", with: {with:?}")?;
        }
        if let Some(how) = &self.how {
            write!(f, ", how: {how}")?;
        }
        if let Some(within) = &self.within {
            write!(f, ", within: {unit}({within})")?;
        }
        if let Some(spot) = &self.spot {
            write!(f, ", spot: {spot:?}")?;
        }
        match &self.got[..] {
            [one] => write!(f, ", got: {unit}({one})")?,
            all => write!(f, ", got: {unit}([{}])", all.join(", "))?,
        }
        if self.afresh {
            f.write_str(", afresh: true")?;
        }
        f.write_str(")")
    }
}

/// A tool to be entered.
#[derive(Clone, Debug, PartialEq)]
pub struct NewTool {
    /// The day.
    pub on: Date,
    /// The tool.
    pub tool: Tool,
    /// In which its entry is written.
    pub unit: Unit,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewTool {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Tool { name, resolution, outside, inside, depth } = &self.tool;
        let said = |length: Length| written(length, self.unit);
        write!(f, "tool(on: \"{}\", name: {name:?}, resolution: {}", self.on, said(*resolution))?;
        for (field, limit) in [("mpe_outside", outside), ("mpe_inside", inside), ("mpe_depth", depth)] {
            write!(f, ", {field}: {}", said(*limit))?;
        }
        f.write_str(")")
    }
}

/// A withdrawal to be entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewWithdrawal {
    /// The day.
    pub on: Date,
    /// The number of the entry that does not count any more.
    pub entry: usize,
    /// Why, in the person's words.
    pub why: String,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewWithdrawal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "withdraw(on: \"{}\", entry: {}, why: {:?})", self.on, self.entry, self.why)
    }
}

/// What a log's text becomes with an entry at its end, a line of its own.
pub fn with_entry(log: &str, entry: &str) -> String {
    let line_end = if log.is_empty() || log.ends_with('\n') { "" } else { "\n" };
    format!("{log}{line_end}{entry}\n")
}

/// Why an entry is not in the log.
#[derive(Debug, thiserror::Error)]
pub enum AppendError {
    /// The log is not what it was when the entry was tried on it: somebody else has written.
    #[error("the log was changed meanwhile; nothing was written")]
    Changed,
    /// The log is as it was.
    #[error("the entry was not written: {0}")]
    NotWritten(#[from] io::Error),
    /// Part of the entry may stand at the log's end.
    #[error(
        "the entry was not written ({why}), and what was written of it can't be taken back ({then}): look at the end of {READINGS_FILE}"
    )]
    Half {
        /// Why writing failed.
        why: io::Error,
        /// Why taking back failed.
        then: io::Error,
    },
}

/// Adds an entry at the end of a family's log, whole or not at all, and does not come back before it
/// is on the disk. `tried_on` is the text that it was tried on. Others that append at the same time wait; nothing that
/// stands in the file is touched. An editor that saves by putting another file in the log's place meanwhile has the
/// entry tried again on that one.
pub fn append(folder: &Path, entry: &str, tried_on: &str) -> Result<(), AppendError> {
    let path = folder.join(READINGS_FILE);
    let mut file = OpenOptions::new().read(true).append(true).open(&path)?;
    file.lock()?;
    let mut before = Vec::new();
    file.read_to_end(&mut before)?;
    if before != tried_on.as_bytes() || !stands_at(&file, &path) {
        return Err(AppendError::Changed);
    }
    let text = &with_entry(tried_on, entry)[tried_on.len()..];
    if let Err(why) = file.write_all(text.as_bytes()).and_then(|()| file.sync_all()) {
        // Half an entry would make the log unreadable.
        return match file.set_len(before.len() as u64) {
            Ok(()) => Err(AppendError::NotWritten(why)),
            Err(then) => Err(AppendError::Half { why, then }),
        };
    }
    // What stands there now may have been saved from what the file held before or after.
    let times = |text: &str| text.matches(entry).count();
    let is_there = || std::fs::read_to_string(&path).is_ok_and(|now| times(&now) > times(tried_on));
    if stands_at(&file, &path) || is_there() { Ok(()) } else { Err(AppendError::Changed) }
}

/// Is the open file still the one that a path leads to?
#[cfg(unix)]
fn stands_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(open), Ok(there)) = (file.metadata(), std::fs::metadata(path)) else { return false };
    (open.dev(), open.ino()) == (there.dev(), there.ino())
}

/// Elsewhere an open file can't be replaced.
#[cfg(not(unix))]
fn stands_at(_file: &File, path: &Path) -> bool {
    path.exists()
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    /// While an entry waits for the log, an editor saves by renaming: the entry must not go into the file that is gone.
    /// On 88f1e19 it did, and was confirmed.
    #[test]
    fn an_entry_does_not_go_into_a_file_that_was_replaced() {
        let folder = std::env::temp_dir().join(format!("bobbinwright-entry-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let log = folder.join(READINGS_FILE);
        std::fs::write(&log, "// one\n").unwrap();
        let held = File::open(&log).unwrap();
        held.lock().unwrap();
        let waiting = std::thread::spawn({
            let folder = folder.clone();
            move || append(&folder, "entry()", "// one\n")
        });
        std::thread::sleep(std::time::Duration::from_millis(100));
        let saved = folder.join("saved");
        std::fs::write(&saved, "// one\n").unwrap();
        std::fs::rename(&saved, &log).unwrap();
        drop(held);
        assert!(matches!(waiting.join().unwrap(), Err(AppendError::Changed)));
        append(&folder, "entry()", "// one\n").unwrap();
        assert_eq!(std::fs::read_to_string(&log).unwrap(), "// one\nentry()\n");
        // Of the same length, but not the same.
        std::fs::write(&log, "// two\n").unwrap();
        assert!(matches!(append(&folder, "entry()", "// one\n"), Err(AppendError::Changed)));
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
