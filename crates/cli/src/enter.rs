//! An entry made in a family's log by a command, and shown.

use bobbinwright_clock as clock;
use bobbinwright_spec::{Book, Entered, Folder, NotEntered, NotSaid, Quantity, Survey, enter};

use crate::outcome::Outcome;
use crate::{complain, say};

/// Makes an entry and shows it; what hinders it is said.
pub(crate) fn entered(
    folder: &Folder,
    make: impl Fn(&Survey) -> Result<(String, Option<Quantity>), NotSaid>,
) -> Result<Entered<Survey>, Outcome> {
    match enter(folder, clock::now(), make) {
        Ok(entered) => {
            complain::each(&entered.after.problems.files, entered.news());
            say::line(format_args!("Entry {}: {}", entered.after.entries(), entered.entry));
            Ok(entered)
        }
        Err(NotEntered::Problems(problems)) => Err(complain::wrong_input(&problems, false)),
        Err(NotEntered::Wrong(NotSaid::Unknown { name, why })) => {
            Err(complain::failure(&format!("{name}: {why}"), false))
        }
        Err(other) => Err(complain::failure(&other.to_string(), false)),
    }
}
