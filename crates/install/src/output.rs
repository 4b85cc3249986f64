//! Files put in place, all or none.
//!
//! The new files are written into a staging folder beside the target, which then takes the
//! target's place in one step; until then the last good build stands untouched. What the person
//! keeps in the folder moves along: files that no build wrote are copied into the new folder, and
//! a built file that was edited since is kept under another name.
//!
//! Writing is mostly waiting for the disk. Files are therefore taken one by one while the others
//! are still being made, and several waits run at a time.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError, mpsc};

use serde::Deserialize;

use crate::along::{free_name, take_along};
use crate::hash::{HashedFile, sha256};
use crate::late;
use crate::read::read_file;
use crate::staging::{Staging, aside, turn};

/// How many files wait for the disk at a time; more gain nothing where it was measured.
const WRITERS: usize = 6;

/// Why the files could not be put in place. The earlier build, if any, is still there.
#[derive(Debug, thiserror::Error)]
#[error("{path}: {what}: {source}", path = path.display())]
pub struct InstallError {
    /// The file or folder.
    pub path: PathBuf,
    /// What was being done.
    pub what: &'static str,
    /// What the system said.
    pub source: io::Error,
}

/// What was done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Installed {
    /// The files that belong there now, in no particular order.
    pub files: Vec<String>,
    /// Those of them that are new or have another content than before; the others were left alone.
    pub changed: Vec<String>,
    /// Built files that had been edited, and the names they were kept under; where nobody could tell which had been, the list
    /// that was to say so and the folder, `yours-1/`, that all of them were kept in.
    pub kept: Vec<(String, String)>,
}

impl Installed {
    /// What was kept, a sentence each.
    pub fn kept_in_words(&self) -> impl Iterator<Item = String> {
        self.kept.iter().map(|(was, now)| {
            if now.ends_with('/') {
                format!("{was} can't be read, so that nobody can tell which files you edited; those that are another content now are kept in {now}.")
            } else {
                format!("{was} had been edited; your version is kept as {now}.")
            }
        })
    }
}

/// Takes files as they are finished.
pub struct Sink {
    queue: mpsc::Sender<(String, Vec<u8>)>,
    taken: Mutex<Vec<HashedFile>>,
}

impl Sink {
    /// Takes a file and gives the hash of its content.
    pub fn put(&self, name: &str, bytes: Vec<u8>) -> HashedFile {
        let input = HashedFile { file: name.to_owned(), sha256: sha256(&bytes) };
        self.taken.lock().unwrap_or_else(PoisonError::into_inner).push(input.clone());
        // The receivers outlive the sink; a writer that failed still takes what comes.
        let _ = self.queue.send((input.file.clone(), bytes));
        input
    }
}

/// The files that `make` puts into the sink, in the order of their names; nothing is written.
pub fn gather<E>(make: impl FnOnce(&Sink) -> Result<(), E>) -> Result<Vec<(String, Vec<u8>)>, E> {
    let (queue, files) = mpsc::channel();
    let sink = Sink { queue, taken: Mutex::new(Vec::new()) };
    make(&sink)?;
    drop(sink);
    let mut all: Vec<(String, Vec<u8>)> = files.into_iter().collect();
    all.sort();
    Ok(all)
}

/// Makes `folder` hold the files that `make` puts into the sink; nothing at all when either `make`
/// or the writing fails. `list` is the file, one of those that `make` makes, in which it is written what
/// belongs to it: what such a list of the same name says counts as an earlier make.
pub fn install<E: From<InstallError>>(
    folder: &Path,
    list: &str,
    make: impl FnOnce(&Sink) -> Result<(), E>,
) -> Result<Installed, E> {
    install_after(folder, list, make, |_, _| Ok(()))
}

