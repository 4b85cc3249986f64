//! A build's manifest as it is read back.

use std::collections::BTreeMap;

use bobbinwright_install::sha256;
use serde::Deserialize;
use serde_json::Value;

/// What is read of a manifest; what the first builds did not say is left out where it lacks.
#[derive(Deserialize)]
pub(crate) struct Written {
    /// Name of the family's folder.
    pub family: String,
    /// Which family it is.
    pub identity: Option<String>,
    #[serde(default)]
    pub title: String,
    /// The way from the build's folder to the family's.
    pub family_folder: Option<String>,
    pub as_of: Option<String>,
    pub inputs: Vec<Input>,
    pub parts: Vec<Part>,
    pub profile: Option<DrawnFor>,
}

/// For whose sizes it was drawn.
#[derive(Deserialize)]
pub(crate) struct DrawnFor {
    /// The printer's folder.
    pub printer: String,
}

/// A file that was built from.
#[derive(Deserialize)]
pub(crate) struct Input {
    pub file: String,
    /// Of its text.
    pub sha256: Option<String>,
    pub text: Option<String>,
}

impl Input {
    /// Is its text not the one that was built from?
    pub fn is_other(&self) -> bool {
        let hash = self.text.as_ref().map(|text| sha256(text.as_bytes()));
        matches!((hash, &self.sha256), (Some(hash), Some(was)) if hash != *was)
    }
}

/// A part that was built.
#[derive(Deserialize)]
pub(crate) struct Part {
    pub id: String,
    pub volume_mm3: f64,
    printed: Option<Printed>,
    cut: Option<Cut>,
    #[serde(default)]
    pub dimensions: Value,
}

impl Part {
    /// What was drawn for each size that can be measured on it, and for the cut that it is made with.
    pub fn drawn(&self) -> BTreeMap<String, String> {
        let drawn = self.printed.as_ref().map_or_else(BTreeMap::new, |printed| printed.drawn.clone());
        with_kerf(drawn, self.cut.as_ref().map(|cut| cut.kerf_mm))
    }
}

/// What was drawn of a part, with the width of its cut where it is cut.
pub(crate) fn with_kerf(mut drawn: BTreeMap<String, String>, kerf: Option<f64>) -> BTreeMap<String, String> {
    drawn.extend(kerf.map(|kerf| ("kerf".to_owned(), format!("{kerf:.4}"))));
    drawn
}

/// How it is printed.
#[derive(Deserialize)]
struct Printed {
    #[serde(default)]
    drawn: BTreeMap<String, String>,
}

/// How it is cut.
#[derive(Deserialize)]
struct Cut {
    kerf_mm: f64,
}
