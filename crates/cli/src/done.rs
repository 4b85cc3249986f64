//! `bobbinwright done`.

use bobbinwright_clock as clock;
use bobbinwright_spec::{Done, Figure, Folder, NewDone, Step, Survey, Unit, WireEnd, in_one_unit};

use crate::arguments::{self, End};
use crate::enter::entered;
use crate::outcome::Outcome;
use crate::{complain, family, say};

/// Enters that a step is done.
pub(crate) fn run(options: &arguments::Done) -> Outcome {
    let survey = match family::survey(&options.family, None) {
        Ok(survey) if !survey.problems.has_errors() => survey,
        Ok(Survey { problems, .. }) | Err(problems) => return complain::wrong_input(&problems, false),
    };
    let names: Vec<&str> = survey.positions.iter().map(|p| p.name.as_str()).collect();
    if !names.contains(&options.position.as_str()) {
        let why = format!("there is no position {:?}; there is {}", options.position, names.join(", "));
        return complain::failure(&format!("nothing was entered: {why}"), false);
    }
    if let Some(why) = out_of_place(options) {
        return complain::failure(&format!("nothing was entered: {why}"), false);
    }
    let Some(new) = entry(options) else {
        return complain::failure("nothing was entered: say all lengths in one unit", false);
    };
    let folder = Folder::on_disk(&options.family);
    match entered(&folder, |survey: &Survey| Ok((survey.whole_step(new.clone()).to_string(), None))) {
        Ok(_) => {
            say::line(format_args!(
                "What comes next says bobbinwright stands {}.",
                say::typed(&options.family)
            ));
            Outcome::Fine
        }
        Err(outcome) => outcome,
    }
}

/// What is said of another step than it belongs to would be entered and never shown.
fn out_of_place(options: &arguments::Done) -> Option<String> {
    let is_in = options.step == arguments::Step::BuiltIn;
    let set = [
        ("--gaps", options.gaps.is_some()),
        ("--action", options.action.is_some()),
        ("--heard", options.heard.is_some()),
    ];
    let (said, _) = set.into_iter().find(|(_, is_said)| *is_said && !is_in)?;
    let (family, position) = (options.family.display(), &options.position);
    Some(format!(
        "{said} is said of a pickup that is built in: bobbinwright done {family} {position} built-in {said} …"
    ))
}

/// None where lengths are in several units.
fn entry(options: &arguments::Done) -> Option<NewDone> {
    let all: Vec<Figure> =
        [&options.gaps, &options.action].into_iter().flatten().flatten().cloned().collect();
    let (digits, unit) = if all.is_empty() { (Vec::new(), Unit::Mm) } else { in_one_unit(&all)? };
    let mut digits = digits.into_iter();
    let mut two =
        |said: &Option<Vec<Figure>>| said.as_ref().and_then(|_| Some([digits.next()?, digits.next()?]));
    let done = Done {
        position: options.position.clone(),
        step: match options.step {
            arguments::Step::Wound => Step::Wound,
            arguments::Step::Soldered => Step::Soldered,
            arguments::Step::BuiltIn => Step::BuiltIn,
        },
        hot: options.hot.map(|end| match end {
            End::Start => WireEnd::Start,
            End::Finish => WireEnd::Finish,
        }),
        turns: None,
        gaps: two(&options.gaps),
        action: two(&options.action),
        heard: options.heard.clone(),
    };
    Some(NewDone { on: options.on.unwrap_or_else(clock::today), done, unit })
}
