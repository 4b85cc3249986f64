//! Files of a family, made when somebody asks for them and kept as long as the family stays as it is.

use std::collections::HashMap;
use std::io::{Cursor, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use bobbinwright_core::Prepared;
use bobbinwright_core::changes::{Changes, Version};
use bobbinwright_core::room::more_room;
use bobbinwright_export::changes::{Built as Drawn, NotRead};
use bobbinwright_export::sheet::{self, Paper};
use bobbinwright_export::winding::{self, Winding};
use bobbinwright_export::{bench, changes, earlier, manifest, whose};
use bobbinwright_fit::Verdict;
use bobbinwright_install::{Sink, gather};
use bobbinwright_spec::{Book, PrinterSurvey, Survey, When, capitalised};
use bobbinwright_words::room::room_for_coils;
use serde::Deserialize;
use serde_json::{Value, json};
use zip::write::SimpleFileOptions;

use crate::day::Day;
use crate::desk::Desk;
use crate::inspect;
use crate::printer::folder_of;
use crate::say::in_words;

/// What can be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum What {
    /// Parts, plates, drawings, report.
    Print,
    /// Winding sheets.
    Wind,
    /// Measuring sheets.
    Sheet,
    /// What changed since the last build.
    Versions,
    /// The sheet for the printed parts, and how they came out.
    Inspect,
    /// The printer's test piece and its sheet.
    Coupon,
}

impl What {
    pub fn named(word: &str) -> Option<Self> {
        Some(match word {
            "print" => What::Print,
            "wind" => What::Wind,
            "sheet" => What::Sheet,
            "versions" => What::Versions,
            "inspect" => What::Inspect,
            "coupon" => What::Coupon,
            _ => return None,
        })
    }
}

/// Files that belong together.
pub(crate) struct Made {
    rev: String,
    /// By name.
    pub files: Vec<(String, Vec<u8>)>,
    /// What else there is to say.
    pub words: Value,
}

/// What was made last, of each kind.
#[derive(Default)]
pub(crate) struct Maker {
    kept: Mutex<HashMap<(PathBuf, What), Arc<Made>>>,
    /// Builds of which files were handed out since the program runs.
    taken: Mutex<Vec<(PathBuf, Arc<Made>)>>,
}

/// So many builds that were handed out are remembered.
const TAKEN: usize = 20;

impl Maker {
    /// Remembers that files of a build were handed out: they may be printed after something was changed.
    pub fn hand_out(&self, desk: &Desk, made: &Arc<Made>) {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        let folder = desk.folder.path();
        if taken.iter().any(|(of, known)| of == folder && known.rev == made.rev) {
            return;
        }
        if taken.len() >= TAKEN {
            taken.remove(0);
        }
        taken.push((folder.to_owned(), made.clone()));
    }

    /// The manifest of a build, by its mark: what would be made now, what was handed out, what was printed from before, what
    /// lies in the build folder. None where it is none of them.
    pub fn manifest(
        &self,
        mark: &str,
        desk: &Desk,
        out: Option<&Path>,
        day: Day,
    ) -> Result<Option<String>, String> {
        let is_it = |text: &str| {
            Drawn::of(text.as_bytes(), manifest::FILE.as_ref()).is_ok_and(|built| built.mark == mark)
        };
        let made = self.of(What::Print, desk, out, day)?;
        let taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        let own = taken.iter().filter(|(of, _)| of == desk.folder.path()).map(|(_, made)| made);
        let mut known = std::iter::once(&made).chain(own).filter_map(|made| manifest_in(&made.files));
        if let Some(found) = known.find(|text| is_it(text)) {
            return Ok(Some(found.to_owned()));
        }
        if let Some(found) = bench::kept(&desk.survey.log_folder(&desk.folder), mark) {
            return Ok(Some(found));
        }
        let Some(out) = out else { return Ok(None) };
        // It may have been called otherwise when that was built.
        let named = out.join(&desk.survey.slug);
        let renamed = desk.built().map(|built| whose::renamed(out, &built.family)).unwrap_or_default();
        let of = |folder: &PathBuf| {
            let lies = std::fs::read_to_string(folder.join(manifest::FILE)).ok().filter(|text| is_it(text));
            lies.or_else(|| earlier::manifest(folder, mark))
        };
        Ok(std::iter::once(&named).chain(&renamed).find_map(of))
    }

    /// The files of a kind; made if they are not there yet.
    pub fn of(&self, what: What, desk: &Desk, out: Option<&Path>, day: Day) -> Result<Arc<Made>, String> {
        let key = (desk.folder.path().to_owned(), what);
        // What is compared with is another folder's and may change by itself.
        if what != What::Versions {
            let kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some(made) = kept.get(&key).filter(|m| m.rev == desk.rev) {
                return Ok(made.clone());
            }
        }
        let (files, words) = make(what, desk, out, day)?;
        let made = Arc::new(Made { rev: desk.rev.clone(), files, words });
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        kept.retain(|(folder, _), _| folder == desk.folder.path());
        kept.insert(key, made.clone());
        Ok(made)
    }
}

