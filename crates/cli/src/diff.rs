//! `bobbinwright diff`.

use bobbinwright_clock as clock;
use std::path::{Path, PathBuf};

use bobbinwright_core::changes::{Changes, PositionChanges, Version};
use bobbinwright_export::bench;
use bobbinwright_export::changes::{self, Built, LIST, NotRead};
use bobbinwright_export::earlier::marks;
use bobbinwright_export::{manifest, whose};
use bobbinwright_fit::Verdict;
use bobbinwright_install::{Installed, install};
use bobbinwright_spec::{Book, Copy, FAMILY_FILE, Folder, Survey, When, slug_of};
use jiff::civil::Date;
use serde_json::json;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Says what changed, and what that means for the parts that are printed.
pub(crate) fn run(options: &arguments::Diff) -> Outcome {
    if let Some(outcome) = on_the_bench(options) {
        return outcome;
    }
    let later = options.later.as_ref().unwrap_or(&options.earlier);
    let versions = earlier(options).and_then(|a| Ok((a, load(later, None, options.json)?)));
    let (earlier, later) = match versions {
        Ok(both) => both,
        Err(outcome) => return outcome,
    };
    let changes = match Changes::between(&earlier, &later) {
        Ok(changes) => changes,
        Err(e) => return complain::failure(&e.to_string(), options.json),
    };
    tell(&changes, options)
}

/// Compares the copies that lie on the bench, where the log knows of any and nothing else was named.
fn on_the_bench(options: &arguments::Diff) -> Option<Outcome> {
    let named = &options.earlier;
    if options.later.is_some() || options.as_of.is_some() || manifest_in(named).is_some() {
        return None;
    }
    let survey = family::survey(named, None).ok()?;
    let log = survey.log_folder(&Folder::on_disk(named));
    let lying = bench::lying(&log, &survey, clock::now());
    if lying.is_empty() {
        if !options.json && !survey.copies().is_empty() {
            say::line(
                "No printed copy is in use any more: print anew what you need. What follows is said as if the build had been printed.",
            );
        }
        return None;
    }
    if !survey.problems.has_errors() && survey.missing().next().is_some() {
        return Some(complain::to_measure(&survey, named, options.json));
    }
    let name = named.display().to_string();
    let later = bench::version(&Folder::on_disk(named), name, survey, clock::now());
    let later = match later {
        Ok(later) => later,
        Err(problems) => return Some(complain::wrong_input(&problems, options.json)),
    };
    let mut copies: Vec<(&Copy, Option<&Version>)> = Vec::new();
    for lies in &lying {
        copies.push((&lies.copy, lies.source().ok().map(|source| &source.version)));
        match lies.source() {
            Ok(_) => {}
            Err(why) => say::aside(format_args!("How {} was drawn is not known: {why}.", lies.copy)),
        }
    }
    let changes = Changes::of_copies(&copies, &later)?;
    let changes = match changes {
        Ok(changes) => changes,
        Err(e) => return Some(complain::failure(&e.to_string(), options.json)),
    };
    if !options.json {
        say::line("Compared with the copies on the bench, each as it was drawn for its own build.");
    }
    Some(tell(&changes, options))
}

/// The version to compare with: a family, the same family on another day, or what was last built.
fn earlier(options: &arguments::Diff) -> Result<Version, Outcome> {
    let named = &options.earlier;
    if let Some(file) = manifest_in(named) {
        if options.as_of.is_some() {
            let message = "a build is of the day it was made; --as-of goes with a family";
            return Err(complain::failure(message, options.json));
        }
        return load_built(&file, options.json);
    }
    if options.later.is_none() && options.as_of.is_none() {
        let family = family::survey(named, None).and_then(Survey::family).ok();
        let folder = match &family {
            Some(family) => whose::folder(&options.out, family),
            None => options.out.join(slug_of(named)),
        };
        if let Some(other) = family.and_then(|f| whose::standing(&folder, &f)).filter(|s| !s.is_own) {
            let message = format!(
                "the build in {} is of another family, {:?}; name the folder that this one's builds are in with --out",
                folder.display(),
                other.title
            );
            return Err(complain::failure(&message, options.json));
        }
        return load_built(&folder.join(manifest::FILE), options.json);
    }
    load(named, options.as_of, options.json)
}

