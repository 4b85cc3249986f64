//! How the job stands: for each pickup what is measured, printed, inspected, wound, soldered and built in, since when, and what
//! comes next and why.

mod stages;
mod text;

use bobbinwright_core::Prepared;
use bobbinwright_fit::{Deciding, Verdict, check_pieces, deciding};
use bobbinwright_spec::{Book, Folder, PrinterSurvey, Survey, When};
use serde::Serialize;

use crate::bench;

/// A family's job.
#[derive(Clone, Debug, Serialize)]
pub struct Job {
    /// The folder's name.
    pub family: String,
    /// For people.
    pub title: String,
    /// The folder.
    pub folder: String,
    /// Every pickup.
    pub positions: Vec<Pickup>,
}

/// How far a pickup is.
#[derive(Clone, Debug, Serialize)]
pub struct Pickup {
    /// Its position.
    pub position: String,
    /// What there is to do, in its order.
    pub stages: Vec<Stage>,
    /// What to do now; nothing where all is done.
    pub next: Option<Next>,
    /// How it was set when it was built in.
    pub set: Option<Set>,
}

/// A part of the job.
#[derive(Clone, Debug, Serialize)]
pub struct Stage {
    /// What: `measured`.
    pub what: &'static str,
    /// Nothing of it is left to do.
    pub done: bool,
    /// The day of the latest that was done for it.
    pub on: Option<String>,
    /// How it stands, in a few words: `2 to measure`.
    pub words: String,
}

/// What to do.
#[derive(Clone, Debug, Serialize)]
pub struct Next {
    /// What.
    pub what: String,
    /// Why that, and why now.
    pub why: String,
    /// The command for it.
    pub how: String,
}

/// How a pickup was set in the instrument.
#[derive(Clone, Debug, Serialize)]
pub struct Set {
    /// The day.
    pub on: String,
    /// From its top to the string on the bass and the treble side, mm.
    pub gaps_mm: Option<[f64; 2]>,
    /// From the twelfth fret to the string on both sides, mm.
    pub action_mm: Option<[f64; 2]>,
    /// What was heard.
    pub heard: Option<String>,
}

/// What is known of a family, each worked out once.
struct Known<'k> {
    folder: &'k Folder,
    survey: &'k Survey,
    printer: Option<Result<PrinterSurvey, ()>>,
    /// None where it can't be built.
    built: Option<Built>,
}

/// A family that can be built.
struct Built {
    prepared: Prepared,
    /// The sizes that decide whether the printed parts fit.
    sizes: Vec<Deciding>,
    /// Whether those in use do, position by position.
    printed: Vec<Verdict>,
}

impl Built {
    fn of(folder: &Folder, survey: &Survey, when: When) -> Option<Self> {
        let prepared = bench::prepared(folder, survey, when).ok()?;
        if survey.copies().is_empty() && prepared.family.pieces.is_empty() {
            // Nothing is there to be inspected.
            let printed = vec![Verdict::Fits; prepared.positions.len()];
            return Some(Self { prepared, sizes: Vec::new(), printed });
        }
        let lying = bench::lying(&survey.log_folder(folder), survey, when);
        let others = bench::printed(&lying, &prepared);
        let sizes =
            deciding(&prepared.family, &prepared.positions, &others, &prepared.tried, |position, kind| {
                prepared.lie(position, kind)
            });
        let fit = check_pieces(&prepared.family, &prepared.positions, &others, &prepared.tried);
        let of = |name: &str| {
            fit.wholes().iter().find(|w| w.position == name).map_or(Verdict::Fits, |w| w.verdict)
        };
        let printed = prepared.family.positions.iter().map(|p| of(&p.name)).collect();
        Some(Self { prepared, sizes, printed })
    }
}

/// How a family's job stands.
pub fn job(folder: &Folder, survey: &Survey, when: When) -> Job {
    let printer = survey.sources().printer.as_ref();
    let printer = printer.map(|p| PrinterSurvey::load_at(&folder.at(&p.folder), when).map_err(|_| ()));
    let built = (!survey.problems.has_errors() && survey.missing().next().is_none())
        .then(|| Built::of(folder, survey, when))
        .flatten();
    let known = Known { folder, survey, printer, built };
    let positions = (0..survey.positions.len()).map(|index| stages::pickup(&known, index));
    Job {
        family: survey.slug.clone(),
        title: survey.title.clone(),
        folder: folder.path().display().to_string(),
        positions: positions.collect(),
    }
}
