//! Changes of what is wanted, made in the text of `family.ron`: everything else in it, remarks too, stays as it
//! is. Each change is kept beside the file, so that it can be taken back.

use std::io;

use bobbinwright_folder::{Folder, InTurn, NotWritten};
use serde::{Deserialize, Serialize};

use crate::document::parse_one;
use crate::family::FAMILY_FILE;
use crate::identity;
use crate::node::{Field, Node, NodeKind};
use crate::problem::{Problem, Problems, SourceFile, Span};
use crate::sources::{LARGEST_FILE, Sources};

/// What has been changed, the latest last.
const UNDO_FILE: &str = "family.undo";

/// Where a value is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Scope {
    /// Where it stands now; or, if a family stated it that this one is like, for all positions.
    WhereItStands(String),
    /// For all positions.
    All,
    /// For one.
    Only(String),
}

/// A change of a file's text: at a place, one piece is replaced by another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Edit {
    /// Dotted path of what is wanted otherwise.
    pub path: String,
    /// The value that it gets.
    pub value: String,
    /// Byte offset.
    pub at: usize,
    /// What stands before it, as far as it takes to know the place again.
    pub before: String,
    /// What stood there.
    pub was: String,
    /// What stands there.
    pub now: String,
}

impl Edit {
    /// The text with the change; none where something else stands at its place.
    pub fn on(&self, text: &str) -> Option<String> {
        let (before, after) = text.split_at_checked(self.at)?;
        let rest = after.strip_prefix(self.was.as_str())?;
        before.ends_with(&self.before).then(|| format!("{before}{}{rest}", self.now))
    }

    /// Several changes as one: what differs between two texts. `said` is what each is of, and its value.
    pub fn together(said: &[(String, String)], before: &str, after: &str) -> Self {
        let all = |of: fn(&(String, String)) -> &String| {
            said.iter().map(of).cloned().collect::<Vec<_>>().join(", ")
        };
        let shared = |mut pairs: Box<dyn Iterator<Item = (char, char)> + '_>| {
            let mut length = 0;
            while let Some((a, _)) = pairs.next().filter(|(a, b)| a == b) {
                length += a.len_utf8();
            }
            length
        };
        let at = shared(Box::new(before.chars().zip(after.chars())));
        let (was, now) = (&before[at..], &after[at..]);
        let end = shared(Box::new(was.chars().rev().zip(now.chars().rev())));
        Self {
            path: all(|(path, _)| path),
            value: all(|(_, value)| value),
            at,
            before: tail(&before[..at]),
            was: was[..was.len() - end].to_owned(),
            now: now[..now.len() - end].to_owned(),
        }
    }

    /// Is it of several values?
    pub fn is_of_several(&self) -> bool {
        self.path.contains(", ")
    }

    /// The change back.
    #[must_use]
    pub fn back(self) -> Self {
        Self { was: self.now, now: self.was, ..self }
    }
}

