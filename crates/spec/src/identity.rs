//! Which family a folder holds, whatever the folder is called and wherever it stands.
//!
//! A family gets an identity of its own when something is entered or changed in it for the first time. It is kept in
//! `family.id` beside `family.ron`, with the folder in which it was kept last: a folder that was moved or renamed takes
//! its identity along; of one that was copied the first still stands where that says, so the copy has none until something
//! is entered in it, and is a family of its own from then on. A family that is like another one shares nothing of this.

use std::fmt;
use std::hash::{BuildHasher, RandomState};

use bobbinwright_folder::{Folder, NotWritten};
use serde::{Deserialize, Serialize};

use crate::files::FAMILY_FILE;
use crate::problem::Problem;

/// The file's name.
const FILE: &str = "family.id";

/// It has two lines.
const LARGEST: usize = 64 << 10;

/// A family's identity: sixteen digits that no other family has.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Identity(String);

impl fmt::Display for Identity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// What the file says.
#[derive(Clone, Debug, Serialize, Deserialize)]
struct Kept {
    id: Identity,
    /// The folder's one path when this was written.
    at: String,
}

/// What is known of a folder's family.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Known {
    /// Nothing was entered in it yet by a program that keeps identities.
    Nothing,
    /// Which it is.
    As(Identity),
    /// It is a copy of the one in this folder, which still stands there.
    CopyOf(String),
}

impl Known {
    pub fn of(folder: &Folder) -> Self {
        match kept(folder) {
            (_, None) => Self::Nothing,
            (_, Some(kept)) => known(folder, kept),
        }
    }

    /// The identity, where it has one.
    pub fn identity(&self) -> Option<&Identity> {
        match self {
            Self::As(identity) => Some(identity),
            Self::Nothing | Self::CopyOf(_) => None,
        }
    }

    /// What there is to say of it.
    pub fn notice(&self) -> Option<Problem> {
        let Self::CopyOf(first) = self else { return None };
        let message = format!(
            "this folder is a copy of {first}, which is still there; with the first entry or wish it becomes a family of its own"
        );
        let hint = "what its log says of printed parts is of that one's: bobbinwright parts says of each what became of it";
        Some(Problem::remark(message).hint(hint))
    }
}

fn known(folder: &Folder, kept: Kept) -> Known {
    let first = folder.at(&kept.at);
    let is_elsewhere = kept.at != folder.home() && !first.is(folder) && first.has(FAMILY_FILE);
    let is_that = || self::kept(&first).1.is_some_and(|there| there.id == kept.id);
    if is_elsewhere && is_that() { Known::CopyOf(kept.at) } else { Known::As(kept.id) }
}

/// The file's bytes, and what they say; nothing where it is not there or damaged.
fn kept(folder: &Folder) -> (Vec<u8>, Option<Kept>) {
    let bytes = folder.read(FILE, LARGEST).unwrap_or_default();
    let text = String::from_utf8_lossy(&bytes);
    let kept = ron::from_str::<Kept>(&text).ok().filter(|kept| !kept.id.0.is_empty());
    (bytes, kept)
}

/// Sees to it that a family in which something was just entered has an identity, and that it says where it is. Where that can't
/// be written now it is at the next entry.
pub(crate) fn keep(folder: &Folder) {
    let (bytes, kept) = kept(folder);
    let home = folder.home();
    // Where all of them were moved together the first is called as it was.
    let name = |path: &str| std::path::Path::new(path).file_name().map(std::ffi::OsStr::to_owned);
    let is_called = kept.as_ref().is_some_and(|kept| name(&kept.at) == name(&home));
    let id = match kept.map(|kept| (kept.at == home, known(folder, kept))) {
        Some((true, Known::As(_))) => return,
        // Of two beside each other that were one, and neither of which stands where it did, nobody can tell which is the copy.
        Some((false, Known::As(id))) if !is_called && is_beside(folder, &id) => new(&home),
        Some((false, Known::As(id))) => id,
        _ => new(&home),
    };
    let Ok(kept) = ron::to_string(&Kept { id, at: home }) else { return };
    let text = format!(
        "// Which family this is, wherever its folder stands. Leave it beside {FAMILY_FILE}.\n{kept}\n"
    );
    let _ = if bytes.is_empty() {
        folder.create(&[(FILE, &text)]).map_err(NotWritten::from)
    } else {
        folder.turn().map_err(NotWritten::from).and_then(|turn| turn.replace(FILE, &bytes, &text))
    };
}

/// Has another folder beside this one the same identity?
fn is_beside(folder: &Folder, id: &Identity) -> bool {
    let Some(parent) = folder.path().parent() else { return false };
    let parent = if parent.as_os_str().is_empty() { std::path::Path::new(".") } else { parent };
    let all = folder.at(parent).folders().unwrap_or_default();
    let has_it = |other: &Folder| kept(other).1.is_some_and(|there| there.id == *id);
    all.iter().any(|other| !other.is(folder) && other.has(FAMILY_FILE) && has_it(other))
}

