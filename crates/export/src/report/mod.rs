//! `report.md`: what a builder keeps with the instrument.

mod cutting;
mod finish;
pub(crate) mod html;
mod printing;

use std::collections::BTreeSet;
use std::fmt::Write;

use bobbinwright_estimate::expanded;
use bobbinwright_fit::{Check, Verdict, in_words};
use bobbinwright_print::Laid;
use bobbinwright_spec::{Angle, Doubts, Estimate, Family, Length, Poles, Position, Unit, corner_name};

use crate::cut::entry::SheetEntry;
use crate::manifest::{PartEntry, PlateEntry};
use crate::plain::plain;
use crate::stl::CHORD;
use bobbinwright_core::Prepared;
use bobbinwright_words::{
    TURNED_BY_A_SLIP, count, doubt, headline, percent, snug_gaps, unguarded, with_doubt,
};

/// What the report tells of the files beside it.
pub struct Files<'a> {
    /// Every part.
    pub parts: &'a [PartEntry],
    /// Those of them that are printed.
    pub printed: &'a [&'a PartEntry],
    /// Every plate.
    pub plates: &'a [PlateEntry],
    /// Every sheet that flatwork is cut from.
    pub sheets: &'a [SheetEntry],
}

/// The report as Markdown.
pub fn markdown(prepared: &Prepared, laid: &Laid, files: &Files) -> String {
    let family = &prepared.family;
    let mut out = String::new();
    // Writing to a String does not fail.
    let _ = writeln!(out, "# {}\n", plain(&family.title));
    summary(&mut out, prepared);
    for (position, built) in family.positions.iter().zip(&prepared.positions) {
        let _ = writeln!(out, "\n## Position: {}\n", position.name);
        let _ = writeln!(out, "![Plan of rout, cover, strings and poles]({}-plan.svg)\n", position.name);
        if prepared.fit.lie(&position.name).is_some() {
            let _ = writeln!(out, "![How the cover lies in the rout]({}-lie.svg)\n", position.name);
        }
        let unit = family.unit();
        readings(&mut out, position, &prepared.fit.doubts, unit);
        strings(&mut out, position, built.layout.wanted.poles, unit);
        part_table(&mut out, position, files.parts, unit);
        let plate = built.layout.plate;
        let [length, width, between, apart] =
            [plate.length, plate.width, built.layout.coil_height, built.layout.screw_pitch()]
                .map(|l| unit.shown(l));
        let screws = match built.layout.screws.len() {
            1 => "one screw".to_owned(),
            2 => format!("screws {apart} apart"),
            n => format!("{n} screws"),
        };
        let _ = writeln!(
            out,
            "\nBobbin: plates {length} × {width}, {between} between them for the coil; {screws}."
        );
    }
    checks(&mut out, prepared);
    let again = prepared.fit.what_next().into_iter().chain(unguarded(&prepared.family, &prepared.fit));
    let again: Vec<String> = again.collect();
    if !again.is_empty() {
        let _ = writeln!(out, "\n{}", again.join("  \n"));
    }
    printing::section(&mut out, prepared, laid, files);
    cutting::section(&mut out, prepared, files);
    finish::section(&mut out, prepared);
    bought(&mut out, family);
    notes(&mut out, prepared, files.parts);
    out
}

fn summary(out: &mut String, prepared: &Prepared) {
    let stands = count(&prepared.fit);
    let _ = if prepared.fit.checks.iter().any(|c| c.verdict == Verdict::Clashes) {
        writeln!(out, "**{stands}** The parts were built all the same because that was asked for.\n")
    } else {
        writeln!(out, "{stands}\n")
    };
    for line in headline(&prepared.family, &prepared.fit) {
        let _ = writeln!(out, "- {line}");
    }
}

/// Coverage of the intervals that are shown.
const COVERAGE: f64 = 0.95;

