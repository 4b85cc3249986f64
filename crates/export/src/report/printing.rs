//! The report's part about printing.

use std::fmt::Write;

use bobbinwright_geometry::parts::pieces;
use bobbinwright_print::cost::FILAMENT;
use bobbinwright_print::{Candidate, Laid, Lying};
use bobbinwright_spec::printer::profile::Profile;
use bobbinwright_spec::{Family, Length, PartKind, Unit};

use super::Files;
use crate::printing::{cost_of, in_words, support_in_words, time};
use bobbinwright_core::Prepared;
use bobbinwright_words::{what_it_does, where_from, with_doubt};

/// Plates, how each part lies and why, what it takes, and what is made up for.
pub(super) fn section(out: &mut String, prepared: &Prepared, laid: &Laid, files: &Files) {
    let printer = &prepared.family.printer;
    // Writing to a String does not fail.
    let _ = writeln!(out, "\n## Printing\n");
    if prepared.family.unit() == Unit::Inch {
        let _ = writeln!(out, "In millimetres, as slicers and printers have it.\n");
    }
    for (plate, places) in files.plates.iter().zip(&laid.plates) {
        let cost = cost_of(laid, places);
        let _ = writeln!(
            out,
            "- [{}]({}): {}, at least {} apart, {:.0} g of {}, {:.1} m of filament, {}",
            plate.file,
            plate.file,
            count(places.len()),
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
    for (part, entry) in laid.parts.iter().zip(files.printed) {
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
    beside_layers(out, prepared, laid);
    for (part, entry) in laid.parts.iter().zip(files.printed) {
        if part.kind == PartKind::Cover || part.by_builder {
            ways_to_lie(out, part, &entry.id);
        }
    }
    other_ways(out, laid, files);
    if let Some(profile) = printer.profile() {
        made_up_for(out, profile);
    }
}

fn count(parts: usize) -> String {
    if parts == 1 { "1 part".to_owned() } else { format!("{parts} parts") }
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

/// The same in short for plates, which hide no dilemma.
fn other_ways(out: &mut String, laid: &Laid, files: &Files) {
    let others = laid.parts.iter().zip(files.printed);
    let others = others.filter(|(part, _)| part.kind != PartKind::Cover && !part.by_builder);
    let lines: Vec<String> = others
        .map(|(part, entry)| {
            let way = |c: &Candidate| format!("{} {}", c.lie.side.name(), support_in_words(c));
            let ways: Vec<String> = part.weighed.candidates.iter().map(way).collect();
            format!("- {}: {}", entry.id, ways.join(", "))
        })
        .collect();
    if !lines.is_empty() {
        let _ = writeln!(
            out,
            "\nSupport that the other parts would need, by the side on the bed, best first; nothing of them is seen:\n"
        );
        let _ = writeln!(out, "{}", lines.join("\n"));
    }
}

/// What a profile says, and that the parts are drawn by it.
fn made_up_for(out: &mut String, profile: &Profile) {
    let _ = writeln!(
        out,
        "\nThe STL and 3MF files allow for what the printer {} makes of what is drawn, by {}:\n",
        profile.name,
        where_from(profile)
    );
    let _ = writeln!(out, "| what | mm, ± standard uncertainty |\n|---|---:|");
    for (what, figure) in what_it_does(profile, Unit::Mm) {
        let _ = writeln!(out, "| {what} | {} |", with_doubt(&figure, Unit::Mm));
    }
    let _ = writeln!(
        out,
        "\nOne print of a part differs from the next by ± {:.2} mm.",
        profile.scatter.one.as_mm()
    );
}

/// Heights that are no whole number of layers.
fn beside_layers(out: &mut String, prepared: &Prepared, laid: &Laid) {
    let printer = &prepared.family.printer;
    let mut found: Vec<String> = Vec::new();
    for part in &laid.parts {
        let layout = &prepared.positions[part.position].layout;
        let position = &prepared.family.positions[part.position].name;
        for piece in pieces(layout, part.kind, part.chosen.lie) {
            let drawn = printer.profile().map_or(piece.wanted, |p| p.drawn(piece.wanted, piece.made));
            let off = printer.beside_layers(drawn, piece.made);
            if off > Length::from_mm(0.02) {
                found.push(format!(
                    "{position} {} ({} wanted, {:.1} layers, off by {off})",
                    piece.size.describe(),
                    piece.wanted,
                    drawn.as_mm() / printer.layer.as_mm(),
                ));
            }
        }
    }
    if !found.is_empty() {
        let _ = writeln!(
            out,
            "\nThese heights are no whole number of layers of {}; the slicer makes them one: {}.",
            printer.layer,
            found.join("; ")
        );
    }
}

/// Which files are nominal, and which are made up for.
pub(super) fn which_is_which(family: &Family) -> String {
    let printer = &family.printer;
    let is_finished = super::finish::all(family).next().is_some();
    match printer.profile() {
        Some(profile) => format!(
            "STL and 3MF files hold the parts as they lie on the bed, drawn for the printer {}: their sizes are not the nominal ones, the printed parts' are.",
            profile.name
        ),
        None if is_finished => "STL and 3MF files hold the parts as they lie on the bed, with the sizes that they have before they are finished; nothing has been added for shrinkage or for holes that print small.".to_owned(),
        None => "STL and 3MF files hold the parts as they lie on the bed, at their nominal sizes too: nothing has been added for shrinkage or for holes that print small.".to_owned(),
    }
}
