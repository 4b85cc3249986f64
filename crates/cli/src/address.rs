//! The bench page's address, kept beside the user's own settings: a page that is open finds the program again after it was
//! restarted, and a phone its bookmark.

use std::env;
use std::fs;
use std::io::Write;
use std::path::PathBuf;

use bobbinwright_serve::Secret;

/// What an address is made of.
pub(crate) struct Address {
    /// The word in it.
    pub secret: Secret,
    /// The port; 0 takes a free one.
    pub port: u16,
}

/// The address that was kept; none where there is none, or where it is not to be read.
pub(crate) fn kept() -> Option<Address> {
    let text = fs::read_to_string(file()?).ok()?;
    let (word, port) = text.trim().split_once(' ')?;
    Some(Address { secret: Secret::known(word)?, port: port.parse().ok()? })
}

/// Keeps an address, where only its owner can read it; says whether that was done.
pub(crate) fn keep(secret: &Secret, port: u16) -> bool {
    let Some(file) = file() else { return false };
    let Some(folder) = file.parent() else { return false };
    let written = fs::create_dir_all(folder).and_then(|()| {
        // Never the old file's content with the new one's rights, or the other way round.
        let mut new = tempfile::NamedTempFile::new_in(folder)?;
        writeln!(new, "{} {port}", secret.word())?;
        new.persist(&file).map(|_| ()).map_err(std::io::Error::from)
    });
    written.is_ok()
}

/// `bobbinwright/bench` where settings are: by the XDG base directory specification, or as the system has it.
fn file() -> Option<PathBuf> {
    let home = || env::var_os("HOME").filter(|home| !home.is_empty()).map(PathBuf::from);
    let stated = |name: &str| env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
    let settings = if cfg!(windows) {
        stated("APPDATA")
    } else if cfg!(target_os = "macos") {
        stated("XDG_CONFIG_HOME").or_else(|| Some(home()?.join("Library/Application Support")))
    } else {
        stated("XDG_CONFIG_HOME").or_else(|| Some(home()?.join(".config")))
    };
    Some(settings?.join("bobbinwright").join("bench"))
}