type Files = (Vec<(String, Vec<u8>)>, Value);

fn make(what: What, desk: &Desk, out: Option<&Path>, day: Day) -> Result<Files, String> {
    match what {
        What::Sheet => return sheets(desk),
        What::Coupon => return coupon(desk, day),
        _ => {}
    }
    let built = match &desk.prepared {
        None => return Err("Readings are missing: there are no parts yet.".into()),
        Some(Err(problems)) => return Err(in_words(problems)),
        Some(Ok(built)) => built,
    };
    match what {
        What::Print | What::Sheet | What::Coupon => {
            let mut files = files(|sink| bobbinwright_export::write(built, &desk.survey, None, sink, || ()))?;
            let mut list = json_of(&files, manifest::FILE);
            list["mark"] = json!(
                manifest_in(&files)
                    .and_then(|text| Some(Drawn::of(text.as_bytes(), manifest::FILE.as_ref()).ok()?.mark))
            );
            let pictures: Vec<_> = files.iter().filter_map(|(name, bytes)| picture(name, bytes)).collect();
            files.extend(pictures);
            Ok((files, list))
        }
        What::Inspect => inspect::made(desk, built, day),
        What::Wind => wind(built),
        What::Versions => versions(desk, built, out, day),
    }
}

fn files<E: std::fmt::Display>(
    make: impl FnOnce(&Sink) -> Result<(), E>,
) -> Result<Vec<(String, Vec<u8>)>, String> {
    gather(make).map_err(|e| e.to_string())
}

fn json_of(files: &[(String, Vec<u8>)], name: &str) -> Value {
    let found = files.iter().find(|(n, _)| n == name);
    found.and_then(|(_, bytes)| serde_json::from_slice(bytes).ok()).unwrap_or_default()
}

/// The picture that a plate's file has in it.
fn picture(name: &str, bytes: &[u8]) -> Option<(String, Vec<u8>)> {
    let stem = name.strip_suffix(".3mf")?;
    let mut package = zip::ZipArchive::new(Cursor::new(bytes)).ok()?;
    let mut png = Vec::new();
    package.by_name("Metadata/thumbnail.png").ok()?.read_to_end(&mut png).ok()?;
    Some((format!("{stem}.png"), png))
}

fn sheets(desk: &Desk) -> Result<Files, String> {
    let sheet = sheet::measuring_sheet(&desk.survey, desk.built(), Paper::A4);
    let title = format!("Measuring sheet: {}", desk.survey.title);
    let of = desk.survey.sources().identity();
    let files = files(|sink| sheet::write(&desk.survey.slug, &title, &sheet.pages, of, sink))?;
    Ok((files, json!({ "pages": sheet.pages.len() })))
}

fn coupon(desk: &Desk, day: Day) -> Result<Files, String> {
    let folder = folder_of(&desk.folder, &desk.survey).ok_or("The family names no printer's folder yet.")?;
    let survey = PrinterSurvey::load_at(&folder, day.when).map_err(|problems| in_words(&problems))?;
    let files = files(|sink| sheet::coupon::write(&survey, Paper::A4, sink))?;
    Ok((files, json!({ "slug": survey.slug })))
}

/// The manifest among a build's files.
pub(crate) fn manifest_in(files: &[(String, Vec<u8>)]) -> Option<&str> {
    let (_, bytes) = files.iter().find(|(name, _)| name == manifest::FILE)?;
    std::str::from_utf8(bytes).ok()
}

fn wind(built: &Prepared) -> Result<Files, String> {
    let windings = Winding::all(built, winding::WORKSHOP);
    if windings.is_empty() {
        let lines = room_for_coils(&built.family).into_iter().chain(more_room(built));
        return Err(lines.collect::<Vec<_>>().join(" "));
    }
    let together = winding::together(&windings);
    let mut all = files(|sink| winding::write(built, &windings, Paper::A4, sink))?;
    let next = next_coils(built)?;
    let words = json!({ "positions": coils(&windings), "together": together, "next": next.1 });
    all.extend(next.0);
    Ok((all, words))
}

fn coils(windings: &[Winding]) -> Vec<Value> {
    let coil = |w: &Winding| {
        let hindered = w.hindrances().count() > 0;
        json!({ "position": w.position.name, "facts": w.facts(), "hindered": hindered })
    };
    windings.iter().map(coil).collect()
}

