//! What can be typed.

mod log;
mod prints;
mod shell;
mod winder;
mod work;

use std::ffi::OsString;
use std::path::PathBuf;

use bobbinwright_export::sheet;
use bobbinwright_spec::printer::material::Material;
use bobbinwright_spec::{Angle, Figure, MINUS, Outline, Side};
use clap::{Args, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;
use log::day;
pub(crate) use log::{Read, Tool, Withdraw};
pub(crate) use prints::{At, Became, Parts, Printed, Tried, With};
pub(crate) use shell::Completions;
pub(crate) use winder::{Aim, Meter, Pole, Spool, Tested, Thermometer, Way, Wound};
pub(crate) use work::{Done, End, Handover, Label, Needs, Stands, Step, Take};

/// The arguments as they were typed, but, for `read`, a hyphen before a figure made a minus sign: to
/// `clap`, `-0.45in` would be an option.
pub(crate) fn typed() -> Vec<OsString> {
    let mut all: Vec<OsString> = std::env::args_os().collect();
    if all.get(1).is_some_and(|command| command == "read") {
        for argument in &mut all {
            let figure = argument.to_str().and_then(|text| text.strip_prefix('-'));
            if let Some(figure) = figure.filter(|f| f.starts_with(|c: char| c.is_ascii_digit() || c == '.')) {
                *argument = format!("{MINUS}{figure}").into();
            }
        }
    }
    all
}

/// From caliper readings of a rout, its strings and screws to pickup parts that print and drop in.
#[derive(Debug, Parser)]
#[command(name = "bobbinwright", version, arg_required_else_help = true)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    New(New),
    Read(Read),
    Withdraw(Withdraw),
    Tool(Tool),
    Sheet(Sheet),
    Check(Check),
    Build(Build),
    Coupon(Coupon),
    Printed(Printed),
    Parts(Parts),
    Tried(Tried),
    Inspect(Inspect),
    Stands(Stands),
    Done(Done),
    Label(Label),
    Needs(Needs),
    Handover(Handover),
    Take(Take),
    Bench(Bench),
    Want(Want),
    Wind(Wind),
    Wound(Wound),
    Aim(Aim),
    Tested(Tested),
    Meter(Meter),
    Thermometer(Thermometer),
    Spool(Spool),
    Diff(Diff),
    Tree(Tree),
    Picture(Picture),
    Completions(Completions),
}

