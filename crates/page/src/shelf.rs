//! The families that a page can open: the one that was named, or those in a folder and the folders in it.

use std::path::PathBuf;

use bobbinwright_spec::{FAMILY_FILE, Folder, slug};

/// How deep families are looked for.
const DEEPEST: usize = 3;
/// So many are shown at most.
const MOST: usize = 200;

/// Where families are.
#[derive(Clone, Debug)]
pub struct Shelf {
    /// The folder that new families come into and that families are looked for in; none when one was named.
    root: Option<Folder>,
    /// The one that was named.
    named: Option<Folder>,
    /// Where builds are; none where there is no disk.
    pub(crate) out: Option<PathBuf>,
}

/// A family on the shelf.
pub(crate) struct Standing {
    /// Its name in the page's addresses.
    pub id: String,
    pub folder: Folder,
}

impl Shelf {
    /// One family, and where its builds are.
    pub fn one(folder: Folder, out: impl Into<Option<PathBuf>>) -> Self {
        Self { root: None, named: Some(folder), out: out.into() }
    }

    /// All in a folder, and where their builds are.
    pub fn all(root: Folder, out: impl Into<Option<PathBuf>>) -> Self {
        Self { root: Some(root), named: None, out: out.into() }
    }

    /// The family that was named.
    pub(crate) fn only(&self) -> Option<Standing> {
        let folder = self.named.clone()?;
        Some(Standing { id: slug(&folder), folder })
    }

    /// Where a new one comes; none when one was named.
    pub(crate) fn room(&self) -> Option<&Folder> {
        self.root.as_ref()
    }

    /// All that stand here, by their names.
    pub(crate) fn standing(&self) -> Vec<Standing> {
        if let Some(one) = self.only() {
            return vec![one];
        }
        let mut found = Vec::new();
        if let Some(root) = &self.root {
            look(root, root, DEEPEST, &mut found);
        }
        found.sort_by(|a, b| a.id.cmp(&b.id));
        found
    }

    /// The folder of a family. Only what was found can be named, so no name leads elsewhere.
    pub(crate) fn folder(&self, id: &str) -> Option<Folder> {
        self.standing().into_iter().find(|s| s.id == id).map(|s| s.folder)
    }
}

fn look(root: &Folder, folder: &Folder, deep: usize, found: &mut Vec<Standing>) {
    if folder.has(FAMILY_FILE) {
        let below = folder.path().strip_prefix(root.path()).unwrap_or(folder.path());
        let names: Vec<String> = below.iter().map(|n| n.to_string_lossy().into_owned()).collect();
        let id = if names.is_empty() { slug(folder) } else { names.join("~") };
        found.push(Standing { id, folder: folder.clone() });
        return;
    }
    if deep == 0 || found.len() >= MOST {
        return;
    }
    let hidden = |folder: &Folder| {
        folder.path().file_name().is_none_or(|n| n.to_string_lossy().starts_with('.') || n == "target")
    };
    for inner in folder.folders().unwrap_or_default().iter().filter(|folder| !hidden(folder)) {
        look(root, inner, deep - 1, found);
    }
}
