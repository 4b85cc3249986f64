//! A plate as it is cut out of a sheet: where the middle of the cut runs.

use bobbinwright_kernel::plane::offset::{self, Border};
use bobbinwright_kernel::plane::{Contour, Point, Segment, Vector, contour_distance_below};
use bobbinwright_spec::Length;

use super::Part;
use crate::{Role, Stack};
use bobbinwright_kernel::Kind;

/// What a cutter follows, in the plate's own frame as seen from above.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOut {
    /// The plate itself: its outer border and its holes.
    pub outlines: Outlines,
    /// The middle of the cut, half of its width outside of the plate: in the holes smaller than they are, round the border
    /// larger. Holes come first, so that the plate does not move while they are cut.
    pub cuts: Vec<Contour>,
    /// Lines that are only scored, beside the bass end: one for the family's first position, two for its second.
    pub marks: Vec<Segment>,
}

/// The borders of a plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlines {
    /// The outer one.
    pub outer: Contour,
    /// Its holes, in the order in which they are made.
    pub holes: Vec<Contour>,
}

impl Outlines {
    /// Of a plate whose features go all through it; none where it has no border, or falls apart.
    pub fn of(stack: &Stack) -> Option<Self> {
        let of =
            |kind: Kind| stack.features.iter().filter(move |f| f.kind == kind).map(|f| f.contour.clone());
        let (plus, minus): (Vec<_>, Vec<_>) = (of(Kind::Add).collect(), of(Kind::Cut).collect());
        let (holes, outer): (Vec<Border>, Vec<Border>) =
            offset::borders(&plus, &minus).into_iter().partition(|border| border.hole);
        let [Border { contour: outer, .. }] = <[Border; 1]>::try_from(outer).ok()?;
        // As they were cut: the arrangement gives them in no order.
        let rank = |hole: &Contour| {
            let nearest = |(i, cut): (usize, &Contour)| {
                let [a, b] = [hole, cut].map(middle);
                ((a - b).norm(), i)
            };
            minus
                .iter()
                .enumerate()
                .map(nearest)
                .min_by(|a, b| a.0.total_cmp(&b.0))
                .map_or(0, |found| found.1)
        };
        let mut holes: Vec<Contour> = holes.into_iter().map(|border| whole(border.contour)).collect();
        holes.sort_by_key(rank);
        Some(Self { outer, holes })
    }

    /// Area of the plate, mm².
    pub fn area(&self) -> f64 {
        self.outer.area() - self.holes.iter().map(Contour::area).sum::<f64>()
    }
}

impl CutOut {
    /// Of a plate, by a cut that is so wide; `position` is which of the family's it belongs to, from 0 on, and `bass` where its
    /// bass end is: -1 or 1. None where something is too narrow for the cut, which no plate is that was built.
    pub fn of(part: &Part, kerf: Length, position: usize, bass: f64) -> Option<Self> {
        let outlines = Outlines::of(&part.stack)?;
        let half = kerf.as_mm() / 2.0;
        let one = |all: Vec<Contour>| <[Contour; 1]>::try_from(all).ok().map(|[one]| one);
        let holes = outlines.holes.iter().map(|hole| one(offset::inset(hole, half)).map(whole));
        let mut cuts: Vec<Contour> = holes.collect::<Option<_>>()?;
        cuts.push(one(offset::outset(&outlines.outer, half))?);
        let marks = marks(&outlines, part, position + 1, bass);
        Some(Self { outlines, cuts, marks })
    }
}

/// A circle in two halves where it is one, however many pieces it came in.
fn whole(contour: Contour) -> Contour {
    contour.as_circle().map_or(contour, |(center, radius)| Contour::circle(center, radius))
}

fn middle(contour: &Contour) -> Point {
    let bounds = contour.bounds();
    bounds.min + (bounds.max - bounds.min) / 2.0
}

/// How long a scored line is, how far they are apart, and from everything that is cut, mm.
const LONG: f64 = 1.6;
const APART: f64 = 1.0;
const CLEAR: f64 = 0.4;

/// So many lines near the bass end, in the first place where there is room for them; none where there is none.
fn marks(outlines: &Outlines, part: &Part, count: usize, bass: f64) -> Vec<Segment> {
    let Some(poles) = outermost(part, bass) else { return Vec::new() };
    let bounds = outlines.outer.bounds();
    let end = if bass > 0.0 { bounds.max.x } else { bounds.min.x };
    let wide = APART * (count - 1) as f64;
    let lines = |at: Point| -> Vec<Segment> {
        let first = at - Vector::new(0.0, wide / 2.0);
        let line = |i: usize| {
            let from = first + Vector::new(-bass * LONG / 2.0, APART * i as f64);
            Segment::line(from, from + Vector::new(bass * LONG, 0.0))
        };
        (0..count).map(line).collect()
    };
    let is_clear = |lines: &Vec<Segment>| {
        let (low, high) = (lines[0], lines[lines.len() - 1]);
        let round = Contour::rectangle(low.from - Vector::new(0.01, 0.01), high.to + Vector::new(0.01, 0.01));
        let all = std::iter::once(&outlines.outer).chain(&outlines.holes);
        all.clone().all(|border| contour_distance_below(border, &round, CLEAR) >= CLEAR)
            && outlines.outer.contains(low.from)
            && outlines.holes.iter().all(|hole| !hole.contains(low.from))
    };
    // From the end's middle between poles and end outwards, then towards the poles.
    let across = [0.5, 0.65, 0.35, 0.8, 0.2];
    let up = [0.0, 0.3, -0.3, 0.5, -0.5, 0.65, -0.65];
    let half = bounds.max.y.min(-bounds.min.y);
    let places = across.into_iter().flat_map(|x| up.map(|y| Point::new(poles + (end - poles) * x, half * y)));
    places.map(lines).find(is_clear).unwrap_or_default()
}

/// Where the bass end's last pole hole ends.
fn outermost(part: &Part, bass: f64) -> Option<f64> {
    let ends = part.stack.with_role(Role::PoleHole).map(|f| {
        let bounds = f.contour.bounds();
        if bass > 0.0 { bounds.max.x } else { bounds.min.x }
    });
    ends.max_by(|a, b| (a * bass).total_cmp(&(b * bass)))
}
