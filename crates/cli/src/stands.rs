//! `bobbinwright stands`.

use bobbinwright_clock as clock;
use bobbinwright_export::job::job;
use bobbinwright_spec::Folder;
use serde_json::{Value, json};

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Says how each family's job stands.
pub(crate) fn run(options: &arguments::Stands) -> Outcome {
    let mut outcome = Outcome::Fine;
    let mut all: Vec<Value> = Vec::new();
    for (number, folder) in options.families.iter().enumerate() {
        let survey = match family::survey(folder, None) {
            Ok(survey) => survey,
            Err(problems) if options.json => {
                outcome = Outcome::WrongInput;
                all.push(json!({ "folder": folder, "problem": problems.to_string() }));
                continue;
            }
            Err(problems) => {
                outcome = complain::wrong_input(&problems, false);
                continue;
            }
        };
        let job = job(&Folder::on_disk(folder), &survey, clock::now());
        if options.json {
            // Text, numbers and lists of them can always be written as JSON.
            all.push(serde_json::to_value(&job).unwrap_or_default());
        } else {
            let apart = if number > 0 { "\n" } else { "" };
            say::text(format_args!("{apart}{}", job.text(survey.unit())));
        }
    }
    if options.json {
        say::line(format_args!("{:#}", json!({ "families": all })));
    }
    outcome
}
