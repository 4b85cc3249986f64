//! What printed parts teach about the printer: offered, and entered in its log only when asked for.

use bobbinwright_clock as clock;
use std::collections::BTreeMap;
use std::path::Path;

use bobbinwright_export::bench::Lying;
use bobbinwright_export::mixed::ever_printed;
use bobbinwright_export::teach::{self, Bench, Lesson, NothingLearnt, Read};
use bobbinwright_export::{manifest, whose};
use bobbinwright_spec::{Book, Family, Folder, PrinterSurvey, Survey, append, part_name};
use serde::Deserialize;

use crate::outcome::Outcome;
use crate::{arguments, complain, profile, say};

/// What a manifest says of the sizes that its parts were drawn with.
#[derive(Deserialize)]
struct Built {
    log_entries: usize,
    parts: Vec<BuiltPart>,
    profile: Option<BuiltFor>,
}

#[derive(Deserialize)]
struct BuiltFor {
    printer: String,
}

#[derive(Deserialize)]
struct BuiltPart {
    position: String,
    part: String,
    #[serde(default)]
    printed: BuiltPrint,
}

#[derive(Default, Deserialize)]
struct BuiltPrint {
    drawn: BTreeMap<String, String>,
}

impl Built {
    fn read(file: &Path) -> Option<Self> {
        serde_json::from_slice(&bobbinwright_install::read_file(file).ok()?).ok()
    }

    /// For a size of a part, the name of what was drawn.
    fn drawn(&self, position: &str, part: &str, size: &str) -> Option<&str> {
        let part = self.parts.iter().find(|p| p.position == position && p.part == part)?;
        part.printed.drawn.get(size).map(String::as_str)
    }
}

