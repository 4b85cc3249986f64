//! Which day it is, as whoever asks says.

use bobbinwright_spec::When;
use jiff::civil::Date;

/// The day on which something is asked.
#[derive(Clone, Copy, Debug)]
pub struct Day {
    /// Where the person is: what is entered is of that day.
    pub today: Date,
    /// As of when logs are read.
    pub when: When,
}
