//! What the printed parts teach about the printer: shown first, entered in its log when somebody says so.

use bobbinwright_core::Prepared;
use bobbinwright_export::bench::{self, Lying};
use bobbinwright_export::mixed::ever_printed;
use bobbinwright_export::teach::{Bench, Lesson, NothingLearnt, log_of, of_copies};
use bobbinwright_spec::printer::profile::Profile;
use bobbinwright_spec::{Book, PrinterSurvey, append};
use bobbinwright_words::what_it_does;
use serde::Deserialize;
use serde_json::{Value, json};

use crate::day::Day;
use crate::desk::Desk;
use crate::printer::folder_of;
use crate::say::in_words;

/// What would be learnt: the printer as it is and as it would be; or why nothing is.
pub(crate) fn state(desk: &Desk, built: &Prepared, lying: &[Lying], day: Day) -> Value {
    match learnt(desk, built, lying, day) {
        Ok((printer, lesson)) => match lesson.learnt(&printer, day.when) {
            Ok(now) => {
                let was = printer.printer().ok();
                let does = |profile: Option<&Profile>| profile.map(does).unwrap_or_default();
                json!({
                    "readings": lesson.readings(),
                    "odd": lesson.odd,
                    "was": does(was.as_ref().and_then(|was| was.printer.profile())),
                    "now": does(now.printer.profile()),
                })
            }
            Err(problems) => json!({ "why": in_words(&problems) }),
        },
        Err(why) => json!({ "why": why }),
    }
}

fn does(profile: &Profile) -> Vec<Value> {
    let all = what_it_does(profile).into_iter();
    all.map(|(label, e)| json!({ "label": label, "value": e.value().as_mm(), "u": e.uncertainty().as_mm() }))
        .collect()
}

fn learnt(
    desk: &Desk,
    built: &Prepared,
    lying: &[Lying],
    day: Day,
) -> Result<(PrinterSurvey, Lesson), String> {
    let no_printer = "The family says itself what its printer can do: name a printer on Printer, and it learns from what you print.";
    let folder = folder_of(&desk.folder, &desk.survey).ok_or(no_printer)?;
    let printer = PrinterSurvey::load_at(&folder, day.when).map_err(|problems| in_words(&problems))?;
    let slug = printer.slug.clone();
    let log = desk.survey.log_folder(&desk.folder);
    let others = ever_printed(&desk.folder, &log, &desk.survey, &slug);
    let bench = Bench { others: &others, said: None };
    match of_copies(&desk.survey, &built.family, lying, &printer, &slug, bench) {
        Ok(lesson) if lesson.entries.is_empty() => Err(lesson.odd.join(" ")),
        Ok(lesson) => Ok((printer, lesson)),
        Err(NothingLearnt::NoCoupon(_)) => Err("Its coupon was not read yet: Printer has it.".into()),
        Err(why) => Err(format!("The printer learns nothing from these parts: {why}.")),
    }
}

/// Said by whoever saw what would be learnt.
#[derive(Debug, Deserialize)]
pub(crate) struct Taught {
    /// The files as the page saw them.
    rev: String,
}

/// Enters what is learnt in the printer's log.
pub(crate) fn enter(desk: &Desk, said: &Taught, day: Day) -> Result<Value, String> {
    if said.rev != desk.rev {
        return Err(
            "The files were changed meanwhile; nothing was entered. Look at what would be learnt now.".into(),
        );
    }
    let built = desk.built().ok_or("There are no parts yet: look at Fit.")?;
    let lying = bench::lying(&desk.survey.log_folder(&desk.folder), &desk.survey, day.when);
    let (printer, lesson) = learnt(desk, built, &lying, day)?;
    // What can't be read is not entered.
    lesson.learnt(&printer, day.when).map_err(|problems| in_words(&problems))?;
    let folder = folder_of(&desk.folder, &desk.survey).ok_or("The family names no printer's folder yet.")?;
    append(&folder, &lesson.entries.join("\n"), log_of(&printer)).map_err(|e| e.to_string())?;
    Ok(json!({ "readings": lesson.readings() }))
}
