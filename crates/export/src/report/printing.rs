//! The report's part about printing.

use std::fmt::Write;

use bobbinwright_print::cost::FILAMENT;
use bobbinwright_print::{Laid, Lying};
use bobbinwright_spec::printer::profile::{Profile, Source};
use bobbinwright_spec::{Estimate, PartKind, Printer};

use super::Files;
use crate::prepared::Prepared;
use crate::printing::{cost_of, in_words, time};

/// Plates, how each part lies and why, what it takes, and what is made up for.
pub(super) fn section(out: &mut String, prepared: &Prepared, laid: &Laid, files: &Files) {
    let printer = &prepared.family.printer;
    // Writing to a String does not fail.
    let _ = writeln!(out, "\n## Printing\n");
    for (plate, places) in files.plates.iter().zip(&laid.plates) {
        let cost = cost_of(laid, places);
        let _ = writeln!(
            out,
            "- [{}]({}): {} parts, at least {} apart, {:.0} g of {}, {:.1} m of filament, {}",
            plate.file,
            plate.file,
            places.len(),
            printer.spacing,
            cost.mass,
            printer.material.title(),
            cost.filament.as_mm() / 1000.0,
            time(&cost)
        );
    }
    let _ = writeln!(
        out,
        "\n| part | on the bed | layers | g | filament, m | time |\n|---|---|---:|---:|---:|---|"
    );
    for (part, entry) in laid.parts.iter().zip(files.parts) {
        let _ = writeln!(
            out,
            "| {} | {} | {} | {:.1} | {:.2} | {} |",
            entry.id,
            part.chosen.lie.side.describe(),
            part.chosen.layers,
            part.cost.mass,
            part.cost.filament.as_mm() / 1000.0,
            time(&part.cost)
        );
    }
    let _ = writeln!(
        out,
        "\nMass and filament ({FILAMENT} thick) are those of the solid parts, without support. The time is a range from a slow and careful print to a fast one (common practice); your slicer knows it better. Layers of {}, support under slopes beyond {} from the vertical and under flat spans longer than {}.",
        printer.layer, printer.overhang, printer.bridge
    );
    for (part, entry) in laid.parts.iter().zip(files.parts) {
        if part.kind == PartKind::Cover || part.by_builder {
            ways_to_lie(out, part, &entry.id);
        }
    }
    if let Some(profile) = printer.profile() {
        made_up_for(out, profile);
    }
}

/// The ways in which a part can lie, in numbers.
fn ways_to_lie(out: &mut String, part: &Lying, id: &str) {
    let word = part.kind.name().replace('-', "_");
    let why = if part.by_builder { "as the family says" } else { "recommended" };
    let _ = writeln!(
        out,
        "\nHow {id} can lie (another way: `on_bed: ({word}: {})` in family.ron), best first:\n",
        part.weighed.candidates.iter().find(|c| **c != part.chosen).map_or("top", |c| c.lie.side.name())
    );
    let _ = writeln!(
        out,
        "| on the bed | height, mm | layers | on the bed, mm² | needs support, mm² | spans freely, mm² | what of it |"
    );
    let _ = writeln!(out, "|---|---:|---:|---:|---:|---:|---|");
    for c in &part.weighed.candidates {
        let chosen = if *c == part.chosen { format!(" (**{why}**)") } else { String::new() };
        let _ = writeln!(
            out,
            "| {}{chosen} | {:.2} | {} | {:.0} | {:.0} | {:.0} | {} |",
            c.lie.side.name(),
            c.size[2].as_mm(),
            c.layers,
            c.contact,
            c.support_area,
            c.bridged,
            in_words(c)
        );
    }
}

/// What a profile says, and that the parts are drawn by it.
fn made_up_for(out: &mut String, profile: &Profile) {
    let from = match profile.source {
        Source::Usual(material) => {
            format!(
                "what is usual for {} (common practice); print and read a coupon to replace it",
                material.title()
            )
        }
        Source::Coupon { sizes, last } => format!("{sizes} sizes read on its prints, the last on {last}"),
    };
    let _ = writeln!(out, "\nMade up for: what the printer {} does, by {from}.\n", profile.name);
    let _ = writeln!(out, "| what | mm, ± standard uncertainty |\n|---|---:|");
    let mut row = |what: &str, e: &Estimate| {
        let _ = writeln!(out, "| {what} | {:+.2} ± {:.2} |", e.value().as_mm(), e.uncertainty().as_mm());
    };
    for (axis, stretch) in ["x", "y", "z"].iter().zip(&profile.stretch) {
        row(&format!("100 mm along {axis} come out longer by"), stretch);
    }
    row("walls stand out further by", &profile.growth);
    row("holes lose of their diameter", &profile.hole_far);
    row("a hole of 3 mm loses besides", &profile.hole_near);
    row("the first layer spreads on each side by", &profile.foot);
    row("heights over the bed come out higher by", &profile.lift);
    let _ =
        writeln!(out, "\nThe same part printed again differs by ± {:.2} mm.", profile.scatter.one.as_mm());
}

/// Which files are nominal, and which are made up for.
pub(super) fn which_is_which(printer: &Printer) -> String {
    match printer.profile() {
        Some(profile) => format!(
            "STL and 3MF files hold the parts as they lie on the bed, drawn for the printer {}: their sizes are not the nominal ones, the printed parts' are.",
            profile.name
        ),
        None => "STL and 3MF files hold the parts as they lie on the bed, at their nominal sizes too: nothing has been added for shrinkage or for holes that print small.".to_owned(),
    }
}
