//! A rout's form by its readings.
//!
//! A rout that was cut by hand tapers a little, its ends are not quite square to its long sides, each side bows. A length
//! or width that was read in a known spot is an equation between these; what the spots leave open is believed to be what is
//! usual. How crooked is usual may be wrong of this very body: what the spots tell of it makes the belief wider or
//! narrower ([`crookedness`]), and it stays a figure with few degrees of freedom.

use std::collections::BTreeSet;

use bobbinwright_elementary::Elementary;
use bobbinwright_estimate::network::{Adjusted, Equation, adjust, best_values};

use crate::corners::Corners;
use crate::form::{Form, OPENINGS, reach};
use crate::measured::{Measured, SpotRead};
use crate::outline::Outline;
use crate::quantity::{PositionQuantity as P, Quantity};
use crate::runs::{STOOD, STOOD_AS_SAID};
use crate::sides::{RoutSide, Sides, bowed};
use crate::slanted::{Across, Slanted};
use crate::spot::{Along, Spot};
use crate::told::{LENGTHENS, OF_FORM, SKEW, Told, WIDENS};
use crate::wanted::Side;
use crate::{Doubt, Estimate, Length, Origin};

/// Standard uncertainties of what is usual of a body that was routed by hand along a template (common practice, from
/// memory): widths and lengths differ by some 0.15 mm from end to end, ends are out of square by as much, a side bows by
/// 0.1 mm, and an opening is narrower by as much at its floor.
const TAPER: f64 = 0.15;
const OUT_OF_SQUARE: f64 = 0.15;
const BOW: f64 = 0.1;
const LEAN: f64 = 0.1;

/// Waves that no spot tells of, on either side: standard uncertainty.
const WAVES: Length = Length::from_mm(0.02);

/// What is usual is known as well as a standard deviation from so many bodies would be.
const FREEDOM: f64 = 2.0;

/// What is slanted on purpose may be so by anything: standard uncertainty.
const ANY: Length = Length::from_mm(30.0);

/// So often are readings of slanted sides taken for linear anew, about where the last solution has these.
const SLANTED_ROUNDS: usize = 8;

/// Along a side of which nobody knows how long it is.
const USUAL: Length = Length::from_mm(60.0);

/// Where jaws stand that were put somewhere: evenly anywhere between these.
const ANYWHERE: f64 = 0.9;

/// The forms of all routs of which length and width are known; whichever is known is from here on what it is where it is
/// tightest.
pub(crate) fn settle<'p>(measured: &mut Measured, positions: impl Iterator<Item = (&'p str, Outline)>) {
    for (position, outline) in positions {
        let reading = Reading::of(measured, position, outline);
        let Some(form) = reading.form(measured) else { continue };
        let is_known = [0, 1].map(|i| reading.stated[i].is_some());
        for ((opening, size), _) in
            OPENINGS.iter().zip(form.tightest()).zip(is_known).filter(|(_, known)| *known)
        {
            // What is slanted is read square to its sides; along the row it is longer.
            if outline.is_square() {
                measured.estimates.insert(Quantity::At(position.to_owned(), opening.of), size);
            }
        }
        if is_known == [true; 2] {
            measured.forms.insert(position.to_owned(), form);
        }
    }
}

/// A rout's two openings as they were read.
struct Reading {
    position: String,
    /// As they are by whatever was said of all of them at once; none that nobody knows.
    stated: [Option<Estimate>; 2],
    spots: [Vec<SpotRead>; 2],
    /// How far along the sides that are `at` an opening its straight pieces end.
    ends: [f64; 2],
    outline: Outline,
}

impl Reading {
    fn of(measured: &Measured, position: &str, outline: Outline) -> Self {
        let at = |of| Quantity::At(position.to_owned(), of);
        let stated = OPENINGS.map(|o| measured.estimates.get(&at(o.of)).cloned());
        let radius = measured.estimates.get(&at(P::RoutCornerRadius)).map_or(0.0, |e| e.value().as_mm());
        let end = |along: &Option<Estimate>| {
            let along = along.as_ref().map_or(USUAL, Estimate::value);
            (1.0 - 2.0 * radius / along.as_mm()).clamp(0.3, 1.0)
        };
        let spots = OPENINGS.map(|o| measured.spots.get(&at(o.of)).cloned().unwrap_or_default());
        // A length is read along the ends, which are as long as the rout is wide.
        let ends = [end(&stated[1]), end(&stated[0])];
        Self { position: position.to_owned(), stated, spots, ends, outline }
    }

