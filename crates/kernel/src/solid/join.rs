//! From raw faces to the finished solid: raw edges in a row become one edge, steps become closed
//! borders, borders become faces with their holes, and everything gets its number.

use std::collections::BTreeMap;

use rustc_hash::{FxHashMap, FxHashSet};

use super::measure::{Chart, signed_area};
use super::plan::{Corner, Plan, Raw, RawFace};
use super::{Curve, Edge, Face, Point3, Solid, Step, Surface, Vector3};
use crate::plane::{Contour, Segment};
use crate::stack::StackError;

/// Puts the solid together. Its measures are still zero.
pub(super) fn join(plan: &Plan, raw: Vec<RawFace>) -> Result<Solid, StackError> {
    let chains = Chains::new(plan, &raw);
    let mut solid = Solid {
        vertices: Vec::new(),
        edges: Vec::new(),
        faces: Vec::new(),
        volume: 0.0,
        area: 0.0,
        through_holes: 0,
    };
    let numbers = chains.number(plan, &mut solid);
    for face in raw {
        // A joined edge stands in a border once: where its first raw edge does.
        let steps = face.sides.iter().filter_map(|&(raw, forward)| {
            let (edge, same_way) = *numbers.get(&raw)?;
            Some(Step { edge, forward: forward == same_way })
        });
        let borders = close(&solid, steps.collect()).map_err(|v| chains.touching(plan, &solid, v))?;
        sort_into_faces(&mut solid, face.surface, borders);
    }
    Ok(solid)
}

/// The ends of a raw edge in its own direction.
fn ends(plan: &Plan, raw: Raw) -> (Corner, Corner) {
    let crest_corner = |s: usize| match &plan.crest {
        Some(c) => Corner::Crest(c.corner_at_start[s % c.corner_at_start.len()]),
        None => Corner::Crest(0),
    };
    match raw {
        Raw::Flat(piece, level) => {
            let p = &plan.arrangement.pieces[piece];
            (Corner::Level(p.from, level), Corner::Level(p.to, level))
        }
        Raw::Upright(v, slab) => (Corner::Level(v, slab), Corner::Level(v, slab + 1)),
        Raw::Quarter(v) => {
            let level = plan.crest.as_ref().map_or(0, |c| c.level);
            (Corner::Level(v, level), crest_corner(segment_starting_at(plan, v)))
        }
        Raw::Crest(s) => (crest_corner(s), crest_corner(s + 1)),
    }
}

/// The rounded outline's segment that starts at an arrangement vertex.
fn segment_starting_at(plan: &Plan, vertex: usize) -> usize {
    let Some(crest) = &plan.crest else { return 0 };
    let starts_here = |pieces: &Vec<(usize, bool)>| {
        pieces.first().is_some_and(|&(p, forward)| {
            let piece = &plan.arrangement.pieces[p];
            vertex == if forward { piece.from } else { piece.to }
        })
    };
    plan.arrangement.along[crest.contour].iter().position(starts_here).unwrap_or(0)
}

/// Raw edges that continue each other.
struct Chains {
    /// In order of first use.
    order: Vec<Raw>,
    /// The raw edges that meet in each corner.
    at: FxHashMap<Corner, Vec<Raw>>,
}

impl Chains {
    fn new(plan: &Plan, faces: &[RawFace]) -> Self {
        let mut chains = Self { order: Vec::new(), at: FxHashMap::default() };
        let mut seen = FxHashSet::default();
        for &(raw, _) in faces.iter().flat_map(|f| &f.sides) {
            if seen.insert(raw) {
                chains.order.push(raw);
                let (a, b) = ends(plan, raw);
                chains.at.entry(a).or_default().push(raw);
                chains.at.entry(b).or_default().push(raw);
            }
        }
        chains
    }

    /// Numbers vertices and edges. The map gives, for the first raw edge of each joined edge, its
    /// number and whether both run the same way.
    fn number(&self, plan: &Plan, solid: &mut Solid) -> FxHashMap<Raw, (usize, bool)> {
        let mut numbers = FxHashMap::default();
        let mut done: FxHashSet<Raw> = FxHashSet::default();
        let mut vertices: FxHashMap<Corner, usize> = FxHashMap::default();
        for &raw in &self.order {
            if done.contains(&raw) {
                continue;
            }
            let (first, last) = ends(plan, raw);
            done.insert(raw);
            let start = self.walk(plan, raw, first, &mut done);
            let end = self.walk(plan, raw, last, &mut done);
            let mut number = |corner: Corner| {
                *vertices.entry(corner).or_insert_with(|| {
                    solid.vertices.push(plan.place(corner));
                    solid.vertices.len() - 1
                })
            };
            let (start, end) = (number(start), number(end));
            numbers.insert(raw, (solid.edges.len(), true));
            solid.edges.push(Edge { start, end, curve: curve(plan, raw) });
        }
        numbers
    }

