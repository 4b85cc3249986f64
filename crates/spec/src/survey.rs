//! What is known of a family so far: everything it needs, measured or not.

use bobbinwright_folder::Folder;
use jiff::civil::Date;

use crate::Doubts;
use crate::angle::Angle;
use crate::as_wound;
use crate::copies::{Copies, Copy};
use crate::corners::Corners;
use crate::entry::NewTool;
use crate::family::{self, FAMILY_FILE, Family};
use crate::finished::Finished;
use crate::handed::Handed;
use crate::live::{self, live_readings};
use crate::log::{Log, Matter, When};
use crate::measured::Measured;
use crate::names::Names;
use crate::needed::{self, Surveyed};
use crate::outline::Outline;
use crate::over::Over;
use crate::printer::{PRINTER_FILE, Printer, PrinterSurvey, WrittenPrinter};
use crate::problem::{Problem, Problems, SourceFile, Span};
use crate::quantity::Quantity;
use crate::reader::Noted;
use crate::sides::Sides;
use crate::sources::{Sources, slug};
use crate::usual_tool::{is_by_rule, tools, usual_tool};
use crate::wanted::{Mounting, Side, Wanted, parameter};
use crate::winds::Winds;
use crate::without_print;
use crate::written::{Written, WrittenPosition};
use crate::{Estimate, Length};
use crate::{bare, gauges, read_corners, read_form, sense, strings};
use bobbinwright_estimate::Unit;

/// A family's files, read. Needs no reading to be there, so that it can say which are missing.
#[derive(Clone, Debug)]
pub struct Survey {
    /// The folder's name.
    pub slug: String,
    /// For people.
    pub title: String,
    /// How many strings.
    pub strings: usize,
    /// Which end of their row is bass.
    pub handed: Handed,
    /// From the first to the last in the file.
    pub positions: Vec<SurveyedPosition>,
    /// Everything that this family needs or that was read for it, in the order in which it is
    /// measured best.
    pub quantities: Vec<Surveyed>,
    /// How many entries the log has, withdrawn and unreadable ones too.
    pub entries: usize,
    /// The day as of which the log was read, when not as it stands.
    pub as_of: Option<Date>,
    pub(crate) when: When,
    /// The day of the latest of them.
    pub last_entry: Option<Date>,
    /// What is wrong with the files or worth a look. That readings are missing is not among it.
    pub problems: Problems,
    /// What its log knows of coils that were wound.
    pub winds: Winds,
    written: Written,
    printer: Option<Printer>,
    sources: Sources,
    printer_problems: Vec<Problem>,
    measured: Measured,
    /// Index in the log, name and resolution of every tool.
    tools: Vec<(usize, String, Length)>,
    log: Log,
    /// All entries could be read.
    log_is_sound: bool,
}

/// What is known of a position's surroundings before anything is measured.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyedPosition {
    /// Its name.
    pub name: String,
    /// How many mounting screws it has.
    pub screws: usize,
    /// The sides at which the body has recesses for ears, that of screw 1 first.
    pub ears: Vec<Side>,
    /// The side in which the wire channel opens.
    pub channel: Option<Side>,
    /// How far the row is stated to be from square to the strings, the bass end nearer to the neck.
    pub slant: Angle,
    /// What its rout was routed as.
    pub outline: Outline,
    /// Where its sides are, where they were read.
    pub sides: Option<Sides>,
    /// Radii in the rout's corners, where they were read.
    pub corners: Option<Corners<Length>>,
}

impl Survey {
    /// Reads a family's folder, its log as of a day. Fails where there is no telling what the family
    /// is; any other mistake is among the [`Survey::problems`].
    pub fn load_at(folder: &Folder, when: When) -> Result<Self, Problems> {
        let mut problems = Problems::default();
        if !folder.is_there() {
            let message = format!("the family {} is not a folder", folder.path().display());
            let hint = "name the folder that holds family.ron and readings.ron, like specs/tidewick";
            problems.all.push(Problem::anywhere(message).hint(hint));
            return Err(problems);
        }
        if folder.has(PRINTER_FILE) && !folder.has(FAMILY_FILE) {
            let folder = folder.path().display();
            let problem = Problem::anywhere(format!("{folder} is a printer's folder, not a family's"));
            problems.all.push(problem.hint(format!("for its coupon: bobbinwright coupon {folder}")));
            return Err(problems);
        }
        Self::read(&slug(folder), Sources::load(folder)?, when)
    }

