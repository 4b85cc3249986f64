//! `bobbinwright picture`.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::Path;

use bobbinwright_export::picture;

use crate::outcome::Outcome;
use crate::{arguments, complain, family};

/// Renders the family and writes the picture, never over a file.
pub(crate) fn run(options: &arguments::Picture) -> Outcome {
    let is_png = options.file.extension().is_some_and(|e| e.eq_ignore_ascii_case("png"));
    if !is_png {
        let message =
            format!("the picture is a PNG file: call it {}", options.file.with_extension("png").display());
        return complain::failure(&message, false);
    }
    family::with(&options.family, None, false, |_, prepared| {
        match picture::exploded(&prepared.family, &prepared.positions, usize::from(options.width)) {
            Ok(png) => write(&options.file, &png),
            Err(e) => complain::failure(&e.to_string(), false),
        }
    })
}

fn write(file: &Path, png: &[u8]) -> Outcome {
    let written =
        OpenOptions::new().write(true).create_new(true).open(file).and_then(|mut f| f.write_all(png));
    match written {
        Ok(()) => Outcome::Fine,
        Err(e) if e.kind() == ErrorKind::AlreadyExists => complain::failure(
            &format!("{} is there already: name another file, or move it away", file.display()),
            false,
        ),
        Err(e) => complain::failure(&format!("{} can't be written: {e}", file.display()), false),
    }
}