/// Why a value can't be written.
#[derive(Debug, thiserror::Error)]
pub enum NotEdited {
    /// What was typed is no value, or the file can't be read.
    #[error("{}", .0.message)]
    Value(Problem),
    /// It does not go there.
    #[error("{path} can't be stated here: {why}")]
    Place {
        /// The path.
        path: String,
        /// Why.
        why: String,
    },
    /// With it, the family can't be read.
    #[error(transparent)]
    Problems(#[from] Problems),
    /// Somebody else wrote the file.
    #[error("family.ron was changed meanwhile; nothing was written")]
    Changed,
    /// There is nothing to take back.
    #[error("there is no change to take back: {0}")]
    Nothing(&'static str),
    /// It could not be written.
    #[error("family.ron was not written: {0}")]
    Write(#[from] io::Error),
}

impl From<NotWritten> for NotEdited {
    fn from(not: NotWritten) -> Self {
        match not {
            NotWritten::Changed => Self::Changed,
            // Only what is kept is added to; what stands of a torn line there is passed over.
            NotWritten::As(why) | NotWritten::Half { why, .. } => Self::Write(why),
        }
    }
}

/// The change that makes `path` (`cover.rounding`) have the value (`mm(1.6)`) in the family's own file.
pub fn edited(sources: &Sources, scope: &Scope, path: &str, value: &str) -> Result<Edit, NotEdited> {
    let typed = SourceFile { name: "value".into(), text: value.to_owned() };
    parse_one(0, &typed).map_err(NotEdited::Value)?;
    let root = sources.roots.first().and_then(|r| r.as_ref().ok());
    let place = |why: &str| NotEdited::Place { path: path.to_owned(), why: why.to_owned() };
    let root = root.ok_or_else(|| place("family.ron can't be read"))?;
    let text = &sources.family.text;
    let names: Vec<&str> = path.split('.').collect();
    let replaced = |place: Span, now: &str| {
        let was = text.get(place.start..place.end).unwrap_or_default().to_owned();
        let before = tail(&text[..place.start]);
        Edit {
            path: path.to_owned(),
            value: value.to_owned(),
            at: place.start,
            before,
            was,
            now: now.to_owned(),
        }
    };
    let added = |(at, now): (usize, String)| replaced(Span { start: at, end: at, ..root.span }, &now);
    if let Scope::WhereItStands(position) = scope {
        let stands = stated_at(sources, position, path).filter(|node| node.span.file == 0);
        if let Some(node) = stands {
            return Ok(replaced(node.span, value));
        }
    }
    let tags = |depth: usize| tag_of(sources, &names[..depth]);
    let mut node = root;
    if let Scope::Only(position) = scope {
        let Some(item) = item(root, position) else {
            let list = positions_text(sources, position, &nested(&names, 0, value, &tags));
            let list = list.ok_or_else(|| place("there is no such position"))?;
            return Ok(added(insert(text, root, &list)));
        };
        node = item;
    }
    let mut depth = 0;
    while let Some(field) = field(node, names[depth]) {
        depth += 1;
        if depth == names.len() {
            return Ok(replaced(field.value.span, value));
        }
        if !matches!(field.value.kind, NodeKind::Record(_)) {
            let group = names[..depth].join(".");
            let why = match &field.value.kind {
                NodeKind::Word(word) => format!("{group} is {word}: say first what else it is"),
                _ => format!("{group} is no group of values"),
            };
            return Err(place(&why));
        }
        node = &field.value;
    }
    Ok(added(insert(text, node, &nested(&names, depth, value, &tags))))
}

/// The end of a text: enough to hold the names of values, which tell alike values apart.
fn tail(text: &str) -> String {
    const ENOUGH: usize = 60;
    let from = text.ceil_char_boundary(text.len().saturating_sub(ENOUGH));
    text[from..].to_owned()
}

/// The node that counts for a position: the first of its layers that states the path.
pub(crate) fn stated_at<'s>(sources: &'s Sources, position: &str, path: &str) -> Option<&'s Node> {
    let names: Vec<&str> = path.split('.').collect();
    let roots = sources.roots.iter().filter_map(|r| r.as_ref().ok());
    let mut layers = roots.flat_map(|root| item(root, position).into_iter().chain([root]));
    layers.find_map(|layer| deep(layer, &names))
}

fn deep<'n>(node: &'n Node, names: &[&str]) -> Option<&'n Node> {
    names.iter().try_fold(node, |node, name| field(node, name).map(|f| &f.value))
}

pub(crate) fn field<'n>(node: &'n Node, name: &str) -> Option<&'n Field> {
    match &node.kind {
        NodeKind::Record(fields) => fields.iter().find(|f| f.name == name),
        _ => None,
    }
}

/// What a root says of a position.
fn item<'n>(root: &'n Node, position: &str) -> Option<&'n Node> {
    let NodeKind::List(items) = &field(root, "positions")?.value.kind else { return None };
    let is_it = |i: &&Node| field(i, "name").is_some_and(|f| f.value.kind == NodeKind::Text(position.into()));
    items.iter().find(is_it)
}