fn readings(out: &mut String, position: &Position, doubts: &Doubts, unit: Unit) {
    let rout = &position.rout;
    let _ = writeln!(
        out,
        "Measured, in {}, ± standard uncertainty, and between which sizes the true one is with {:.0} %:\n",
        unit.spoken(),
        COVERAGE * 100.0
    );
    let _ = writeln!(out, "| rout | {} | from | to |\n|---|---:|---:|---:|", unit.short());
    let mut row = |label: &str, e: &Estimate| {
        let (value, half) = (e.value(), expanded(e, doubts, COVERAGE));
        let [from, to] = [value - half, value + half].map(|l| unit.figure(l));
        let _ = writeln!(out, "| {label} | {} | {from} | {to} |", with_doubt(e, unit));
    };
    row("length along the row of strings, tightest place", &rout.length);
    row("width, tightest place", &rout.width);
    if let Some(radius) = rout.corners.alike() {
        row("corner radius", radius);
    } else {
        for (at, radius) in rout.corners.iter() {
            row(&format!("radius in the {}", corner_name(at)), radius);
        }
    }
    row("depth, shallowest spot", &rout.depth);
    if let (Some(pitch), 2) = (&rout.screw_pitch, rout.screws.len()) {
        row("screw pitch", pitch);
    }
    row("screw hole", &rout.screw_hole);
    for (number, screw) in rout.screws.iter().enumerate() {
        let name = rout.screw_name(number);
        row(&format!("{name}, from the middle between the ends, towards treble"), &screw.along);
        row(&format!("{name}, off the middle line, towards the neck"), &screw.across);
    }
    if let Some(ears) = &rout.ears {
        row("ear recess, length", &ears.length);
        row("ear recess, width", &ears.width);
        row("ear recess, depth", &ears.depth);
        row("ear recess, corner radius", &ears.corner_radius);
        for (number, ear) in ears.at.iter().enumerate() {
            let name = format!("ear {} on the {} side, from its middle", number + 1, ear.side.name());
            row(&name, &ear.offset);
        }
    }
    if let Some(channel) = &rout.channel {
        row(&format!("wire channel on the {} side, from its middle", channel.side.name()), &channel.offset);
    }
}

fn strings(out: &mut String, position: &Position, poles: Poles, unit: Unit) {
    let under = match poles {
        Poles::Single => "one pole under each".to_owned(),
        Poles::Pair { spread } => format!("two poles {} apart, one on each side", unit.shown(spread)),
    };
    let _ = writeln!(
        out,
        "\nStrings from bass to treble, {under}; places from the rout's middle, treble positive; in {}:\n",
        unit.spoken()
    );
    if position.slant != Angle::default() {
        let degrees = position.slant.as_degrees();
        let end = if degrees > 0.0 { "bass" } else { "treble" };
        let _ = writeln!(
            out,
            "The row is {:.1}° from square to the strings, its {end} end nearer to the neck.\n",
            degrees.abs()
        );
    }
    let row = position.wanted.row();
    if row != Length::ZERO {
        let side = if row > Length::ZERO { "neck" } else { "bridge" };
        let _ = writeln!(
            out,
            "The row is {} towards the {side} from the rout's middle; the places are where the strings cross it.\n",
            unit.shown(row.abs())
        );
    }
    let _ = writeln!(out, "| string | diameter | place | over the face |\n|---:|---:|---:|---:|");
    for s in position.strings.iter().rev() {
        let [gauge, place, height] =
            [&s.gauge, &position.over_rods(s), &s.height].map(|e| with_doubt(e, unit));
        let _ = writeln!(out, "| {} | {gauge} | {place} | {height} |", s.number);
    }
}

fn part_table(out: &mut String, position: &Position, parts: &[PartEntry], unit: Unit) {
    let _ = writeln!(out, "\n| part | size, {} | volume, cm³ | files |\n|---|---|---:|---|", unit.short());
    for part in parts.iter().filter(|p| p.position == position.name) {
        let size = |i: usize| unit.figure(Length::from_mm(part.bounds_mm.max[i] - part.bounds_mm.min[i]));
        let size: Vec<String> = (0..3).map(size).collect();
        let cut = part.cut.iter().flat_map(|cut| [&cut.files.dxf, &cut.files.svg]);
        let files = part.files.stl.iter().chain(cut).chain([&part.files.step]);
        let files: Vec<String> = files.map(|file| format!("[{file}]({file})")).collect();
        let (size, volume) = (size.join(" × "), part.volume_mm3 / 1000.0);
        let _ = writeln!(out, "| {} | {size} | {volume:.2} | {} |", part.part, files.join(", "));
    }
}

fn checks(out: &mut String, prepared: &Prepared) {
    let worst_first = prepared.fit.worst_first();
    let _ = writeln!(out, "\n## Fit, worst first\n");
    let _ = writeln!(
        out,
        "Margin: what is to spare, ± standard uncertainty. *Fits* means that it does with at least {:.0} % probability.\n",
        bobbinwright_fit::CONFIDENCE * 100.0
    );
    let unit = prepared.family.unit();
    let _ = writeln!(
        out,
        "| verdict | margin, {} | probability | where | what |\n|---|---:|---:|---|---|",
        unit.short()
    );
    let slips = prepared.fit.unguarded(&prepared.family);
    for check in &worst_first {
        let mark = if slips.iter().any(|slip| slip.turns(check)) { " **!**" } else { "" };
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {}{mark} |",
            check.verdict.word(),
            margin(check, unit),
            percent(check.probability),
            check.position,
            check.title
        );
    }
    if !slips.is_empty() {
        let _ = writeln!(out, "\n**!** {TURNED_BY_A_SLIP}; what to read too stands below.");
    }
    let assumed: BTreeSet<String> = worst_first
        .iter()
        .flat_map(|c| in_words(&c.assumed).into_iter().map(|w| format!("- {}: {w}", c.title)))
        .collect();
    if !assumed.is_empty() {
        let _ = writeln!(out, "\nTaken for granted, because nobody measured it:\n");
        for line in assumed {
            let _ = writeln!(out, "{line}");
        }
    }
    let what_to_do = |c: &&Check| (c.position.clone(), bobbinwright_core::what_to_do(prepared, c));
    let all: Vec<(String, String)> =
        worst_first.iter().map(what_to_do).filter(|(_, said)| !said.is_empty()).collect();
    if !all.is_empty() {
        let _ = writeln!(out, "\nWhat to change:\n");
        for (position, said) in all {
            let _ = writeln!(out, "- {position}: {said}");
        }
    }
}

