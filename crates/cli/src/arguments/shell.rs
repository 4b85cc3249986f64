//! What can be typed about the shell.

use clap::Args;
use clap_complete::Shell;

/// Print what a shell completes commands and options by.
///
/// For bash, put it into ~/.local/share/bash-completion/completions/bobbinwright.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright completions bash")]
pub(crate) struct Completions {
    /// For which shell.
    pub shell: Shell,
}