/// Coils that are wanted and are another than those on the bobbins, and their sheets; nothing where there are none.
fn next_coils(built: &Prepared) -> Result<Files, String> {
    let others = built.family.positions.iter().filter(|position| position.next_coil().is_some());
    let others: Vec<&str> = others.map(|position| position.name.as_str()).collect();
    if others.is_empty() {
        return Ok((Vec::new(), json!([])));
    }
    let next = built.for_next_coils().map_err(|problems| in_words(&problems))?;
    let mut windings = Winding::all(&next, winding::WORKSHOP);
    windings.retain(|winding| others.contains(&winding.position.name.as_str()));
    let made = files(|sink| winding::write(&next, &windings, Paper::A4, sink))?;
    let named = made.into_iter().map(|(name, bytes)| (format!("next-{name}"), bytes));
    Ok((named.collect(), json!(coils(&windings))))
}

fn versions(desk: &Desk, built: &Prepared, out: Option<&Path>, day: Day) -> Result<Files, String> {
    let now = "the family as it is now";
    let now = bench::version(&desk.folder, now, desk.survey.clone(), day.when).map_err(|p| in_words(&p))?;
    let lying = bench::lying(&desk.survey.log_folder(&desk.folder), &desk.survey, day.when);
    let copies = lying.iter().map(|lies| (&lies.copy, lies.source().ok().map(|source| &source.version)));
    if let Some(found) = Changes::of_copies(&copies.collect::<Vec<_>>(), &now) {
        let unknown = lying.iter().filter_map(|lies| Some((&lies.copy, lies.source().err()?)));
        let unknown: Vec<String> =
            unknown.map(|(copy, why)| format!("How {copy} was drawn is not known: {why}.")).collect();
        return compared(
            &found.map_err(|e| e.to_string())?,
            "the copies on the bench, each as it was drawn for its own build",
            &unknown,
        );
    }
    let Some(out) = out else {
        return Err("The log knows of no printed part yet. Say on Print what went on the printer; what changes from then on is shown here.".into());
    };
    let folder = whose::folder(out, &built.family);
    if let Some(other) = whose::standing(&folder, &built.family).filter(|s| !s.is_own) {
        return Err(format!("The build in {} is of another family, {}.", folder.display(), other.title));
    }
    let file = folder.join(manifest::FILE);
    let earlier = Drawn::read(&file).map_err(|e| {
        let first_build = matches!(e, NotRead::NotBuilt { .. });
        let hint = if first_build {
            ". Put the files there once, on Print; what changes from then on is shown here"
        } else {
            ""
        };
        capitalised(&format!("{e}{hint}."))
    })?;
    let when = When { as_of: earlier.as_of, ..day.when };
    let folder = file.parent().unwrap_or(out).display().to_string();
    let before = Survey::read(&earlier.slug, earlier.sources.clone(), when);
    let before = before.and_then(|survey| Version::new(format!("the build in {folder}"), survey));
    let before = before.map_err(|p| in_words(&p))?;
    let found = Changes::between(&before, &now).map_err(|e| e.to_string())?;
    compared(&found, &format!("the build in {folder}"), &[])
}

/// What changed, and beside what.
fn compared(found: &Changes, with: &str, unknown: &[String]) -> Result<Files, String> {
    let files = files(|sink| changes::write(found, sink))?;
    let mut words = json_of(&files, changes::LIST);
    words["nothing"] = json!(found.is_none());
    words["compared_with"] = json!(with);
    words["unknown"] = json!(unknown);
    words["text"] = json!(found.text());
    Ok((files, words))
}

/// How files are to be put there.
#[derive(Debug, Deserialize)]
pub(crate) struct Building {
    /// Also where something clashes.
    #[serde(default)]
    pub anyway: bool,
}

/// Puts the files of a build where the program puts them; says what is there.
pub(crate) fn build(desk: &Desk, out: Option<&Path>, anyway: bool) -> Result<Value, String> {
    let Some(built) = desk.built() else { return Err("There are no parts yet: look at Fit.".into()) };
    if built.fit.verdict() == Verdict::Clashes && !anyway {
        return Err("Something clashes: nothing was written. Fit says what to change.".into());
    }
    let Some(out) = out else {
        return Err("A browser has no folder for builds: take the files as a ZIP.".into());
    };
    let folder = out.join(&built.family.slug);
    let done = bobbinwright_export::build(built, &desk.survey, &folder, || ()).map_err(|e| e.to_string())?;
    Ok(
        json!({ "folder": folder.display().to_string(), "files": done.files.len(), "changed": done.changed, "kept": done.kept }),
    )
}

/// All files in one, in the order of their names, without dates: the same files give the same bytes.
pub(crate) fn zipped(folder: &str, files: &[(String, Vec<u8>)]) -> Result<Vec<u8>, String> {
    let options = SimpleFileOptions::default().last_modified_time(zip::DateTime::default());
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        let name = format!("{folder}/{name}");
        zip.start_file(name, options).map_err(|e| e.to_string())?;
        zip.write_all(bytes).map_err(|e| e.to_string())?;
    }
    Ok(zip.finish().map_err(|e| e.to_string())?.into_inner())
}
