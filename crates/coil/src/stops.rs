//! What the meter tells while a coil is wound: this spool, this winder, and whether turns touch.
//!
//! A coil's resistance goes with its wire's resistance for a metre, which is the same for all of a spool but for a little,
//! and with the length of its turns, which grows by how tightly they lie. Neither is known before winding begins; both
//! are nearly the same at every stop. Each stop is held against what the stops before it make one expect (`process`); one
//! that is not to be believed is not learnt from.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::coil::Packing;
use bobbinwright_spec::wound::{Meter, Shown, Stop, Thermometer};
use bobbinwright_spec::{Length, load::Ohms};

use crate::copper;
use crate::process::{Cause, HAND_WANDERS, Own, Point, Process};
use crate::winding::{Coil, Packed, Resistance};

/// A stop is not to be believed when it is further off than this many standard uncertainties: one in 16,000 of good ones.
const UNBELIEVABLE: f64 = 4.0;
/// What 95 of 100 are within, two-sided and one-sided.
const TWO_SIDED: f64 = 2.0;
const ONE_SIDED: f64 = 1.645;

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
    /// What the caliper said across the coil, where it was read.
    pub across: Option<Across>,
}

/// A thickness over the coil, judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Across {
    /// As it was read.
    pub read: Length,
    /// What it should have been: least, expected, most. Beyond that it is not believed before another one says the same.
    pub band: [Length; 3],
    /// Whether it is.
    pub is_believed: bool,
}

