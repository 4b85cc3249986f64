//! Magnet rods in their holes.

use bobbinwright_spec::{Estimate, Length};

use crate::bench::{Bench, Draft, figure};

/// Play on the diameter above which a rod is no longer held straight by its plates (common
/// practice: a loose fit of printed parts begins at 0.3 to 0.5 mm).
const LOOSE: Length = Length::from_mm(0.5);

pub(crate) fn check(bench: &mut Bench) {
    let rod = bench.family.hardware.rod_diameter.clone();
    let hole = bench.printed(bench.layout.wanted.flatwork.pole_hole);
    let play = hole.clone() - rod.clone();
    let figures = vec![figure("rod diameter", &rod), figure("pole hole", &hole)];
    bench.enter(Draft {
        name: "rod-through-flatwork",
        title: "Magnet rod through the flatwork's pole hole".into(),
        margin: play.clone(),
        others: Vec::new(),
        figures: figures.clone(),
        advice: format!("Make flatwork.pole_hole larger by {}.", bench.short(&play, &[])),
        parameter: Some("flatwork.pole_hole"),
    });
    let held = Estimate::exact(LOOSE) - play;
    bench.enter(Draft {
        name: "rod-held",
        title: "Magnet rod held straight by the flatwork".into(),
        advice: format!(
            "The rods will lean: make flatwork.pole_hole smaller by {}.",
            bench.short(&held, &[])
        ),
        margin: held,
        others: Vec::new(),
        figures,
        parameter: Some("flatwork.pole_hole"),
    });
    if let Some(size) = bench.layout.wanted.cover.pole_hole {
        let hole = bench.printed(size);
        // Plates and roof are printed apart: their holes may be off against each other either way.
        let off = bench.printed(Length::ZERO);
        let play = hole.clone() - rod.clone();
        let (margin, far) = Bench::either_side(&play, &off);
        let others = vec![far];
        bench.enter(Draft {
            name: "rod-through-roof",
            title: "Magnet rod through the roof".into(),
            advice: format!("Make cover.pole_hole larger by {}.", bench.short(&margin, &others)),
            figures: vec![figure("rod diameter", &rod), figure("hole in the roof", &hole)],
            margin,
            others,
            parameter: Some("cover.pole_hole"),
        });
    }
}
