//! What a part's ears must keep to in their recesses.

use bobbinwright_geometry::parts::Tab;
use bobbinwright_spec::{EarAt, EarRecess, Estimate, Length, PartKind, Rout, Side, SizeOf};

use super::Condition;
use crate::bench::Bench;
use crate::kind::Where;

/// The direction in which a side of the rout faces, treble and neck positive.
pub(crate) fn outwards(side: Side) -> [f64; 2] {
    match side {
        Side::Treble => [1.0, 0.0],
        Side::Bass => [-1.0, 0.0],
        Side::Neck => [0.0, 1.0],
        Side::Bridge => [0.0, -1.0],
    }
}

/// An ear as it is printed.
struct Ear<'t> {
    tab: &'t Tab,
    /// Its end from the body's middle.
    reach: Estimate,
    /// Along the side.
    width: &'t Estimate,
    radius: Length,
    /// The body's side from its middle, mm.
    root: f64,
}

/// The ears of a part against their recesses; nothing where either has none.
pub(crate) fn ears(bench: &mut Bench, part: PartKind) -> Vec<(Condition, Where)> {
    let (layout, rout) = (bench.layout(part), &bench.position.rout);
    let (Some(shape), Some(recess)) = (layout.ears, &rout.ears) else { return Vec::new() };
    let width = bench.printed(part, SizeOf::EarWidth);
    let mut all = Vec::new();
    for tab in &layout.tabs {
        let along = tab.side.is_end();
        let (size, body) =
            if along { (SizeOf::Length, layout.length) } else { (SizeOf::Width, layout.width) };
        let both_ends = layout.ear_to_ear().filter(|_| along).map(|_| SizeOf::EarToEar);
        let error = bench.error(part, both_ends.unwrap_or(size)) * 0.5;
        let reach = Estimate::exact(tab.reach) + error;
        let root = body.as_mm() / 2.0;
        let ear = Ear { tab, reach, width: &width, radius: shape.corner_radius, root };
        let off = |at: &&EarAt| (at.offset.value() - tab.offset).abs().as_mm();
        let same_side = recess.at.iter().filter(|at| at.side == tab.side);
        match same_side.min_by(|a, b| off(a).total_cmp(&off(b))) {
            Some(at) => all.extend(conditions(&ear, rout, recess, at)),
            // The ear of another build, beside which this body has its wall.
            None => all.extend(against_wall(&ear, rout)),
        }
    }
    all
}

/// An ear where there is no recess.
fn against_wall(ear: &Ear, rout: &Rout) -> Vec<(Condition, Where)> {
    let (towards, middle) = (outwards(ear.tab.side), ear.tab.offset.as_mm());
    let rooms = edge(rout, ear.tab.side, middle).into_iter().map(|edge| edge - ear.reach.clone());
    let point = towards.map(|out| out * ear.tab.reach.as_mm());
    rooms.map(|room| (Condition::Side { point, towards, room }, Where::Ends)).collect()
}

/// One ear in its recess: its end, both flanks at tip and root, and both of its corners.
fn conditions(ear: &Ear, rout: &Rout, recess: &EarRecess, at: &EarAt) -> Vec<(Condition, Where)> {
    let out = outwards(at.side);
    // Along the side, towards treble or the neck.
    let side = if at.side.is_end() { [0.0, 1.0] } else { [1.0, 0.0] };
    let place = |outside: f64, along: f64| [0, 1].map(|i| out[i] * outside + side[i] * along);
    let [tip, middle, half, radius] =
        [ear.tab.reach, ear.tab.offset, ear.tab.width / 2.0, ear.radius].map(Length::as_mm);
    let mut all = Vec::new();
    let ends = |along: f64| {
        let reaches = edge(rout, at.side, along).into_iter();
        reaches.map(|edge| edge + recess.length.clone() - ear.reach.clone()).collect::<Vec<_>>()
    };
    let flank = |sign: f64| {
        (at.offset.clone() - Estimate::exact(ear.tab.offset)) * sign
            + (recess.width.clone() - ear.width.clone()) * 0.5
    };
    let arcs = recess.corner_radius.clone() - Estimate::exact(ear.radius);
    // A rounder corner than the outer one is beside it wherever the sides are.
    let has_corners = arcs.value().as_mm() + 4.0 * arcs.uncertainty().as_mm() > 0.0;
    for sign in [1.0, -1.0] {
        let beside = middle + sign * (half - radius);
        for room in ends(beside) {
            all.push((Condition::Side { point: place(tip, beside), towards: out, room }, Where::Ends));
        }
        let towards = side.map(|s| s * sign);
        for outside in [tip - radius, ear.root] {
            let point = place(outside, middle + sign * half);
            all.push((Condition::Side { point, towards, room: flank(sign) }, Where::Sides));
        }
        let nearest = ends(beside).into_iter().min_by(|a, b| a.value().as_mm().total_cmp(&b.value().as_mm()));
        if let (Some(end), true) = (nearest, has_corners) {
            // Each centre lies a radius inwards.
            let [end, flank] = [end, flank(sign)].map(|play| arcs.clone() - play);
            let off = [0, 1].map(|i| end.clone() * out[i] + flank.clone() * (side[i] * sign));
            let corner = Some([0, 1].map(|i| out[i] + side[i] * sign));
            let point = place(tip - radius, beside);
            all.push((Condition::Round { point, off, room: arcs.clone(), corner }, Where::Corners));
        }
    }
    all
}

/// The rout's side from its middle, at a place along it; where it leans, at the top edge and at the floor.
fn edge(rout: &Rout, side: Side, along: f64) -> Vec<Estimate> {
    let [length, width] = [&rout.length, &rout.width].map(|size| size.value().as_mm());
    let (of, size) = match side {
        Side::Treble => (&rout.sides.treble, width),
        Side::Bass => (&rout.sides.bass, width),
        Side::Neck => (&rout.sides.neck, length),
        Side::Bridge => (&rout.sides.bridge, length),
    };
    of.reaches(2.0 * along / size)
}
