//! `bobbinwright handover`.

use std::path::Path;

use bobbinwright_export::{handover, listing, whose};
use bobbinwright_fit::Verdict;
use bobbinwright_install::install;
use bobbinwright_spec::{Position, Surveyed};

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
        let sizes = handover::sizes(prepared);
        let folder = options.out.join(format!("{}-handover", prepared.family.slug));
        if let Some(why) = listing::of_another(&folder, handover::LIST, prepared.family.identity.as_ref()) {
            return complain::failure(&format!("nothing was written: {why}"), false);
        }
        let builds = whose::folder(&options.out, &prepared.family);
        if let Some(other) = whose::standing(&builds, &prepared.family).filter(|stands| !stands.is_own) {
            let why = format!(
                "nothing was written: {} holds the build of another family, {:?}, and how these parts were drawn is kept there: choose another folder with --out",
                builds.display(),
                other.title
            );
            return complain::failure(&why, false);
        }
        let mut handed = None;
        let paper = options.paper.into();
        let installed = install(&folder, handover::LIST, |sink| {
            handover::put(prepared, survey, &sizes, options.copies, paper, sink).map(|of| handed = Some(of))
        });
        match installed {
            Ok(installed) => {
                let mark = handed.as_ref().map(|of| of.mark.as_str()).unwrap_or_default();
                if let Some(Err(why)) = handed.as_ref().map(|of| of.keep(&builds)) {
                    let why =
                        format!("how these parts were drawn can't be kept in {}: {why}", builds.display());
                    return complain::failure(&why, false);
                }
                for line in installed.kept_in_words() {
                    say::line(line);
                }
                say::line(format_args!(
                    "{} files in {}, of build {mark}: hand over all of them; {}-to-print.pdf says how.",
                    installed.files.len(),
                    folder.display(),
                    prepared.family.slug
                ));
                let is_cut = |p: &Position| p.wanted.flatwork.sheet.is_some();
                if prepared.family.positions.iter().any(is_cut) {
                    say::line(format_args!(
                        "What is cut from sheet is not among them: whoever cuts it gets its DXF or SVG from {}, where build puts them.",
                        builds.display()
                    ));
                }
                say::line(format_args!(
                    "When they are printed, say so: bobbinwright printed {} --build {mark}{}{}",
                    say::typed(&options.family),
                    if options.out == Path::new("out") {
                        String::new()
                    } else {
                        format!(" --out {}", say::typed(&options.out))
                    },
                    if options.copies > 1 {
                        ", and once more with --again for each further copy"
                    } else {
                        ""
                    }
                ));
                Outcome::Fine
            }
            Err(e) => complain::failure(&format!("nothing was written: {e}"), false),
        }
    })
}
