//! `bobbinwright tree`.

use std::fmt::Write;

use bobbinwright_core::want::{NotWanted, is_known, said};
use bobbinwright_spec::Survey;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Says for each family which ones it is like, or where a dimension is stated.
pub(crate) fn run(options: &arguments::Tree) -> Outcome {
    if let Some(path) = options.dimension.as_deref().filter(|path| !is_known(path)) {
        return complain::failure(&NotWanted::unknown(path).to_string(), false);
    }
    let mut outcome = Outcome::Fine;
    for folder in &options.families {
        match family::survey(folder, None) {
            Ok(survey) => say::text(match &options.dimension {
                Some(path) => stated(&survey, path),
                None => likeness(&survey),
            }),
            Err(problems) => outcome = complain::wrong_input(&problems, false),
        }
    }
    outcome
}

/// `kestrel, like sparrow, like wren`.
fn likeness(survey: &Survey) -> String {
    let sources = survey.sources();
    let mut line = format!("{}: {}", survey.slug, survey.title);
    for parent in &sources.forebears {
        line += ", like ";
        line += &folder_of(&parent.name);
    }
    if folder_path(&sources.readings.name) != folder_path(&sources.family.name) {
        line += ", readings of ";
        line += &folder_of(&sources.readings.name);
    }
    if let Some(printer) = &sources.printer {
        line += ", printer ";
        line += &printer.slug;
    }
    line + "\n"
}

/// `neck: cover.wall 2.0 mm, from specs/tidewick/family.ron line 10`.
fn stated(survey: &Survey, path: &str) -> String {
    let mut out = String::new();
    for name in survey.positions.iter().map(|p| &p.name) {
        let Some((text, span)) = survey.written_at(name, path) else { continue };
        let place = survey.problems.files.get(span.file).map(|file| {
            let (line, _) = file.line_column(span.start);
            format!(", from {} line {line}", file.name)
        });
        // Writing to a String does not fail.
        let _ = writeln!(out, "{} {name}: {path} {}{}", survey.slug, said(text), place.unwrap_or_default());
    }
    if out.is_empty() {
        out = format!(
            "{}: {path} is stated nowhere; it follows from other dimensions or is left out\n",
            survey.slug
        );
    }
    out
}

fn folder_path(file: &str) -> &str {
    file.rsplit_once(['/', '\\']).map_or("", |(folder, _)| folder)
}

fn folder_of(file: &str) -> String {
    let folder = folder_path(file);
    folder.rsplit(['/', '\\']).find(|p| !matches!(*p, "" | "." | "..")).unwrap_or(folder).to_owned()
}
