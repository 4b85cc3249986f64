//! Entering readings in a log: a family's, or a printer's.

use std::path::Path;

use bobbinwright_folder::{Folder, NotWritten};
use jiff::civil::Date;

use crate::entry::{NewReading, NewWithdrawal, append_to, with_entry};
use crate::family::{FAMILY_FILE, READINGS_FILE};
use crate::figure::{Figure, in_one_unit};
use crate::identity;
use crate::log::When;
use crate::not_said::NotSaid;
use crate::placed::{Placed, placed};
use crate::printer::PrinterSurvey;
use crate::problem::{Problem, Problems, Severity, SourceFile};
use crate::quantity::{PositionQuantity, Quantity};
use crate::sources::{LARGEST_FILE, Sources, slug};
use crate::survey::Survey;

/// A folder with a log, read.
pub trait Book: Sized {
    /// Reads the folder.
    fn load(folder: &Folder, when: When) -> Result<Self, Problems>;
    /// The same with another text of its log.
    fn with_log(&self, log: SourceFile, when: When) -> Result<Self, Problems>;
    /// A quantity by its name; the error says in words what is wrong with it.
    fn quantity(&self, name: &str) -> Result<Quantity, String>;
    /// The tool to take for granted.
    fn usual_tool(&self, quantity: &Quantity) -> Option<&str>;
    /// Files, and what is wrong with them.
    fn problems(&self) -> &Problems;
    /// How many entries the log has.
    fn entries(&self) -> usize;
    /// The entry by which another one was withdrawn.
    fn withdrawn_by(&self, entry: usize) -> Option<usize>;
    /// The number of the first entry after the `known`th that stands in the log like this.
    fn entry_like(&self, text: &str, known: usize) -> Option<usize>;
    /// An entry as it is to stand in the file that it belongs in.
    fn placed(&self, entry: &str) -> Result<Placed, NotSaid> {
        let log = self.problems().files.get(1).cloned();
        let log = log.unwrap_or(SourceFile { name: READINGS_FILE.to_owned(), text: String::new() });
        Ok(Placed { log, entry: entry.to_owned() })
    }
    /// Where the log of what was made is, from its own folder on.
    fn log_folder(&self, own: &Folder) -> Folder {
        let log = self.problems().files.get(1).map_or(Path::new(""), |f| Path::new(&f.name));
        own.at(log.parent().unwrap_or(Path::new("")))
    }
}

impl Book for Survey {
    fn entry_like(&self, text: &str, known: usize) -> Option<usize> {
        self.log().entry_like(&self.problems.files, text, known)
    }

    fn placed(&self, entry: &str) -> Result<Placed, NotSaid> {
        let readings = &self.sources().readings;
        match &self.sources().made {
            Some(made) => placed(self.log(), entry, readings, made),
            None => Ok(Placed { log: readings.clone(), entry: entry.to_owned() }),
        }
    }

    /// A family may share the readings of another, and nothing that was made.
    fn log_folder(&self, own: &Folder) -> Folder {
        let log = self.sources().made.as_ref().unwrap_or(&self.sources().readings);
        own.at(Path::new(&log.name).parent().unwrap_or(Path::new("")))
    }

    fn load(folder: &Folder, when: When) -> Result<Self, Problems> {
        Survey::load_at(folder, when)
    }

    fn with_log(&self, log: SourceFile, when: When) -> Result<Self, Problems> {
        Survey::read(&self.slug, self.sources().clone().with_log(log), when)
    }

    fn quantity(&self, name: &str) -> Result<Quantity, String> {
        Survey::quantity(self, name)
    }

    fn usual_tool(&self, quantity: &Quantity) -> Option<&str> {
        Survey::usual_tool(self, quantity)
    }

    fn problems(&self) -> &Problems {
        &self.problems
    }

    fn entries(&self) -> usize {
        self.entries
    }

    fn withdrawn_by(&self, entry: usize) -> Option<usize> {
        self.log().withdrawn().find(|(withdrawn, _)| *withdrawn == entry).map(|(_, by)| by)
    }
}

impl Survey {
    /// Reads a family's folder without that of its printer, which may still have to be started; so its parts can't be judged.
    pub fn load_without_printer(folder: &Folder, when: When) -> Result<Self, Problems> {
        Self::read(&slug(folder), Sources::load_with(folder, false)?, when)
    }
}

impl Book for PrinterSurvey {
    fn entry_like(&self, text: &str, known: usize) -> Option<usize> {
        self.log().entry_like(&self.problems.files, text, known)
    }

    fn load(folder: &Folder, when: When) -> Result<Self, Problems> {
        PrinterSurvey::load_at(folder, when)
    }

