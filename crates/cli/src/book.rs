//! What a new entry in a log changes, said.

use bobbinwright_spec::{Book, Folder, PrinterSurvey, Quantity, Survey};

use crate::{profile, tell};

/// A log whose new entries can be talked about.
pub(crate) trait Telling: Book {
    /// Says what a new entry in the log of a folder changes.
    fn tell(folder: &Folder, before: Self, after: Self, quantity: Option<Quantity>);
}

impl Telling for Survey {
    fn tell(folder: &Folder, before: Self, after: Self, quantity: Option<Quantity>) {
        tell::family(folder, &before, &after, quantity);
    }
}

impl Telling for PrinterSurvey {
    fn tell(_folder: &Folder, before: Self, after: Self, quantity: Option<Quantity>) {
        profile::tell(before, after, quantity.as_ref());
    }
}
