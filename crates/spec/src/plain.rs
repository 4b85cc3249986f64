//! Entries of a log in the form in which the program writes them, read without `ron`'s help.
//!
//! `ron` goes over an entry four times until every value has its place, and a log grows for years. An entry that is
//! `name(field: value, …)`, with numbers, plain texts, words and lists of numbers for values and no remark in between, says
//! what it is at one look. Whatever looks otherwise, mistakes included, is left to `ron`.

use crate::node::{Field, Node, NodeKind};
use crate::problem::Span;

/// The entry that begins at a place of a file's text; none where it is not plain.
pub(crate) fn entry(file: usize, text: &str, at: usize) -> Option<Node> {
    let mut reader = Reader { file, text, at };
    let tag = reader.word()?.to_owned();
    reader.pass(b'(')?;
    let mut fields = Vec::new();
    loop {
        reader.blanks();
        fields.push(reader.field()?);
        reader.blanks();
        let goes_on = reader.pass(b',').is_some();
        reader.blanks();
        if reader.pass(b')').is_some() {
            let span = reader.span(at);
            return Some(Node { span, tag: Some(tag), kind: NodeKind::Record(fields) });
        }
        goes_on.then_some(())?;
    }
}

struct Reader<'t> {
    file: usize,
    text: &'t str,
    at: usize,
}

impl<'t> Reader<'t> {
    fn next(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    /// From a place up to where the reader is.
    fn span(&self, start: usize) -> Span {
        Span { file: self.file, start, end: self.at }
    }

    /// Goes on while bytes are of a kind, and gives what it passed.
    fn while_is(&mut self, is: impl Fn(&u8) -> bool) -> &'t str {
        let rest = &self.text.as_bytes()[self.at..];
        let start = self.at;
        self.at += rest.iter().position(|b| !is(b)).unwrap_or(rest.len());
        // Only whole characters are passed by those who look at what it gives.
        self.text.get(start..self.at).unwrap_or_default()
    }

    fn blanks(&mut self) {
        self.while_is(u8::is_ascii_whitespace);
    }

    fn pass(&mut self, byte: u8) -> Option<()> {
        (self.next()? == byte).then(|| self.at += 1)
    }

    fn word(&mut self) -> Option<&'t str> {
        let word = self.while_is(|b| b.is_ascii_alphanumeric() || *b == b'_');
        word.starts_with(|c: char| c.is_ascii_alphabetic() || c == '_').then_some(word)
    }

    fn field(&mut self) -> Option<Field> {
        let start = self.at;
        let name = self.word()?.to_owned();
        let span = self.span(start);
        self.blanks();
        self.pass(b':')?;
        self.blanks();
        Some(Field { name, span, value: self.value()? })
    }

    fn value(&mut self) -> Option<Node> {
        let start = self.at;
        match self.next()? {
            b'"' => self.quoted(),
            b'[' => self.list(),
            b'0'..=b'9' | b'-' => self.number(),
            _ => {
                let word = self.word()?.to_owned();
                if self.pass(b'(').is_none() {
                    return Some(Node { span: self.span(start), tag: None, kind: NodeKind::Word(word) });
                }
                let items = if self.next()? == b'[' { vec![self.list()?] } else { vec![self.number()?] };
                self.pass(b')')?;
                Some(Node { span: self.span(start), tag: Some(word), kind: NodeKind::List(items) })
            }
        }
    }

    /// A text without escapes.
    fn quoted(&mut self) -> Option<Node> {
        let start = self.at;
        self.pass(b'"')?;
        let text = self.while_is(|b| !matches!(b, b'"' | b'\\')).to_owned();
        self.pass(b'"')?;
        Some(Node { span: self.span(start), tag: None, kind: NodeKind::Text(text) })
    }

    /// A decimal number without an exponent.
    fn number(&mut self) -> Option<Node> {
        let start = self.at;
        let number = self.while_is(|b| matches!(b, b'0'..=b'9' | b'.' | b'-')).parse().ok()?;
        // Other forms go on with a letter: `1e3`, `0x10`, `1_000`.
        let goes_on = |b: u8| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'+') || !b.is_ascii();
        (!self.next().is_some_and(goes_on)).then_some(())?;
        Some(Node { span: self.span(start), tag: None, kind: NodeKind::Number(number) })
    }

    /// Numbers in brackets.
    fn list(&mut self) -> Option<Node> {
        let start = self.at;
        self.pass(b'[')?;
        let mut items = Vec::new();
        loop {
            self.blanks();
            items.push(self.number()?);
            self.blanks();
            if self.pass(b']').is_some() {
                return Some(Node { span: self.span(start), tag: None, kind: NodeKind::List(items) });
            }
            self.pass(b',')?;
        }
    }
}
