//! What is entered beside the winder.

use std::path::PathBuf;

use bobbinwright_spec::magnets::North;
use bobbinwright_spec::tested::Kick;
use bobbinwright_spec::{Figure, MeterFigure};
use clap::{ArgGroup, Args, ValueEnum};
use jiff::civil::Date;

use super::log::day;

/// Enter what the meter shows at a stop of the winder, and hear what that says of wire, hand and the turns to come.
///
/// Without anything but the family it says how far each coil is. Ends with 1 when a stop is not as the others make one
/// expect: turns touch, the wire is broken, or something was misread.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright wound specs/tidewick neck 2500 2.055k --celsius 21.5")]
pub(crate) struct Wound {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// The position whose coil it is.
    #[arg(requires_all = ["turns", "reads"])]
    pub coil: Option<String>,
    /// What the counter says.
    pub turns: Option<u32>,
    /// What the meter shows: 402.1, 2.055k, or open.
    pub reads: Option<MeterFigure>,
    /// The temperature beside the winder, °C.
    #[arg(long, value_name = "DEGREES", value_parser = warm)]
    pub celsius: Option<f64>,
    /// What you call the wire's spool [default: as at the stop before].
    #[arg(long, value_name = "NAME")]
    pub spool: Option<String>,
    /// Over the coil, across the row of rods, where you measured it.
    #[arg(long, value_name = "FIGURE")]
    pub across: Option<Figure>,
    /// The meter [default: the one that was entered last].
    #[arg(long, value_name = "NAME")]
    pub meter: Option<String>,
    /// The thermometer [default: the one that was entered last].
    #[arg(long, value_name = "NAME")]
    pub thermometer: Option<String>,
    /// It is the first stop of another coil: the one before was cut off.
    #[arg(long)]
    pub afresh: bool,
    /// It is of the wire that is wanted now, and was so all along.
    #[arg(long, requires = "turns")]
    pub as_wanted: bool,
    /// The day it was [default: today].
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub on: Option<Date>,
}

/// Enter what tests of a wound coil came to, and hear what that says of turns, wire and rods.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: bobbinwright tested specs/tidewick neck --ohms 6.64k --celsius 21 --henries 1.47 --north up --kick plus"
)]
#[command(group(ArgGroup::new("what").required(true).multiple(true).args(["ohms", "henries", "insulation", "north", "kick", "millitesla", "turns"])))]
pub(crate) struct Tested {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// The position whose coil it is.
    pub coil: String,
    /// From eyelet to eyelet: 6.64k, or open.
    #[arg(long)]
    pub ohms: Option<MeterFigure>,
    /// The temperature, °C.
    #[arg(long, value_name = "DEGREES", value_parser = warm)]
    pub celsius: Option<f64>,
    /// How many turns are on it, as the counter says [default: as family.ron states them, or the last stop].
    #[arg(long, value_parser = clap::value_parser!(u32).range(1..=50_000))]
    pub turns: Option<u32>,
    /// The inductance, with the rods in.
    #[arg(long, value_parser = above_nought)]
    pub henries: Option<f64>,
    /// The frequency that it was read at [default: 1000].
    #[arg(long, requires = "henries", value_parser = above_nought)]
    pub hertz: Option<f64>,
    /// From an eyelet to the rods: open, or 20M.
    #[arg(long)]
    pub insulation: Option<MeterFigure>,
    /// Which end of the rods is north, by a compass.
    #[arg(long)]
    pub north: Option<Pole>,
    /// Which way the meter goes first when steel comes down on the rods, its red lead at the hot eyelet.
    #[arg(long)]
    pub kick: Option<Way>,
    /// What a teslameter shows over a rod in the middle of the row, mT.
    #[arg(long, value_parser = above_nought)]
    pub millitesla: Option<f64>,
    /// How far over that rod's end its probe feels [default: 0.4 mm, touching].
    #[arg(long, value_name = "FIGURE", requires = "millitesla")]
    pub over: Option<Figure>,
    /// The day it was [default: today].
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub on: Option<Date>,
}