/// Says what the readings of printed parts would change in the printer's profile; enters them there when
/// that is asked for.
pub(crate) fn what(
    options: &arguments::Inspect,
    survey: &Survey,
    family: &Family,
    lying: &[Lying],
) -> Outcome {
    let Some(known) = &survey.sources().printer else {
        // There is no log, and mostly nobody asks.
        let why = NothingLearnt::NoPrinter.to_string();
        return if options.teach.is_some() { nothing(options, &why) } else { Outcome::Fine };
    };
    let (folder, slug) = (&known.folder, known.slug.as_str());
    let printer = match PrinterSurvey::load_at(&Folder::on_disk(folder), clock::now()) {
        Ok(printer) => printer,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    if !printer.is_begun() {
        return nothing(options, &NothingLearnt::NoCoupon(slug.to_owned()).to_string());
    }
    if !lying.is_empty() {
        return of_copies(options, survey, family, lying, &printer);
    }
    let folder_of_build = whose::folder(&options.out, family);
    let file = folder_of_build.join(manifest::FILE);
    let Some(built) = Built::read(&file) else {
        let why = format!(
            "the sizes they were drawn with are not known, since {} can't be read (--out names the folder that builds are in)",
            file.display()
        );
        return nothing(options, &why);
    };
    let Some(stands) = whose::standing(&folder_of_build, family) else {
        let why = format!("{} does not tell what the build was made from", file.display());
        return nothing(options, &why);
    };
    if !stands.is_own {
        let why = format!(
            "the build in {} is of another family, {:?} (--out names the folder that builds are in)",
            folder_of_build.display(),
            stands.title
        );
        return nothing(options, &why);
    }
    if built.profile.as_ref().is_none_or(|p| p.printer != slug) {
        let why = format!("the last build in {} was not for {slug}", options.out.display());
        return nothing(options, &why);
    }
    let read = family.pieces.iter().filter_map(|((position, size), estimate)| {
        let part = part_name(position, size.part);
        let word = size.to_string();
        let drawn = built.drawn(position, size.part.name(), word.split_once('.')?.1)?;
        let spot = format!("{} {part}", survey.slug);
        Some(Read::new(position, *size, estimate, drawn, spot, built.log_entries))
    });
    let lesson = teach::entries(survey, family, &read.collect::<Vec<_>>(), &printer);
    for line in &lesson.odd {
        say::line(line);
    }
    if lesson.entries.is_empty() && !lesson.odd.is_empty() {
        return nothing(options, "what was read is not of parts that this build drew");
    }
    if lesson.entries.is_empty() {
        let why = "since the last build no wall, hole or height was read that its log does not have";
        return nothing(options, why);
    }
    // What was printed before that build was drawn otherwise, and nothing on the bench tells which it was.
    let confirmed = match &options.teach {
        None => false,
        Some(mark) if *mark == stands.mark => true,
        Some(given) => {
            let given = if given.is_empty() { String::new() } else { format!(", not {given}") };
            let why = format!(
                "say from which build the parts were printed. The one in {} is {}{given}, of a log of {} entries, and its report says so. If the parts are from it: bobbinwright inspect {} --teach={}. Parts of an earlier build are said by their mark, before they are read: bobbinwright printed {} --build MARK",
                folder_of_build.display(),
                stands.mark,
                built.log_entries,
                say::typed(&options.family),
                stands.mark,
                say::typed(&options.family)
            );
            return nothing(options, &why);
        }
    };
    offer(options, &printer, folder, &lesson, Some(&stands.mark), confirmed)
}

/// The same where the log knows of which copies was read, and so how they were drawn.
fn of_copies(
    options: &arguments::Inspect,
    survey: &Survey,
    family: &Family,
    lying: &[Lying],
    printer: &PrinterSurvey,
) -> Outcome {
    let Some(known) = &survey.sources().printer else { return Outcome::Fine };
    let own = Folder::on_disk(&options.family);
    let others = ever_printed(&own, &survey.log_folder(&own), survey, &known.slug);
    let said = options.teach.as_deref().filter(|mark| !mark.is_empty());
    let bench = Bench { others: &others, said };
    let lesson = match teach::of_copies(survey, family, lying, printer, &known.slug, bench) {
        Ok(lesson) => lesson,
        Err(why) => return nothing(options, &why.to_string()),
    };
    for line in &lesson.odd {
        say::line(line);
    }
    for mark in &lesson.to_confirm {
        say::line(format_args!(
            "If its bag or label says build {mark}, bobbinwright inspect {} --teach={mark} enters it all the same.",
            say::typed(&options.family)
        ));
    }
    if lesson.entries.is_empty() {
        return nothing(options, "what was read does not go with how they were drawn");
    }
    offer(options, printer, &known.folder, &lesson, None, options.teach.is_some())
}

/// How many entries a family's log had when the build in a folder was made.
pub(crate) fn entries_at_build(folder: &Path) -> Option<usize> {
    Built::read(&folder.join(manifest::FILE)).map(|built| built.log_entries)
}

/// Nothing is learnt: wrong only when it was asked for.
fn nothing(options: &arguments::Inspect, why: &str) -> Outcome {
    if options.teach.is_some() {
        return complain::failure(&format!("nothing was entered in the printer's log: {why}"), false);
    }
    say::line(format_args!("\nThe printer learns nothing from these parts: {why}."));
    Outcome::Fine
}

/// Shows the profile as it would be, and enters the readings when asked to.
fn offer(
    options: &arguments::Inspect,
    printer: &PrinterSurvey,
    folder: &Path,
    lesson: &Lesson,
    mark: Option<&str>,
    confirmed: bool,
) -> Outcome {
    let now = match lesson.learnt(printer, clock::now()) {
        Ok(now) => now,
        Err(problems) => {
            // They stand in no file that could be shown.
            let all: Vec<&str> = problems.all.iter().map(|p| p.message.as_str()).collect();
            return nothing(options, &all.join("; "));
        }
    };
    let was = printer.clone().printer().ok();
    if let Some(now) = now.printer.profile() {
        say::line("\nWith these parts' readings among the printer's:");
        say::text(profile::compared(now, was.as_ref().and_then(|was| was.printer.profile())));
    }
    if !confirmed {
        let folder = say::typed(&options.family);
        match mark {
            Some(mark) => say::line(format_args!(
                "Nothing of that is entered. If the parts were printed from the build {mark}, which its report names, bobbinwright inspect {folder} --teach={mark} enters it. Do that before you file or drill a part."
            )),
            None => say::line(format_args!(
                "Nothing of that is entered; bobbinwright inspect {folder} --teach enters it. Do that before you file or drill a part."
            )),
        }
        return Outcome::Fine;
    }
    match append(&Folder::on_disk(folder), &lesson.entries.join("\n"), teach::log_of(printer)) {
        Ok(()) => {
            let readings = lesson.readings();
            let word = if readings == 1 { "reading" } else { "readings" };
            say::line(format_args!("Entered in the printer's log: {readings} {word}."));
            Outcome::Fine
        }
        Err(e) => complain::failure(&e.to_string(), false),
    }
}
