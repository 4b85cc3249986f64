//! Texts on a disk.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::leftover;
use crate::store::{NotWritten, Store, Turn};

/// What is about to be done to a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Waiting for one's turn.
    Turn,
    /// Looking whether it still is what it was.
    Look,
    /// Making or adding to it.
    Write,
    /// Waiting until the disk has it.
    Keep,
    /// Giving it a name.
    Name,
    /// Letting it change places with another one; `Unsupported` stands for a disk that can't do that in one step.
    Exchange,
    /// Taking it away.
    Remove,
}

/// What is asked before each step.
type Before = dyn Fn(Step, &Path) -> io::Result<()> + Send + Sync;

/// This machine's disk.
#[derive(Clone, Default)]
pub struct Disk {
    before: Option<Arc<Before>>,
}

impl Disk {
    /// A disk on which something is done before each step, and instead of it where that fails: to try what may befall
    /// a writer between any two of them.
    pub fn disturbed(before: impl Fn(Step, &Path) -> io::Result<()> + Send + Sync + 'static) -> Self {
        Self { before: Some(Arc::new(before)) }
    }

    fn step(&self, step: Step, path: &Path) -> io::Result<()> {
        self.before.as_ref().map_or(Ok(()), |before| before(step, path))
    }

    /// A new file with that content, on the disk. None is left where that fails.
    fn new_file(&self, path: &Path, text: &str) -> io::Result<File> {
        let mut file = OpenOptions::new().read(true).write(true).create_new(true).open(path)?;
        let written = self
            .step(Step::Write, path)
            .and_then(|()| file.write_all(text.as_bytes()))
            .and_then(|()| self.step(Step::Keep, path))
            .and_then(|()| file.sync_all());
        match written {
            Ok(()) => Ok(file),
            Err(why) => {
                let _ = fs::remove_file(path);
                Err(why)
            }
        }
    }

    /// The new content takes the place of the old one, if that is the known one at this very moment.
    fn exchange(&self, new: &Path, file: &Path, known: &[u8], text: &[u8]) -> Result<(), NotWritten> {
        self.step(Step::Look, file)?;
        if fs::read(file)? != known {
            return Err(NotWritten::Changed);
        }
        let can = match self.step(Step::Exchange, file) {
            Err(e) if e.kind() == io::ErrorKind::Unsupported => false,
            Err(e) => return Err(e.into()),
            Ok(()) => swap(new, file)?,
        };
        if !can {
            return Ok(fs::rename(new, file)?);
        }
        let mut held = match self.step(Step::Look, new).and_then(|()| fs::read(new)) {
            Ok(held) if held == known => return Ok(()),
            Ok(held) => held,
            // There is no telling: as it was.
            Err(why) => {
                swap(new, file)?;
                return Err(why.into());
            }
        };
        // Somebody saved in between: theirs goes back. If what comes out then is not ours, they have saved again, and
        // the later one goes back.
        let mut earlier = None;
        for _ in 0..BACK {
            swap(new, file)?;
            let out = fs::read(new)?;
            if out == text || earlier.as_ref() == Some(&out) {
                break;
            }
            earlier = Some(std::mem::replace(&mut held, out));
        }
        Err(NotWritten::Changed)
    }

    /// Takes away what has changed places, which is the old content or the new. Anything else is somebody's.
    fn put_away(&self, changed: &Path, file: &Path, [known, text]: [&[u8]; 2]) {
        let _ = self.step(Step::Remove, changed);
        let _ = match fs::read(changed) {
            Ok(held) if held == known || held == text => fs::remove_file(changed),
            Ok(_) => leftover::show(changed, file).map(|_| ()),
            // Gone already where the system can't exchange.
            Err(_) => Ok(()),
        };
    }
}

/// So often somebody may save while a file is put back; who does so more often finds all of it.
const BACK: u32 = 5;

/// Lets two files change places; says whether this system can.
#[cfg(target_os = "linux")]
fn swap(one: &Path, other: &Path) -> io::Result<bool> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    use rustix::io::Errno;
    match renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE) {
        Ok(()) => Ok(true),
        Err(Errno::INVAL | Errno::NOSYS | Errno::OPNOTSUPP) => Ok(false),
        Err(e) => Err(e.into()),
    }
}

#[cfg(not(target_os = "linux"))]
fn swap(_one: &Path, _other: &Path) -> io::Result<bool> {
    Ok(false)
}

/// So that a power cut does not take back what a folder's files are called.
fn keep_names(folder: &Path) {
    // Not every system lets folders be opened; the names are then kept when it sees fit.
    let _ = File::open(folder).and_then(|folder| folder.sync_all());
}

/// Is the open file still the one that a path leads to?
#[cfg(unix)]
fn stands_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(open), Ok(there)) = (file.metadata(), fs::metadata(path)) else { return false };
    (open.dev(), open.ino()) == (there.dev(), there.ino())
}

/// Elsewhere an open file can't be replaced.
#[cfg(not(unix))]
fn stands_at(_file: &File, path: &Path) -> bool {
    path.exists()
}

