//! `bobbinwright tried`.

use bobbinwright_clock as clock;
use bobbinwright_spec::{Copy, Folder, NewTrial, PartKind, Side, Survey, TriedWith, part_name, part_named};

use crate::arguments::{At, With};
use crate::enter::entered;
use crate::outcome::Outcome;
use crate::{arguments, complain, family, say, tell};

/// Enters how it went when a part was tried in the body, and says what that changes.
pub(crate) fn run(options: &arguments::Tried) -> Outcome {
    let survey = match family::survey(&options.family, None) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(Survey { problems, .. }) | Err(problems) => return complain::wrong_input(&problems, false),
    };
    let trial = match trial(options, &survey) {
        Ok(trial) => trial,
        Err(why) => return complain::failure(&format!("nothing was entered: {why}"), false),
    };
    let folder = Folder::on_disk(&options.family);
    match entered(&folder, |_| Ok((trial.to_string(), None))) {
        Ok(entered) => {
            tell::family(&folder, &entered.before, &entered.after, None);
            Outcome::Fine
        }
        Err(outcome) => outcome,
    }
}

/// The entry, or why there is none to make.
fn trial(options: &arguments::Tried, survey: &Survey) -> Result<NewTrial, String> {
    let named = part_named(&options.part);
    let part = named.map_or(options.part.clone(), |(position, kind)| part_name(position, kind));
    if named.is_some_and(|(_, kind)| !matches!(kind, PartKind::Cover | PartKind::Baseplate)) {
        return Err(format!("{part} does not go into the body: only covers and baseplates are tried there"));
    }
    let copies = survey.copies();
    let of_part: Vec<&Copy> = copies.iter().filter(|copy| copy.part() == part).collect();
    let Some(in_use) = of_part.iter().find(|copy| copy.is_current).or(of_part.last()) else {
        return Err(format!(
            "no copy of {part} was printed, as far as the log knows; when it went on the printer: bobbinwright printed {} {part}",
            say::typed(&options.family)
        ));
    };
    let with = match options.with {
        With::Rout => TriedWith::Rout,
        With::Screws => TriedWith::Screws,
    };
    let at = options.at.map(|at| match at {
        At::Bass => Side::Bass,
        At::Treble => Side::Treble,
        At::Neck => Side::Neck,
        At::Bridge => Side::Bridge,
    });
    Ok(NewTrial {
        on: options.on.unwrap_or_else(clock::today),
        copy: options.copy.unwrap_or(in_use.number),
        goes_in: !options.jams,
        at,
        part,
        with,
    })
}
