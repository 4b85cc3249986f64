//! `bobbinwright sheet`.

use bobbinwright_clock as clock;
use bobbinwright_core::Prepared;
use bobbinwright_export::sheet::{self, MeasuringSheet};
use bobbinwright_export::{bench, listing};
use bobbinwright_fit::Verdict;
use bobbinwright_install::install;
use bobbinwright_spec::Folder;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say, table};

/// Makes the measuring sheet; also for a family that is not measured yet or does not build.
pub(crate) fn run(options: &arguments::Sheet) -> Outcome {
    let survey = match family::survey(&options.family, None) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(bobbinwright_spec::Survey { problems, .. }) | Err(problems) => {
            return complain::wrong_input(&problems, false);
        }
    };
    complain::each(&survey.problems.files, &survey.problems.all);
    let missing = survey.missing().count();
    let family = Folder::on_disk(&options.family);
    let prepared = (missing == 0).then(|| bench::prepared(&family, &survey, clock::now()));
    let paper = sheet::Paper::from(options.paper);
    let built = prepared.as_ref().and_then(|p| p.as_ref().ok());
    let sheet = sheet::measuring_sheet(&survey, built, paper);
    let folder = options.out.join(format!("{}-sheet", survey.slug));
    let title = format!("Measuring sheet: {}", survey.title);
    let of = survey.sources().identity();
    if let Some(why) = listing::of_another(&folder, sheet::LIST, of) {
        return complain::failure(&format!("nothing was written: {why}"), false);
    }
    let installed = match install(&folder, sheet::LIST, |sink| {
        sheet::write(&survey.slug, &title, &sheet.pages, of, sink)
    }) {
        Ok(installed) => installed,
        Err(e) => return complain::failure(&format!("nothing was written: {e}"), false),
    };
    for line in installed.kept_in_words() {
        say::line(line);
    }
    let file = folder.join(format!("{}-sheet.pdf", survey.slug));
    say::line(format_args!("{} pages in {}.", sheet.pages.len(), file.display()));
    match &prepared {
        Some(Ok(prepared)) => templates(prepared, &sheet),
        Some(Err(problems)) => {
            complain::each(&problems.files, &problems.all);
            say::line("The templates are left out: what is wanted can't be made yet.");
        }
        None => say::line(format_args!(
            "{missing} quantities are still to be read; the templates come when none is missing."
        )),
    }
    Outcome::Fine
}

/// What is to be said of the templates.
fn templates(prepared: &Prepared, sheet: &MeasuringSheet) {
    match sheet.templates {
        0 => {}
        1 => say::line("The last page is a template: print it at 100 %, and measure the bar."),
        n => say::line(format_args!(
            "The last {n} pages are templates: print them at 100 %, and measure the bar."
        )),
    }
    for position in &sheet.too_large {
        say::line(format_args!("{position}: the cover is larger than the paper, so it has no template."));
    }
    if prepared.fit.verdict() != Verdict::Fits {
        say::text(table::conclusion(&prepared.family, &prepared.fit));
    }
}
