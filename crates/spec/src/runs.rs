//! How strings run across a rout.
//!
//! The row of rods runs along the rout. Strings cross it square, or nearly so, or slanted, as the pickup is; they come apart
//! towards the bridge. What is read between strings is read square to them, what is read to the rout's ends along the row.

use bobbinwright_elementary::Elementary;

use crate::angle::Angle;
use crate::measured::{AtEdge, Measured};
use crate::problem::Problem;
use crate::quantity::{InstrumentQuantity, PositionQuantity, Quantity};
use crate::reader::Noted;
use crate::told::{SKEW, Told, string};
use crate::wanted::Side;
use crate::{Doubt, Estimate, Length, Origin};

/// How far strings fan out, and how far all of them are out of square to the row. As unknowns both are lengths on the way of
/// [`WAY`] across the rout: what the outer ones come apart by towards the bridge, and what all go towards treble by towards
/// the neck.
pub(crate) struct Lines {
    strings: usize,
    /// The unknowns; none where every string was read over the middle line of a rout that is square to them, and the rods stand
    /// on it, so that it does not matter.
    unknowns: Option<[usize; 2]>,
    /// From the middle line to the rout's edge, mm.
    pub half: f64,
    /// The share of that on which the rout's ends are straight: further out jaws find no end to stand on.
    straight: f64,
    slope: Slope,
}

/// What strings go towards treble by on a way of 1 towards the neck.
struct Slope {
    /// As slanted as the row is stated to be; nought where it is square.
    stated: f64,
    is_slanted: bool,
    /// The same as it was read, where it was, and what outer strings come apart by on a way of 1: what is bent is taken to
    /// be straight there.
    about: f64,
    fan: f64,
    /// What was stated is not what was read.
    wrong: Option<Wrong>,
}

/// What was stated of the slant is not what was read: what was read counts, in doubt.
struct Wrong {
    /// What strings go towards treble by on a way of 1 towards the neck, as it was stated.
    stated: f64,
    /// With these two exchanged the readings say what was stated.
    exchanged: Option<Exchanged>,
}

/// Two readings of which one may have been taken for the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Exchanged {
    Diagonals,
    Edges,
}

/// A way across the rout.
pub(crate) const WAY: Length = Length::from_mm(100.0);

/// What outer strings come apart by on that way where nut and bridge were not read, and how far all of them are out of square
/// to a rout: usual figures and standard uncertainties (common practice, from memory: 1 to 3 mm; a fifth of a degree).
const FANS: [Length; 2] = [Length::from_mm(2.0), Length::from_mm(1.0)];
const OUT_OF_SQUARE: Length = Length::from_mm(0.35);
/// How well a slant is known that somebody states: half-width of a rectangular distribution (common practice: read by a
/// protractor, or off a drawing).
const STATED: Angle = Angle::from_degrees(1.0);

/// What is stated may be off by less than this; square to the strings is what a row is of which nothing is stated.
const WRONG: Angle = Angle::from_degrees(3.0);

/// How far from the middle line a caliper stands that is held over it: standard uncertainty (common practice, from memory:
/// nothing marks it on a body).
const MISSED: Length = Length::from_mm(2.0);

/// How far from where a corner's round begins jaws stand that are put there, and from the place that somebody says: standard
/// uncertainties (common practice, from memory: by eye, and by a rule).
pub(crate) const STOOD: Length = Length::from_mm(1.0);
pub(crate) const STOOD_AS_SAID: Length = Length::from_mm(0.4);

/// Where jaws can stand across a rout.
#[derive(Clone, Copy)]
struct Stands {
    /// From the middle line to the edge, mm.
    half: f64,
    /// The share of that as far as which they can.
    straight: f64,
}

impl Stands {
    /// As a share of the way from the middle line to the edge.
    fn of(self, read: &AtEdge) -> f64 {
        let said = read.from.map(|from| 1.0 - from.as_mm() / self.half.max(1.0));
        read.across * said.unwrap_or(self.straight).clamp(0.1, 1.0)
    }
}

/// How a row of rods lies to the strings, as it is stated.
pub(crate) struct Across {
    /// How far from square to them.
    pub slant: Option<Angle>,
    /// Beside the rout's middle line.
    pub is_beside: bool,
}

impl Lines {
    /// All read over the middle line, square to the row.
    pub const SQUARE: Self = Self {
        strings: 1,
        unknowns: None,
        half: 0.0,
        straight: 1.0,
        slope: Slope { stated: 0.0, is_slanted: false, about: 0.0, fan: 0.0, wrong: None },
    };

