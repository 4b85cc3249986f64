//! A printer's folder: what the printer can do, and what was read of its prints.

use bobbinwright_folder::Folder;
use jiff::civil::Date;

use super::coupon::Coupon;
use super::material::Material;
use super::profile::Profile;
use super::{Abilities, Printer, Trueness, abilities, calibrate, coupon};
use crate::Doubts;
use crate::Length;
use crate::document::parse_one;
use crate::family::READINGS_FILE;
use crate::log::{Log, Matter, When};
use crate::made::Texts;
use crate::measured::Measured;
use crate::names::Names;
use crate::needed::Surveyed;
use crate::over::Over;
use crate::problem::{Problem, Problems, SourceFile, Span};
use crate::quantity::Quantity;
use crate::reader::{Noted, Record, text};
use crate::sources::{read_text, slug};
use crate::survey::{distinct, last_day};
use crate::tool::Tool;
use crate::usual_tool::{tools, usual_tool};

/// What a printer can do.
pub const PRINTER_FILE: &str = "printer.ron";

/// A printer with its profile.
#[derive(Clone, Debug)]
pub struct Calibrated {
    /// The printer.
    pub printer: Printer,
    /// The causes of doubt of its profile.
    pub doubts: Doubts,
    /// What is worth a look, in its files.
    pub notices: Vec<Problem>,
}

/// A printer's files, read.
#[derive(Clone, Debug)]
pub struct PrinterSurvey {
    /// The folder's name.
    pub slug: String,
    /// For people.
    pub title: String,
    /// Its coupon.
    pub coupon: Coupon,
    /// What can be read on the coupon, then what was read on other parts.
    pub sizes: Vec<Surveyed>,
    /// How many entries the log has.
    pub entries: usize,
    /// The day of the latest of them.
    pub last_entry: Option<Date>,
    /// What is wrong with the files or worth a look.
    pub problems: Problems,
    abilities: Abilities,
    measured: Measured,
    tools: Vec<(usize, String, Length)>,
    log: Log,
    /// Index of its two files in the list of files.
    first_file: usize,
    log_is_sound: bool,
}

impl PrinterSurvey {
    /// Is this a printer's folder?
    pub fn is_one(folder: &Folder) -> bool {
        folder.has(PRINTER_FILE)
    }

    /// Reads a printer's folder.
    pub fn load_at(folder: &Folder, when: When) -> Result<Self, Problems> {
        let mut problems = Problems::default();
        let files = Self::files(folder, &mut problems);
        let Some([printer, readings]) = files else { return Err(problems) };
        Self::read_at(&slug(folder), printer, readings, when)
    }

    /// The texts of a printer's two files; what is wrong with them goes to the problems.
    pub(crate) fn files(folder: &Folder, problems: &mut Problems) -> Option<[SourceFile; 2]> {
        if !folder.is_there() {
            let message = format!("there is no printer's folder {}", folder.path().display());
            let hint = "is the path right, as seen from the family's own folder? bobbinwright coupon FOLDER starts one";
            problems.all.push(Problem::anywhere(message).hint(hint));
            return None;
        }
        let [a, b] = [PRINTER_FILE, READINGS_FILE].map(|name| {
            let path = folder.path().join(name).display().to_string();
            match read_text(folder, name) {
                Ok(text) => Some(SourceFile { name: path, text }),
                Err(why) => {
                    let message = format!("{path} can't be read: {why}");
                    let hint = "a printer's folder holds printer.ron and readings.ron";
                    problems.all.push(Problem::anywhere(message).hint(hint));
                    None
                }
            }
        });
        Some([a?, b?])
    }

    /// The same from the texts of the two files.
    pub fn read_at(
        slug: &str,
        printer: SourceFile,
        readings: SourceFile,
        when: When,
    ) -> Result<Self, Problems> {
        let files = vec![printer, readings];
        let mut noted = Noted::default();
        let survey = Self::among(slug, &files, 0, when, Doubts::default(), &mut noted);
        match survey {
            Some(mut survey) => {
                survey.problems = Problems { files, all: distinct(noted) };
                Ok(survey)
            }
            None => Err(Problems { files, all: distinct(noted) }),
        }
    }

    /// From two of several files; its causes of doubt are added to those there are.
    pub(crate) fn among(
        slug: &str,
        files: &[SourceFile],
        first: usize,
        when: When,
        doubts: Doubts,
        noted: &mut Noted,
    ) -> Option<Self> {
        let root = parse_one(first, &files[first]).map_err(|p| noted.problems.push(p)).ok()?;
        let mut record = Record::new("", vec![&root], noted)?;
        let title = record.need("title", "\"My printer, PLA\"", noted).and_then(|n| text(n, "title", noted));
        let abilities = abilities(&mut record, noted);
        let layer = abilities.as_ref().map_or(super::LAYER, |a| a.layer);
        let coupon = coupon(&mut record, layer, noted);
        record.finish(noted);
        let (title, abilities, coupon) = (title?, abilities?, coupon?);
        let before = noted.errors();
        let log = Log::read(Texts::one(first + 1, &files[first + 1]), &Names::Printer, when, noted);
        let log_is_sound = noted.errors() == before;
        let measured = Measured::from_log(&log, &Over::default(), doubts, noted);
        Some(Self {
            slug: slug.to_owned(),
            title,
            sizes: sizes(&coupon, &measured),
            coupon,
            entries: log.entries.len(),
            last_entry: last_day(&log),
            problems: Problems::default(),
            abilities,
            tools: tools(&log),
            log,
            measured,
            first_file: first,
            log_is_sound,
        })
    }

