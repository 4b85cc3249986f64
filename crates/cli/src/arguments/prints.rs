//! What the commands about printed parts are told.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use jiff::civil::Date;

use super::log;

/// Enter in the log that parts went on the printer, so that it stays known how these copies were drawn.
///
/// Whatever is built afterwards, what is read of them is held against the build that they are of.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright printed specs/tidewick neck-cover neck-baseplate")]
pub(crate) struct Printed {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// Which parts, as their files are called; all of the build without any.
    pub parts: Vec<String>,
    /// Also where the same part of the same build is in the log for that day: it is another print.
    #[arg(long)]
    pub again: bool,
    /// The mark of an earlier build, when it is not of the last one.
    #[arg(long, value_name = "MARK")]
    pub build: Option<String>,
    /// The day it was [default: today].
    #[arg(long, value_parser = log::day, value_name = "DAY")]
    pub on: Option<Date>,
    /// Where the builds are.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
}

/// List the parts that were printed, copy by copy; or enter what became of one.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright parts specs/tidewick")]
pub(crate) struct Parts {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// Which part something became of, as its file is called.
    #[arg(requires = "state")]
    pub part: Option<String>,
    /// What became of it.
    pub state: Option<Became>,
    /// Which copy [default: the one in use].
    #[arg(long, value_name = "NUMBER")]
    pub copy: Option<usize>,
    /// The day it was [default: today].
    #[arg(long, value_parser = log::day, value_name = "DAY")]
    pub on: Option<Date>,
}

/// Enter how it went when a printed cover or baseplate was tried in the body: what went in tells of the body.
///
/// A baseplate prints sooner than a cover. When it drops in and takes its screws, the cover of the same outline is surer to.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright tried specs/tidewick neck-baseplate screws")]
pub(crate) struct Tried {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// Which part, as its file is called.
    pub part: String,
    /// With what: it goes into the rout (with its ears, if it has some), or takes all its screws there too.
    pub with: With,
    /// It does not: it jams, or a screw does not go down through it.
    #[arg(long)]
    pub jams: bool,
    /// Where it jams: at an end or at a side of the rout, where that could be seen and there is room everywhere else.
    #[arg(long, value_enum, requires = "jams", value_name = "WHERE")]
    pub at: Option<At>,
    /// Which copy [default: the one in use].
    #[arg(long, value_name = "NUMBER")]
    pub copy: Option<usize>,
    /// The day it was [default: today].
    #[arg(long, value_parser = log::day, value_name = "DAY")]
    pub on: Option<Date>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum At {
    /// The bass end.
    Bass,
    /// The treble end.
    Treble,
    /// The side towards the neck.
    Neck,
    /// The side towards the bridge.
    Bridge,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum With {
    Rout,
    Screws,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Became {
    InUse,
    /// Sanded and coated as is wanted.
    Finished,
    Spare,
    Broken,
    BuiltIn,
}
