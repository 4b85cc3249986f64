//! What was last built, by its manifest.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use bobbinwright_spec::{SourceFile, Sources};
use jiff::civil::Date;
use serde::Deserialize;
use serde_json::Value;

use crate::manifest::FORMAT;
use crate::read_back::Written;
use crate::whose::{Drawn, mark_of};
use bobbinwright_core::Prepared;
use bobbinwright_core::changes::Version;

/// A build, as far as its manifest tells.
#[derive(Clone, Debug)]
pub struct Built {
    /// The family's folder name.
    pub slug: String,
    /// What it was made from.
    pub sources: Sources,
    /// The day as of which its log was read.
    pub as_of: Option<Date>,
    /// Version of the program that built it.
    pub program: String,
    /// Its mark, see [`crate::whose::mark`].
    pub mark: String,
    /// The printer's folder that it was drawn for, where it was.
    pub drawn_for: Option<String>,
    /// Each part's name, its volume, mm³, and what was drawn for each size that can be measured on it.
    parts: Vec<(String, f64, BTreeMap<String, String>)>,
}

/// Why a manifest tells nothing.
#[derive(Debug, thiserror::Error)]
pub enum NotRead {
    /// There is none.
    #[error("nothing was built into {} yet", .folder.display())]
    NotBuilt {
        /// The folder of the build.
        folder: PathBuf,
    },
    /// It can't be read.
    #[error("{file} can't be read: {source}")]
    File {
        /// The file.
        file: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// It is something else.
    #[error("{file} is not the manifest of a build ({why})")]
    NotAManifest {
        /// The file.
        file: PathBuf,
        /// What is wrong with it.
        why: String,
    },
    /// A newer program wrote it.
    #[error(
        "{file} was written by a newer program, {program} (form {form}; this one reads form {FORMAT}): use that one, or build again with this one"
    )]
    Newer {
        /// The file.
        file: PathBuf,
        /// Its version.
        program: String,
        /// Its form.
        form: u32,
    },
    /// An older program wrote it.
    #[error(
        "{file} does not hold the readings that it was built from: build once with this program, then later builds can be compared"
    )]
    WithoutTexts {
        /// The file.
        file: PathBuf,
    },
}

#[derive(Deserialize)]
struct Form {
    format: u32,
    program: Program,
}

#[derive(Deserialize)]
struct Program {
    name: String,
    version: String,
}

impl Built {
    /// Reads a `manifest.json`.
    pub fn read(file: &Path) -> Result<Self, NotRead> {
        let bytes = bobbinwright_install::read_file(file).map_err(|source| match source.kind() {
            ErrorKind::NotFound => NotRead::NotBuilt { folder: file.parent().unwrap_or(file).to_owned() },
            _ => NotRead::File { file: file.to_owned(), source },
        })?;
        Self::of(&bytes, file)
    }

    /// What the bytes of a manifest say; `file` is what messages call it.
    pub fn of(bytes: &[u8], file: &Path) -> Result<Self, NotRead> {
        let not = |e: serde_json::Error| NotRead::NotAManifest { file: file.to_owned(), why: e.to_string() };
        let value: Value = serde_json::from_slice(bytes).map_err(not)?;
        // What else it holds is known only when the form is.
        let form = Form::deserialize(&value).map_err(not)?;
        let program = format!("{} {}", form.program.name, form.program.version);
        if form.format > FORMAT {
            return Err(NotRead::Newer { file: file.to_owned(), program, form: form.format });
        }
        let content = Written::deserialize(&value).map_err(not)?;
        let day = |text: String| {
            let no_day = |e: jiff::Error| NotRead::NotAManifest { file: file.to_owned(), why: e.to_string() };
            text.parse::<Date>().map_err(no_day)
        };
        let as_of = content.as_of.map(day).transpose()?;
        if let Some(other) = content.inputs.iter().find(|input| input.is_other()) {
            let why = format!("{} in it was changed since it was built", other.file);
            return Err(NotRead::NotAManifest { file: file.to_owned(), why });
        }
        let texts = content.inputs.into_iter().map(|i| Some(SourceFile { name: i.file, text: i.text? }));
        let sources = texts.collect::<Option<Vec<_>>>().and_then(Sources::of_files);
        Ok(Self {
            slug: content.family,
            sources: sources.ok_or_else(|| NotRead::WithoutTexts { file: file.to_owned() })?,
            as_of,
            program,
            mark: mark_of(content.parts.iter().map(Drawn::from)),
            drawn_for: content.profile.map(|profile| profile.printer),
            parts: content.parts.into_iter().map(|p| (p.id.clone(), p.volume_mm3, p.drawn())).collect(),
        })
    }

    /// Parts that this program makes otherwise than the one that built them, from the same files.
    pub fn made_otherwise(&self, version: &Version) -> Vec<String> {
        let prepared = &version.prepared;
        let all = prepared.family.positions.iter().zip(&prepared.positions);
        let volumes = all.flat_map(|(position, built)| {
            built.parts.iter().map(|part| (Prepared::part_id(&position.name, part), part.solid.volume))
        });
        let differs = |(id, volume): &(String, f64)| {
            let was = self.parts.iter().find(|(known, ..)| known == id);
            was.is_none_or(|(_, was, _)| (was - volume).abs() > 1e-6 * volume)
        };
        volumes.filter(differs).map(|(id, _)| id).collect()
    }

    /// The parts' names: `neck-cover`.
    pub fn parts(&self) -> impl Iterator<Item = &str> {
        self.parts.iter().map(|(id, ..)| id.as_str())
    }

    /// What was drawn for each size of a part that can be measured on it, by the size's word.
    pub fn sizes(&self, part: &str) -> impl Iterator<Item = (String, &str)> {
        let known = self.parts.iter().filter(move |(id, ..)| id == part);
        known.flat_map(|(.., drawn)| drawn).map(|(word, drawn)| (word.clone(), drawn.as_str()))
    }

    /// For a size of a part, `outer.x` of `neck-cover`, the name of what was drawn.
    pub fn drawn(&self, part: &str, size: &str) -> Option<&str> {
        let (_, _, drawn) = self.parts.iter().find(|(id, ..)| id == part)?;
        drawn.get(size).map(String::as_str)
    }
}
