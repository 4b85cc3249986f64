//! RON text as a tree of values, each with its place in the file.
//!
//! `ron` reads one level at a time into raw slices of the text; a slice's address in the text is
//! its place. That gives every value a span without a parser of our own, at the price of reading
//! nested text once per level (families nest four deep).

use ron::value::RawValue;
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use std::borrow::Cow;

use crate::node::{Field, Node, NodeKind};
use crate::plain;
use crate::problem::{Problem, SourceFile, Span};

/// How deep values may nest. Families need six; the limit keeps hostile input from costing time.
const MAX_DEPTH: usize = 16;

/// Reads a file that holds one value.
pub fn parse_one(file: usize, source: &SourceFile) -> Result<Node, Problem> {
    one(file, &ended(source)).map_err(|problem| inside(problem, source))
}

fn one(file: usize, source: &SourceFile) -> Result<Node, Problem> {
    let text = source.text.as_str();
    let raw = ron::from_str::<&RawValue>(text).map_err(|e| syntax_problem(file, source, 0, &e))?;
    Parser { file, source }.node(raw.get_ron(), 0)
}

/// Reads a file that holds one value after another. Values before a mistake are kept.
pub fn parse_stream(file: usize, source: &SourceFile) -> (Vec<Node>, Option<Problem>) {
    let (nodes, broken) = stream(file, &ended(source));
    (nodes, broken.map(|problem| inside(problem, source)))
}

/// The mark that some editors put before the first letter of a file, three bytes long.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// The file with its last line ended, as `ron` wants that of a remark, and blanks in place of a byte order mark.
fn ended(source: &SourceFile) -> Cow<'_, SourceFile> {
    let marked = source.text.strip_prefix(BYTE_ORDER_MARK);
    let is_ended = source.text.is_empty() || source.text.ends_with('\n');
    if marked.is_none() && is_ended {
        return Cow::Borrowed(source);
    }
    let text = marked.map_or_else(|| source.text.clone(), |rest| format!("   {rest}"));
    let text = if is_ended { text } else { format!("{text}\n") };
    Cow::Owned(SourceFile { name: source.name.clone(), text })
}

/// A problem that does not point beyond the file as it is.
fn inside(mut problem: Problem, source: &SourceFile) -> Problem {
    let end = source.text.len();
    if let Some(span) = &mut problem.span {
        (span.start, span.end) = (span.start.min(end), span.end.min(end));
    }
    problem
}

fn stream(file: usize, source: &SourceFile) -> (Vec<Node>, Option<Problem>) {
    let parser = Parser { file, source };
    let text = source.text.as_str();
    let mut nodes: Vec<Node> = Vec::new();
    loop {
        let rest = skip_blank(&text[nodes.last().map_or(0, |node| node.span.end)..]);
        if rest.is_empty() {
            return (nodes, None);
        }
        let at = text.len() - rest.len();
        match plain::entry(file, text, at).map_or_else(|| parser.entry(at), Ok) {
            Ok(node) => nodes.push(node),
            Err(problem) => return (nodes, Some(problem)),
        }
    }
}

struct Parser<'a> {
    file: usize,
    source: &'a SourceFile,
}

