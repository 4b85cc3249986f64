//! New entries of the readings log. The log is only ever added to, at its end.

use std::fmt;

use bobbinwright_estimate::{Length, Unit};
use bobbinwright_folder::{Folder, NotWritten};
use jiff::civil::Date;

use crate::family::READINGS_FILE;
use crate::in_unit::written;
use crate::tool::Tool;

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

/// What a log's text becomes with an entry at its end, or with several, each a line of its own that ends as the others do.
pub fn with_entry(log: &str, entry: &str) -> String {
    let ending =
        if log.split_once('\n').is_some_and(|(line, _)| line.ends_with('\r')) { "\r\n" } else { "\n" };
    let line_end = if log.is_empty() || log.ends_with('\n') { "" } else { ending };
    let entry = entry.split('\n').map(|line| line.trim_end_matches('\r')).collect::<Vec<_>>().join(ending);
    format!("{log}{line_end}{entry}{ending}")
}

/// Adds an entry at the end of a family's log, whole or not at all, and does not come back before it
/// is kept. `tried_on` is the text that it was tried on. Others that append at the same time wait; nothing that
/// stands in the file is touched.
///
/// # Errors
/// See [`NotWritten`]; changed is also a log in whose place an editor has put another file meanwhile.
pub fn append(folder: &Folder, entry: &str, tried_on: &str) -> Result<(), NotWritten> {
    append_to(folder, READINGS_FILE, entry, tried_on)
}

/// The same of a log of any name.
pub(crate) fn append_to(folder: &Folder, name: &str, entry: &str, tried_on: &str) -> Result<(), NotWritten> {
    let more = &with_entry(tried_on, entry)[tried_on.len()..];
    folder.append(name, tried_on.as_bytes(), more)
}

#[cfg(test)]
mod tests {
    use super::with_entry;

    /// An editor that ends its lines in its own way finds them so.
    #[test]
    fn lines_end_as_they_did() {
        assert_eq!(with_entry("", "a()"), "a()\n");
        assert_eq!(with_entry("// one\nb()", "a()"), "// one\nb()\na()\n");
        assert_eq!(with_entry("// one\r\nb()\r\n", "a()"), "// one\r\nb()\r\na()\r\n");
        assert_eq!(with_entry("// one\r\nb()", "a()"), "// one\r\nb()\r\na()\r\n");
        assert_eq!(with_entry("b()\r\n", "a()\nc()"), "b()\r\na()\r\nc()\r\n");
    }
}
