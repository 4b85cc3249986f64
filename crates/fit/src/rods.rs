//! Magnet rods in their holes.

use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::printer::profile::Made;
use bobbinwright_spec::{Estimate, Length, PartKind, SizeOf};

use crate::bench::{Bench, Draft, figure};
use crate::help::Help;
use crate::kind::{CheckKind, Where};

/// Play on the diameter above which a rod is no longer held straight by its plates (common
/// practice: a loose fit of printed parts begins at 0.3 to 0.5 mm).
const LOOSE: Length = Length::from_mm(0.5);

pub(crate) fn check(bench: &mut Bench) {
    let rod = bench.family.hardware.rod_diameter.clone();
    let count = bench.layout(PartKind::FlatworkBottom).poles.len();
    let rods = bench.pieces_alike(&rod, count);
    let plates = [PartKind::FlatworkBottom, PartKind::FlatworkTop];
    let holes = plates.map(|plate| bench.printed(plate, SizeOf::PoleHole));
    let widest = plates.map(|plate| bench.widest(plate, SizeOf::PoleHole));
    let mut figures = vec![figure("rod diameter", &rod)];
    let shown = if bench.is_separate() { &holes[..] } else { &holes[..1] };
    figures.extend(shown.iter().map(|hole| figure("pole hole", hole)));
    let plays = |holes: &[Estimate; 2], sign: f64, from: Length| {
        let play = move |hole: &Estimate, rod: &Estimate| {
            (hole.clone() - rod.clone()) * sign + Estimate::exact(from)
        };
        let of_rod = |rod| holes.iter().map(move |hole| (play(hole, rod), ()));
        rods.iter().flat_map(of_rod).collect::<Vec<_>>()
    };
    let mut through = plays(&holes, 1.0, Length::ZERO);
    let apart_by = apart(bench, PartKind::FlatworkBottom, PartKind::FlatworkTop);
    if apart_by > 0.0 {
        // An upright rod stands in both plates' holes.
        let apart = Estimate::exact(Length::from_mm(apart_by));
        let [one, other] = &holes;
        let both = (one.clone() + other.clone()) * 0.5 - apart;
        through.extend(rods.iter().map(|rod| (both.clone() - rod.clone(), ())));
    }
    let Some((play, (), others)) = bench.least_likely(through) else { return };
    bench.enter(Draft {
        kind: CheckKind::RodThroughFlatwork,
        at: Where::Alike,
        title: format!("Magnet rods through the flatwork's pole holes, all {count}"),
        why: "The rods are too thick for the plates' holes.".into(),
        help: vec![Help::Dimension("flatwork.pole_hole")],
        margin: play,
        others,
        figures: figures.clone(),
    });
    let Some((held, (), others)) = bench.least_likely(plays(&widest, -1.0, LOOSE)) else { return };
    bench.enter(Draft {
        kind: CheckKind::RodHeld,
        at: Where::Alike,
        title: format!("Magnet rods held straight by the flatwork, all {count}"),
        why: "The rods will lean.".into(),
        help: vec![Help::Dimension("flatwork.pole_hole")],
        margin: held,
        others,
        figures,
    });
    through_roof(bench, &rod, &rods);
}

/// All rods through a cover that lets them stand out.
fn through_roof(bench: &mut Bench, rod: &Estimate, rods: &[Estimate]) {
    if bench.layout(PartKind::Cover).wanted.cover.pole_hole.is_none() {
        return;
    }
    let hole = bench.printed(PartKind::Cover, SizeOf::PoleHole);
    // Plates and roof are printed apart: their holes may be off against each other either way.
    let off = off_each_other(bench);
    let apart = Estimate::exact(Length::from_mm(apart(bench, PartKind::FlatworkTop, PartKind::Cover)));
    let sides = rods.iter().flat_map(|rod| {
        let play = hole.clone() - rod.clone() - apart.clone();
        let (near, far) = Bench::either_side(&play, &off);
        [(near, ()), (far, ())]
    });
    let Some((margin, (), others)) = bench.least_likely(sides) else { return };
    bench.enter(Draft {
        kind: CheckKind::RodThroughRoof,
        at: Where::Alike,
        title: format!("Magnet rods through the roof, all {}", rods.len()),
        why: "The rods are too thick for the roof's holes.".into(),
        help: vec![Help::Dimension("cover.pole_hole")],
        figures: vec![figure("rod diameter", rod), figure("hole in the roof", &hole)],
        margin,
        others,
    });
}

/// How far holes for the same rod were drawn apart in two parts, mm, where that is furthest: nothing in parts
/// of one build. A rod for which the other part has no hole is as far from the next.
fn apart(bench: &Bench, from: PartKind, to: PartKind) -> f64 {
    let (from, to) = (&bench.layout(from).poles, &bench.layout(to).poles);
    let nearest = |p: &Point| to.iter().map(|q| (p - q).norm()).fold(f64::INFINITY, f64::min);
    from.iter().map(nearest).fold(0.0, f64::max)
}

/// How far the outermost holes of roof and plates are off each other: half the difference of their
/// spans, or a printed size's error where the spans can't be read yet.
fn off_each_other(bench: &mut Bench) -> Estimate {
    if !bench.is_separate() {
        return bench.unread(PartKind::Cover, Length::ZERO, Made::Depth);
    }
    let roof = bench.error(PartKind::Cover, SizeOf::PoleSpan);
    (roof - bench.error(PartKind::FlatworkTop, SizeOf::PoleSpan)) * 0.5
}