impl Parser<'_> {
    /// The place of a slice of the file's text.
    fn span(&self, slice: &str) -> Span {
        let start = slice.as_ptr() as usize - self.source.text.as_ptr() as usize;
        Span { file: self.file, start, end: start + slice.len() }
    }

    /// The entry that begins at a place.
    fn entry(&self, at: usize) -> Result<Node, Problem> {
        let problem = |e| syntax_problem(self.file, self.source, at, &e);
        let mut reader = ron::Deserializer::from_str(&self.source.text[at..]).map_err(problem)?;
        let raw = <&RawValue>::deserialize(&mut reader).map_err(|code| {
            let (line, _) = self.source.line_column(at);
            problem(reader.span_error(code)).hint(format!(
                "the entry begins in line {line}: a name and its values in round brackets; \
                 if the file ends in the middle of it, complete the entry or remove it"
            ))
        })?;
        self.node(raw.get_ron(), 0)
    }

    fn node(&self, raw: &str, depth: usize) -> Result<Node, Problem> {
        let text = trim(raw);
        let span = self.span(text);
        if depth > MAX_DEPTH {
            return Err(Problem::error(span, format!("values nest more than {MAX_DEPTH} deep here")));
        }
        if text.starts_with('{') {
            return Err(Problem::error(span, "curly brackets are not used here")
                .hint("write named values in round brackets: (name: value, …)"));
        }
        let word_end = text.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(text.len());
        let (word, rest) = text.split_at(word_end);
        let is_word = word.starts_with(|c: char| c.is_alphabetic() || c == '_');
        if is_word && skip_blank(rest).is_empty() {
            return Ok(Node { span, tag: None, kind: NodeKind::Word(word.to_owned()) });
        }
        if let Some(kind) = simple(text) {
            return Ok(Node { span, tag: None, kind });
        }
        if let Some(items) = self.numbers(rest) {
            let tag = is_word.then(|| word.to_owned());
            return Ok(Node { span, tag, kind: NodeKind::List(items) });
        }
        let shape: Shape =
            ron::from_str(text).map_err(|e| syntax_problem(self.file, self.source, span.start, &e))?;
        let kind = match shape {
            Shape::Number(n) => NodeKind::Number(n),
            Shape::Text(t) => NodeKind::Text(t),
            Shape::Nothing => NodeKind::Record(Vec::new()),
            Shape::List(items) => {
                let items = items.into_iter().map(|i| self.node(i.get_ron(), depth + 1));
                NodeKind::List(items.collect::<Result<_, _>>()?)
            }
            Shape::Fields(fields) => NodeKind::Record(self.fields(span, fields, depth)?),
        };
        let tag = (is_word && skip_blank(rest).starts_with('(')).then(|| word.to_owned());
        Ok(Node { span, tag, kind })
    }

    /// The plain numbers in `(1.0)`, `[1.0, 1.1]` or `([1.0, 1.1])`, as readings are written; none
    /// when anything else is in there.
    fn numbers(&self, text: &str) -> Option<Vec<Node>> {
        let open = |t: &str, a: char, z: char| t.len() > 1 && t.starts_with(a) && t.ends_with(z);
        let inner = if open(text, '(', ')') { &text[1..text.len() - 1] } else { text };
        let in_brackets = open(inner, '[', ']');
        let list = if in_brackets { &inner[1..inner.len() - 1] } else { inner };
        if list.len() == text.len() {
            return None;
        }
        let number = |item: &str| {
            let item = item.trim();
            let kind = simple(item).filter(|k| matches!(k, NodeKind::Number(_)))?;
            Some(Node { span: self.span(item), tag: None, kind })
        };
        let items: Vec<Node> = list.split(',').map(number).collect::<Option<_>>()?;
        // `([1.0, 1.1])` is a list in round brackets, `(1.0, 1.1)` two values.
        if in_brackets && inner.len() < text.len() {
            return Some(vec![Node { span: self.span(inner), tag: None, kind: NodeKind::List(items) }]);
        }
        Some(items)
    }

    fn fields(
        &self,
        record: Span,
        fields: Vec<(String, &RawValue)>,
        depth: usize,
    ) -> Result<Vec<Field>, Problem> {
        let mut from = record.start;
        let mut read = Vec::with_capacity(fields.len());
        for (name, raw) in fields {
            let value = self.node(raw.get_ron(), depth + 1)?;
            // The name is the last occurrence of its letters before the value.
            let before = &self.source.text[from..value.span.start];
            let start = from + before.rfind(&name).unwrap_or(0);
            from = value.span.end;
            let span = Span { file: self.file, start, end: start + name.len() };
            read.push(Field { name, span, value });
        }
        Ok(read)
    }
}

