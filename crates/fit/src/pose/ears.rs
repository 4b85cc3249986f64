//! What a part's ears must keep to in their recesses.

use bobbinwright_geometry::parts::{EarShape, Layout, Slanted, Tab};
use bobbinwright_kernel::plane::Point;
use bobbinwright_spec::{EarAt, EarRecess, Estimate, Facing, Handed, Length, PartKind, Rout, Side, SizeOf};

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
    handed: Handed,
    /// By how much more its end is out than it is drawn.
    longer: Estimate,
    /// Along the side.
    width: &'t Estimate,
    radius: Length,
    /// The body's side from its middle, mm.
    root: f64,
    /// What its blends have round them.
    blends: Blends,
}

/// The arcs between an ear and the body's side.
enum Blends {
    /// With room for their whole quarter: their radius, mm, and how far from its middle the printed part has air.
    Round(f64, Estimate),
    /// They run into other arcs: how the outline lies at the body's corner on the positive and the negative side.
    Cut(Box<[Condition; 2]>),
}

impl Ear<'_> {
    /// A place of it, so far out and so far along as it is drawn: treble and neck positive, and as its recess faces.
    fn place(&self, recess: &Facing, out: f64, along: f64) -> ([f64; 2], [f64; 2]) {
        let drawn = self.tab.place(self.handed, out, along);
        let place = [drawn.x * self.handed.treble(), drawn.y];
        (place, recess.told(place))
    }
}

/// The ears of a part against their recesses; nothing where either has none.
pub(crate) fn ears(bench: &mut Bench, part: PartKind) -> Vec<(Condition, Where)> {
    let (layout, rout) = (bench.layout(part), &bench.position.rout);
    let (Some(shape), Some(recess)) = (layout.ears, &rout.ears) else { return Vec::new() };
    let width = bench.printed(part, SizeOf::EarWidth);
    let mut all = Vec::new();
    for tab in &layout.tabs {
        let is_end = tab.side.is_end();
        let (size, body) =
            if is_end { (SizeOf::Length, layout.length) } else { (SizeOf::Width, layout.width) };
        let both_ends = layout.ear_to_ear().filter(|_| is_end).map(|_| SizeOf::EarToEar);
        let longer = bench.error(part, both_ends.unwrap_or(size)) * 0.5;
        let root = match layout.slanted.filter(|_| bench.position.rout.outline.slants(tab.side)) {
            Some(slanted) => slanted.border(tab.side, layout.handed).reach,
            None => body.as_mm() / 2.0,
        };
        let handed = layout.handed;
        let off = |at: &&EarAt| (at.offset.value() - tab.offset).abs().as_mm();
        let same_side = recess.at.iter().filter(|at| at.side == tab.side);
        let nearest = same_side.min_by(|a, b| off(a).total_cmp(&off(b)));
        let blends = blends(bench, part, tab, &shape, nearest);
        let (rout, recess) = (&bench.position.rout, bench.position.rout.ears.as_ref());
        let ear = Ear { tab, handed, longer, width: &width, radius: shape.corner_radius, root, blends };
        match nearest.zip(recess) {
            Some((at, recess)) => all.extend(conditions(&ear, rout, recess, at)),
            // The ear of another build, beside which this body has its wall.
            None => all.extend(against_wall(&ear, rout)),
        }
    }
    all
}

/// An ear where there is no recess.
fn against_wall(ear: &Ear, rout: &Rout) -> Vec<(Condition, Where)> {
    let (towards, middle) = (rout.facing(ear.tab.side).out, ear.tab.offset.as_mm());
    let reach = Estimate::exact(ear.tab.reach) + ear.longer.clone();
    let rooms = rout.edges(ear.tab.side, middle).into_iter().map(|edge| edge - reach.clone());
    let point = towards.map(|out| out * ear.tab.reach.as_mm());
    rooms.map(|room| (Condition::Side { point, towards, room }, Where::Ends)).collect()
}

