//! The printer of a family: chosen among those beside it or started, its coupon, and what that tells.

use bobbinwright_core::want::Wanting;
use bobbinwright_spec::edit::Scope;
use bobbinwright_spec::printer::material::Material;
use bobbinwright_spec::{
    Ability, AbilityKind, Estimate, Folder, NotChanged, PRINTER_FILE, PrinterStart, PrinterSurvey, Quantity,
    READINGS_FILE, Survey, Surveyed, Unit, abilities_of, capitalised, change_ability,
};
use bobbinwright_words::{what_it_does, where_from};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::day::Day;
use crate::desk::Desk;
use crate::names::checked;
use crate::say::{in_words, sentence};
use crate::wishes::words;

/// The folder of the printer that a family names; none where the family says itself what its printer can do.
pub(crate) fn folder_of(folder: &Folder, survey: &Survey) -> Option<Folder> {
    survey.sources().printer.as_ref().map(|files| folder.at(&files.folder))
}

/// Where printers' folders lie: beside the family's.
fn beside(folder: &Folder) -> Folder {
    let parent = folder.path().parent().filter(|parent| !parent.as_os_str().is_empty());
    parent.map_or_else(|| folder.join(".."), |parent| folder.at(parent))
}

/// What is known of the printer, and which others there are.
pub(crate) fn state(desk: &Desk, day: Day) -> Value {
    let folder = folder_of(&desk.folder, &desk.survey);
    let others = beside(&desk.folder).folders().unwrap_or_default();
    let others = others.iter().filter(|other| PrinterSurvey::is_one(other));
    let others: Vec<Value> = others
        .filter(|other| folder.as_ref().is_none_or(|own| !own.is(other)))
        .filter_map(|other| {
            let title = PrinterSurvey::load_at(other, day.when).ok()?.title;
            Some(json!({ "folder": other.name()?, "title": title }))
        })
        .collect();
    let materials: Vec<Value> = Material::ALL.iter().map(|(name, m)| json!([name, m.title()])).collect();
    let printer = folder.map(|folder| match PrinterSurvey::load_at(&folder, day.when) {
        Ok(survey) => one(&folder, &survey, desk.survey.unit()),
        Err(problems) => json!({ "why": in_words(&problems) }),
    });
    json!({ "printer": printer, "others": others, "materials": materials })
}

fn one(folder: &Folder, survey: &PrinterSurvey, unit: Unit) -> Value {
    let of_coupon = survey.coupon.sizes().len();
    let sizes = survey.sizes.iter().take(of_coupon);
    let size = |(number, known): (usize, &Surveyed)| {
        json!({
            "number": number, "name": known.quantity.to_string(), "what": known.quantity.describe(),
            "wanted": drawn(&known.quantity), "missing": known.missing, "value": mm(known.estimate.as_ref()), "u": doubt(known.estimate.as_ref()),
            "readings": known.taken.map(|taken| taken.readings),
        })
    };
    let profile = survey.clone().printer().ok().and_then(|known| known.printer.profile().cloned());
    let does: Option<Vec<Value>> = profile.as_ref().map(|profile| {
        let does = what_it_does(profile, unit).into_iter();
        does.map(
            |(label, e)| json!({ "label": label, "value": e.value().as_mm(), "u": e.uncertainty().as_mm() }),
        )
        .collect()
    });
    json!({
        "folder": folder.path().display().to_string(),
        "title": survey.title,
        "material": survey.material().title(),
        "slug": survey.slug,
        "entries": survey.entries,
        "sizes": (1..).zip(sizes).map(size).collect::<Vec<_>>(),
        "missing": survey.missing().count(),
        "does": does,
        "from": profile.as_ref().map(where_from),
        "abilities": abilities_of(survey).iter().map(|(ability, said)| able(ability, said.as_deref())).collect::<Vec<_>>(),
        "problems": survey.problems.all.iter().map(sentence).collect::<Vec<_>>(),
    })
}

/// What is said of a printer, and how it is said.
fn able(ability: &Ability, said: Option<&str>) -> Value {
    let words = (ability.kind == AbilityKind::Material).then(|| {
        Material::ALL.iter().map(|(word, material)| json!([word, material.title()])).collect::<Vec<_>>()
    });
    json!({ "name": ability.name, "what": ability.what, "value": said, "words": words })
}

/// What a size of the coupon is drawn to, mm.
fn drawn(quantity: &Quantity) -> Option<f64> {
    match quantity {
        Quantity::Coupon(size) => Some(size.drawn().as_mm()),
        _ => None,
    }
}

fn mm(known: Option<&Estimate>) -> Option<f64> {
    known.map(|e| e.value().as_mm())
}

fn doubt(known: Option<&Estimate>) -> Option<f64> {
    known.map(|e| e.uncertainty().as_mm())
}

/// Something else that the printer can do.
#[derive(Debug, Deserialize)]
pub(crate) struct Able {
    /// By its name in the printer's file.
    name: String,
    value: String,
    /// The files as the page saw them.
    rev: String,
}

/// Says something else of the printer that the family names.
pub(crate) fn change(desk: &Desk, said: &Able, day: Day) -> Result<Value, String> {
    if said.rev != desk.rev {
        return Err("The files were changed meanwhile; nothing was written. Look at what is there now, and type it again.".into());
    }
    let folder = folder_of(&desk.folder, &desk.survey).ok_or("The family names no printer's folder yet.")?;
    match change_ability(&folder, &said.name, &said.value, day.when) {
        Ok(()) => Ok(json!({ "name": said.name })),
        Err(NotChanged::Problems(problems)) => Err(in_words(&problems)),
        Err(not) => Err(capitalised(&format!("{not}."))),
    }
}

/// A printer that somebody starts, or chooses by its folder's name.
#[derive(Debug, Deserialize)]
pub(crate) struct Chosen {
    folder: String,
    /// By its word; of one that is started.
    #[serde(default)]
    material: Option<String>,
}

/// Starts a printer's folder beside the family's where a material is said, and has the family name it.
pub(crate) fn choose(desk: &Desk, chosen: &Chosen, day: Day) -> Result<Value, String> {
    let name = checked(&chosen.folder)?;
    let folder = beside(&desk.folder).join(name);
    if let Some(word) = &chosen.material {
        let found = Material::ALL.iter().find(|(known, _)| known == word);
        let (_, material) = found.ok_or_else(|| format!("there is no material {word}"))?;
        start(desk, &folder, name, *material, day)?;
    } else if !PrinterSurvey::is_one(&folder) {
        return Err(format!("{} is no printer's folder", folder.path().display()));
    }
    let wanting = Wanting { path: "printer".into(), value: format!("../{name}"), scope: Scope::All };
    wanting.set(&desk.folder, &desk.survey, day.when, true).map_err(|not| words(&not))?;
    Ok(json!({ "folder": folder.path().display().to_string() }))
}

fn start(desk: &Desk, folder: &Folder, name: &str, material: Material, day: Day) -> Result<(), String> {
    if folder.is_there() {
        return Err(format!("There is a folder {name} already: choose another name."));
    }
    let start = PrinterStart {
        title: format!("{name}, {}", material.title()),
        material,
        holes: PrinterStart::holes(&desk.survey.holes()),
        caliper: desk.survey.caliper(day.today),
        on: day.today,
    };
    let files = [(READINGS_FILE, start.readings()), (PRINTER_FILE, start.printer())];
    let [a, b] = &files;
    folder
        .create(&[(a.0, &a.1), (b.0, &b.1)])
        .map_err(|e| format!("{} can't be written: {e}", folder.path().display()))
}
