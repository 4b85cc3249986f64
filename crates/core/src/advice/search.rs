//! The nearest value of one thing with which a check fits.

use std::cell::RefCell;

use bobbinwright_coil::bobbin::wound;
use bobbinwright_fit::{Bought, Check, Help};
use bobbinwright_geometry::parts::laid_out;
use bobbinwright_spec::coil::{Awg, Until, Wire};
use bobbinwright_spec::{Family, Length, Parameter, Poles, Unit, parameter};

use super::change::{Change, Reach, value};
use super::trial::{Made, Trial};

/// How far from the wanted value is tried first, in steps; then twice as far, and so on.
pub(crate) const FIRST: u32 = 5;

/// So often is doubled: 51.2 mm where a step is a hundredth of a millimetre.
const DOUBLED: u32 = 10;

/// Something found: the change, and all checks with it.
pub(super) type Found = (Change, Vec<Check>);

/// What was tried and is not enough, with the margin of the check that is looked at.
#[derive(Default)]
pub(super) struct Came(Vec<(Change, Length)>);

impl Came {
    /// What has most to spare, more than `least` and spoiling nothing. It is judged only here, where somebody asks.
    pub fn nearest(mut self, trial: &Trial, least: Length) -> Option<(Change, Length)> {
        self.0.retain(|(_, margin)| *margin > least);
        // Of several alike the first that was tried.
        self.0.sort_by(|a, b| b.1.as_mm().total_cmp(&a.1.as_mm()));
        self.0.into_iter().take(FEW).find(|(change, _)| {
            let mut family = trial.prepared.family.clone();
            let made = if change.put_in(&mut family, trial.index, trial.reach(&[])) {
                trial.make(&family)
            } else {
                None
            };
            made.is_some_and(|made| {
                trial.turned(&trial.checks(&made), std::slice::from_ref(change)).is_empty()
            })
        })
    }
}

/// So many that come near are judged.
const FEW: usize = 12;

impl Trial<'_> {
    /// The change of one kind, nearest to what is wanted in `family`, with which `check` fits; what came nearest is noted.
    pub fn with(
        &self,
        family: &Family,
        check: &Check,
        (help, reach): (Help, Reach),
        came: &mut Came,
    ) -> Option<Found> {
        let index = family.positions.iter().position(|p| p.name == check.position)?;
        let scale = Scale::of(family, index, help)?;
        let unit = family.unit();
        // How much there was to spare at each place that did not fit.
        let short: RefCell<Vec<(i64, Length)>> = RefCell::default();
        let mut try_at = |steps: i64| -> Option<(Change, Made)> {
            let change = scale.at(steps, unit)?;
            let mut with = family.clone();
            change.put_in(&mut with, index, reach).then_some(())?;
            // The rest is judged only where it is asked about: most of what is tried is not enough.
            let made = self.made(&with)?;
            let found = self.same(&made, check)?;
            if !self.is_enough(&found) {
                short.borrow_mut().push((steps, found.margin.value()));
                came.0.push((change, found.margin.value()));
                return None;
            }
            Some((change, made))
        };
        let judged = |(change, made): (Change, Made)| (change, self.checks(&made));
        if let Scale::One(_) = scale {
            return try_at(0).map(judged);
        }
        let first = if let Scale::Wire(_) = scale { 1 } else { FIRST };
        if let Some(found) = nearest(first, &mut try_at) {
            return Some(judged(found));
        }
        // What fits may lie between two places that were tried: where most was to spare it is looked for closer.
        let own = check.margin.value();
        let tried = short.take();
        let better = tried.iter().filter(|(_, margin)| *margin > own);
        let best = better.max_by(|a, b| a.1.as_mm().total_cmp(&b.1.as_mm())).map(|(steps, _)| *steps)?;
        between(best, try_at).map(judged)
    }
}

/// So many places are tried round the best one, which its neighbours are half and twice as far as.
const ROUND_BEST: i64 = 12;

/// Something that comes of a number of steps round the best that was tried, and then nearer by halves.
fn between<T>(best: i64, mut try_at: impl FnMut(i64) -> Option<T>) -> Option<T> {
    let (low, high) = (best / 2, best * 2);
    let places = (1..ROUND_BEST).map(|i| low + (high - low) * i / ROUND_BEST);
    let mut bad = low;
    for place in places {
        if let Some(mut found) = try_at(place) {
            let mut good = place;
            while (good - bad).abs() > 1 {
                let middle = i64::midpoint(good, bad);
                match try_at(middle) {
                    Some(nearer) => (good, found) = (middle, nearer),
                    None => bad = middle,
                }
            }
            return Some(found);
        }
        bad = place;
    }
    None
}

