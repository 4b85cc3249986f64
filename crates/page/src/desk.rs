//! A family as it is on the disk now, read and built once for as long as its files stay as they are.

use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use bobbinwright_core::Prepared;
use bobbinwright_export::scene::{SceneError, scene};
use bobbinwright_export::stand::{Stand, stands};
use bobbinwright_export::{CHORD, bench};
use bobbinwright_fit::ToDo;
use bobbinwright_install::sha256;
use bobbinwright_spec::{Estimate, Folder, Length, PositionQuantity, Problems, Quantity, SourceFile, Survey};
use bobbinwright_words::to_guard;

use crate::day::Day;

/// A family, read; and built where it can be.
pub(crate) struct Desk {
    pub folder: Folder,
    pub survey: Survey,
    /// None while readings are missing.
    pub prepared: Option<Result<Prepared, Problems>>,
    /// What its files hold, in short.
    pub rev: String,
    /// What to do next, once that was asked.
    to_do: OnceLock<Vec<ToDo>>,
}

impl Desk {
    /// From what was read.
    pub fn of(folder: &Folder, survey: Survey, day: Day) -> Self {
        let rev = rev(&survey.problems.files);
        let complete = !survey.problems.has_errors() && survey.missing().next().is_none();
        let prepared = complete.then(|| bench::prepared(folder, &survey, day.when));
        Self { folder: folder.clone(), survey, prepared, rev, to_do: OnceLock::new() }
    }

    /// What to read again, what would tell, and what to read too: each line with what it asks for; nothing before it is built.
    pub fn to_do(&self) -> &[ToDo] {
        self.to_do.get_or_init(|| {
            let of = |built: &Prepared| {
                built.fit.to_do_next().into_iter().chain(to_guard(&built.family, &built.fit)).collect()
            };
            self.built().map(of).unwrap_or_default()
        })
    }

    /// Where its positions stand beside each other; nothing before it is built.
    pub fn stands(&self) -> Vec<Stand> {
        let distance = |name: &String| {
            let of = Quantity::At(name.clone(), PositionQuantity::BridgeDistance);
            let known = self.survey.quantities.iter().find(|known| known.quantity == of)?;
            known.estimate.as_ref().map(Estimate::value)
        };
        let distances: Vec<Option<Length>> =
            self.survey.positions.iter().map(|p| distance(&p.name)).collect();
        self.built().map(|built| stands(built, &distances)).unwrap_or_default()
    }

    /// All parts in 3D, as they stand.
    pub fn scene(&self) -> Option<Result<Vec<u8>, SceneError>> {
        self.built().map(|built| scene(built, &self.stands(), CHORD))
    }

    /// Built, when it can be.
    pub fn built(&self) -> Option<&Prepared> {
        self.prepared.as_ref()?.as_ref().ok()
    }
}

fn rev(files: &[SourceFile]) -> String {
    let all: Vec<&str> = files.iter().flat_map(|f| [f.name.as_str(), "\0", f.text.as_str(), "\0"]).collect();
    sha256(all.concat().as_bytes())[..16].to_owned()
}

/// The desks that were used last.
#[derive(Default)]
pub(crate) struct Desks {
    kept: Mutex<HashMap<PathBuf, Arc<Desk>>>,
}

/// More than these are not kept: somebody walks along a long shelf.
const MOST: usize = 8;

impl Desks {
    /// A family as it is now.
    pub fn at(&self, folder: &Folder, day: Day) -> Result<Arc<Desk>, Problems> {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let last = kept.get(folder.path());
        if let Some(desk) = last.filter(|desk| desk.survey.is_current(folder, day.when)) {
            return Ok(desk.clone());
        }
        let desk = Arc::new(Desk::of(folder, Survey::load_at(folder, day.when)?, day));
        if kept.len() >= MOST {
            kept.clear();
        }
        kept.insert(folder.path().to_owned(), desk.clone());
        Ok(desk)
    }
}