    /// The same from the texts of the two files, when the family names no printer's folder.
    pub fn read_at(
        slug: &str,
        family: SourceFile,
        readings: SourceFile,
        when: When,
    ) -> Result<Self, Problems> {
        Self::read(slug, Sources::alone(family, readings), when)
    }

    /// The unit in which the family states most of its lengths, see [`Family::unit`].
    pub fn unit(&self) -> Unit {
        family::unit_of(&self.problems.files)
    }

    /// The texts that it was read from.
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// The same from the texts of all files.
    pub fn read(slug: &str, sources: Sources, when: When) -> Result<Self, Problems> {
        let mut noted = Noted::default();
        let (files, printer_file) = sources.files();
        let mut roots = Vec::new();
        for root in &sources.roots {
            match root {
                Ok(root) => roots.push(root),
                Err(problem) => noted.problems.push(problem.clone()),
            }
        }
        let whole = roots.len() == 1 + sources.forebears.len();
        let written = whole.then(|| Written::read(&roots, &mut noted)).flatten();
        // Without positions and string count the log's names mean nothing.
        let Some(written) = written else { return Err(Problems { files, all: distinct(noted) }) };
        // What is wrong with the printer keeps nobody from measuring.
        let mut of_printer = Noted::default();
        let (printer, doubts) =
            printer_of(&written, &sources, &files, printer_file, when, &mut of_printer).unzip();
        let names: Vec<String> = written.positions.iter().map(|p| p.name.clone()).collect();
        let known = Names::Family { positions: &names, strings: written.strings };
        let before = noted.errors();
        let mut log = Log::read(sources.log(&files), &known, when, &mut noted);
        let log_is_sound = noted.errors() == before;
        // In a log that can't be read to its end what is odd may be withdrawn there.
        let mut odd = Noted::default();
        without_print::note(&log, &mut odd);
        bare::note(&mut log, |position, part| written.finish(position, part), &mut odd);
        let slants = written.positions.iter().filter_map(|p| Some((p.name.clone(), p.rout.slant?)));
        let widening = written.positions.iter().filter(|p| !p.rout.outline.is_parallel());
        let widening = widening.map(|p| p.name.clone()).collect();
        let over = Over { strings: written.strings, slants: slants.collect(), widening };
        let mut measured = Measured::from_log(&log, &over, doubts.unwrap_or_default(), &mut odd);
        read_corners::settle(&mut measured, &names, &mut odd);
        let outlines = written.positions.iter().map(|p| (p.name.as_str(), p.rout.outline));
        read_form::settle(&mut measured, outlines);
        strings::note_odd_spacings(&measured, &names, written.strings, &mut odd);
        gauges::note(&measured, written.strings, &mut odd);
        for position in &names {
            gauges::note_spacings(&measured, position, written.strings, &mut odd);
        }
        sense::note(&log, &measured, &names, &mut odd);
        let winds = Winds::of(&log, &measured, &mut odd);
        as_wound::note(&winds, &written, &mut odd);
        if log_is_sound {
            noted.problems.append(&mut odd.problems);
        }
        noted.problems.extend(sources.known.notice());
        let positions = written.positions.iter().map(|p| SurveyedPosition {
            name: p.name.clone(),
            screws: p.rout.screws(),
            ears: p.rout.ears.clone(),
            channel: p.rout.channel,
            slant: p.rout.slant.unwrap_or_default(),
            outline: p.rout.outline,
            sides: measured.forms.get(&p.name).map(|form| form.sides.clone()),
            corners: measured.radii.get(&p.name).map(|radii| radii.map(Estimate::value)),
        });
        Ok(Self {
            slug: slug.to_owned(),
            title: written.title.clone(),
            strings: written.strings,
            handed: written.handed,
            positions: positions.collect(),
            quantities: needed::all(&written, &measured),
            entries: log.entries.len(),
            as_of: when.as_of,
            when,
            last_entry: last_day(&log),
            problems: Problems { all: told(noted, &files), files },
            tools: tools(&log),
            winds,
            log,
            written,
            printer,
            sources,
            printer_problems: distinct(of_printer),
            measured,
            log_is_sound,
        })
    }

