//! How far surfaces moved that two versions of a part both have.
//!
//! A feature's movement is at most the hypotenuse of how far its border moved in plan and how far its ends
//! moved up or down: that is what an edge does of which both faces go in, or both out. A cut that goes
//! through ends where the face does, and its rim moves with it.

use bobbinwright_elementary::Elementary;
use std::cmp::Ordering;

use super::Overlay;
use crate::plane::{Arrangement, Point, SNAP, Segment, furthest};
use crate::stack::{Kind, Numbered};

type Feature = crate::stack::Feature<usize>;
type Movement = super::Movement<usize>;

/// What moved, and which features only one of the two has: moved, gone, new.
pub(super) fn movements(a: &Numbered, b: &Numbered) -> (Vec<Movement>, Vec<usize>, Vec<usize>) {
    let mut roles: Vec<usize> = a.features.iter().chain(&b.features).map(|f| f.role).collect();
    roles.sort_unstable();
    roles.dedup();
    let (mut moved, mut gone, mut new) = (Vec::new(), Vec::new(), Vec::new());
    let mut borders: Option<[Vec<Vec<Segment>>; 2]> = None;
    for role in roles {
        let (was, now): (Vec<_>, Vec<_>) = (a.with_role(role).collect(), b.with_role(role).collect());
        gone.extend(was.iter().skip(now.len()).map(|_| role));
        new.extend(now.iter().skip(was.len()).map(|_| role));
        if was.is_empty() || now.is_empty() || are_same(&was, &now) {
            continue;
        }
        let [of_a, of_b] = borders.get_or_insert_with(|| [real_borders(a), real_borders(b)]);
        let (plan, at) = in_plan((a, of_a), (b, of_b), role);
        let level = levels_moved((a, &was), (b, &now), plan > SNAP);
        if plan.hypotenuse(level) > SNAP {
            moved.push(Movement { role, distance: plan.hypotenuse(level), plan, level, at });
        }
    }
    round_off(a, b, &mut moved);
    moved.sort_by(|x, y| y.distance.total_cmp(&x.distance));
    (moved, gone, new)
}

/// Quick to see: the same contours at the same heights.
fn are_same(was: &[&Feature], now: &[&Feature]) -> bool {
    let same = |f: &Feature, g: &Feature| f.contour == g.contour && f.bottom == g.bottom && f.top == g.top;
    was.len() == now.len() && was.iter().zip(now).all(|(f, g)| same(f, g))
}

/// Features of a role that lie at the same height, with the borders that are real of them.
struct Storey {
    bottom: f64,
    top: f64,
    whole: Vec<Segment>,
    real: Vec<Segment>,
}

impl Storey {
    /// The storeys of a role from the lowest up.
    fn of(stack: &Numbered, borders: &[Vec<Segment>], role: usize) -> Vec<Self> {
        let mut storeys: Vec<Self> = Vec::new();
        for (feature, border) in stack.features.iter().zip(borders).filter(|(f, _)| f.role == role) {
            let same = |s: &&mut Self| s.bottom == feature.bottom && s.top == feature.top;
            if let Some(storey) = storeys.iter_mut().find(same) {
                storey.whole.extend(feature.contour.segments());
                storey.real.extend(border);
            } else {
                let (whole, real) = (feature.contour.segments().to_vec(), border.clone());
                storeys.push(Self { bottom: feature.bottom, top: feature.top, whole, real });
            }
        }
        storeys.sort_by(|s, t| (s.bottom, s.top).partial_cmp(&(t.bottom, t.top)).unwrap_or(Ordering::Equal));
        storeys
    }

    /// The borders that this one's are to be compared with: a wall is no nearer for another one above it.
    fn of_other<'s>(&self, number: usize, own: usize, other: &'s [Self]) -> Vec<&'s [Segment]> {
        if own == other.len() {
            return vec![&other[number].whole];
        }
        let shares = |s: &&Self| s.bottom < self.top && self.bottom < s.top;
        let sharing: Vec<&[Segment]> = other.iter().filter(shares).map(|s| s.whole.as_slice()).collect();
        if sharing.is_empty() { other.iter().map(|s| s.whole.as_slice()).collect() } else { sharing }
    }
}

/// How far the borders of a role are from those of the other version, either way, and where on the earlier
/// one that is, mm.
fn in_plan(
    (a, of_a): (&Numbered, &[Vec<Segment>]),
    (b, of_b): (&Numbered, &[Vec<Segment>]),
    role: usize,
) -> (f64, Point) {
    let (was, now) = (Storey::of(a, of_a, role), Storey::of(b, of_b, role));
    let furthest_from = |from: &[Storey], to: &[Storey]| {
        let each = from.iter().enumerate();
        let far = each.map(|(i, s)| furthest(&s.real, &s.of_other(i, from.len(), to).concat()));
        far.reduce(|x, y| if y.0 > x.0 { y } else { x }).unwrap_or((0.0, Point::origin()))
    };
    let (out, at) = furthest_from(&was, &now);
    let (back, _) = furthest_from(&now, &was);
    (out.max(back), at)
}