    fn at(&self, of: P) -> Quantity {
        Quantity::At(self.position.clone(), of)
    }

    fn form(&self, measured: &mut Measured) -> Option<Form> {
        let pool = Some(measured.doubts.next_pool());
        let beliefs = self.beliefs(measured, pool);
        let mut read: Vec<Scaled> =
            [0, 1].map(|i| self.read(measured, pool, i)).into_iter().flatten().collect();
        read.extend(self.diagonals(measured));
        let told = |read: &[Scaled], crooked: f64| -> Vec<Told> {
            read.iter().chain(&beliefs).map(|told| told.at(crooked)).collect()
        };
        let half = self.stated.each_ref().map(|size| size.as_ref().map_or(0.0, |e| e.value().as_mm() / 2.0));
        let slanted = self.slanted(measured, half);
        let mut crooked = 1.0;
        for _ in 0..if slanted.is_some() { SLANTED_ROUNDS } else { 2 } {
            if let Some(slanted) = &slanted {
                let (values, _) = best_values(&equations(&told(&read, crooked)), OF_FORM).ok()?;
                for one in &mut read {
                    one.about(slanted, &values);
                }
            }
            crooked = crookedness(&told(&read, crooked), &beliefs)?;
        }
        // Whatever was not read is believed, so that nothing is loose.
        let told = told(&read, crooked);
        let solved = adjust(&equations(&told), OF_FORM).ok()?;
        let sides = self.sides(measured, &solved, half);
        Some(Form { told, sides, half, is_slanted: slanted.is_some(), ends: self.ends })
    }

    /// What jaws read of it, where it is slanted on purpose and long and wide enough.
    fn slanted(&self, measured: &Measured, half: [f64; 2]) -> Option<Slanted> {
        let is_meant = !self.outline.is_square() && half.iter().all(|half| *half > 0.0);
        let radii = measured.radii.get(&self.position);
        let radii = radii.map_or(Corners::of(|_| 0.0), |radii| radii.map(|radius| radius.value().as_mm()));
        is_meant.then_some(Slanted { half, radii })
    }

    /// What was read of an opening, spot by spot.
    fn read(&self, measured: &mut Measured, pool: Option<usize>, i: usize) -> Vec<Scaled> {
        let opening = &OPENINGS[i];
        if self.spots[i].is_empty() {
            let terms = vec![(opening.size, 1.0)];
            let told = match &self.stated[i] {
                Some(stated) => Told::read(self.at(opening.of), terms, stated.clone()),
                None => Told::believed(self.at(opening.of), terms, Estimate::default()),
            };
            let across = Across::Opening { which: i, place: None, depth: 0.0 };
            return vec![Scaled::read(told, across)];
        }
        let [of_taper, of_bow] = mean_squares(ANYWHERE);
        let usual = (0.25 * TAPER * TAPER * of_taper + 2.0 * BOW * BOW * of_bow).sqrt();
        let stood = self.stood(measured, i);
        // Whoever says no spot reads in the same one each time.
        let origin = Origin::Elsewhere { spots: self.spots[i].len() };
        let somewhere = self.doubt(measured, pool, origin, i, usual);
        let of_spot = |read: &SpotRead| {
            let sign = read.spot.along.map(Along::sign);
            let place = self.place(i, &read.spot);
            let mut terms = vec![(opening.size, 1.0), (opening.lean, -2.0 * read.spot.depth)];
            if let Some(place) = place {
                let bows = opening.bows.map(|bow| (bow, bowed(place)));
                terms.extend([(opening.taper, place)].into_iter().chain(bows));
            }
            let waves = waves(measured, &self.at(opening.of)) + waves(measured, &self.at(opening.of));
            let value = read.estimate.clone() + waves + stood.of(measured, &read.spot);
            let told = Told::read(self.at(opening.of), terms, value).in_spot(read.words.clone());
            let of_form = if sign.is_none() { somewhere.clone() } else { Estimate::default() };
            let across = Across::Opening { which: i, place, depth: read.spot.depth };
            Scaled { of_form, ..Scaled::read(told, across) }
        };
        self.spots[i].iter().map(of_spot).collect()
    }