/// Say which wire and how many turns come closest to a pickup that was measured.
///
/// Any of the figures will do; with resistance and inductance together the wire follows too.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: bobbinwright aim specs/tidewick neck --ohms 6.9k --celsius 21 --henries 1.6 --peak 4.9k"
)]
#[command(group(ArgGroup::new("figures").required(true).multiple(true).args(["ohms", "henries", "peak", "turns"])))]
pub(crate) struct Aim {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// The position that the pickup is for.
    pub coil: String,
    /// Its resistance: 6.9k.
    #[arg(long, value_parser = thousands)]
    pub ohms: Option<f64>,
    /// The temperature at which that was read, °C.
    #[arg(long, value_name = "DEGREES", value_parser = warm, default_value_t = 20.0)]
    pub celsius: f64,
    /// Its inductance with its rods in.
    #[arg(long, value_parser = above_nought)]
    pub henries: Option<f64>,
    /// The frequency that it was read at.
    #[arg(long, default_value_t = 1000.0, value_parser = thousands)]
    pub hertz: f64,
    /// Where its response is highest with the load that is stated, Hz: 4200 or 4.2k.
    #[arg(long, value_name = "HERTZ", value_parser = thousands)]
    pub peak: Option<f64>,
    /// How many turns it has, if that is known.
    #[arg(long, value_parser = above_nought)]
    pub turns: Option<f64>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Pole {
    Up,
    Down,
}

impl Pole {
    pub fn north(self) -> North {
        match self {
            Pole::Up => North::Up,
            Pole::Down => North::Down,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Way {
    Plus,
    Minus,
}

impl Way {
    pub fn kick(self) -> Kick {
        match self {
            Way::Plus => Kick::Plus,
            Way::Minus => Kick::Minus,
        }
    }
}

/// Enter the meter that resistances are read with, as its manual describes it.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: bobbinwright meter specs/tidewick meter --counts 6000 --percent 0.8 --digits 3"
)]
pub(crate) struct Meter {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// The name that readings give with --meter.
    #[arg(value_parser = clap::builder::NonEmptyStringValueParser::new())]
    pub name: String,
    /// How many counts its display has.
    #[arg(long, value_parser = clap::value_parser!(u32).range(200..=10_000_000))]
    pub counts: u32,
    /// The largest error that its maker permits, in percent of what it shows.
    #[arg(long, value_parser = above_nought)]
    pub percent: f64,
    /// And so many steps of its last digit besides.
    #[arg(long, default_value_t = 0.0, value_parser = figure)]
    pub digits: f64,
}

/// Enter the thermometer beside the winder.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright thermometer specs/tidewick thermometer --limit 0.5")]
pub(crate) struct Thermometer {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// The name that readings give with --thermometer.
    #[arg(value_parser = clap::builder::NonEmptyStringValueParser::new())]
    pub name: String,
    /// The largest error that its maker permits, K.
    #[arg(long, value_parser = above_nought)]
    pub limit: f64,
}

/// Enter what a spool's wire resists: as its label states it, or as the coils of another family told.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: bobbinwright spool specs/skerry reel-43 --ohms-per-metre 7.02 --within 0.03"
)]
pub(crate) struct Spool {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// What you call it.
    #[arg(value_parser = clap::builder::NonEmptyStringValueParser::new())]
    pub name: String,
    /// Ohms for a metre at 20 °C.
    #[arg(long, requires = "within", value_parser = above_nought)]
    pub ohms_per_metre: Option<f64>,
    /// By how much it may be more or less, Ω.
    #[arg(long, value_parser = above_nought)]
    pub within: Option<f64>,
    /// A family of which a coil was wound from it.
    #[arg(long, value_name = "FAMILY", conflicts_with = "ohms_per_metre")]
    pub from: Option<PathBuf>,
}

/// With a point or a comma.
fn figure(typed: &str) -> Result<f64, String> {
    let figure = typed.replacen(',', ".", 1).parse().ok().filter(|f: &f64| f.is_finite() && *f >= 0.0);
    figure.ok_or_else(|| "write a figure, like 3 or 0.5".to_owned())
}

fn above_nought(typed: &str) -> Result<f64, String> {
    let found = figure(typed).ok().filter(|figure| *figure > 0.0);
    found.ok_or_else(|| "write a figure above 0, like 7.02".to_owned())
}

/// A figure above nought, or thousands: 4.2k.
fn thousands(typed: &str) -> Result<f64, String> {
    match typed.trim().strip_suffix(['k', 'K']) {
        Some(figure) => above_nought(figure.trim_end()).map(|figure| figure * 1000.0),
        None => above_nought(typed.trim()),
    }
}

fn warm(typed: &str) -> Result<f64, String> {
    let celsius = figure(typed).ok().filter(|c| (0.0..=45.0).contains(c));
    celsius.ok_or_else(|| "write degrees Celsius from 0 to 45, like 21.5".to_owned())
}
