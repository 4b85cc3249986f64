//! `bobbinwright completions`.

use clap::CommandFactory;

use crate::outcome::Outcome;
use crate::{arguments, say};

/// Prints what a shell completes commands and options by.
pub(crate) fn run(options: &arguments::Completions) -> Outcome {
    let mut script = Vec::new();
    clap_complete::generate(options.shell, &mut arguments::Arguments::command(), "bobbinwright", &mut script);
    say::text(String::from_utf8_lossy(&script));
    Outcome::Fine
}