    /// Where jaws stood along the sides that are beside an opening, from -1 to 1; none where nobody says.
    fn place(&self, i: usize, spot: &Spot) -> Option<f64> {
        let sign = spot.along?.sign();
        let beside = self.stated[1 - i].as_ref().map_or(USUAL, Estimate::value);
        let said = spot.from.map(|from| (1.0 - 2.0 * (from / beside)).clamp(0.1, 1.0));
        Some(sign * said.unwrap_or(self.ends[i]))
    }

    /// What it adds to an opening's doubt where jaws stood, when it widens on purpose. Whoever stands too far in at one end
    /// does at the other: that is one cause, and the middle another.
    fn stood(&self, measured: &mut Measured, i: usize) -> Stood {
        let none = Stood { widens: 0.0, habit: Estimate::default(), of: self.at(OPENINGS[i].of) };
        if self.outline.is_parallel() {
            return none;
        }
        let at = |along: Along| {
            let read = self.spots[i].iter().find(|read| read.spot.along == Some(along))?;
            Some((self.place(i, &read.spot)?, read.estimate.value()))
        };
        let Some(((high, most), (low, least))) = at(Along::High).zip(at(Along::Low)) else { return none };
        let beside = self.stated[1 - i].as_ref().map_or(USUAL, Estimate::value);
        let widens = (most - least) / (beside * ((high - low) / 2.0));
        let cause = Doubt::new(Some(none.of.clone()), Origin::Station, f64::INFINITY);
        let habit = measured.doubts.enter(cause, STOOD * widens.abs());
        Stood { widens, habit, ..none }
    }

    /// The diagonals that were read. From the arc in one corner to that in the other they are longest along the line through
    /// both centres, so that they hang on the sides beside these and on the radius.
    fn diagonals(&self, measured: &mut Measured) -> Vec<Scaled> {
        let [Some(length), Some(width)] = &self.stated else { return Vec::new() };
        // Of an opening whose spots only the person knows nobody knows how wide it is in the corners.
        let is_read = |i: usize| measured.taken.contains_key(&self.at(OPENINGS[i].of));
        if (0..2).any(|i| self.spots[i].is_empty() && is_read(i)) {
            return Vec::new();
        }
        let radii = measured.radii.get(&self.position).cloned();
        let corners = [
            (
                Side::Treble,
                [(Side::Treble, 1.0), (Side::Neck, 1.0), (Side::Bass, -1.0), (Side::Bridge, -1.0)],
            ),
            (Side::Bass, [(Side::Bass, 1.0), (Side::Neck, -1.0), (Side::Treble, -1.0), (Side::Bridge, 1.0)]),
        ];
        let mut all = Vec::new();
        for (from, sides) in corners {
            let Some(read) = measured.estimates.get(&self.at(P::Diagonal(from))).cloned() else { continue };
            // In this corner and in the one across.
            let end = if from == Side::Treble { 1.0 } else { -1.0 };
            let radii = radii.as_ref().map_or_else(Estimate::default, |radii| {
                radii.at([end, 1.0]).clone() + radii.at([-end, -1.0]).clone()
            });
            let [x, y] = [length, width].map(|size| (size.value() - radii.value()).as_mm());
            let far = x.hypotenuse(y).max(1.0);
            let mut terms = Vec::new();
            let of_radii = radii * ((x + y) / far - 1.0);
            // Slanted sides know the radii, but not how sure these are.
            let mut as_read = read.clone() + of_radii.clone() - Estimate::exact(of_radii.value());
            let mut value = read + of_radii;
            for (side, place) in sides {
                let is_end = matches!(side, Side::Treble | Side::Bass);
                let share = if is_end { x / far } else { y / far };
                terms.extend(reach(side, place).into_iter().map(|(unknown, by)| (unknown, by * share)));
                let of = self.at(OPENINGS[usize::from(!is_end)].of);
                let wave = waves(measured, &of) * share;
                as_read = as_read + wave.clone();
                value = value + wave;
            }
            let told = Told::read(self.at(P::Diagonal(from)), terms, value);
            all.push(Scaled { as_read, ..Scaled::read(told, Across::Diagonal(from)) });
        }
        all
    }

