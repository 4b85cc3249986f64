//! How far surfaces moved that two versions of a part both have.

use super::Movement;
use crate::plane::{Arrangement, Point, SNAP, Segment, furthest};
use crate::stack::{Feature, Kind, Role, Stack};

/// What moved, and which features only one of the two has: moved, gone, new.
pub(super) fn movements(a: &Stack, b: &Stack) -> (Vec<Movement>, Vec<Role>, Vec<Role>) {
    let mut roles: Vec<Role> = a.features.iter().chain(&b.features).map(|f| f.role).collect();
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
        let (plan, at) = in_plan(a, of_a, b, of_b, role);
        let level = levels_moved((a, &was), (b, &now));
        if plan.hypot(level) > SNAP {
            moved.push(Movement { role, distance: plan.hypot(level), plan, level, at });
        }
    }
    if let Some(change) = rounding_moved(a, b) {
        moved.push(change);
    }
    moved.sort_by(|x, y| y.distance.total_cmp(&x.distance));
    (moved, gone, new)
}

/// Quick to see: the same contours at the same heights.
fn are_same(was: &[&Feature], now: &[&Feature]) -> bool {
    let same = |f: &Feature, g: &Feature| f.contour == g.contour && f.bottom == g.bottom && f.top == g.top;
    was.len() == now.len() && was.iter().zip(now).all(|(f, g)| same(f, g))
}

/// How far the borders of a role are from those of the other version, either way, and where on the earlier
/// one that is, mm.
fn in_plan(a: &Stack, of_a: &[Vec<Segment>], b: &Stack, of_b: &[Vec<Segment>], role: Role) -> (f64, Point) {
    let whole = |s: &Stack| s.with_role(role).flat_map(|f| f.contour.segments().to_vec()).collect::<Vec<_>>();
    let real = |s: &Stack, borders: &[Vec<Segment>]| {
        let of_role = s.features.iter().zip(borders).filter(|(f, _)| f.role == role);
        of_role.flat_map(|(_, border)| border.clone()).collect::<Vec<_>>()
    };
    let (out, at) = furthest(&real(a, of_a), &whole(b));
    let (back, _) = furthest(&real(b, of_b), &whole(a));
    (out.max(back), at)
}

/// For each feature the stretches of its contour that part material from air somewhere: a cutter stands out
/// into the air, and what a later feature covers is no surface.
fn real_borders(stack: &Stack) -> Vec<Vec<Segment>> {
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

/// How far the ends of features of a role moved up or down, mm. Where a cut goes through there is no surface.
fn levels_moved((a, was): (&Stack, &[&Feature]), (b, now): (&Stack, &[&Feature])) -> f64 {
    let (high_a, high_b) = (a.height(), b.height());
    let moved = |f: &Feature, g: &Feature| {
        let through = |f: &Feature, g: &Feature, ends: fn(&Feature) -> f64, at: [f64; 2]| {
            f.kind == Kind::Cut && (ends(f) - at[0]).abs() < SNAP && (ends(g) - at[1]).abs() < SNAP
        };
        let lower = if through(f, g, |f| f.bottom, [0.0, 0.0]) { 0.0 } else { (f.bottom - g.bottom).abs() };
        let upper = if through(f, g, |f| f.top, [high_a, high_b]) { 0.0 } else { (f.top - g.top).abs() };
        lower.max(upper)
    };
    was.iter().zip(now).map(|(f, g)| moved(f, g)).fold(0.0, f64::max)
}

/// A quarter-round of another radius: its middle lies (√2 - 1) times the difference further in.
fn rounding_moved(a: &Stack, b: &Stack) -> Option<Movement> {
    let radius = |s: &Stack| s.rounding.map_or(0.0, |r| r.radius);
    let plan = (radius(a) - radius(b)).abs() * (2f64.sqrt() - 1.0);
    let feature = a.rounding.or(b.rounding)?.feature;
    let outline = a.features.get(feature).or(b.features.get(feature))?;
    let at = outline.contour.segments().first()?.from;
    (plan > SNAP).then_some(Movement { role: outline.role, distance: plan, plan, level: 0.0, at })
}