/// How the body's corners between rout and recess lie at an ear's blends. A printed outline errs there by half of its
/// sizes' errors along and across.
fn blends(bench: &mut Bench, part: PartKind, tab: &Tab, shape: &EarShape, at: Option<&EarAt>) -> Blends {
    let error = bench.error(part, SizeOf::EarWidth) * 0.5;
    let layout = bench.layout(part);
    let (needs, blend) = (tab.width / 2.0 + shape.blend, shape.blend);
    let rout = &bench.position.rout;
    let has_room = if let Some(slanted) = layout.slanted.filter(|_| rout.outline.slants(tab.side)) {
        slanted_side(layout, &slanted, tab, needs.as_mm())
    } else {
        square_side(rout, layout, tab, needs)
    };
    let (Some(at), Some(recess)) = (at, &bench.position.rout.ears) else {
        return Blends::Round(blend.as_mm(), Estimate::exact(blend) - error);
    };
    if has_room && blend + shape.corner_radius <= shape.length {
        return Blends::Round(blend.as_mm(), Estimate::exact(blend) - error);
    }
    let (rout, treble) = (&bench.position.rout, bench.position.handed.treble());
    let facing = rout.facing(tab.side);
    let left = |[along, across]: [f64; 2]| -layout.outline.depth_of(Point::new(along * treble, across));
    let place = |v: &[Length], sign: f64| {
        let [out, half, offset] = [v[0], v[1] / 2.0, v[2]].map(Length::as_mm);
        facing.place(out, offset + sign * half)
    };
    let of = |sign: f64| {
        let along = (at.offset.clone() + recess.width.clone() * (0.5 * sign)).value().as_mm();
        let side = rout.edges(tab.side, along);
        let nearest = side.into_iter().min_by(|a, b| a.value().as_mm().total_cmp(&b.value().as_mm()));
        let inputs = [&nearest.unwrap_or_default(), &recess.width, &at.offset];
        let room = Estimate::of(&inputs, |v| Length::from_mm(left(place(v, sign)))) - error.clone();
        let point = place(&inputs.map(Estimate::value), sign);
        // The direction in which the outline comes nearer to the corner.
        let slope = |step: [f64; 2]| {
            let at = |times: f64| left([point[0] + times * step[0], point[1] + times * step[1]]);
            (at(1.0) - at(-1.0)) / (2.0 * STEP)
        };
        Condition::Side { point, towards: [slope([STEP, 0.0]), slope([0.0, STEP])], room }
    };
    Blends::Cut(Box::new([1.0, -1.0].map(of)))
}

/// A slope is told by places so far apart, mm.
const STEP: f64 = 1e-4;

/// Does a side along the row or across it run straight so far to either side of an ear's middle line?
fn square_side(rout: &Rout, layout: &Layout, tab: &Tab, needs: Length) -> bool {
    // As far as the rounder of the two corners beside it lets the side be straight.
    let (end, [x, y]) = (tab.side.is_end(), outwards(tab.side));
    let beside = if end { [[x, 1.0], [x, -1.0]] } else { [[1.0, y], [-1.0, y]] };
    let radius = beside.map(|at| *layout.corners.at(at)).into_iter().fold(Length::ZERO, Length::max);
    // Slanted ends take what they run along it from the side.
    let runs = rout.slope(Side::Treble).abs().max(rout.slope(Side::Bass).abs());
    let across = if end { layout.width } else { layout.length };
    tab.offset.abs() + needs <= across / 2.0 - radius * (1.0 + runs) - layout.width * (runs / 2.0)
}

/// Does a slanted side of a body run straight so far to either side of an ear's middle line?
fn slanted_side(layout: &Layout, slanted: &Slanted, tab: &Tab, needs: f64) -> bool {
    let [x, y] = outwards(tab.side);
    let corners = if tab.side.is_end() { [[x, -1.0], [x, 1.0]] } else { [[-1.0, y], [1.0, y]] };
    let along = tab.along(layout.handed);
    let [low, high] = corners.map(|corner| {
        let radius = layout.corners.at(corner).as_mm();
        slanted.centre(corner, radius, layout.handed).coords.dot(&along)
    });
    let offset = tab.offset.as_mm();
    low <= offset - needs && offset + needs <= high
}