/// Start a family: a folder with family.ron and readings.ron, ready to be measured.
///
/// On a terminal it asks for what the options do not say.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright new skiff --strings 6 --positions neck,bridge")]
pub(crate) struct New {
    /// The folder to make. Files that are there already are left alone.
    pub folder: PathBuf,
    /// What you call it; by default the folder's name.
    #[arg(long)]
    pub title: Option<String>,
    /// How many strings, 4 to 12 [default: 6].
    #[arg(long, value_parser = clap::value_parser!(u8).range(4..=12))]
    pub strings: Option<u8>,
    /// The positions' names, with commas between them [default: bridge].
    #[arg(long, value_delimiter = ',')]
    pub positions: Option<Vec<String>>,
    /// For which hand it is strung [default: right].
    #[arg(long)]
    pub handed: Option<Hand>,
    /// How many degrees the row is slanted to the strings, the bass end nearer to the neck; minus for the treble end
    /// [default: 0].
    #[arg(long, allow_negative_numbers = true, value_parser = degrees)]
    pub slant: Option<f64>,
    /// What every rout was routed as on purpose: rectangle, parallelogram or trapezoid [default: rectangle].
    #[arg(long, value_parser = outline)]
    pub outline: Option<Outline>,
    /// How the screws hold the cover: through bosses in it, or through ears beside it [default: bosses].
    #[arg(long)]
    pub mounting: Option<Mounting>,
    /// How many screws go through each cover, 1 to 6 [default: 2].
    #[arg(long, value_parser = clap::value_parser!(u8).range(1..=6), conflicts_with = "ears")]
    pub screws: Option<u8>,
    /// The sides (not the positions) at which every rout has recesses for ears, that of screw 1 first [default: treble,bass].
    #[arg(long, value_delimiter = ',')]
    pub ears: Option<Vec<Side>>,
    /// Magnet rods for each string: a pair beside it, or a single one under it [default: pair].
    #[arg(long)]
    pub poles: Option<Poles>,
    /// The step of your caliper's display [default: 0.01]; written in inches, 0.0005in, the family begins in inches.
    #[arg(long, value_name = "FIGURE")]
    pub step: Option<Figure>,
    /// The largest error that your caliper's maker permits [default: 0.03, or 0.001in].
    #[arg(long, value_name = "FIGURE")]
    pub limit: Option<Figure>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Hand {
    Right,
    Left,
}

/// An angle in degrees.
pub(crate) fn degrees(text: &str) -> Result<f64, String> {
    let slant = Angle::typed_slant(text).map(Angle::as_degrees);
    slant.ok_or_else(|| "write degrees from -30 to 30, like 8".to_owned())
}

/// What a rout was routed as.
pub(crate) fn outline(text: &str) -> Result<Outline, String> {
    Outline::named(text).ok_or_else(|| "write rectangle, parallelogram or trapezoid".to_owned())
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Mounting {
    Bosses,
    Ears,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Poles {
    Pair,
    Single,
}

/// Make the measuring sheet, to print and take to the bench.
///
/// A page for strings and bought parts, one for each position with a drawing and numbered blanks, and,
/// once everything is measured, paper templates at 1:1. All as one PDF, and each page as SVG.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright sheet specs/tidewick --paper letter")]
pub(crate) struct Sheet {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// Where the sheet's folder goes, `FAMILY-sheet`.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// The paper in your printer.
    #[arg(long, default_value = "a4")]
    pub paper: Paper,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Paper {
    A4,
    Letter,
}

/// Say whether the parts fit, worst first, and what to change.
///
/// Ends with 0 when all fits, 1 when something clashes, 2 when the input is wrong, 3 when nothing
/// clashes but something is too close to call.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright check specs/tidewick")]
pub(crate) struct Check {
    /// The folder with family.ron and readings.ron; several give one line each.
    #[arg(required = true, value_name = "FAMILY")]
    pub families: Vec<PathBuf>,
    /// Answer in JSON, for other programs.
    #[arg(long)]
    pub json: bool,
    /// Answer as of a day: later entries of the log do not count.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
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
    /// The folder with family.ron and readings.ron; several give one line each, and one that is wrong
    /// keeps the others from nothing.
    #[arg(required = true, value_name = "FAMILY")]
    pub families: Vec<PathBuf>,
    /// Where the family's folder of files goes.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Answer as of a day: later entries of the log do not count.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub as_of: Option<Date>,
    /// Build in spite of clashes.
    #[arg(long)]
    pub anyway: bool,
    /// Go on, and build again whenever a file of the family is saved; ends with Ctrl-C.
    #[arg(long, conflicts_with_all = ["json", "as_of"])]
    pub watch: bool,
    /// Answer in JSON, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// Make a printer's test piece, with the sheet to fill in when it is printed.
///
/// PRINTER is a folder with printer.ron and readings.ron; where there is none, it is started. What is
/// read on the printed coupon is entered with `read PRINTER`. From that follows how large the printer
/// makes what is drawn, and parts of families that name the folder are drawn so that they come out right.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright coupon printers/mine --for specs/tidewick --material petg")]
pub(crate) struct Coupon {
    /// The printer's folder.
    pub printer: PathBuf,
    /// A family whose hole sizes it shall have; can be given several times.
    #[arg(long = "for", value_name = "FAMILY")]
    pub families: Vec<PathBuf>,
    /// What the printer prints with [default: pla].
    #[arg(long)]
    pub material: Option<Filament>,
    /// Where the coupon's folder goes, `PRINTER-coupon`.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// The paper for the sheet.
    #[arg(long, default_value = "a4")]
    pub paper: Paper,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Filament {
    Pla,
    Petg,
    Abs,
    Asa,
    Nylon,
}

impl From<Filament> for Material {
    fn from(filament: Filament) -> Self {
        match filament {
            Filament::Pla => Material::Pla,
            Filament::Petg => Material::Petg,
            Filament::Abs => Material::Abs,
            Filament::Asa => Material::Asa,
            Filament::Nylon => Material::Nylon,
        }
    }
}

impl From<Paper> for sheet::Paper {
    fn from(paper: Paper) -> Self {
        match paper {
            Paper::A4 => sheet::Paper::A4,
            Paper::Letter => sheet::Paper::Letter,
        }
    }
}

/// Say what to measure on the printed parts, and whether these parts fit.
///
/// Makes a sheet of the sizes that decide the fit, the most important first. Those that were read
/// (`read FAMILY neck.cover.length …`) are held against what is allowed and take the wanted sizes' place
/// in the checks. Ends as `check` does.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright inspect specs/tidewick")]
pub(crate) struct Inspect {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// Enter what was read into the printer's log too, so that the next parts come out better. The mark is that of
    /// the build that the parts were printed from; without it, it is said which build stands there.
    #[arg(long, value_name = "MARK", num_args = 0..=1, require_equals = true, default_missing_value = "")]
    pub teach: Option<String>,
    /// Where the builds are, and where the sheet's folder goes, `FAMILY-inspection`.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// The paper for the sheet.
    #[arg(long, default_value = "a4")]
    pub paper: Paper,
}

/// Say what the coils take, and make the sheets to stand beside the winder.
///
/// Turns, resistance with its band and inductance of every coil that family.ron states; what the meter should
/// read every 500 turns; what other wire would make of it; how loud each string comes out; what to buy, and in which
/// order all goes together.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright wind specs/tidewick")]
pub(crate) struct Wind {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// Where the sheets' folder goes, `FAMILY-winding`.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// The paper in your printer.
    #[arg(long, default_value = "a4")]
    pub paper: Paper,
    /// How warm the workshop is: resistances are given for it, °C.
    #[arg(long, value_name = "DEGREES", default_value_t = 20.0, value_parser = room)]
    pub celsius: f64,
    /// The next coils, as they are wanted, whatever is on the bobbins.
    #[arg(long)]
    pub afresh: bool,
    /// For other programs.
    #[arg(long)]
    pub json: bool,
}

/// A temperature that somebody works at, °C.
fn room(text: &str) -> Result<f64, String> {
    let degrees: f64 = text.parse().map_err(|_| "write it in digits, like 23.5".to_owned())?;
    if (0.0..=45.0).contains(&degrees) { Ok(degrees) } else { Err("use 0 to 45 °C".to_owned()) }
}

/// Say what changed since the copies on the bench were drawn, since the last build where none is in use, or between two families, and
/// which printed parts to keep.
///
/// For each part: the same, or how much material comes off and on, how far its surfaces move, and whether
/// a printed one can stay beside the others by today's readings. Writes a picture of each part that changed.
#[derive(Debug, Args)]
#[command(after_help = "Examples: bobbinwright diff specs/tidewick
          bobbinwright diff specs/tidewick specs/skerry
          bobbinwright diff specs/tidewick --as-of 2026-09-14")]
pub(crate) struct Diff {
    /// The folder of the earlier family, or that of a build (or its manifest.json). Alone, what was last built
    /// of this family in the folder of --out is the earlier one.
    pub earlier: PathBuf,
    /// The folder of the later one.
    pub later: Option<PathBuf>,
    /// The earlier family is taken as its log stood on a day; without another folder it is compared with
    /// itself as it stands now.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub as_of: Option<Date>,
    /// Where builds are, and where the folder of pictures goes, `FAMILY-changes`.
    #[arg(long, value_name = "DIR", default_value = "out")]
    pub out: PathBuf,
    /// Answer in JSON, for other programs.
    #[arg(long)]
    pub json: bool,
}

/// Say which families are like which, and where a wanted value is stated.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright tree specs/tidewick --of cover.wall")]
pub(crate) struct Tree {
    /// The folders with family.ron.
    #[arg(required = true, value_name = "FAMILY")]
    pub families: Vec<PathBuf>,
    /// A dimension, as family.ron calls it, like cover.wall: its value and the line that states it.
    #[arg(long = "of", value_name = "DIMENSION")]
    pub dimension: Option<String>,
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

/// Open the page for the bench: readings, verdicts, parts in 3D, files.
///
/// Enter readings on the drawing, see at once what fits, look at the parts, take the files. It needs no network, and
/// without --lan only this machine can open it.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright bench specs/tidewick")]
pub(crate) struct Bench {
    /// The folder with family.ron and readings.ron; without one, choose or start one on the page.
    pub family: Option<PathBuf>,
    /// The folder that builds are put in.
    #[arg(long, default_value = "out")]
    pub out: PathBuf,
    /// Share the page with a phone or tablet in the same network.
    #[arg(long)]
    pub lan: bool,
    /// The port [default: the same as last time, or a free one].
    #[arg(long, default_value_t = 0, hide_default_value = true)]
    pub port: u16,
    /// Another address from now on: whoever has the old one can't use it any more.
    #[arg(long)]
    pub new_address: bool,
    /// Do not open a browser; only show the address.
    #[arg(long)]
    pub quiet: bool,
}

/// Change what is wanted, list it with its bounds as they are now, or take the last change back.
///
/// The value is written into family.ron; everything else in the file stays as it is.
#[derive(Debug, Args)]
#[command(after_help = "Example: bobbinwright want specs/tidewick cover.rounding 1.6")]
pub(crate) struct Want {
    /// The folder with family.ron and readings.ron.
    pub family: PathBuf,
    /// What is wanted otherwise, as family.ron names it; without it, everything is listed.
    pub path: Option<String>,
    /// A length (1.6, 0.06in), a word, a folder, or none; without it, what it is and can be is shown.
    #[arg(requires = "path", allow_hyphen_values = true)]
    pub value: Option<String>,
    /// More of them that go together with it: each what is wanted otherwise and its value. All are set or none, and taken back
    /// as one.
    #[arg(requires = "value", allow_hyphen_values = true, value_name = "PATH VALUE")]
    pub more: Vec<String>,
    /// Only for one position.
    #[arg(long, value_name = "POSITION")]
    pub only: Option<String>,
    /// Write it also if the parts can't be made with it.
    #[arg(long)]
    pub anyway: bool,
    /// Make what `check` proposes, all of it together, by the name that stands there.
    #[arg(long, value_name = "NAME", conflicts_with_all = ["path", "value", "more", "only", "anyway"])]
    pub proposal: Option<String>,
    /// Take the last change back.
    #[arg(long, conflicts_with_all = ["path", "value", "more", "proposal"])]
    pub undo: bool,
}