    /// Those of a position; the unknowns are two from `next` on, where there are any.
    pub fn of(
        measured: &Measured,
        position: &str,
        strings: usize,
        Across { slant, is_beside }: Across,
        next: usize,
    ) -> Self {
        let is_here = |q: &&Quantity| matches!(q, Quantity::At(at, _) if at == position);
        let width = measured.estimates.get(&Quantity::At(position.to_owned(), PositionQuantity::RoutWidth));
        let half = width.map_or(0.0, |width| width.value().as_mm() / 2.0);
        let radius = Quantity::At(position.to_owned(), PositionQuantity::RoutCornerRadius);
        let radius = measured.estimates.get(&radius).map_or(0.0, |radius| radius.value().as_mm());
        let straight = (1.0 - radius / half.max(1.0)).clamp(0.3, 1.0);
        let at_edges = measured.at_edges.keys().any(|q| is_here(&q));
        let unknowns = (at_edges || slant.is_some() || is_beside).then_some([next, next + 1]);
        // The bass end nearer to the neck: towards the neck the strings go towards bass.
        let stated = slant.map_or(0.0, |slant| -slant.as_radians().tangent());
        let fan = fans(measured).map_or(FANS[0], |fans| fans.value()).as_mm() / WAY.as_mm();
        let stands = Stands { half, straight };
        let read = SlopeRead::of(measured, position, stands, fan);
        // Nobody misreads an edge by as much as that: what was stated is not so.
        let is_other = |slope: f64| (slope.arctangent() - stated.arctangent()).abs() > WRONG.as_radians();
        let wrong = read.as_ref().filter(|read| is_other(read.slope())).map(|read| Wrong {
            stated,
            exchanged: [Exchanged::Diagonals, Exchanged::Edges]
                .into_iter()
                .find(|exchanged| read.exchanged(*exchanged).is_some_and(|slope| !is_other(slope))),
        });
        let is_slanted = slant.is_some() || wrong.is_some();
        let about = read.map(|read| read.slope()).filter(|_| is_slanted).unwrap_or(stated);
        let stated = if wrong.is_some() { about } else { stated };
        let slope = Slope { stated, is_slanted, about, fan, wrong };
        Self { strings, unknowns, half, straight, slope }
    }

    /// How many unknowns they are.
    pub fn count(&self) -> usize {
        self.unknowns.map_or(0, |all| all.len())
    }

    /// What a string's place differs by at an edge, as a share of the way there; strings stand about evenly.
    pub fn runs(&self, index: usize, across: f64) -> Vec<(usize, f64)> {
        let Some([fan, tilt]) = self.unknowns.filter(|_| across != 0.0) else { return Vec::new() };
        let way = across * self.half / WAY.as_mm();
        vec![(fan, -way * self.fanned(index)), (tilt, way)]
    }

    /// What a string goes towards treble on the way of [`WAY`]; nothing where it does not matter.
    pub fn goes(&self, index: usize, unknowns: &[Estimate]) -> Estimate {
        let Some([fan, tilt]) = self.unknowns else { return Estimate::default() };
        unknowns[tilt].clone() - unknowns[fan].clone() * self.fanned(index)
    }

    /// Where a string is among all, from 1/2 at the treble end to -1/2.
    fn beside_middle(&self, index: usize) -> f64 {
        0.5 - index as f64 / (self.strings - 1).max(1) as f64
    }

    /// The share of what outer strings come apart by that a string goes aside by along the row: where that is slanted, a line that
    /// is turned by a little meets it further off, by the tangent's derivative.
    fn fanned(&self, index: usize) -> f64 {
        self.beside_middle(index) * self.slope.steepens()
    }

    /// Where strings were read over each other, as a share of the way to the edge: that is the rout's own.
    pub fn over(&self, read: &AtEdge) -> f64 {
        Stands { half: self.half, straight: 1.0 }.of(read)
    }

    /// Where a string was read from the rout's end, as a share of the way to the edge: jaws stand where the end is straight.
    pub fn beside(&self, read: &AtEdge) -> f64 {
        Stands { half: self.half, straight: self.straight }.of(read)
    }

    /// What a reading to an end of a slanted row is off by where a hand misses the place on it.
    pub fn missed(&self, measured: &mut Measured, of: &Quantity, read: &AtEdge) -> Estimate {
        if !self.slope.is_slanted {
            return Estimate::default();
        }
        let (origin, by) = match (read.across == 0.0, read.from) {
            (true, _) => (Origin::Assumed, MISSED),
            (false, None) => (Origin::Station, STOOD),
            (false, Some(_)) => (Origin::Station, STOOD_AS_SAID),
        };
        let cause = Doubt::new(Some(of.clone()), origin, f64::INFINITY);
        measured.doubts.enter(cause, by * self.slope.about.abs())
    }

