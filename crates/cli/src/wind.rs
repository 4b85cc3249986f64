//! `bobbinwright wind`.

use bobbinwright_core::Prepared;
use bobbinwright_export::winding::{self, Winding};
use bobbinwright_fit::Verdict;
use bobbinwright_install::install;

use crate::outcome::Outcome;
use crate::{arguments, complain, family, say};

/// Says what the coils take and makes the winding sheets.
pub(crate) fn run(options: &arguments::Wind) -> Outcome {
    family::with(&options.family, None, options.json, |_, prepared| {
        if !options.afresh {
            return of(prepared, "winding", options);
        }
        match prepared.for_next_coils() {
            // Beside the sheets of those on the bobbins.
            Ok(next) => of(&next, "next-winding", options),
            Err(problems) => complain::wrong_input(&problems, options.json),
        }
    })
}

/// The sheets of a family's coils, into a folder that is called so.
fn of(prepared: &Prepared, what: &str, options: &arguments::Wind) -> Outcome {
    let windings = Winding::all(prepared, options.celsius);
    if windings.is_empty() {
        return complain::failure(
            "no coil is stated in family.ron; write coil: (wire: awg(number: 42, film: single), wind: turns(7800))",
            options.json,
        );
    }
    let folder = options.out.join(format!("{}-{what}", prepared.family.slug));
    let paper = options.paper.into();
    let installed =
        match install(&folder, winding::LIST, |sink| winding::write(prepared, &windings, paper, sink)) {
            Ok(installed) => installed,
            Err(e) => return complain::failure(&format!("nothing was written: {e}"), options.json),
        };
    let outcome = match windings.iter().flat_map(Winding::hindrances).map(|c| c.verdict).min() {
        Some(Verdict::Clashes) => Outcome::Clash,
        Some(Verdict::TooClose) => Outcome::TooClose,
        _ => Outcome::Fine,
    };
    complain::notices(&prepared.family);
    if options.json {
        say::line(format_args!("{:#}", Winding::json(&windings)));
        return outcome;
    }
    for winding in &windings {
        say::text(winding.text());
    }
    for line in winding::together(&windings) {
        say::line(line);
    }
    for line in installed.kept_in_words() {
        say::line(line);
    }
    let sheet = folder.join(format!("{}-winding.pdf", prepared.family.slug));
    say::line(format_args!("The sheets to stand beside the winder: {}.", sheet.display()));
    outcome
}
