//! What a part must keep to in the body.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::{Estimate, Length, PartKind, ScrewAt, SizeOf};

use super::{Condition, Pose};
use crate::bench::Bench;
use crate::kind::Where;

/// A rounded rectangle: length, width and corner radius.
type Rectangle<'e> = [&'e Estimate; 3];

/// Corners, as signs of x and y.
const CORNERS: [[f64; 2]; 4] = [[1.0, 1.0], [-1.0, 1.0], [1.0, -1.0], [-1.0, -1.0]];

/// A rounded rectangle in another, which have the same middle as long as the inner one is not moved: both ends of each
/// straight side against the side, and the arcs in the corners. An outline is inside another convex one if it reaches no
/// further in any direction; in a corner's quarter both reach as far as the arcs' centres and radii say.
fn nested(outer: Rectangle, inner: Rectangle) -> Vec<(Condition, Where)> {
    let half = |o: &Estimate, i: &Estimate| (o.clone() - i.clone()) * 0.5;
    let [ends, sides] = [half(outer[0], inner[0]), half(outer[1], inner[1])];
    let [length, width, radius] = inner.map(|e| e.value().as_mm());
    let (x, y) = (length / 2.0, width / 2.0);
    let mut all = Vec::new();
    for [u, v] in CORNERS {
        let at_end =
            Condition::Side { point: [u * x, v * (y - radius)], towards: [u, 0.0], room: ends.clone() };
        let at_side =
            Condition::Side { point: [u * (x - radius), v * y], towards: [0.0, v], room: sides.clone() };
        all.extend([(at_end, Where::Ends), (at_side, Where::Sides)]);
        let room = outer[2].clone() - inner[2].clone();
        // A rounder corner than the outer one is beside it wherever the sides are.
        if room.value().as_mm() + 4.0 * room.uncertainty().as_mm() > 0.0 {
            // Each centre lies a radius inwards.
            let off = [ends.clone() * -1.0, sides.clone() * -1.0].map(|play| play + room.clone());
            let [along, across] = off;
            let point = [u * (x - radius), v * (y - radius)];
            let off = [along * u, across * v];
            all.push((Condition::Round { point, off, room, corner: Some([u, v]) }, Where::Corners));
        }
    }
    all
}

/// The body of a part against the rout.
pub(crate) fn body(bench: &mut Bench, part: PartKind) -> Vec<(Condition, Where)> {
    let rout = bench.position.rout.clone();
    let (length, width) = (bench.printed(part, SizeOf::Length), bench.printed(part, SizeOf::Width));
    let radius = Estimate::exact(bench.layout(part).wanted.cover.corner_radius);
    nested([&rout.length, &rout.width, &rout.corner_radius], [&length, &width, &radius])
}

/// The ears of a part against their recesses; nothing where either has none.
pub(crate) fn ears(bench: &mut Bench, part: PartKind) -> Vec<(Condition, Where)> {
    let (Some(ear), Some(recess)) = (bench.layout(part).ears, bench.position.rout.ears.clone()) else {
        return Vec::new();
    };
    let reach = bench.printed(part, SizeOf::EarToEar);
    let width = bench.printed(part, SizeOf::EarWidth);
    let radius = Estimate::exact(ear.corner_radius);
    let hole = bench.position.rout.length.clone() + recess.length.clone() * 2.0;
    nested([&hole, &recess.width, &recess.corner_radius], [&reach, &width, &radius])
}

/// A hole of the part, and how far it is off the screw in the body as long as the part is not moved. All with treble
/// positive, so that both hands are judged alike.
struct OverScrew {
    /// The hole's centre, mm.
    point: [f64; 2],
    /// Along and across.
    off: [Estimate; 2],
}

/// The hole of a part that is nearest to each screw of the body. What the printer makes of the distance between holes
/// moves each by its share.
fn screws(bench: &mut Bench, part: PartKind) -> Vec<OverScrew> {
    let stretch = bench.error(part, SizeOf::ScrewPitch);
    let (layout, treble) = (bench.layout(part), bench.position.handed.treble());
    let pitch = layout.screw_pitch().as_mm();
    let holes: Vec<[f64; 2]> = layout.screws.iter().map(|hole| [hole.x * treble, hole.y]).collect();
    let over = |screw: &ScrewAt| {
        let [along, across] = [&screw.along, &screw.across].map(|e| e.value().as_mm());
        let far = |[x, y]: &[f64; 2]| (x - along).hypotenuse(y - across);
        let [x, y] = *holes.iter().min_by(|a, b| far(a).total_cmp(&far(b)))?;
        let share = if pitch > 0.0 { x / pitch } else { 0.0 };
        let exact = |mm: f64| Estimate::exact(Length::from_mm(mm));
        let along = exact(x) + stretch.clone() * share - screw.along.clone();
        Some(OverScrew { point: [x, y], off: [along, exact(y) - screw.across.clone()] })
    };
    bench.position.rout.screws.iter().filter_map(over).collect()
}

/// A part that lies loose in rout and recesses. Where it does not go in at all, which is another question, it is as if it
/// just did.
fn loose(bench: &mut Bench, part: PartKind) -> Pose {
    let mut pose = Pose::default();
    for (condition, _) in body(bench, part).into_iter().chain(ears(bench, part)) {
        match condition {
            Condition::Side { point, towards, room } => {
                let room = if room.value() < Length::ZERO { Estimate::default() } else { room };
                pose.within(Condition::Side { point, towards, room });
            }
            Condition::Round { .. } if condition.left() < 0.0 => {}
            Condition::Round { .. } => pose.within(condition),
        }
    }
    pose
}

/// The same part, of which each screw needs so much play round it.
pub(crate) fn over_screws(bench: &mut Bench, part: PartKind, play: &Estimate) -> Pose {
    let mut pose = loose(bench, part);
    for OverScrew { point, off } in screws(bench, part) {
        pose.must(Condition::Round { point, off, room: play.clone(), corner: None }, Where::Alike);
    }
    pose
}

/// The cover with heads of a size on its ears, which must not meet its body; and how far the nearest screw is out.
pub(crate) fn heads_beside_body(bench: &mut Bench, play: &Estimate, head: &Estimate) -> (Pose, Estimate) {
    let body_end = bench.printed(PartKind::Cover, SizeOf::Length) * 0.5;
    let mut pose = loose(bench, PartKind::Cover);
    let mut outs = Vec::new();
    let body_screws = &bench.position.rout.screws;
    for (OverScrew { point, off }, screw) in screws(bench, PartKind::Cover).into_iter().zip(body_screws) {
        let side = point[0].signum();
        let out = screw.along.clone() * side;
        let room = out.clone() - head.clone() * 0.5 - body_end.clone();
        let at_body = [side * body_end.value().as_mm(), point[1]];
        pose.must(Condition::Side { point: at_body, towards: [side, 0.0], room }, Where::Alike);
        let round = Condition::Round { point, off, room: play.clone(), corner: None };
        if round.left() >= 0.0 {
            pose.within(round);
        }
        outs.push(out);
    }
    let nearest = outs.into_iter().min_by(|a, b| a.value().as_mm().total_cmp(&b.value().as_mm()));
    (pose, nearest.unwrap_or_default())
}