    /// The equation for two strings that are `read` apart, square to them: places along the row are further apart by the
    /// cosine of the slant that these two have, which is taken straight about the one that was read.
    pub fn apart(&self, [a, b]: [usize; 2], across: f64, read: Estimate) -> (Vec<(usize, f64)>, Estimate) {
        let beside = f64::midpoint(self.fanned(a), self.fanned(b));
        let slope = self.slope.about - self.slope.fan * beside;
        let cosine = if self.slope.is_slanted { 1.0 / 1f64.hypotenuse(slope) } else { 1.0 };
        let ends = [(string(a), 1.0), (string(b), -1.0)].into_iter();
        let runs = self.runs(a, across).into_iter().chain(self.runs(b, -across));
        let mut terms: Vec<(usize, f64)> = ends.chain(runs).map(|(u, factor)| (u, factor * cosine)).collect();
        let Some([fan, tilt]) = self.unknowns.filter(|_| self.slope.is_slanted) else { return (terms, read) };
        // The cosine's derivative by the slope.
        let steeper = -read.value().as_mm() * slope * cosine * cosine;
        terms.extend([(tilt, steeper / WAY.as_mm()), (fan, -beside * steeper / WAY.as_mm())]);
        (terms, read + Estimate::exact(Length::from_mm(steeper * slope)))
    }

    /// The outer strings' distance, square to them.
    pub fn spread(&self, unknowns: &[Estimate]) -> Estimate {
        let ends = [0, self.strings - 1];
        let [first, last] = ends.map(|index| unknowns[string(index)].value());
        // The equation of what would be read, the other way round.
        let read = Estimate::exact((first - last) / 1f64.hypotenuse(self.slope.about));
        let (terms, right) = self.apart(ends, 0.0, read.clone());
        let left = terms.into_iter().map(|(unknown, factor)| unknowns[unknown].clone() * factor);
        left.fold(read - right, |sum, term| sum + term)
    }

    /// As slanted as the row is, by all that was read.
    pub fn slant(&self, unknowns: &[Estimate]) -> Angle {
        let Some([_, tilt]) = self.unknowns.filter(|_| self.slope.is_slanted) else {
            return Angle::default();
        };
        Angle::from_radians((-unknowns[tilt].value().as_mm() / WAY.as_mm()).arctangent())
    }

    /// Points out that the row is not as slanted as it is stated to be.
    pub fn note(&self, measured: &Measured, position: &str, stated: Option<Angle>, noted: &mut Noted) {
        let Some(wrong) = &self.slope.wrong else { return };
        let in_words = |slope: f64| {
            let degrees = -slope.arctangent().to_degrees();
            let end = if degrees > 0.0 { "bass" } else { "treble" };
            format!("{:.1} degrees, its {end} end nearer to the neck", degrees.abs())
        };
        let said = match stated {
            Some(stated) => format!("rout.slant says {}", in_words(-stated.as_radians().tangent())),
            None => "no slant is stated".to_owned(),
        };
        let message = format!(
            "{position}: by the outer string at both edges of the rout the row is slanted to the strings by {}; {said}",
            in_words(self.slope.about)
        );
        let degrees = format!("rout.slant: degrees({:.0})", -self.slope.about.arctangent().to_degrees());
        let hint = match wrong.exchanged {
            Some(Exchanged::Diagonals) => format!(
                "with the two diagonals exchanged the readings agree with it: read both again and withdraw what is wrong; if they are right, state {degrees}; until then what hangs on them counts as that much less sure"
            ),
            Some(Exchanged::Edges) => format!(
                "with the neck's edge and the bridge's exchanged the readings agree with it: read both again and withdraw what is wrong; if they are right, state {degrees}; until then what hangs on them counts as that much less sure"
            ),
            None => format!(
                "read them again at both edges; if they are right, state {degrees}; until then what hangs on them counts as that much less sure"
            ),
        };
        let sides = [PositionQuantity::BassSide, PositionQuantity::TrebleSide];
        let at = sides.map(|side| Quantity::At(position.to_owned(), side));
        let taken = at.iter().find_map(|side| measured.taken.get(side));
        if let Some(taken) = taken {
            noted.problems.push(Problem::notice(taken.span, message).hint(hint));
        }
    }

    /// What was stated of the slant and what was read can't both be true: what that adds to the doubt of each unknown.
    ///
    /// Each lies anywhere between where the readings put it and where what was stated would have it.
    pub fn doubt(&self, measured: &mut Measured, position: &str, values: &[Estimate]) -> Vec<Estimate> {
        let mut more = vec![Estimate::default(); values.len()];
        let (Some(wrong), Some([_, tilt])) = (&self.slope.wrong, self.unknowns) else { return more };
        let of = match wrong.exchanged {
            Some(Exchanged::Diagonals) => PositionQuantity::Diagonal(Side::Treble),
            _ => PositionQuantity::BassSide,
        };
        let of = Quantity::At(position.to_owned(), of);
        let one = measured
            .doubts
            .enter(Doubt::new(Some(of), Origin::Contradiction, f64::INFINITY), Length::from_mm(1.0));
        let anywhere = |way: f64| one.clone() * (way / 12f64.sqrt());
        more[tilt] = anywhere((wrong.stated - self.slope.about) * WAY.as_mm());
        if wrong.exchanged == Some(Exchanged::Diagonals) {
            more[SKEW] = anywhere(-2.0 * values[SKEW].value().as_mm());
        }
        more
    }

