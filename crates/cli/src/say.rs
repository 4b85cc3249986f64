//! Answers on the standard output. Whoever reads it may stop reading (`… | head`); that is no error.

use std::fmt::Display;
use std::io::Write;

/// A text as it is.
pub(crate) fn text(text: impl Display) {
    let _ = write!(std::io::stdout(), "{text}");
}

/// A text and the end of its line.
pub(crate) fn line(text: impl Display) {
    let _ = writeln!(std::io::stdout(), "{text}");
}
