//! The report's part about flatwork that is cut from sheet.

use std::fmt::Write;

use bobbinwright_core::Prepared;
use bobbinwright_spec::Length;

use super::Files;

/// Sheets with what is cut from them, and how; nothing where all of it is printed.
pub(super) fn section(out: &mut String, prepared: &Prepared, files: &Files) {
    let family = &prepared.family;
    let unit = family.unit();
    let cut = || family.positions.iter().filter(|position| position.wanted.flatwork.sheet.is_some());
    let mut kerfs: Vec<String> =
        cut().filter_map(|p| Some(unit.shown(p.wanted.flatwork.sheet?.kerf))).collect();
    kerfs.dedup();
    if kerfs.is_empty() {
        return;
    }
    // Writing to a String does not fail.
    let _ = writeln!(out, "\n## Cutting\n");
    for sheet in files.sheets {
        let [length, width, thick] = [sheet.size_mm[0], sheet.size_mm[1], sheet.thickness_mm]
            .map(|mm| unit.shown(Length::from_mm(mm)));
        let names: Vec<&str> = sheet.parts.iter().map(|part| part.id.as_str()).collect();
        let _ = writeln!(
            out,
            "- [{}]({}), [{}]({}): {} from a sheet {thick} thick, {length} × {width}",
            sheet.files.dxf,
            sheet.files.dxf,
            sheet.files.svg,
            sheet.files.svg,
            names.join(", ")
        );
    }
    let numbered = family.positions.iter().zip(1..);
    let scored = numbered.filter(|(position, _)| position.wanted.flatwork.sheet.is_some());
    let scored: Vec<String> =
        scored.map(|(position, lines)| format!("{} for the {}", count(lines), position.name)).collect();
    let _ = writeln!(
        out,
        "\nAt 1:1, in millimetres, seen from above. The lines of the layer `cut` are where the middle of the cut runs: half of its {} outside of each plate, so that the plate comes out as it is wanted. Let whatever drives the cutter make up for nothing more. Holes come first, borders last. The layer `mark` is scored, not cut through: near the bass end, where there is room, {}.",
        kerfs.join(" and "),
        scored.join(", ")
    );
    let _ = writeln!(
        out,
        "\nRead the sheet\u{2019}s thickness first, and say that (`flatwork.bottom`, `flatwork.top`). Cut one plate, read its length and its holes, and enter them: they tell whether kerf and tolerance are as stated."
    );
    let _ = writeln!(
        out,
        "\nFumes and dust of fibre and resin: extraction, mask, eye protection, and nobody leaves a laser alone. Ask whoever sells the sheet whether it may be cut so (nothing with chlorine in it may be lasered). Local rules come first."
    );
}

fn count(lines: usize) -> String {
    match lines {
        1 => "one line".to_owned(),
        2 => "two lines".to_owned(),
        n => format!("{n} lines"),
    }
}