    /// Diameters of the holes that the family wants, ascending.
    pub fn holes(&self) -> Vec<Length> {
        let wanted = self.written.positions.iter().filter_map(|p| p.wanted.as_ref());
        let of = |w: &Wanted| {
            let recess = match w.cover.mounting {
                Mounting::Bosses { recess_diameter, .. } => Some(recess_diameter),
                Mounting::Ears { .. } => None,
            };
            // What is cut no printer makes.
            let is_printed = w.flatwork.sheet.is_none();
            let plates =
                [w.flatwork.pole_hole, w.flatwork.eyelet_hole].map(|hole| is_printed.then_some(hole));
            let all = plates.into_iter().chain([w.cover.pole_hole, Some(w.cover.screw_hole), recess]);
            all.flatten().collect::<Vec<_>>()
        };
        let mut holes: Vec<Length> = wanted.flat_map(of).collect();
        holes.sort_by(|a, b| a.as_mm().total_cmp(&b.as_mm()));
        holes.dedup();
        holes
    }

    /// For each position that states a dimension, or whose forebears do: its name, the value, and where that
    /// stands. A length that is worked out (a snug gap) has no value yet.
    pub fn stated(&self, path: &str) -> Vec<(String, Option<Length>, Span)> {
        let Some(known) = parameter(path) else { return Vec::new() };
        let of = |p: &WrittenPosition| {
            let mut wanted = p.wanted.clone()?;
            let span = *wanted.origins.get(known.path)?;
            let worked_out = known.path == "cover.fit_gap" && wanted.cover.snug.is_some();
            let value = (known.field)(&mut wanted).copied().filter(|_| !worked_out);
            Some((p.name.clone(), value, span))
        };
        self.written.positions.iter().filter_map(of).collect()
    }

    /// What counts for a position under a path, as it is written: its text and where it stands; none where
    /// nobody states it.
    pub fn written_at(&self, position: &str, path: &str) -> Option<(&str, Span)> {
        let span = crate::edit::stated_at(&self.sources, position, path)?.span;
        Some((self.problems.files.get(span.file)?.text.get(span.start..span.end)?, span))
    }

    /// What is wanted of a position, as its file states it.
    pub(crate) fn wanted(&self, position: &str) -> Option<&Wanted> {
        self.written.positions.iter().find(|p| p.name == position)?.wanted.as_ref()
    }

    pub(crate) fn log(&self) -> &Log {
        &self.log
    }

    /// The copies that were printed of its parts, in the order of the log.
    pub fn copies(&self) -> Vec<Copy> {
        Copies::of(&self.log).into_all()
    }

    /// The tools' names, in the order of the log.
    pub fn tools(&self) -> impl Iterator<Item = &str> {
        self.tools.iter().map(|tool| tool.1.as_str())
    }

    /// The tool that most of it was read with, or else the finest, as another log would have it from a day on.
    pub fn caliper(&self, on: Date) -> Option<NewTool> {
        let taken = |index: usize| {
            let with = |q: &&Surveyed| !is_by_rule(&q.quantity) && q.taken.is_some_and(|t| t.tool == index);
            self.quantities.iter().filter(with).count()
        };
        let most = self.tools.iter().map(|tool| (taken(tool.0), tool.0)).max().filter(|most| most.0 > 0);
        let finest = || {
            let name = usual_tool(&self.tools, None, false)?;
            self.tools.iter().rfind(|tool| tool.1 == name).map(|tool| tool.0)
        };
        let index = most.map(|most| most.1).or_else(finest)?;
        let Matter::Tool(tool) = &self.log.entries.get(index)?.matter else { return None };
        Some(NewTool { on, tool: tool.clone(), unit: self.unit() })
    }