/// The tag of a group of values, by the nearest family that says it: `bosses` of `cover.mounting`.
fn tag_of(sources: &Sources, names: &[&str]) -> Option<String> {
    let roots = sources.roots.iter().filter_map(|r| r.as_ref().ok());
    let items = |root| match field(root, "positions").map(|f| &f.value.kind) {
        Some(NodeKind::List(items)) => items.iter().collect::<Vec<&Node>>(),
        _ => Vec::new(),
    };
    let mut all = roots.flat_map(|root| std::iter::once(root).chain(items(root)));
    all.find_map(|node| deep(node, names)).and_then(|node| node.tag.clone())
}

/// `mounting: bosses(diameter: mm(9.0))`, from the name at `depth` on.
fn nested(names: &[&str], depth: usize, value: &str, tag: &impl Fn(usize) -> Option<String>) -> String {
    let name = names[depth];
    if depth + 1 == names.len() {
        return format!("{name}: {value}");
    }
    let inner = nested(names, depth + 1, value, tag);
    format!("{name}: {}({inner})", tag(depth + 1).unwrap_or_default())
}

/// All positions by their names, one of them with what is said of it.
fn positions_text(sources: &Sources, position: &str, said: &str) -> Option<String> {
    let mut roots = sources.roots.iter().filter_map(|r| r.as_ref().ok());
    let list = roots.find_map(|root| field(root, "positions"))?;
    let NodeKind::List(items) = &list.value.kind else { return None };
    let names = items.iter().filter_map(|i| match &field(i, "name")?.value.kind {
        NodeKind::Text(name) => Some(name.as_str()),
        _ => None,
    });
    let mut found = false;
    let all: Vec<String> = names
        .map(|name| {
            if name == position {
                found = true;
                format!("(name: {name:?}, {said})")
            } else {
                format!("(name: {name:?})")
            }
        })
        .collect();
    found.then(|| format!("positions: [{}]", all.join(", ")))
}

/// Where a new value goes, at the beginning of a group, and as what: on a line of its own where the group's values
/// have theirs.
pub(crate) fn insert(text: &str, group: &Node, said: &str) -> (usize, String) {
    let open = text[group.span.start..].find('(').map_or(group.span.start, |i| group.span.start + i + 1);
    let line = text[open..].find('\n').map(|i| open + i);
    let rest_of_line = line.map_or("", |end| text[open..end].trim());
    let own_line = line.filter(|_| rest_of_line.is_empty() || rest_of_line.starts_with("//"));
    let (at, now) = match own_line {
        Some(end) => {
            let next = &text[end + 1..];
            let indent = &next[..next.len() - next.trim_start_matches([' ', '\t']).len()];
            // Lines end as that one does.
            let cr = if text[..end].ends_with('\r') { "\r" } else { "" };
            (end, format!("\n{indent}{said},{cr}"))
        }
        None => (open, format!("{said}, ")),
    };
    (at, now)
}

/// Puts a change into the file, whole or not at all, when its text still is what the change was made for. First it is
/// kept, so that it can be taken back: what can't be kept is not written. Whoever else changes it with this program
/// waits.
pub fn change(folder: &Folder, tried_on: &str, edit: &Edit) -> Result<(), NotEdited> {
    let turn = folder.turn()?;
    let line = ron::to_string(edit).map_err(io::Error::other)?;
    let before = journal(folder);
    // A line that was torn when the program was killed does not take this one with it.
    let torn = if before.is_empty() || before.ends_with(b"\n") { "" } else { "\n" };
    let more = format!("{torn}{line}\n");
    let done = folder.append(UNDO_FILE, &before, &more).map_err(NotEdited::from);
    let done = done.and_then(|()| write(&turn, tried_on, edit));
    if done.is_err() {
        // As it was. Where that fails too: a change that was kept and not made counts for nothing.
        let _ =
            rewrite(&turn, &[before.as_slice(), more.as_bytes()].concat(), &String::from_utf8_lossy(&before));
    }
    drop(turn);
    if done.is_ok() {
        identity::keep(folder);
    }
    done
}

