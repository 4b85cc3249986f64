//! What the printer can make: walls, holes, and whether a part fits the bed.

use bobbinwright_elementary::Elementary;
use bobbinwright_geometry::parts::PartKind;
use bobbinwright_spec::{BedSide, Estimate, Flatwork, Length, sentence};

use crate::bench::{Bench, Draft, figure};
use crate::help::Help;
use crate::kind::{CheckKind, Where};

pub(crate) fn check(bench: &mut Bench) {
    walls(bench);
    holes(bench);
    bed(bench);
}

/// Wanted thicknesses against the least wall. Both are wishes, so the margin is exact.
fn walls(bench: &mut Bench) {
    let w = &bench.position.wanted;
    let layout = bench.layout(PartKind::Cover);
    // As they come off the printer.
    let coat = layout.coat(PartKind::Cover);
    let mut all: Vec<(Length, &'static str, &'static str)> = vec![
        (w.cover.wall - coat, "the cover's wall", "cover.wall"),
        (w.cover.roof - coat, "the cover's roof", "cover.roof"),
        (w.baseplate.thickness, "the baseplate", "baseplate.thickness"),
    ];
    if w.flatwork.sheet.is_none() {
        all.push((w.flatwork.bottom, "the bottom flatwork", "flatwork.bottom"));
        all.push((w.flatwork.top, "the top flatwork", "flatwork.top"));
    }
    if let Some(lip) = w.baseplate.lip {
        all.push((lip.wall, "the lip", "baseplate.lip.wall"));
    }
    if let Some(ear) = layout.ears {
        all.push((ear.thickness - coat, "an ear", "cover.mounting.thickness"));
    }
    if let Some(boss) = layout.boss {
        all.push((
            w.cover.height - boss.recess_depth,
            "what is under a screw's head",
            "cover.mounting.recess_depth",
        ));
    }
    all.extend(
        under_rounding(bench)
            .map(|left| (left - coat, "what the rounding leaves over the hollow", "cover.rounding")),
    );
    let least = bench.family.printer.least_wall;
    let Some((size, what, parameter)) = all.into_iter().min_by(|a, b| a.0.as_mm().total_cmp(&b.0.as_mm()))
    else {
        return;
    };
    let margin = Estimate::exact(size - least);
    bench.enter(Draft {
        kind: CheckKind::WallsPrintable,
        at: Where::Dimension(parameter),
        title: format!("Thinnest wall: {what}"),
        why: sentence!("The printer makes walls from {}.", least),
        help: vec![Help::Dimension(parameter)],
        figures: vec![figure(what, &size.into()), figure("least wall", &least.into())],
        margin,
        others: Vec::new(),
    });
}

/// What is left between the rounding and the hollow's upper edge, when the rounding reaches further
/// in than the wall is thick and further down than the roof: the edge's distance from the
/// quarter-round's centre, taken from its radius.
fn under_rounding(bench: &Bench) -> Option<Length> {
    let cover = &bench.position.wanted.cover;
    let (across, down) = (cover.rounding - cover.wall, cover.rounding - cover.roof);
    let deep = across > Length::ZERO && down > Length::ZERO;
    deep.then(|| cover.rounding - Length::from_mm(across.as_mm().hypotenuse(down.as_mm())))
}

/// Wanted holes against the least hole.
fn holes(bench: &mut Bench) {
    let w = &bench.position.wanted;
    let mut all: Vec<(Length, &'static str, &'static str)> =
        vec![(w.cover.screw_hole, "screw hole", "cover.screw_hole")];
    if w.flatwork.sheet.is_none() {
        all.extend(in_plates(&w.flatwork));
    }
    all.extend(w.cover.pole_hole.map(|size| (size, "hole in the roof", "cover.pole_hole")));
    let least = bench.family.printer.least_hole;
    let Some((size, what, parameter)) = all.into_iter().min_by(|a, b| a.0.as_mm().total_cmp(&b.0.as_mm()))
    else {
        return;
    };
    bench.enter(Draft {
        kind: CheckKind::HolesPrintable,
        at: Where::Dimension(parameter),
        title: format!("Smallest hole: {what}"),
        margin: Estimate::exact(size - least),
        others: Vec::new(),
        figures: vec![figure(what, &size.into()), figure("least hole", &least.into())],
        why: sentence!("The printer makes holes from {}.", least),
        help: vec![Help::Dimension(parameter)],
    });
}

/// The flatwork's holes.
pub(crate) fn in_plates(flatwork: &Flatwork) -> [(Length, &'static str, &'static str); 2] {
    [
        (flatwork.pole_hole, "pole hole", "flatwork.pole_hole"),
        (flatwork.eyelet_hole, "eyelet hole", "flatwork.eyelets.hole"),
    ]
}

/// Every printed part on the bed, on the side that is stated or on any that helps, turned by a quarter too.
fn bed(bench: &mut Bench) {
    let [x, y, z] = bench.family.printer.bed;
    let mut all = Vec::new();
    for kind in PartKind::ALL {
        if bench.layout(kind).wanted.sheet(kind).is_some() {
            continue;
        }
        let Some(part) = bench.part(kind) else { continue };
        let outline = part.stack.features.iter().filter(|f| f.kind == bobbinwright_kernel::Kind::Add);
        let Some(bounds) =
            outline.map(|f| f.contour.bounds()).reduce(bobbinwright_kernel::plane::Bounds::union)
        else {
            continue;
        };
        let size = bounds.max - bounds.min;
        let (l, w) = (Length::from_mm(size.x), Length::from_mm(size.y));
        let height = Length::from_mm(part.stack.height());
        let lying = |side: BedSide| match side {
            BedSide::Underside | BedSide::Top => [l, w, height],
            BedSide::Bass | BedSide::Treble => [height, w, l],
            BedSide::Neck | BedSide::Bridge => [l, height, w],
        };
        let room = |[l, w, h]: [Length; 3]| {
            let (straight, turned) = ((x - l).min(y - w), (x - w).min(y - l));
            straight.max(turned).min(z - h)
        };
        let flat = room(lying(BedSide::Underside));
        let any = || BedSide::ALL.iter().map(|(_, side)| room(lying(*side))).fold(flat, Length::max);
        let stated = bench.position.wanted.on_bed.of(kind).map(|side| room(lying(side)));
        // The way it is drawn is the one to speak of, unless only another helps.
        let best = stated.unwrap_or_else(|| if flat < Length::ZERO { any() } else { flat });
        all.push((best, kind));
    }
    let Some((margin, kind)) = all.into_iter().min_by(|a, b| a.0.as_mm().total_cmp(&b.0.as_mm())) else {
        return;
    };
    bench.enter(Draft {
        kind: CheckKind::PartOnBed,
        at: Where::Alike,
        title: format!("Largest part on the printer's bed: {}", kind.name()),
        margin: Estimate::exact(margin),
        others: Vec::new(),
        figures: vec![
            figure("bed length", &x.into()),
            figure("bed width", &y.into()),
            figure("bed height", &z.into()),
        ],
        why: sentence!("The {} is larger than the printer's bed by {}.", kind.name(), -margin),
        help: vec![Help::LargerBed],
    });
}
