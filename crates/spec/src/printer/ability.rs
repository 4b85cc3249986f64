//! What a printer can do, value by value: as its file says it, and changed in the text of that file, where everything else stays
//! as it is.

use std::io;

use bobbinwright_folder::{Folder, NotWritten};

use super::material::Material;
use super::survey::{PRINTER_FILE, PrinterSurvey};
use crate::document::parse_one;
use crate::edit::{field, insert};
use crate::family::READINGS_FILE;
use crate::log::When;
use crate::node::{Node, NodeKind};
use crate::problem::{Problems, SourceFile};
use crate::sources::{read_text, slug};
use crate::{Figure, Unit};

/// One thing that a printer's file says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ability {
    /// Its name in the file.
    pub name: &'static str,
    /// What it is.
    pub what: &'static str,
    /// How it is said.
    pub kind: AbilityKind,
}

/// How a thing is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AbilityKind {
    /// In words.
    Text,
    /// As so many lengths.
    Lengths(usize),
    /// In degrees.
    Degrees,
    /// As one of the materials.
    Material,
}

const fn one(name: &'static str, what: &'static str, kind: AbilityKind) -> Ability {
    Ability { name, what, kind }
}

/// All that is said of a printer, in the order of its file. The coupon's holes are said once, when its folder is started.
pub const ABILITIES: [Ability; 9] = [
    one("title", "what you call it, with its nozzle and filament", AbilityKind::Text),
    one("material", "what it prints with; another filament is another printer", AbilityKind::Material),
    one("bed", "length, width and height that it can print", AbilityKind::Lengths(3)),
    one("layer", "height of a layer; the coupon's steps follow it", AbilityKind::Lengths(1)),
    one(
        "least_wall",
        "the thinnest wall that comes out sound: two widths of what the nozzle lays",
        AbilityKind::Lengths(1),
    ),
    one("least_hole", "the smallest hole that stays open", AbilityKind::Lengths(1)),
    one(
        "overhang",
        "the flattest slope that holds itself, in degrees from the vertical",
        AbilityKind::Degrees,
    ),
    one("bridge", "the longest flat underside that spans freely", AbilityKind::Lengths(1)),
    one("spacing", "between two parts on the bed", AbilityKind::Lengths(1)),
];

/// Why it is not written.
#[derive(Debug, thiserror::Error)]
pub enum NotChanged {
    /// There is no such thing.
    #[error("nothing that is said of a printer is called {0}")]
    Unknown(String),
    /// It is not said so.
    #[error("{0}")]
    Typed(String),
    /// The printer can't be read with it.
    #[error("the printer's files can't be read with it")]
    Problems(Problems),
    /// It could not be read or written.
    #[error("printer.ron was not written: {0}")]
    Write(#[from] io::Error),
    /// Somebody else wrote the file.
    #[error("printer.ron was changed meanwhile; nothing was written")]
    Changed,
}

impl Ability {
    /// What was typed, as the file has it.
    fn text(&self, typed: &str) -> Result<String, NotChanged> {
        let typed = typed.trim();
        let wrong = |why: String| NotChanged::Typed(why);
        match self.kind {
            AbilityKind::Text => Ok(format!("{typed:?}")),
            AbilityKind::Material => {
                let known = Material::ALL.iter().any(|(word, _)| *word == typed);
                let words = Material::ALL.map(|(word, _)| word).join(", ");
                if known {
                    Ok(typed.to_owned())
                } else {
                    Err(wrong(format!("{typed} is no material: it is {words}")))
                }
            }
            AbilityKind::Degrees => {
                let number =
                    typed.trim_end_matches("degrees").trim_end_matches(['\u{b0}', ' ']).replace(',', ".");
                let degrees: f64 = number.parse().map_err(|_| wrong("write degrees, like 45".into()))?;
                Ok(format!("degrees({degrees})"))
            }
            AbilityKind::Lengths(count) => {
                let (rest, unit) = match typed.strip_suffix("in") {
                    Some(rest) => (rest, Unit::Inch),
                    None => (typed.trim_end_matches("mm"), Unit::Mm),
                };
                let pieces = rest.split([' ', '\u{d7}', 'x', ';']).filter(|piece| !piece.is_empty());
                let figures = pieces
                    .map(|piece| Figure::typed(piece, unit))
                    .collect::<Result<Vec<_>, _>>()
                    .map_err(wrong)?;
                if figures.len() != count {
                    return Err(wrong(if count == 1 {
                        "write one length, like 0.2".into()
                    } else {
                        format!("write {count} lengths, like 220 220 240")
                    }));
                }
                let digits: Vec<&str> = figures.iter().map(|figure| figure.digits.as_str()).collect();
                let digits =
                    if count == 1 { digits[0].to_owned() } else { format!("[{}]", digits.join(", ")) };
                Ok(format!("{}({digits})", unit.word()))
            }
        }
    }

