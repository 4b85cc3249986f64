//! What befalls a folder while another one is made that takes its place.

use std::convert::Infallible;
use std::fs;
use std::io;
use std::path::Path;

use bobbinwright_install::{InstallError, Installed, Sink, install_after};

const LIST: &str = "list.json";

/// Why it was not made; what it makes can't fail.
#[derive(Debug)]
struct NotMade;

impl From<InstallError> for NotMade {
    fn from(why: InstallError) -> Self {
        panic!("{why}");
    }
}

impl From<Infallible> for NotMade {
    fn from(never: Infallible) -> Self {
        match never {}
    }
}

/// A build of two files and the list that names them; `meanwhile` is done just before it takes its place.
fn build(folder: &Path, report: &str, meanwhile: impl FnOnce(&Path) -> io::Result<()>) -> Installed {
    let make = |sink: &Sink| -> Result<(), NotMade> {
        let files = [sink.put("report.md", report.into()), sink.put("part.stl", b"solid".to_vec())];
        let outputs: Vec<String> =
            files.iter().map(|f| format!("{{\"file\": {:?}, \"sha256\": {:?}}}", f.file, f.sha256)).collect();
        sink.put(LIST, format!("{{\"outputs\": [{}]}}", outputs.join(", ")).into_bytes());
        Ok(())
    };
    install_after(folder, LIST, make, |stands, _| meanwhile(stands)).unwrap()
}

/// As most editors save: a new file takes the place of the old one.
fn save(file: &Path, text: &str) -> io::Result<()> {
    let new = file.with_file_name("half saved");
    fs::write(&new, text)?;
    fs::rename(new, file)
}

fn text(folder: &Path, name: &str) -> String {
    fs::read_to_string(folder.join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// Files that are saved while the new ones stand ready stay as they were saved; a built one under another name.
#[test]
fn what_is_saved_meanwhile_stays() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    build(&out, "first", |_| Ok(()));
    fs::write(out.join("settings.txt"), "mine").unwrap();
    fs::create_dir(out.join("photos")).unwrap();
    fs::write(out.join("photos/one.txt"), "one").unwrap();
    let installed = build(&out, "second", |stands| {
        save(&stands.join("settings.txt"), "mine, later")?;
        save(&stands.join("report.md"), "first, with a remark")?;
        fs::write(stands.join("photos/two.txt"), "two")?;
        save(&stands.join("photos/one.txt"), "one, later")?;
        fs::write(stands.join("new.txt"), "new")
    });
    assert_eq!(text(&out, "report.md"), "second");
    let [(was, now)] = &installed.kept[..] else { panic!("{installed:?}") };
    assert_eq!((was.as_str(), text(&out, now).as_str()), ("report.md", "first, with a remark"));
    let mine = ["settings.txt", "new.txt", "photos/one.txt", "photos/two.txt"].map(|name| text(&out, name));
    assert_eq!(mine, ["mine, later", "new", "one, later", "two"]);
    // Nothing is left beside it, or half made in it.
    let names = |folder: &Path| fs::read_dir(folder).unwrap().count();
    assert_eq!((names(scratch.path()), names(&out)), (1, 7));
}

/// Where two names can't be exchanged the earlier folder steps aside; after a kill it comes back with all that is in it.
#[test]
fn what_stepped_aside_comes_back() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    build(&out, "first", |_| Ok(()));
    fs::write(out.join("settings.txt"), "mine").unwrap();
    let aside = scratch.path().join(".bobbinwright-out.earlier");
    // Killed before the new one had its place, and after.
    fs::rename(&out, &aside).unwrap();
    build(&out, "second", |_| Ok(()));
    assert_eq!((text(&out, "report.md"), text(&out, "settings.txt")), ("second".into(), "mine".into()));
    assert!(!aside.exists());
    fs::create_dir(&aside).unwrap();
    fs::write(aside.join("settings.txt"), "mine").unwrap();
    build(&out, "third", |_| Ok(()));
    assert_eq!((text(&out, "report.md"), text(&out, "settings.txt")), ("third".into(), "mine".into()));
    assert_eq!(fs::read_dir(scratch.path()).unwrap().count(), 1);
}

/// A folder of somebody's that is called as a built file is no reason to fail: it is kept under another name.
#[test]
fn a_folder_that_is_called_as_a_built_file_is_kept() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    fs::create_dir_all(out.join("report.md")).unwrap();
    fs::write(out.join("report.md/mine.txt"), "mine").unwrap();
    fs::create_dir(out.join("photos")).unwrap();
    fs::write(out.join("photos/one.txt"), "one").unwrap();
    let installed = build(&out, "first", |_| Ok(()));
    assert_eq!(text(&out, "report.md"), "first");
    let [(was, now)] = &installed.kept[..] else { panic!("{installed:?}") };
    assert_eq!((was.as_str(), text(&out.join(now), "mine.txt")), ("report.md", "mine".to_owned()));
    assert_eq!(text(&out, "photos/one.txt"), "one");
    assert_eq!(fs::read_dir(scratch.path()).unwrap().count(), 1);
}

/// What stepped aside holds the only copy of somebody's file where another build had its place meanwhile.
#[test]
fn what_stepped_aside_is_looked_through() {
    let scratch = tempfile::tempdir().unwrap();
    let out = scratch.path().join("out");
    build(&out, "first", |_| Ok(()));
    fs::write(out.join("settings.txt"), "mine").unwrap();
    fs::rename(&out, scratch.path().join(".bobbinwright-out.earlier")).unwrap();
    // By somebody who knows nothing of it.
    fs::create_dir(&out).unwrap();
    build(&out, "second", |_| Ok(()));
    assert_eq!((text(&out, "settings.txt"), text(&out, "report.md")), ("mine".into(), "second".into()));
    assert_eq!(fs::read_dir(scratch.path()).unwrap().count(), 1);
}
