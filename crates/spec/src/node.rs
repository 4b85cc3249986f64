//! What a file says, as a tree of values, each with its place.

use crate::problem::Span;

/// A value in a file.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Where it stands.
    pub span: Span,
    /// The name in front of it: `mm` in `mm(2.0)`.
    pub tag: Option<String>,
    /// What it is.
    pub kind: NodeKind,
}

/// What a value is.
#[derive(Clone, Debug, PartialEq)]
pub enum NodeKind {
    /// A number.
    Number(f64),
    /// A quoted text.
    Text(String),
    /// A bare word, `true` and `false` included.
    Word(String),
    /// `[a, b]`, or the values in `tag(a, b)`.
    List(Vec<Node>),
    /// `(name: value, …)`.
    Record(Vec<Field>),
}

/// A named value in a record.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Its name.
    pub name: String,
    /// Where the name stands.
    pub span: Span,
    /// Its value.
    pub value: Node,
}
