//! Mounting screws: do they reach the body's holes, does the head sit, does it hold.

use bobbinwright_spec::{Estimate, Length, PartKind, ScrewAt, SizeOf, sentence};

use crate::Figure;

use crate::bench::{Bench, Draft, figure};
use crate::help::{Bought, Help};
use crate::kind::{CheckKind, Where};
use crate::pose::{self, Pose};

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
    let plays = plays(bench, kind);
    let pose = pose::over_screws(bench, kind, &plays);
    let Some((margin, _, others)) = bench.least_likely_of(&pose) else { return };
    let made = bench.layout(kind).two_screws().map(|_| bench.printed(kind, SizeOf::ScrewPitch));
    let of =
        if kind == PartKind::Cover { CheckKind::CoverScrewHoles } else { CheckKind::BaseplateScrewHoles };
    let mut figures = Vec::new();
    if let [Some(read), Some(made)] = [bench.position.rout.screw_pitch.clone(), made] {
        figures.push(figure("screw pitch in the body", &read));
        figures.push(figure(format!("screw pitch of the {part}"), &made));
    }
    figures.extend([figure("screw hole", &hole), figure("screw", &screw)]);
    figures.extend(where_screws_are(bench));
    figures.extend(play_in_rout(bench, kind));
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
    bench.enter_posed(draft, pose);
}

/// Where a part must be for its screws to go down: through its holes, and with their heads into its recesses.
pub(crate) fn places(bench: &mut Bench, part: PartKind) -> Vec<Pose> {
    let through = plays(bench, part);
    let mut poses = vec![pose::over_screws(bench, part, &through)];
    if part == PartKind::Cover {
        if bench.layout(part).boss.is_some() {
            let round_heads = round_heads(bench);
            poses.push(pose::over_screws(bench, part, &round_heads));
        }
        if bench.layout(part).ears.is_some() {
            let head = bench.family.hardware.screw_head.clone();
            let heads = each(bench, &head);
            poses.push(pose::heads_beside_body(bench, &through, &heads).0);
        }
    }
    poses
}

/// What is left round each head in its recess.
fn round_heads(bench: &mut Bench) -> Vec<Estimate> {
    let head = bench.family.hardware.screw_head.clone();
    let wide = bench.printed(PartKind::Cover, SizeOf::Recess);
    each(bench, &head).into_iter().map(|head| (wide.clone() - head) * 0.5).collect()
}

/// The head in its recess, or on its ear. The screw stands in the body's hole, recess and ear are the
/// cover's: what the cover can't be moved to comes in between.
fn head(bench: &mut Bench) {
    let head = bench.family.hardware.screw_head.clone();
    let high = bench.family.hardware.screw_head_height.clone();
    if bench.layout(PartKind::Cover).boss.is_some() {
        let wide = bench.printed(PartKind::Cover, SizeOf::Recess);
        let deep = bench.printed(PartKind::Cover, SizeOf::RecessDepth);
        let plays = round_heads(bench);
        let pose = pose::over_screws(bench, PartKind::Cover, &plays);
        let Some((margin, _, others)) = bench.least_likely_of(&pose) else { return };
        let draft = Draft {
            kind: CheckKind::HeadInRecess,
            at: Where::Alike,
            title: "Screw heads in their recesses, all round".into(),
            why: "The heads may not find room in their recesses.".into(),
            help: vec![Help::Dimension("cover.mounting.recess_diameter"), Help::Bought(Bought::ScrewHead)],
            figures: vec![figure("screw head", &head), figure("recess", &wide)],
            margin,
            others,
        };
        bench.enter_posed(draft, pose);
        let margins: Vec<(Estimate, ())> =
            each(bench, &high).into_iter().map(|high| (deep.clone() - high, ())).collect();
        let Some((margin, (), others)) = bench.least_likely(margins) else { return };
        bench.enter(Draft {
            kind: CheckKind::HeadSunk,
            at: Where::Alike,
            title: "Screw heads below the cover's top".into(),
            why: "The heads stand out of their recesses.".into(),
            help: vec![Help::Dimension("cover.mounting.recess_depth"), Help::Bought(Bought::ScrewHeadHeight)],
            figures: vec![figure("head height", &high), figure("recess depth", &deep)],
            margin,
            others,
        });
    }
    if bench.layout(PartKind::Cover).ears.is_some() {
        head_on_ear(bench);
    }
}