/// For each feature the stretches of its contour that part material from air somewhere: a cutter stands out
/// into the air, and what a later feature covers is no surface.
fn real_borders(stack: &Numbered) -> Vec<Vec<Segment>> {
    let contours: Vec<_> = stack.features.iter().map(|f| f.contour.clone()).collect();
    let arrangement = Arrangement::new(&contours);
    let levels = stack.levels();
    let regions: Vec<_> = levels.windows(2).map(|slab| (slab, stack.region(slab[0], slab[1]))).collect();
    let is_real = |feature: &Feature, piece: usize| {
        let piece = &arrangement.pieces[piece];
        regions.iter().any(|(slab, region)| {
            let middle = f64::midpoint(slab[0], slab[1]);
            let here = feature.bottom < middle && middle < feature.top;
            here && region.holds(piece.left) != region.holds(piece.right)
        })
    };
    let along = stack.features.iter().zip(&arrangement.along);
    let of_feature = |(feature, pieces): (&Feature, &Vec<Vec<(usize, bool)>>)| {
        let segments = feature.contour.segments().iter().zip(pieces);
        let real = |(segment, pieces): (&Segment, &Vec<(usize, bool)>)| {
            let is_real = |(piece, _): &&(usize, bool)| is_real(feature, *piece);
            let real: Vec<Segment> =
                pieces.iter().filter(is_real).map(|(piece, _)| arrangement.pieces[*piece].segment).collect();
            // Whole ones are compared with whole ones fastest.
            if real.len() == pieces.len() { vec![*segment] } else { real }
        };
        segments.flat_map(real).collect()
    };
    along.map(of_feature).collect()
}

/// How far the ends of features of a role moved up or down, mm. Where a cut goes through there is no surface,
/// but a rim, which moves with the face if the cut `moved` in plan.
fn levels_moved((a, was): (&Numbered, &[&Feature]), (b, now): (&Numbered, &[&Feature]), moved: bool) -> f64 {
    let (high_a, high_b) = (a.height(), b.height());
    let by = |f: &Feature, g: &Feature| {
        let through = |f: &Feature, g: &Feature, ends: fn(&Feature) -> f64, at: [f64; 2]| {
            !moved && f.kind == Kind::Cut && (ends(f) - at[0]).abs() < SNAP && (ends(g) - at[1]).abs() < SNAP
        };
        let lower = if through(f, g, |f| f.bottom, [0.0, 0.0]) { 0.0 } else { (f.bottom - g.bottom).abs() };
        let upper = if through(f, g, |f| f.top, [high_a, high_b]) { 0.0 } else { (f.top - g.top).abs() };
        lower.max(upper)
    };
    was.iter().zip(now).map(|(f, g)| by(f, g)).fold(0.0, f64::max)
}

/// Takes the quarter-rounds of another radius into the movement of the outline that they round.
fn round_off(a: &Numbered, b: &Numbered, moved: &mut Vec<Movement>) {
    let radius = |s: &Numbered| s.rounding.map_or(0.0, |r| r.radius);
    let wider = radius(b) - radius(a);
    let Some(feature) = a.rounding.or(b.rounding).map(|r| r.feature) else { return };
    let (Some(was), Some(now)) = (a.features.get(feature), b.features.get(feature)) else { return };
    let Some(first) = was.contour.segments().first() else { return };
    if wider.abs() <= SNAP {
        return;
    }
    let known = moved.iter_mut().find(|m| m.role == was.role);
    let (plan, level) = known.as_ref().map_or((0.0, 0.0), |m| (m.plan, m.level));
    let up = level.copysign(b.height() - a.height());
    let distance = outwards(was, now)
        .into_iter()
        .map(|sign| quarter_round_moved(sign * plan, up, wider))
        .fold(plan.max(level), f64::max);
    match known {
        Some(known) => known.distance = distance,
        None => {
            moved.push(Movement { role: was.role, distance, plan: distance, level: 0.0, at: first.from });
        }
    }
}

/// Which ways an outline may have gone: out, in, or here the one and there the other.
fn outwards(was: &Feature, now: &Feature) -> Vec<f64> {
    let alone = |f: &Feature| vec![(Kind::Add, f.contour.clone())];
    match Overlay::new(alone(was), alone(now)).map(|overlay| overlay.areas()) {
        Ok((only_was, _)) if only_was < SNAP => vec![1.0],
        Ok((_, only_now)) if only_now < SNAP => vec![-1.0],
        _ => vec![1.0, -1.0],
    }
}

/// How far a quarter-round is from one of a radius wider by `wider` on an edge that went `out` and `up`, mm.
///
/// Of two arcs whose centres lie d apart the furthest point is along d, if that is a way in which both have a
/// point; else it is where one of them runs out into wall or top.
fn quarter_round_moved(out: f64, up: f64, wider: f64) -> f64 {
    let (x, y) = (wider - out, wider - up);
    let along = if x >= 0.0 && y >= 0.0 {
        (x.hypotenuse(y) - wider).abs()
    } else if x <= 0.0 && y <= 0.0 {
        (x.hypotenuse(y) + wider).abs()
    } else {
        0.0
    };
    along.max(out.abs()).max(up.abs())
}
