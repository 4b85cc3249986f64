//! Mounting screws: do they reach the body's holes, does the head sit.

use bobbinwright_spec::{PartKind, SizeOf};

use crate::bench::{Bench, Draft, figure};

pub(crate) fn check(bench: &mut Bench) {
    for part in [PartKind::Cover, PartKind::Baseplate] {
        pitch(bench, part);
    }
    head(bench);
}

/// A screw stands upright in the body's hole and must pass the part's: half the hole's play may be
/// used up by half the difference of the two pitches, on either side.
fn pitch(bench: &mut Bench, kind: PartKind) {
    let part = kind.name();
    let hole = bench.printed(kind, SizeOf::ScrewHole);
    let made = bench.printed(kind, SizeOf::ScrewPitch);
    let rout = &bench.position.rout;
    let screw = bench.family.hardware.screw_diameter.clone();
    let off = (rout.screw_pitch.clone() - made.clone()) * 0.5;
    let play = (hole.clone() - screw.clone()) * 0.5;
    let (margin, far) = Bench::either_side(&play, &off);
    let others = vec![far];
    let name = if kind == PartKind::Cover { "cover-screw-holes" } else { "baseplate-screw-holes" };
    bench.enter(Draft {
        name,
        title: format!("Screw holes of the {part} over those in the body"),
        advice: format!(
            "The screws may not reach the body's holes through the {part}: make cover.screw_hole larger by {}, or read the screw pitch again.",
            bench.short(&margin, &others) * 2.0
        ),
        figures: vec![
            figure("screw pitch in the body", &rout.screw_pitch),
            figure(format!("screw pitch of the {part}"), &made),
            figure("screw hole", &hole),
            figure("screw", &screw),
        ],
        margin,
        others,
        parameter: Some("cover.screw_hole"),
    });
}

/// The head in its recess, or on its ear. The screw stands in the body's hole, recess and ear are the
/// cover's: half the difference of the two pitches comes in between, on either side.
fn head(bench: &mut Bench) {
    let made = bench.printed(PartKind::Cover, SizeOf::ScrewPitch);
    let off = (bench.position.rout.screw_pitch.clone() - made.clone()) * 0.5;
    let head = bench.family.hardware.screw_head.clone();
    let high = bench.family.hardware.screw_head_height.clone();
    if bench.layout(PartKind::Cover).boss.is_some() {
        let wide = bench.printed(PartKind::Cover, SizeOf::Recess);
        let deep = bench.printed(PartKind::Cover, SizeOf::RecessDepth);
        let play = (wide.clone() - head.clone()) * 0.5;
        let (margin, far) = Bench::either_side(&play, &off);
        let others = vec![far];
        bench.enter(Draft {
            name: "head-in-recess",
            title: "Screw head in its recess, all round".into(),
            advice: format!(
                "Make cover.mounting.recess_diameter larger by {}.",
                bench.short(&margin, &others) * 2.0
            ),
            figures: vec![figure("screw head", &head), figure("recess", &wide)],
            margin,
            others,
            parameter: Some("cover.mounting.recess_diameter"),
        });
        let margin = deep.clone() - high.clone();
        bench.enter(Draft {
            name: "head-sunk",
            title: "Screw head below the cover's top".into(),
            advice: format!("Make cover.mounting.recess_depth larger by {}.", bench.short(&margin, &[])),
            figures: vec![figure("head height", &high), figure("recess depth", &deep)],
            margin,
            others: Vec::new(),
            parameter: Some("cover.mounting.recess_depth"),
        });
    }
    if let Some(ear) = bench.layout(PartKind::Cover).ears {
        let body_end = bench.printed(PartKind::Cover, SizeOf::Length) * 0.5;
        let screw_x = made * 0.5;
        let play = screw_x.clone() - head.clone() * 0.5 - body_end.clone();
        let (margin, far) = Bench::either_side(&play, &off);
        let others = vec![far];
        bench.enter(Draft {
            name: "head-on-ear",
            title: "Screw head on its ear, beside the cover's body".into(),
            advice: format!(
                "The head meets the cover's wall by {}: use a screw with a smaller head, or widen cover.fit_gap (ears of {}).",
                bench.short(&margin, &others),
                ear.length
            ),
            figures: vec![
                figure("screw from the middle", &screw_x),
                figure("end of the body from the middle", &body_end),
                figure("screw head", &head),
            ],
            margin,
            others,
            parameter: Some("cover.fit_gap"),
        });
    }
}