    fn with_log(&self, log: SourceFile, when: When) -> Result<Self, Problems> {
        let Some(printer) = self.problems.files.first() else { return Err(self.problems.clone()) };
        PrinterSurvey::read_at(&self.slug, printer.clone(), log, when)
    }

    fn quantity(&self, name: &str) -> Result<Quantity, String> {
        crate::printer::coupon::CouponSize::parse(name).map(Quantity::Coupon)
    }

    fn usual_tool(&self, quantity: &Quantity) -> Option<&str> {
        PrinterSurvey::usual_tool(self, quantity)
    }

    fn problems(&self) -> &Problems {
        &self.problems
    }

    fn entries(&self) -> usize {
        self.entries
    }

    fn withdrawn_by(&self, entry: usize) -> Option<usize> {
        self.log().withdrawn().find(|(withdrawn, _)| *withdrawn == entry).map(|(_, by)| by)
    }
}

/// What somebody says about a reading.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Say {
    /// The quantity's name.
    pub of: String,
    /// The figures, all in one unit.
    pub figures: Vec<Figure>,
    /// The word for how it was taken.
    pub how: Option<String>,
    /// The tolerance that a packet states.
    pub within: Option<Figure>,
    /// The tool; by default the usual one.
    pub with: Option<String>,
    /// Where, when it is read in several spots.
    pub spot: Option<String>,
    /// Earlier readings do not count any more.
    pub afresh: bool,
    /// The day it was taken.
    pub on: Date,
}

impl Say {
    /// The entry, and its quantity.
    pub fn entry<B: Book>(&self, book: &B) -> Result<(String, Quantity), NotSaid> {
        let figures: Vec<Figure> = self.figures.iter().chain(&self.within).cloned().collect();
        let (mut digits, unit) = in_one_unit(&figures).ok_or(NotSaid::Units)?;
        let within = self.within.as_ref().and_then(|_| digits.pop());
        let is_packet = self.how.as_deref() == Some("packet");
        let is_planned = self.how.as_deref() == Some("planned");
        if is_packet != within.is_some() && !is_planned {
            return Err(NotSaid::Tolerance);
        }
        let unknown = |why| NotSaid::Unknown { name: self.of.clone(), why };
        let quantity = book.quantity(&self.of).map_err(unknown)?;
        if self.how.is_none() && quantity.is_between_things() {
            return Err(NotSaid::HowMissing(quantity));
        }
        self.is_a_way_for(&quantity)?;
        let with = self.with.clone().or_else(|| book.usual_tool(&quantity).map(str::to_owned));
        let reading = NewReading {
            on: self.on,
            of: self.of.clone(),
            with: with.filter(|_| !is_packet && !is_planned),
            how: self.how.clone(),
            within,
            spot: self.spot.clone(),
            afresh: self.afresh,
            unit,
            got: digits,
        };
        Ok((reading.to_string(), quantity))
    }

    /// Between things the inside jaws and the depth rod read no centre distance.
    fn is_a_way_for(&self, quantity: &Quantity) -> Result<(), NotSaid> {
        match self.how.as_deref() {
            Some(how @ ("inside" | "depth")) if quantity.is_between_things() => {
                Err(NotSaid::HowWrong(how.to_owned(), quantity.clone()))
            }
            _ => Ok(()),
        }
    }
}

/// The ways in which a quantity is read, the usual one first: the log's word and what it means. Where none is given
/// the thing itself is read.
pub fn ways(quantity: &Quantity) -> &'static [(&'static str, &'static str)] {
    const OUTSIDE: (&str, &str) = ("outside", "from centre to centre");
    const PACKET: (&str, &str) = ("packet", "stated by its maker");
    const HOLES: [(&str, &str); 2] =
        [("holes_far", "far edges of the holes"), ("holes_near", "near edges of the holes")];
    const STRINGS: [(&str, &str); 2] =
        [("strings_outer", "over both strings"), ("strings_inner", "between the strings")];
    const PLANNED: (&str, &str) = ("planned", "what it is to be");
    if !quantity.is_between_things() {
        return match quantity {
            Quantity::At(..) => &[("", "the thing itself"), PACKET, PLANNED],
            _ => &[("", "the thing itself"), PACKET],
        };
    }
    match quantity {
        Quantity::At(_, PositionQuantity::ScrewPitch | PositionQuantity::ScrewPair(..)) => {
            &[HOLES[0], HOLES[1], OUTSIDE, PLANNED]
        }
        Quantity::Piece(..) => &[HOLES[0], HOLES[1], OUTSIDE],
        Quantity::At(_, PositionQuantity::ScrewSide(..) | PositionQuantity::EarSide(..)) => &[
            ("hole_near", "to the hole's near edge"),
            ("hole_far", "to the hole's far edge"),
            ("outside", "to the hole's middle"),
            PLANNED,
        ],
        Quantity::At(_, PositionQuantity::BassSide | PositionQuantity::TrebleSide) => &[
            ("string_near", "to the string's near face"),
            ("string_far", "to the string's far face"),
            ("outside", "to the string's middle"),
            PLANNED,
        ],
        Quantity::At(..) => &[STRINGS[0], STRINGS[1], OUTSIDE, PLANNED],
        _ => &[STRINGS[0], STRINGS[1], OUTSIDE],
    }
}

