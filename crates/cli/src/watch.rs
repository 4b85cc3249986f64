//! `bobbinwright build --watch`: built again on every save, a line each time.

use std::path::{Path, PathBuf};
use std::time::{Duration, SystemTime};

use bobbinwright_core::changes::{Version, readings, wanted};
use bobbinwright_fit::Verdict;
use bobbinwright_spec::{FAMILY_FILE, MADE_FILE, PartKind, READINGS_FILE, part_name};

use crate::diff;
use crate::outcome::Outcome;
use crate::{arguments, complain, say, table};

/// Between two looks at the files.
const PAUSE: Duration = Duration::from_millis(250);

/// What tells whether a file was saved: its date and length.
type Stamp = Vec<(PathBuf, Option<(SystemTime, u64)>)>;

/// Builds, and builds again whenever a file that the family is read from was saved. Does not come back.
pub(crate) fn run(family: &Path, options: &arguments::Build) -> Outcome {
    let mut last: Option<Version> = None;
    let mut seen = Stamp::new();
    loop {
        let now = stamp(family, last.as_ref());
        if now == seen {
            std::thread::sleep(PAUSE);
            continue;
        }
        seen = now;
        // What is wrong has been said; the next save may mend it.
        if let Ok(version) = diff::load(family, None, false) {
            build(&version, last.as_ref(), options);
            last = Some(version);
        }
    }
}

/// The family's files as they were read last, and its own.
fn stamp(family: &Path, last: Option<&Version>) -> Stamp {
    let known = last.map_or(&[][..], |v| &v.survey.problems.files[..]);
    let mut files: Vec<PathBuf> = known.iter().map(|f| PathBuf::from(&f.name)).collect();
    files.extend([FAMILY_FILE, READINGS_FILE, MADE_FILE].map(|name| family.join(name)));
    files.sort();
    files.dedup();
    let of = |file: PathBuf| {
        let about = std::fs::metadata(&file).ok();
        let when = about.and_then(|m| Some((m.modified().ok()?, m.len())));
        (file, when)
    };
    files.into_iter().map(of).collect()
}

/// Everything that was read or is wanted otherwise, a line each.
fn causes(a: &Version, b: &Version) -> Vec<String> {
    readings(&a.survey, &b.survey).into_iter().chain(wanted(a, b)).collect()
}

fn build(version: &Version, last: Option<&Version>, options: &arguments::Build) {
    let prepared = &version.prepared;
    let causes = last.map_or(Vec::new(), |last| causes(last, version));
    let cause = match &causes[..] {
        [] if last.is_none() => "first build".to_owned(),
        // A second look after the first build knows more files than the first did.
        [] => return,
        [one] => one.clone(),
        [first, rest @ ..] => format!("{first}, and {} more", rest.len()),
    };
    let summary = table::in_a_line(&prepared.fit);
    if prepared.fit.verdict() == Verdict::Clashes && !options.anyway {
        say::line(format_args!("{cause}; nothing written. {summary}"));
        return;
    }
    let folder = options.out.join(&prepared.family.slug);
    match bobbinwright_export::build(prepared, &version.survey, &folder, || ()) {
        Ok(installed) => {
            // A plate that is cut has no STL file, and a whole sheet is no part.
            let all = prepared.family.positions.iter();
            let names: Vec<String> =
                all.flat_map(|position| PartKind::ALL.map(|kind| part_name(&position.name, kind))).collect();
            let is_plate = |name: &&str| names.iter().any(|known| known == name);
            let of = |f: &'_ String| -> Option<String> {
                let cut = f.strip_suffix(".dxf").filter(is_plate);
                f.strip_suffix(".stl").or(cut).map(str::to_owned)
            };
            let parts: Vec<String> = installed.changed.iter().filter_map(of).collect();
            let parts = if parts.is_empty() { "no part".to_owned() } else { parts.join(", ") };
            say::line(format_args!("{cause}; changed: {parts}. {summary}"));
        }
        Err(e) => {
            complain::failure(&format!("nothing was written: {e}"), false);
        }
    }
}
