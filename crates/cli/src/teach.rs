//! What printed parts teach about the printer: offered, and entered in its log only when asked for.

use std::collections::BTreeMap;
use std::path::Path;

use bobbinwright_export::{Prepared, manifest};
use bobbinwright_fit::Deciding;
use bobbinwright_spec::{Quantity, SourceFile, Survey, append, with_entry};
use serde::Deserialize;

use crate::book::Book;
use crate::{Outcome, arguments, complain, profile, say};
use bobbinwright_spec::PrinterSurvey;

/// What a manifest says of the sizes that its parts were drawn with.
#[derive(Deserialize)]
struct Built {
    parts: Vec<BuiltPart>,
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

/// Says what the readings of printed parts would change in the printer's profile; enters them there when
/// that is asked for.
pub(crate) fn what(
    options: &arguments::Inspect,
    survey: &Survey,
    prepared: &Prepared,
    sizes: &[Deciding],
) -> Outcome {
    let Some(path) = survey.printer_folder() else {
        if options.teach {
            let message = "the family says itself what its printer can do, so there is no log to enter this in; \
                           start a printer's folder with: bobbinwright coupon FOLDER --for FAMILY";
            return complain::failure(message, false);
        }
        return Outcome::Fine;
    };
    let folder = options.family.join(path);
    let printer = match PrinterSurvey::load(&folder) {
        Ok(printer) => printer,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    if !printer.is_begun() {
        say::line(format_args!(
            "\nNothing was read on a coupon of {} yet: until then its parts teach nothing.",
            printer.slug
        ));
        return Outcome::Fine;
    }
    let file = options.out.join(&survey.slug).join(manifest::FILE);
    let Some(drawn) = drawn(&file) else {
        say::line(format_args!(
            "\nTo learn from these parts, the sizes they were drawn with are needed: {} does not say them (build, and name its folder with --out).",
            file.display()
        ));
        return Outcome::Fine;
    };
    let Some(text) = printer.problems.files.get(1).map(|f| f.text.clone()) else { return Outcome::Fine };
    let new = entries(survey, prepared, sizes, &drawn, &printer, &text);
    if new.is_empty() {
        say::line(format_args!(
            "\nThe printer's log has all of this already, or nothing of it tells of its walls."
        ));
        return Outcome::Fine;
    }
    offer(options, &printer, &folder, &text, &new)
}

/// Shows the profile as it would be, and enters the readings when asked to.
fn offer(
    options: &arguments::Inspect,
    printer: &PrinterSurvey,
    folder: &Path,
    text: &str,
    new: &[String],
) -> Outcome {
    let entry = new.join("\n");
    let name = printer.problems.files.get(1).map_or(String::new(), |f| f.name.clone());
    let after = printer.with_log(SourceFile { name, text: with_entry(text, &entry) });
    let was = printer.clone().printer().ok();
    let now = match after
        .and_then(|after| if after.problems.has_errors() { Err(after.problems) } else { after.printer() })
    {
        Ok(now) => now,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    if let Some(now) = now.printer.profile() {
        say::line(format_args!("\nWith these parts' readings among the printer's:"));
        say::text(profile::compared(now, was.as_ref().and_then(|was| was.printer.profile())));
    }
    if !options.teach {
        say::line(format_args!("Nothing of that is entered; bobbinwright inspect … --teach enters it."));
        return Outcome::Fine;
    }
    match append(folder, &entry, text.len()) {
        Ok(()) => {
            say::line(format_args!("{} entries were added to the printer's log.", new.len()));
            Outcome::Fine
        }
        Err(e) => complain::failure(&e.to_string(), false),
    }
}

/// For each part's size, the name of what was drawn.
fn drawn(file: &Path) -> Option<BTreeMap<String, String>> {
    let built: Built = serde_json::from_slice(&std::fs::read(file).ok()?).ok()?;
    let of = |part: BuiltPart| {
        let (position, kind) = (part.position, part.part);
        part.printed.drawn.into_iter().map(move |(size, name)| (format!("{position}.{kind}.{size}"), name))
    };
    Some(built.parts.into_iter().flat_map(of).collect())
}

/// Entries for the printer's log that are not in it yet.
fn entries(
    survey: &Survey,
    prepared: &Prepared,
    sizes: &[Deciding],
    drawn: &BTreeMap<String, String>,
    printer: &PrinterSurvey,
    text: &str,
) -> Vec<String> {
    let mut new: Vec<String> = Vec::new();
    for d in sizes.iter().filter(|d| d.read.is_some()) {
        let position = prepared.family.positions[d.position].name.clone();
        let quantity = Quantity::Piece(position, d.piece.size);
        let Some(name) = drawn.get(&quantity.to_string()) else { continue };
        for (tool, reading) in survey.as_entries(&quantity, name) {
            let (tool_entry, reading) = (tool.to_string(), reading.to_string());
            if text.contains(&reading) || new.contains(&reading) {
                continue;
            }
            let said = new.iter().any(|n| n.starts_with("tool(") && n.contains(&tool_entry[20..]));
            if !printer.knows(&tool.tool) && !said {
                new.push(tool_entry);
            }
            new.push(reading);
        }
    }
    new
}
