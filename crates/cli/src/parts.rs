//! `bobbinwright printed` and `parts`.

use std::path::{Path, PathBuf};

use bobbinwright_clock as clock;
use bobbinwright_export::bench::{self, Lying, NotNoted};
use bobbinwright_export::{earlier, manifest, whose};
use bobbinwright_spec::{
    Book, Copy, Folder, NewState, NotEntered, Quantity, State, Survey, enter, part_name, part_named,
};

use crate::arguments::Became;
use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Enters that parts went on the printer.
pub(crate) fn printed(options: &arguments::Printed) -> Outcome {
    let survey = match family::survey(&options.family, None) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(Survey { problems, .. }) | Err(problems) => return complain::wrong_input(&problems, false),
    };
    let family = Folder::on_disk(&options.family);
    let manifest = match &options.build {
        Some(mark) => kept(&survey, &family, &mark.to_ascii_lowercase(), &options.out),
        None => standing(&survey, &options.out),
    };
    let manifest = match manifest {
        Ok(manifest) => manifest,
        Err(why) => return complain::failure(&format!("nothing was entered: {why}"), false),
    };
    let on = options.on.unwrap_or_else(clock::today);
    if let (false, Some(copy)) =
        (options.again, bench::entered_already(&survey, &manifest, &options.parts, on))
    {
        let why = format!(
            "{copy} is in the log already, of the same build and day; if this is another print, say --again"
        );
        return complain::failure(&format!("nothing was entered: {why}"), false);
    }
    match bench::note_printed(&family, &manifest, &options.parts, on, clock::now()) {
        Ok(entered) => {
            complain::each(&entered.after.problems.files, entered.news());
            let new = entered.after.copies();
            let new = new.iter().filter(|copy| copy.entry > entered.before.entries());
            for copy in new {
                say::line(format_args!("Entry {}: {copy}, of build {}.", copy.entry, copy.build));
            }
            say::line(format_args!(
                "What is read of them from now on is read of these copies; bobbinwright inspect {} says what to read.",
                say::typed(&options.family)
            ));
            Outcome::Fine
        }
        Err(NotNoted::Entry(NotEntered::Problems(problems))) => complain::wrong_input(&problems, false),
        Err(other) => complain::failure(&other.to_string(), false),
    }
}

/// The manifest of what was built last.
fn standing(survey: &Survey, out: &Path) -> Result<String, String> {
    let family = survey.clone().family().map_err(|_| "the family can't be built as it is now, so that it is not known whether the build is its own; put it right first".to_owned())?;
    let folder = whose::folder(out, &family);
    let stands = whose::standing(&folder, &family).ok_or_else(|| {
        format!("nothing was built into {} yet (--out names the folder that builds are in)", folder.display())
    })?;
    if !stands.is_own {
        return Err(format!(
            "the build in {} is of another family, {:?}; name the folder that this one's builds are in with --out",
            folder.display(),
            stands.title
        ));
    }
    std::fs::read_to_string(folder.join(manifest::FILE)).map_err(|e| e.to_string())
}

/// The manifest of an earlier build.
fn kept(survey: &Survey, family: &Folder, mark: &str, out: &Path) -> Result<String, String> {
    if let Some(manifest) = bench::kept(&survey.log_folder(family), mark) {
        return Ok(manifest);
    }
    if let Some(handed) = survey.clone().family().ok().and_then(|now| {
        // Handed over, and nothing built.
        let folder = whose::folder(out, &now);
        earlier::manifest(&folder, mark).filter(|_| whose::standing(&folder, &now).is_none_or(|s| s.is_own))
    }) {
        return Ok(handed);
    }
    let last = standing(survey, out)?;
    let Ok(now) = survey.clone().family() else { return Ok(last) };
    let folder = whose::folder(out, &now);
    let stands = whose::standing(&folder, &now).map_or(String::new(), |s| s.mark);
    if stands == mark {
        return Ok(last);
    }
    // It may have been called otherwise when that was built.
    let renamed = whose::renamed(out, &now);
    let lies = |folder: &PathBuf| {
        let is_it = whose::standing(folder, &now).is_some_and(|s| s.is_own && s.mark == mark);
        is_it.then(|| std::fs::read_to_string(folder.join(manifest::FILE)).ok()).flatten()
    };
    if let Some(found) = renamed.iter().find_map(|f| lies(f).or_else(|| earlier::manifest(f, mark))) {
        return Ok(found);
    }
    let before = earlier::marks(&folder);
    earlier::manifest(&folder, mark).ok_or_else(|| {
        let place = folder.display();
        if before.is_empty() {
            format!("build {mark} is not known: the only one in {place} is {stands}")
        } else {
            format!("build {mark} is not known: in {place} stands {stands}, before it {}", before.join(", "))
        }
    })
}

