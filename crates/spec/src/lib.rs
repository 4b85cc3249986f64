//! What is measured and what is wanted.
//!
//! A **family** is a folder with two files: `family.ron` states what is wanted, `readings.ron` is
//! a dated log of what was measured. [`Family::load`] reads both and gives a [`Family`] in which
//! every measured length is an [`Estimate`] (value and standard uncertainty) and every wanted
//! length has been checked; or [`Problems`], all of them at once, each with its place.
//!
//! Reading goes in steps: text → `document` (values with places) → `written` and `log` (typed,
//! bounds checked) → `measured` (the arithmetic of readings) → [`Family`].

mod angle;
mod as_wound;
mod aside;
mod bare;
mod bobbins;
mod book;
mod closest;
pub mod coil;
mod copies;
mod corners;
mod current;
mod cut_sheet;
mod cutter;
mod describe;
mod diameters;
mod document;
mod ears;
mod edges;
pub mod edit;
mod entry;
mod facing;
mod family;
mod figure;
mod files;
mod finish;
mod finished;
mod form;
mod gauges;
mod guard;
mod hand;
mod handed;
mod how;
mod identity;
mod in_unit;
mod lines;
mod live;
pub mod load;
mod log;
mod made;
pub mod magnets;
mod measured;
mod median;
mod names;
mod needed;
mod node;
mod not_said;
mod optional;
mod outline;
mod over;
mod part;
mod placed;
mod plain;
mod plan;
pub mod printer;
mod prints;
mod problem;
mod quantity;
mod read_corners;
mod read_form;
mod reader;
mod retold;
mod rounder;
mod rounds;
mod runs;
mod screws;
mod sense;
mod series;
mod sides;
mod slanted;
mod slips;
mod sources;
mod spot;
mod start;
mod steps;
pub mod string_set;
mod strings;
mod survey;
mod suspected;
pub mod tested;
mod together;
mod told;
mod tool;
mod trials;
mod tried;
mod typed;
mod unfinished;
mod usual_tool;
mod wanted;
mod whole;
mod wind_entry;
mod winds;
mod wish;
mod without_print;
pub mod wound;
mod written;
mod written_finish;
mod written_poles;
mod written_rout;

pub use angle::Angle;
pub use bobbinwright_estimate::{DoubtId, Estimate, Length, Origin, Sentence, Unit, sentence};
pub use bobbinwright_folder::{Folder, NotWritten};
pub use book::{Book, Entered, NotEntered, Say, enter, tried, ways, withdraw};
pub use closest::closest;
pub use copies::Copy;
pub use corners::{Corners, corner_name};
pub use cut_sheet::CutSheet;
pub use ears::EarAt;
pub use entry::{NewReading, NewTool, NewWithdrawal, append, with_entry};
pub use facing::Facing;
pub use family::{
    Channel, EarRecess, FAMILY_FILE, Family, Hardware, MADE_FILE, Position, READINGS_FILE, Rout, StringAt,
};
pub use figure::{Figure, MINUS, in_one_unit};
pub use finish::{Finish, Finishes};
pub use finished::Finished;
pub use guard::Guard;
pub use handed::Handed;
pub use identity::{Identity, identity_in, is_copy};
pub use lines::Line;
pub use log::When;
pub use needed::Surveyed;
pub use not_said::NotSaid;
pub use outline::{CoverOutline, Outline};
pub use part::{BedSide, OnBed, PartKind, PieceSize, SizeOf};
pub use placed::Placed;
pub use printer::{
    ABILITIES, Ability, AbilityKind, Calibrated, NotChanged, PRINTER_FILE, Printer, PrinterStart,
    PrinterSurvey, abilities_of, change_ability,
};
pub use prints::{NewPrint, NewState, State, is_mark, part_name, part_named};
pub use problem::{Problem, Problems, Severity, SourceFile, Span, capitalised, uncapitalised};
pub use quantity::{InstrumentQuantity, Jaws, PositionQuantity, Quantity};
pub use screws::ScrewAt;
pub use series::Taken;
pub use sides::{RoutSide, Sides};
pub use sources::{PrinterFiles, Sources, slug, slug_of};
pub use spot::unread_spots;
pub use start::{Held, Start};
pub use steps::{Done, NewDone, Step, WireEnd};
pub use strings::FanOut;
pub use survey::{Survey, SurveyedPosition};
pub use tool::Tool;
pub use trials::Trial;
pub use tried::{NewTrial, TriedWith};
pub use wanted::{
    Baseplate, Cover, Flatwork, LeadOut, Lip, Mounting, PARAMETERS, Parameter, Poles, Seat, Side, Wanted,
    parameter,
};
pub use wind_entry::{MeterFigure, NewMeter, NewSpool, NewStop, NewTest, NewThermometer};
pub use winds::{Leads, Winds, WoundCoil};
pub use wish::{Wish, WishKind, Word, wish, wishes};

/// A cause of doubt about what a [`Quantity`] is.
pub type Doubt = bobbinwright_estimate::Doubt<Quantity>;

/// All causes of doubt of a family.
pub type Doubts = bobbinwright_estimate::Doubts<Quantity>;
