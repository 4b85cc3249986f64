//! What every command begins with: the family read, its parts built and checked.

use std::path::Path;

use bobbinwright_export::Prepared;
use bobbinwright_spec::{Family, When};
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::{Outcome, complain};

/// Reads, builds and checks a family and goes on with it, or says what is wrong with the input.
pub(crate) fn with(
    folder: &Path,
    as_of: Option<Date>,
    as_json: bool,
    go_on: impl FnOnce(&Prepared) -> Outcome,
) -> Outcome {
    let family = match Family::load_at(folder, When { latest: Some(latest_day()), as_of }) {
        Ok(family) => family,
        Err(problems) => return complain::wrong_input(&problems, as_json),
    };
    match Prepared::new(family) {
        Ok(prepared) => go_on(&prepared),
        Err(problems) => complain::wrong_input(&problems, as_json),
    }
}

/// The latest day that it can be anywhere on earth: an entry of a later day is a slip.
fn latest_day() -> Date {
    let today = TimeZone::UTC.to_datetime(Timestamp::now()).date();
    today.tomorrow().unwrap_or(today)
}
