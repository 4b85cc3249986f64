//! `bobbinwright inspect`.

use std::fmt::Write;

use bobbinwright_export::output::install;
use bobbinwright_export::sheet::pieces::{self, allowed};
use bobbinwright_export::{Prepared, sheet};
use bobbinwright_fit::{Deciding, Fit, Verdict, check_pieces, deciding};
use bobbinwright_spec::Survey;

use crate::{Outcome, arguments, complain, family, say, table, teach};

/// Makes the inspection sheet; says how the printed parts came out, whether they fit, and what they
/// teach about the printer.
pub(crate) fn run(options: &arguments::Inspect) -> Outcome {
    let survey = match family::survey(&options.family, None) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(Survey { problems, .. }) | Err(problems) => return complain::wrong_input(&problems, false),
    };
    if survey.missing().next().is_some() {
        return complain::to_measure(&survey, &options.family, false);
    }
    let prepared = match survey.clone().family().and_then(Prepared::new) {
        Ok(prepared) => prepared,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    complain::notices(&prepared.family);
    let sizes =
        deciding(&prepared.family, &prepared.positions, |position, part| prepared.lie(position, part));
    if let Err(outcome) = write_sheet(options, &survey, &sizes) {
        return outcome;
    }
    let read = sizes.iter().filter(|d| d.read.is_some()).count();
    if read == 0 {
        say::line(format_args!(
            "Measure the printed parts by the sheet, the first lines first, and enter what you read: bobbinwright read {} {}.{} FIGURE FIGURE",
            options.family.display(),
            sizes.first().map_or("", |d| prepared.family.positions[d.position].name.as_str()),
            sizes.first().map_or(String::new(), |d| d.piece.size.to_string()),
        ));
        return Outcome::Fine;
    }
    say::text(measured(&prepared, &sizes));
    let fit = check_pieces(&prepared.family, &prepared.positions);
    say::text(pieces_fit(&fit, sizes.len() - read));
    let taught = teach::what(options, &survey, &prepared, &sizes);
    if taught == Outcome::WrongInput {
        return taught;
    }
    match fit.verdict() {
        Verdict::Fits => Outcome::Fine,
        Verdict::TooClose => Outcome::TooClose,
        Verdict::Clashes => Outcome::Clash,
    }
}

fn write_sheet(options: &arguments::Inspect, survey: &Survey, sizes: &[Deciding]) -> Result<(), Outcome> {
    let pages = pieces::pages(survey, sizes, options.paper.into());
    let slug = format!("{}-inspection", survey.slug);
    let folder = options.out.join(&slug);
    let title = format!("Inspection: {}", survey.title);
    let installed = install(&folder, sheet::LIST, |sink| sheet::write(&slug, &title, &pages, sink))
        .map_err(|e| complain::failure(&format!("nothing was written: {e}"), false))?;
    for (was, now) in &installed.kept {
        say::line(format_args!("{was} had been edited; your version is kept as {now}."));
    }
    say::line(format_args!(
        "{} sizes decide the fit; they are on the sheet {}.",
        sizes.len(),
        folder.join(format!("{slug}-sheet.pdf")).display()
    ));
    Ok(())
}

/// Every size that was read, the worst first.
fn measured(prepared: &Prepared, sizes: &[Deciding]) -> String {
    let mut read: Vec<&Deciding> = sizes.iter().filter(|d| d.read.is_some()).collect();
    // Stable: among equals the most important first.
    read.sort_by_key(|d| d.verdict);
    let name = |d: &Deciding| format!("{}.{}", prepared.family.positions[d.position].name, d.piece.size);
    let width = read.iter().map(|d| name(d).len()).max().unwrap_or_default();
    let mut out = format!(
        "\n{:<17} {:width$} {:>8} {:>15}  {:<16} decides, mm\n",
        "", "size", "wanted", "measured", "allowed"
    );
    for d in read {
        let (Some(e), Some(verdict)) = (&d.read, d.verdict) else { continue };
        // Writing to a String does not fail.
        let _ = writeln!(
            out,
            "{:<17} {:width$} {:>8.2} {:>8.2} ± {:.2}  {:<16} {}",
            verdict.word(),
            name(d),
            d.piece.wanted.as_mm(),
            e.value().as_mm(),
            e.uncertainty().as_mm(),
            allowed(d),
            d.decides
        );
    }
    out
}

/// Whether these pieces fit this instrument.
fn pieces_fit(fit: &Fit, unread: usize) -> String {
    let unread = match unread {
        0 => String::new(),
        1 => " (one size is not read, and taken as the printer makes it)".to_owned(),
        n => format!(" ({n} sizes are not read, and taken as the printer makes them)"),
    };
    let mut out = format!(
        "\nThese parts in this instrument, what was read on them in place of what was wanted{unread}:\n"
    );
    table::of_fit(&mut out, fit, false);
    out.push_str(&table::conclusion(fit));
    if fit.verdict() != Verdict::Fits {
        out.push_str("A printed part that is tight can be filed or sanded (wet, with a dust mask), a hole opened with a drill held in the hand; then read it again with --afresh.\n");
    }
    out
}