/// The value of a decimal number or a text without escapes, the bulk of every file, read without
/// `ron`'s help; anything else is left to it.
fn simple(text: &str) -> Option<NodeKind> {
    let bytes = text.as_bytes();
    match bytes {
        [b'"', inner @ .., b'"'] if !inner.iter().any(|b| matches!(b, b'"' | b'\\')) => {
            Some(NodeKind::Text(text[1..text.len() - 1].to_owned()))
        }
        [b'0'..=b'9' | b'-', ..] if bytes.iter().all(|b| matches!(b, b'0'..=b'9' | b'.' | b'-')) => {
            text.parse().ok().map(NodeKind::Number)
        }
        _ => None,
    }
}

/// One level of RON.
enum Shape<'a> {
    Number(f64),
    Text(String),
    Nothing,
    List(Vec<&'a RawValue>),
    Fields(Vec<(String, &'a RawValue)>),
}

impl<'de> Deserialize<'de> for Shape<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(ShapeVisitor)
    }
}

struct ShapeVisitor;

impl<'de> Visitor<'de> for ShapeVisitor {
    type Value = Shape<'de>;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a number, a text, a list or a record")
    }

    fn visit_f64<E>(self, v: f64) -> Result<Self::Value, E> {
        Ok(Shape::Number(v))
    }

    fn visit_i64<E>(self, v: i64) -> Result<Self::Value, E> {
        Ok(Shape::Number(v as f64))
    }

    fn visit_u64<E>(self, v: u64) -> Result<Self::Value, E> {
        Ok(Shape::Number(v as f64))
    }

    fn visit_str<E>(self, v: &str) -> Result<Self::Value, E> {
        Ok(Shape::Text(v.to_owned()))
    }

    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(Shape::Nothing)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Self::Value, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element()? {
            list.push(item);
        }
        Ok(Shape::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Self::Value, A::Error> {
        let mut fields = Vec::new();
        while let Some(entry) = entries.next_entry()? {
            fields.push(entry);
        }
        Ok(Shape::Fields(fields))
    }
}

/// A syntax error of `ron` in a slice that starts at byte `base`.
fn syntax_problem(file: usize, source: &SourceFile, base: usize, e: &ron::error::SpannedError) -> Problem {
    let text = &source.text[base..];
    let line_start: usize =
        text.split_inclusive('\n').take(e.span.start.line.saturating_sub(1)).map(str::len).sum();
    let in_line = text[line_start.min(text.len())..].char_indices();
    let column = in_line.map(|(i, _)| i).nth(e.span.start.col.saturating_sub(1));
    let start = column.map_or(source.text.len(), |c| base + line_start + c);
    let start = source.text.floor_char_boundary(start.min(source.text.len()));
    let end = source.text.ceil_char_boundary((start + 1).min(source.text.len()));
    if skip_blank(text).is_empty() {
        let hint = "everything that it says stands in one pair of round brackets; the demo families show how";
        return Problem::error(Span { file, start, end }, "nothing stands in this file").hint(hint);
    }
    Problem::error(Span { file, start, end }, format!("this can't be read: {}", e.code)).hint(
        "look here and just before: a comma between values, a unit round every length like mm(2.0), \
         quotes round every text, every bracket closed",
    )
}

/// Without blanks and comments at both ends.
fn trim(raw: &str) -> &str {
    let mut text = skip_blank(raw);
    // Trailing comments: cut after the last character that is neither blank nor comment.
    let mut end = 0;
    let mut rest = text;
    while !rest.is_empty() {
        let skipped = skip_blank(rest);
        if skipped.len() < rest.len() {
            rest = skipped;
            continue;
        }
        let step = token_len(rest);
        rest = &rest[step..];
        end = text.len() - rest.len();
    }
    text = &text[..end];
    text
}

/// Length of the next character, or of the whole next quoted text (it may hold `//`).
fn token_len(text: &str) -> usize {
    if !text.starts_with('"') {
        return text.chars().next().map_or(1, char::len_utf8);
    }
    let mut escaped = false;
    for (i, c) in text.char_indices().skip(1) {
        match c {
            '"' if !escaped => return i + 1,
            '\\' => escaped = !escaped,
            _ => escaped = false,
        }
    }
    text.len()
}