impl Store for Disk {
    fn read(&self, path: &Path, most: usize) -> io::Result<Vec<u8>> {
        let about = fs::metadata(path)?;
        if about.is_dir() {
            return Err(io::ErrorKind::IsADirectory.into());
        }
        if !about.is_file() {
            return Err(io::ErrorKind::InvalidInput.into());
        }
        let mut bytes = Vec::new();
        File::open(path)?.take((most as u64).saturating_add(1)).read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn is_file(&self, path: &Path) -> bool {
        path.is_file()
    }

    fn is_folder(&self, path: &Path) -> bool {
        path.is_dir()
    }

    fn folders(&self, path: &Path) -> io::Result<Vec<PathBuf>> {
        let entries = fs::read_dir(path)?.flatten().map(|entry| entry.path());
        let mut all: Vec<PathBuf> = entries.filter(|path| path.is_dir()).collect();
        all.sort();
        Ok(all)
    }

    fn true_path(&self, path: &Path) -> PathBuf {
        fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
    }

    fn create(&self, folder: &Path, files: &[(&str, &str)]) -> io::Result<()> {
        let was_there = folder.is_dir();
        fs::create_dir_all(folder)?;
        let _turn = self.turn(folder)?;
        let mut made: Vec<PathBuf> = Vec::new();
        let all = files.iter().try_for_each(|(name, text)| {
            let path = folder.join(name);
            leftover::clear(&path);
            let new = leftover::unfinished(folder);
            let _new = self.new_file(&new, text)?;
            let named = self.step(Step::Name, &path).and_then(|()| name_new(&new, &path));
            let _ = fs::remove_file(&new);
            match named {
                // The program was killed after the first of its files, and is asked for the same again.
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
                    if path.is_file() && fs::read(&path).is_ok_and(|old| old == text.as_bytes()) {
                        Ok(())
                    } else {
                        Err(e)
                    }
                }
                Err(e) => Err(e),
                Ok(()) => {
                    made.push(path);
                    Ok(())
                }
            }
        });
        if all.is_err() {
            for path in made {
                let _ = fs::remove_file(path);
            }
            // Only an empty one goes.
            if !was_there {
                let _ = fs::remove_dir(folder);
            }
        }
        keep_names(folder);
        all
    }

    fn append(&self, path: &Path, known: &[u8], more: &str) -> Result<(), NotWritten> {
        let is_new = known.is_empty();
        // A pipe would be waited for.
        if fs::metadata(path).is_ok_and(|about| !about.is_file()) {
            return Err(io::Error::from(io::ErrorKind::InvalidInput).into());
        }
        let mut file = OpenOptions::new().read(true).append(true).create(is_new).open(path)?;
        self.step(Step::Turn, path)?;
        file.lock()?;
        self.step(Step::Look, path)?;
        let mut before = Vec::new();
        file.read_to_end(&mut before)?;
        if before != known || !stands_at(&file, path) {
            return Err(NotWritten::Changed);
        }
        let written = self
            .step(Step::Write, path)
            .and_then(|()| file.write_all(more.as_bytes()))
            .and_then(|()| self.step(Step::Keep, path))
            .and_then(|()| file.sync_all());
        if let Err(why) = written {
            // Half of it would make the whole unreadable.
            return match file.set_len(before.len() as u64) {
                Ok(()) => Err(why.into()),
                Err(then) => Err(NotWritten::Half { why, then }),
            };
        }
        // What stands there now may have been saved from what the file held before or after.
        let count = |bytes: &[u8]| bytes.windows(more.len().max(1)).filter(|w| *w == more.as_bytes()).count();
        let is_there = || fs::read(path).is_ok_and(|now| count(&now) > count(known));
        if stands_at(&file, path) || is_there() { Ok(()) } else { Err(NotWritten::Changed) }
    }

    fn replace(&self, path: &Path, known: &[u8], text: &str) -> Result<(), NotWritten> {
        // A link stays one: what it leads to is exchanged.
        let file = fs::canonicalize(path)?;
        let folder = file.parent().unwrap_or(Path::new(""));
        leftover::clear(&file);
        let unfinished = leftover::unfinished(folder);
        let written = self.new_file(&unfinished, text)?;
        let new = leftover::changing(folder, known, text.as_bytes());
        let named = fs::metadata(&file)
            .and_then(|about| written.set_permissions(about.permissions()))
            .and_then(|()| self.step(Step::Name, &new))
            .and_then(|()| fs::rename(&unfinished, &new));
        if let Err(why) = named {
            let _ = fs::remove_file(&unfinished);
            return Err(why.into());
        }
        let done = self.exchange(&new, &file, known, text.as_bytes());
        self.put_away(&new, &file, [known, text.as_bytes()]);
        keep_names(folder);
        done
    }

    fn remove(&self, path: &Path, known: &[u8]) -> Result<(), NotWritten> {
        self.step(Step::Look, path)?;
        if fs::read(path)? != known {
            return Err(NotWritten::Changed);
        }
        self.step(Step::Remove, path)?;
        Ok(fs::remove_file(path)?)
    }

    fn turn(&self, folder: &Path) -> io::Result<Turn> {
        fs::metadata(folder)?;
        self.step(Step::Turn, folder)?;
        // The system gives it back when a program ends in whatever way.
        Ok(Box::new(File::open(folder).and_then(|folder| folder.lock().map(|()| folder)).ok()))
    }
}

/// Gives a new file its name, never over one that is there.
fn name_new(new: &Path, path: &Path) -> io::Result<()> {
    match fs::hard_link(new, path) {
        Err(e) if e.kind() != io::ErrorKind::AlreadyExists && !path.exists() => {
            // Not every disk knows second names; that nobody makes the file meanwhile is then hoped for.
            fs::rename(new, path)
        }
        other => other,
    }
}