/// A coil as far as it is wound.
#[derive(Clone, Debug)]
pub struct Follow {
    coil: Coil,
    process: Process,
    /// Thicknesses that were not believed, each with its place among those judged.
    doubted: Vec<(usize, Point)>,
    /// Every stop, in the order of the turns.
    pub judged: Vec<Judged>,
    /// The meter and thermometer of the last one.
    tools: (Meter, Option<Thermometer>),
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
            process: Process::new(own),
            doubted: Vec::new(),
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
        let (off, s) = self.process.ask(&point);
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
        if believed == Believed::Yes {
            self.process.learn(point);
        }
        let across = stop.across.map(|across| self.measured(stop.turns, across));
        self.judged.push(Judged { turns: stop.turns, band, believed, across });
    }

    /// A resistance that is read after so many turns.
    fn resistance_point(&self, turns: f64, celsius: f64, is_read: bool) -> Point {
        let (meter, thermometer) = &self.tools;
        let shown = self.coil.resistance_of(turns, celsius);
        let step = meter.step(Ohms(shown.0)).0;
        let warmth = |kelvin: f64| even(copper::PER_KELVIN * kelvin);
        let usual = Thermometer::usual();
        let thermometer = thermometer.as_ref().unwrap_or(&usual);
        let (warm, warm_anew) = if is_read {
            ((Cause::Thermometer(thermometer.name.clone()), warmth(thermometer.limit)), COIL_WARMER)
        } else {
            ((Cause::Workshop, warmth(UNREAD[0])), UNREAD[1])
        };
        let own = [
            warmth(warm_anew),
            even(METER_ANEW * meter.share),
            even((meter.digits + 0.5) * step / shown.0),
            even(COUNTED / turns),
        ];
        let grown = self.grown(turns);
        let gain = (Cause::Meter { name: meter.name.clone(), step }, even(meter.share));
        Point {
            off: 0.0,
            hangs: [1.0, grown, 1.0 - grown],
            turns,
            metres: self.metres(turns),
            shares: vec![warm, gain],
            anew: own.iter().map(|u| u * u).sum(),
        }
    }

    /// Judges how thick the coil is after so many turns, and learns from it. What is further off than a hand's packing may be
    /// is taken for a slip until a second one says the same.
    fn measured(&mut self, turns: f64, read: Length) -> Across {
        let radius = self.coil.bobbin.core.radius;
        let build = read / 2.0 - radius;
        let expected = Coil { turns, ..self.coil }.build();
        let point = |off: f64, anew: f64| Point {
            off,
            hangs: [0.0, 1.0, 0.0],
            turns,
            metres: 0.0,
            shares: Vec::new(),
            anew,
        };
        let pressed = |build: Length| 2.0 * even(PRESSED / 2.0 / build).power(2);
        let (off, s) = self.process.ask(&point(0.0, pressed(expected)));
        let at = |z: f64| (radius + expected * (off + z * s).exponential()) * 2.0;
        let band = [-UNBELIEVABLE, 0.0, UNBELIEVABLE].map(at);
        let share = self.coil.packing.share * (expected / build);
        if build <= Length::ZERO || !Packing::POSSIBLE.contains(&share) {
            return Across { read, band, is_believed: false };
        }
        let point = point((build / expected).logarithm(), pressed(build));
        let is_expected = (band[0]..=band[2]).contains(&read);
        let agrees = |other: &Point| {
            let apart = (other.anew + point.anew + 2.0 * HAND_WANDERS.power(2)).sqrt();
            (other.off - point.off).abs() <= UNBELIEVABLE * apart
        };
        if is_expected {
            self.process.learn(point);
        } else if let Some(same) = self.doubted.iter().position(|(_, other)| agrees(other)) {
            let (judged, other) = self.doubted.remove(same);
            self.judged[judged].across.iter_mut().for_each(|across| across.is_believed = true);
            self.process.learn(other);
            self.process.learn(point);
        } else {
            self.doubted.push((self.judged.len(), point));
            return Across { read, band, is_believed: false };
        }
        Across { read, band, is_believed: true }
    }

    /// How much of the mean turn is the coil's growth, after so many turns.
    fn grown(&self, turns: f64) -> f64 {
        let coil = Coil { turns, ..self.coil };
        (coil.build() * std::f64::consts::PI) / coil.mean_turn()
    }

    fn metres(&self, turns: f64) -> f64 {
        Coil { turns, ..self.coil }.wire_length()
    }

    /// What a share is now, and to what part of itself it is known.
    fn latent(&self, hangs: [f64; 3], value: f64, sign: f64) -> Known {
        let turns = self.process.own.whole;
        let point =
            Point { off: 0.0, hangs, turns, metres: self.metres(turns), shares: Vec::new(), anew: 0.0 };
        let (off, doubt) = self.process.ask(&point);
        Known { value: value * (sign * off).exponential(), doubt }
    }

    /// Ohms for a metre of this wire as it lies in this coil, at 20 °C.
    pub fn per_metre(&self) -> Known {
        self.latent([1.0, 0.0, 0.0], self.coil.wire.per_metre(), 1.0)
    }

    /// How tightly it lies.
    pub fn packing(&self) -> Known {
        self.latent([0.0, 1.0, 0.0], self.coil.packing.share, -1.0)
    }

    /// The same as a coil has it, with what the film measures in it; as it was planned before the first stop.
    pub fn packed(&self) -> Packed {
        if self.believed() == 0 {
            return self.coil.packing;
        }
        let Known { value, doubt } = self.packing();
        Packed { share: value, half: value * doubt * 3f64.sqrt(), with_film: true, refused: None }
    }

    /// The turns of the whole coil, as it was planned.
    pub fn turns(&self) -> f64 {
        self.coil.turns
    }

    /// How many stops are believed.
    pub fn believed(&self) -> usize {
        self.judged.iter().filter(|j| j.believed == Believed::Yes).count()
    }

    /// What the meter will show after so many turns at a temperature: least, expected and most, in 95 of 100 cases.
    pub fn band(&self, turns: f64, celsius: f64) -> [Resistance; 3] {
        let (off, s) = self.process.ask(&self.resistance_point(turns, celsius, true));
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
        let (_, s) = self.process.ask(&self.resistance_point(turns, celsius, true));
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
    let mut own = Own { wire: coil.wire_doubt(), grows: coil.build_doubt(), whole: coil.turns };
    if let Some(known) = before.packing.filter(|known| known.doubt < own.grows) {
        own.grows = known.doubt;
        let half = known.doubt * known.value * 3f64.sqrt();
        coil.packing = Packed { share: known.value, half, with_film: true, refused: None };
    }
    if let Some(known) = before.per_metre {
        own.wire = known.doubt;
        coil.wire = coil.wire.resisting(known.value);
    }
    (coil, own)
}
