//! What printed parts teach about the printer: offered, and entered in its log only when asked for.

use std::collections::BTreeMap;
use std::path::Path;

use bobbinwright_export::manifest;
use bobbinwright_spec::{
    Book, Family, NewTool, PrinterSurvey, Quantity, SourceFile, Survey, When, append, with_entry,
};
use serde::Deserialize;

use crate::{Outcome, arguments, complain, profile, say};

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
    printed: BuiltPrint,
}

#[derive(Deserialize)]
struct BuiltPrint {
    drawn: BTreeMap<String, String>,
}

impl Built {
    fn read(file: &Path) -> Option<Self> {
        serde_json::from_slice(&std::fs::read(file).ok()?).ok()
    }

    /// For a size of a part, the name of what was drawn.
    fn drawn(&self, position: &str, part: &str, size: &str) -> Option<&str> {
        let part = self.parts.iter().find(|p| p.position == position && p.part == part)?;
        part.printed.drawn.get(size).map(String::as_str)
    }
}

/// Says what the readings of printed parts would change in the printer's profile; enters them there when
/// that is asked for.
pub(crate) fn what(options: &arguments::Inspect, survey: &Survey, family: &Family) -> Outcome {
    let Some(known) = &survey.sources().printer else {
        // There is no log, and mostly nobody asks.
        let why = "the family says itself what its printer can do; bobbinwright coupon FOLDER --for FAMILY starts a printer's folder";
        return if options.teach { nothing(options, why) } else { Outcome::Fine };
    };
    let (folder, slug) = (&known.folder, known.slug.as_str());
    let printer = match PrinterSurvey::load_at(folder, When::now()) {
        Ok(printer) => printer,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    if !printer.is_begun() {
        return nothing(options, &format!("nothing was read on a coupon of {slug} yet"));
    }
    let file = options.out.join(&survey.slug).join(manifest::FILE);
    let Some(built) = Built::read(&file) else {
        let why = format!(
            "the sizes they were drawn with are not known, since {} can't be read (--out names the folder that builds are in)",
            file.display()
        );
        return nothing(options, &why);
    };
    if built.profile.as_ref().is_none_or(|p| p.printer != slug) {
        let why = format!("the last build in {} was not for {slug}", options.out.display());
        return nothing(options, &why);
    }
    let new = entries(survey, family, &built, &printer);
    if new.is_empty() {
        let why = "since the last build no wall, hole or height was read that its log does not have";
        return nothing(options, why);
    }
    offer(options, &printer, folder, &new)
}

/// How many entries a family's log had when the build in a folder was made.
pub(crate) fn entries_at_build(folder: &Path) -> Option<usize> {
    Built::read(&folder.join(manifest::FILE)).map(|built| built.log_entries)
}

/// Nothing is learnt: wrong only when it was asked for.
fn nothing(options: &arguments::Inspect, why: &str) -> Outcome {
    if options.teach {
        return complain::failure(&format!("nothing was entered in the printer's log: {why}"), false);
    }
    say::line(format_args!("\nThe printer learns nothing from these parts: {why}."));
    Outcome::Fine
}

/// Shows the profile as it would be, and enters the readings when asked to.
fn offer(options: &arguments::Inspect, printer: &PrinterSurvey, folder: &Path, new: &[String]) -> Outcome {
    let Some(log) = printer.problems.files.get(1) else { return Outcome::Fine };
    let entry = new.join("\n");
    let after = printer
        .with_log(SourceFile { name: log.name.clone(), text: with_entry(&log.text, &entry) }, When::now());
    let now = after.and_then(
        |after| {
            if after.problems.has_errors() { Err(after.problems) } else { after.printer() }
        },
    );
    let now = match now {
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
    if !options.teach {
        say::line(format_args!(
            "Nothing of that is entered; bobbinwright inspect {} --teach enters it. Do that before you file or drill a part.",
            options.family.display()
        ));
        return Outcome::Fine;
    }
    match append(folder, &entry, log.text.len()) {
        Ok(()) => {
            let readings = new.iter().filter(|n| n.starts_with("reading(")).count();
            say::line(format_args!("Entered in the printer's log: {readings} readings."));
            Outcome::Fine
        }
        Err(e) => complain::failure(&e.to_string(), false),
    }
}

/// Entries for the printer's log that are not in it yet, of parts of the last build.
fn entries(survey: &Survey, family: &Family, built: &Built, printer: &PrinterSurvey) -> Vec<String> {
    let text = printer.problems.files.get(1).map_or("", |f| f.text.as_str());
    let mut names = Names { printer, given: Vec::new() };
    let mut new: Vec<String> = Vec::new();
    for (position, size) in family.pieces.keys() {
        let part = size.part.name();
        let word = size.to_string();
        let word = word.split_once('.').map_or("", |(_, word)| word);
        let Some(drawn) = built.drawn(position, part, word) else { continue };
        let quantity = Quantity::Piece(position.clone(), *size);
        let spot = format!("{} {position}-{part}", survey.slug);
        for (tool, mut reading) in survey.as_entries(&quantity, built.log_entries, drawn, &spot) {
            let (name, entry) = names.of(&tool);
            reading.with = Some(name);
            let reading = reading.to_string();
            if !text.contains(&reading) {
                new.extend(entry);
                new.push(reading);
            }
        }
    }
    new
}

/// The tools' names in the printer's log.
struct Names<'p> {
    printer: &'p PrinterSurvey,
    /// Tools entered with the readings.
    given: Vec<NewTool>,
}

impl Names<'_> {
    /// The name under which the printer's log knows a tool, and the entry that makes it known if it does
    /// not yet. A name that stands for another tool there is not taken.
    fn of(&mut self, new: &NewTool) -> (String, Option<String>) {
        let mut tool = new.tool.clone();
        for number in 2.. {
            let given = self.given.iter().map(|t| &t.tool).find(|t| t.name == tool.name);
            match given.or(self.printer.tool(&tool.name)) {
                Some(known) if *known == tool => return (tool.name, None),
                Some(_) => tool.name = format!("{} {number}", new.tool.name),
                None => break,
            }
        }
        let entered = NewTool { on: new.on, tool: tool.clone() };
        let entry = entered.to_string();
        self.given.push(entered);
        (tool.name, Some(entry))
    }
}
