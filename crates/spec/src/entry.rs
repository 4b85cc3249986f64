//! New entries of the readings log. The log is only ever added to, at its end.

use std::fmt;
use std::fs::{File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;

use jiff::civil::Date;

use crate::family::READINGS_FILE;
use crate::log::Tool;

/// The unit in which figures were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Millimetres.
    Mm,
    /// Inches of 25.4 mm.
    Inch,
}

impl Unit {
    /// The word used in files.
    pub fn word(self) -> &'static str {
        match self {
            Unit::Mm => "mm",
            Unit::Inch => "inch",
        }
    }
}

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
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewTool {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Tool { name, resolution, outside, inside, depth } = &self.tool;
        write!(f, "tool(on: \"{}\", name: {name:?}, resolution: mm({})", self.on, resolution.as_mm())?;
        for (field, limit) in [("mpe_outside", outside), ("mpe_inside", inside), ("mpe_depth", depth)] {
            write!(f, ", {field}: mm({})", limit.as_mm())?;
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
    /// The log is not as long as it was when the entry was tried on it: somebody else has written.
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
/// is on the disk. `tried_on` is the length in bytes of the text that it was tried on. Others that append
/// at the same time wait; nothing that stands in the file is touched.
pub fn append(folder: &Path, entry: &str, tried_on: usize) -> Result<(), AppendError> {
    let mut file = OpenOptions::new().read(true).append(true).open(folder.join(READINGS_FILE))?;
    file.lock()?;
    let before = file.metadata()?.len();
    if before != tried_on as u64 {
        return Err(AppendError::Changed);
    }
    let line_end = if before == 0 || last_byte(&mut file)? == b'\n' { "" } else { "\n" };
    let text = format!("{line_end}{entry}\n");
    let Err(why) = file.write_all(text.as_bytes()).and_then(|()| file.sync_all()) else { return Ok(()) };
    // Half an entry would make the log unreadable.
    match file.set_len(before) {
        Ok(()) => Err(AppendError::NotWritten(why)),
        Err(then) => Err(AppendError::Half { why, then }),
    }
}

fn last_byte(file: &mut File) -> io::Result<u8> {
    let mut last = [0];
    file.seek(SeekFrom::End(-1))?;
    file.read_exact(&mut last)?;
    Ok(last[0])
}
