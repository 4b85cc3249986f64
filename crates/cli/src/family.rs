//! What every command begins with: the family read, its parts built and checked.

use bobbinwright_clock as clock;
use std::path::Path;

use bobbinwright_core::Prepared;
use bobbinwright_export::bench;
use bobbinwright_spec::{Folder, Survey, When};
use jiff::civil::Date;

use crate::complain;
use crate::outcome::Outcome;

/// Reads, builds and checks a family and goes on with it, or says what is wrong with the input or
/// still to be measured.
pub(crate) fn with(
    folder: &Path,
    as_of: Option<Date>,
    as_json: bool,
    go_on: impl FnOnce(&Survey, &Prepared) -> Outcome,
) -> Outcome {
    let survey = match survey(folder, as_of) {
        Ok(survey) => survey,
        Err(problems) => return complain::wrong_input(&problems, as_json),
    };
    if !survey.problems.has_errors() && survey.missing().next().is_some() {
        return complain::to_measure(&survey, folder, as_json);
    }
    match bench::prepared(&Folder::on_disk(folder), &survey, clock::now()) {
        Ok(prepared) => go_on(&survey, &prepared),
        Err(problems) => complain::wrong_input(&problems, as_json),
    }
}

/// Reads a family's files.
pub(crate) fn survey(folder: &Path, as_of: Option<Date>) -> Result<Survey, bobbinwright_spec::Problems> {
    Survey::load_at(&Folder::on_disk(folder), When { as_of, ..clock::now() })
}