    /// Follows a chain from `raw` through `corner` as far as it goes; gives the corner at its end.
    fn walk(&self, plan: &Plan, mut raw: Raw, mut corner: Corner, done: &mut FxHashSet<Raw>) -> Corner {
        while let Some(next) = self.continuation(plan, raw, corner) {
            if !done.insert(next) {
                break;
            }
            let (a, b) = ends(plan, next);
            corner = if a == corner { b } else { a };
            raw = next;
        }
        corner
    }

    /// The raw edge on the same line or arc that meets `raw` in `corner`, when nothing else does.
    fn continuation(&self, plan: &Plan, raw: Raw, corner: Corner) -> Option<Raw> {
        let [a, b] = self.at.get(&corner)?[..] else { return None };
        let next = if a == raw { b } else { a };
        let same = match (raw, next) {
            (Raw::Upright(..), Raw::Upright(..)) => true,
            (Raw::Flat(p, l), Raw::Flat(q, m)) => {
                let pieces = &plan.arrangement.pieces;
                l == m && pieces[p].carrier == pieces[q].carrier
            }
            _ => false,
        };
        same.then_some(next)
    }

    /// The refusal for borders that touch in a vertex.
    fn touching(&self, plan: &Plan, solid: &Solid, vertex: usize) -> StackError {
        let place = solid.vertices[vertex];
        let at = self.at.keys().find_map(|c| match c {
            Corner::Level(v, _) if (plan.place(*c) - place).norm() == 0.0 => Some(*v),
            _ => None,
        });
        StackError::Touching { features: at.map(|v| plan.features_at(v)).unwrap_or_default() }
    }
}

fn curve(plan: &Plan, raw: Raw) -> Curve {
    let flat = |segment: &Segment, z: f64| match segment.bend {
        None => Curve::Line,
        Some(b) => Curve::Arc {
            center: Point3::new(b.center.x, b.center.y, z),
            axis: if b.ccw { Vector3::z() } else { -Vector3::z() },
            radius: b.radius,
        },
    };
    match (raw, &plan.crest) {
        (Raw::Flat(piece, level), _) => flat(&plan.arrangement.pieces[piece].segment, plan.levels[level]),
        (Raw::Crest(s), Some(crest)) => {
            let z = plan.levels[plan.levels.len() - 1];
            crest.copies[s].as_ref().map_or(Curve::Line, |copy| flat(copy, z))
        }
        (Raw::Quarter(_), Some(crest)) => {
            let (low, high) = ends(plan, raw);
            let (low, high) = (plan.place(low), plan.place(high));
            let center = Point3::new(high.x, high.y, plan.levels[crest.level]);
            let axis = (low - center).cross(&(high - center)).normalize();
            Curve::Arc { center, axis, radius: crest.radius }
        }
        _ => Curve::Line,
    }
}

/// Strings steps together into closed borders. `Err` is a vertex at which two borders touch.
fn close(solid: &Solid, steps: Vec<Step>) -> Result<Vec<Vec<Step>>, usize> {
    let mut by_start: BTreeMap<usize, Step> = BTreeMap::new();
    for step in &steps {
        if by_start.insert(solid.step_start(*step), *step).is_some() {
            return Err(solid.step_start(*step));
        }
    }
    let mut borders = Vec::new();
    for step in steps {
        if by_start.remove(&solid.step_start(step)).is_none() {
            continue;
        }
        let mut border = vec![step];
        let mut end = solid.step_end(step);
        while let Some(next) = by_start.remove(&end) {
            border.push(next);
            end = solid.step_end(next);
        }
        if end != solid.step_start(step) {
            return Err(end);
        }
        borders.push(border);
    }
    Ok(borders)
}

/// Gives every hole to the smallest outer border round it; each outer border makes a face.
fn sort_into_faces(solid: &mut Solid, surface: Surface, borders: Vec<Vec<Step>>) {
    if borders.len() == 1 {
        solid.faces.push(Face { surface, borders });
        return;
    }
    let areas: Vec<f64> = borders.iter().map(|b| signed_area(solid, surface, b)).collect();
    let (outer, holes): (Vec<usize>, Vec<usize>) = (0..borders.len()).partition(|&i| areas[i] > 0.0);
    let mut groups: Vec<Vec<usize>> = outer.iter().map(|&o| vec![o]).collect();
    let charts: Vec<Chart> = outer.iter().map(|&o| Chart::of(solid, surface, &borders[o])).collect();
    let laid = |g: usize| Contour::new(charts[g].lay(solid, &borders[outer[g]]));
    let contours: Vec<Contour> = (0..outer.len()).map(laid).collect();
    for hole in holes {
        let holds = |g: &usize| {
            let probe = charts[*g].lay(solid, &borders[hole]).first().map(Segment::middle);
            probe.is_some_and(|p| contours[*g].contains(p))
        };
        let home =
            (0..outer.len()).filter(holds).min_by(|&a, &b| areas[outer[a]].total_cmp(&areas[outer[b]]));
        // A hole without an outer border can't come from a sound arrangement; the shell check
        // that follows would see the missing face.
        if let Some(home) = home {
            groups[home].push(hole);
        }
    }
    for group in groups {
        let borders = group.iter().map(|&i| borders[i].clone()).collect();
        solid.faces.push(Face { surface, borders });
    }
}