/// `+0.35 ± 0.05`; a margin between wishes has no uncertainty to show.
fn margin(check: &Check, unit: Unit) -> String {
    let (m, u) = (bobbinwright_words::margin(check.margin.value(), unit), check.margin.uncertainty());
    if u > Length::ZERO { format!("{m} ± {}", doubt(u, unit)) } else { m }
}

fn bought(out: &mut String, family: &Family) {
    let h = &family.hardware;
    let rods: usize = family
        .positions
        .iter()
        .map(|p| match p.wanted.poles {
            Poles::Single => family.strings,
            Poles::Pair { .. } => family.strings * 2,
        })
        .sum();
    let (n, unit) = (family.positions.len(), family.unit());
    let pm = |e: &Estimate| with_doubt(e, unit);
    let _ = writeln!(out, "\n## Bought parts\n\n| part | pieces | size, {} |\n|---|---:|---|", unit.short());
    let _ = writeln!(out, "| magnet rod | {rods} | {} × {} |", pm(&h.rod_diameter), pm(&h.rod_length));
    let _ = writeln!(
        out,
        "| eyelet | {} | barrel {}, flange {} |",
        2 * n,
        pm(&h.eyelet_barrel),
        pm(&h.eyelet_flange)
    );
    let _ = writeln!(
        out,
        "| mounting screw | {} | {}, head {} |",
        family.positions.iter().map(|position| position.rout.screws.len()).sum::<usize>(),
        pm(&h.screw_diameter),
        pm(&h.screw_head)
    );
    let _ = writeln!(out, "| lead | {n} | {} |", pm(&h.lead_diameter));
}

fn notes(out: &mut String, prepared: &Prepared, parts: &[PartEntry]) {
    let _ = writeln!(out, "\n## Notes\n");
    let unit = prepared.family.unit();
    for a in &prepared.fit.agreements {
        let word = if a.agrees { "agrees" } else { "does not agree" };
        let _ = writeln!(
            out,
            "- {}: outer strings {} {unit} apart by nut, bridge and scale, {} {unit} as read; the difference {word} with the readings' uncertainty ({:.1} times it).",
            a.position,
            with_doubt(&a.predicted, unit),
            with_doubt(&a.read, unit),
            a.ratio,
            unit = unit.short()
        );
    }
    for line in snug_gaps(&prepared.family) {
        let _ = writeln!(out, "- {line}");
    }
    let [left, right] = prepared.family.positions.first().map(|p| p.handed).unwrap_or_default().ends();
    let _ = writeln!(
        out,
        "- STEP files hold the exact solids at their nominal sizes{}, upright, {} at -x, {} at +x, the neck at +y, z out of the body. {}",
        finish::nominal(&prepared.family),
        left,
        right,
        printing::which_is_which(&prepared.family)
    );
    let _ = writeln!(out, "- In STL and 3MF files no triangle is further than {CHORD} mm from its solid.");
    let _ = writeln!(out, "- All files are in millimetres.");
    let _ = writeln!(
        out,
        "- Magnet rods snap together and chip; keep them from pacemakers, cards and children (two swallowed magnets are an emergency)."
    );
    let _ = writeln!(
        out,
        "- Soldering: short heat, fresh air, eye protection, wash hands. Sanding: wet, with a dust mask. Uncured resin: gloves. Wax: only in a water bath with a thermometer, never over a flame or unattended, and not on parts that soften at its temperature (PLA does). Follow the makers' safety sheets and local rules."
    );
    let _ = writeln!(
        out,
        "- This is build {}. Write that on the parts' bag: what is read on them later can teach the printer only if it is known what they were printed from.",
        crate::whose::mark(parts)
    );
    for file in &prepared.family.files {
        let name = crate::manifest::short_name(&file.name);
        let _ = writeln!(
            out,
            "- Made from {name}, SHA-256 {}…",
            &bobbinwright_install::sha256(file.text.as_bytes())[..16]
        );
    }
}
