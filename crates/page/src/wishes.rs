//! What is wanted: every value with where it comes from, its bounds as they are now, and how it is changed.

use bobbinwright_core::want::{NotWanted, Wanting, said};
use bobbinwright_spec::edit::{NotEdited, Scope, undo};
use bobbinwright_spec::{Figure, Folder, Unit, Wish, WishKind, Word, parameter, wish, wishes};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::day::Day;
use crate::desk::Desk;
use crate::fit;
use crate::say::{in_words, sentence};

/// Every value of every position.
pub(crate) fn all(desk: &Desk) -> Vec<Value> {
    let of = |position: &str| wishes().filter_map(|wish| one(desk, position, &wish)).collect::<Vec<_>>();
    desk.survey.positions.iter().flat_map(|p| of(&p.name)).collect()
}

fn one(desk: &Desk, position: &str, wish: &Wish) -> Option<Value> {
    if wish.of_family {
        return None;
    }
    let path = wish.path;
    let (text, span) = desk.survey.written_at(position, path)?;
    let from = match span.file {
        0 => None,
        other => desk.survey.problems.files.get(other).map(|f| f.name.clone()),
    };
    let index = desk.survey.positions.iter().position(|p| p.name == position)?;
    // A gap that is worked out has a value besides what is written.
    let mm = desk.built().and_then(|built| {
        let mut wanted = built.family.positions.get(index)?.wanted.clone();
        (parameter(path)?.field)(&mut wanted).map(|l| l.as_mm())
    });
    // What is more than a word is typed.
    let words = match wish.kind {
        WishKind::Words(words) if words.iter().all(|w| w.text == w.word) => {
            Some(words.iter().map(|w| w.word).collect::<Vec<_>>())
        }
        _ => None,
    };
    let is_length = matches!(wish.kind, WishKind::Length { .. });
    Some(
        json!({ "position": position, "path": path, "what": wish.what, "text": text, "at": span.start, "mm": mm, "from": from, "words": words, "is_length": is_length }),
    )
}

/// What a position does not state and could: by its name, with what is written for it.
pub(crate) fn unstated(desk: &Desk, position: &str) -> Value {
    let written = |path: &str| desk.survey.written_at(position, path).map(|(text, _)| text);
    let is_stated = |path: &str| written(path).is_some();
    // Where a whole group is not there, or one word, or of another kind, its parts are nothing to be stated.
    let has_group = |path: &str| {
        let Some((group, part)) = path.rsplit_once('.') else { return true };
        let Some(group) = wish(group) else { return true };
        written(group.path).is_some_and(|text| text.contains('(') && can_have(&group, text, part))
    };
    let all = wishes().filter(|wish| !wish.of_family && !is_stated(wish.path) && has_group(wish.path));
    let one = |wish: Wish| {
        let (words, like) = match wish.kind {
            WishKind::Words(words) => (words.iter().map(|w| w.word).filter(|w| *w != "none").collect(), ""),
            WishKind::Written(like) => (Vec::new(), like),
            _ => (Vec::new(), ""),
        };
        json!({ "path": wish.path, "what": wish.what, "words": words, "like": like })
    };
    json!(all.map(one).collect::<Vec<_>>())
}

/// Can what is written of a group have a part? What the usual form of one kind has no other kind has; what none has may be left
/// out of the last kind, as ears leave out their sizes.
fn can_have(group: &Wish, text: &str, part: &str) -> bool {
    let WishKind::Words(words) = group.kind else { return true };
    let of_kind = |word: &&Word| !word.word.is_empty() && text.starts_with(word.word);
    let has = |word: &Word| word.text.contains(&format!("{part}:"));
    let kinds = || words.iter().filter(|word| word.text.contains('('));
    match kinds().find(of_kind) {
        Some(own) if has(own) => true,
        Some(own) => kinds().next_back().is_some_and(|last| last.word == own.word) && !kinds().any(has),
        // The usual form of a group is called otherwise than it is written.
        None => true,
    }
}

/// A value that somebody types.
#[derive(Debug, Deserialize)]
pub(crate) struct Typed {
    path: String,
    position: String,
    value: String,
    /// Only here, also where it was said for all positions.
    #[serde(default)]
    only: bool,
    /// Also if the parts can't be made with it.
    #[serde(default)]
    anyway: bool,
    /// The files as the page saw them.
    rev: String,
}

