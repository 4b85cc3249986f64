//! Which day it is, by the machine's clock. Everything that reads a log is handed the day: what has no clock asks somebody
//! who has.

use bobbinwright_spec::When;
use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

/// The day it is here; in UTC where the machine does not say where it is.
pub fn today() -> Date {
    TimeZone::system().to_datetime(Timestamp::now()).date()
}

/// The log as it stands; an entry of a day that it is nowhere on earth yet is a slip.
pub fn now() -> When {
    let today = TimeZone::UTC.to_datetime(Timestamp::now()).date();
    When { latest: Some(today.tomorrow().unwrap_or(today)), as_of: None }
}
