//! Typed reading of [`Node`]s: every mistake is noted with its place, and reading goes on.

use crate::Length;
use crate::node::{Field, Node, NodeKind};
use crate::problem::{Problem, Severity, Span};
use crate::typed;

/// Collects what goes wrong while a family is read.
#[derive(Debug, Default)]
pub(crate) struct Noted {
    pub problems: Vec<Problem>,
    said: Vec<String>,
}

impl Noted {
    /// The same mistake often shows in many places: of those with the same `key` only the first is
    /// noted.
    pub fn error_once(
        &mut self,
        key: String,
        span: Span,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        if !self.said.contains(&key) {
            self.said.push(key);
            self.error(span, message, hint);
        }
    }

    /// How many errors there are so far.
    pub fn errors(&self) -> usize {
        self.problems.iter().filter(|p| p.severity == Severity::Error).count()
    }

    pub fn error(&mut self, span: Span, message: impl Into<String>, hint: impl Into<String>) {
        self.problems.push(Problem::error(span, message).hint(hint));
    }
}

/// A record, possibly in layers: what a position says about its cover lies over what the family
/// says about covers. A field is taken from the first layer that has it.
pub(crate) struct Record<'a> {
    /// Dotted path, for messages: `cover.lead_out`.
    path: String,
    layers: Vec<&'a Node>,
    /// Where to point when a field is missing.
    home: Span,
    read: Vec<&'static str>,
}

impl<'a> Record<'a> {
    /// A record from its layers, the strongest first; none when a layer is no record.
    pub fn new(path: impl Into<String>, layers: Vec<&'a Node>, noted: &mut Noted) -> Option<Self> {
        let path = path.into();
        // A missing field belongs into the weakest layer, where it serves all positions.
        let home = layers.last()?.span;
        for layer in &layers {
            if !matches!(layer.kind, NodeKind::Record(_)) {
                noted.error(
                    layer.span,
                    format!("{path} needs named values in round brackets"),
                    "write (name: value, …)",
                );
                return None;
            }
        }
        let record = Self { path, layers, home, read: Vec::new() };
        record.note_repeats(noted);
        Some(record)
    }

    fn note_repeats(&self, noted: &mut Noted) {
        for layer in &self.layers {
            let fields = fields_of(layer);
            for (i, field) in fields.iter().enumerate() {
                if fields[..i].iter().any(|f| f.name == field.name) {
                    let message = format!("{} is given twice", self.name_of(&field.name));
                    noted.error(field.span, message, "keep one of the two");
                }
            }
        }
    }

    fn name_of(&self, field: &str) -> String {
        if self.path.is_empty() { field.to_owned() } else { format!("{}.{field}", self.path) }
    }

