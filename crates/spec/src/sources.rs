//! The files that a family or a printer is read from.

use std::path::Path;

use crate::printer::PrinterSurvey;
use crate::problem::{Problems, SourceFile};

/// The texts of everything that a family is read from.
#[derive(Clone, Debug)]
pub struct Sources {
    /// What is wanted.
    pub family: SourceFile,
    /// What was measured.
    pub readings: SourceFile,
    /// Its printer, when that has a folder of its own.
    pub printer: Option<PrinterFiles>,
}

/// The texts of a printer's folder.
#[derive(Clone, Debug)]
pub struct PrinterFiles {
    /// The folder's name.
    pub slug: String,
    /// What it can do.
    pub printer: SourceFile,
    /// What was read of its prints.
    pub readings: SourceFile,
}

impl PrinterFiles {
    pub(crate) fn load(folder: &Path, problems: &mut Problems) -> Option<Self> {
        let [printer, readings] = PrinterSurvey::files(folder, problems)?;
        Some(Self { slug: slug_of(folder), printer, readings })
    }
}

/// The name of a folder.
pub(crate) fn slug_of(folder: &Path) -> String {
    let canonical = folder.canonicalize().ok();
    let slug = canonical.as_deref().unwrap_or(folder).file_name();
    slug.map_or_else(|| "family".into(), |n| n.to_string_lossy().into_owned())
}

/// Files of people are small; a larger one is not what it seems.
const LARGEST_FILE: u64 = 4 << 20;

pub(crate) fn read_text(path: &Path) -> Result<String, String> {
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
