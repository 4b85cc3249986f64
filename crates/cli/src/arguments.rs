//! What can be typed.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};
use jiff::civil::Date;

/// From caliper readings of a rout, its strings and screws to pickup parts that print and drop in.
#[derive(Debug, Parser)]
#[command(name = "bobbinwright", version, arg_required_else_help = true)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Check(Check),
    Build(Build),
    Picture(Picture),
}

/// Say whether the parts fit, worst first, and what to change.
///
/// Ends with 0 when all fits, 1 when something clashes, 2 when the input is wrong, 3 when nothing
/// clashes but something is too close to call.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright check specs/tidewick")]
pub(crate) struct Check {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// Answer in JSON, for other programs.
    #[arg(long)]
    pub json: bool,
    /// Answer as of a day: later entries of the log do not count.
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub as_of: Option<Date>,
    /// Show the figures behind every check.
    #[arg(long)]
    pub figures: bool,
}

/// Check, then write STL and STEP files, the report and the manifest.
///
/// The files go to `out/FAMILY/` as a whole or not at all. When something clashes nothing is
/// written, and the last good build stays.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright build specs/tidewick --out out")]
pub(crate) struct Build {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// Where the family's folder of files goes.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Answer as of a day: later entries of the log do not count.
    #[arg(long, value_name = "YYYY-MM-DD")]
    pub as_of: Option<Date>,
    /// Build in spite of clashes.
    #[arg(long)]
    pub anyway: bool,
    /// Answer in JSON, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// Draw all parts, lifted off each other, as a PNG file.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright picture specs/tidewick tidewick.png")]
pub(crate) struct Picture {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// The PNG file to write. A file that is there already is left alone.
    pub file: PathBuf,
    /// Its width in pixels.
    #[arg(long, default_value_t = 1400, value_parser = clap::value_parser!(u16).range(100..=4000))]
    pub width: u16,
}