    pub(crate) fn log(&self) -> &Log {
        &self.log
    }

    /// The tool that a name stands for at the log's end.
    pub fn tool(&self, name: &str) -> Option<&Tool> {
        self.log.entries.iter().rev().find_map(|e| match &e.matter {
            Matter::Tool(tool) if tool.name == name => Some(tool),
            _ => None,
        })
    }

    /// Sizes of the coupon that were not read.
    pub fn missing(&self) -> impl Iterator<Item = &Surveyed> {
        self.sizes.iter().filter(|s| s.missing)
    }

    /// Something was read, so that the profile is to be worked out from it.
    pub fn is_begun(&self) -> bool {
        self.sizes.iter().any(|s| s.estimate.is_some())
    }

    /// The tool to take for granted for a reading of a size.
    pub fn usual_tool(&self, quantity: &Quantity) -> Option<&str> {
        let taken = self.sizes.iter().find(|s| s.quantity == *quantity).and_then(|s| s.taken);
        usual_tool(&self.tools, taken.map(|t| t.tool), false)
    }

    /// Length, width and height of its bed.
    pub fn bed(&self) -> [Length; 3] {
        self.abilities.bed
    }

    /// What it prints with.
    pub fn material(&self) -> Material {
        self.abilities.material
    }

    /// The printer with its profile: from what was read, or as usual when nothing was.
    pub fn printer(self) -> Result<Calibrated, Problems> {
        let mut problems = self.problems.clone();
        let mut noted = Noted::default();
        let found = self.resolve(&mut noted);
        problems.all.extend(distinct(noted));
        match found {
            Some((printer, doubts)) if !problems.has_errors() => {
                Ok(Calibrated { printer, doubts, notices: problems.all })
            }
            _ => Err(problems),
        }
    }

    /// The same, with what is wrong noted.
    pub(crate) fn resolve(mut self, noted: &mut Noted) -> Option<(Printer, Doubts)> {
        // Where an entry could not be read, that is the cause and has been said.
        let is_whole = !self.log_is_sound || self.sizes.iter().all(|size| !size.missing);
        let profile = if self.is_begun() && is_whole {
            self.fitted(noted)?
        } else {
            noted.problems.push(if self.is_begun() { self.lacks() } else { self.unread() });
            Profile::usual(&self.slug, self.abilities.material, &mut self.measured.doubts)
        };
        let printer = self.abilities.with(Trueness::Profile(Box::new(profile)));
        Some((printer, self.measured.doubts))
    }

    fn unread(&self) -> Problem {
        let message = format!(
            "nothing was read on a coupon of {} yet, so what is usual for {} holds (common practice)",
            self.slug,
            self.abilities.material.title()
        );
        let span = Span { file: self.first_file + 1, ..Span::default() };
        Problem::reminder(span, message).hint("print and read its coupon to replace that")
    }

    fn fitted(&mut self, noted: &mut Noted) -> Option<Profile> {
        if self.sizes.iter().any(|size| size.missing) {
            return None;
        }
        let profile = calibrate::profile(&self.slug, &mut self.measured, noted);
        if profile.is_none() && self.log_is_sound {
            let span = Span { file: self.first_file + 1, ..Span::default() };
            let message = format!("the readings of {} do not determine its profile", self.slug);
            let hint = "are two sizes of each kind among them that differ by some millimetres?";
            noted.problems.push(Problem::error(span, message).hint(hint));
        }
        profile
    }

    fn lacks(&self) -> Problem {
        let missing: Vec<&Surveyed> = self.missing().collect();
        let names: Vec<String> = missing.iter().map(|s| format!("\n  {}", s.line())).collect();
        let message = format!(
            "of the coupon of {} {} of {} sizes {} not read yet, so that what is usual for {} holds (common practice):{}",
            self.slug,
            missing.len(),
            self.coupon.sizes().len(),
            if missing.len() == 1 { "is" } else { "are" },
            self.abilities.material.title(),
            names.concat()
        );
        let span = Span { file: self.first_file + 1, ..Span::default() };
        let hint = format!(
            "read what is missing (bobbinwright read PRINTER {} FIGURE FIGURE); a hole that can't be read can be taken out of coupon.holes in {PRINTER_FILE}",
            missing.first().map(|size| size.quantity.to_string()).unwrap_or_default()
        );
        Problem::notice(span, message).hint(hint)
    }
}

fn sizes(coupon: &Coupon, measured: &Measured) -> Vec<Surveyed> {
    let of_coupon = coupon.sizes().into_iter().map(Quantity::Coupon);
    let mut all: Vec<Surveyed> = of_coupon.map(|q| Surveyed::of(q, measured)).collect();
    for quantity in measured.estimates.keys() {
        if !all.iter().any(|s| s.quantity == *quantity) {
            all.push(Surveyed::of(quantity.clone(), measured));
        }
    }
    all
}