/// The same; `keep` is called with the folder as it stands just before the new files take its place, and with the one that
/// does, and may put into the latter what is to stay of the former. Nobody else exchanges it meanwhile.
pub fn install_after<E: From<InstallError>>(
    folder: &Path,
    list: &str,
    make: impl FnOnce(&Sink) -> Result<(), E>,
    keep: impl FnOnce(&Path, &Path) -> io::Result<()>,
) -> Result<Installed, E> {
    let parent = folder.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    fs::create_dir_all(parent).map_err(fail(parent, "the folder can't be made"))?;
    // A link to a folder stays a link: what it leads to is exchanged.
    let leads_to = folder.is_dir().then(|| fs::canonicalize(folder)).and_then(Result::ok);
    let folder = leads_to.as_deref().unwrap_or(folder);
    let parent = folder.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if folder.exists() && !folder.is_dir() {
        let source = io::Error::from(io::ErrorKind::AlreadyExists);
        return Err(fail(folder, "there is a file where the folder should be")(source).into());
    }
    let staging = Staging::beside(parent).map_err(fail(parent, "the folder can't be written to"))?;
    {
        let _turn = turn(parent);
        come_back(folder, list).map_err(fail(folder, "what stood there before can't be put back"))?;
    }
    let (taken, changed) = write_all(staging.path(), folder, make)?;
    // Another build into the same folder has its turn before or after this, not meanwhile.
    let _turn = turn(parent);
    come_back(folder, list).map_err(fail(folder, "what stood there before can't be put back"))?;
    let seen = late::Seen::of(folder);
    let mut installed = if folder.is_dir() {
        carry_over(folder, list, staging.path(), &taken)
            .map_err(fail(folder, "the folder's own files can't be kept"))?
    } else {
        Installed::default()
    };
    keep(folder, staging.path()).map_err(fail(folder, "what stands there can't be kept"))?;
    installed.files = taken.into_iter().map(|t| t.file).collect();
    installed.changed = changed;
    // Temporary folders are private; a build is for everybody who may read its parent.
    share(staging.path(), parent).map_err(fail(staging.path(), "its permissions can't be set"))?;
    exchange(staging.path(), folder).map_err(fail(folder, "the new files can't take their place"))?;
    // What is left there is the earlier build, and what was saved into it meanwhile.
    let built = |name: &str| name == list || installed.files.iter().any(|file| file == name);
    match seen.bring_late(staging.path(), folder, built) {
        Ok(kept) => installed.kept.extend(kept),
        Err(why) => {
            let left = staging.leave(folder);
            return Err(
                fail(&left, "what was saved there meanwhile can't be kept; it is still there")(why).into()
            );
        }
    }
    staging.done();
    Ok(installed)
}

fn fail(path: &Path, what: &'static str) -> impl FnOnce(io::Error) -> InstallError {
    let path = path.to_owned();
    move |source| InstallError { path, what, source }
}

/// Runs `make` while writers take its files. What stands in the earlier folder with the same content is
/// the same file again, with its date. Gives all files, and the names of those that were written.
fn write_all<E: From<InstallError>>(
    staging: &Path,
    earlier: &Path,
    make: impl FnOnce(&Sink) -> Result<(), E>,
) -> Result<(Vec<HashedFile>, Vec<String>), E> {
    let (queue, files) = mpsc::channel();
    let files = Mutex::new(files);
    let failed: Mutex<Option<InstallError>> = Mutex::new(None);
    let changed: Mutex<Vec<String>> = Mutex::new(Vec::new());
    let sink = Sink { queue, taken: Mutex::new(Vec::new()) };
    let writer = || {
        loop {
            let next = files.lock().unwrap_or_else(PoisonError::into_inner).recv();
            let Ok((name, bytes)): Result<(String, Vec<u8>), _> = next else { break };
            let path = staging.join(&name);
            if is_again(&earlier.join(&name), &bytes, &path) {
                continue;
            }
            changed.lock().unwrap_or_else(PoisonError::into_inner).push(name);
            if let Err(e) = write_through(&path, &bytes) {
                let e = fail(&path, "the file can't be written")(e);
                failed.lock().unwrap_or_else(PoisonError::into_inner).get_or_insert(e);
            }
        }
    };
    let made = std::thread::scope(|scope| {
        for _ in 0..WRITERS {
            scope.spawn(writer);
        }
        let made = make(&sink);
        // Without a sender the writers end when the queue is empty.
        let Sink { queue, taken } = sink;
        drop(queue);
        made.map(|()| taken.into_inner().unwrap_or_else(PoisonError::into_inner))
    })?;
    if let Some(e) = failed.into_inner().unwrap_or_else(PoisonError::into_inner) {
        return Err(e.into());
    }
    let mut changed = changed.into_inner().unwrap_or_else(PoisonError::into_inner);
    changed.sort_unstable();
    Ok((made, changed))
}

/// Gives an earlier file of the same content a second name, if there is one and the disk can do that.
fn is_again(earlier: &Path, bytes: &[u8], name: &Path) -> bool {
    let as_long = fs::symlink_metadata(earlier).is_ok_and(|m| m.is_file() && m.len() == bytes.len() as u64);
    // What has the name is read, not what had it: another build may exchange the earlier folder meanwhile.
    let linked = as_long && fs::hard_link(earlier, name).is_ok();
    let same = linked && fs::read(name).is_ok_and(|old| old == bytes);
    if linked && !same {
        let _ = fs::remove_file(name);
    }
    same
}

/// Writes and waits until the disk has it, so that a full disk is noticed here and not later.
fn write_through(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = fs::File::create(path)?;
    file.write_all(bytes)?;
    file.sync_data()
}

