//! What is wrong with the input, where, and what would be right.

use std::fmt;

use crate::Unit;
use crate::in_unit::told_in;

/// A stretch of a file: byte offsets from `start` up to but not including `end`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Span {
    /// Index of the file in the family's list.
    pub file: usize,
    /// First byte.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
}

/// A file as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceFile {
    /// Its name as shown to the person, e.g. `specs/heron/family.ron`.
    pub name: String,
    /// Its text.
    pub text: String,
}

impl SourceFile {
    /// Line and column of a byte offset, both counted from 1, columns in characters.
    pub fn line_column(&self, offset: usize) -> (usize, usize) {
        let before = &self.text[..self.text.floor_char_boundary(offset.min(self.text.len()))];
        let line = before.bytes().filter(|b| *b == b'\n').count() + 1;
        let column = before.chars().rev().take_while(|c| *c != '\n').count() + 1;
        (line, column)
    }
}

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Something to do some day; nothing is odd.
    Reminder,
    /// Worth a look; the family still resolves.
    Notice,
    /// The family can't be used.
    Error,
}

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// How bad.
    pub severity: Severity,
    /// Where; `None` when it concerns a whole folder.
    pub span: Option<Span>,
    /// What is wrong, with the name and the value.
    pub message: String,
    /// What would work.
    pub hint: Option<String>,
}

impl Problem {
    /// The same for somebody who thinks in a unit.
    pub(crate) fn told_in(self, unit: Unit) -> Self {
        let hint = self.hint.map(|hint| told_in(unit, &hint));
        Self { message: told_in(unit, &self.message), hint, ..self }
    }

    /// An error at a place.
    pub fn error(span: Span, message: impl Into<String>) -> Self {
        Self { severity: Severity::Error, span: Some(span), message: message.into(), hint: None }
    }

    /// A notice at a place.
    pub fn notice(span: Span, message: impl Into<String>) -> Self {
        Self { severity: Severity::Notice, ..Self::error(span, message) }
    }

    /// A reminder at a place.
    pub fn reminder(span: Span, message: impl Into<String>) -> Self {
        Self { severity: Severity::Reminder, ..Self::error(span, message) }
    }

    /// An error that belongs to no place in a file.
    pub fn anywhere(message: impl Into<String>) -> Self {
        Self { severity: Severity::Error, span: None, message: message.into(), hint: None }
    }

    /// A notice that belongs to no place in a file.
    pub fn remark(message: impl Into<String>) -> Self {
        Self { severity: Severity::Notice, ..Self::anywhere(message) }
    }

    /// Adds what would work.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }
}

/// Everything that is wrong with a family, with the files it was found in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems {
    /// The files.
    pub files: Vec<SourceFile>,
    /// What was found, in the order of the files.
    pub all: Vec<Problem>,
}

impl Problems {
    /// True when at least one is an error.
    pub fn has_errors(&self) -> bool {
        self.all.iter().any(|p| p.severity == Severity::Error)
    }

    /// `file:line:column` of a problem, when it has a place.
    pub fn place(&self, problem: &Problem) -> Option<String> {
        let span = problem.span?;
        let file = self.files.get(span.file)?;
        let (line, column) = file.line_column(span.start);
        Some(format!("{}:{line}:{column}", file.name))
    }
}

/// One line a problem: place, message, hint. Programs with a terminal show more.
impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.all.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            if let Some(place) = self.place(problem) {
                write!(f, "{place}: ")?;
            }
            let kind = if problem.severity == Severity::Error { "error" } else { "notice" };
            write!(f, "{kind}: {}", problem.message)?;
            if let Some(hint) = &problem.hint {
                write!(f, " ({hint})")?;
            }
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

/// A text as a sentence begins: its first letter a capital.
pub fn capitalised(text: &str) -> String {
    // A name is as it is typed: neck.rout.width.
    let first = text.split_whitespace().next().unwrap_or_default().trim_end_matches(['.', ':', ',']);
    if first.contains('.') && !first.starts_with(|c: char| c.is_ascii_digit()) {
        return text.to_owned();
    }
    let mut letters = text.chars();
    letters.next().map(|c| c.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// A sentence as it goes on after a colon: its first letter small.
pub fn uncapitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|c| c.to_lowercase().chain(letters).collect()).unwrap_or_default()
}
