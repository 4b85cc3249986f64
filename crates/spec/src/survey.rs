//! What is known of a family so far: everything it needs, measured or not.

use std::path::Path;

use jiff::civil::Date;

use crate::Length;
use crate::document::parse_one;
use crate::family::{self, FAMILY_FILE, Family, READINGS_FILE};
use crate::log::{Known, Log, Matter, When};
use crate::measured::Measured;
use crate::needed::{self, Surveyed};
use crate::problem::{Problem, Problems, SourceFile};
use crate::quantity::Quantity;
use crate::reader::Noted;
use crate::strings;
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
    /// Index in the log, name and resolution of every tool.
    tools: Vec<(usize, String, Length)>,
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
        strings::note_odd_spacings(&measured, &names, written.strings, &mut noted);
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
            tools: tools(&log),
            written,
            measured,
            log_is_sound,
        })
    }

    /// Quantities that are not known yet.
    pub fn missing(&self) -> impl Iterator<Item = &Surveyed> {
        self.quantities.iter().filter(|q| q.missing)
    }

    /// The tool to take for granted for a reading of a quantity: the one it was read with last, or else
    /// the finest.
    pub fn usual_tool(&self, quantity: &Quantity) -> Option<&str> {
        let taken = self.quantities.iter().find(|q| q.quantity == *quantity).and_then(|q| q.taken);
        let last = taken.and_then(|t| self.tools.iter().find(|tool| tool.0 == t.tool));
        let finest = || self.tools.iter().rev().min_by(|a, b| a.2.as_mm().total_cmp(&b.2.as_mm()));
        last.or_else(finest).map(|tool| tool.1.as_str())
    }

    /// A quantity by its name in the log; the error says in words what is wrong with it.
    pub fn quantity(&self, name: &str) -> Result<Quantity, String> {
        let positions: Vec<String> = self.positions.iter().map(|p| p.name.clone()).collect();
        Quantity::parse(name, &positions, self.strings)
    }

    /// The family, if nothing is wrong and nothing is missing.
    pub fn family(self) -> Result<Family, Problems> {
        let missing: Vec<&Surveyed> = self.missing().collect();
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

impl Family {
    /// Reads a family's folder.
    pub fn load(folder: &Path) -> Result<Self, Problems> {
        Self::load_at(folder, When::default())
    }

    /// Reads a family's folder, its log as of a day.
    pub fn load_at(folder: &Path, when: When) -> Result<Self, Problems> {
        Survey::load_at(folder, when)?.family()
    }

    /// Makes a family from the texts of its two files.
    pub fn read(slug: &str, family: SourceFile, readings: SourceFile) -> Result<Self, Problems> {
        Self::read_at(slug, family, readings, When::default())
    }

    /// Makes a family from the texts of its two files, its log as of a day.
    pub fn read_at(
        slug: &str,
        family: SourceFile,
        readings: SourceFile,
        when: When,
    ) -> Result<Self, Problems> {
        Survey::read_at(slug, family, readings, when)?.family()
    }
}

fn tools(log: &Log) -> Vec<(usize, String, Length)> {
    let tool = |(i, e): (usize, &crate::log::Entry)| match &e.matter {
        Matter::Tool(tool) => Some((i, tool.name.clone(), tool.resolution)),
        _ => None,
    };
    log.entries.iter().enumerate().filter_map(tool).collect()
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
