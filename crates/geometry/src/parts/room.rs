//! Between which values a wanted dimension can be chosen, everything else left as it is.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::{Hardware, Length, Parameter, Position, Unit};

use super::layout::Layout;
use super::remedy::limit;
use super::{PartKind, stack_of};
use crate::Stack;
use bobbinwright_kernel::solid::build;

/// Ranges of a dimension with which all parts of a position can be made, ascending, both ends included.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranges(Vec<[Length; 2]>);

impl Ranges {
    /// All of them; at least one.
    pub fn all(&self) -> &[[Length; 2]] {
        &self.0
    }

    /// In a unit, to its step, no wider than they are: `0.90 mm to 2.53 mm, or 3.10 mm to 4.00 mm`.
    pub fn shown(&self, unit: Unit) -> String {
        let step = unit.step();
        // A hair more or less is rounding noise of what is a whole number of steps.
        let inwards = |least: Length, most: Length| {
            [(least / step - 1e-6).ceil(), (most / step + 1e-6).floor()].map(|steps| step * steps)
        };
        let one = |[least, most]: &[Length; 2]| {
            let [least, most] = inwards(*least, *most).map(|length| unit.shown(length));
            format!("{least} to {most}")
        };
        self.0.iter().map(one).collect::<Vec<_>>().join(", or ")
    }

    /// Does a value lie in one of them?
    pub fn contain(&self, value: Length) -> bool {
        self.0.iter().any(|[least, most]| (*least..=*most).contains(&value))
    }

    /// What is in both; none where nothing is.
    #[must_use]
    pub fn and(&self, other: &Self) -> Option<Self> {
        let both = self.0.iter().flat_map(|[a, b]| other.0.iter().map(|[c, d]| [a.max(*c), b.min(*d)]));
        let both: Vec<[Length; 2]> = both.filter(|[least, most]| least <= most).collect();
        (!both.is_empty()).then_some(Self(both))
    }

    /// What of them works by another measure, as far as a few values in each tell; none where `wanted`, which is in them, does not.
    pub fn that_work(&self, wanted: Length, mut works: impl FnMut(Length) -> bool) -> Option<Self> {
        let ends = self.0.iter().flatten().all(|end| works(*end));
        if ends {
            return Some(self.clone());
        }
        let mut works = |mm: f64| works(Length::from_mm(mm));
        if !works(wanted.as_mm()) {
            return None;
        }
        let narrowed = self.0.iter().flat_map(|[least, most]| {
            let [from, to] = [least, most].map(|end| end.as_mm());
            let inside = (from..=to).contains(&wanted.as_mm()).then_some(wanted.as_mm());
            let share = |i: u32| from + (to - from) * f64::from(i) / f64::from(INSIDE);
            let mut places: Vec<f64> = (0..=INSIDE).map(share).chain(inside).collect();
            places.sort_by(f64::total_cmp);
            places.dedup();
            let probes: Vec<(f64, bool)> = places.into_iter().map(|mm| (mm, works(mm))).collect();
            ranges(&probes, &mut works)
        });
        Some(Self(narrowed.collect()))
    }
}

/// So many values are tried on either side of the wanted one, the nearer the denser: a gap that lies between two of
/// them is not seen.
const PROBES: u32 = 28;

/// In so many parts a range is tried for what is asked of it besides.
const INSIDE: u32 = 6;

/// The ranges of a dimension with which all parts of its position can be made; none where the position has no such
/// dimension or the parts can't be made as it is.
pub fn room_for(position: &Position, hardware: &Hardware, dimension: &Parameter) -> Option<Ranges> {
    let wanted = (dimension.field)(&mut position.wanted.clone()).copied()?.as_mm();
    let mut trial = Trial { position: position.clone(), hardware, dimension, sound: Vec::new() };
    if !trial.works(wanted) {
        return None;
    }
    let mut places: Vec<f64> = Vec::new();
    for end in [dimension.low, dimension.high] {
        let share = |i: u32| (f64::from(i) / f64::from(PROBES)).power(2);
        places.extend((1..=PROBES).map(|i| wanted + (end - wanted) * share(i)));
    }
    places.push(wanted);
    places.sort_by(f64::total_cmp);
    places.dedup();
    let probes: Vec<(f64, bool)> = places.into_iter().map(|mm| (mm, trial.works(mm))).collect();
    Some(Ranges(ranges(&probes, &mut |mm| trial.works(mm))))
}

/// From values that work and values that do not, in ascending order, to where the one becomes the other.
fn ranges(probes: &[(f64, bool)], works: &mut impl FnMut(f64) -> bool) -> Vec<[Length; 2]> {
    let mut all = Vec::new();
    let mut least = probes.first().filter(|(_, good)| *good).map(|(mm, _)| *mm);
    for pair in probes.windows(2) {
        let [(before, was_good), (after, is_good)] = [pair[0], pair[1]];
        match (was_good, is_good, least) {
            (false, true, _) => least = Some(limit(after, before, works)),
            (true, false, Some(from)) => {
                all.push([from, limit(before, after, works)].map(Length::from_mm));
                least = None;
            }
            _ => {}
        }
    }
    if let (Some(from), Some((last, _))) = (least, probes.last()) {
        all.push([from, *last].map(Length::from_mm));
    }
    all
}

/// A position in which one dimension is tried.
struct Trial<'a> {
    position: Position,
    hardware: &'a Hardware,
    dimension: &'a Parameter,
    /// Of each part what was last built: most dimensions leave most parts as they are.
    sound: Vec<(PartKind, Stack)>,
}

impl Trial<'_> {
    fn works(&mut self, mm: f64) -> bool {
        if let Some(field) = (self.dimension.field)(&mut self.position.wanted) {
            *field = Length::from_mm(mm);
        }
        let Ok(layout) = Layout::new(&self.position, self.hardware) else { return false };
        PartKind::ALL.into_iter().all(|kind| self.part_works(&layout, kind))
    }

    fn part_works(&mut self, layout: &Layout, kind: PartKind) -> bool {
        let Ok(stack) = stack_of(layout, kind) else { return false };
        let known = self.sound.iter().position(|(k, _)| *k == kind);
        if known.is_some_and(|at| self.sound[at].1 == stack) {
            return true;
        }
        let works = build(&stack).is_ok();
        match known {
            Some(at) if works => self.sound[at].1 = stack,
            None if works => self.sound.push((kind, stack)),
            _ => {}
        }
        works
    }
}