/// Which family stands in a folder, as its file says; none where it has none, or where that is another one's.
pub fn identity_in(folder: &Folder) -> Option<Identity> {
    Known::of(folder).identity().cloned()
}

/// Is it a copy of one that still stands where it was copied from, in which nothing was entered yet?
pub fn is_copy(folder: &Folder) -> bool {
    matches!(Known::of(folder), Known::CopyOf(_))
}

/// One that nobody else has: the standard library's hashes begin anew, by chance, wherever they are asked for.
fn new(home: &str) -> Identity {
    Identity(format!("{:016x}", RandomState::new().hash_one(home)))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use bobbinwright_folder::{Memory, Store};

    use super::*;

    fn at(memory: &Arc<Memory>, path: &str) -> Folder {
        Folder::in_store(memory.clone(), path)
    }

    /// The same files in another folder, and no longer in the first where it is moved.
    fn taken(memory: &Arc<Memory>, from: &str, to: &str, moved: bool) {
        for name in [FAMILY_FILE, FILE] {
            let Ok(bytes) = at(memory, from).read(name, LARGEST) else { continue };
            at(memory, to).create(&[(name, std::str::from_utf8(&bytes).unwrap())]).unwrap();
            if moved {
                memory.remove(&std::path::Path::new(from).join(name), &bytes).unwrap();
            }
        }
    }

    #[test]
    fn a_family_is_itself_wherever_it_stands() {
        let memory = Arc::new(Memory::default());
        at(&memory, "specs/skiff").create(&[(FAMILY_FILE, "()")]).unwrap();
        assert_eq!(Known::of(&at(&memory, "specs/skiff")), Known::Nothing);
        keep(&at(&memory, "specs/skiff"));
        let Known::As(skiff) = Known::of(&at(&memory, "specs/skiff")) else { panic!() };
        // Once is enough.
        keep(&at(&memory, "specs/skiff"));
        assert_eq!(Known::of(&at(&memory, "specs/skiff")), Known::As(skiff.clone()));
        // Renamed, it keeps it, also after the next entry.
        taken(&memory, "specs/skiff", "specs/yawl", true);
        assert_eq!(Known::of(&at(&memory, "specs/yawl")), Known::As(skiff.clone()));
        keep(&at(&memory, "specs/yawl"));
        assert_eq!(Known::of(&at(&memory, "specs/yawl")), Known::As(skiff.clone()));
        // A copy is noticed, and its own with its first entry; the first stays what it was.
        taken(&memory, "specs/yawl", "specs/dory", false);
        assert_eq!(Known::of(&at(&memory, "specs/dory")), Known::CopyOf("specs/yawl".into()));
        assert!(Known::of(&at(&memory, "specs/dory")).notice().is_some());
        keep(&at(&memory, "specs/dory"));
        let Known::As(dory) = Known::of(&at(&memory, "specs/dory")) else { panic!() };
        assert_ne!(dory, skiff);
        assert_eq!(Known::of(&at(&memory, "specs/yawl")), Known::As(skiff));
    }

    /// A copy of a family that was moved before anything was entered in the copy.
    #[test]
    fn a_copy_of_what_was_moved_is_its_own() {
        let memory = Arc::new(Memory::default());
        at(&memory, "specs/skiff").create(&[(FAMILY_FILE, "()")]).unwrap();
        keep(&at(&memory, "specs/skiff"));
        let skiff = identity_in(&at(&memory, "specs/skiff"));
        taken(&memory, "specs/skiff", "specs/twin", false);
        taken(&memory, "specs/skiff", "specs/old", true);
        keep(&at(&memory, "specs/twin"));
        assert_ne!(identity_in(&at(&memory, "specs/twin")), skiff);
        // Both moved together with what they stand in: the one that is called as it was is the first.
        taken(&memory, "specs/old", "other/old", true);
        taken(&memory, "other/old", "other/copy", false);
        taken(&memory, "other/old", "third/old", true);
        taken(&memory, "other/copy", "third/copy", true);
        keep(&at(&memory, "third/copy"));
        assert_ne!(identity_in(&at(&memory, "third/copy")), skiff);
        taken(&memory, "third/old", "specs/old", true);
        // The other one is the only one that is left.
        keep(&at(&memory, "specs/old"));
        assert_eq!(identity_in(&at(&memory, "specs/old")), skiff);
    }

    #[test]
    fn a_damaged_file_is_no_identity() {
        let memory = Arc::new(Memory::default());
        at(&memory, "skiff").create(&[(FAMILY_FILE, "()"), (FILE, "(id: \"")]).unwrap();
        assert_eq!(Known::of(&at(&memory, "skiff")), Known::Nothing);
        keep(&at(&memory, "skiff"));
        assert!(matches!(Known::of(&at(&memory, "skiff")), Known::As(_)));
    }
}