    /// What is believed of the form until it is read.
    fn beliefs(&self, measured: &mut Measured, pool: Option<usize>) -> Vec<Scaled> {
        let mut all = Vec::new();
        let mut believe = |unknown: usize, of: P, usual: Estimate| {
            let told = Told::believed(self.at(of), vec![(unknown, 1.0)], Estimate::default());
            all.push(Scaled { of_form: usual, ..Scaled::believed(told) });
        };
        let [is_square, is_parallel] = [self.outline.is_square(), self.outline.is_parallel()];
        for (i, opening) in OPENINGS.iter().enumerate() {
            let along: BTreeSet<Option<Along>> = self.spots[i].iter().map(|read| read.spot.along).collect();
            let origin = Origin::Elsewhere { spots: along.len() };
            // Of what was said of all of an opening nothing is left to believe.
            let scale = if along.is_empty() { 0.0 } else { 1.0 };
            let mut usual = |u: f64| self.doubt(measured, pool, origin, i, u) * scale;
            if is_parallel {
                believe(opening.taper, opening.of, usual(TAPER / 2.0));
            }
            for bow in opening.bows {
                believe(bow, opening.of, usual(BOW));
            }
            believe(opening.lean, opening.of, usual(LEAN / 2.0));
        }
        if is_square {
            let square = self.at(P::Diagonal(Side::Treble));
            let doubt = Doubt { pool, ..Doubt::new(Some(square.clone()), Origin::Assumed, FREEDOM) };
            let usual = measured.doubts.enter(doubt, Length::from_mm(OUT_OF_SQUARE / 2.0));
            believe(SKEW, P::Diagonal(Side::Treble), usual);
        }
        all.extend(self.anything(measured));
        all
    }

    /// What is slanted on purpose may be so by anything, until it is read.
    fn anything(&self, measured: &mut Measured) -> Vec<Scaled> {
        let mut all = Vec::new();
        let mut any = |unknown: usize, of: P| {
            let doubt = Doubt::new(Some(self.at(of)), Origin::Assumed, f64::INFINITY);
            let value = measured.doubts.enter(doubt, ANY);
            all.push(Scaled::believed(Told::believed(self.at(of), vec![(unknown, 1.0)], value)));
        };
        if !self.outline.is_square() {
            any(SKEW, P::Diagonal(Side::Treble));
        }
        if !self.outline.is_parallel() {
            for opening in &OPENINGS {
                any(opening.taper, opening.of);
            }
        }
        all
    }

    fn doubt(
        &self,
        measured: &mut Measured,
        pool: Option<usize>,
        origin: Origin,
        i: usize,
        u: f64,
    ) -> Estimate {
        let of = Some(self.at(OPENINGS[i].of));
        let doubt = Doubt { pool, ..Doubt::new(of, origin, FREEDOM) };
        measured.doubts.enter(doubt, Length::from_mm(u))
    }

    fn sides(&self, measured: &mut Measured, solved: &Adjusted, half: [f64; 2]) -> Sides {
        let get = |u: usize| solved.unknowns[u].clone();
        let mut side = |i: usize, which: usize, tilt: Estimate| {
            let opening = &OPENINGS[i];
            let is_lean_read = self.spots[i].iter().any(|read| read.spot.depth > 0.0);
            let mut wave = || waves(measured, &self.at(opening.of));
            let waves = if self.spots[i].is_empty() {
                [0; 3].map(|_| Estimate::default())
            } else {
                [0; 3].map(|_| wave())
            };
            RoutSide {
                mean: get(opening.size) * 0.5,
                tilt,
                bow: get(opening.bows[which]),
                lean: is_lean_read.then(|| get(opening.lean)),
                waves,
            }
        };
        let [lengthens, widens] = [LENGTHENS, WIDENS].map(|u| get(u) * 0.5);
        Sides {
            treble: side(0, 0, lengthens.clone() + get(SKEW)),
            bass: side(0, 1, lengthens - get(SKEW)),
            neck: side(1, 0, widens.clone()),
            bridge: side(1, 1, widens),
            half,
        }
    }
}

