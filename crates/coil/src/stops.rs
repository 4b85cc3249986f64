//! What the meter tells while a coil is wound: this spool, this winder, and whether turns touch.
//!
//! A coil's resistance goes with its wire's resistance for a metre, which is the same for all of a spool but for a little,
//! and with the length of its turns, which grows by how tightly they lie. Neither is known before winding begins; both
//! are nearly the same at every stop. So the logarithm of what is read over what was expected is taken as a Gaussian
//! process of the turns: a share of the spool, one of the packing by how much the coil has grown, one of the core, a
//! wander of the wire along the spool and of the hand along the coil, the errors of meter and thermometer that repeat from
//! stop to stop, and those that do not (kriging; Rasmussen and Williams 2006, chapter 2). Each stop is held against what
//! the stops before it make one expect; one that is not to be believed is not learnt from.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::wound::{Meter, Shown, Stop, Thermometer};
use bobbinwright_spec::{Length, load::Ohms};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use crate::copper;
use crate::winding::{Coil, Packed, Resistance};

/// A stop is not to be believed when it is further off than this many standard uncertainties: one in 16,000 of good ones.
const UNBELIEVABLE: f64 = 4.0;
/// What 95 of 100 are within, two-sided and one-sided.
const TWO_SIDED: f64 = 2.0;
const ONE_SIDED: f64 = 1.645;

/// Turns round the rods, tape and the first layers, by which the core's length may be off (common practice).
const CORE: f64 = 0.005;
/// By how much the wire differs along a spool, and what a hand's tension adds (common practice), and along how many
/// metres that stays about the same.
const WIRE_WANDERS: f64 = 0.004;
const WIRE_FOR: f64 = 150.0;
/// The same of how tightly a hand lays turns, along so many parts of the coil (common practice).
const HAND_WANDERS: f64 = 0.03;
const HAND_FOR: f64 = 0.3;
/// A meter's error goes along with it from stop to stop, but for about half of its limit (common practice).
const METER_ANEW: f64 = 0.5;
/// A coil is not as warm as the air beside it, K; nor is a workshop whose temperature nobody read as warm as it is taken
/// to be, at any time and from stop to stop (common practice).
const COIL_WARMER: f64 = 0.3;
const UNREAD: [f64; 2] = [3.0, 1.0];
/// The temperature that is taken where nobody read it, °C.
const USUAL: f64 = 20.0;
/// The counter, and where in a turn the winder stands.
const COUNTED: f64 = 1.0;
/// A caliper presses a coil in by up to this (common practice).
const PRESSED: Length = Length::from_mm(0.1);
/// Tension differs from coil to coil, and so does what a spool that is known gives (common practice).
const NEXT_COIL: f64 = 0.003;

/// A share of something that is known to some part of itself, one standard uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// The best value.
    pub value: f64,
    /// Its standard uncertainty, as part of it.
    pub doubt: f64,
}

/// What is known of wire and winder before a coil is begun.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Before {
    /// Ohms for a metre of this very spool at 20 °C.
    pub per_metre: Option<Known>,
    /// How tightly this winder's coils lie.
    pub packing: Option<Known>,
}

/// What a stop is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Believed {
    /// As the stops before it make one expect.
    Yes,
    /// Too low: so many turns are as if they were not there.
    Low {
        /// How many turns of the mean length that is.
        turns: f64,
    },
    /// Too high: the wire is pulled thin, or something is badly joined.
    High,
    /// Nothing is joined: the wire is broken, or the meter does not touch it.
    Open,
}

/// A stop, judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Judged {
    /// What the counter says.
    pub turns: f64,
    /// What the meter should have shown, at the stop's temperature: least, expected, most. Beyond that it is not believed.
    pub band: [Resistance; 3],
    /// Whether it is.
    pub believed: Believed,
}

/// A coil as far as it is wound.
#[derive(Clone, Debug)]
pub struct Follow {
    coil: Coil,
    own: Own,
    points: Vec<Point>,
    /// What all points that are believed come to; none before the first.
    learnt: Option<Learnt>,
    /// Every stop, in the order of the turns.
    pub judged: Vec<Judged>,
    /// The meter and thermometer of the last one.
    tools: (Meter, Option<Thermometer>),
}