    /// What was stated of the slant is not what was read.
    pub fn is_odd(&self) -> bool {
        self.slope.wrong.is_some()
    }

    /// Adds what is taken for granted of them.
    pub fn believe(&self, measured: &mut Measured, position: &str, told: &mut Vec<Told>) {
        let Some([fan, tilt]) = self.unknowns else { return };
        let of = Quantity::Instrument(InstrumentQuantity::NutSpread);
        let fans = fans(measured).unwrap_or_else(|| {
            let missing =
                ENDS.map(Quantity::Instrument).into_iter().find(|q| !measured.estimates.contains_key(q));
            let doubt = Doubt::new(missing, Origin::Assumed, f64::INFINITY);
            measured.doubts.enter(doubt, FANS[1]).moved_to(FANS[0])
        });
        told.push(Told::believed(of, vec![(fan, 1.0)], fans));
        let of = Quantity::At(position.to_owned(), PositionQuantity::BassSide);
        let cause = Doubt::new(Some(of.clone()), Origin::Assumed, f64::INFINITY);
        let slope = measured
            .doubts
            .enter(cause, self.slope.doubt())
            .moved_to(Length::from_mm(self.slope.stated * WAY.as_mm()));
        told.push(Told::believed(of, vec![(tilt, 1.0)], slope));
    }
}

impl Slope {
    /// The derivative of a slope by the angle, 1 + slope², where it is slanted.
    fn steepens(&self) -> f64 {
        if self.is_slanted { 1.0 + self.about * self.about } else { 1.0 }
    }

    /// On the way of [`WAY`].
    fn doubt(&self) -> Length {
        if !self.is_slanted {
            return OUT_OF_SQUARE;
        }
        // The tangent's derivative is 1 + slope².
        let per_radian = WAY.as_mm() * (1.0 + self.stated * self.stated);
        Length::from_mm(per_radian * STATED.as_radians() / 3f64.sqrt())
    }
}

const ENDS: [InstrumentQuantity; 3] =
    [InstrumentQuantity::BridgeSpread, InstrumentQuantity::NutSpread, InstrumentQuantity::Scale];

/// What outer strings come apart by towards the bridge on the way of [`WAY`], by nut and bridge.
fn fans(measured: &Measured) -> Option<Estimate> {
    let [bridge, nut, scale] = ENDS.map(|q| measured.estimates.get(&Quantity::Instrument(q)).cloned());
    Some((bridge? - nut?) * (WAY.as_mm() / scale?.value().as_mm()))
}

/// The slope of all by an outer string that was read at both edges of the rout, which itself leans by half of what they fan
/// out.
struct SlopeRead {
    /// What the string goes towards treble by beside the rout's end.
    beside_end: f64,
    /// What the end itself does: one that is slanted on purpose runs along too.
    lean: f64,
    /// What the string does because all fan out.
    fan: f64,
}

impl SlopeRead {
    fn of(measured: &Measured, position: &str, stands: Stands, fan: f64) -> Option<Self> {
        let form = measured.forms.get(position);
        let of = |side, end, towards: f64| {
            let spots = measured.at_edges.get(&Quantity::At(position.to_owned(), side))?;
            let at = |across: f64| spots.iter().find(|spot| spot.across == across);
            let (neck, bridge) = (at(1.0)?, at(-1.0)?);
            let way = (stands.of(neck) - stands.of(bridge)) * stands.half;
            let beside_end = (neck.estimate.value() - bridge.estimate.value()).as_mm() * towards / way;
            let lean = form.map_or(0.0, |form| -form.slope(end) * towards);
            Some(Self { beside_end, lean, fan: towards * fan / 2.0 })
        };
        of(PositionQuantity::BassSide, Side::Bass, 1.0)
            .or_else(|| of(PositionQuantity::TrebleSide, Side::Treble, -1.0))
            .filter(|_| stands.half > 0.0)
    }

    fn slope(&self) -> f64 {
        self.beside_end + self.lean - self.fan
    }

    /// The same if two readings had been taken for each other; none where nothing hangs on them. Diagonals the other way
    /// round lean a rout's ends the other way.
    fn exchanged(&self, which: Exchanged) -> Option<f64> {
        match which {
            Exchanged::Diagonals => (self.lean != 0.0).then_some(self.beside_end - self.lean - self.fan),
            Exchanged::Edges => Some(-self.beside_end + self.lean - self.fan),
        }
    }
}
