//! `bobbinwright want`.

use bobbinwright_core::Prepared;
use bobbinwright_core::want::{NotWanted, WORDS, Wanting, is_known, said};
use bobbinwright_geometry::parts::room_for;
use bobbinwright_spec::edit::{Scope, undo};
use bobbinwright_spec::{PARAMETERS, Survey};

use crate::outcome::Outcome;
use crate::{arguments, changes, complain, family, say, table};

/// Changes what is wanted, lists it, or takes the last change back.
pub(crate) fn run(options: &arguments::Want) -> Outcome {
    if options.undo {
        return match undo(&options.family) {
            Ok(edit) => {
                let again = if edit.was.is_empty() { "not stated here".to_owned() } else { said(&edit.was) };
                say::line(format_args!("{} is {again} again.", edit.path));
                Outcome::Fine
            }
            Err(e) => complain::failure(&e.to_string(), false),
        };
    }
    let survey = match family::survey(&options.family, None) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(Survey { problems, .. }) | Err(problems) => return complain::wrong_input(&problems, false),
    };
    match (&options.path, &options.value) {
        (Some(path), Some(value)) => set(options, &survey, path, value),
        (Some(path), None) if !is_known(path) => {
            complain::failure(&NotWanted::unknown_in(path, &survey).to_string(), false)
        }
        _ => list(survey, options),
    }
}

fn set(options: &arguments::Want, survey: &Survey, path: &str, value: &str) -> Outcome {
    let first = survey.positions.first().map(|p| p.name.clone()).unwrap_or_default();
    let scope = options.only.clone().map_or(Scope::WhereItStands(first.clone()), Scope::Only);
    let wanting = Wanting { path: path.to_owned(), value: value.to_owned(), scope };
    let (edit, after) = match wanting.set(&options.family, survey, options.anyway) {
        Ok(done) => done,
        Err(NotWanted::Problems(problems) | NotWanted::Refused(problems)) => {
            return complain::wrong_input(&problems, false);
        }
        Err(e) => return complain::failure(&e.to_string(), false),
    };
    let position = options.only.as_ref().unwrap_or(&first);
    let was = survey.written_at(position, path).map_or("not stated".to_owned(), |(text, _)| said(text));
    say::line(format_args!("{path}: {}, before {was}.", said(&edit.value)));
    let built = |survey: Survey| survey.family().and_then(Prepared::new).ok();
    if let (Some(before), Some(now)) = (built(survey.clone()), built(after)) {
        say::text(changes::of_parts(&before, &now));
        say::text(changes::of_verdicts(&before, &now));
        say::text(table::conclusion(&now.fit));
    }
    Outcome::Fine
}

/// Values with their bounds: what the parts can be made with now, everything else left as it is.
fn list(survey: Survey, options: &arguments::Want) -> Outcome {
    let positions: Vec<String> = survey.positions.iter().map(|p| p.name.clone()).collect();
    let known = survey.clone();
    let built = survey.family().and_then(Prepared::new).ok();
    let asked = |path: &str| options.path.as_ref().is_none_or(|asked| asked == path);
    let mut any = false;
    for (index, position) in positions.iter().enumerate() {
        if options.only.as_ref().is_some_and(|only| only != position) {
            continue;
        }
        say::line(format_args!("{position}:"));
        for dimension in PARAMETERS.iter().filter(|d| asked(d.path)) {
            let Some((text, _)) = known.written_at(position, dimension.path) else { continue };
            let room = built
                .as_ref()
                .and_then(|b| room_for(&b.family.positions[index], &b.family.hardware, dimension));
            let room = room.map_or(String::new(), |ranges| format!("can be {ranges} now"));
            any |= !room.is_empty();
            row(dimension.path, text, &room);
        }
        for (path, words) in WORDS.iter().filter(|(path, _)| asked(path)) {
            let Some((text, _)) = known.written_at(position, path) else { continue };
            let room = if words.is_empty() { String::new() } else { format!("can be {}", words.join(", ")) };
            row(path, text, &room);
        }
    }
    if any {
        say::line(
            "Within these bounds the parts can be made, one value changed at a time; check says whether they fit.",
        );
    }
    if options.path.is_none() {
        say::line(
            "How the screws hold, one rod or two, and what the printer does is changed in family.ron itself.",
        );
    }
    Outcome::Fine
}

fn row(path: &str, text: &str, room: &str) {
    let line = format!("  {path:32} {:28} {room}", said(text));
    say::line(line.trim_end());
}