#[derive(Clone, Debug)]
struct Learnt {
    factor: Cholesky<f64, Dyn>,
    weights: DVector<f64>,
}

/// Standard uncertainties before any reading: of the wire, and of the coil's growth.
#[derive(Clone, Copy, Debug)]
struct Own {
    wire: f64,
    grows: f64,
    /// Turns of the whole coil.
    whole: f64,
}

/// Something that is read or asked for: how it hangs on the spool, on the coil's growth and on the core, and where it
/// stands.
#[derive(Clone, Debug)]
struct Point {
    /// The logarithm of what was read over what was expected.
    off: f64,
    hangs: [f64; 3],
    turns: f64,
    metres: f64,
    /// Thermometer's limit, K; nought for what is no resistance.
    warmth: f64,
    /// The meter, its limit and the range it was on.
    meter: Option<(String, f64, f64)>,
    /// Variance of its own.
    anew: f64,
}

fn even(half: f64) -> f64 {
    half / 3f64.sqrt()
}

impl Follow {
    /// What all stops of a coil tell that was begun with some knowledge of wire and winder.
    pub fn of<'s>(coil: &Coil, before: Before, stops: impl IntoIterator<Item = &'s Stop>) -> Self {
        let (coil, own) = begun(coil, before);
        let mut follow = Self {
            coil,
            own,
            points: Vec::new(),
            learnt: None,
            judged: Vec::new(),
            tools: (Meter::usual(), None),
        };
        for stop in stops {
            follow.add(stop);
        }
        follow
    }

    fn add(&mut self, stop: &Stop) {
        self.tools = (stop.meter.clone().unwrap_or_else(Meter::usual), stop.thermometer.clone());
        let celsius = stop.celsius.unwrap_or(USUAL);
        let mut point = self.resistance_point(stop.turns, celsius, stop.celsius.is_some());
        let (off, s) = self.ask(&point);
        let expected = self.coil.resistance_of(stop.turns, celsius).0;
        let at = |z: f64| Resistance(expected * (off + z * s).exponential());
        let band = [-UNBELIEVABLE, 0.0, UNBELIEVABLE].map(at);
        let believed = match stop.shown {
            Shown::Open => Believed::Open,
            Shown::Ohms(Ohms(shown)) => {
                point.off = (shown / expected).logarithm();
                let lost = (1.0 - shown / band[1].0) * stop.turns;
                // Turns that touched go on to touch, also where the band has become so wide that it would let them pass.
                let before = self.judged.last().map(|judged| judged.believed);
                let still = matches!(before, Some(Believed::Low { turns }) if lost > turns / 2.0);
                match (point.off - off) / s {
                    z if z < -UNBELIEVABLE => Believed::Low { turns: lost },
                    z if z > UNBELIEVABLE => Believed::High,
                    _ if still => Believed::Low { turns: lost },
                    _ => Believed::Yes,
                }
            }
        };
        self.judged.push(Judged { turns: stop.turns, band, believed });
        if believed == Believed::Yes {
            self.points.push(point);
        }
        self.points.extend(stop.across.and_then(|across| self.thickness_point(stop.turns, across)));
        self.learn();
    }

    /// A resistance that is read after so many turns.
    fn resistance_point(&self, turns: f64, celsius: f64, is_read: bool) -> Point {
        let (meter, thermometer) = &self.tools;
        let shown = self.coil.resistance_of(turns, celsius);
        let step = meter.step(Ohms(shown.0)).0;
        let limit = thermometer.as_ref().map_or(Thermometer::usual().limit, |t| t.limit);
        let [warmth, anew] = if is_read { [limit, COIL_WARMER] } else { UNREAD };
        let own = [
            even(copper::PER_KELVIN * anew),
            even(METER_ANEW * meter.share),
            even((meter.digits + 0.5) * step / shown.0),
            even(COUNTED / turns),
        ];
        let grown = self.grown(turns);
        Point {
            off: 0.0,
            hangs: [1.0, grown, 1.0 - grown],
            turns,
            metres: self.metres(turns),
            warmth,
            meter: Some((meter.name.clone(), meter.share, step)),
            anew: own.iter().map(|u| u * u).sum(),
        }
    }

    /// How thick the coil is after so many turns; none where it can't be.
    fn thickness_point(&self, turns: f64, across: Length) -> Option<Point> {
        let build = across / 2.0 - self.coil.bobbin.core.radius;
        let expected = Coil { turns, ..self.coil }.build();
        let ratio = build / expected;
        // Beyond this somebody measured something else.
        if !(0.4..2.5).contains(&ratio) {
            return None;
        }
        let anew = 2.0 * even(PRESSED / 2.0 / build).power(2);
        let hangs = [0.0, 1.0, 0.0];
        Some(Point { off: ratio.logarithm(), hangs, turns, metres: 0.0, warmth: 0.0, meter: None, anew })
    }

    /// How much of the mean turn is the coil's growth, after so many turns.
    fn grown(&self, turns: f64) -> f64 {
        let coil = Coil { turns, ..self.coil };
        (coil.build() * std::f64::consts::PI) / coil.mean_turn()
    }

    fn metres(&self, turns: f64) -> f64 {
        Coil { turns, ..self.coil }.wire_length()
    }

    fn covariance(&self, a: &Point, b: &Point) -> f64 {
        let of = [self.own.wire, self.own.grows, CORE];
        let shared: f64 = (0..3).map(|i| a.hangs[i] * b.hangs[i] * of[i] * of[i]).sum();
        let wire = a.hangs[0] * b.hangs[0] * WIRE_WANDERS.power(2) * alike(a.metres, b.metres, WIRE_FOR);
        let lays = HAND_WANDERS.power(2) * alike(a.turns, b.turns, HAND_FOR * self.own.whole);
        let warmth = even(a.warmth) * even(b.warmth) * copper::PER_KELVIN.power(2);
        let gain = match (&a.meter, &b.meter) {
            (Some(a), Some(b)) if a.0 == b.0 && a.2 == b.2 => even(a.1) * even(b.1),
            _ => 0.0,
        };
        shared + wire + a.hangs[1] * b.hangs[1] * lays + warmth + gain
    }

    fn learn(&mut self) {
        let n = self.points.len();
        let of = |i: usize, j: usize| {
            let (a, b) = (&self.points[i], &self.points[j]);
            self.covariance(a, b) + if i == j { a.anew } else { 0.0 }
        };
        let all = DMatrix::from_fn(n, n, of);
        // Every point has a variance of its own, so that the matrix is positive definite.
        self.learnt = Cholesky::new(all).filter(|_| n > 0).map(|factor| {
            let off = DVector::from_iterator(n, self.points.iter().map(|p| p.off));
            Learnt { weights: factor.solve(&off), factor }
        });
    }

    /// The logarithm of what a point will be over what was expected before winding began, and its standard uncertainty.
    fn ask(&self, point: &Point) -> (f64, f64) {
        let own = self.covariance(point, point) + point.anew;
        let Some(learnt) = &self.learnt else { return (0.0, own.sqrt()) };
        let with = self.points.iter().map(|p| self.covariance(p, point));
        let with = DVector::from_iterator(self.points.len(), with);
        let explained = with.dot(&learnt.factor.solve(&with));
        // What is left is never less than what is the point's own, but for rounding.
        (with.dot(&learnt.weights), (own - explained).max(point.anew).max(1e-12).sqrt())
    }

    /// What a share is now, and to what part of itself it is known.
    fn latent(&self, hangs: [f64; 3], value: f64, sign: f64) -> Known {
        let point = Point {
            off: 0.0,
            hangs,
            turns: self.own.whole,
            metres: 0.0,
            warmth: 0.0,
            meter: None,
            anew: 0.0,
        };
        let point = Point { metres: self.metres(self.own.whole), ..point };
        let (off, doubt) = self.ask(&point);
        Known { value: value * (sign * off).exponential(), doubt }
    }

    /// Ohms for a metre of this wire as it lies in this coil, at 20 °C.
    pub fn per_metre(&self) -> Known {
        self.latent([1.0, 0.0, 0.0], copper::RESISTIVITY / self.coil.wire.copper(), 1.0)
    }

    /// How tightly it lies.
    pub fn packing(&self) -> Known {
        self.latent([0.0, 1.0, 0.0], self.coil.packing.share, -1.0)
    }

    /// How many stops are believed.
    pub fn believed(&self) -> usize {
        self.judged.iter().filter(|j| j.believed == Believed::Yes).count()
    }

    /// What the meter will show after so many turns at a temperature: least, expected and most, in 95 of 100 cases.
    pub fn band(&self, turns: f64, celsius: f64) -> [Resistance; 3] {
        let (off, s) = self.ask(&self.resistance_point(turns, celsius, true));
        let expected = self.coil.resistance_of(turns, celsius).0;
        [-TWO_SIDED, 0.0, TWO_SIDED].map(|z| Resistance(expected * (off + z * s).exponential()))
    }

    /// The turns at which the coil has a resistance, and how many more or fewer it may take in 95 of 100 cases.
    pub fn turns_for(&self, wanted: Resistance, celsius: f64) -> [f64; 2] {
        let expected = |turns: f64| self.band(turns, celsius);
        // What was learnt changes slowly: a few rounds are enough.
        let mut turns = self.coil.turns_for(wanted, celsius);
        for _ in 0..ROUNDS {
            turns *= wanted.0 / expected(turns)[1].0;
        }
        let [least, middle, most] = expected(turns);
        let slope = (expected(turns * 1.001)[1].0 - middle.0) / (turns * 0.001);
        [turns, (most.0 - least.0) / 2.0 / slope]
    }

    /// The fewest turns that would be noticed in 95 of 100 cases if they touched between the last stop and one after so many.
    pub fn noticed(&self, turns: f64, celsius: f64) -> f64 {
        let (_, s) = self.ask(&self.resistance_point(turns, celsius, true));
        (UNBELIEVABLE + ONE_SIDED) * s * turns
    }

    /// What this coil tells of the next: its spool where that is of the same, and its winder.
    pub fn after(&self, same_spool: bool) -> Before {
        let (wire, lays) = (self.per_metre(), self.packing());
        let more = |known: Known, own: f64| Known { doubt: known.doubt.hypotenuse(own), ..known };
        Before {
            per_metre: (same_spool && self.believed() > 0).then(|| more(wire, NEXT_COIL)),
            packing: (self.believed() > 0).then(|| more(lays, HAND_WANDERS)),
        }
    }
}