/// Takes the latest change back, if what it wrote still stands there; gives it.
pub fn undo(folder: &Folder) -> Result<Edit, NotEdited> {
    let turn = folder.turn()?;
    let bytes = folder.read(FAMILY_FILE, LARGEST_FILE)?;
    let text = String::from_utf8(bytes).map_err(io::Error::other)?;
    let before = journal(folder);
    let mut all = kept(&before);
    all.truncate(in_effect(&all, &text));
    let (_, edit) = all.pop().ok_or(NotEdited::Nothing("none was made with this program"))?;
    let back = edit.clone().back();
    if back.on(&text).is_none() {
        return Err(NotEdited::Nothing("family.ron was changed in another way since"));
    }
    write(&turn, &text, &back)?;
    let rest: String = all.iter().map(|(line, _)| format!("{line}\n")).collect();
    // It is taken back; a line that stays all the same counts for nothing.
    let _ = rewrite(&turn, &before, &rest);
    Ok(edit)
}

/// What is kept; nothing where there is none.
fn journal(folder: &Folder) -> Vec<u8> {
    folder.read(UNDO_FILE, usize::MAX).unwrap_or_default()
}

/// Another content for what is kept. An empty one is no file.
fn rewrite(turn: &InTurn, before: &[u8], after: &str) -> Result<(), NotWritten> {
    if after.is_empty() { turn.remove(UNDO_FILE, before) } else { turn.replace(UNDO_FILE, before, after) }
}

/// The changes that were kept, each with its line; a line that was torn is none.
fn kept(journal: &[u8]) -> Vec<(String, Edit)> {
    let text = String::from_utf8_lossy(journal);
    text.lines().filter_map(|line| Some((line.to_owned(), ron::from_str(line).ok()?))).collect()
}

/// How many of the changes are in effect: those after them were taken back, or kept and then not written, because the program was
/// killed in between. That shows where the text stands as before one of them, and not as after it; what was kept after that one and is of
/// the same thing never was.
fn in_effect(all: &[(String, Edit)], text: &str) -> usize {
    let is_out = |many: usize| {
        let last = &all[many - 1].1;
        // The same place in the file: a path may be said at several.
        let is_here = |edit: &Edit| (edit.at, &edit.before) == (last.at, &last.before);
        let is_before = |(_, edit): &(String, Edit)| is_here(edit) && never_done(edit, text);
        last.clone().back().on(text).is_none() && all[..many].iter().any(is_before)
    };
    let mut many = all.len();
    while many > 0 && is_out(many) {
        many -= 1;
    }
    many
}

/// Does the text stand as before a change, and not as after it?
fn never_done(edit: &Edit, text: &str) -> bool {
    // Where something was added all else that was added at the same place looks as if it stood before it.
    let is_added = edit.was.is_empty() && text.contains(edit.now.trim());
    edit.on(text).is_some() && edit.clone().back().on(text).is_none() && !is_added
}

/// The change that [`undo`] would take back.
pub fn to_undo(folder: &Folder) -> Option<Edit> {
    let text = String::from_utf8(folder.read(FAMILY_FILE, LARGEST_FILE).ok()?).ok()?;
    let all = kept(&journal(folder));
    let many = in_effect(&all, &text);
    all.into_iter().nth(many.checked_sub(1)?).map(|(_, edit)| edit)
}

fn write(turn: &InTurn, tried_on: &str, edit: &Edit) -> Result<(), NotEdited> {
    let text = edit.on(tried_on).ok_or(NotEdited::Changed)?;
    Ok(turn.replace(FAMILY_FILE, tried_on.as_bytes(), &text)?)
}
