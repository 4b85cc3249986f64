//! Whose build stands in a folder: folders of families can be called alike.

use std::collections::BTreeMap;
use std::path::{Component, Path, PathBuf};

use bobbinwright_spec::{FAMILY_FILE, Family, Folder, READINGS_FILE, identity_in, is_copy};

use crate::manifest::{self, PartEntry};
use crate::read_back::{Part, Written, with_kerf};
use bobbinwright_install::{read_file, sha256};
use serde::Deserialize;
use serde_json::Value;

/// A build that stands in a folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The family that it is of, as it calls itself.
    pub title: String,
    /// That family's folder, where the manifest tells.
    pub family: Option<PathBuf>,
    /// The build's mark, see [`mark`].
    pub mark: String,
    /// It is of the family that was asked about.
    pub is_own: bool,
}

/// What stands in a folder, seen from a family; none where nothing was built into it.
///
/// Where both have an identity, that decides. Otherwise it is the family's own if it was made from the family's folder. If
/// that folder is gone, or the manifest is of a time when it did not say, the same title will do, or a log that this one's
/// begins with.
pub fn standing(folder: &Path, family: &Family) -> Option<Standing> {
    let bytes = read_file(&folder.join(manifest::FILE)).ok()?;
    let content: Written = serde_json::from_slice(&bytes).ok()?;
    // Without the steps up and down, where it is there.
    let there = content.family_folder.as_ref().map(|way| folder.join(way));
    let there = there.map(|there| shown(&there));
    let is_there = |path: &PathBuf| path.join(FAMILY_FILE).is_file();
    let is_here = there.as_ref().is_some_and(|there| same(there, &folder_of(family)));
    let is_titled = content.title == family.title;
    let by_folder = if there.as_ref().is_some_and(is_there) {
        is_here
    } else {
        let log = content.inputs.iter().find(|i| i.file.ends_with(READINGS_FILE));
        let log = log.and_then(|i| i.text.as_deref()).unwrap_or_default().trim_end();
        let now = family.files.get(1).map_or("", |f| f.text.as_str());
        is_titled || (!log.is_empty() && now.starts_with(log))
    };
    // A copy has the identity of the first until something is entered in it: what was built from the first is of that one.
    let is_anothers =
        !is_here && there.as_ref().is_some_and(|there| is_there(there) && has_identity(there, family));
    let is_own = match (&content.identity, &family.identity) {
        (Some(built), Some(own)) => *built == own.to_string() && !is_anothers,
        // Its file was lost, or it is another one in the same place.
        (Some(_), None) => by_folder && is_titled && !is_copy(&Folder::on_disk(folder_of(family))),
        (None, _) => by_folder,
    };
    let mark = mark_of(content.parts.iter().map(Drawn::from));
    Some(Standing { title: content.title, family: there.filter(|_| !is_here), mark, is_own })
}

/// Does a folder's own file say that it is the same family?
fn has_identity(folder: &Path, family: &Family) -> bool {
    family.identity.is_some() && identity_in(&Folder::on_disk(folder)) == family.identity
}

/// The folder among those of builds in which a family's last one stands: the one that is called as the family is, or, where
/// nothing was built into that since the family was renamed, one that holds a build of the same identity.
pub fn folder(out: &Path, family: &Family) -> PathBuf {
    let named = out.join(&family.slug);
    if named.join(manifest::FILE).is_file() {
        return named;
    }
    renamed(out, family).into_iter().next().unwrap_or(named)
}

/// The folders among those of builds that hold a build of a family's identity, in the order of their names: it may have been
/// called otherwise.
pub fn renamed(out: &Path, family: &Family) -> Vec<PathBuf> {
    let Some(own) = &family.identity else { return Vec::new() };
    let all = std::fs::read_dir(out).into_iter().flatten().flatten().map(|entry| entry.path());
    let is_of_it = |folder: &PathBuf| {
        let bytes = read_file(&folder.join(manifest::FILE)).unwrap_or_default();
        serde_json::from_slice::<Written>(&bytes).is_ok_and(|m| m.identity == Some(own.to_string()))
            && standing(folder, family).is_some_and(|stands| stands.is_own)
    };
    // What is hidden is half made, by a program that was killed.
    let is_shown = |folder: &PathBuf| {
        folder.is_dir() && folder.file_name().is_some_and(|name| !name.to_string_lossy().starts_with('.'))
    };
    let mut found: Vec<PathBuf> = all.filter(is_shown).filter(is_of_it).collect();
    found.sort();
    found
}

