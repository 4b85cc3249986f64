//! `bobbinwright handover`.

use bobbinwright_export::handover;
use bobbinwright_fit::{Verdict, deciding};
use bobbinwright_install::install;
use bobbinwright_spec::Surveyed;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say, table};

/// Puts together what goes to whoever prints the parts.
pub(crate) fn run(options: &arguments::Handover) -> Outcome {
    family::with(&options.family, None, false, |survey, prepared| {
        if prepared.fit.verdict() == Verdict::Clashes {
            say::text(table::checks(prepared, false));
            say::aside("Nothing was written: what clashes would be printed in vain.");
            return Outcome::Clash;
        }
        if prepared.fit.verdict() == Verdict::TooClose {
            say::aside(
                "Whether this goes together and in is too close to call: check says what would tell, before anybody prints.",
            );
        }
        if survey.quantities.iter().any(Surveyed::is_planned) {
            say::aside(
                "These are parts for a rout that is only planned: rout and read it before anybody prints.",
            );
        }
        let sizes =
            deciding(&prepared.family, &prepared.positions, &[], &prepared.tried, |position, part| {
                prepared.lie(position, part)
            });
        let folder = options.out.join(format!("{}-handover", prepared.family.slug));
        let mut mark = String::new();
        let paper = options.paper.into();
        let installed = install(&folder, handover::LIST, |sink| {
            handover::put(prepared, survey, &sizes, options.copies, paper, sink).map(|of| mark = of)
        });
        match installed {
            Ok(installed) => {
                for (was, now) in &installed.kept {
                    say::line(format_args!("{was} had been edited; your version is kept as {now}."));
                }
                say::line(format_args!(
                    "{} files in {}, of build {mark}: hand over all of them; {}-to-print.pdf says how.",
                    installed.files.len(),
                    folder.display(),
                    prepared.family.slug
                ));
                say::line(format_args!(
                    "Build it too (bobbinwright build {0}), and say when they are printed: bobbinwright printed {0} --build {mark}",
                    options.family.display()
                ));
                Outcome::Fine
            }
            Err(e) => complain::failure(&format!("nothing was written: {e}"), false),
        }
    })
}
