//! Mounting screws: do they reach the body's holes, does the head sit, does it hold.

use bobbinwright_spec::{Estimate, Length, PartKind, SizeOf, sentence};

use crate::bench::{Bench, Draft, figure};
use crate::help::{Bought, Help};
use crate::kind::{CheckKind, Where};
use crate::seating::Seating;

/// How far a head must bear beside its hole all round (common practice: a quarter of a millimetre of plastic).
const BEARING: Length = Length::from_mm(0.25);

pub(crate) fn check(bench: &mut Bench) {
    for part in [PartKind::Cover, PartKind::Baseplate] {
        pitch(bench, part);
    }
    head(bench);
    bearing(bench);
}

/// A screw stands upright in the body's hole and must pass the part's, wherever the part can be moved to.
fn pitch(bench: &mut Bench, kind: PartKind) {
    let part = kind.name();
    let hole = bench.printed(kind, SizeOf::ScrewHole);
    let screw = bench.family.hardware.screw_diameter.clone();
    let play = (hole.clone() - screw.clone()) * 0.5;
    let seating = Seating::of(bench, kind);
    let margins = seating.margins(&play).into_iter().map(|m| (m, ()));
    let Some((margin, (), others)) = bench.least_likely(margins) else { return };
    let of =
        if kind == PartKind::Cover { CheckKind::CoverScrewHoles } else { CheckKind::BaseplateScrewHoles };
    let mut figures = vec![
        figure("screw pitch in the body", &bench.position.rout.screw_pitch),
        figure(format!("screw pitch of the {part}"), &seating.made),
        figure("screw hole", &hole),
        figure("screw", &screw),
    ];
    figures.extend(seating.figures());
    let draft = Draft {
        kind: of,
        at: Where::Alike,
        title: format!("Screw holes of the {part} over those in the body"),
        why: sentence!("The screws may not reach the body's holes through the {}.", part),
        help: vec![Help::Dimension("cover.screw_hole")],
        figures,
        margin,
        others,
    };
    bench.enter_drawn(draft, || seating.chance(&play));
}

/// The head in its recess, or on its ear. The screw stands in the body's hole, recess and ear are the
/// cover's: what the cover can't be moved to comes in between.
fn head(bench: &mut Bench) {
    let head = bench.family.hardware.screw_head.clone();
    let high = bench.family.hardware.screw_head_height.clone();
    if bench.layout(PartKind::Cover).boss.is_some() {
        let wide = bench.printed(PartKind::Cover, SizeOf::Recess);
        let deep = bench.printed(PartKind::Cover, SizeOf::RecessDepth);
        let play = (wide.clone() - head.clone()) * 0.5;
        let seating = Seating::of(bench, PartKind::Cover);
        let margins = seating.margins(&play).into_iter().map(|m| (m, ()));
        let Some((margin, (), others)) = bench.least_likely(margins) else { return };
        let draft = Draft {
            kind: CheckKind::HeadInRecess,
            at: Where::Alike,
            title: "Screw head in its recess, all round".into(),
            why: "The head may not find room in its recess.".into(),
            help: vec![Help::Dimension("cover.mounting.recess_diameter"), Help::Bought(Bought::ScrewHead)],
            figures: vec![figure("screw head", &head), figure("recess", &wide)],
            margin,
            others,
        };
        bench.enter_drawn(draft, || seating.chance(&play));
        let margin = deep.clone() - high.clone();
        bench.enter(Draft {
            kind: CheckKind::HeadSunk,
            at: Where::Alike,
            title: "Screw head below the cover's top".into(),
            why: "The head stands out of its recess.".into(),
            help: vec![Help::Dimension("cover.mounting.recess_depth"), Help::Bought(Bought::ScrewHeadHeight)],
            figures: vec![figure("head height", &high), figure("recess depth", &deep)],
            margin,
            others: Vec::new(),
        });
    }
    if bench.layout(PartKind::Cover).ears.is_some() {
        head_on_ear(bench);
    }
}

/// The head beside the cover's body: at either end the screw may stand nearer to it by half the difference of the
/// pitches, and by what the cover can't be moved after the screws.
fn head_on_ear(bench: &mut Bench) {
    let seating = Seating::of(bench, PartKind::Cover);
    let head = bench.family.hardware.screw_head.clone();
    let body_end = bench.printed(PartKind::Cover, SizeOf::Length) * 0.5;
    let screw_x = seating.made.clone() * 0.5;
    let play = screw_x.clone() - head.clone() * 0.5 - body_end.clone();
    let margins = seating.along_margins(&play).into_iter().map(|m| (m, ()));
    let Some((margin, (), others)) = bench.least_likely(margins) else { return };
    bench.enter(Draft {
        kind: CheckKind::HeadOnEar,
        at: Where::Alike,
        title: "Screw head on its ear, beside the cover's body".into(),
        why: "The head meets the cover's wall.".into(),
        help: vec![Help::Dimension("cover.fit_gap"), Help::Bought(Bought::ScrewHead)],
        figures: vec![
            figure("screw from the middle", &screw_x),
            figure("end of the body from the middle", &body_end),
            figure("screw head", &head),
        ],
        margin,
        others,
    });
}

/// A head that its hole lets through holds nothing; nor does one that bears on a hair.
fn bearing(bench: &mut Bench) {
    let hole = bench.printed(PartKind::Cover, SizeOf::ScrewHole);
    let head = bench.family.hardware.screw_head.clone();
    let on = if bench.layout(PartKind::Cover).boss.is_some() { "floor of its recess" } else { "ear" };
    let margin = (head.clone() - hole.clone()) * 0.5 - Estimate::exact(BEARING);
    bench.enter(Draft {
        kind: CheckKind::HeadOverHole,
        at: Where::Alike,
        title: format!("Screw head bears on the {on} all round its hole"),
        why: "The head is hardly wider than its hole.".into(),
        help: vec![Help::Dimension("cover.screw_hole"), Help::Bought(Bought::ScrewHead)],
        figures: vec![
            figure("screw head", &head),
            figure("screw hole", &hole),
            figure("to bear on all round", &BEARING.into()),
        ],
        margin,
        others: Vec::new(),
    });
}
