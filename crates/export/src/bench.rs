//! Printed parts on the bench, each with the build that it was drawn for.
//!
//! What a copy was drawn to is not known from what lies in the builds' folder now, so the manifest of each build that was
//! printed from is kept beside the log, in `printed/7d8ac923.json`: it holds the texts that the build was made from.

use std::collections::BTreeMap;
use std::io;
use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

use bobbinwright_core::changes::Version;
use bobbinwright_core::{Prepared, bare, tolerance};
use bobbinwright_fit::{Printed, Tried};
use bobbinwright_geometry::parts::PositionParts;
use bobbinwright_kernel::difference;
use bobbinwright_spec::{
    Book, Copy, Entered, Folder, NewPrint, NotEntered, PartKind, Position, Problems, Survey, Trial, When,
    enter, is_mark, part_name, part_named,
};
use jiff::civil::Date;

use crate::changes::{Built, NotRead};

/// The folder, beside the log, of the manifests of builds that were printed from.
pub const KEPT: &str = "printed";

/// A manifest is some hundred kilobytes.
const LARGEST: usize = 16 << 20;

/// A build that something was printed from.
pub struct Source {
    /// What its manifest says.
    pub built: Built,
    /// Built again from the texts in it.
    pub version: Version,
}

/// Why it is not known how a copy was drawn.
#[derive(Debug, thiserror::Error)]
pub enum Unknown {
    /// Its manifest tells nothing.
    #[error(transparent)]
    Manifest(#[from] NotRead),
    /// It can't be built again from what it was made from.
    #[error("it can't be built again from what {file} holds")]
    Texts {
        /// The manifest.
        file: String,
        /// What is wrong with it.
        problems: Problems,
    },
    /// It is of a build that is drawn otherwise.
    #[error("{file} is of build {mark}")]
    Another {
        /// The manifest.
        file: String,
        /// What its own mark is.
        mark: String,
    },
}

/// A copy in use, and the build that it is of.
pub struct Lying {
    /// Which one.
    pub copy: Copy,
    source: Rc<Result<Source, Unknown>>,
}

impl Lying {
    /// The build that it is of.
    ///
    /// # Errors
    /// Why that is not known.
    pub fn source(&self) -> Result<&Source, &Unknown> {
        self.source.as_ref().as_ref()
    }
}

/// Why it is not in the log that something was printed.
#[derive(Debug, thiserror::Error)]
pub enum NotNoted {
    /// The build has no such part.
    #[error("build {mark} has no part {part}; it has {all}")]
    NoPart {
        /// The build.
        mark: String,
        /// What was named.
        part: String,
        /// What there is.
        all: String,
    },
    /// The build's manifest tells nothing.
    #[error(transparent)]
    Manifest(#[from] NotRead),
    /// The manifest could not be kept.
    #[error("nothing was entered: {file} can't be written: {source}")]
    Keep {
        /// Where.
        file: String,
        /// Why.
        source: io::Error,
    },
    /// The log could not be added to.
    #[error(transparent)]
    Entry(#[from] NotEntered),
}

/// Enters that parts of a build were printed; all of them where none is named. What its manifest says is kept beside the log
/// first, so that it stays known how they were drawn; of builds that are drawn alike the first that was printed from stays.
///
/// # Errors
/// See [`NotNoted`].
pub fn note_printed(
    family: &Folder,
    manifest: &str,
    parts: &[String],
    on: Date,
    when: When,
) -> Result<Entered<Survey>, NotNoted> {
    let built = Built::of(manifest.as_bytes(), Path::new(crate::manifest::FILE))?;
    let mark = built.mark.clone();
    let all: Vec<&str> = built.parts().collect();
    // As readings of them are called, or as their files are.
    let name =
        |part: &String| part_named(part).map_or(part.clone(), |(position, kind)| part_name(position, kind));
    let mut named: Vec<String> = parts.iter().map(name).collect();
    named.sort();
    named.dedup();
    if let Some(part) = named.iter().find(|part| !all.contains(&part.as_str())) {
        return Err(NotNoted::NoPart { mark, part: part.clone(), all: all.join(", ") });
    }
    let parts = if named.is_empty() { all.iter().map(|&part| part.to_owned()).collect() } else { named };
    let survey = Survey::load_at(family, when).map_err(NotEntered::from)?;
    let folder = survey.log_folder(family).join(KEPT);
    let file = format!("{mark}.json");
    match folder.create(&[(&file, manifest)]) {
        Err(e) if e.kind() != io::ErrorKind::AlreadyExists => {
            let file = folder.path().join(file).display().to_string();
            return Err(NotNoted::Keep { file, source: e });
        }
        _ => {}
    }
    let print = NewPrint { on, parts, build: mark };
    Ok(enter(family, when, |_: &Survey| Ok((print.to_string(), None)))?)
}

/// The copy that is in the log for a day as one of the parts that are to be entered, of the same build; none where none is.
pub fn entered_already(survey: &Survey, manifest: &str, parts: &[String], on: Date) -> Option<Copy> {
    let built = Built::of(manifest.as_bytes(), Path::new(crate::manifest::FILE)).ok()?;
    let is_meant = |copy: &Copy| {
        let named = |part: &String| part_named(part) == Some((copy.position.as_str(), copy.kind));
        parts.is_empty() || parts.iter().any(named)
    };
    survey.copies().into_iter().find(|copy| copy.on == on && copy.build == built.mark && is_meant(copy))
}

/// The manifest of a build that was printed from before, by its mark; none where nothing was.
pub fn kept(log: &Folder, mark: &str) -> Option<String> {
    if !is_mark(mark) {
        return None;
    }
    let bytes = log.join(KEPT).read(&format!("{mark}.json"), LARGEST).ok()?;
    String::from_utf8(bytes).ok()
}

/// What a family's log knows to be on the bench, in the order in which it was printed.
pub fn lying(log: &Folder, survey: &Survey, when: When) -> Vec<Lying> {
    let mut sources: BTreeMap<String, Rc<Result<Source, Unknown>>> = BTreeMap::new();
    let current = survey.copies().into_iter().filter(|copy| copy.is_current);
    current
        .map(|copy| {
            let known = sources.entry(copy.build.clone());
            let source = known.or_insert_with(|| Rc::new(source(log, &copy.build, when))).clone();
            Lying { copy, source }
        })
        .collect()
}

/// A family's parts built and checked. Where sizes that were read on its printed parts contradict the tolerance that it states,
/// that counts: see [`tolerance`]; what is odd about sizes of finished ones is among its notices, see [`bare`].
///
/// # Errors
/// What is wrong with the family, or can't be made.
pub fn prepared(folder: &Folder, survey: &Survey, when: When) -> Result<Prepared, Problems> {
    let family = survey.clone().family()?;
    let is_cut = family.positions.iter().any(|position| position.wanted.flatwork.sheet.is_some());
    let may_contradict = (family.printer.profile().is_none() || is_cut) && !family.pieces.is_empty();
    let may_be_bare = !family.finished.alone.is_empty();
    let tried = tried(&survey.log_folder(folder), survey, when);
    let mut now = Prepared::with_tried(family, tried)?;
    if !may_contradict && !may_be_bare {
        return Ok(now);
    }
    let lying = lying(&survey.log_folder(folder), survey, when);
    let is_known = |position: &str, kind: PartKind| {
        lying.iter().any(|l| l.copy.position == position && l.copy.kind == kind && l.source().is_ok())
    };
    let odd = bare::odd(&now, &printed(&lying, &now), is_known);
    now.family.notices.extend(odd);
    let beyond =
        if may_contradict { tolerance::beyond(&now, &printed(&lying, &now), is_known) } else { Vec::new() };
    if beyond.is_empty() {
        return Ok(now);
    }
    Prepared::with_tried(tolerance::doubted(now.family, &beyond), now.tried)
}

/// A family as it is now, as [`prepared`] has it, to compare with what was before.
///
/// # Errors
/// See [`prepared`].
pub fn version(
    folder: &Folder,
    name: impl Into<String>,
    survey: Survey,
    when: When,
) -> Result<Version, Problems> {
    let prepared = prepared(folder, &survey, when)?;
    Ok(Version { name: name.into(), survey, prepared })
}

/// What was tried of copies of which it is known how they were drawn.
fn tried(log: &Folder, survey: &Survey, when: When) -> Vec<Tried> {
    let mut sources: BTreeMap<String, Option<Source>> = BTreeMap::new();
    let of = |trial: Trial| {
        let build = &trial.copy.build;
        let known = sources.entry(build.clone()).or_insert_with(|| source(log, build, when).ok());
        let version = &known.as_ref()?.version.prepared;
        let index = version.family.positions.iter().position(|p| p.name == trial.copy.position)?;
        Some(Tried { parts: Arc::new(version.positions.get(index)?.clone()), trial })
    };
    survey.trials().into_iter().filter_map(of).collect()
}

/// For the checks of what is printed: which parts are drawn otherwise than they are now, position by position.
pub fn printed<'s>(lying: &'s [Lying], now: &Prepared) -> Vec<Printed<'s>> {
    let of = |(position, parts): (&Position, &PositionParts)| {
        PartKind::ALL.map(|kind| {
            let lies = lying.iter().find(|l| l.copy.position == position.name && l.copy.kind == kind)?;
            let before = drawn(lies, &position.name)?;
            (!is_alike(before, parts, kind)).then_some(before)
        })
    };
    now.family.positions.iter().zip(&now.positions).map(of).collect()
}

/// The parts of a copy's position as its build has them.
fn drawn<'s>(lying: &'s Lying, position: &str) -> Option<&'s PositionParts> {
    let version = &lying.source().ok()?.version.prepared;
    let index = version.family.positions.iter().position(|p| p.name == position)?;
    version.positions.get(index)
}