/// Without leading blanks and comments.
fn skip_blank(mut text: &str) -> &str {
    loop {
        text = text.trim_start();
        if let Some(rest) = text.strip_prefix("//") {
            text = rest.split_once('\n').map_or("", |(_, after)| after);
        } else if text.starts_with("/*") {
            text = block_comment_end(text);
        } else {
            return text;
        }
    }
}

/// What follows a block comment; RON's may nest.
fn block_comment_end(text: &str) -> &str {
    let mut depth = 0usize;
    let mut i = 0;
    while i < text.len() {
        let rest = &text[i..];
        if rest.starts_with("/*") {
            depth += 1;
            i += 2;
        } else if rest.starts_with("*/") {
            depth -= 1;
            i += 2;
            if depth == 0 {
                return &text[i..];
            }
        } else {
            i += rest.chars().next().map_or(1, char::len_utf8);
        }
    }
    ""
}

#[cfg(test)]
mod tests {
    use super::*;

    fn by_ron(text: &str, at: usize) -> Result<Node, Problem> {
        let source = SourceFile { name: "readings.ron".into(), text: text.into() };
        Parser { file: 0, source: &source }.entry(at)
    }

    /// Whatever is read at one look is what `ron` reads, places included.
    #[test]
    fn plain_entries_are_what_ron_reads() {
        let families = concat!(env!("CARGO_MANIFEST_DIR"), "/../../specs");
        let (mut read, mut plainly) = (0, 0);
        for family in std::fs::read_dir(families).expect("the demos are there").flatten() {
            let Ok(text) = std::fs::read_to_string(family.path().join("readings.ron")) else { continue };
            let source = SourceFile { name: "readings.ron".into(), text: text.clone() };
            let (nodes, broken) = parse_stream(0, &source);
            assert!(broken.is_none());
            for node in nodes {
                read += 1;
                plainly += u32::from(plain::entry(0, &text, node.span.start).is_some());
                assert_eq!(by_ron(&text, node.span.start).ok(), Some(node));
            }
        }
        assert!(read > 250 && plainly * 10 > read * 9, "{plainly} of {read} are plain");
    }

    #[test]
    fn what_is_not_plain_is_left_to_ron() {
        let all = [
            "reading(got: mm(1.0))",
            "reading( of : \"a\" , got:mm([1.0,2.0]) , n: -3, w: word, l: [1, 2], t: (\"ä\"), )",
            "reading(of: \"ä // no remark\", got: mm(-0.5),)",
            "reading(got: mm(1.0) /* remark */)",
            "reading(got: mm(1e3))",
            "reading(got: mm(1_000))",
            "reading(got: mm(0x10))",
            "reading(got: mm(1.0.0))",
            "reading(got: mm(--1))",
            "reading(got: mm([1.0, 2.0,]))",
            "reading(got: mm([]))",
            "reading(got: mm( 1.0 ))",
            "reading(got: mm(1.0, 2.0))",
            "reading(got: in(1.0))",
            "reading(got: word2é)",
            "reading(got: 1é)",
            "reading(of: \"a\\\"b\")",
            "reading(of: r\"a\")",
            "reading()",
            "reading(,)",
            "reading(a: 1,,)",
            "reading(a: 1 b: 2)",
            "reading(a 1)",
            "reading(a: 1",
            "reading (a: 1)",
            "(a: 1)",
            "reading(a: (b: 1))",
            "reading(a: true, b: None, c: Some(1))",
            "1reading(a: 1)",
        ];
        let mut plainly = 0;
        for text in all {
            let Some(node) = plain::entry(0, text, 0) else { continue };
            plainly += 1;
            assert_eq!(by_ron(text, 0).ok(), Some(node), "{text}");
        }
        assert!(plainly >= 4, "{plainly}");
    }
}