/// What an entry made of a log.
pub struct Entered<B> {
    /// The log before.
    pub before: B,
    /// The log with it.
    pub after: B,
    /// The entry as it stands there.
    pub entry: String,
    /// The file that it stands in.
    pub file: String,
    /// What it is about, when it is a reading.
    pub quantity: Option<Quantity>,
}

impl<B: Book> Entered<B> {
    /// What is wrong or worth a look since then.
    pub fn news(&self) -> impl Iterator<Item = &Problem> {
        let known = &self.before.problems().all;
        self.after.problems().all.iter().filter(move |p| !known.contains(p))
    }
}

/// Why nothing was entered.
#[derive(Debug, thiserror::Error)]
pub enum NotEntered {
    /// The files, or the entry tried on them, can't be read.
    #[error(transparent)]
    Problems(#[from] Problems),
    /// The entry makes no sense.
    #[error("nothing was entered")]
    Wrong(NotSaid),
    /// It could not be written.
    #[error("the entry was not written: {0}")]
    Append(NotWritten),
    /// The log is as long as it may be.
    #[error("the log is full: {READINGS_FILE} would have more than {} MB with it, and could not be read any more", LARGEST_FILE >> 20)]
    Full,
    /// Others write all the time.
    #[error("the log changes all the time; nothing was written")]
    Busy,
}

/// Others may add to the log at the same time; after so many tries somebody is at it all day.
const TRIES: usize = 50;

/// Makes an entry, tries it on the log's text, and appends it to the file when it can be read. When the log has
/// changed meanwhile, all of that again.
pub fn enter<B: Book>(
    folder: &Folder,
    when: When,
    make: impl Fn(&B) -> Result<(String, Option<Quantity>), NotSaid>,
) -> Result<Entered<B>, NotEntered> {
    for _ in 0..TRIES {
        let before = B::load(folder, when)?;
        if before.problems().has_errors() {
            return Err(before.problems().clone().into());
        }
        let (entry, quantity) = make(&before).map_err(NotEntered::Wrong)?;
        let placed = before.placed(&entry).map_err(NotEntered::Wrong)?;
        let after = tried_in(&before, &placed, when)?;
        let (log, more) = (Path::new(&placed.log.name), placed.more());
        if placed.log.text.len() + more.len() + 1 > LARGEST_FILE {
            return Err(NotEntered::Full);
        }
        let file = log.file_name().map_or(READINGS_FILE.into(), |name| name.to_string_lossy());
        let its = folder.at(log.parent().unwrap_or(Path::new("")));
        match append_to(&its, &file, &more, &placed.log.text) {
            Ok(()) => {
                if folder.has(FAMILY_FILE) {
                    identity::keep(folder);
                }
                let Placed { log, entry } = placed;
                return Ok(Entered { before, after, entry, file: log.name, quantity });
            }
            Err(NotWritten::Changed) => {}
            Err(e) => return Err(NotEntered::Append(e)),
        }
    }
    Err(NotEntered::Busy)
}

/// Enters a withdrawal.
pub fn withdraw<B: Book>(
    folder: &Folder,
    when: When,
    withdrawal: &NewWithdrawal,
) -> Result<Entered<B>, NotEntered> {
    enter(folder, when, |before: &B| match before.withdrawn_by(withdrawal.entry) {
        Some(by) => Err(NotSaid::Withdrawn { entry: withdrawal.entry, by }),
        None => Ok((withdrawal.to_string(), None)),
    })
}

/// The log with one more entry; what is wrong with that entry otherwise. Nothing is written.
pub fn tried<B: Book>(before: &B, entry: &str, when: When) -> Result<B, Problems> {
    match before.placed(entry) {
        Ok(placed) => tried_in(before, &placed, when),
        Err(_) => Err(before.problems().clone()),
    }
}

fn tried_in<B: Book>(before: &B, placed: &Placed, when: When) -> Result<B, Problems> {
    let text = with_entry(&placed.log.text, &placed.more());
    let log = SourceFile { name: placed.log.name.clone(), text };
    let after = before.with_log(log, when)?;
    if !after.problems().has_errors() {
        return Ok(after);
    }
    let mut problems = after.problems().clone();
    problems.all.retain(|p| p.severity == Severity::Error);
    Err(problems)
}