/// Enough to find the turns to a tenth.
const ROUNDS: u32 = 6;

/// The coil as it is expected with what is known of wire and winder, and how well that is known.
fn begun(coil: &Coil, before: Before) -> (Coil, Own) {
    let mut coil = *coil;
    let film = 2.0 * even(coil.wire.overall.half / coil.wire.overall.nominal);
    let mut own = Own {
        wire: coil.wire_doubt(),
        grows: film.hypotenuse(even(coil.packing.half) / coil.packing.share),
        whole: coil.turns,
    };
    if let Some(known) = before.packing.filter(|known| known.doubt < own.grows) {
        own.grows = known.doubt;
        coil.packing =
            Packed { share: known.value, half: known.doubt * known.value * 3f64.sqrt(), refused: None };
    }
    if let Some(known) = before.per_metre {
        own.wire = known.doubt;
        coil.wire = coil.wire.resisting(known.value);
    }
    (coil, own)
}

/// How alike the means of something are from its beginning up to two places, if it stays about the same for so long: the
/// mean of exp(-|u - v| / long) over all u below the one and v below the other.
fn alike(a: f64, b: f64, long: f64) -> f64 {
    // Nearer than this to the beginning nothing has changed, and figures would be lost.
    let [a, b] = [a.min(b), a.max(b)].map(|at| (at / long).max(1e-4));
    let falls = |x: f64| (-x).exponential();
    (2.0 * a - 1.0 + falls(a) + falls(b) - falls(b - a)) / (a * b)
}