/// The nearest number of steps, either way, with which something comes of it: first so many, then twice as many, and so
/// on; then by halves back to where nothing came.
pub(crate) fn nearest<T>(first: u32, mut try_at: impl FnMut(i64) -> Option<T>) -> Option<T> {
    // Both ways at once, the nearer first.
    for doubled in 0..=DOUBLED {
        let by = i64::from(first << doubled);
        let nearer = if doubled == 0 { 0 } else { by / 2 };
        for sign in [1, -1] {
            if let Some(mut found) = try_at(sign * by) {
                let (mut bad, mut good) = (nearer, by);
                while good - bad > 1 {
                    let middle = i64::midpoint(good, bad);
                    match try_at(sign * middle) {
                        Some(nearer) => (good, found) = (middle, nearer),
                        None => bad = middle,
                    }
                }
                return Some(found);
            }
        }
    }
    None
}

/// The last value within a dimension's bound that its unit's steps can say.
fn bound_in(dimension: &Parameter, is_low: bool, unit: Unit) -> Length {
    let at = Length::from_mm(if is_low { dimension.low } else { dimension.high });
    let said = unit.rounded(at);
    let is_inside = (dimension.low..=dimension.high).contains(&said.as_mm());
    let inwards = if is_low { unit.step() } else { unit.step() * -1.0 };
    if is_inside { said } else { unit.rounded(said + inwards) }
}

/// So many steps of a unit away, as a whole number of them.
pub(crate) fn stepped(from: Length, steps: i64, unit: Unit) -> Length {
    unit.rounded(from + unit.step() * steps as f64)
}

/// What can be tried of a kind of help, by steps away from what is.
enum Scale {
    /// One change, no scale.
    One(Change),
    Dimension(&'static Parameter, Length),
    Bought(Bought, Length),
    /// Only less of it: in fifties of turns or ohms, or in twentieths of a henry.
    Wind(Until, f64),
    /// Only thinner ones.
    Wire(Wire),
}

impl Scale {
    fn of(family: &Family, index: usize, help: Help) -> Option<Self> {
        let position = &family.positions[index];
        match help {
            Help::Dimension(path) => {
                let dimension = parameter(path)?;
                value(family, index, dimension).map(|wanted| Scale::Dimension(dimension, wanted))
            }
            Help::LeadOut(side, offset) => {
                Some(Scale::One(Change::LeadOut(side, family.unit().rounded(offset))))
            }
            Help::Bought(what) => Some(Scale::Bought(what, what.of(&mut family.hardware.clone()).value())),
            Help::FewerTurns => {
                let coil = position.wanted.coil?;
                let layout = laid_out(position, &family.hardware)?;
                let made = wound(&layout, &family.hardware, &coil, position.wanted.magnets);
                Some(Scale::Wind(coil.until, made.turns))
            }
            Help::ThinnerWire => position.wanted.coil.map(|coil| Scale::Wire(coil.wire)),
            Help::OneRod => {
                let has_two = matches!(position.wanted.poles, Poles::Pair { .. });
                has_two.then_some(Scale::One(Change::OneRod))
            }
            Help::PrintAgain | Help::LargerBed => None,
        }
    }

    fn at(&self, steps: i64, unit: Unit) -> Option<Change> {
        match *self {
            Scale::One(ref change) => Some(change.clone()),
            Scale::Dimension(dimension, wanted) => {
                let range = dimension.low..=dimension.high;
                let place =
                    |steps| Some(stepped(wanted, steps, unit)).filter(|at| range.contains(&at.as_mm()));
                // The last step of a search ends at the bound, not before it.
                let bound = || {
                    let at = bound_in(dimension, steps < 0, unit);
                    place(steps / 2).filter(|half| *half != at).map(|_| at)
                };
                place(steps).or_else(bound).map(|now| Change::Dimension(dimension.path, now))
            }
            Scale::Bought(what, was) => {
                let now = stepped(was, steps, unit);
                (now.as_mm() > 0.0).then_some(Change::Bought { what, now, was })
            }
            Scale::Wind(until, turns) => {
                let less = |now: f64, step: f64| {
                    let fewer = ((now / step).ceil() + steps as f64) * step;
                    (steps < 0 && fewer > 0.0).then_some(fewer)
                };
                Some(Change::Wind(match until {
                    Until::Turns(_) => Until::Turns(less(turns, 50.0)?),
                    Until::Ohms(ohms) => Until::Ohms(less(ohms, 50.0)?),
                    Until::Henries(henries) => Until::Henries(less(henries, 0.05)?),
                    Until::HenriesWithRods(henries) => Until::HenriesWithRods(less(henries, 0.05)?),
                }))
            }
            Scale::Wire(wire) => {
                let Wire::Gauge(gauge, film) = wire else { return None };
                let thinner = u8::try_from(steps).ok()?;
                Some(Change::Wire(Wire::Gauge(Awg::new(gauge.number() + thinner)?, film)))
            }
        }
    }
}