/// A build's mark: eight digits that tell how its parts were drawn, alike for builds that drew them alike, whatever
/// was read or wanted otherwise.
pub fn mark(parts: &[PartEntry]) -> String {
    mark_of(parts.iter().map(Drawn::from))
}

/// The same of a manifest's content; nothing where it is none.
pub(crate) fn mark_in(manifest: &Value) -> String {
    Written::deserialize(manifest).map_or(String::new(), |m| mark_of(m.parts.iter().map(Drawn::from)))
}

/// What of a part a build's mark hangs on: also where its holes are, which neither volume nor sizes tell.
pub(crate) struct Drawn {
    id: String,
    volume: f64,
    sizes: BTreeMap<String, String>,
    dimensions: Value,
}

impl From<&PartEntry> for Drawn {
    fn from(part: &PartEntry) -> Self {
        let (id, dimensions) = (part.id.clone(), part.dimensions.clone());
        let drawn = part.printed.as_ref().map(|printed| printed.drawn.clone()).unwrap_or_default();
        let sizes = with_kerf(drawn, part.cut.as_ref().map(|cut| cut.kerf_mm));
        Self { id, volume: part.volume_mm3, sizes, dimensions }
    }
}

impl From<&Part> for Drawn {
    fn from(part: &Part) -> Self {
        let (id, dimensions) = (part.id.clone(), part.dimensions.clone());
        Self { id, volume: part.volume_mm3, sizes: part.drawn(), dimensions }
    }
}

pub(crate) fn mark_of(parts: impl Iterator<Item = Drawn>) -> String {
    let line = |part: Drawn| {
        format!("{} {:.3} {:?} {}\n", part.id, part.volume, part.sizes, rounded(&part.dimensions))
    };
    let all: String = parts.map(line).collect();
    sha256(all.as_bytes())[..8].to_owned()
}

/// The way from a build's folder to the family's, as the manifest keeps it: `../../specs/tidewick`.
pub(crate) fn way(folder: &Path, family: &Family) -> Option<String> {
    let (from, to) = (whole(folder)?, whole(&folder_of(family))?);
    let common = from.components().zip(to.components()).take_while(|(a, b)| a == b).count();
    let up = from.components().skip(common).map(|_| Component::ParentDir);
    let down = to.components().skip(common);
    let parts: Vec<String> = up.chain(down).map(|c| c.as_os_str().to_string_lossy().into_owned()).collect();
    // Nothing in common: another drive.
    (common > 0).then(|| parts.join("/"))
}

/// A folder as a person would name it: from where the program runs, if it is below that.
fn shown(folder: &Path) -> PathBuf {
    let Ok(whole) = folder.canonicalize() else { return folder.to_owned() };
    let here = std::env::current_dir().and_then(|here| here.canonicalize()).ok();
    here.and_then(|here| whole.strip_prefix(here).ok().map(Path::to_owned)).unwrap_or(whole)
}

fn folder_of(family: &Family) -> PathBuf {
    let file = family.files.first().map_or(Path::new(""), |f| Path::new(&f.name));
    let folder = file.parent().unwrap_or(Path::new(""));
    if folder.as_os_str().is_empty() { PathBuf::from(".") } else { folder.to_owned() }
}

/// A path from the root on, links followed as far as there is something.
fn whole(path: &Path) -> Option<PathBuf> {
    let path = std::path::absolute(path).ok()?;
    let there = path.ancestors().find(|a| a.exists())?;
    let rest = path.strip_prefix(there).ok()?;
    let known = there.canonicalize().ok()?;
    Some(if rest.as_os_str().is_empty() { known } else { known.join(rest) })
}

fn same(a: &Path, b: &Path) -> bool {
    matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
}

/// To a tenth of a micrometre, so that reading numbers back changes nothing.
fn rounded(value: &Value) -> String {
    match value {
        Value::Number(number) => format!("{:.4}", number.as_f64().unwrap_or_default() + 0.0),
        Value::Array(all) => all.iter().map(|one| rounded(one) + ",").collect(),
        Value::Object(all) => all.iter().map(|(name, one)| format!("{name}:{};", rounded(one))).collect(),
        other => other.to_string(),
    }
}
