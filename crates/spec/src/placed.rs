//! In which file of a log an entry belongs, and how it stands there.

use crate::document::parse_stream;
use crate::files::MADE_FILE;
use crate::log::{Log, Matter};
use crate::made::{AFTER, field, is_of_making};
use crate::node::NodeKind;
use crate::not_said::NotSaid;
use crate::problem::SourceFile;

/// An entry as it is to stand in the file that it belongs in.
#[derive(Clone, Debug)]
pub struct Placed {
    /// The file as it was read.
    pub log: SourceFile,
    /// The entry as it stands there.
    pub entry: String,
}

impl Placed {
    /// What is to be added to the file.
    pub(crate) fn more(&self) -> String {
        let is_first = self.log.text.is_empty() && self.log.name.ends_with(MADE_FILE);
        if is_first { format!("{BEGINS}\n{}", self.entry) } else { self.entry.clone() }
    }
}

/// How the file begins.
const BEGINS: &str = "// What was made of this family: prints, what was read of them, coils, tests. Its body's readings stand in the log of\n\
     // the family that it is like; `after` says how many entries that had. Entries are only ever added, at the end.";

/// Where an entry belongs: of what was made into the family's own log, a withdrawal into that of what it withdraws.
pub(crate) fn placed(
    log: &Log,
    entry: &str,
    readings: &SourceFile,
    made: &SourceFile,
) -> Result<Placed, NotSaid> {
    let text = SourceFile { name: String::new(), text: entry.to_owned() };
    let (nodes, _) = parse_stream(0, &text);
    let there = |entry: String| Ok(Placed { log: readings.clone(), entry });
    let Some(first) = nodes.first() else { return there(entry.to_owned()) };
    let mut said = entry.to_owned();
    let mut is_own = is_of_making(first);
    if first.tag.as_deref() == Some("withdraw")
        && let Some(number) = field(first, "entry").map(|field| &field.value)
        && let NodeKind::Number(n) = number.kind
        && let Some(withdrawn) = log.entries.get((n as usize).wrapping_sub(1))
    {
        if withdrawn.matter == Matter::OfAnother {
            return Err(NotSaid::OfAnother { entry: n as usize, log: readings.name.clone() });
        }
        is_own = log.is_made(withdrawn.span);
        // In its own file it may have another number.
        let before = &log.entries[..n as usize];
        let there = before.iter().filter(|e| e.span.file == withdrawn.span.file).count();
        said.replace_range(number.span.start..number.span.end, &there.to_string());
    }
    if !is_own {
        return there(said);
    }
    let is_after_all = log.entries.last().is_some_and(|e| log.is_made(e.span));
    if !is_after_all {
        let count = log.entries.iter().filter(|e| !log.is_made(e.span)).count();
        // A withdrawal's number may have got shorter.
        let end = first.span.end + said.len() - entry.len();
        if said.get(..end).is_some_and(|first| first.ends_with(')')) {
            said.insert_str(end - 1, &format!(", {AFTER}: {count}"));
        }
    }
    Ok(Placed { log: made.clone(), entry: said })
}
