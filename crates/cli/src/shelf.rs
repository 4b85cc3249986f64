//! Many families at once: one line each, and one that is wrong does not stop the rest.

use std::path::{Path, PathBuf};

use bobbinwright_core::Prepared;
use bobbinwright_core::changes::Version;
use bobbinwright_fit::Verdict;
use bobbinwright_kernel::threads;
use bobbinwright_spec::{Problem, Problems, Severity};
use bobbinwright_words::margin;
use jiff::civil::Date;
use serde_json::{Value, json};

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// How a family came out.
struct Line {
    name: String,
    outcome: Outcome,
    /// In a few words.
    stands: String,
    /// What is worst about it.
    worst: String,
}

/// Checks all of them.
pub(crate) fn check(options: &arguments::Check) -> Outcome {
    let lines = threads::map(&options.families, |folder| match prepare(folder, options.as_of) {
        Ok(version) => judged(folder, &version.prepared),
        Err(line) => line,
    });
    tell(&lines, options.json)
}

/// Builds all that fit.
pub(crate) fn build(options: &arguments::Build) -> Outcome {
    if options.watch {
        return complain::failure("only one family at a time can be watched", options.json);
    }
    if let Some((a, b)) = twins(&options.families) {
        let message = format!(
            "{} and {} are called alike, so that one would take the other's place in {}: nothing was written; build them one by one with --out",
            a.display(),
            b.display(),
            options.out.display()
        );
        return complain::failure(&message, options.json);
    }
    let lines = threads::map(&options.families, |folder| match prepare(folder, options.as_of) {
        Ok(version) => built(folder, &version, options),
        Err(line) => line,
    });
    tell(&lines, options.json)
}

/// Two folders whose builds would go to one place.
fn twins(folders: &[PathBuf]) -> Option<(&Path, &Path)> {
    let name =
        |folder: &PathBuf| folder.canonicalize().ok().and_then(|f| f.file_name().map(ToOwned::to_owned));
    folders.iter().enumerate().find_map(|(i, a)| {
        let b = folders[..i].iter().find(|b| name(a).is_some() && name(a) == name(b))?;
        Some((b.as_path(), a.as_path()))
    })
}

fn prepare(folder: &Path, as_of: Option<Date>) -> Result<Version, Line> {
    let wrong = |stands: String, worst: String| Line {
        name: shown(folder),
        outcome: Outcome::WrongInput,
        stands,
        worst,
    };
    let of_problems = |problems: &Problems| {
        let errors: Vec<&Problem> = problems.all.iter().filter(|p| p.severity == Severity::Error).collect();
        let first =
            errors.first().map_or(String::new(), |p| p.message.lines().next().unwrap_or_default().to_owned());
        wrong(format!("{} to mend", errors.len()), first)
    };
    let survey = family::survey(folder, as_of).map_err(|problems| of_problems(&problems))?;
    let missing = survey.missing().count();
    if !survey.problems.has_errors() && missing > 0 {
        let next = survey.missing().next().map_or(String::new(), |s| format!("next: {}", s.line()));
        return Err(wrong(format!("{missing} to measure"), next));
    }
    Version::new(shown(folder), survey).map_err(|problems| of_problems(&problems))
}

fn judged(folder: &Path, prepared: &Prepared) -> Line {
    let order = prepared.fit.worst_first();
    let worst = order.first().map_or(String::new(), |c| {
        let unit = prepared.family.unit();
        format!("{} {} {}: {}", margin(c.margin.value(), unit), unit.short(), c.position, c.title)
    });
    let stands = prepared.fit.verdict().word().to_owned();
    Line { name: shown(folder), outcome: Outcome::of(prepared.fit.verdict()), stands, worst }
}

fn built(folder: &Path, version: &Version, options: &arguments::Build) -> Line {
    let prepared = &version.prepared;
    let mut line = judged(folder, prepared);
    if prepared.fit.verdict() == Verdict::Clashes && !options.anyway {
        line.stands = "clashes, not written".into();
        return line;
    }
    let out = options.out.join(&prepared.family.slug);
    match bobbinwright_export::build(prepared, &version.survey, &out, || ()) {
        Ok(installed) => {
            line.outcome = Outcome::Fine;
            line.stands = format!("{}, {} files", line.stands, installed.files.len());
        }
        Err(e) => {
            line.outcome = Outcome::WrongInput;
            line.stands = "not written".into();
            line.worst = e.to_string();
        }
    }
    line
}

fn shown(folder: &Path) -> String {
    folder.display().to_string()
}

/// The worst comes first in the code: wrong input, a clash, something too close to call.
fn tell(lines: &[Line], as_json: bool) -> Outcome {
    if as_json {
        let all: Vec<Value> = lines
            .iter()
            .map(|l| json!({ "folder": l.name, "stands": l.stands, "worst": l.worst, "ends_with": l.outcome.code() }))
            .collect();
        say::line(format_args!("{:#}", json!({ "families": all })));
    } else {
        let width = |of: fn(&Line) -> &String| lines.iter().map(|l| of(l).chars().count()).max().unwrap_or(0);
        let (name, stands) = (width(|l| &l.name), width(|l| &l.stands));
        for l in lines {
            say::line(format_args!("{:name$}  {:stands$}  {}", l.name, l.stands, l.worst));
        }
    }
    let has = |outcome| lines.iter().any(|l| l.outcome == outcome);
    [Outcome::WrongInput, Outcome::Clash, Outcome::TooClose]
        .into_iter()
        .find(|o| has(*o))
        .unwrap_or(Outcome::Fine)
}
