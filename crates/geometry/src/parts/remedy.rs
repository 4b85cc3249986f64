//! What to change so that a part can be made: looked for by trying.

use bobbinwright_spec::{Hardware, Length, Mounting, PARAMETERS, Parameter, Position, Side, parameter};

use super::layout::Layout;
use super::{PartKind, stack_of, try_part};
use crate::Stack;
use bobbinwright_kernel::solid::build;

/// What makes a part buildable where no value of the blamed dimension does.
#[derive(Clone, Debug, PartialEq)]
pub enum Remedy {
    /// Another dimension's value, or the values of two, to be stated together.
    Dimensions(Vec<(&'static str, Length)>),
    /// Another side for the lead-out, and its offset there.
    LeadOut(Side, Length),
    /// Another way to hold the cover.
    Mounting(Mounting),
}

impl Remedy {
    /// Gives it to a position; false where the position has no such dimension.
    pub fn put_in(&self, position: &mut Position) -> bool {
        match self {
            Remedy::Dimensions(all) => all.iter().all(|(path, value)| {
                let field = parameter(path).and_then(|p| (p.field)(&mut position.wanted));
                field.map(|field| *field = *value).is_some()
            }),
            Remedy::LeadOut(side, offset) => {
                position.wanted.cover.lead_out.side = *side;
                position.wanted.cover.lead_out.offset = *offset;
                true
            }
            Remedy::Mounting(mounting) => {
                position.wanted.cover.mounting = *mounting;
                true
            }
        }
    }
}

/// How thick the ears are that are proposed, and how they go over into the cover: what a new family begins with, mm.
const EAR_THICKNESS: f64 = 3.0;
const EAR_BLEND: f64 = 0.4;

/// Plastic between a screw's head and the end and sides of the ears that are proposed, mm: common practice.
const ROUND_HEAD: f64 = 1.5;

/// Steps of a search between a wanted value and the end of the sensible range.
const PROBES: u32 = 40;

/// The same at first, where all dimensions are gone through.
const FEW_PROBES: u32 = 6;

/// Values of the blamed dimension, between the ends of its range, beside which a second one is looked for.
const BESIDE: [f64; 3] = [0.02, 0.1, 0.4];

/// A position in which values are tried.
pub(super) struct Search<'a> {
    trial: Position,
    hardware: &'a Hardware,
    part: PartKind,
    /// What was tried last and did not build. Most dimensions say nothing about a given part and leave it as it is.
    failed: Option<Stack>,
    /// A value counts only if all other parts can be made with it too.
    whole: bool,
}

impl<'a> Search<'a> {
    pub fn new(position: &Position, hardware: &'a Hardware, part: PartKind) -> Self {
        Self { trial: position.clone(), hardware, part, failed: None, whole: true }
    }

    /// The value of a dimension nearest to the wanted one with which all parts of the position can be made; or only
    /// this one, where another is in the way whatever this dimension is.
    pub fn nearest(&mut self, dimension: &Parameter) -> Option<Length> {
        let of_all = self.near(dimension, PROBES, f64::INFINITY);
        let found = of_all.or_else(|| self.alone(|search| search.near(dimension, PROBES, f64::INFINITY)));
        found.map(|(_, value)| value)
    }

    /// The same search where only this part counts.
    fn alone<T>(&mut self, search: impl FnOnce(&mut Self) -> T) -> T {
        self.whole = false;
        let found = search(self);
        self.whole = true;
        found
    }

    /// What else helps, that which changes least first: one other dimension, the side of the lead-out, another
    /// dimension together with the blamed one. What suits all parts comes before what suits this one alone.
    pub fn remedy(&mut self, blamed: Option<&Parameter>) -> Option<Remedy> {
        self.of_part(blamed).or_else(|| self.alone(|search| search.of_part(blamed)))
    }

    fn of_part(&mut self, blamed: Option<&Parameter>) -> Option<Remedy> {
        let one = self.any(FEW_PROBES).or_else(|| self.any(PROBES));
        one.map(|one| Remedy::Dimensions(vec![one]))
            .or_else(|| self.other_side())
            .or_else(|| self.two(blamed?).map(|two| Remedy::Dimensions(two.to_vec())))
    }

    fn works(&mut self) -> bool {
        let layout = Layout::new(&self.trial, self.hardware);
        let Ok(stack) = layout.and_then(|layout| stack_of(&layout, self.part)) else { return false };
        if self.failed.as_ref() == Some(&stack) {
            return false;
        }
        let works = build(&stack).is_ok();
        if !works {
            self.failed = Some(stack);
        }
        works && (!self.whole || self.others_work())
    }

    fn others_work(&self) -> bool {
        let mut others = PartKind::ALL.into_iter().filter(|kind| *kind != self.part);
        others.all(|kind| try_part(&self.trial, self.hardware, kind).is_ok())
    }

    /// Ears that reach beyond the screws: as large as their recesses where the body has them, else round the heads.
    pub fn ears(&mut self) -> Option<Remedy> {
        let layout = Layout::new(&self.trial, self.hardware).ok()?;
        let around = self.hardware.screw_head.value() / 2.0 + Length::from_mm(ROUND_HEAD);
        let rounded = |length: Length| Length::from_mm((length.as_mm() * STEPS).ceil() / STEPS);
        let own = self.trial.rout.ears.is_none();
        let beyond = layout.screws.iter().map(|screw| -layout.body.depth_of(*screw)).fold(0.0, f64::max);
        let ears = Mounting::Ears {
            length: own.then(|| rounded(around + Length::from_mm(beyond))),
            width: own.then(|| rounded(around * 2.0)),
            thickness: Length::from_mm(EAR_THICKNESS),
            corner_radius: own.then(|| rounded(around / 2.0)),
            blend: Length::from_mm(EAR_BLEND),
        };
        let was = std::mem::replace(&mut self.trial.wanted.cover.mounting, ears);
        let works = self.works();
        self.trial.wanted.cover.mounting = was;
        works.then_some(Remedy::Mounting(ears))
    }

