//! The rounding of the top outer edge: a quarter cylinder along each line of the outline, a piece
//! of torus along each arc, a piece of sphere where the rounding equals the corner radius.
//!
//! At a height h above its start the rounding stands back from the outline by
//! `r - sqrt(r² - h²)`. It may run through several slabs (a rounding larger than the roof is thick
//! is fine), as long as nothing else comes nearer to the outline than it stands back there.

use super::plan::{Crest, Plan, Raw, RawFace, Side};
use super::{Point3, Surface, Vector3};
use crate::plane::{Point, SNAP, Segment, Vector, left_of, segment_distance};
use crate::stack::{Rounding, StackError};

/// How far the rounding of `radius` stands back from the outline at `height` above its start, mm.
///
/// ```
/// // A rounding of 5 mm, 4 mm up: 5 - sqrt(25 - 16) = 2.
/// # use bobbinwright_kernel::setback;
/// assert!((setback(5.0, 4.0) - 2.0).abs() < 1e-12);
/// ```
pub fn setback(radius: f64, height: f64) -> f64 {
    let height = height.clamp(0.0, radius);
    radius - ((radius - height) * (radius + height)).sqrt()
}

/// Works the rounding out and refuses what it can't be.
pub(super) fn prepare(plan: &mut Plan, rounding: Rounding) -> Result<(), StackError> {
    let feature = plan.stack.features.get(rounding.feature);
    let contour = &feature.ok_or(StackError::NoSuchFeature { feature: rounding.feature })?.contour;
    if let Some(at) = contour.first_sharp_corner() {
        return Err(StackError::RoundingOnCorner { at });
    }
    let corner = contour.smallest_convex_radius();
    if rounding.radius > corner + SNAP {
        return Err(StackError::RoundingOverCorner { corner });
    }
    let start = plan.stack.height() - rounding.radius;
    let Some(level) = plan.levels.iter().position(|z| (z - start).abs() < SNAP) else {
        return Err(StackError::RoundingInterrupted { feature: None });
    };
    let segments = contour.segments().to_vec();
    let copies: Vec<Option<Segment>> = segments.iter().map(|s| inset_copy(s, rounding.radius)).collect();
    let (corners, corner_at_start) = inset_corners(&segments, rounding.radius);
    refuse_self_meeting(&segments, &copies, rounding.radius)?;
    refuse_ridge(&copies, &corner_at_start)?;

    let along = &plan.arrangement.along[rounding.feature];
    let pieces = along.iter().enumerate().flat_map(|(s, ps)| ps.iter().map(move |p| (p.0, s)));
    plan.outline_segment = pieces.collect();
    plan.crest = Some(Crest {
        contour: rounding.feature,
        radius: rounding.radius,
        level,
        copies,
        corners,
        corner_at_start,
    });
    refuse_interruptions(plan, rounding.feature, level)?;
    refuse_meetings(plan, &segments, rounding.radius, level)
}

/// The segment moved inwards (to its left) by `r`; `None` where an arc shrinks to its centre.
fn inset_copy(segment: &Segment, r: f64) -> Option<Segment> {
    let (from, to) = (inset_point(segment, segment.from, r), inset_point(segment, segment.to, r));
    match segment.bend {
        None => Some(Segment::line(from, to)),
        Some(b) if b.ccw && b.radius - r < SNAP => None,
        Some(b) => Some(Segment::arc(from, to, b.center, b.ccw)),
    }
}

fn inset_point(segment: &Segment, p: Point, r: f64) -> Point {
    match segment.bend {
        Some(b) if b.ccw && b.radius - r < SNAP => b.center,
        _ => p + left_of(segment.direction_at(p)) * r,
    }
}

/// The inset of each segment's start, places within `SNAP` counted once.
fn inset_corners(segments: &[Segment], r: f64) -> (Vec<Point>, Vec<usize>) {
    let mut corners: Vec<Point> = Vec::new();
    let at_start = segments.iter().map(|s| {
        let p = inset_point(s, s.from, r);
        corners.iter().position(|q| (p - q).norm() < SNAP).unwrap_or_else(|| {
            corners.push(p);
            corners.len() - 1
        })
    });
    let at_start = at_start.collect();
    (corners, at_start)
}

/// The inset copy is sound when every part of it keeps the full distance from the whole outline.
fn refuse_self_meeting(outline: &[Segment], copies: &[Option<Segment>], r: f64) -> Result<(), StackError> {
    for copy in copies.iter().flatten() {
        let around = copy.bounds();
        let meets = |s: &Segment| s.bounds().distance(&around) < r && segment_distance(copy, s) < r - SNAP;
        if outline.iter().any(meets) {
            return Err(StackError::RoundingMeetsItself);
        }
    }
    Ok(())
}

