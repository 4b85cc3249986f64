//! Entries of a log that are about printed parts: that one was printed, and what became of it.

use std::fmt;

use jiff::civil::Date;

use crate::part::PartKind;
use crate::reader::{Noted, Record, choice, number, text};

/// What became of a printed part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It lies on the bench, to be used.
    InUse,
    /// It lies there to be used, and its outside is sanded and coated as is wanted.
    Finished,
    /// It lies there, but another one is used.
    Spare,
    /// It is no more.
    Broken,
    /// It is in the instrument.
    BuiltIn,
}

impl State {
    /// The words used in logs.
    pub const ALL: [(&'static str, State); 5] = [
        ("in_use", State::InUse),
        ("finished", State::Finished),
        ("spare", State::Spare),
        ("broken", State::Broken),
        ("built_in", State::BuiltIn),
    ];

    /// In words.
    pub fn describe(self) -> &'static str {
        match self {
            State::InUse => "in use",
            State::Finished => "finished",
            State::Spare => "spare",
            State::Broken => "broken",
            State::BuiltIn => "built in",
        }
    }

    pub(crate) fn is_for_use(self) -> bool {
        matches!(self, State::InUse | State::Finished | State::BuiltIn)
    }
}

/// A part's files are called so: `neck-cover`.
pub fn part_name(position: &str, kind: PartKind) -> String {
    format!("{position}-{}", kind.name())
}

/// What a part's name means: `neck-cover`, or `neck.cover` as readings of it are called.
pub fn part_named(name: &str) -> Option<(&str, PartKind)> {
    PartKind::ALL.into_iter().find_map(|kind| {
        let position = name.strip_suffix(kind.name())?;
        let position = position.strip_suffix(['-', '.'])?;
        (!position.is_empty()).then_some((position, kind))
    })
}

/// Is this a build's mark, eight digits like `7d8ac923`? Files are called by marks, so that nothing else may be one.
pub fn is_mark(text: &str) -> bool {
    text.len() == 8 && text.bytes().all(|b| b.is_ascii_hexdigit())
}

/// Parts that went on the printer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPrint {
    /// The day.
    pub on: Date,
    /// What their files are called.
    pub parts: Vec<String>,
    /// The build's mark.
    pub build: String,
}

/// The entries as they stand in the log, a line each, without the last line's end.
impl fmt::Display for NewPrint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, part) in self.parts.iter().enumerate() {
            let line_end = if i > 0 { "\n" } else { "" };
            write!(f, "{line_end}printed(on: \"{}\", part: {part:?}, build: {:?})", self.on, self.build)?;
        }
        Ok(())
    }
}

/// What became of a copy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewState {
    /// The day.
    pub on: Date,
    /// What its file is called.
    pub part: String,
    /// Which one.
    pub copy: usize,
    /// What it is now.
    pub state: State,
}

/// The entry as it stands in the log, without a line's end.
impl fmt::Display for NewState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = State::ALL.iter().find(|(_, state)| *state == self.state).map_or("", |(word, _)| word);
        write!(f, "copy(on: \"{}\", part: {:?}, copy: {}, is: {word})", self.on, self.part, self.copy)
    }
}

/// `printed(…)`, as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Print {
    /// Where the part belongs.
    pub position: String,
    /// What it is.
    pub kind: PartKind,
    /// The mark of the build that its file is of.
    pub build: String,
}

/// `copy(…)`, as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Became {
    /// Where the part belongs.
    pub position: String,
    /// What it is.
    pub kind: PartKind,
    /// Which of its copies.
    pub number: usize,
    /// What became of it.
    pub state: State,
}

/// Reads `printed(…)`.
pub(crate) fn read_print(record: &mut Record, noted: &mut Noted) -> Option<Print> {
    let part = read_part(record, noted);
    let node = record.need("build", "\"7d8ac923\"", noted)?;
    let build = text(node, "build", noted)?;
    if !is_mark(&build) {
        let hint = "a build's mark has eight digits, like 7d8ac923; build says it, and the report";
        noted.error(node.span, format!("{build:?} is no build's mark"), hint);
        return None;
    }
    let (position, kind) = part?;
    Some(Print { position, kind, build })
}

/// Reads `copy(…)`; `count` is how many copies of a part the log knows before it.
pub(crate) fn read_state(
    record: &mut Record,
    count: impl Fn(&str, PartKind) -> usize,
    noted: &mut Noted,
) -> Option<Became> {
    let part = read_part(record, noted);
    let is = record.need("is", "broken", noted).and_then(|n| choice(n, "is", &State::ALL, noted));
    let number = read_copy(record, part.as_ref(), count, noted)?;
    let (position, kind) = part?;
    Some(Became { position, kind, number, state: is? })
}

/// The number of a copy of a part; `count` is how many of it the log knows before.
pub(crate) fn read_copy(
    record: &mut Record,
    part: Option<&(String, PartKind)>,
    count: impl Fn(&str, PartKind) -> usize,
    noted: &mut Noted,
) -> Option<usize> {
    let node = record.need("copy", "1", noted)?;
    let number = number(node, "copy", noted)?;
    let (position, kind) = part?;
    let count = count(position, *kind);
    if number.fract() != 0.0 || number < 1.0 || number > count as f64 {
        let hint = match count {
            0 => "say first that it was printed: printed(…)".to_owned(),
            count => format!("use 1 to {count}"),
        };
        let name = part_name(position, *kind);
        noted.error(node.span, format!("there is no copy {number} of {name} before this entry"), hint);
        return None;
    }
    Some(number as usize)
}

pub(crate) fn read_part(record: &mut Record, noted: &mut Noted) -> Option<(String, PartKind)> {
    let node = record.need("part", "\"neck-cover\"", noted)?;
    let name = text(node, "part", noted)?;
    let part = part_named(&name).map(|(position, kind)| (position.to_owned(), kind));
    if part.is_none() {
        let kinds = PartKind::ALL.map(PartKind::name).join(", ");
        let hint = format!("a position and one of {kinds}, like \"neck-cover\"");
        noted.error(node.span, format!("there is no part {name:?}"), hint);
    }
    part
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_have_names() {
        assert_eq!(part_named("neck-cover"), Some(("neck", PartKind::Cover)));
        assert_eq!(part_named("far-neck.flatwork-top"), Some(("far-neck", PartKind::FlatworkTop)));
        assert_eq!((part_named("cover"), part_named("-cover"), part_named("neck-lid")), (None, None, None));
        for kind in PartKind::ALL {
            assert_eq!(part_named(&part_name("neck", kind)), Some(("neck", kind)));
        }
    }
}
