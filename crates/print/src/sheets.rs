//! Plates side by side on the sheets that they are cut from.

use bobbinwright_geometry::parts::PositionParts;
use bobbinwright_spec::{CutSheet, Family, Length, PartKind};

use crate::plates::rows;

/// A sheet with what is cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Its size, and how it is cut.
    pub of: CutSheet,
    /// How thick it is.
    pub thickness: Length,
    /// Which one of those that are as thick, from 1 on.
    pub number: usize,
    /// What lies where.
    pub plates: Vec<OnSheet>,
}

/// A plate on its sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnSheet {
    /// Index of its position in the family.
    pub position: usize,
    /// Which plate.
    pub kind: PartKind,
    /// Where its middle is, from the sheet's corner.
    pub middle: [Length; 2],
    /// It is turned by a quarter, counter-clockwise.
    pub turned: bool,
}

/// Lays all plates that are cut on sheets: one thickness after the other, the thinnest first, each of those that are cut
/// alike in rows; a plate that is longer than the sheet lies across it, and one that has no room either way is left out.
pub fn sheets(family: &Family, built: &[PositionParts]) -> Vec<Sheet> {
    let mut left = plates(family, built);
    left.sort_by(|a, b| a.thickness.as_mm().total_cmp(&b.thickness.as_mm()));
    let mut all: Vec<Sheet> = Vec::new();
    while let Some(first) = left.first().copied() {
        let is_alike = |one: &Plate| one.of == first.of && one.thickness == first.thickness;
        let (alike, others): (Vec<Plate>, Vec<Plate>) = left.into_iter().partition(is_alike);
        left = others;
        let before = all.iter().filter(|sheet| sheet.thickness == first.thickness).count();
        all.extend(one_kind(&alike, first.of, first.thickness, before));
    }
    all
}

/// A plate with all that the cut takes away round it.
#[derive(Clone, Copy)]
struct Plate {
    position: usize,
    kind: PartKind,
    of: CutSheet,
    thickness: Length,
    size: [Length; 2],
    turned: bool,
}

fn plates(family: &Family, built: &[PositionParts]) -> Vec<Plate> {
    let of_position = |(position, parts): (usize, &PositionParts)| {
        let (layout, wanted) = (&parts.layout, &family.positions[position].wanted);
        let thick = [
            (PartKind::FlatworkBottom, wanted.flatwork.bottom),
            (PartKind::FlatworkTop, wanted.flatwork.top),
        ];
        let plate = |(kind, thickness): (PartKind, Length)| {
            let of = *wanted.sheet(kind)?;
            let [length, width] = [layout.plate.length, layout.plate.width].map(|l| l + of.kerf * 2.0);
            let has_room = |size: &[Length; 2]| size.iter().zip(room(of)).all(|(side, room)| *side <= room);
            let size = [[length, width], [width, length]].into_iter().find(has_room)?;
            let turned = size != [length, width];
            Some(Plate { position, kind, of, thickness, size, turned })
        };
        thick.into_iter().filter_map(plate).collect::<Vec<_>>()
    };
    built.iter().enumerate().flat_map(of_position).collect()
}

/// What of a sheet can be cut up.
fn room(sheet: CutSheet) -> [Length; 2] {
    [sheet.length, sheet.width].map(|side| side - sheet.spacing * 2.0)
}

fn one_kind(plates: &[Plate], of: CutSheet, thickness: Length, before: usize) -> Vec<Sheet> {
    let sizes: Vec<[Length; 2]> = plates.iter().map(|plate| plate.size).collect();
    let numbered = rows(&sizes, room(of), of.spacing).into_iter().zip(before + 1..);
    let sheet = |(places, number): (Vec<crate::plates::Place>, usize)| {
        let on_sheet = |place: &crate::plates::Place| {
            let Plate { position, kind, size, turned, .. } = plates[place.part];
            let middle = [0, 1].map(|axis| of.spacing + place.at[axis] + size[axis] / 2.0);
            OnSheet { position, kind, middle, turned }
        };
        Sheet { of, thickness, number, plates: places.iter().map(on_sheet).collect() }
    };
    numbered.map(sheet).collect()
}
