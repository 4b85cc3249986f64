//! Where columns meet overhanging surface.

use super::columns::{Columns, Hit};
use super::surface::{Lie, Surface};

/// Overhanging surface in one column.
#[derive(Clone, Copy, Debug)]
pub(super) struct Underside {
    pub(super) cell: u32,
    /// Which of the hits it is.
    pub(super) hit: u32,
    /// It spans freely.
    pub(super) bridged: bool,
}

/// All overhanging surface, by cell and from below.
#[derive(Debug, Default)]
pub(super) struct Undersides {
    pub(super) slopes: Vec<Underside>,
    pub(super) flats: Vec<Underside>,
    /// Overhanging surface inside the part, which is made of several bodies: held by them.
    pub(super) inside: Vec<Hit>,
}

impl Undersides {
    pub(super) fn find(columns: &Columns, surface: &Surface) -> Undersides {
        let lie = |hit: &Hit| surface.facets[hit.triangle as usize].lie;
        let overhangs = |hit: &&Hit| matches!(lie(hit), Lie::Slope | Lie::Flat);
        let mut found = Undersides {
            inside: columns.hidden.iter().filter(overhangs).copied().collect(),
            ..Undersides::default()
        };
        for cell in 0..columns.grid.cells() {
            let mut hit = columns.first(cell);
            for [enter, _] in columns.spans(cell) {
                let underside = Underside { cell: cell as u32, hit, bridged: false };
                match lie(enter) {
                    Lie::Slope => found.slopes.push(underside),
                    Lie::Flat => found.flats.push(underside),
                    _ => {}
                }
                hit += 2;
            }
        }
        found
    }
}