/// One ear in its recess: its end, both flanks at tip and root, both of its corners, and the body's corners at its blends.
fn conditions(ear: &Ear, rout: &Rout, recess: &EarRecess, at: &EarAt) -> Vec<(Condition, Where)> {
    let facing = rout.facing(at.side);
    let [tip, middle, half, radius] =
        [ear.tab.reach, ear.tab.offset, ear.tab.width / 2.0, ear.radius].map(Length::as_mm);
    let exact = |mm: f64| Estimate::exact(Length::from_mm(mm));
    let mut all = Vec::new();
    // What is left before the recess's end, of what is so far out and along as this faces.
    let ends = |[out, along]: [f64; 2]| {
        let reaches = rout.edges(at.side, along).into_iter();
        let ear = exact(out) + ear.longer.clone();
        reaches.map(|edge| edge + recess.length.clone() - ear.clone()).collect::<Vec<_>>()
    };
    // And beside one of its flanks; the ear is as wide as it is printed.
    let flank = |sign: f64, along: f64| {
        let drawn = exact(along - sign * half);
        (at.offset.clone() - drawn) * sign + (recess.width.clone() - ear.width.clone()) * 0.5
    };
    let arcs = recess.corner_radius.clone() - Estimate::exact(ear.radius);
    // A rounder corner than the outer one is beside it wherever the sides are.
    let has_corners = arcs.value().as_mm() + 4.0 * arcs.uncertainty().as_mm() > 0.0;
    for (number, sign) in [1.0, -1.0].into_iter().enumerate() {
        all.push((blend(ear, rout, recess, at, number), Where::Blends));
        let (point, told) = ear.place(&facing, tip, middle + sign * (half - radius));
        for room in ends(told) {
            all.push((Condition::Side { point, towards: facing.out, room }, Where::Ends));
        }
        let towards = facing.along.map(|s| s * sign);
        for outside in [tip - radius, ear.root] {
            let (point, [_, along]) = ear.place(&facing, outside, middle + sign * half);
            all.push((Condition::Side { point, towards, room: flank(sign, along) }, Where::Sides));
        }
        let (point, [out, along]) = ear.place(&facing, tip - radius, middle + sign * (half - radius));
        let ends = ends([out + radius, along]).into_iter();
        let nearest = ends.min_by(|a, b| a.value().as_mm().total_cmp(&b.value().as_mm()));
        if let (Some(end), true) = (nearest, has_corners) {
            // Each centre lies a radius inwards.
            let [end, flank] = [end, flank(sign, along + sign * radius)].map(|play| arcs.clone() - play);
            let off = [0, 1].map(|i| end.clone() * facing.out[i] + flank.clone() * (facing.along[i] * sign));
            let corner = Some([facing.out, towards]);
            all.push((Condition::Round { point, off, room: arcs.clone(), corner }, Where::Corners));
        }
    }
    all
}

/// The body's corner between rout and recess at one of an ear's blends: within the arc's radius of its middle.
fn blend(ear: &Ear, rout: &Rout, recess: &EarRecess, at: &EarAt, number: usize) -> Condition {
    let (radius, room) = match &ear.blends {
        Blends::Cut(corners) => return corners[number].clone(),
        Blends::Round(radius, room) => (*radius, room.clone()),
    };
    let sign = [1.0, -1.0][number];
    let facing = rout.facing(at.side);
    let exact = |mm: f64| Estimate::exact(Length::from_mm(mm));
    let beside = ear.tab.offset.as_mm() + sign * (ear.tab.width.as_mm() / 2.0 + radius);
    let (point, middle) = ear.place(&facing, ear.root + radius, beside);
    let corner = at.offset.clone() + recess.width.clone() * (0.5 * sign);
    let nearest = rout
        .edges(at.side, corner.value().as_mm())
        .into_iter()
        .min_by(|a, b| a.value().as_mm().total_cmp(&b.value().as_mm()))
        .unwrap_or_default();
    let off = [exact(middle[0]) - nearest, exact(middle[1]) - corner];
    Condition::Round {
        point,
        off: [0, 1].map(|i| off[0].clone() * facing.out[i] + off[1].clone() * facing.along[i]),
        room,
        corner: Some([facing.out, facing.along.map(|s| s * sign)]),
    }
}
