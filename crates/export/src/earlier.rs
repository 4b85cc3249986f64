//! Builds that stood in a folder before the one that stands there now.
//!
//! Which build somebody printed from is not known before it is said, and it may be said after the next one was made. So
//! what is needed to draw a build's parts again stays when another one takes its place: its manifest, in
//! `earlier/7d8ac923.json`, without what it says of fit and printing.

use std::io;
use std::path::Path;

use bobbinwright_spec::{Folder, is_mark};
use serde_json::Value;

/// The folder, in that of the build.
const FOLDER: &str = "earlier";

/// A manifest is some hundred kilobytes.
const LARGEST: usize = 16 << 20;

/// What a manifest says that nobody asks a build of before: all of it follows from the texts that it was made from.
const IDLE: [&str; 3] = ["checks", "plates", "outputs"];

/// Keeps what a folder's manifest said before another build took its place, by its mark.
pub(crate) fn keep(folder: &Path, mark: &str, manifest: &[u8]) -> io::Result<()> {
    let mut manifest: Value = serde_json::from_slice(manifest)?;
    if let Some(fields) = manifest.as_object_mut() {
        fields.retain(|name, _| !IDLE.contains(&name.as_str()));
    }
    for part in manifest["parts"].as_array_mut().into_iter().flatten() {
        // Not by its index, which would put it there where it lacks: what is cut is not printed.
        if let Some(printed) = part.get_mut("printed").and_then(Value::as_object_mut) {
            printed.retain(|name, _| name == "drawn");
        }
    }
    let text = format!("{manifest}\n");
    match Folder::on_disk(folder.join(FOLDER)).create(&[(&file(mark), &text)]) {
        // Drawn alike: what is there will do.
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        other => other,
    }
}

/// The manifest of an earlier build; none where there is none of that mark.
pub fn manifest(folder: &Path, mark: &str) -> Option<String> {
    if !is_mark(mark) {
        return None;
    }
    let bytes = Folder::on_disk(folder.join(FOLDER)).read(&file(mark), LARGEST).ok()?;
    String::from_utf8(bytes).ok()
}

/// The marks of all that stood in a folder before, the latest first.
pub fn marks(folder: &Path) -> Vec<String> {
    let all = std::fs::read_dir(folder.join(FOLDER)).into_iter().flatten().flatten();
    let dated = all.filter_map(|entry| {
        let name = entry.file_name().into_string().ok()?;
        let mark = name.strip_suffix(".json")?.to_owned();
        Some((entry.metadata().and_then(|about| about.modified()).ok()?, mark))
    });
    let mut dated: Vec<_> = dated.collect();
    dated.sort();
    dated.into_iter().rev().map(|(_, mark)| mark).collect()
}

fn file(mark: &str) -> String {
    format!("{mark}.json")
}
