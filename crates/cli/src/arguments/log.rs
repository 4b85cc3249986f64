//! What is entered in a log: readings, tools, withdrawals.

use std::path::PathBuf;

use bobbinwright_spec::Figure;
use clap::{Args, ValueEnum};
use jiff::civil::Date;

/// Enter a reading at the end of a family's or printer's log, and show what it changes.
///
/// Figures are in mm unless they end in `in`: 92.24, 3.631in, 1/4in. A reading that makes no sense is
/// refused; one that looks like a slip is entered and pointed out.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: bobbinwright read specs/tidewick neck.strings.1-2 10.07 10.08 --how strings_outer"
)]
pub(crate) struct Read {
    /// The folder with family.ron or printer.ron, and readings.ron.
    pub family: PathBuf,
    /// What was read, as `check` or the measuring sheet name it.
    pub quantity: String,
    /// The figures, one for each time it was read.
    #[arg(required = true, num_args = 1..)]
    pub values: Vec<Figure>,
    /// The tool; by default the one that this was read with last, or else the finest.
    #[arg(long, value_name = "TOOL")]
    pub with: Option<String>,
    /// What the caliper touched. Needed for distances between strings, of a string from the rout, and
    /// between screw holes; `outside` where it was read from centre to centre.
    #[arg(long, value_name = "WORD")]
    pub how: Option<How>,
    /// The tolerance that the packet states, with --how packet; with --how planned, within what it will come out.
    #[arg(long, value_name = "FIGURE")]
    pub within: Option<Figure>,
    /// Where, when a quantity is read in several spots.
    #[arg(long, value_parser = clap::builder::NonEmptyStringValueParser::new())]
    pub spot: Option<String>,
    /// Earlier readings of it do not count any more: the thing itself has changed.
    #[arg(long)]
    pub afresh: bool,
    /// The day it was taken [default: today].
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub on: Option<Date>,
}

/// The words of the log for how a reading was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
#[value(rename_all = "snake_case")]
pub(crate) enum How {
    Outside,
    Inside,
    Depth,
    StringsOuter,
    StringsInner,
    HolesFar,
    HolesNear,
    HoleNear,
    HoleFar,
    StringNear,
    StringFar,
    Packet,
    Planned,
}

pub(super) fn day(typed: &str) -> Result<Date, String> {
    typed.parse().map_err(|_| "write year-month-day, like 2026-10-03".to_owned())
}

/// Withdraw an entry of the log by another one at its end. Nothing is erased.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright withdraw specs/tidewick 12 \"misread\"")]
pub(crate) struct Withdraw {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// The entry's number, counted from 1; messages name it.
    #[arg(value_parser = entry_number)]
    pub entry: usize,
    /// Why.
    #[arg(value_parser = clap::builder::NonEmptyStringValueParser::new())]
    pub why: String,
}

fn entry_number(typed: &str) -> Result<usize, String> {
    typed.parse().map_err(|_| "write the entry's number in digits: 12".to_owned())
}

/// Enter a tool that later readings are taken with, a rule or another caliper, at the end of the log.
///
/// Inside jaws and depth rod are taken to be allowed 0.02 mm more than the outside jaws.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright tool specs/tidewick ruler --step 0.5 --limit 0.2")]
pub(crate) struct Tool {
    /// The folder with family.ron or printer.ron, and readings.ron.
    pub family: PathBuf,
    /// The name that readings give with --with.
    #[arg(value_parser = clap::builder::NonEmptyStringValueParser::new())]
    pub name: String,
    /// The step of its display or scale: 0.5, 1/64in.
    #[arg(long)]
    pub step: Figure,
    /// The largest error that its maker permits: 0.2, 0.008in.
    #[arg(long)]
    pub limit: Figure,
}
