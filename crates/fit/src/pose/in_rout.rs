//! What a part must keep to in the body.

use bobbinwright_elementary::Elementary;
use bobbinwright_geometry::parts::Tab;
use bobbinwright_spec::{Corners, EarAt, Estimate, Length, Origin, PartKind, Rout, ScrewAt, Side, SizeOf};

use super::ears::ears;
use super::{Condition, Pose, slanted};
use crate::bench::Bench;
use crate::kind::Where;

/// A rectangle with rounded corners.
struct Rounded<'e> {
    length: &'e Estimate,
    width: &'e Estimate,
    corners: &'e Corners<Length>,
}

/// What a part lies in: how far its sides are from the middle at a place along them, mm from their middle. Where one
/// leans, at the top edge and at the floor.
trait Opening {
    /// The end towards treble or bass, 1 or -1.
    fn end(&self, side: f64, at: f64) -> Vec<Estimate>;
    /// The side towards the neck or the bridge.
    fn side(&self, side: f64, at: f64) -> Vec<Estimate>;
    fn radius(&self, corner: [f64; 2]) -> &Estimate;
    /// Does the end towards treble or bass go on through its middle, where it may bow inwards?
    fn end_goes_on(&self, side: f64) -> bool;
}

impl Opening for Rout {
    fn end(&self, side: f64, at: f64) -> Vec<Estimate> {
        self.reaches(if side > 0.0 { Side::Treble } else { Side::Bass }, at)
    }

    fn side(&self, side: f64, at: f64) -> Vec<Estimate> {
        self.reaches(if side > 0.0 { Side::Neck } else { Side::Bridge }, at)
    }

    fn radius(&self, corner: [f64; 2]) -> &Estimate {
        self.corners.at(corner)
    }

    fn end_goes_on(&self, side: f64) -> bool {
        let side = if side > 0.0 { Side::Treble } else { Side::Bass };
        // A recess for an ear most often opens in its middle.
        self.ears.as_ref().is_none_or(|ears| ears.at.iter().all(|at| at.side != side))
    }
}

/// A rounded rectangle in an opening, which have the same middle as long as it is not moved: both ends of each
/// straight side against the side, its middle against one that may bow, and the arcs in the corners. An outline is inside
/// another convex one if it reaches no further in any direction; in a corner's quarter both reach as far as the arcs'
/// centres and radii say.
fn nested(outer: &impl Opening, inner: &Rounded) -> Vec<(Condition, Where)> {
    let (x, y) = (inner.length.value().as_mm() / 2.0, inner.width.value().as_mm() / 2.0);
    let radius = |corner| inner.corners.at(corner).as_mm();
    let room = |reach: &Estimate, size: &Estimate| reach.clone() - size.clone() * 0.5;
    let mut all = Vec::new();
    for side in [1.0, -1.0] {
        let straight = [radius([side, -1.0]) - y, y - radius([side, 1.0])].map(|at| [side * x, at]);
        let rooms =
            |at: f64| outer.end(side, at).into_iter().map(|reach| room(&reach, inner.length)).collect();
        let of = beside(straight, [side, 0.0], outer.end_goes_on(side), |[_, y]| rooms(y));
        all.extend(of.into_iter().map(|condition| (condition, Where::Ends)));
        let straight = [radius([-1.0, side]) - x, x - radius([1.0, side])].map(|at| [at, side * y]);
        let rooms =
            |at: f64| outer.side(side, at).into_iter().map(|reach| room(&reach, inner.width)).collect();
        let of = beside(straight, [0.0, side], true, |[x, _]| rooms(x));
        all.extend(of.into_iter().map(|condition| (condition, Where::Sides)));
    }
    for (corner @ [u, v], own) in inner.corners.iter() {
        let arcs = outer.radius(corner).clone() - Estimate::exact(*own);
        // A rounder corner than the outer one is beside it wherever the sides are.
        if arcs.value().as_mm() + 4.0 * arcs.uncertainty().as_mm() <= 0.0 {
            continue;
        }
        let [at_end, at_side] = [v * (y - own.as_mm()), u * (x - own.as_mm())];
        let nearest = |reaches: Vec<Estimate>| {
            reaches.into_iter().min_by(|a, b| a.value().as_mm().total_cmp(&b.value().as_mm()))
        };
        let (Some(end), Some(side)) = (nearest(outer.end(u, at_end)), nearest(outer.side(v, at_side))) else {
            continue;
        };
        // Each centre lies a radius inwards.
        let off = [(room(&end, inner.length), u), (room(&side, inner.width), v)];
        let off = off.map(|(play, sign)| (arcs.clone() - play) * sign);
        let condition = Condition::Round {
            point: [at_side, at_end],
            off,
            room: arcs,
            corner: Some([[u, 0.0], [0.0, v]]),
        };
        all.push((condition, Where::Corners));
    }
    all
}

