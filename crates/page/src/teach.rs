//! What the printed parts teach about the printer: shown first, entered in its log when somebody says so.

use bobbinwright_core::Prepared;
use bobbinwright_export::bench::{self, Lying};
use bobbinwright_export::mixed::ever_printed;
use bobbinwright_export::teach::{Bench, Lesson, NothingLearnt, log_of, of_copies};
use bobbinwright_spec::printer::profile::Profile;
use bobbinwright_spec::{Book, PrinterSurvey, Unit, append, capitalised};
use bobbinwright_words::what_it_does;
use serde::Deserialize;
use serde_json::{Value, json};

use crate::day::Day;
use crate::desk::Desk;
use crate::printer::folder_of;
use crate::say::in_words;

/// What would be learnt: the printer as it is and as it would be; or why nothing is. `said` is the mark on a bag or label.
pub(crate) fn state(
    desk: &Desk,
    built: &Prepared,
    lying: &[Lying],
    said: Option<&str>,
    day: Day,
) -> Result<Value, String> {
    let (printer, lesson) = learnt(desk, built, lying, said, day)?;
    // What is held back until somebody says a mark.
    let held_back = !lesson.to_confirm.is_empty();
    if lesson.entries.is_empty() {
        return Ok(json!({ "why": lesson.odd.join(" "), "heldBack": held_back }));
    }
    let now = lesson.learnt(&printer, day.when).map_err(|problems| in_words(&problems))?;
    let was = printer.printer().ok();
    let does = |profile: Option<&Profile>| {
        profile.map(|profile| does(profile, desk.survey.unit())).unwrap_or_default()
    };
    Ok(json!({
        "readings": lesson.readings(),
        "odd": lesson.odd,
        "heldBack": held_back,
        "mark": said,
        "was": does(was.as_ref().and_then(|was| was.printer.profile())),
        "now": does(now.printer.profile()),
    }))
}

fn does(profile: &Profile, unit: Unit) -> Vec<Value> {
    let all = what_it_does(profile, unit).into_iter();
    all.map(|(label, e)| json!({ "label": label, "value": e.value().as_mm(), "u": e.uncertainty().as_mm() }))
        .collect()
}

fn learnt(
    desk: &Desk,
    built: &Prepared,
    lying: &[Lying],
    said: Option<&str>,
    day: Day,
) -> Result<(PrinterSurvey, Lesson), String> {
    let no_printer = "The family says itself what its printer can do: name a printer on Printer, and it learns from what you print.";
    let folder = folder_of(&desk.folder, &desk.survey).ok_or(no_printer)?;
    let printer = PrinterSurvey::load_at(&folder, day.when).map_err(|problems| in_words(&problems))?;
    let slug = printer.slug.clone();
    let log = desk.survey.log_folder(&desk.folder);
    let others = ever_printed(&desk.folder, &log, &desk.survey, &slug);
    let bench = Bench { others: &others, said };
    match of_copies(&desk.survey, &built.family, lying, &printer, &slug, bench) {
        Ok(lesson) => Ok((printer, lesson)),
        Err(NothingLearnt::NoCoupon(_)) => Err("Its coupon was not read yet: Printer has it.".into()),
        Err(why @ NothingLearnt::NoSuchBuild { .. }) => Err(format!("{}.", capitalised(&why.to_string()))),
        Err(why) => Err(format!("The printer learns nothing from these parts: {why}.")),
    }
}

/// Said by whoever saw what would be learnt, or looked at the bag.
#[derive(Debug, Deserialize)]
pub(crate) struct Taught {
    /// The files as the page saw them.
    rev: String,
    /// The mark of a build, as it stands on a copy's bag or label; nothing where nobody was asked.
    #[serde(default)]
    mark: String,
}

impl Taught {
    fn mark(&self) -> Option<&str> {
        Some(self.mark.trim()).filter(|mark| !mark.is_empty())
    }
}

/// What would be learnt where a copy is of the build that somebody read on its bag; nothing is entered.
pub(crate) fn with_mark(desk: &Desk, said: &Taught, day: Day) -> Result<Value, String> {
    let mark = said.mark().ok_or("Type the mark that is on its bag or label, like 7d8ac923.")?;
    let (built, lying) = bench_of(desk, day)?;
    state(desk, built, &lying, Some(mark), day)
}

fn bench_of(desk: &Desk, day: Day) -> Result<(&Prepared, Vec<Lying>), String> {
    let built = desk.built().ok_or("There are no parts yet: look at Fit.")?;
    Ok((built, bench::lying(&desk.survey.log_folder(&desk.folder), &desk.survey, day.when)))
}

/// Enters what is learnt in the printer's log.
pub(crate) fn enter(desk: &Desk, said: &Taught, day: Day) -> Result<Value, String> {
    if said.rev != desk.rev {
        return Err(
            "The files were changed meanwhile; nothing was entered. Look at what would be learnt now.".into(),
        );
    }
    let (built, lying) = bench_of(desk, day)?;
    let (printer, lesson) = learnt(desk, built, &lying, said.mark(), day)?;
    if lesson.entries.is_empty() {
        return Err(lesson.odd.join(" "));
    }
    // What can't be read is not entered.
    lesson.learnt(&printer, day.when).map_err(|problems| in_words(&problems))?;
    let folder = folder_of(&desk.folder, &desk.survey).ok_or("The family names no printer's folder yet.")?;
    append(&folder, &lesson.entries.join("\n"), log_of(&printer)).map_err(|e| e.to_string())?;
    Ok(json!({ "readings": lesson.readings() }))
}