    /// The value nearest to the wanted one, and by how much it differs; not looked for where it differs more than
    /// `within`.
    fn near(&mut self, dimension: &Parameter, probes: u32, within: f64) -> Option<(f64, Length)> {
        let wanted = (dimension.field)(&mut self.trial.wanted).copied()?;
        let range = [self.least_of_use(dimension).min(wanted.as_mm()), wanted.as_mm(), dimension.high];
        let works = nearest_that_works(range, probes, within, |mm| {
            self.set(dimension, Length::from_mm(mm));
            self.works()
        });
        self.set(dimension, wanted);
        works.map(|works| ((works - wanted.as_mm()).abs(), Length::from_mm(works)))
    }

    /// The least that can be of use, mm: a hole that its rod, eyelet or screw does not go through, or a cover lower than its
    /// rods are long, would be made and mend nothing.
    fn least_of_use(&self, dimension: &Parameter) -> f64 {
        let bought = match dimension.path {
            "flatwork.pole_hole" => &self.hardware.rod_diameter,
            "flatwork.eyelets.hole" => &self.hardware.eyelet_barrel,
            "cover.screw_hole" => &self.hardware.screw_diameter,
            "cover.height" => &self.hardware.rod_length,
            _ => return dimension.low,
        };
        bought.value().as_mm().max(dimension.low)
    }

    fn set(&mut self, dimension: &Parameter, value: Length) {
        if let Some(field) = (dimension.field)(&mut self.trial.wanted) {
            *field = value;
        }
    }

    /// The dimension that has to move least.
    fn any(&mut self, probes: u32) -> Option<(&'static str, Length)> {
        let mut least: Option<(f64, &'static str, Length)> = None;
        for p in &PARAMETERS {
            let within = least.map_or(f64::INFINITY, |(by, ..)| by);
            if let Some((by, value)) = self.near(p, probes, within)
                && by < within
            {
                least = Some((by, p.path, value));
            }
        }
        least.map(|(_, path, value)| (path, value))
    }

    fn two(&mut self, blamed: &Parameter) -> Option<[(&'static str, Length); 2]> {
        let wanted = (blamed.field)(&mut self.trial.wanted).copied()?;
        let found = BESIDE.iter().find_map(|share| {
            let low = self.least_of_use(blamed);
            let value = Length::from_mm(((low + share * (blamed.high - low)) * 100.0).round() / 100.0);
            self.set(blamed, value);
            self.any(FEW_PROBES).map(|other| [(blamed.path, value), other])
        });
        self.set(blamed, wanted);
        found
    }

    /// A side of the lead-out with which the part builds, its offset as it is or in the middle.
    fn other_side(&mut self) -> Option<Remedy> {
        let was = self.trial.wanted.cover.lead_out;
        let offsets = [was.offset, Length::ZERO];
        let all = offsets.into_iter().flat_map(|offset| Side::ALL.map(|(_, side)| (side, offset)));
        let found = all.map(|(side, offset)| Remedy::LeadOut(side, offset)).find(|remedy| {
            remedy.put_in(&mut self.trial);
            self.works()
        });
        self.trial.wanted.cover.lead_out = was;
        found
    }
}

/// The value nearest to `wanted` that works, in steps of 0.01 where one works; perhaps none where it is further than
/// `within` from `wanted`. What works need not be one range, so both sides are probed from `wanted` outwards.
fn nearest_that_works(
    [low, wanted, high]: [f64; 3],
    probes: u32,
    within: f64,
    mut works: impl FnMut(f64) -> bool,
) -> Option<f64> {
    let mut nearest = None;
    let mut within = within;
    for end in [low, high] {
        let at = |i: u32| wanted + (end - wanted) * f64::from(i) / f64::from(probes);
        // What a probe finds lies behind the one before it, but for the rounding to a step.
        let worth = |i: &u32| (at(i - 1) - wanted).abs() < within + 1.0 / STEPS;
        if let Some(first) = (1..=probes).take_while(worth).find(|i| works(at(*i))) {
            let value = limit(at(first), at(first - 1), &mut works);
            if (value - wanted).abs() < within {
                within = (value - wanted).abs();
                nearest = Some(value);
            }
        }
    }
    nearest
}

/// Steps in a millimetre: nobody wants anything finer.
const STEPS: f64 = 100.0;

/// The last value that works between one that does and one that does not: the limit itself where that is a round
/// figure, else the nearest round figure on the side that works.
pub(super) fn limit(mut good: f64, mut bad: f64, works: &mut impl FnMut(f64) -> bool) -> f64 {
    while (bad - good).abs() > 1e-4 {
        let middle = f64::midpoint(bad, good);
        if works(middle) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    let inside = if good < bad { (good * STEPS).floor() } else { (good * STEPS).ceil() };
    [(good * STEPS).round(), inside]
        .map(|steps| steps / STEPS)
        .into_iter()
        .find(|v| works(*v))
        .unwrap_or(good)
}