/// A straight side of a part beside a side that may bow, or, where that does not go on through its middle, its two ends. Where
/// it leans there is one for the top edge and one for the floor.
fn beside(
    ends: [[f64; 2]; 2],
    towards: [f64; 2],
    goes_on: bool,
    rooms: impl Fn([f64; 2]) -> Vec<Estimate>,
) -> Vec<Condition> {
    let [begin, end] = ends.map(&rooms);
    // Between round corners that meet there is a point and no side.
    let is_point = (ends[1][0] - ends[0][0]).abs() + (ends[1][1] - ends[0][1]).abs() < 1e-6;
    if !goes_on || is_point {
        let of = |point: [f64; 2], rooms: Vec<Estimate>| {
            rooms.into_iter().map(move |room| Condition::Side { point, towards, room })
        };
        return of(ends[0], begin).chain(of(ends[1], end)).collect();
    }
    let middle = rooms([0, 1].map(|i| f64::midpoint(ends[0][i], ends[1][i])));
    let levels = begin.into_iter().zip(middle).zip(end);
    levels.map(|((a, b), c)| Condition::Along { ends, towards, rooms: [a, b, c] }).collect()
}

/// The body of a part against the rout.
pub(crate) fn body(bench: &mut Bench, part: PartKind) -> Vec<(Condition, Where)> {
    if let Some(slanted) = bench.layout(part).slanted {
        let errors = [SizeOf::Length, SizeOf::Width].map(|size| bench.error(part, size));
        return slanted::nested(&bench.position.rout, bench.layout(part), &slanted, &errors);
    }
    let (length, width) = (bench.printed(part, SizeOf::Length), bench.printed(part, SizeOf::Width));
    let corners = &bench.layout(part).corners;
    nested(&bench.position.rout, &Rounded { length: &length, width: &width, corners })
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
/// moves each by its share, both ways.
fn screws(bench: &mut Bench, part: PartKind) -> Vec<OverScrew> {
    let stretch = bench.error(part, SizeOf::ScrewPitch);
    let (layout, treble) = (bench.layout(part), bench.position.handed.treble());
    let pitch = layout.screw_pitch().as_mm();
    let holes: Vec<[f64; 2]> = layout.screws.iter().map(|hole| [hole.x * treble, hole.y]).collect();
    let over = |screw: &ScrewAt| {
        let [along, across] = [&screw.along, &screw.across].map(|e| e.value().as_mm());
        let far = |[x, y]: &[f64; 2]| (x - along).hypotenuse(y - across);
        let [x, y] = *holes.iter().min_by(|a, b| far(a).total_cmp(&far(b)))?;
        let printed = |mm: f64| {
            let share = if pitch > 0.0 { mm / pitch } else { 0.0 };
            Estimate::exact(Length::from_mm(mm)) + stretch.clone() * share
        };
        let off = [printed(x) - screw.along.clone(), printed(y) - screw.across.clone()];
        Some(OverScrew { point: [x, y], off })
    };
    bench.position.rout.screws.iter().filter_map(over).collect()
}

/// A part that lies loose in rout and recesses. Where it does not go in at all, which is another question, it is as if it
/// just did.
fn loose(bench: &mut Bench, part: PartKind) -> Pose {
    if let Some(known) = bench.loose.get(&part) {
        return known.clone();
    }
    let conditions = body(bench, part).into_iter().chain(ears(bench, part));
    let mut pose = Pose::default();
    for condition in at_least_just(conditions.map(|(condition, _)| condition).collect()) {
        pose.within(condition);
    }
    bench.loose.insert(part, pose.clone());
    pose
}

/// The ears of a part in their recesses where its body lies in the rout; whether that goes in by itself is another question.
pub(crate) fn ears_with_body(bench: &mut Bench, part: PartKind) -> Pose {
    let mut pose = Pose::default();
    for (condition, at) in ears(bench, part) {
        pose.must(condition, at);
    }
    for condition in at_least_just(body(bench, part).into_iter().map(|(condition, _)| condition).collect()) {
        pose.within(condition);
    }
    pose.at_its_turn()
}

/// Conditions that can be met in one place, as they are; where they can't, what is left of them when they just can.
fn at_least_just(conditions: Vec<Condition>) -> Vec<Condition> {
    let mut asked = Pose::default();
    for condition in &conditions {
        asked.must(condition.clone(), Where::Alike);
    }
    if asked.left() >= 0.0 { conditions } else { conditions.iter().filter_map(just).collect() }
}

/// What is left of a condition of a part that just goes in where it does not; none of a corner that stands in the way.
fn just(condition: &Condition) -> Option<Condition> {
    if let Condition::Round { .. } = condition {
        return (condition.left() >= 0.0).then(|| condition.clone());
    }
    let just =
        condition.with(|room| if room.value() < Length::ZERO { Estimate::default() } else { room.clone() });
    // A parabola may dip between places that are all just so.
    let dips = Estimate::exact(Length::from_mm(just.left().min(0.0)));
    Some(just.with(|room| room.clone() - dips.clone()))
}

/// The same part, of which each screw needs so much play round it.
pub(crate) fn over_screws(bench: &mut Bench, part: PartKind, plays: &[Estimate]) -> Pose {
    let mut pose = loose(bench, part);
    for (OverScrew { point, off }, play) in screws(bench, part).into_iter().zip(plays) {
        pose.must(Condition::Round { point, off, room: play.clone(), corner: None }, Where::Alike);
    }
    pose.at_its_turn()
}

/// How far a place on the cover can be moved in a direction and against it where rout, recesses and the screws through its holes let it go
/// in; by rout and recesses alone where the screws do not; and by the rout's play where nothing small stops it.
fn reaches(bench: &mut Bench, plays: &[Estimate], point: [f64; 2], towards: [f64; 2]) -> [Estimate; 2] {
    let loose = loose(bench, PartKind::Cover);
    let mut screwed = loose.clone();
    for (OverScrew { point, off }, play) in screws(bench, PartKind::Cover).into_iter().zip(plays) {
        screwed.within(Condition::Round { point, off, room: play.clone(), corner: None });
    }
    let found = screwed.reaches(point, towards).or_else(|| loose.reaches(point, towards));
    found.unwrap_or_else(|| {
        let (rout, cover) = (&bench.position.rout, bench.layout(PartKind::Cover));
        let along = towards[1] == 0.0;
        let (outer, inner) = if along { (&rout.length, cover.length) } else { (&rout.width, cover.width) };
        let play = ((outer.value() - inner) / 2.0).max(Length::ZERO);
        [play, play].map(Estimate::exact)
    })
}

/// Where a place on the cover lies along a direction, from where it is drawn: anywhere between what it reaches with and against it.
pub(crate) struct Lies {
    /// The middle of that play.
    pub middle: Estimate,
    /// Half of it.
    pub play: Length,
    /// The place itself.
    pub at: Estimate,
}

impl Lies {
    /// The place of a point, where screws have so much play.
    pub fn of(bench: &mut Bench, plays: &[Estimate], point: [f64; 2], towards: [f64; 2]) -> Self {
        let [with, against] = reaches(bench, plays, point, towards);
        let middle = (with.clone() - against.clone()) * 0.5;
        let half = (with + against) * 0.5;
        let play = half.value().max(Length::ZERO);
        // Where nothing is left to it, the least that is read otherwise would put it anywhere. It goes with its screws, and no further
        // from them than their holes let it.
        let most = plays.iter().map(Estimate::value).fold(Length::ZERO, Length::max);
        let screws = screws(bench, PartKind::Cover);
        let along = |off: &[Estimate; 2]| off[0].clone() * towards[0] + off[1].clone() * towards[1];
        // Where a screw is beyond its hole the cover goes after it.
        let share = -1.0 / screws.len().max(1) as f64;
        let mean = screws.iter().fold(Estimate::default(), |sum, screw| sum + along(&screw.off) * share);
        let widest = mean.uncertainty().as_mm().hypotenuse(most.as_mm());
        if most > Length::ZERO && middle.uncertainty().as_mm() > widest {
            let middle = mean.moved_to(middle.value());
            let at = middle.clone() + bench.spread(Length::ZERO, most, Origin::Assumed);
            return Self { middle, play, at };
        }
        // A play that is doubtful itself lets a place lie further off on the mean of squares.
        let doubtful = Length::from_mm(play.as_mm().hypotenuse(half.uncertainty().as_mm()));
        let at = middle.clone() + bench.spread(Length::ZERO, doubtful, Origin::Assumed);
        Self { middle, play, at }
    }
}

/// The cover with heads of a size on its ears, which must not meet its body; and how far the nearest screw is out.
pub(crate) fn heads_beside_body(
    bench: &mut Bench,
    plays: &[Estimate],
    heads: &[Estimate],
) -> (Pose, Estimate) {
    let [along, across] = [SizeOf::Length, SizeOf::Width].map(|of| bench.printed(PartKind::Cover, of) * 0.5);
    let mut pose = loose(bench, PartKind::Cover);
    let mut outs = Vec::new();
    let (body_screws, tabs) = (&bench.position.rout.screws, &bench.layout(PartKind::Cover).tabs);
    let each = screws(bench, PartKind::Cover).into_iter().zip(body_screws).zip(tabs);
    for (((OverScrew { point, off }, screw), tab), (play, head)) in each.zip(plays.iter().zip(heads)) {
        let (rout, layout) = (&bench.position.rout, bench.layout(PartKind::Cover));
        let facing = rout.facing(tab.side);
        let [out, _] = facing.screw(screw);
        let half = if tab.side.is_end() { &along } else { &across };
        let end = match layout.slanted.filter(|_| rout.outline.slants(tab.side)) {
            Some(slanted) => {
                let reach = slanted.border(tab.side, layout.handed).reach;
                half.clone().moved_to(Length::from_mm(reach))
            }
            None => half.clone(),
        };
        let room = out.clone() - head.clone() * 0.5 - end.clone();
        let at_body = facing.place(end.value().as_mm(), facing.told(point)[1]);
        pose.must(Condition::Side { point: at_body, towards: facing.out, room }, Where::Alike);
        for wall in recess_walls(&bench.position.rout, tab, screw, head) {
            pose.must(Condition::fixed(wall), Where::Alike);
        }
        let round = Condition::Round { point, off, room: play.clone(), corner: None };
        if round.left() >= 0.0 {
            pose.within(round);
        }
        outs.push(out);
    }
    let nearest = outs.into_iter().min_by(|a, b| a.value().as_mm().total_cmp(&b.value().as_mm()));
    (pose.at_its_turn(), nearest.unwrap_or_default())
}

/// What is left between a screw's head and the flanks and the end of the recess that it lies in, which stand in the body as the
/// screw does; nothing where there is none.
fn recess_walls(rout: &Rout, tab: &Tab, screw: &ScrewAt, head: &Estimate) -> Vec<Estimate> {
    let Some(recess) = &rout.ears else { return Vec::new() };
    let [out, along] = rout.facing(tab.side).screw(screw);
    let off = |at: &EarAt| (at.offset.value() - along.value()).abs().as_mm();
    let own = recess.at.iter().filter(|at| at.side == tab.side);
    let Some(at) = own.min_by(|a, b| off(a).total_cmp(&off(b))) else { return Vec::new() };
    let half = head.clone() * 0.5;
    let flank =
        |sign: f64| recess.width.clone() * 0.5 - (along.clone() - at.offset.clone()) * sign - half.clone();
    let ends = rout.edges(tab.side, along.value().as_mm()).into_iter();
    let ends = ends.map(|edge| edge + recess.length.clone() - out.clone() - half.clone());
    [flank(1.0), flank(-1.0)].into_iter().chain(ends).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cover whose round ends meet in the middle of each end has a point there, and must not go beyond the rout with it.
    #[test]
    fn a_side_without_length_is_a_point() {
        let room = |mm: f64| vec![Estimate::exact(Length::from_mm(mm))];
        let end = beside([[45.0, 0.0]; 2], [1.0, 0.0], true, |_| room(-0.5));
        let mut pose = Pose::default();
        for condition in end.into_iter().chain(beside([[-45.0, 0.0]; 2], [-1.0, 0.0], true, |_| room(0.1))) {
            assert!(matches!(condition, Condition::Side { .. }));
            pose.must(condition, Where::Ends);
        }
        // 0.4 too long, half of it at either end where it lies best.
        let margin = pose.certificates()[0].margin.value().as_mm();
        assert!((margin + 0.2).abs() < 1e-6, "{margin}");
    }

    /// A part that can be moved without end is held by nothing; what is left of it is said all the same.
    #[test]
    fn what_nothing_holds_is_said_as_it_lies() {
        let mut pose = Pose::default();
        let room = Estimate::exact(Length::from_mm(-0.5));
        pose.must(Condition::Side { point: [45.0, 0.0], towards: [1.0, 0.0], room }, Where::Ends);
        assert!(!pose.certificates().is_empty());
    }
}
