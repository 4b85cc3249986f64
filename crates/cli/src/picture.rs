//! `bobbinwright picture`.

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};

use bobbinwright_export::{Prepared, picture};
use bobbinwright_spec::Family;

use crate::{Outcome, arguments, complain};

/// Renders the family and writes the picture, never over a file.
pub(crate) fn run(options: &arguments::Picture) -> Outcome {
    let family = match Family::load(&options.family) {
        Ok(family) => family,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    let prepared = match Prepared::new(&family) {
        Ok(prepared) => prepared,
        Err(problems) => return complain::wrong_input(&problems, false),
    };
    let png = match picture::exploded(&family, &prepared.positions, usize::from(options.width)) {
        Ok(png) => png,
        Err(e) => return complain::failure(&e.to_string(), false),
    };
    let file = &options.file;
    let written =
        OpenOptions::new().write(true).create_new(true).open(file).and_then(|mut f| f.write_all(&png));
    match written {
        Ok(()) => Outcome::Fine,
        Err(e) if e.kind() == ErrorKind::AlreadyExists => complain::failure(
            &format!("{} is there already: name another file, or move it away", file.display()),
            false,
        ),
        Err(e) => complain::failure(&format!("{} can't be written: {e}", file.display()), false),
    }
}
