//! What the commands about the whole job are told.

use std::path::PathBuf;

use bobbinwright_spec::Figure;
use clap::{Args, ValueEnum};
use jiff::civil::Date;

use super::{Paper, log};

/// Say how the job stands: what is measured, printed, inspected, wound, soldered and built in, and what comes next.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright stands specs/tidewick specs/skerry")]
pub(crate) struct Stands {
    /// The folders with family.ron and readings.ron.
    #[arg(required = true, value_name = "FAMILY")]
    pub families: Vec<PathBuf>,
    /// Answer in JSON, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// Enter that a step of the work is done, and how it came out.
///
/// Said again, the later word counts.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: bobbinwright done specs/tidewick neck built-in --gaps 2.5 2.0 --heard clear"
)]
pub(crate) struct Done {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// The position.
    pub position: String,
    /// What is done.
    pub step: Step,
    /// Which end of the wire goes to the output; the other one is grounded.
    #[arg(long)]
    pub hot: Option<End>,
    /// From the pickup's top to the strings as it is set, held down at the last fret: on the bass and on the treble side.
    #[arg(long, num_args = 2, value_names = ["BASS", "TREBLE"])]
    pub gaps: Option<Vec<Figure>>,
    /// From the twelfth fret to the strings: on the bass and on the treble side.
    #[arg(long, num_args = 2, value_names = ["BASS", "TREBLE"])]
    pub action: Option<Vec<Figure>>,
    /// What you hear.
    #[arg(long, value_name = "WORDS", value_parser = clap::builder::NonEmptyStringValueParser::new())]
    pub heard: Option<String>,
    /// The day it was [default: today].
    #[arg(long, value_parser = log::day, value_name = "DAY")]
    pub on: Option<Date>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Step {
    Wound,
    Soldered,
    BuiltIn,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum End {
    Start,
    Finish,
}

/// Make a label for each baseplate, to print at 1:1 and glue on: resistance, turns, polarity, hot end, date.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright label specs/tidewick")]
pub(crate) struct Label {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// Where the labels' folder goes, `FAMILY-labels`.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// The paper in your printer.
    #[arg(long, default_value = "a4")]
    pub paper: Paper,
}

/// Say what to buy and what to cut, with lengths that follow from the build; alike things of several families together.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright needs specs/tidewick specs/skerry --csv")]
pub(crate) struct Needs {
    /// The folders with family.ron and readings.ron.
    #[arg(required = true, value_name = "FAMILY")]
    pub families: Vec<PathBuf>,
    /// As a table for a spreadsheet, lengths in millimetres.
    #[arg(long)]
    pub csv: bool,
}

/// Put together what goes to whoever prints the parts: the files, and a page that says how.
///
/// How many of what, of which material, what lies down, which faces stay free of support, which sizes decide and how
/// they are read.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright handover specs/tidewick --copies 2")]
pub(crate) struct Handover {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// How many of each part.
    #[arg(long, default_value_t = 1, value_parser = copies)]
    pub copies: usize,
    /// Where its folder goes, `FAMILY-handover`.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// The paper for the page.
    #[arg(long, default_value = "a4")]
    pub paper: Paper,
}

fn copies(typed: &str) -> Result<usize, String> {
    let many = typed.parse().ok().filter(|n| (1..=100).contains(n));
    many.ok_or_else(|| "write how many, 1 to 100".to_owned())
}

/// Take over what was read of rods, screws, eyelets and lead for another family, with the tools they were read with.
///
/// What lies in the same box need not be read twice. What this family has read itself stays.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright take specs/skerry --from specs/tidewick")]
pub(crate) struct Take {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// The family to take them from.
    #[arg(long, value_name = "FAMILY")]
    pub from: PathBuf,
}
