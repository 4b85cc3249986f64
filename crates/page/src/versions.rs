//! Any two versions of a family compared: as it is now, on a day of its log, as it was built, and other families.

use std::path::PathBuf;

use bobbinwright_core::changes::{Changes, Version};
use bobbinwright_export::changes::{self, Built};
use bobbinwright_export::{bench, earlier, manifest, whose};
use bobbinwright_install::gather;
use bobbinwright_spec::{Book, Survey, When};
use serde_json::{Value, json};

use crate::day::Day;
use crate::desk::Desk;
use crate::say::in_words;
use crate::shelf::Shelf;

/// Days of the log that are offered at most, the latest.
const DAYS: usize = 30;

/// What can be compared: words for the address, and what each is.
pub(crate) fn choices(desk: &Desk, shelf: &Shelf) -> Value {
    let mut all = vec![("now".to_owned(), "as it is now".to_owned())];
    let folder = builds_of(desk, shelf);
    if folder.as_ref().is_some_and(|folder| folder.join(manifest::FILE).is_file()) {
        all.push(("built".into(), "as it was last put into the build folder".into()));
    }
    let mut marks = folder.map(|folder| earlier::marks(&folder)).unwrap_or_default();
    all.extend(marks.iter().map(|mark| (format!("build:{mark}"), format!("build {mark}, before that"))));
    for copy in desk.survey.copies() {
        if !marks.contains(&copy.build) {
            all.push((
                format!("build:{}", copy.build),
                format!("build {}, printed on {}", copy.build, copy.on),
            ));
            marks.push(copy.build);
        }
    }
    let mut days: Vec<String> = desk.survey.lines().iter().map(|line| line.on.to_string()).collect();
    days.sort();
    days.dedup();
    all.extend(days.iter().rev().take(DAYS).map(|day| (format!("day:{day}"), format!("as of {day}"))));
    let others = shelf.standing().into_iter().filter(|other| !other.folder.is(&desk.folder));
    all.extend(others.map(|other| (format!("family:{}", other.id), format!("the family {}", other.id))));
    json!(all)
}

/// What differs between two of them, with pictures of the parts that do.
pub(crate) fn between(desk: &Desk, shelf: &Shelf, [from, to]: [&str; 2], day: Day) -> Result<Value, String> {
    let (earlier, later) = (version(desk, shelf, from, day)?, version(desk, shelf, to, day)?);
    let found = Changes::between(&earlier, &later).map_err(|e| e.to_string())?;
    let files = gather(|sink| changes::write(&found, sink)).map_err(|e| e.to_string())?;
    let pictures: Vec<Value> = files
        .iter()
        .filter_map(|(name, bytes)| Some((name.strip_suffix(".svg")?, bytes)))
        .map(|(name, bytes)| json!({ "name": name, "svg": String::from_utf8_lossy(bytes) }))
        .collect();
    Ok(json!({ "nothing": found.is_none(), "text": found.text(), "pictures": pictures }))
}

fn version(desk: &Desk, shelf: &Shelf, word: &str, day: Day) -> Result<Version, String> {
    let survey = match word.split_once(':').unwrap_or((word, "")) {
        ("now", _) => Ok(desk.survey.clone()),
        ("built", _) => {
            let folder =
                builds_of(desk, shelf).ok_or("no build of this family stands in a folder for builds")?;
            let file = folder.join(manifest::FILE);
            return built(&Built::read(&file).map_err(|e| e.to_string())?, word, day);
        }
        ("build", mark) => {
            let log = desk.survey.log_folder(&desk.folder);
            let before = || earlier::manifest(&builds_of(desk, shelf)?, mark);
            let text = bench::kept(&log, mark)
                .or_else(before)
                .ok_or_else(|| format!("build {mark} is not kept any more"))?;
            let known = Built::of(text.as_bytes(), manifest::FILE.as_ref()).map_err(|e| e.to_string())?;
            return built(&known, word, day);
        }
        ("day", date) => {
            let as_of = date.parse().map_err(|_| format!("{date} is no day"))?;
            Survey::load_at(&desk.folder, When { as_of: Some(as_of), ..day.when })
        }
        ("family", id) => {
            let folder = shelf.folder(id).ok_or_else(|| format!("there is no family {id} here"))?;
            Survey::load_at(&folder, day.when)
        }
        _ => return Err(format!("{word} is nothing to compare")),
    };
    let survey = survey.map_err(|problems| in_words(&problems))?;
    let missing = survey.missing().count();
    if missing > 0 && !survey.problems.has_errors() {
        return Err(format!("Of {word} {missing} readings are missing: there were no parts."));
    }
    Version::new(word, survey).map_err(|problems| in_words(&problems))
}

/// Built again from the texts that a manifest holds.
fn built(known: &Built, name: &str, day: Day) -> Result<Version, String> {
    let when = When { as_of: known.as_of, ..day.when };
    let survey = Survey::read(&known.slug, known.sources.clone(), when);
    survey.and_then(|survey| Version::new(name, survey)).map_err(|problems| in_words(&problems))
}

/// The folder of the family's builds; none where there is none for any, or what stands there is another family's.
fn builds_of(desk: &Desk, shelf: &Shelf) -> Option<PathBuf> {
    // Also of one that can't be made as it is now.
    let family = desk.survey.clone().family().ok()?;
    let folder = whose::folder(shelf.out.as_deref()?, &family);
    whose::standing(&folder, &family).is_none_or(|stands| stands.is_own).then_some(folder)
}