/// Takes along what no build wrote, and edited built files under another name.
fn carry_over(folder: &Path, list: &str, staging: &Path, taken: &[HashedFile]) -> io::Result<Installed> {
    let built = built_before(folder, list);
    // One folder for all of them where the list is damaged, not a copy beside each.
    let is_damaged = built.is_empty() && folder.join(list).is_file();
    let together = is_damaged.then(|| free_folder(staging, folder));
    let mut installed = Installed::default();
    let mut entries: Vec<PathBuf> =
        fs::read_dir(folder)?.map(|e| e.map(|e| e.path())).collect::<io::Result<_>>()?;
    entries.sort();
    for path in entries {
        let Some(own_name) = path.file_name() else { continue };
        let name = own_name.to_string_lossy();
        let new = taken.iter().find(|t| t.file == name);
        if fs::symlink_metadata(&path)?.is_file() {
            let known = built.iter().find(|o| o.file == name);
            // The manifest can't hold its own hash; one that lists outputs is a build's.
            let is_manifest = name == list && !built.is_empty();
            if is_manifest
                || (known.is_some() || new.is_some()) && {
                    let hash = sha256(&fs::read(&path)?);
                    known.is_some_and(|o| o.sha256 == hash) || new.is_some_and(|t| t.sha256 == hash)
                }
            {
                continue;
            }
        }
        if let Some(together) = together.as_ref().filter(|_| new.is_some()) {
            if installed.kept.is_empty() {
                fs::create_dir(staging.join(together))?;
                installed.kept.push((list.to_owned(), format!("{together}/")));
            }
            take_along(&path, &staging.join(together).join(own_name))?;
        } else if new.is_some() {
            let kept = free_name(staging, folder, &name);
            take_along(&path, &staging.join(&kept))?;
            installed.kept.push((name.into_owned(), kept));
        } else {
            take_along(&path, &staging.join(own_name))?;
        }
    }
    Ok(installed)
}

/// A folder that stepped aside comes back where a program was killed before another one had its place. Where one has it, what
/// somebody kept in the first and the other has not is taken along.
fn come_back(folder: &Path, list: &str) -> io::Result<()> {
    let aside = aside(folder);
    if !aside.is_dir() {
        return Ok(());
    }
    if !folder.exists() {
        return fs::rename(aside, folder);
    }
    let built = built_before(&aside, list);
    for entry in fs::read_dir(&aside)? {
        let entry = entry?;
        let (from, name) = (entry.path(), entry.file_name());
        let shown = name.to_string_lossy();
        let is_built = shown == list
            || built
                .iter()
                .any(|b| b.file == shown && read_file(&from).is_ok_and(|bytes| sha256(&bytes) == b.sha256));
        if !is_built && fs::symlink_metadata(folder.join(&name)).is_err() {
            take_along(&from, &folder.join(&name))?;
        }
    }
    fs::remove_dir_all(aside)
}

/// `yours-1`, with the first number that is free.
fn free_folder(staging: &Path, folder: &Path) -> String {
    let names = (1u32..).map(|number| format!("yours-{number}"));
    let is_free = |name: &String| !staging.join(name).exists() && !folder.join(name).exists();
    names.into_iter().find(is_free).unwrap_or_default()
}

/// The files that the earlier build wrote, by its manifest; none when it can't be read, so that
/// everything counts as the person's own.
fn built_before(folder: &Path, list: &str) -> Vec<HashedFile> {
    #[derive(Deserialize)]
    struct Outputs {
        outputs: Vec<HashedFile>,
    }
    let bytes = read_file(&folder.join(list)).unwrap_or_default();
    serde_json::from_slice::<Outputs>(&bytes).map(|m| m.outputs).unwrap_or_default()
}

/// Gives a folder the permissions of the one it lies in.
fn share(folder: &Path, like: &Path) -> io::Result<()> {
    fs::set_permissions(folder, fs::metadata(like)?.permissions())
}

/// `staging` becomes `folder`; what was `folder` is then `staging`.
#[cfg(target_os = "linux")]
fn exchange(staging: &Path, folder: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    if !folder.exists() {
        return fs::rename(staging, folder);
    }
    match renameat_with(CWD, staging, CWD, folder, RenameFlags::EXCHANGE) {
        // Not every file system can exchange two names.
        Err(rustix::io::Errno::INVAL | rustix::io::Errno::NOSYS) => swap_in_steps(staging, folder),
        other => other.map_err(io::Error::from),
    }
}

/// `staging` becomes `folder`; what was `folder` is then `staging`.
#[cfg(not(target_os = "linux"))]
fn exchange(staging: &Path, folder: &Path) -> io::Result<()> {
    if !folder.exists() {
        return fs::rename(staging, folder);
    }
    swap_in_steps(staging, folder)
}

/// Without an exchange in one step the earlier build steps aside first, and back if the new one
/// can't come in; after a kill in between, at the next build.
fn swap_in_steps(staging: &Path, folder: &Path) -> io::Result<()> {
    let aside = aside(folder);
    fs::rename(folder, &aside)?;
    if let Err(e) = fs::rename(staging, folder) {
        fs::rename(&aside, folder)?;
        return Err(e);
    }
    fs::rename(&aside, staging)
}