/// The head beside the cover's body: the screw stands where the body has it, and the cover goes as far after it as rout,
/// recesses and screw holes let it.
fn head_on_ear(bench: &mut Bench) {
    let head = bench.family.hardware.screw_head.clone();
    let plays = plays(bench, PartKind::Cover);
    let heads = each(bench, &head);
    let on_ends = bench.layout(PartKind::Cover).tabs.iter().all(|tab| tab.side.is_end());
    let side = if on_ends { SizeOf::Length } else { SizeOf::Width };
    let body_end = bench.printed(PartKind::Cover, side) * 0.5;
    let (pose, screw_x) = pose::heads_beside_body(bench, &plays, &heads);
    let Some((margin, _, others)) = bench.least_likely_of(&pose) else { return };
    let draft = Draft {
        kind: CheckKind::HeadOnEar,
        at: Where::Alike,
        title: "Screw heads on their ears, beside the cover's body".into(),
        why: "The heads meet the cover's wall, or the walls of their recesses.".into(),
        help: vec![Help::Dimension("cover.fit_gap"), Help::Bought(Bought::ScrewHead)],
        figures: vec![
            figure("screw from the middle", &screw_x),
            figure("end of the body from the middle", &body_end),
            figure("screw head", &head),
        ],
        margin,
        others,
    };
    bench.enter_posed(draft, pose);
}

/// Where the screws stand in the body.
fn where_screws_are(bench: &Bench) -> Vec<Figure> {
    let name = |n: usize| bench.position.rout.screw_name(n);
    let of = |(n, screw): (usize, &ScrewAt)| {
        let screw_at = |what: &str, at: &Estimate| figure(format!("{} {what}", name(n)), at);
        [
            screw_at("from the middle between the ends, towards treble", &screw.along),
            screw_at("off the middle line, towards the neck", &screw.across),
        ]
    };
    bench.position.rout.screws.iter().enumerate().flat_map(of).collect()
}

/// How far a part can be moved in the rout either way.
fn play_in_rout(bench: &mut Bench, kind: PartKind) -> [Figure; 2] {
    let rout = bench.position.rout.clone();
    let (length, width) = (bench.printed(kind, SizeOf::Length), bench.printed(kind, SizeOf::Width));
    [
        figure("play at the ends", &((rout.length - length) * 0.5)),
        figure("play at the long sides", &((rout.width - width) * 0.5)),
    ]
}

/// A head that its hole lets through holds nothing; nor does one that bears on a hair.
fn bearing(bench: &mut Bench) {
    let hole = bench.widest(PartKind::Cover, SizeOf::ScrewHole);
    let head = bench.family.hardware.screw_head.clone();
    let on = if bench.layout(PartKind::Cover).boss.is_some() { "floors of their recesses" } else { "ears" };
    let bears = |head: Estimate| ((head - hole.clone()) * 0.5 - Estimate::exact(BEARING), ());
    let margins: Vec<(Estimate, ())> = each(bench, &head).into_iter().map(bears).collect();
    let Some((margin, (), others)) = bench.least_likely(margins) else { return };
    bench.enter(Draft {
        kind: CheckKind::HeadOverHole,
        at: Where::Alike,
        title: format!("Screw heads bear on the {on} all round their holes"),
        why: "The heads are hardly wider than their holes.".into(),
        help: vec![Help::Dimension("cover.screw_hole"), Help::Bought(Bought::ScrewHead)],
        figures: vec![
            figure("screw head", &head),
            figure("screw hole", &hole),
            figure("to bear on all round", &BEARING.into()),
        ],
        margin,
        others,
    });
}

/// What is left round each screw in the cover's holes, a half of it on either side.
pub(crate) fn plays(bench: &mut Bench, part: PartKind) -> Vec<Estimate> {
    let hole = bench.printed(part, SizeOf::ScrewHole);
    let screw = bench.family.hardware.screw_diameter.clone();
    each(bench, &screw).into_iter().map(|screw| (hole.clone() - screw) * 0.5).collect()
}

/// What is known of one, for each of the mounting screws.
fn each(bench: &mut Bench, one: &Estimate) -> Vec<Estimate> {
    let count = bench.position.rout.screws.len();
    bench.pieces_alike(one, count)
}