    /// A field's value, when any layer has it; none where the first that has it says `none`.
    pub fn get(&mut self, name: &'static str) -> Option<&'a Node> {
        self.read.push(name);
        self.layers.iter().find_map(|l| find(l, name)).map(|f| &f.value).filter(|node| !is_none(node))
    }

    /// A field's value; missing is an error.
    pub fn need(&mut self, name: &'static str, example: &str, noted: &mut Noted) -> Option<&'a Node> {
        let found = self.get(name);
        if found.is_none() {
            let message = format!("{} is missing", self.name_of(name));
            noted.error(self.home, message, format!("add {name}: {example}"));
        }
        found
    }

    /// Where a value stands that is stated further in, by the first layer that has it.
    pub fn place_of(&self, path: &str) -> Option<Span> {
        let deep = |layer: &&'a Node| {
            let node = path.split('.').try_fold(*layer, |node, name| find(node, name).map(|f| &f.value));
            node.map(|node| node.span)
        };
        self.layers.iter().find_map(deep)
    }

    /// A record in a field, its layers taken along. Layers below one that has another tag (ears
    /// over bosses) do not show through.
    pub fn sub(&mut self, name: &'static str, noted: &mut Noted) -> Option<Record<'a>> {
        let layers = self.layers_of(name);
        Record::new(self.name_of(name), layers, noted)
    }

    /// The same, and missing is an error.
    pub fn need_sub(&mut self, name: &'static str, noted: &mut Noted) -> Option<Record<'a>> {
        self.need(name, "(…)", noted)?;
        self.sub(name, noted)
    }

    fn layers_of(&mut self, name: &'static str) -> Vec<&'a Node> {
        self.read.push(name);
        let mut found: Vec<&Node> =
            self.layers.iter().filter_map(|l| find(l, name)).map(|f| &f.value).collect();
        // Nor does a printer's folder that another family names below one that is described here.
        if let Some(NodeKind::Record(_)) = found.first().map(|node| &node.kind) {
            let own = found.iter().take_while(|node| !matches!(node.kind, NodeKind::Text(_))).count();
            found.truncate(own);
        }
        let tag = found.first().and_then(|n| n.tag.clone());
        // Nothing shows through a layer that says there is none.
        found.into_iter().take_while(|n| n.tag == tag && !is_none(n)).collect()
    }

    /// The tag of a field's value: `ears` in `mounting: ears(…)`, or a bare word.
    pub fn tag(&mut self, name: &'static str) -> Option<(&'a str, Span)> {
        let node = self.get(name)?;
        match (&node.tag, &node.kind) {
            (Some(tag), _) => Some((tag, node.span)),
            (None, NodeKind::Word(word)) => Some((word, node.span)),
            _ => Some(("", node.span)),
        }
    }

    /// Notes every field that nobody asked for.
    pub fn finish(self, noted: &mut Noted) {
        for layer in &self.layers {
            for field in fields_of(layer) {
                if self.read.contains(&field.name.as_str()) {
                    continue;
                }
                let near =
                    self.read.iter().min_by_key(|known| strsim::damerau_levenshtein(known, &field.name));
                let hint = match near {
                    Some(known) if strsim::damerau_levenshtein(known, &field.name) <= 3 => {
                        format!("did you mean {known}?")
                    }
                    _ => format!(
                        "{} knows: {}",
                        if self.path.is_empty() { "this place" } else { &self.path },
                        self.known()
                    ),
                };
                noted.error(field.span, format!("{} is not known", self.name_of(&field.name)), hint);
            }
        }
    }

    fn known(&self) -> String {
        let mut names = self.read.clone();
        names.sort_unstable();
        names.dedup();
        names.join(", ")
    }

    /// The dotted path of this record.
    pub fn path(&self) -> &str {
        &self.path
    }

    /// Where the record stands.
    pub fn span(&self) -> Span {
        self.home
    }
}

/// The word that leaves out what another layer states.
fn is_none(node: &Node) -> bool {
    node.tag.is_none() && node.kind == NodeKind::Word("none".to_owned())
}

fn fields_of(node: &Node) -> &[Field] {
    match &node.kind {
        NodeKind::Record(fields) => fields,
        _ => &[],
    }
}

fn find<'a>(node: &'a Node, name: &str) -> Option<&'a Field> {
    fields_of(node).iter().find(|f| f.name == name)
}

/// The lengths in `mm(1.0)` or `mm([1.0, 1.1])`, `inch(…)` alike; empty after a mistake.
pub(crate) fn lengths(node: &Node, name: &str, noted: &mut Noted) -> Vec<Length> {
    let from: fn(f64) -> Length = match (node.tag.as_deref(), &node.kind) {
        (Some("mm"), NodeKind::List(_)) => Length::from_mm,
        (Some("inch"), NodeKind::List(_)) => Length::from_inch,
        (Some(unit), NodeKind::List(_)) => {
            noted.error(
                node.span,
                format!("{name}: {unit} is not a unit used here"),
                "write mm(…) or inch(…)",
            );
            return Vec::new();
        }
        (_, NodeKind::Number(n)) => {
            noted.error(node.span, format!("{name}: {n} has no unit"), format!("write mm({n}) or inch({n})"));
            return Vec::new();
        }
        _ => {
            noted.error(node.span, format!("{name} needs a length"), "write mm(12.3) or inch(0.5)");
            return Vec::new();
        }
    };
    let NodeKind::List(all) = &node.kind else { return Vec::new() };
    let items = match &all[..] {
        [Node { tag: None, kind: NodeKind::List(inner), .. }] => inner,
        _ => all,
    };
    if items.len() > 1 && !matches!(&all[..], [Node { kind: NodeKind::List(_), .. }]) {
        let hint =
            "write a decimal point, like 14.6; repeated readings go in square brackets: mm([14.6, 14.5])";
        noted.error(node.span, format!("{name}: is this one number with a comma, or {}?", items.len()), hint);
        return Vec::new();
    }
    if items.is_empty() {
        noted.error(node.span, format!("{name} has no number"), "write mm(12.3) or inch(0.5)");
    }
    items.iter().filter_map(|item| number(item, name, noted)).map(from).collect()
}

/// One length between two bounds, both allowed.
pub(crate) fn length(node: &Node, name: &str, bounds: (Length, Length), noted: &mut Noted) -> Option<Length> {
    let before = noted.problems.len();
    let all = lengths(node, name, noted);
    if noted.problems.len() > before {
        return None;
    }
    let [value] = all[..] else {
        noted.error(node.span, format!("{name} needs one length, not {}", all.len()), "keep one number");
        return None;
    };
    if value < bounds.0 || value > bounds.1 {
        let message = format!("{name} is {}, which makes no sense here", typed::length(value, node));
        noted.error(node.span, message, format!("use {}", typed::range(bounds, node)));
        return None;
    }
    Some(value)
}

/// A finite number.
pub(crate) fn number(node: &Node, name: &str, noted: &mut Noted) -> Option<f64> {
    match node.kind {
        NodeKind::Number(n) if n.is_finite() && node.tag.is_none() => Some(n),
        _ => {
            noted.error(node.span, format!("{name}: this is not a number"), "write it in digits, like 12.3");
            None
        }
    }
}

/// A number with a word before it that says of what it is: `turns(7800)`.
pub(crate) fn tagged_number(node: &Node) -> Option<(&str, f64)> {
    let figure = match &node.kind {
        NodeKind::List(items) => match &items[..] {
            [Node { kind: NodeKind::Number(n), .. }] => *n,
            _ => return None,
        },
        NodeKind::Number(n) => *n,
        _ => return None,
    };
    node.tag.as_deref().map(|tag| (tag, figure))
}

/// Titles, names and spots are for people; a longer one is not what it seems.
const LONGEST: usize = 120;

/// A quoted text for people.
pub(crate) fn text(node: &Node, name: &str, noted: &mut Noted) -> Option<String> {
    within(LONGEST, node, name, noted)
}

/// The longest path that systems know.
const LONGEST_PATH: usize = 4096;

/// The path of a folder, quoted.
pub(crate) fn path(node: &Node, name: &str, noted: &mut Noted) -> Option<String> {
    within(LONGEST_PATH, node, name, noted)
}

fn within(longest: usize, node: &Node, name: &str, noted: &mut Noted) -> Option<String> {
    match &node.kind {
        NodeKind::Text(t) if node.tag.is_none() && t.chars().count() > longest => {
            let message = format!("{name} has {} letters", t.chars().count());
            noted.error(node.span, message, format!("use {longest} at most"));
            None
        }
        NodeKind::Text(t) if node.tag.is_none() && t.chars().any(char::is_control) => {
            let hint = "write letters, digits and signs only, in one line";
            noted.error(node.span, format!("{name} has a control character"), hint);
            None
        }
        NodeKind::Text(t) if node.tag.is_none() => Some(t.clone()),
        _ => {
            noted.error(node.span, format!("{name} needs a text"), "write it in quotes: \"…\"");
            None
        }
    }
}

/// One of a few words.
pub(crate) fn choice<T: Copy>(
    node: &Node,
    name: &str,
    choices: &[(&str, T)],
    noted: &mut Noted,
) -> Option<T> {
    let word = match &node.kind {
        NodeKind::Word(w) => w.as_str(),
        _ => "",
    };
    let found = choices.iter().find(|(n, _)| *n == word).map(|(_, v)| *v);
    if found.is_none() {
        let names: Vec<&str> = choices.iter().map(|(n, _)| *n).collect();
        noted.error(
            node.span,
            format!("{name}: this is none of its words"),
            format!("write one of {}", names.join(", ")),
        );
    }
    found
}
