//! `bobbinwright needs`.

use bobbinwright_clock as clock;
use bobbinwright_core::Prepared;
use bobbinwright_export::bench;
use bobbinwright_export::needs::Needs;
use bobbinwright_fit::Verdict;
use bobbinwright_spec::{Folder, Unit};

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Says what to buy and to cut for some families.
pub(crate) fn run(options: &arguments::Needs) -> Outcome {
    let mut outcome = Outcome::Fine;
    let mut needs = Needs::default();
    let mut units = Vec::new();
    for folder in &options.families {
        let survey = match family::survey(folder, None) {
            Ok(survey) => survey,
            Err(problems) => {
                outcome = complain::wrong_input(&problems, false);
                continue;
            }
        };
        if !survey.problems.has_errors() && survey.missing().next().is_some() {
            outcome = complain::to_measure(&survey, folder, false);
            continue;
        }
        match bench::prepared(&Folder::on_disk(folder), &survey, clock::now()) {
            Ok(prepared) => {
                note(&prepared);
                needs.add(&prepared, &survey);
            }
            Err(problems) => {
                outcome = complain::wrong_input(&problems, false);
                continue;
            }
        }
        units.push(survey.unit());
    }
    // One that can't be read does not keep the others from being bought for.
    if units.is_empty() {
        return outcome;
    }
    let all_inch = units.iter().all(|unit| *unit == Unit::Inch);
    say::text(if options.csv {
        needs.csv()
    } else {
        needs.text(if all_inch { Unit::Inch } else { Unit::Mm })
    });
    outcome
}

/// What clashes is bought in vain, perhaps.
fn note(prepared: &Prepared) {
    let name = &prepared.family.slug;
    match prepared.fit.verdict() {
        Verdict::Fits => {}
        Verdict::TooClose => say::aside(format_args!(
            "{name}: whether all of it goes together and in is too close to call; bobbinwright check says what would tell, before you buy."
        )),
        Verdict::Clashes => say::aside(format_args!(
            "{name}: something clashes, so that sizes and counts may change; bobbinwright check says what, before you buy."
        )),
    }
}
