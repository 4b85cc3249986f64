//! Running the program, and families to run it on.

// Not every test file uses all of it.
#![allow(dead_code)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

pub fn specs() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../specs")
}

pub fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_bobbinwright")).args(arguments).output().expect("the program starts")
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// Runs and checks the exit code; gives both streams.
pub fn ends_with(code: i32, arguments: &[&str]) -> (String, String) {
    let output = run(arguments);
    let (out, err) = (text(&output.stdout), text(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "{arguments:?}\n== stdout\n{out}\n== stderr\n{err}");
    (out, err)
}

pub fn spec(name: &str) -> String {
    specs().join(name).display().to_string()
}

/// A copy of a demo family in a folder of its own.
pub fn copy(name: &str, into: &Path) -> PathBuf {
    let folder = into.join(name);
    fs::create_dir_all(&folder).unwrap();
    for file in ["family.ron", "readings.ron"].map(|f| specs().join(name).join(f)) {
        // One that is like another has no log of its own.
        if file.exists() {
            fs::copy(&file, folder.join(file.file_name().unwrap())).unwrap();
        }
    }
    folder
}

/// The wherry and its printer in folders of their own, as they lie in the project.
pub fn wherry(into: &Path) -> (PathBuf, PathBuf) {
    let (family, printer) = (into.join("specs/wherry"), into.join("specs/wherry/quay"));
    for (to, from, files) in [
        (&family, specs().join("wherry"), ["family.ron", "readings.ron"]),
        (&printer, specs().join("wherry/quay"), ["printer.ron", "readings.ron"]),
    ] {
        fs::create_dir_all(to).unwrap();
        for file in files {
            fs::copy(from.join(file), to.join(file)).unwrap();
        }
    }
    (family, printer)
}

/// A path as an argument.
pub fn name(path: &Path) -> &str {
    path.to_str().unwrap()
}

pub fn change(file: &Path, was: &str, now: &str) {
    let text = fs::read_to_string(file).unwrap();
    assert!(text.contains(was), "{} does not say {was:?}", file.display());
    fs::write(file, text.replacen(was, now, 1)).unwrap();
}

/// Every file of a folder with its content, hidden ones too; of a manifest all but where its family is. Builds that were
/// replaced are another matter.
pub fn content(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let bytes = |path: &Path| {
        let bytes = fs::read(path).unwrap_or_default();
        if path.file_name().is_none_or(|name| name != "manifest.json") {
            return bytes;
        }
        let lines = bytes.split_inclusive(|b| *b == b'\n');
        lines
            .filter(|line| !line.trim_ascii_start().starts_with(b"\"family_folder\""))
            .flatten()
            .copied()
            .collect()
    };
    let mut all: Vec<(String, Vec<u8>)> = fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.file_name().is_none_or(|name| name != "earlier"))
        .map(|p| (p.file_name().unwrap().to_string_lossy().into_owned(), bytes(&p)))
        .collect();
    all.sort();
    all
}
