//! What is wanted, changed in a family's file: tried first, and written only when the family can be read with it and,
//! unless that is asked for, its parts can be made.

use bobbinwright_spec::edit::{Edit, NotEdited, Scope, change, edited};
use bobbinwright_spec::{
    Figure, Folder, Length, Problems, Sources, Survey, Unit, When, Wish, WishKind, closest, wish, wishes,
};

use crate::Prepared;

/// A value that is wanted otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanting {
    /// Dotted path: `cover.rounding`.
    pub path: String,
    /// As it is typed: `1.6`, `0.06in`, `mm(1.6)`, `up`.
    pub value: String,
    /// Where it is written.
    pub scope: Scope,
}

/// A value that is meant in inches is at most so many times what it was, or a share of that.
const ALIKE: f64 = 3.0;

/// Why it is not written.
#[derive(Debug, thiserror::Error)]
pub enum NotWanted {
    /// There is no such value.
    #[error("nothing that can be wanted is called {path}{}", near.as_ref().map_or(String::new(), |n| format!("; {n}")))]
    Unknown {
        /// What was named.
        path: String,
        /// What may have been meant, in words.
        near: Option<String>,
    },
    /// It is stated, but only the file itself can be changed there.
    #[error("{path} can't be changed this way: change it in {place}")]
    InFile {
        /// What was named.
        path: String,
        /// The file and the line.
        place: String,
    },
    /// It is no length.
    #[error("{0}")]
    Figure(String),
    /// It is none of its words.
    #[error("{path} can't be {value:?}: it can be {words}")]
    Word {
        /// What was named.
        path: String,
        /// What was typed.
        value: String,
        /// The words that it can be.
        words: String,
    },
    /// It can't be put into the file.
    #[error(transparent)]
    Edit(#[from] NotEdited),
    /// The family can't be read with it.
    #[error(transparent)]
    Problems(Problems),
    /// The parts can't be made with it.
    #[error(transparent)]
    Refused(Problems),
}

impl NotWanted {
    /// There is no value of that path.
    pub fn unknown(path: &str) -> Self {
        NotWanted::Unknown { path: path.to_owned(), near: near(path) }
    }

    /// The same, or where it stands when it can only be changed in the file.
    pub fn unknown_in(path: &str, survey: &Survey) -> Self {
        let mut stated = survey.positions.iter().filter_map(|p| survey.written_at(&p.name, path));
        let place = stated.next().and_then(|(_, span)| {
            let file = survey.problems.files.get(span.file)?;
            Some(format!("{}, line {}", file.name, file.line_column(span.start).0))
        });
        match place {
            Some(place) => NotWanted::InFile { path: path.to_owned(), place },
            None => Self::unknown(path),
        }
    }
}

impl Wanting {
    /// The value as a file has it: a length with its unit, a word as what it stands for, anything else as it is.
    fn text(&self, wish: &Wish, unit: Unit) -> Result<String, NotWanted> {
        let value = self.value.trim();
        if value.contains('(') {
            return Ok(value.to_owned());
        }
        match wish.kind {
            WishKind::Length { or_none: true } if value == "none" => Ok(value.to_owned()),
            WishKind::Length { or_none } => {
                let or = match self.path.as_str() {
                    "cover.fit_gap" => ", or snug(chance: 0.98)",
                    _ if or_none => ", or none",
                    _ => "",
                };
                let figure: Figure = value.parse().map_err(|why: String| NotWanted::Figure(why + or))?;
                Ok(format!("{}({})", figure.unit.word(), figure.digits))
            }
            WishKind::Words(words) => {
                let found = words.iter().find(|w| w.word == value);
                found.map(|w| w.text_in(unit)).ok_or_else(|| NotWanted::Word {
                    path: self.path.clone(),
                    value: value.to_owned(),
                    words: words.iter().map(|w| w.word).collect::<Vec<_>>().join(", "),
                })
            }
            // A family that is like none any more.
            WishKind::Text if value == "none" && wish.path == "like" => Ok(value.to_owned()),
            WishKind::Text if !value.starts_with('"') => Ok(format!("{value:?}")),
            // A list as it is said: neck,bridge.
            WishKind::Written(_) if value.contains(',') && !value.contains(['(', '[']) => {
                Ok(format!("[{value}]"))
            }
            // An angle as people write it: 8, 8°, -8 degrees.
            WishKind::Written(_) if wish.path == "rout.slant" => {
                let number =
                    value.trim_end_matches("degrees").trim_end_matches(['\u{b0}', ' ']).replace(',', ".");
                Ok(if number.parse::<f64>().is_ok() {
                    format!("degrees({number})")
                } else {
                    value.to_owned()
                })
            }
            WishKind::Text | WishKind::Number(_) | WishKind::Written(_) => Ok(value.to_owned()),
        }
    }

    /// Asks where a figure without a unit counts as millimetres, and was most likely meant in the family's inches: about as
    /// many of them as it is now.
    fn is_meant(&self, survey: &Survey) -> Result<(), NotWanted> {
        let value = self.value.trim();
        let is_bare = !value.is_empty() && value.chars().all(|c| c.is_ascii_digit() || "+-.,".contains(c));
        if survey.unit() != Unit::Inch || !is_bare {
            return Ok(());
        }
        let Ok(typed) = value.parse::<Figure>() else { return Ok(()) };
        let is_alike = |now: Length| {
            let times = now / typed.length();
            (25.4 / ALIKE..=25.4 * ALIKE).contains(&times)
        };
        let now =
            survey.stated(&self.path).into_iter().filter_map(|(_, now, _)| now).find(|now| is_alike(*now));
        now.map_or(Ok(()), |now| {
            let (now, digits) = (Unit::Inch.shown(now), typed.digits);
            Err(NotWanted::Figure(format!(
                "{value} without a unit is millimetres, and {} is {now} now: write {digits}in, or {digits}mm",
                self.path
            )))
        })
    }

