//! What is wanted: every value with where it comes from, its bounds as they are now, and how it is changed.

use std::path::Path;

use bobbinwright_export::Prepared;
use bobbinwright_geometry::parts::room_for;
use bobbinwright_spec::edit::{Edit, NotEdited, Scope, change, edited, undo};
use bobbinwright_spec::{Figure, PARAMETERS, Problems, Survey, When, parameter};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::act::in_words;
use crate::desk::Desk;

/// What is wanted besides lengths: a path, and the words that it can be; none where more than a word is said.
const WORDS: [(&str, &[&str]); 10] = [
    ("cover.lead_out.side", &["neck", "bridge", "bass", "treble"]),
    ("flatwork.eyelets.side", &["neck", "bridge"]),
    ("poles", &[]),
    ("coil.wire", &[]),
    ("coil.wind", &[]),
    ("coil.packing", &[]),
    ("coil.turning", &["clockwise", "anticlockwise"]),
    ("coil.start", &["bass", "treble"]),
    ("magnets", &[]),
    ("north", &["up", "down"]),
];

/// Every value of every position.
pub(crate) fn all(desk: &Desk) -> Vec<Value> {
    let paths = PARAMETERS.iter().map(|p| (p.path, None));
    let words = WORDS.iter().filter(|(path, _)| *path != "poles").map(|(path, words)| (*path, Some(*words)));
    let paths: Vec<_> = paths.chain(words).collect();
    let of = |position: &str| {
        paths.iter().filter_map(|(path, words)| one(desk, position, path, *words)).collect::<Vec<_>>()
    };
    desk.survey.positions.iter().flat_map(|p| of(&p.name)).collect()
}

fn one(desk: &Desk, position: &str, path: &str, words: Option<&[&str]>) -> Option<Value> {
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
    Some(json!({ "position": position, "path": path, "text": text, "at": span.start, "mm": mm, "from": from, "words": words }))
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
    /// The value as a file has it: a length with its unit, anything else as it is.
    fn text(&self) -> Result<String, String> {
        let value = self.value.trim();
        if parameter(&self.path).is_none() || value.contains('(') {
            return Ok(value.to_owned());
        }
        let figure: Figure = value.parse()?;
        Ok(format!("{}({})", figure.unit.word(), figure.digits))
    }

    /// The change, and the family with it.
    fn tried(&self, desk: &Desk) -> Result<(Edit, Survey), String> {
        let known = parameter(&self.path).is_some() || WORDS.iter().any(|(path, _)| *path == self.path);
        if !known {
            return Err(format!("{} can't be changed here", self.path));
        }
        let scope = if self.only {
            Scope::Only(self.position.clone())
        } else {
            Scope::WhereItStands(self.position.clone())
        };
        let sources = desk.survey.sources();
        let edit = edited(sources, &scope, &self.path, &self.text()?).map_err(|e| words(&e))?;
        let text = edit.on(&sources.family.text).ok_or("family.ron was changed meanwhile")?;
        let survey = Survey::read(&desk.survey.slug, sources.clone().with_family(text), When::now());
        match survey {
            Ok(survey) if !survey.problems.has_errors() => Ok((edit, survey)),
            Ok(Survey { problems, .. }) | Err(problems) => Err(in_words(&problems)),
        }
    }
}

/// What a value would make of the family; nothing is written.
pub(crate) fn try_value(desk: &Desk, typed: &Typed) -> Result<Value, String> {
    let (_, survey) = typed.tried(desk)?;
    let after = Desk::of(&desk.folder, survey);
    let refused = after.prepared.as_ref().and_then(|p| p.as_ref().err()).map(in_words);
    Ok(json!({ "fit": crate::state::fit(&after), "refused": refused }))
}

/// Writes a value into the family's file. Parts that can't be made with it keep it from being written, unless that is
/// asked for.
pub(crate) fn set(desk: &Desk, typed: &Typed) -> Result<Value, String> {
    if typed.rev != desk.rev {
        return Err("The files were changed meanwhile; nothing was written. Look at what is there now, and type it again.".into());
    }
    let (edit, survey) = typed.tried(desk)?;
    let missing = survey.missing().next().is_some();
    let refused: Option<Problems> =
        if missing { None } else { survey.family().and_then(Prepared::new).err() };
    if let Some(problems) = refused.filter(|_| !typed.anyway) {
        return Ok(json!({ "refused": in_words(&problems) }));
    }
    change(&desk.folder, &desk.survey.sources().family.text, &edit).map_err(|e| words(&e))?;
    Ok(json!({ "path": edit.path, "was": edit.was, "now": edit.now }))
}

/// Takes the last change back.
pub(crate) fn take_back(folder: &Path) -> Result<Value, String> {
    let edit = undo(folder).map_err(|e| words(&e))?;
    Ok(json!({ "path": edit.path, "was": edit.was, "now": edit.now }))
}

fn words(error: &NotEdited) -> String {
    match error {
        NotEdited::Problems(problems) => in_words(problems),
        NotEdited::Value(problem) => crate::state::sentence(problem),
        other => other.to_string(),
    }
}

/// The least and the most that a length can be now, mm: what its parts can be made with, everything else as it is.
pub(crate) fn bounds(desk: &Desk, path: &str, position: &str) -> Option<Value> {
    let built = desk.built()?;
    let here = built.family.positions.iter().find(|p| p.name == position)?;
    let [least, most] = room_for(here, &built.family.hardware, parameter(path)?)?;
    Some(json!({ "least": least.as_mm(), "most": most.as_mm() }))
}