impl Typed {
    /// What names other folders, or is of the whole family, is for whoever sits at the machine.
    fn wanting(&self, unit: Unit) -> Result<Wanting, String> {
        let wish = wish(&self.path);
        if wish.as_ref().is_some_and(|wish| wish.of_family) {
            return Err(format!("{} is changed in family.ron itself, or by the program's want.", self.path));
        }
        // On the page a figure is in the family's unit everywhere.
        let is_length = wish.is_some_and(|wish| matches!(wish.kind, WishKind::Length { .. }));
        let inches = Figure::typed(&self.value, unit).ok();
        let inches = inches.filter(|typed| is_length && typed.unit == Unit::Inch);
        let value = inches.map_or_else(|| self.value.clone(), |typed| format!("{}in", typed.digits));
        let position = self.position.clone();
        let scope = if self.only { Scope::Only(position) } else { Scope::WhereItStands(position) };
        Ok(Wanting { path: self.path.clone(), value, scope })
    }
}

/// What a value would make of the family; nothing is written.
pub(crate) fn try_value(desk: &Desk, typed: &Typed, day: Day) -> Result<Value, String> {
    let (_, survey) = typed
        .wanting(desk.survey.unit())?
        .tried(&desk.folder, &desk.survey, day.when)
        .map_err(|e| words(&e))?;
    let after = Desk::of(&desk.folder, survey, day);
    let refused = after.prepared.as_ref().and_then(|p| p.as_ref().err()).map(in_words);
    Ok(json!({ "fit": fit::all(&after), "refused": refused }))
}

/// The parts as they would be with a value.
pub(crate) fn try_scene(desk: &Desk, typed: &Typed, day: Day) -> Result<Vec<u8>, String> {
    let (_, survey) = typed
        .wanting(desk.survey.unit())?
        .tried(&desk.folder, &desk.survey, day.when)
        .map_err(|e| words(&e))?;
    let after = Desk::of(&desk.folder, survey, day);
    after.scene().ok_or("there are no parts to look at")?.map_err(|e| e.to_string())
}

/// Writes a value into the family's file. Parts that can't be made with it keep it from being written, unless that is
/// asked for.
pub(crate) fn set(desk: &Desk, typed: &Typed, day: Day) -> Result<Value, String> {
    if typed.rev != desk.rev {
        return Err("The files were changed meanwhile; nothing was written. Look at what is there now, and type it again.".into());
    }
    match typed.wanting(desk.survey.unit())?.set(&desk.folder, &desk.survey, day.when, typed.anyway) {
        Ok((edit, _)) => Ok(json!({ "path": edit.path, "was": said(&edit.was), "value": said(&edit.value) })),
        Err(NotWanted::Refused(problems)) => Ok(json!({ "refused": in_words(&problems) })),
        Err(e) => Err(words(&e)),
    }
}

/// Takes the last change back.
pub(crate) fn take_back(folder: &Folder) -> Result<Value, String> {
    let edit = undo(folder).map_err(|e| e.to_string())?;
    let was = if edit.is_of_several() { String::new() } else { said(&edit.was) };
    Ok(json!({ "path": edit.path, "was": was, "value": said(&edit.value) }))
}

pub(crate) fn words(error: &NotWanted) -> String {
    match error {
        NotWanted::Problems(problems) | NotWanted::Refused(problems) => in_words(problems),
        NotWanted::Edit(NotEdited::Value(problem)) => sentence(problem),
        other => other.to_string(),
    }
}

/// The least and the most that a length can be now, mm: what its parts can be made with, everything else as it is.
pub(crate) fn bounds(desk: &Desk, path: &str, position: &str) -> Option<Value> {
    let built = desk.built()?;
    let here = built.family.positions.iter().position(|p| p.name == position)?;
    let ranges = bobbinwright_core::bounds(built, here, parameter(path)?)?;
    let all: Vec<[f64; 2]> =
        ranges.all().iter().map(|range| range.map(bobbinwright_spec::Length::as_mm)).collect();
    Some(json!({ "ranges": all, "words": ranges.shown(built.family.unit()) }))
}
