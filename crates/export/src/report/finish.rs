//! The report's part about what is put on the parts when they are printed.

use std::fmt::Write;

use bobbinwright_core::Prepared;
use bobbinwright_geometry::parts::{Lie, pieces};
use bobbinwright_spec::{Family, Finish, Length, PartKind, part_name};
use bobbinwright_words::doubt;

/// Parts that something is put on: index of their position, what they are, and what it is.
pub(super) fn all(family: &Family) -> impl Iterator<Item = (usize, PartKind, Finish)> {
    let of = |(index, position): (usize, &bobbinwright_spec::Position)| {
        let finishes = position.wanted.finish;
        PartKind::ALL.into_iter().filter_map(move |kind| Some((index, kind, finishes.of(kind)?)))
    };
    family.positions.iter().enumerate().flat_map(of)
}

/// Of what STEP files hold.
pub(super) fn nominal(family: &Family) -> &'static str {
    if all(family).next().is_some() { ", finished, so that nothing is printed from them" } else { "" }
}

/// What is put on which faces, sizes before and after, and the order of the work.
pub(super) fn section(out: &mut String, prepared: &Prepared) {
    let family = &prepared.family;
    let finished: Vec<(usize, PartKind, Finish)> = all(family).collect();
    if finished.is_empty() {
        return;
    }
    let unit = family.unit();
    // Writing to a String does not fail.
    let _ = writeln!(out, "\n## Finish\n");
    for (index, kind, finish) in &finished {
        let from = if finish.stated.is_some() { "as you say" } else { "common practice" };
        let within = Length::from_mm(finish.within().as_mm() / 3f64.sqrt());
        let _ = writeln!(
            out,
            "- {}: {}. That {} {} ± {} {} each face ({from}): {}.",
            part_name(&family.positions[*index].name, *kind),
            finish.describe(),
            if finish.adds() < Length::ZERO { "takes" } else { "adds" },
            unit.shown(finish.adds().abs()),
            doubt(within, unit),
            if finish.adds() < Length::ZERO { "off" } else { "to" },
            faces(*kind)
        );
    }
    let _ = writeln!(
        out,
        "\nThe parts are printed so that with this they are as wanted, and every check counts it. Sizes, {}:\n\n| part | size | printed | finished |\n|---|---|---:|---:|",
        unit.short()
    );
    for (index, kind, _) in &finished {
        let layout = &prepared.positions[*index].layout;
        let all = pieces(layout, *kind, Lie::usual(layout, *kind, family.printer.bed));
        for piece in all.iter().filter(|piece| piece.size.finished_faces() > 0) {
            let _ = writeln!(
                out,
                "| {} | {} | {} | {} |",
                part_name(&family.positions[*index].name, *kind),
                piece.size.what(),
                unit.figure(piece.wanted),
                unit.figure(piece.finished)
            );
        }
    }
    let has_coats =
        finished.iter().any(|(_, _, finish)| finish.coats() > Length::ZERO || finish.adds() > Length::ZERO);
    let all_grow = finished.iter().all(|(_, _, finish)| finish.adds() > Length::ZERO);
    let _ = writeln!(out, "\nIn this order (common practice):\n");
    for (number, step) in (1..).zip(steps(has_coats, all_grow)) {
        let _ = writeln!(out, "{number}. {step}");
    }
}

fn faces(kind: PartKind) -> &'static str {
    match kind {
        PartKind::Cover => {
            "top and sides, and ears but for their undersides; screw holes and the seats of their heads, holes in the roof, the lead's notch, the hollow and the underside are masked"
        }
        _ => "its edge all round; both faces, the lip and all holes are masked",
    }
}

fn steps(has_coats: bool, all_grow: bool) -> Vec<&'static str> {
    let mut all = vec![
        "Measure the bare print by the inspection sheet, and let it teach the printer, before anything is sanded.",
        if all_grow {
            "Try it in the rout: bare it goes in with more play than it will have."
        } else {
            "Try it in the rout only when it is sanded: bare it is larger than it will be."
        },
        "Sand wet, with a dust mask, little by little: 240, then 400; the dust is not to be breathed or washed down a sink.",
    ];
    if has_coats {
        all.extend([
            "Mask what stays bare: plugs in holes and seats, tape over underside and notch.",
            "Coat a scrap of the same print along with it, and read it before and after: what that adds to a face is the wish `adds`.",
            "Coat thinly, as the can says: primer, sand it at 400 to 600, paint, clear. Solvents burn and harm: outdoors or in moving air, no flame or spark, a mask for organic vapours, gloves and goggles; follow the can's safety sheet and local rules.",
            "Let it harden for as long as the can says, mostly a week; a soft coat reads too thin and sticks in the rout.",
        ]);
    }
    all.push("Say that it is finished (`bobbinwright parts FAMILY PART finished`), and measure its outside again: that counts then in place of what is usual.");
    all
}