/// Lists the copies, or enters what became of one.
pub(crate) fn run(options: &arguments::Parts) -> Outcome {
    let survey = match family::survey(&options.family, None) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(Survey { problems, .. }) | Err(problems) => return complain::wrong_input(&problems, false),
    };
    if let (Some(part), Some(state)) = (&options.part, options.state) {
        return became(options, &survey, part, state);
    }
    list(&survey, &options.family);
    Outcome::Fine
}

fn became(options: &arguments::Parts, survey: &Survey, part: &str, state: Became) -> Outcome {
    let name = part_named(part).map_or(part.to_owned(), |(position, kind)| part_name(position, kind));
    let copies = survey.copies();
    let of_part: Vec<&Copy> = copies.iter().filter(|copy| copy.part() == name).collect();
    let Some(last) = of_part.iter().find(|copy| copy.is_current).or(of_part.last()) else {
        return complain::failure(&format!("no copy of {name} was printed, as far as the log knows"), false);
    };
    let state = match state {
        Became::InUse => State::InUse,
        Became::Finished => State::Finished,
        Became::Spare => State::Spare,
        Became::Broken => State::Broken,
        Became::BuiltIn => State::BuiltIn,
    };
    if state == State::Finished
        && let Some(why) = survey.has_no_finish(&last.position, last.kind)
    {
        return complain::failure(&format!("nothing was entered: {why}"), false);
    }
    let newest = of_part.last().filter(|newest| options.copy.is_none() && newest.state == state);
    if let Some(newest) = newest.filter(|newest| newest.number != last.number) {
        let why = format!(
            "{newest} is {} already, and copy {1} is in use: if that is meant, say --copy {1}",
            newest.state.describe(),
            last.number
        );
        return complain::failure(&why, false);
    }
    let copy = options.copy.unwrap_or(last.number);
    let new = NewState { on: options.on.unwrap_or_else(clock::today), part: name, copy, state };
    match enter(&Folder::on_disk(&options.family), clock::now(), |_: &Survey| Ok((new.to_string(), None))) {
        Ok(entered) => {
            complain::each(&entered.after.problems.files, entered.news());
            say::line(format_args!("Entry {}: {}", entered.after.entries(), entered.entry));
            list(&entered.after, &options.family);
            Outcome::Fine
        }
        Err(NotEntered::Problems(problems)) => complain::wrong_input(&problems, false),
        Err(other) => complain::failure(&other.to_string(), false),
    }
}

fn list(survey: &Survey, folder: &Path) {
    let copies = survey.copies();
    if copies.is_empty() {
        say::line(format_args!(
            "The log knows of no printed part. When some went on the printer: bobbinwright printed {}",
            say::typed(folder)
        ));
        return;
    }
    let family = Folder::on_disk(folder);
    let lying = bench::lying(&survey.log_folder(&family), survey, clock::now());
    let width = copies.iter().map(|copy| copy.to_string().len()).max().unwrap_or_default();
    for copy in &copies {
        let is_current = lying.iter().find(|lies| lies.copy.entry == copy.entry);
        say::line(format_args!(
            "{:width$}  printed {} from build {}, {}{}",
            copy.to_string(),
            copy.on,
            copy.build,
            if copy.state == State::InUse && !copy.is_current { "replaced" } else { copy.state.describe() },
            is_current.map_or(String::new(), |lies| what_is_known(survey, lies))
        ));
    }
    say::line(format_args!(
        "bobbinwright diff {} says which of those in use are still good.",
        say::typed(folder)
    ));
}

/// How many of its sizes were read, and whether it is known how it was drawn.
fn what_is_known(survey: &Survey, lies: &Lying) -> String {
    let is_of_it = |q: &Quantity| matches!(q, Quantity::Piece(position, size) if (position, size.part) == (&lies.copy.position, lies.copy.kind));
    let read = survey.quantities.iter().filter(|s| is_of_it(&s.quantity) && s.estimate.is_some()).count();
    let read = match read {
        0 => ", nothing read of it yet".to_owned(),
        1 => ", one size read".to_owned(),
        n => format!(", {n} sizes read"),
    };
    match lies.source() {
        Ok(_) => read,
        Err(why) => format!("{read}; how it was drawn is not known: {why}"),
    }
}