/// The manifest that is meant where a build's folder or its manifest is named.
fn manifest_in(named: &Path) -> Option<PathBuf> {
    let file = named.join(manifest::FILE);
    if named.extension().is_some_and(|e| e == "json") {
        Some(named.to_owned())
    } else if file.is_file() && !named.join(FAMILY_FILE).exists() {
        Some(file)
    } else {
        None
    }
}

/// What was built, built again from the texts that its manifest holds.
fn load_built(file: &Path, as_json: bool) -> Result<Version, Outcome> {
    let built = Built::read(file).map_err(|e| {
        let first_build = matches!(e, NotRead::NotBuilt { .. });
        let hint =
            if first_build { "; build first, or name two families, or a day with --as-of" } else { "" };
        complain::failure(&format!("{e}{hint}"), as_json)
    })?;
    let when = When { as_of: built.as_of, ..clock::now() };
    let folder = file.parent().unwrap_or(file).display().to_string();
    let version = Survey::read(&built.slug, built.sources.clone(), when);
    let version = version.and_then(|survey| Version::new(format!("the build in {folder}"), survey));
    let version = version.map_err(|p| complain::wrong_input(&p, as_json))?;
    if !as_json {
        say::line(format_args!(
            "Compared with the build in {folder}. If you printed from an earlier one, enter that, and what lies there is compared: bobbinwright printed FAMILY --build MARK{}",
            earlier_marks(file)
        ));
    }
    let otherwise = built.made_otherwise(&version);
    if !otherwise.is_empty() {
        say::aside(format_args!(
            "{} made {} otherwise than this program does from the same readings; compared is what this one would have made.",
            built.program,
            otherwise.join(", ")
        ));
    }
    Ok(version)
}

/// The marks of the builds that stood in a folder before, the latest first.
fn earlier_marks(manifest: &Path) -> String {
    let all = marks(manifest.parent().unwrap_or(manifest));
    if all.is_empty() { String::new() } else { format!(" (earlier ones: {})", all.join(", ")) }
}

fn tell(changes: &Changes, options: &arguments::Diff) -> Outcome {
    let folder = options.out.join(format!("{}-changes", changes.slug));
    // Where an earlier comparison left something, it must not stand as if it were of this one.
    let is_written = !changes.is_none() || folder.exists();
    // What somebody asked for is said also where no file can be written.
    match (options.json, changes.is_none()) {
        (true, _) => {}
        (false, true) => say::line("Nothing changed; all printed parts can stay."),
        (false, false) => say::text(changes.text()),
    }
    let mut answer = changes::json(changes);
    if is_written {
        let installed = match install(&folder, LIST, |sink| changes::write(changes, sink)) {
            Ok(installed) => installed,
            Err(e) => return complain::failure(&format!("nothing was written: {e}"), options.json),
        };
        answer["folder"] = json!(folder);
        if !options.json {
            tell_files(changes, &installed, &folder);
        }
    }
    if options.json {
        say::line(format_args!("{answer:#}"));
    }
    outcome(&changes.positions)
}

fn tell_files(changes: &Changes, installed: &Installed, folder: &Path) {
    for line in installed.kept_in_words() {
        say::line(line);
    }
    let pictures = match changes.changed_parts().count() {
        0 => String::new(),
        1 => ", with a picture of the part that changed".to_owned(),
        n => format!(", with pictures of the {n} parts that changed"),
    };
    say::line(format_args!("All of it{pictures}: {}.", folder.join("changes.md").display()));
}

/// Printing again is no failure; that something clashes whatever is printed is one.
fn outcome(positions: &[PositionChanges]) -> Outcome {
    let making = positions.iter().filter_map(|p| p.making.as_ref()).map(|c| c.verdict);
    match positions.iter().map(|p| p.verdict).chain(making).min() {
        Some(Verdict::Clashes) => Outcome::Clash,
        Some(Verdict::TooClose) => Outcome::TooClose,
        _ => Outcome::Fine,
    }
}

/// Reads and builds a version, or says what is wrong with it.
pub(crate) fn load(folder: &Path, as_of: Option<Date>, as_json: bool) -> Result<Version, Outcome> {
    let survey = family::survey(folder, as_of).map_err(|p| complain::wrong_input(&p, as_json))?;
    if !survey.problems.has_errors() && survey.missing().next().is_some() {
        return Err(complain::to_measure(&survey, folder, as_json));
    }
    let day = as_of.map_or(String::new(), |day| format!(" as of {day}"));
    let name = format!("{}{day}", folder.display());
    Version::new(name, survey).map_err(|p| complain::wrong_input(&p, as_json))
}
