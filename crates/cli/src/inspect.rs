//! `bobbinwright inspect`.

use std::fmt::Write;
use std::path::Path;

use bobbinwright_clock as clock;
use bobbinwright_core::Prepared;
use bobbinwright_export::bench::{self, Lying};
use bobbinwright_export::sheet::pieces::{self, allowed};
use bobbinwright_export::{listing, sheet, whose};
use bobbinwright_fit::{Deciding, Fit, Printed, Rework, Verdict, check_pieces, deciding};
use bobbinwright_install::install;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{
    Book, Copy, Family, Folder, Length, PartKind, PieceSize, Quantity, Survey, Unit, capitalised, part_name,
};
use bobbinwright_words::not_read;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say, table, teach};

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
    let prepared = match bench::prepared(&Folder::on_disk(&options.family), &survey, clock::now()) {
        Ok(prepared) => prepared,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    complain::notices(&prepared.family);
    let log = survey.log_folder(&Folder::on_disk(&options.family));
    let lying = bench::lying(&log, &survey, clock::now());
    let printed = bench::printed(&lying, &prepared);
    let sizes =
        deciding(&prepared.family, &prepared.positions, &printed, &prepared.tried, |position, part| {
            prepared.lie(position, part)
        });
    if let Err(outcome) = write_sheet(options, &survey, &sizes) {
        return outcome;
    }
    if prepared.family.pieces.is_empty() {
        measure_first(options, &prepared, &sizes, !lying.is_empty());
        return Outcome::Fine;
    }
    say::text(measured(&prepared, &sizes));
    say::text(beside(&survey, &prepared, &sizes, &options.out, &lying));
    say::text(drawn_otherwise(&lying, &prepared, &printed));
    say::text(to_be_finished(&prepared, &survey.copies(), &sizes));
    let fit = check_pieces(&prepared.family, &prepared.positions, &printed, &prepared.tried);
    say::text(pieces_fit(&fit, &prepared.family, &sizes));
    if teach::what(options, &survey, &prepared.family, &lying) == Outcome::WrongInput {
        return Outcome::WrongInput;
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
    let of = survey.sources().identity();
    if let Some(why) = listing::of_another(&folder, sheet::LIST, of) {
        return Err(complain::failure(&format!("nothing was written: {why}"), false));
    }
    let installed = install(&folder, sheet::LIST, |sink| sheet::write(&slug, &title, &pages, of, sink))
        .map_err(|e| complain::failure(&format!("nothing was written: {e}"), false))?;
    for line in installed.kept_in_words() {
        say::line(line);
    }
    say::line(format_args!(
        "{} sizes decide the fit; they are on the sheet {}.",
        sizes.len(),
        folder.join(format!("{slug}-sheet.pdf")).display()
    ));
    Ok(())
}

fn measure_first(options: &arguments::Inspect, prepared: &Prepared, sizes: &[Deciding], is_known: bool) {
    let Some(first) = sizes.first() else { return };
    say::line(format_args!(
        "Measure the printed parts by the sheet, the first lines first, and enter what you read: bobbinwright read {} {}.{} FIGURE FIGURE",
        say::typed(&options.family),
        prepared.family.positions[first.position].name,
        first.piece.size
    ));
    if !is_known {
        say::line(format_args!(
            "Before that, say which parts went on the printer, so that it stays known how they were drawn: bobbinwright printed {}",
            say::typed(&options.family)
        ));
    }
}

/// A part that is off by more than this was misread, or is another one.
const ANOTHER: Length = Length::from_mm(1.0);

/// What was read and decides nothing, what can't be this part, and what is older than the last build.
fn beside(survey: &Survey, prepared: &Prepared, sizes: &[Deciding], out: &Path, lying: &[Lying]) -> String {
    let mut text = String::new();
    let name = |position: &str, size: &PieceSize| format!("{position}.{size}");
    let mut idle = Vec::new();
    for (position, size) in prepared.family.pieces.keys() {
        let decides =
            |d: &&Deciding| d.piece.size == *size && prepared.family.positions[d.position].name == *position;
        if !sizes.iter().any(|d| decides(&d)) {
            idle.push(name(position, size));
        }
    }
    // Writing to a String does not fail.
    if !idle.is_empty() {
        let _ = writeln!(text, "Read too, but nothing here hangs on it: {}.", idle.join(", "));
    }
    for d in sizes {
        let Some(read) = &d.read else { continue };
        let off = read.value() - d.piece.wanted;
        if off.abs() > ANOTHER {
            let position = &prepared.family.positions[d.position].name;
            let _ = writeln!(
                text,
                "{} is {} off what was wanted: was it misread, in inches, or on another part? Then withdraw it.",
                name(position, &d.piece.size),
                prepared.family.unit().shown(off.abs())
            );
        }
    }
    let folder = whose::folder(out, &prepared.family);
    let is_own = whose::standing(&folder, &prepared.family).is_some_and(|s| s.is_own);
    let built = is_own.then(|| teach::entries_at_build(&folder)).flatten();
    // Of a copy that is in the log it is known when it was printed.
    let is_known = |position: &str, size: &PieceSize| {
        lying.iter().any(|lies| lies.copy.position == position && lies.copy.kind == size.part)
    };
    let unknown = prepared.family.pieces.keys().filter(|(position, size)| !is_known(position, size));
    let older = unknown.filter(|(position, size)| {
        let quantity = Quantity::Piece(position.clone(), *size);
        built.zip(survey.first_entry(&quantity)).is_some_and(|(built, first)| first <= built)
    });
    let older: Vec<String> = older.map(|(position, size)| name(position, size)).collect();
    if !older.is_empty() {
        let _ = writeln!(
            text,
            "Read before the last build, so on parts of an earlier one: {}. Of parts printed since, say bobbinwright printed, and read again.",
            older.join(", ")
        );
    }
    text
}

/// Copies of other builds than what would be made now.
fn drawn_otherwise(lying: &[Lying], prepared: &Prepared, printed: &[Printed]) -> String {
    let mut text = String::new();
    for lies in lying {
        let copy = &lies.copy;
        let known = prepared.family.positions.iter().zip(printed).find(|(p, _)| p.name == copy.position);
        let is_other = known.is_some_and(|(_, printed)| {
            PartKind::ALL.iter().zip(printed).any(|(kind, other)| *kind == copy.kind && other.is_some())
        });
        // Writing to a String does not fail.
        let _ = match lies.source() {
            Ok(_) if !is_other => Ok(()),
            Ok(_) => writeln!(
                text,
                "{copy} was drawn otherwise than it would be now, for build {}; it is checked as it was drawn.",
                copy.build
            ),
            Err(why) => writeln!(
                text,
                "How {copy} was drawn is not known, so it is checked as it would be drawn now: {why}."
            ),
        };
    }
    text
}

/// Which parts something is put on yet.
fn to_be_finished(prepared: &Prepared, copies: &[Copy], sizes: &[Deciding]) -> String {
    let mut text = String::new();
    for (index, position) in prepared.family.positions.iter().enumerate() {
        for kind in PartKind::ALL {
            let of = |d: &&Deciding| d.position == index && d.piece.size.part == kind;
            let bare = || sizes.iter().filter(of).filter(|d| d.piece.wanted != d.piece.finished);
            let is_bare = bare().next().is_some();
            let Some(finish) = position.wanted.finish.of(kind).filter(|_| is_bare) else { continue };
            let is_it = |copy: &&Copy| copy.is_current && copy.position == position.name && copy.kind == kind;
            if let Some(copy) = copies.iter().find(is_it).filter(|copy| copy.is_finished()) {
                let read: Vec<String> = bare()
                    .filter(|d| d.read.is_some())
                    .map(|d| format!("{}.{}", position.name, d.piece.size))
                    .collect();
                if !read.is_empty() {
                    let _ = writeln!(
                        text,
                        "{copy} is finished, and {} as printed before that: what the finish adds is counted. Read again, nothing is taken for granted.",
                        match &read[..] {
                            [one] => format!("{one} counts"),
                            all => format!("{} count", all.join(", ")),
                        }
                    );
                }
                continue;
            }
            // Writing to a String does not fail.
            let _ = writeln!(
                text,
                "Sizes of {} are as printed, before it is finished ({}: {} on a face); what that adds is counted. When it is on: bobbinwright parts FAMILY {0} finished.",
                part_name(&position.name, kind),
                finish.describe(),
                prepared.family.unit().shown(finish.adds())
            );
        }
    }
    text
}

/// Every size that was read, the worst first.
fn measured(prepared: &Prepared, sizes: &[Deciding]) -> String {
    let mut read: Vec<&Deciding> = sizes.iter().filter(|d| d.read.is_some()).collect();
    read.sort_by(|a, b| a.verdict.cmp(&b.verdict).then(a.room.total_cmp(&b.room)));
    let unit = prepared.family.unit();
    let name = |d: &Deciding| format!("{}.{}", prepared.family.positions[d.position].name, d.piece.size);
    let width = read.iter().map(|d| name(d).len()).max().unwrap_or_default();
    let mut out = format!(
        "\n{:<17} {:width$} {:>8} {:>15}  {:<16} decides, {}\n",
        "",
        "size",
        "wanted",
        "measured",
        "allowed",
        unit.short()
    );
    for d in read {
        let (Some(e), Some(verdict)) = (&d.read, d.verdict) else { continue };
        // Writing to a String does not fail.
        let _ = writeln!(
            out,
            "{:<17} {:width$} {:>8} {:>15}  {:<16} {}",
            verdict.word(),
            name(d),
            unit.figure(d.piece.wanted),
            format!("{} ± {}", unit.figure(e.value()), unit.figure(e.uncertainty())),
            allowed(d, unit),
            d.decides
        );
    }
    out
}

/// How a size that was read came to be.
fn made(family: &Family, sizes: &[Deciding], position: &str, size: PieceSize) -> Option<Made> {
    let of = |d: &&Deciding| family.positions[d.position].name == position && d.piece.size == size;
    sizes.iter().find(of).filter(|d| d.read.is_some()).map(|d| d.piece.made)
}

/// More ways to work a part over nobody reads.
const WAYS: usize = 2;

/// `Take bridge.cover.length from 113.05 down to 112.91 mm, or …`
fn rework(position: &str, work: &[Rework], unit: Unit) -> Option<String> {
    let one = |r: &Rework| {
        let (from, to) = (unit.figure(r.from), unit.shown(r.to));
        if r.to > r.from {
            format!("open {position}.{} from {from} to {to}", r.size)
        } else {
            format!("take {position}.{} from {from} down to {to}", r.size)
        }
    };
    let all: Vec<String> = work.iter().take(WAYS).map(one).collect();
    (!all.is_empty()).then(|| format!("{}.", capitalised(&all.join(", or "))))
}

/// Whether these pieces fit this instrument.
fn pieces_fit(fit: &Fit, family: &Family, sizes: &[Deciding]) -> String {
    let unread = not_read(family, sizes);
    let unread = unread.map_or(String::new(), |words| format!(" ({words})"));
    let mut out = format!(
        "\nThese parts in this instrument, what was read on them in place of what was wanted{unread}:\n"
    );
    table::of_fit(&mut out, fit, fit.unguarded(family), family.unit(), false, |check| {
        if check.verdict == Verdict::Fits {
            return String::new();
        }
        let work = fit.rework(check, family.unit(), |size| made(family, sizes, &check.position, size));
        let wrong = bobbinwright_core::what_is_wrong(check, family.unit());
        [wrong].into_iter().chain(rework(&check.position, &work, family.unit())).collect::<Vec<_>>().join(" ")
    });
    out.push_str(&table::conclusion(family, fit));
    if fit.verdict() != Verdict::Fits {
        out.push_str("Outer sizes are filed or sanded (wet, with a dust mask), holes opened with a drill held in the hand, a little at a time; then read again with --afresh.\n");
    }
    out
}
