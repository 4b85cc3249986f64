//! `bobbinwright build`.

use std::path::{Path, PathBuf};

use bobbinwright_core::Prepared;
use bobbinwright_export::manifest::CheckEntry;
use bobbinwright_export::{bench, whose};
use bobbinwright_fit::Verdict;
use bobbinwright_install::Installed;
use bobbinwright_spec::{Book, Folder, Survey};
use serde_json::json;

use crate::outcome::Outcome;
use crate::progress::Progress;
use crate::{arguments, complain, family, say, shelf, table, watch};

/// Builds a family's files, unless something clashes.
pub(crate) fn run(options: &arguments::Build) -> Outcome {
    let [family] = &options.families[..] else { return shelf::build(options) };
    if options.watch {
        return watch::run(family, options);
    }
    family::with(family, options.as_of, options.json, |survey, prepared| {
        if prepared.fit.verdict() == Verdict::Clashes && !options.anyway {
            return refuse(prepared, options.json);
        }
        write(family, survey, prepared, options)
    })
}

/// Another build stood there, and nobody has said that anything was printed from it.
fn replaced(family: &Path, folder: &Path, mark: &str, prepared: &Prepared) {
    if whose::standing(folder, &prepared.family).is_some_and(|now| now.mark != mark) {
        say::line(format_args!(
            "Build {mark} stood there before. If you printed from it, say so: bobbinwright printed {} --build {mark}",
            say::typed(family)
        ));
    }
}

fn write(family: &Path, survey: &Survey, prepared: &Prepared, options: &arguments::Build) -> Outcome {
    let parts: usize = prepared.positions.iter().map(|p| p.parts.len()).sum();
    let progress = Progress::new(parts);
    let folder = options.out.join(&prepared.family.slug);
    let before = whose::standing(&folder, &prepared.family);
    let installed = bobbinwright_export::build(prepared, survey, &folder, || progress.step());
    progress.done();
    match installed {
        Ok(installed) => {
            report(prepared, &folder, &installed, options.json);
            let log = survey.log_folder(&Folder::on_disk(family));
            if let Some(before) = before.filter(|b| !options.json && bench::kept(&log, &b.mark).is_none()) {
                replaced(family, &folder, &before.mark, prepared);
            }
            Outcome::Fine
        }
        Err(e) => complain::failure(&format!("nothing was written: {e}"), options.json),
    }
}

/// Says what clashes; nothing has been written.
fn refuse(prepared: &Prepared, as_json: bool) -> Outcome {
    if as_json {
        let clashing = prepared.fit.checks.iter().filter(|c| c.verdict == Verdict::Clashes);
        let clashing: Vec<CheckEntry> = clashing.map(|c| CheckEntry::of(prepared, c)).collect();
        say::line(format_args!(
            "{:#}",
            json!({ "family": prepared.family.slug, "written": false, "clashes": clashing })
        ));
    } else {
        complain::notices(&prepared.family);
        say::text(table::checks(prepared, false));
        say::aside("Nothing was written. Change what clashes, or build with --anyway.");
    }
    Outcome::Clash
}

fn report(prepared: &Prepared, folder: &Path, installed: &Installed, as_json: bool) {
    if as_json {
        let mut names: Vec<PathBuf> = installed.files.iter().map(|f| folder.join(f)).collect();
        names.sort();
        let kept: Vec<_> =
            installed.kept.iter().map(|(was, now)| json!({ "file": was, "kept_as": now })).collect();
        let answer = json!({
            "family": prepared.family.slug,
            "written": true,
            "verdict": prepared.fit.verdict().word(),
            "folder": folder,
            "files": names,
            "changed": installed.changed,
            "kept": kept,
        });
        say::line(format_args!("{answer:#}"));
        return;
    }
    complain::notices(&prepared.family);
    if prepared.fit.verdict() == Verdict::Fits {
        say::text(table::summary(&prepared.family, &prepared.fit));
    } else {
        say::text(table::checks(prepared, false));
    }
    for line in installed.kept_in_words() {
        say::line(line);
    }
    let unchanged = installed.files.len() - installed.changed.len();
    let unchanged = match (unchanged, installed.changed.is_empty()) {
        (0, _) => String::new(),
        (_, true) => ", none of them changed".to_owned(),
        (n, false) => format!(", {n} of them unchanged"),
    };
    say::line(format_args!(
        "{} files in {}{unchanged}, build {}; begin with {}.",
        installed.files.len(),
        folder.display(),
        whose::standing(folder, &prepared.family).map_or(String::new(), |s| s.mark),
        folder.join("report.html").display()
    ));
}
