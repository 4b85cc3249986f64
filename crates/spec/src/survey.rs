//! What is known of a family so far: everything it needs, measured or not.

use std::path::Path;

use jiff::civil::Date;

use crate::document::parse_one;
use crate::estimate::Estimate;
use crate::family::{self, FAMILY_FILE, Family, READINGS_FILE};
use crate::log::{Known, Log, When};
use crate::measured::{Measured, Taken};
use crate::needed;
use crate::problem::{Problem, Problems, SourceFile};
use crate::quantity::Quantity;
use crate::reader::Noted;
use crate::wanted::Side;
use crate::written::Written;

/// A family's files, read. Needs no reading to be there, so that it can say which are missing.
#[derive(Clone, Debug)]
pub struct Survey {
    /// The folder's name.
    pub slug: String,
    /// For people.
    pub title: String,
    /// How many strings.
    pub strings: usize,
    /// From the first to the last in the file.
    pub positions: Vec<SurveyedPosition>,
    /// Everything that this family needs or that was read for it, in the order in which it is
    /// measured best.
    pub quantities: Vec<Surveyed>,
    /// How many entries the log has, withdrawn and unreadable ones too.
    pub entries: usize,
    /// The day of the latest of them.
    pub last_entry: Option<Date>,
    /// What is wrong with the files or worth a look. That readings are missing is not among it.
    pub problems: Problems,
    written: Written,
    measured: Measured,
    /// All entries could be read.
    log_is_sound: bool,
}

/// What is known of a position's surroundings before anything is measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SurveyedPosition {
    /// Its name.
    pub name: String,
    /// The body has recesses for ears.
    pub has_ears: bool,
    /// The side in which the wire channel opens.
    pub channel: Option<Side>,
}

/// A quantity, and what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Surveyed {
    /// The quantity.
    pub quantity: Quantity,
    /// Without it there are no parts.
    pub missing: bool,
    /// Its value with its doubt, when there is one.
    pub estimate: Option<Estimate>,
    /// How often it was read; none when it was not, or is stated on a packet.
    pub taken: Option<Taken>,
}

impl Survey {
    /// Reads a family's folder, its log as of a day. Fails where there is no telling what the family
    /// is; any other mistake is among the [`Survey::problems`].
    pub fn load_at(folder: &Path, when: When) -> Result<Self, Problems> {
        let mut problems = Problems::default();
        if !folder.is_dir() {
            let message = format!("{} is not a folder", folder.display());
            let hint = "name the folder that holds family.ron and readings.ron, like specs/tidewick";
            problems.all.push(Problem::anywhere(message).hint(hint));
            return Err(problems);
        }
        for name in [FAMILY_FILE, READINGS_FILE] {
            let path = folder.join(name);
            match read_text(&path) {
                Ok(text) => problems.files.push(SourceFile { name: path.display().to_string(), text }),
                Err(why) => {
                    problems.all.push(Problem::anywhere(format!("{} can't be read: {why}", path.display())));
                }
            }
        }
        let files: Result<[SourceFile; 2], _> = problems.files.clone().try_into();
        let (Ok([family, readings]), false) = (files, problems.has_errors()) else { return Err(problems) };
        let canonical = folder.canonicalize().ok();
        let slug = canonical.as_deref().unwrap_or(folder).file_name();
        let slug = slug.map_or_else(|| "family".into(), |n| n.to_string_lossy().into_owned());
        Self::read_at(&slug, family, readings, when)
    }

    /// The same from the texts of the two files.
    pub fn read_at(
        slug: &str,
        family: SourceFile,
        readings: SourceFile,
        when: When,
    ) -> Result<Self, Problems> {
        let mut noted = Noted::default();
        let files = vec![family, readings];
        let written = parse_one(0, &files[0])
            .map_err(|p| noted.problems.push(p))
            .ok()
            .and_then(|root| Written::read(&root, &mut noted));
        // Without positions and string count the log's names mean nothing.
        let Some(written) = written else { return Err(Problems { files, all: distinct(noted) }) };
        let names: Vec<String> = written.positions.iter().map(|p| p.name.clone()).collect();
        let known = Known { positions: &names, strings: written.strings };
        let log = Log::read(1, &files[1], &known, when, &mut noted);
        let log_is_sound = noted.errors() == 0;
        let measured = Measured::from_log(&log, written.strings, &mut noted);
        let positions = written.positions.iter().map(|p| SurveyedPosition {
            name: p.name.clone(),
            has_ears: p.rout_has_ears,
            channel: p.channel,
        });
        Ok(Self {
            slug: slug.to_owned(),
            title: written.title.clone(),
            strings: written.strings,
            positions: positions.collect(),
            quantities: needed::all(&written, &measured),
            entries: log.entries.len(),
            // Entries that could not be read have no day of their own.
            last_entry: log.entries.iter().map(|e| e.on).max().filter(|day| *day != Date::default()),
            problems: Problems { files, all: distinct(noted) },
            written,
            measured,
            log_is_sound,
        })
    }

    /// Quantities that have not been measured yet.
    pub fn missing(&self) -> impl Iterator<Item = &Quantity> {
        self.quantities.iter().filter(|q| q.missing).map(|q| &q.quantity)
    }

    /// The family, if nothing is wrong and nothing is missing.
    pub fn family(self) -> Result<Family, Problems> {
        let missing: Vec<&Quantity> = self.missing().collect();
        let mut noted = Noted::default();
        // Where an entry could not be read, that is the cause and has been said.
        if !missing.is_empty() && self.log_is_sound {
            noted.problems.push(needed::problem(&missing, 1, &self.problems.files[1]));
        }
        let lacks = !missing.is_empty() || !self.written.complete;
        let mut measured = self.measured;
        let resolved =
            if lacks { None } else { family::resolve(&self.slug, self.written, &mut measured, &mut noted) };
        let mut problems = self.problems;
        problems.all.extend(distinct(noted));
        match resolved {
            Some(mut family) if !problems.has_errors() => {
                family.files = problems.files;
                family.notices = problems.all;
                Ok(family)
            }
            _ => Err(problems),
        }
    }
}

/// What the family says once is read for each position.
fn distinct(noted: Noted) -> Vec<Problem> {
    let mut all: Vec<Problem> = Vec::new();
    for problem in noted.problems {
        if !all.contains(&problem) {
            all.push(problem);
        }
    }
    all
}

/// Files of people are small; a larger one is not what it seems.
const LARGEST_FILE: u64 = 4 << 20;

fn read_text(path: &Path) -> Result<String, String> {
    let about = std::fs::metadata(path).map_err(|e| match e.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        _ => e.to_string(),
    })?;
    if about.is_dir() {
        return Err("it is a folder, not a file".into());
    }
    if about.len() > LARGEST_FILE {
        return Err(format!("it has {} bytes; a family's files have a few thousand", about.len()));
    }
    let bytes = std::fs::read(path).map_err(|e| e.to_string())?;
    String::from_utf8(bytes).map_err(|e| {
        let line = e.as_bytes()[..e.utf8_error().valid_up_to()].iter().filter(|b| **b == b'\n').count() + 1;
        format!("line {line} is not text (UTF-8)")
    })
}
