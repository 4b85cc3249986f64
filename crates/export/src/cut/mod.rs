//! Flatwork that is cut from sheet: each plate, and all of them laid on their sheets, as DXF and SVG at 1:1.
//!
//! A file's lines are where the middle of the cut runs, so that the plate comes out as it is wanted: whoever cuts makes up
//! for nothing more. The layer `cut` has closed lines, holes before borders; the layer `mark` what is only scored.

pub mod dxf;
pub mod entry;
pub mod svg;

use std::collections::BTreeSet;
use std::f64::consts::FRAC_PI_2;

use bobbinwright_core::Prepared;
use bobbinwright_geometry::parts::{CutOut, Part};
use bobbinwright_kernel::plane::{Contour, Segment, Vector};
use bobbinwright_print::sheets::{OnSheet, Sheet, sheets};
use bobbinwright_spec::{CutSheet, Length};

use bobbinwright_install::{HashedFile, Sink};
use entry::{CutEntry, CutFiles, OnSheetEntry, SheetEntry};

/// What a cutter follows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lines {
    /// Closed, in the order of cutting.
    pub cuts: Vec<Contour>,
    /// Scored.
    pub marks: Vec<Segment>,
    /// Length and width of the sheet with its corner in the origin; none where it is one plate, its middle in the origin.
    pub sheet: Option<[f64; 2]>,
}

/// Of one plate; none where the part is printed.
pub(crate) fn lines(prepared: &Prepared, position: usize, part: &Part) -> Option<(CutSheet, CutOut)> {
    let sheet = prepared.positions[position].layout.wanted.sheet(part.kind)?;
    let bass = -prepared.family.positions[position].handed.treble();
    Some((*sheet, CutOut::of(part, sheet.kerf, position, bass)?))
}

/// The files of one plate.
pub(crate) fn plate(
    id: &str,
    thickness: f64,
    sheet: &CutSheet,
    cut: &CutOut,
    sink: &Sink,
) -> (CutEntry, [HashedFile; 2]) {
    let lines = Lines { cuts: cut.cuts.clone(), marks: cut.marks.clone(), sheet: None };
    let (files, hashed) = put(id, id, &lines, sink);
    let entry = CutEntry {
        files,
        thickness_mm: thickness,
        kerf_mm: sheet.kerf.as_mm(),
        area_mm2: cut.outlines.area(),
        length_mm: cut.cuts.iter().map(Contour::length).sum(),
    };
    (entry, hashed)
}

/// All sheets, with the files of each: `tidewick-sheet-2.40.dxf`, and `tidewick-sheet-2.40-2.dxf` for a second one.
pub(crate) fn laid(prepared: &Prepared, sink: &Sink) -> (Vec<SheetEntry>, Vec<HashedFile>) {
    let all = sheets(&prepared.family, &prepared.positions);
    let mut taken = BTreeSet::new();
    let made = all.iter().map(|sheet| {
        let name = free_name(prepared, sheet, &mut taken);
        one_sheet(prepared, sheet, &name, sink)
    });
    let (entries, files): (Vec<SheetEntry>, Vec<[HashedFile; 2]>) = made.unzip();
    (entries, files.into_iter().flatten().collect())
}

/// By its thickness as a person reads it, and a number where another sheet is called so.
fn free_name(prepared: &Prepared, sheet: &Sheet, taken: &mut BTreeSet<String>) -> String {
    let family = &prepared.family;
    let name = format!("{}-sheet-{}", family.slug, family.unit().figure(sheet.thickness));
    let all = std::iter::once(name.clone()).chain((2..).map(|number| format!("{name}-{number}")));
    let mut free = all.filter(|name| !taken.contains(name));
    let free = free.next().unwrap_or(name);
    taken.insert(free.clone());
    free
}

fn one_sheet(prepared: &Prepared, sheet: &Sheet, name: &str, sink: &Sink) -> (SheetEntry, [HashedFile; 2]) {
    let family = &prepared.family;
    let title = format!("{}, sheet of {}", family.title, family.unit().shown(sheet.thickness));
    let size = [sheet.of.length, sheet.of.width].map(Length::as_mm);
    let mut lines = Lines { sheet: Some(size), ..Lines::default() };
    let mut parts = Vec::new();
    for plate in &sheet.plates {
        let Some(part) = prepared.positions[plate.position].parts.iter().find(|p| p.kind == plate.kind)
        else {
            continue;
        };
        let Some((_, cut)) = self::lines(prepared, plate.position, part) else { continue };
        lines.cuts.extend(cut.cuts.iter().map(|contour| placed(contour, plate)));
        lines.marks.extend(cut.marks.iter().map(|line| placed_line(line, plate)));
        parts.push(OnSheetEntry {
            id: Prepared::part_id(&family.positions[plate.position].name, part),
            middle_mm: plate.middle.map(Length::as_mm),
            turned: plate.turned,
        });
    }
    let (files, hashed) = put(name, &title, &lines, sink);
    (SheetEntry { files, thickness_mm: sheet.thickness.as_mm(), size_mm: size, parts }, hashed)
}

/// To a tenth of a nanometre, and no minus before nought: what is less is the arithmetic's.
fn rounded(value: f64) -> f64 {
    (value * 1e10).round() / 1e10 + 0.0
}

fn put(name: &str, title: &str, lines: &Lines, sink: &Sink) -> (CutFiles, [HashedFile; 2]) {
    let files = CutFiles { dxf: format!("{name}.dxf"), svg: format!("{name}.svg") };
    let dxf = sink.put(&files.dxf, dxf::write(lines).into_bytes());
    let svg = sink.put(&files.svg, svg::write(lines, title).into_bytes());
    (files, [dxf, svg])
}

fn placed(contour: &Contour, plate: &OnSheet) -> Contour {
    let turned = if plate.turned { contour.turned(FRAC_PI_2) } else { contour.clone() };
    turned.moved(middle(plate))
}

fn placed_line(line: &Segment, plate: &OnSheet) -> Segment {
    let at = |p: bobbinwright_kernel::plane::Point| {
        let turned = if plate.turned { Vector::new(-p.y, p.x) } else { p.coords };
        bobbinwright_kernel::plane::Point::from(turned + middle(plate))
    };
    Segment::line(at(line.from), at(line.to))
}

fn middle(plate: &OnSheet) -> Vector {
    let [x, y] = plate.middle.map(Length::as_mm);
    Vector::new(x, y)
}