    /// What a node of the file says, as it would be typed.
    fn shown(node: &Node) -> String {
        match &node.kind {
            NodeKind::Text(text) | NodeKind::Word(text) => text.clone(),
            NodeKind::Number(number) => number.to_string(),
            NodeKind::List(all) => {
                let inner = all.iter().map(Self::shown).collect::<Vec<_>>().join(" ");
                match node.tag.as_deref() {
                    Some("inch") => format!("{inner} in"),
                    Some("mm") => format!("{inner} mm"),
                    _ => inner,
                }
            }
            NodeKind::Record(_) => String::new(),
        }
    }
}

/// Every ability with what a printer's file says of it, as it would be typed; none where it says nothing, and is taken as usual.
pub fn abilities_of(survey: &PrinterSurvey) -> Vec<(&'static Ability, Option<String>)> {
    let root = survey.problems.files.first().and_then(|file| parse_one(0, file).ok());
    let said = |name: &str| {
        root.as_ref().and_then(|root| field(root, name)).map(|found| Ability::shown(&found.value))
    };
    ABILITIES.iter().map(|ability| (ability, said(ability.name))).collect()
}

/// Says something else of a printer, in the file of its folder: whole or not at all, and only what can be read.
///
/// # Errors
/// See [`NotChanged`].
pub fn change_ability(folder: &Folder, name: &str, typed: &str, when: When) -> Result<(), NotChanged> {
    let ability =
        ABILITIES.iter().find(|one| one.name == name).ok_or_else(|| NotChanged::Unknown(name.to_owned()))?;
    let value = ability.text(typed)?;
    let read = |file: &str| read_text(folder, file).map_err(io::Error::other);
    let before = read(PRINTER_FILE)?;
    let file = |name: &str, text: String| SourceFile { name: name.to_owned(), text };
    let in_words = |problem| NotChanged::Problems(Problems { files: Vec::new(), all: vec![problem] });
    let root = parse_one(0, &file(PRINTER_FILE, before.clone())).map_err(in_words)?;
    let mut after = before.clone();
    if let Some(found) = field(&root, name) {
        after.replace_range(found.value.span.start..found.value.span.end, &value);
    } else {
        let (at, now) = insert(&before, &root, &format!("{name}: {value}"));
        after.insert_str(at, &now);
    }
    let survey = PrinterSurvey::read_at(
        &slug(folder),
        file(PRINTER_FILE, after.clone()),
        file(READINGS_FILE, read(READINGS_FILE)?),
        when,
    );
    match survey {
        Ok(survey) if !survey.problems.has_errors() => {}
        Ok(PrinterSurvey { problems, .. }) | Err(problems) => return Err(NotChanged::Problems(problems)),
    }
    let turn = folder.turn()?;
    turn.replace(PRINTER_FILE, before.as_bytes(), &after).map_err(|not| match not {
        NotWritten::Changed => NotChanged::Changed,
        NotWritten::As(why) | NotWritten::Half { why, .. } => NotChanged::Write(why),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_written_as_the_file_has_it() {
        let text = |name: &str, typed: &str| {
            let ability = ABILITIES.iter().find(|one| one.name == name);
            ability.and_then(|ability| ability.text(typed).ok())
        };
        assert_eq!(text("layer", "0,28 mm").as_deref(), Some("mm(0.28)"));
        assert_eq!(text("bed", "250 x 210 \u{d7} 220").as_deref(), Some("mm([250, 210, 220])"));
        assert_eq!(text("bed", "250 210"), None);
        assert_eq!(text("overhang", "50\u{b0}").as_deref(), Some("degrees(50)"));
        assert_eq!(text("material", "petg").as_deref(), Some("petg"));
        assert_eq!(text("material", "wood"), None);
        assert_eq!(text("title", "Quay, \"grey\"").as_deref(), Some("\"Quay, \\\"grey\\\"\""));
    }

    #[test]
    fn a_change_leaves_the_rest_of_the_file_alone() {
        let memory = bobbinwright_folder::Memory::default();
        let folder = Folder::in_memory(memory, "mine");
        let start = super::super::PrinterStart {
            title: "Mine".into(),
            material: Material::Pla,
            holes: super::super::PrinterStart::holes(&[]),
            caliper: None,
            on: jiff::civil::date(2026, 4, 1),
        };
        let before = start.printer();
        let (readings, when) = (start.readings(), When::default());
        assert!(folder.create(&[(READINGS_FILE, &readings), (PRINTER_FILE, &before)]).is_ok());
        assert!(change_ability(&folder, "least_wall", "1.2", when).is_ok());
        let after = read_text(&folder, PRINTER_FILE).unwrap_or_default();
        assert_eq!(after, before.replace("least_wall: mm(0.8)", "least_wall: mm(1.2)"));
        // What can't be read is not written.
        assert!(matches!(change_ability(&folder, "layer", "9", when), Err(NotChanged::Problems(_))));
        assert_eq!(read_text(&folder, PRINTER_FILE).unwrap_or_default(), after);
        let said = PrinterSurvey::load_at(&folder, when).map(|survey| abilities_of(&survey));
        let said: Vec<(&str, Option<String>)> =
            said.into_iter().flatten().map(|(ability, said)| (ability.name, said)).collect();
        assert!(said.contains(&("least_wall", Some("1.2 mm".to_owned()))), "{said:?}");
        assert!(said.contains(&("bed", Some("220 220 240 mm".to_owned()))), "{said:?}");
    }
}
