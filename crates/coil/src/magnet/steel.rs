//! How much a string counts for by what it is made of: the steel that a field finds in it, times its speed.
//!
//! A plain string is all steel. A wound one is a core with a wrap round it; across its axis, where every wire of high
//! permeability takes about the same moment, a magnetic wrap counts as its core does, along its axis less, since its
//! wire runs round and round with gaps between. What packets do not say is taken from the thinnest to the thickest of
//! what is sold, so that a level is a range and not a guess.

use std::f64::consts::FRAC_PI_4;

use bobbinwright_spec::Length;
use bobbinwright_spec::string_set::{Core, StringSet, Wrap};

/// Up to this gauge strings are plain, from this one on they are wound; in between both are sold (common practice: 0.016
/// and 0.024 inch).
const PLAIN_TO: Length = Length::from_mm(0.41);
const WOUND_FROM: Length = Length::from_mm(0.60);
/// A core's thickness as a part of the string's (from memory: 35 to 60 %).
const CORES: [f64; 2] = [0.35, 0.60];
/// By how much a magnetic wrap counts as steel does: along the string less than across it (estimated, not measured).
const WRAPS: [f64; 2] = [0.5, 1.0];
/// Area of a core of thickness 1: round, and six-sided from side to side.
const ROUND: f64 = FRAC_PI_4;
const HEX: f64 = 0.866;
/// A wrap of round wire, closely laid, fills this part of its ring (π² w (d + w) / 4 of π w (d + w)).
const FILLS: f64 = FRAC_PI_4;

/// A range of what a string counts for: its steel, mm², times its speed, 1/mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Counts {
    /// The least.
    pub least: f64,
    /// The most.
    pub most: f64,
}

impl Counts {
    /// Of a string of a set, by its number and gauge.
    ///
    /// ```
    /// # use bobbinwright_coil::magnet::steel::Counts;
    /// # use bobbinwright_spec::{Length, string_set::{Core, StringSet, Wrap}};
    /// # use std::f64::consts::PI;
    /// let mm = Length::from_mm;
    /// // Plain: π d² / 4 over d.
    /// let plain = Counts::of(1, mm(0.4), &StringSet::default());
    /// assert!((plain.least - PI * 0.1).abs() < 1e-12 && plain.least == plain.most);
    /// // A round core half as thick in bronze is a quarter of the steel.
    /// let set = StringSet { wound_from: Some(4), wrap: Some(Wrap::Bronze), core: Some(Core::Round), cores: vec![mm(0.6)] };
    /// let wound = Counts::of(4, mm(1.2), &set);
    /// assert!((wound.least - PI * 0.3 / 4.0).abs() < 1e-12 && wound.least == wound.most);
    /// ```
    pub fn of(number: usize, gauge: Length, set: &StringSet) -> Self {
        let (plain, wound) = match set.wound_from {
            Some(from) => (number < from, number >= from),
            None => (gauge < WOUND_FROM, gauge > PLAIN_TO),
        };
        let d = gauge.as_mm();
        let mut all = Self { least: f64::INFINITY, most: 0.0 };
        if plain {
            all = all.with(FRAC_PI_4 * d);
        }
        if wound {
            let cores = core(number, d, set);
            let shapes = match set.core {
                Some(Core::Round) => [ROUND; 2],
                Some(Core::Hex) => [HEX; 2],
                None => [ROUND, HEX],
            };
            let wraps = match set.wrap {
                Some(Wrap::Bronze) => [0.0; 2],
                Some(Wrap::Steel | Wrap::PlatedSteel | Wrap::Nickel) => WRAPS,
                None => [0.0, WRAPS[1]],
            };
            for core in cores {
                for (shape, wrap) in shapes.into_iter().flat_map(|s| wraps.map(|w| (s, w))) {
                    let ring = FRAC_PI_4 * (d * d - core * core) * FILLS;
                    all = all.with((shape * core * core + wrap * ring) / d);
                }
            }
        }
        all
    }

    fn with(self, counts: f64) -> Self {
        Self { least: self.least.min(counts), most: self.most.max(counts) }
    }

    /// The middle of the two, in decibels.
    pub fn middle(self) -> f64 {
        (self.least * self.most).sqrt()
    }
}

/// The least and the most that a string's core can be thick, mm.
fn core(number: usize, gauge: f64, set: &StringSet) -> [f64; 2] {
    let stated = set.wound_from.and_then(|from| set.cores.get(number.checked_sub(from)?));
    stated.map_or(CORES.map(|part| part * gauge), |core| [core.as_mm().min(gauge); 2])
}

#[cfg(test)]
mod tests {
    use bobbinwright_elementary::Elementary;

    use super::*;

    fn mm(length: f64) -> Length {
        Length::from_mm(length)
    }

    /// Where nothing is stated there is no cliff: what a string may count for changes by no more than its gauge does, but
    /// where another make comes in or goes out, and there it only gets wider or narrower.
    #[test]
    fn there_is_no_cliff() {
        let of = |gauge: f64| Counts::of(3, mm(gauge), &StringSet::default());
        for step in 0..1200 {
            let gauge = 0.2 + 0.001 * f64::from(step);
            let (a, b) = (of(gauge), of(gauge + 0.001));
            let meet = a.least <= b.most * 1.01 && b.least <= a.most * 1.01;
            assert!(meet, "{gauge}: {a:?} {b:?}");
        }
        // 0.500 and 0.515 mm, which a model with a cliff puts 10 dB apart.
        let decibels = |counts: f64| 20.0 * counts.decadic_logarithm();
        assert!((decibels(of(0.500).most) - decibels(of(0.515).most)).abs() < 0.5);
        assert!((decibels(of(0.500).least) - decibels(of(0.515).least)).abs() < 0.5);
    }

    /// Wire of thickness w, wound closely round a core of thickness d, takes π² w (d + w) / 4 for each length of string: one
    /// turn is π (d + w) long and w wide.
    #[test]
    fn a_wrap_is_as_much_steel_as_its_wire() {
        let (d, w) = (0.4, 0.3);
        let turn = FRAC_PI_4 * w * w * std::f64::consts::PI * (d + w);
        let set = StringSet {
            wound_from: Some(3),
            wrap: Some(Wrap::Steel),
            core: Some(Core::Round),
            cores: vec![mm(d)],
        };
        let found = Counts::of(3, mm(d + 2.0 * w), &set).most * (d + 2.0 * w);
        assert!((found - (FRAC_PI_4 * d * d + turn / w)).abs() < 1e-12, "{found}");
    }
}
