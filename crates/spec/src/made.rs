//! The log of what was made of a family whose readings stand in another one's log.
//!
//! A family that is like another has that one's body, bench and tools, so it reads and enters readings of the body in that one's
//! `readings.ron`. Parts that were printed, what was read of them, coils, tests and steps are of the family itself: they
//! stand in a `made.ron` beside its own `family.ron`, and what the other one's log says of such things is that one's.
//!
//! What came first decides much: which copy was on the bench when it was read, whether the body was worked on since a part
//! was tried in it. So both are read as one log. An entry of `made.ron` says after how many entries of the other file it was
//! made, `after: 24`, where that is not what the entry before it says. New entries of either file thus come
//! last, and none gets another number by it.

use crate::document::parse_stream;
use crate::node::{Field, Node, NodeKind};
use crate::part::PieceSize;
use crate::problem::{Problem, SourceFile};

/// The texts of a log, each with its number among the files.
#[derive(Clone, Copy)]
pub(crate) struct Texts<'t> {
    /// What was read; everything else too, unless the family has a log of its own for that.
    pub readings: (usize, &'t SourceFile),
    /// What was made.
    pub made: Option<(usize, &'t SourceFile)>,
    /// What the readings' log says of things that were made is of another family.
    pub of_another: bool,
}

impl<'t> Texts<'t> {
    /// A log that is one file.
    pub fn one(file: usize, readings: &'t SourceFile) -> Self {
        Self { readings: (file, readings), made: None, of_another: false }
    }

    /// The entries of both in their order, and what keeps either from being read to its end.
    pub fn entries(&self) -> (Vec<Node>, Vec<Problem>) {
        let (readings, broken) = parse_stream(self.readings.0, self.readings.1);
        let mut broken: Vec<Problem> = broken.into_iter().collect();
        let Some((file, made)) = self.made else { return (readings, broken) };
        let (made, more) = parse_stream(file, made);
        broken.extend(more);
        (in_order(readings, made), broken)
    }

    /// Is an entry one of what another family made?
    pub fn is_of_another(&self, entry: &Node) -> bool {
        self.of_another && entry.span.file == self.readings.0 && is_of_making(entry)
    }
}

/// Entries of what was made, each after as many readings as it says.
fn in_order(readings: Vec<Node>, made: Vec<Node>) -> Vec<Node> {
    let mut all = Vec::with_capacity(readings.len() + made.len());
    let (mut before, count) = (None, readings.len());
    let mut made = made
        .into_iter()
        .map(|node| {
            // Written by hand it may say nothing.
            let after = after(&node).or(before).unwrap_or(count).max(before.unwrap_or(0));
            before = Some(after);
            (after, node)
        })
        .peekable();
    for (known, reading) in readings.into_iter().enumerate() {
        while let Some((_, node)) = made.next_if(|(after, _)| *after <= known) {
            all.push(node);
        }
        all.push(reading);
    }
    all.extend(made.map(|(_, node)| node));
    all
}

/// After how many readings an entry was made, where it says so. What is no number is said when the entry is read.
fn after(entry: &Node) -> Option<usize> {
    match field(entry, AFTER)?.value.kind {
        NodeKind::Number(n) if n >= 0.0 => Some(n as usize),
        _ => None,
    }
}

/// The field that says so.
pub(crate) const AFTER: &str = "after";

/// What an entry says under a name.
pub(crate) fn field<'n>(entry: &'n Node, name: &str) -> Option<&'n Field> {
    let NodeKind::Record(fields) = &entry.kind else { return None };
    fields.iter().find(|field| field.name == name)
}

/// Entries that are of what was made. Tools of the bench, and what is known of a spool, are not: they are in common.
const MAKING: [&str; 6] = ["printed", "copy", "tried", "done", "wound", "tested"];

/// Is an entry one of a thing that was made?
pub(crate) fn is_of_making(entry: &Node) -> bool {
    match entry.tag.as_deref() {
        Some("reading") => matches!(field(entry, "of").map(|of| &of.value.kind),
            Some(NodeKind::Text(name)) if name.split_once('.').is_some_and(|(_, of)| PieceSize::parse(of).is_some())),
        Some(tag) => MAKING.contains(&tag),
        None => false,
    }
}

/// An entry of what was made as it was said, without what the program adds when it writes it.
pub(crate) fn as_said(entry: &str) -> String {
    let said = entry.strip_suffix(')').and_then(|rest| rest.rsplit_once(&format!(", {AFTER}: ")));
    let added = said.filter(|(_, count)| !count.is_empty() && count.bytes().all(|b| b.is_ascii_digit()));
    added.map_or_else(|| entry.to_owned(), |(said, _)| format!("{said})"))
}