/// Is a part drawn alike in both?
fn is_alike(a: &PositionParts, b: &PositionParts, kind: PartKind) -> bool {
    match (a.bare(kind), b.bare(kind)) {
        // Holes may stand elsewhere in a part of the same sizes and volume.
        (Some(a), Some(b)) => difference(&a.stack, &b.stack).is_ok_and(|found| found.is_none()),
        (a, b) => a.is_none() && b.is_none(),
    }
}

fn source(log: &Folder, mark: &str, when: When) -> Result<Source, Unknown> {
    let folder = log.join(KEPT);
    let name = format!("{mark}.json");
    let path = folder.path().join(&name);
    let file = || path.display().to_string();
    let bytes = folder.read(&name, LARGEST).map_err(|source| NotRead::File { file: path.clone(), source })?;
    let built = Built::of(&bytes, Path::new(&path))?;
    if built.mark != mark {
        return Err(Unknown::Another { file: file(), mark: built.mark });
    }
    let when = When { as_of: built.as_of, ..when };
    let survey = Survey::read(&built.slug, built.sources.clone(), when);
    let version = survey.and_then(|survey| Version::new(format!("build {mark}"), survey));
    match version {
        Ok(version) => Ok(Source { built, version }),
        Err(problems) => Err(Unknown::Texts { file: file(), problems }),
    }
}
