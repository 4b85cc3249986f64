//! What went wrong, for a person at a terminal or for a program.

use std::io::{IsTerminal, Write};
use std::path::Path;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use bobbinwright_spec::{Family, Problem, Problems, Severity, SourceFile, Survey, Surveyed};
use bobbinwright_words::without_numbers;
use serde_json::{Value, json};

use crate::outcome::Outcome;
use crate::say;
use crate::say::harmless;

/// More than anybody mends before trying again.
const SHOWN: usize = 20;

/// Prints the problems, each with its line, what must be mended first, and ends with "the input is wrong". Programs
/// get all of them, a person the first few.
pub(crate) fn wrong_input(problems: &Problems, as_json: bool) -> Outcome {
    if as_json {
        let all: Vec<Value> = problems.all.iter().map(|p| as_value(&problems.files, p)).collect();
        say::line(format_args!("{:#}", json!({ "problems": all })));
    } else {
        let (errors, notices): (Vec<&Problem>, Vec<&Problem>) =
            problems.all.iter().partition(|p| p.severity == Severity::Error);
        each(&problems.files, errors.iter().chain(&notices).copied().take(SHOWN));
        let more = problems.all.len().saturating_sub(SHOWN);
        if more > 0 {
            say::aside(format_args!("{more} more are not shown; mend these first."));
        }
        let errors = errors.len();
        let things = if errors == 1 { "thing" } else { "things" };
        say::aside(format_args!("{errors} {things} to mend; nothing was written."));
    }
    Outcome::WrongInput
}

/// Prints what is worth a look.
pub(crate) fn notices(family: &Family) {
    each(&family.files, &family.notices);
}

/// Prints some problems, each with its line.
pub(crate) fn each<'a>(files: &[SourceFile], problems: impl IntoIterator<Item = &'a Problem>) {
    for problem in problems {
        // Its own colours may pass; what it quotes is made harmless before.
        let _ = writeln!(std::io::stderr(), "{}\n", rendered(files, problem));
    }
}

/// Nothing is wrong, but there is more to measure: what, in which order, and how to enter it.
pub(crate) fn to_measure(survey: &Survey, folder: &Path, as_json: bool) -> Outcome {
    let missing: Vec<&Surveyed> = survey.missing().collect();
    if as_json {
        let all: Vec<Value> = missing
            .iter()
            .map(|s| json!({ "quantity": s.quantity.to_string(), "what": s.quantity.describe() }))
            .collect();
        let too: Vec<String> = survey.worth_reading().map(|s| s.quantity.to_string()).collect();
        say::line(format_args!(
            "{:#}",
            json!({ "family": survey.slug, "to_measure": all, "worth_reading": too })
        ));
        return Outcome::WrongInput;
    }
    each(&survey.problems.files, &survey.problems.all);
    let known = survey.quantities.iter().filter(|s| s.estimate.is_some()).count();
    let verb = if missing.len() == 1 { "is" } else { "are" };
    say::line(format_args!(
        "{}: {known} quantities are known, {} {verb} still to be measured.\n",
        survey.title,
        missing.len()
    ));
    let width = missing.iter().map(|s| s.quantity.to_string().len()).max().unwrap_or_default();
    for one in &missing {
        let (name, what) = (one.quantity.to_string(), one.quantity.describe());
        let waits = one.waits_for.as_ref().map_or(String::new(), |d| format!("; it was read, but needs {d}"));
        say::line(format_args!("  {name:width$}  {what}{waits}"));
    }
    let too: Vec<&Surveyed> = survey.worth_reading().collect();
    if !too.is_empty() {
        say::line("\nWorth reading too; until then they are taken as they are meant to be, with a doubt:\n");
        let width = too.iter().map(|s| s.quantity.to_string().len()).max().unwrap_or_default();
        for one in too {
            say::line(format_args!("  {:width$}  {}", one.quantity.to_string(), one.quantity.describe()));
        }
    }
    let folder = say::typed(folder);
    say::line(format_args!(
        "\nTo print a sheet for the bench: bobbinwright sheet {folder}\n\
         To enter a reading:             bobbinwright read {folder} {} FIGURE FIGURE…",
        missing[0].quantity
    ));
    Outcome::WrongInput
}

/// One line for something that is nobody's input.
pub(crate) fn failure(message: &str, as_json: bool) -> Outcome {
    let message = &without_numbers(message);
    if as_json {
        say::line(format_args!("{:#}", json!({ "problems": [{ "severity": "error", "message": message }] })));
    } else {
        say::aside(format_args!("error: {message}"));
    }
    Outcome::WrongInput
}

/// A problem for a program.
pub(crate) fn as_value(files: &[SourceFile], problem: &Problem) -> Value {
    let file = problem.span.and_then(|s| files.get(s.file).map(|f| (s, f)));
    let place = file.map(|(span, file)| {
        let (line, column) = file.line_column(span.start);
        (file.name.clone(), line, column)
    });
    json!({
        "severity": if problem.severity == Severity::Error { "error" } else { "notice" },
        "file": place.as_ref().map(|p| &p.0),
        "line": place.as_ref().map(|p| p.1),
        "column": place.as_ref().map(|p| p.2),
        "message": problem.message,
        "hint": problem.hint,
    })
}

/// A problem with the lines of the file it is about.
fn rendered(files: &[SourceFile], problem: &Problem) -> String {
    let level = match problem.severity {
        Severity::Error => Level::ERROR,
        Severity::Notice | Severity::Reminder => Level::NOTE,
    };
    let message = harmless(&problem.message);
    let hint = problem.hint.as_deref().map(harmless);
    let file = problem.span.and_then(|span| files.get(span.file));
    let quoted = file.map(|f| (harmless(&f.name), harmless(&f.text)));
    let lines = quoted.as_ref().and_then(|(name, text)| snippet(name, text, problem));
    let mut group = level.primary_title(message.as_ref()).elements(lines);
    if let Some(hint) = &hint {
        group = group.element(Level::HELP.message(hint.as_ref()));
    }
    let renderer = if std::io::stderr().is_terminal() { Renderer::styled() } else { Renderer::plain() };
    renderer.render(&[group])
}

fn snippet<'a>(
    name: &'a str,
    text: &'a str,
    problem: &Problem,
) -> Option<Snippet<'a, annotate_snippets::Annotation<'a>>> {
    let span = problem.span?;
    // A long entry is shown by its first line.
    let end = text[span.start..span.end].find('\n').map_or(span.end, |i| span.start + i);
    let mark = AnnotationKind::Primary.span(span.start..end);
    Some(Snippet::source(text).path(name).annotation(mark))
}