    /// The change in the text of a family's file, and that text with it.
    fn edit(&self, sources: &Sources, survey: &Survey) -> Result<(Wish, Edit, String), NotWanted> {
        let wish = wish(&self.path).ok_or_else(|| NotWanted::unknown_in(&self.path, survey))?;
        self.is_meant(survey)?;
        let scope = if wish.of_family { &Scope::All } else { &self.scope };
        let edit = edited(sources, scope, &self.path, &self.text(&wish, survey.unit())?)?;
        let text = edit.on(&sources.family.text).ok_or(NotEdited::Changed)?;
        Ok((wish, edit, text))
    }

    /// The change, and the family with it; nothing is written. `folder` is the family's.
    pub fn tried(&self, folder: &Folder, survey: &Survey, when: When) -> Result<(Edit, Survey), NotWanted> {
        let sources = survey.sources();
        let (wish, edit, text) = self.edit(sources, survey)?;
        let after = match wish.path {
            // These name folders that were not read yet.
            "like" | "printer" => sources.named_by(text, folder),
            _ => Ok(sources.clone().with_family(text)),
        };
        let after = after.and_then(|sources| Survey::read(&survey.slug, sources, when));
        readable(after).map(|after| (edit, after))
    }

    /// Writes it into the family's file; also if the parts can't be made with it, where `anyway` says so. Gives the
    /// change and the family with it.
    pub fn set(
        &self,
        folder: &Folder,
        survey: &Survey,
        when: When,
        anyway: bool,
    ) -> Result<(Edit, Survey), NotWanted> {
        set_together(std::slice::from_ref(self), folder, survey, when, anyway)
    }
}

/// Several values of a family wanted otherwise at once, as one change that is taken back as one: the change, and the family
/// with it; nothing is written. `folder` is the family's.
///
/// # Errors
/// See [`NotWanted`]; of the first that is wrong.
pub fn tried_together(
    all: &[Wanting],
    folder: &Folder,
    survey: &Survey,
    when: When,
) -> Result<(Edit, Survey), NotWanted> {
    if let [one] = all {
        return one.tried(folder, survey, when);
    }
    let mut sources = survey.sources().clone();
    let mut said_of = Vec::new();
    let mut names_folders = false;
    for wanting in all {
        let (wish, edit, text) = wanting.edit(&sources, survey)?;
        names_folders |= matches!(wish.path, "like" | "printer");
        said_of.push((edit.path, said(&edit.value)));
        sources = sources.with_family(text);
    }
    let text = sources.family.text.clone();
    let edit = Edit::together(&said_of, &survey.sources().family.text, &text);
    let sources = if names_folders { sources.named_by(text, folder) } else { Ok(sources) };
    readable(sources.and_then(|sources| Survey::read(&survey.slug, sources, when))).map(|after| (edit, after))
}

/// Writes several values into the family's file, all or none; where the parts can't be made with them only if `anyway` says
/// so. Gives the change and the family with it.
///
/// # Errors
/// See [`NotWanted`].
pub fn set_together(
    all: &[Wanting],
    folder: &Folder,
    survey: &Survey,
    when: When,
    anyway: bool,
) -> Result<(Edit, Survey), NotWanted> {
    let (edit, after) = tried_together(all, folder, survey, when)?;
    if !anyway && after.missing().next().is_none() {
        after.clone().family().and_then(Prepared::new).map_err(NotWanted::Refused)?;
    }
    change(folder, &survey.sources().family.text, &edit)?;
    Ok((edit, after))
}

fn readable(after: Result<Survey, Problems>) -> Result<Survey, NotWanted> {
    match after {
        Ok(after) if !after.problems.has_errors() => Ok(after),
        Ok(Survey { problems, .. }) | Err(problems) => Err(NotWanted::Problems(problems)),
    }
}

/// Is there a value of that path?
pub fn is_known(path: &str) -> bool {
    wish(path).is_some()
}

/// What may have been meant: the values of a group that is named, the value whose part is named, one with that name at its end, or
/// the one that is spelt most like it.
fn near(path: &str) -> Option<String> {
    let all = || wishes().map(|wish| wish.path);
    let group = format!("{path}.");
    let within: Vec<&str> = all().filter(|known| known.starts_with(&group)).collect();
    if !within.is_empty() {
        return Some(format!("it is several: {}", within.join(", ")));
    }
    let whole = wishes().find(|wish| path.strip_prefix(wish.path).is_some_and(|rest| rest.starts_with('.')));
    if let Some(Wish { path, kind: WishKind::Written(example), .. }) = whole {
        return Some(format!("{path} is said as a whole, like {example}"));
    }
    let ends = |known: &&'static str| known.rsplit('.').next() == path.rsplit('.').next();
    let meant = all().find(ends).or_else(|| closest(path, all()));
    meant.map(|meant| format!("did you mean {meant}?"))
}

/// What is written, as a person says it: `mm(1.40)` is `1.40 mm`, `inch(0.06)` is `0.06 in`; anything else stays.
pub fn said(text: &str) -> String {
    let in_unit = |function: &str, unit: &str| {
        let digits = text.strip_prefix(function)?.strip_prefix('(')?.strip_suffix(')')?.trim();
        digits.parse::<f64>().ok().map(|_| format!("{digits} {unit}"))
    };
    in_unit("mm", "mm").or_else(|| in_unit("inch", "in")).unwrap_or_else(|| text.to_owned())
}