/// What an opening that widens on purpose was misread by where jaws stood elsewhere.
struct Stood {
    /// On a way of 1 along its sides.
    widens: f64,
    /// Of both ends alike, where nobody said how far from them.
    habit: Estimate,
    of: Quantity,
}

impl Stood {
    fn of(&self, measured: &mut Measured, spot: &Spot) -> Estimate {
        match (spot.along, spot.from) {
            (Some(Along::Low), None) => self.habit.clone(),
            (Some(Along::High), None) => self.habit.clone() * -1.0,
            _ if self.widens == 0.0 => Estimate::default(),
            (_, from) => {
                let by = if from.is_some() { STOOD_AS_SAID } else { STOOD };
                let cause = Doubt::new(Some(self.of.clone()), Origin::Station, f64::INFINITY);
                measured.doubts.enter(cause, by * self.widens.abs())
            }
        }
    }
}

/// What was told, and the share of its doubt that is larger of a body that is more crooked than usual.
struct Scaled {
    told: Told,
    of_form: Estimate,
    /// What was read, and across what; none of what is believed.
    across: Option<Across>,
    as_read: Estimate,
}

impl Scaled {
    fn read(told: Told, across: Across) -> Self {
        let as_read = told.equation.value.clone();
        Self { told, of_form: Estimate::default(), across: Some(across), as_read }
    }

    fn believed(told: Told) -> Self {
        Self { told, of_form: Estimate::default(), across: None, as_read: Estimate::default() }
    }

    /// The same of slanted sides that are about so.
    fn about(&mut self, slanted: &Slanted, unknowns: &[f64]) {
        let Some(across) = self.across else { return };
        let (terms, more) = slanted.equation(across, unknowns);
        let value = self.as_read.clone() + Estimate::exact(Length::from_mm(more));
        self.told.equation = Equation { terms, value };
    }

    fn at(&self, crooked: f64) -> Told {
        let mut told = self.told.clone();
        told.equation.value = told.equation.value + self.of_form.clone() * crooked;
        told
    }
}

/// How far from straight a side is that looks so, anew wherever it is asked.
pub(crate) fn waves(measured: &mut Measured, of: &Quantity) -> Estimate {
    measured.doubts.enter(Doubt::new(Some(of.clone()), Origin::Straightness, f64::INFINITY), WAVES)
}

/// The mean squares of a place, and of what a bow adds there, over all places up to so far from the middle.
fn mean_squares(reach: f64) -> [f64; 2] {
    let squared = reach * reach / 3.0;
    [squared, 1.0 / 9.0 - 2.0 / 3.0 * squared + reach.power(4) / 5.0]
}

fn equations(told: &[Told]) -> Vec<Equation> {
    told.iter().map(|t| t.equation.clone()).collect()
}

/// How many times more crooked than usual a body is: by what its spots say, and as much as [`FREEDOM`] bodies by what is
/// usual (variance components after Helmert, in Förstner's form, from memory). The beliefs are told last.
fn crookedness(told: &[Told], beliefs: &[Scaled]) -> Option<f64> {
    let (_, leftovers) = best_values(&equations(told), OF_FORM).ok()?;
    let (mut squares, mut shown) = (FREEDOM, FREEDOM);
    for (belief, [value, redundancy]) in beliefs.iter().zip(&leftovers[told.len() - beliefs.len()..]) {
        let usual = belief.of_form.uncertainty().as_mm();
        if usual > 0.0 {
            squares += (value / usual).power(2);
            shown += redundancy;
        }
    }
    Some((squares / shown).sqrt())
}
