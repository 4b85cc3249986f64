//! What a cutter can make of a sheet: holes that stay open, and plates that there is room for.

use bobbinwright_geometry::parts::PartKind;
use bobbinwright_spec::{CutSheet, Estimate, Length, sentence};

use crate::bench::{Bench, Draft, figure};
use crate::help::Help;
use crate::kind::{CheckKind, Where};
use crate::print::in_plates;

pub(crate) fn check(bench: &mut Bench) {
    if let Some(sheet) = bench.position.wanted.flatwork.sheet {
        holes(bench, &sheet);
        plates(bench, &sheet);
    }
}

/// Wanted holes against the least that can be cut. Both are wishes, so the margin is exact.
fn holes(bench: &mut Bench, sheet: &CutSheet) {
    let [pole, eyelet] = in_plates(&bench.position.wanted.flatwork);
    let (size, what, parameter) = if pole.0 <= eyelet.0 { pole } else { eyelet };
    let least = sheet.least_hole;
    bench.enter(Draft {
        kind: CheckKind::HolesCut,
        at: Where::Dimension(parameter),
        title: format!("Smallest hole that is cut: {what}"),
        margin: Estimate::exact(size - least),
        others: Vec::new(),
        figures: vec![figure(what, &size.into()), figure("least hole", &least.into())],
        why: sentence!("The cutter makes holes from {}.", least),
        help: vec![Help::Dimension(parameter)],
    });
}

/// One plate on its sheet, along it or across.
fn plates(bench: &mut Bench, sheet: &CutSheet) {
    let plate = bench.layout(PartKind::FlatworkBottom).plate;
    // The cut runs beside the plate, and then there is some sheet left.
    let beside = (sheet.kerf + sheet.spacing) * 2.0;
    let room =
        |length: Length, width: Length| (sheet.length - beside - length).min(sheet.width - beside - width);
    let margin = room(plate.length, plate.width).max(room(plate.width, plate.length));
    bench.enter(Draft {
        kind: CheckKind::PlateOnSheet,
        at: Where::Alike,
        title: "Flatwork on its sheet".into(),
        margin: Estimate::exact(margin),
        others: Vec::new(),
        figures: vec![
            figure("plate's length", &plate.length.into()),
            figure("plate's width", &plate.width.into()),
            figure("sheet's length", &sheet.length.into()),
            figure("sheet's width", &sheet.width.into()),
        ],
        why: sentence!(
            "With the cut and {} of sheet round it, a plate is too large by {}.",
            sheet.spacing,
            -margin
        ),
        help: vec![
            Help::Dimension("flatwork.sheet.length"),
            Help::Dimension("flatwork.sheet.width"),
            Help::Dimension("flatwork.length"),
        ],
    });
}