/// The inset copies must bound a flat top: where two sides' roundings just meet they leave a
/// ridge, and their copies lie on each other.
fn refuse_ridge(copies: &[Option<Segment>], corner_at_start: &[usize]) -> Result<(), StackError> {
    let n = copies.len();
    let present: Vec<(usize, &Segment)> =
        copies.iter().enumerate().filter_map(|(i, c)| c.as_ref().map(|c| (i, c))).collect();
    if present.is_empty() {
        return Err(StackError::RoundingMeetsItself);
    }
    for (k, (i, a)) in present.iter().enumerate() {
        for (j, b) in &present[k + 1..] {
            let near = a.bounds().distance(&b.bounds()) < SNAP && segment_distance(a, b) < SNAP;
            let ends = |s: usize| [corner_at_start[s], corner_at_start[(s + 1) % n]];
            let shared = ends(*i).iter().filter(|c| ends(*j).contains(c)).count();
            let on_each_other = shared == 0 || (shared == 2 && a.bend.is_none() && b.bend.is_none());
            if near && on_each_other {
                return Err(StackError::RoundingMeetsItself);
            }
        }
    }
    Ok(())
}

/// In the whole zone the outline must be the border of material on its inside.
fn refuse_interruptions(plan: &Plan, contour: usize, level: usize) -> Result<(), StackError> {
    for &(index, forward) in plan.arrangement.along[contour].iter().flatten() {
        let piece = &plan.arrangement.pieces[index];
        for slab in level..plan.regions.len() {
            if plan.wall_side(piece, slab) != Some(forward) {
                let z = f64::midpoint(plan.levels[slab], plan.levels[slab + 1]);
                let shared = plan
                    .arrangement
                    .along
                    .iter()
                    .position(|segments| segments.iter().flatten().any(|&(p, _)| p == index));
                let over = (piece.left | piece.right) & !(1 << contour);
                let culprit = plan.stack.features.iter().enumerate().position(|(i, f)| {
                    i != contour && f.bottom < z && z < f.top && (over & (1 << i) != 0 || shared == Some(i))
                });
                return Err(StackError::RoundingInterrupted { feature: culprit });
            }
        }
    }
    Ok(())
}

/// In each slab of the zone, every other border keeps clear of what the rounding has taken away
/// at the slab's top.
fn refuse_meetings(plan: &Plan, outline: &[Segment], r: f64, level: usize) -> Result<(), StackError> {
    let start = plan.levels[level];
    for slab in level..plan.regions.len() {
        let taken = setback(r, plan.levels[slab + 1] - start);
        for (i, piece) in plan.arrangement.pieces.iter().enumerate() {
            let other_wall = !plan.outline_segment.contains_key(&i) && plan.wall_side(piece, slab).is_some();
            let around = piece.segment.bounds();
            let meets = |s: &Segment| {
                s.bounds().distance(&around) < taken + SNAP
                    && segment_distance(s, &piece.segment) < taken + SNAP
            };
            if other_wall && outline.iter().any(meets) {
                let feature = plan
                    .arrangement
                    .along
                    .iter()
                    .position(|segments| segments.iter().flatten().any(|&(p, _)| p == i));
                return Err(StackError::RoundingMeets { feature: feature.unwrap_or_default() });
            }
        }
    }
    Ok(())
}

/// One band for each segment of the rounded outline.
pub(super) fn faces(plan: &Plan) -> Vec<RawFace> {
    let Some(crest) = &plan.crest else { return Vec::new() };
    let outline = plan.stack.features[crest.contour].contour.segments();
    let along = &plan.arrangement.along[crest.contour];
    let n = outline.len();
    (0..n)
        .map(|s| {
            let mut sides: Vec<Side> =
                along[s].iter().map(|&(p, forward)| (Raw::Flat(p, crest.level), forward)).collect();
            let start = start_vertex(plan, along[s][0]);
            let end = start_vertex(plan, along[(s + 1) % n][0]);
            sides.push((Raw::Quarter(end), true));
            if crest.copies[s].is_some() {
                sides.push((Raw::Crest(s), false));
            }
            sides.push((Raw::Quarter(start), false));
            RawFace { surface: surface(&outline[s], crest.radius, plan.levels[crest.level]), sides }
        })
        .collect()
}

fn start_vertex(plan: &Plan, (piece, forward): (usize, bool)) -> usize {
    let piece = &plan.arrangement.pieces[piece];
    if forward { piece.from } else { piece.to }
}

fn surface(segment: &Segment, r: f64, z: f64) -> Surface {
    let at = |p: Point| Point3::new(p.x, p.y, z);
    match segment.bend {
        None => {
            let d: Vector = (segment.to - segment.from).normalize();
            Surface::Cylinder {
                origin: at(inset_point(segment, segment.from, r)),
                axis: Vector3::new(d.x, d.y, 0.0),
                radius: r,
                convex: true,
            }
        }
        Some(b) if b.ccw && b.radius - r < SNAP => Surface::Sphere { center: at(b.center), radius: r },
        Some(b) => {
            let major = if b.ccw { b.radius - r } else { b.radius + r };
            Surface::Torus { center: at(b.center), major, minor: r }
        }
    }
}
