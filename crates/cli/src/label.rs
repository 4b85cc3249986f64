//! `bobbinwright label`.

use bobbinwright_export::{label, listing};
use bobbinwright_install::install;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Makes the labels for the baseplates.
pub(crate) fn run(options: &arguments::Label) -> Outcome {
    family::with(&options.family, None, false, |survey, prepared| {
        let folder = options.out.join(format!("{}-labels", prepared.family.slug));
        if let Some(why) = listing::of_another(&folder, label::LIST, prepared.family.identity.as_ref()) {
            return complain::failure(&format!("nothing was written: {why}"), false);
        }
        let paper = options.paper.into();
        match install(&folder, label::LIST, |sink| label::write(prepared, survey, paper, sink)) {
            Ok(installed) => {
                for line in installed.kept_in_words() {
                    say::line(line);
                }
                let pdf = folder.join(format!("{}-labels.pdf", prepared.family.slug));
                say::line(format_args!("Labels to print at 100 % and glue on: {}.", pdf.display()));
                Outcome::Fine
            }
            Err(e) => complain::failure(&format!("nothing was written: {e}"), false),
        }
    })
}