    /// Quantities that are not known yet.
    pub fn missing(&self) -> impl Iterator<Item = &Surveyed> {
        self.quantities.iter().filter(|q| q.missing)
    }

    /// Quantities that something is taken for granted of until they are read.
    pub fn worth_reading(&self) -> impl Iterator<Item = &Surveyed> {
        self.quantities.iter().filter(|q| q.until_read.is_some())
    }

    /// The tool to take for granted for a reading of a quantity: the one it was read with last, or else the finest; the
    /// coarsest where a rule is laid on.
    pub fn usual_tool(&self, quantity: &Quantity) -> Option<&str> {
        let taken = self.quantities.iter().find(|q| q.quantity == *quantity).and_then(|q| q.taken);
        usual_tool(&self.tools, taken.map(|t| t.tool), is_by_rule(quantity))
    }

    /// Was a thing read, and then read afresh, both after so many entries? Then it was worked on.
    pub fn was_changed(&self, quantity: &Quantity, after: usize) -> bool {
        live::was_changed(&self.log, quantity, after)
    }

    /// The number of the first entry that a quantity's readings stand in, of those that count.
    pub fn first_entry(&self, quantity: &Quantity) -> Option<usize> {
        let live = live_readings(&self.log).into_iter().filter(|(_, r)| r.quantity == *quantity);
        live.map(|(e, _)| e.number).min()
    }

    /// A quantity by its name in the log; the error says in words what is wrong with it.
    pub fn quantity(&self, name: &str) -> Result<Quantity, String> {
        Quantity::parse(
            name,
            &self.positions.iter().map(|p| p.name.clone()).collect::<Vec<_>>(),
            self.strings,
        )
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
        let resolved = match self.printer.filter(|_| !lacks) {
            Some(printer) => family::resolve(&self.slug, self.written, printer, &mut measured, &mut noted),
            None => None,
        };
        let mut problems = self.problems;
        problems.all.extend(self.printer_problems);
        let told = told(noted, &problems.files);
        problems.all.extend(told);
        match resolved {
            Some(mut family) if !problems.has_errors() => {
                family.files = problems.files;
                family.entries = self.entries;
                family.identity = self.sources.known.identity().cloned();
                as_wound::settle(&mut family.positions, &self.winds);
                family.winds = self.winds;
                family.finished = Finished::of(&self.log);
                family.as_of = self.as_of;
                family.notices = problems.all;
                Ok(family)
            }
            _ => Err(problems),
        }
    }
}

/// The printer with its causes of doubt; none when something is wrong with it, which has been noted.
fn printer_of(
    written: &Written,
    sources: &Sources,
    files: &[SourceFile],
    first: usize,
    when: When,
    noted: &mut Noted,
) -> Option<(Printer, Doubts)> {
    match (written.printer.as_ref()?, &sources.printer) {
        (WrittenPrinter::Here(printer), _) => Some((printer.as_ref().clone(), Doubts::default())),
        (WrittenPrinter::Folder { .. }, Some(printer)) => {
            PrinterSurvey::among(&printer.slug, files, first, when, Doubts::default(), noted)?.resolve(noted)
        }
        (WrittenPrinter::Folder { path, span }, None) => {
            let message = format!("the printer's folder {path:?} was not read");
            noted.error(*span, message, "name a folder that holds printer.ron and readings.ron");
            None
        }
    }
}

/// The day of a log's latest entry. Entries that could not be read have no day of their own.
pub(crate) fn last_day(log: &Log) -> Option<Date> {
    log.entries.iter().map(|e| e.on).max().filter(|day| *day != Date::default())
}

/// Each once, in the family's own unit.
fn told(noted: Noted, files: &[SourceFile]) -> Vec<Problem> {
    let unit = family::unit_of(files);
    distinct(noted).into_iter().map(|problem| problem.told_in(unit)).collect()
}

/// What the family says once is read for each position.
pub(crate) fn distinct(noted: Noted) -> Vec<Problem> {
    let mut all: Vec<Problem> = Vec::new();
    for problem in noted.problems {
        if !all.contains(&problem) {
            all.push(problem);
        }
    }
    all
}
