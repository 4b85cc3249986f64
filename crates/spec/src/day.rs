//! Which day it is.

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::log::When;

/// The day it is here; in UTC where the machine does not say where it is.
pub fn today() -> Date {
    TimeZone::system().to_datetime(Timestamp::now()).date()
}

impl When {
    /// The log as it stands; an entry of a day that it is nowhere on earth yet is a slip.
    pub fn now() -> Self {
        let today = TimeZone::UTC.to_datetime(Timestamp::now()).date();
        Self { latest: Some(today.tomorrow().unwrap_or(today)), as_of: None }
    }
}
