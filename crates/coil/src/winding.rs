//! How much wire goes on the bobbin, and what the meter reads then.

use std::f64::consts::PI;

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::Length;

use crate::copper;
use crate::inductance::{Inductance, Racetrack, Section, coil, rough_coil};
use crate::wire::Wire;

/// Where a coil is wound: round the rods, between the plates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bobbin {
    /// The innermost turn: round the rods and their tape.
    pub core: Racetrack,
    /// Between the plates.
    pub height: Length,
    /// From the core to where the coil must end.
    pub room: Length,
}

/// A wound coil.
///
/// ```
/// # use bobbinwright_coil::inductance::Racetrack;
/// # use bobbinwright_coil::winding::{Bobbin, Coil, Packed};
/// # use bobbinwright_coil::wire::Wire;
/// # use bobbinwright_spec::{Length, coil};
/// # use std::f64::consts::PI;
/// # let mm = Length::from_mm;
/// # let core = Racetrack { span: mm(50.0), radius: mm(2.5) };
/// # let bobbin = Bobbin { core, height: mm(10.0), room: mm(5.0) };
/// # let wire = Wire::of(coil::Wire::Diameters(mm(0.06), mm(0.07)));
/// # let coil = Coil { bobbin, wire, packing: Packed::assumed(0.7), turns: 8000.0 };
/// // Two straights of 50 mm, and a circle half the build outside a core of 2.5 mm radius.
/// let round = 2.0 * PI * (2.5 + coil.build().as_mm() / 2.0);
/// assert!((coil.mean_turn().as_mm() - (100.0 + round)).abs() < 1e-9);
/// // All wire, in m, is so many of them.
/// assert!((coil.wire_length() - 8000.0 * (100.0 + round) / 1000.0).abs() < 1e-9);
/// // Wound full, it is as thick as there is room.
/// assert!((Coil { turns: coil.most_turns(), ..coil }.build().as_mm() - 5.0).abs() < 1e-9);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coil {
    /// Round what it is wound.
    pub bobbin: Bobbin,
    /// With what.
    pub wire: Wire,
    /// How tightly it lies.
    pub packing: Packed,
    /// How many turns.
    pub turns: f64,
}

/// In ohms.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Resistance(pub f64);

/// How much of a coil's section is wire, film included: 0.55 to 0.7 wound by hand, 0.65 to 0.8 by a machine (common
/// practice); no more than π/4 square and π/(2√3) staggered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Packed {
    /// That share.
    pub share: f64,
    /// It may be more or less by this.
    pub half: f64,
    /// A coil of this wire was measured, so that what its film really measures is in it.
    pub with_film: bool,
    /// What a wound coil came to by its readings, if that is impossible; it is then not counted.
    pub refused: Option<f64>,
}

impl Packed {
    /// As it is stated or assumed: known to plus or minus 0.05 until a coil was wound and measured (common
    /// practice).
    pub const fn assumed(share: f64) -> Self {
        Self { share, half: 0.05, with_film: false, refused: None }
    }
}

impl Coil {
    /// From the core to the outer turn.
    pub fn build(&self) -> Length {
        self.build_of(self.turns)
    }

    /// The same wound as tightly, and as loosely, as that hand may wind.
    pub fn builds(&self) -> [Length; 2] {
        let by = self.build() * (self.packing.half / self.packing.share);
        [self.build() - by, self.build() + by]
    }

    fn build_of(&self, turns: f64) -> Length {
        Length::from_mm(turns * self.wire.taken() / (self.packing.share * self.bobbin.height.as_mm()))
    }

    /// The most turns that there is room for.
    pub fn most_turns(&self) -> f64 {
        (self.bobbin.room / self.build_of(1.0)).max(0.0)
    }

    /// Length of the mean turn.
    pub fn mean_turn(&self) -> Length {
        self.mean_turn_of(self.turns)
    }

    /// Every layer's length grows by the same, so the mean turn is that in the middle of the build.
    fn mean_turn_of(&self, turns: f64) -> Length {
        let core = self.bobbin.core;
        core.span * 2.0 + (core.radius + self.build_of(turns) / 2.0) * (2.0 * PI)
    }

    /// Length of all wire, m.
    pub fn wire_length(&self) -> f64 {
        self.turns * self.mean_turn().as_mm() / 1000.0
    }

    /// Mass of the copper, g.
    pub fn mass(&self) -> f64 {
        // A metre of a square millimetre is a cubic centimetre.
        self.wire_length() * self.wire.copper() * copper::DENSITY
    }

    /// Resistance at a temperature, °C, with the copper's usual diameter, conductivity and stretch.
    ///
    /// From the wire's length and copper by IEC 60028.
    ///
    /// ```
    /// # use bobbinwright_coil::inductance::Racetrack;
    /// # use bobbinwright_coil::winding::{Bobbin, Coil, Packed};
    /// # use bobbinwright_coil::wire::Wire;
    /// # use bobbinwright_spec::{Length, coil};
    /// # use std::f64::consts::PI;
    /// # let mm = Length::from_mm;
    /// # let core = Racetrack { span: mm(50.0), radius: mm(2.5) };
    /// # let bobbin = Bobbin { core, height: mm(10.0), room: mm(5.0) };
    /// # let wire = Wire::of(coil::Wire::Diameters(mm(0.06), mm(0.07)));
    /// # let coil = Coil { bobbin, wire, packing: Packed::assumed(0.7), turns: 8000.0 };
    /// // A 58th of an ohm for a metre of a square millimetre, at 20 °C, of copper that conducts 99 % of that and is stretched by 1 %; a
    /// // hundredth more 2.54 degrees on.
    /// let cold = coil.wire_length() * (1.01 / 0.99) / 58.0 / (PI * 0.03 * 0.03);
    /// assert!((coil.resistance(20.0).0 / cold - 1.0).abs() < 1e-12);
    /// assert!((coil.resistance(20.0 + 0.01 / 0.00393).0 / cold - 1.01).abs() < 1e-9);
    /// ```
    pub fn resistance(&self, celsius: f64) -> Resistance {
        self.resistance_of(self.turns, celsius)
    }

    /// The same when only so many turns are wound yet.
    pub fn resistance_of(&self, turns: f64, celsius: f64) -> Resistance {
        let metres = turns * self.mean_turn_of(turns).as_mm() / 1000.0;
        Resistance(self.wire.per_metre() * metres * copper::at_temperature(celsius))
    }

    /// Standard uncertainty of the resistance, as part of it: the copper's diameter and conductivity, the
    /// winder's tension, and the packing, by which the coil grows.
    pub fn resistance_doubt(&self) -> f64 {
        let packing = self.packing.half / 3f64.sqrt() / self.packing.share;
        let grows = PI * self.build().as_mm() / self.mean_turn().as_mm() * packing;
        self.wire_doubt().hypotenuse(grows)
    }

    /// Standard uncertainty of the build, as part of it: how tightly a hand winds, and what the film measures.
    ///
    /// ```
    /// # use bobbinwright_coil::inductance::Racetrack;
    /// # use bobbinwright_coil::winding::{Bobbin, Coil, Packed};
    /// # use bobbinwright_coil::wire::Wire;
    /// # use bobbinwright_spec::{Length, coil};
    /// # let mm = Length::from_mm;
    /// # let core = Racetrack { span: mm(50.0), radius: mm(2.5) };
    /// # let bobbin = Bobbin { core, height: mm(10.0), room: mm(5.0) };
    /// # let wire = Wire::of(coil::Wire::Diameters(mm(0.06), mm(0.07)));
    /// let of = |packing| Coil { bobbin, wire, packing, turns: 8000.0 }.build_doubt();
    /// // 0.7 ± 0.05, evenly; a film that may be 4 % thinner or thicker counts twice, as an area.
    /// let hand = 0.05 / 0.7 / 3f64.sqrt();
    /// assert!((of(Packed::assumed(0.7)) - hand.hypot(0.08 / 3f64.sqrt())).abs() < 1e-12);
    /// // Of a coil that was measured the film is known too.
    /// assert!((of(Packed { with_film: true, ..Packed::assumed(0.7) }) - hand).abs() < 1e-12);
    /// ```
    pub fn build_doubt(&self) -> f64 {
        let even = |half: f64| half / 3f64.sqrt();
        let overall = self.wire.overall;
        let film = if self.packing.with_film { 0.0 } else { 2.0 * even(overall.half / overall.nominal) };
        film.hypotenuse(even(self.packing.half) / self.packing.share)
    }

    /// What of that is the wire's: the same for all of a spool.
    pub fn wire_doubt(&self) -> f64 {
        let even = |half: f64| half / 3f64.sqrt();
        let diameter = 2.0 * even(self.wire.bare.half / self.wire.bare.nominal);
        let conducts = even((copper::CONDUCTS[1] - copper::CONDUCTS[0]) / 2.0);
        let tension = even(copper::STRETCHED / 2.0);
        [diameter, conducts, tension].iter().map(|u| u * u).sum::<f64>().sqrt()
    }

    /// The turns that have a resistance.
    ///
    /// ```
    /// # use bobbinwright_coil::inductance::Racetrack;
    /// # use bobbinwright_coil::winding::{Bobbin, Coil, Packed, Resistance};
    /// # use bobbinwright_coil::wire::Wire;
    /// # use bobbinwright_spec::{Length, coil};
    /// # let mm = Length::from_mm;
    /// # let core = Racetrack { span: mm(50.0), radius: mm(2.5) };
    /// # let bobbin = Bobbin { core, height: mm(10.0), room: mm(5.0) };
    /// # let wire = Wire::of(coil::Wire::Diameters(mm(0.06), mm(0.07)));
    /// # let coil = Coil { bobbin, wire, packing: Packed::assumed(0.7), turns: 8000.0 };
    /// let turns = coil.turns_for(Resistance(6000.0), 22.0);
    /// assert!((coil.resistance_of(turns, 22.0).0 - 6000.0).abs() < 1e-6);
    /// // The outer turns are the longer ones: twice the resistance needs less than twice the turns.
    /// assert!(coil.turns_for(Resistance(12_000.0), 22.0) < 2.0 * turns);
    /// ```
    pub fn turns_for(&self, wanted: Resistance, celsius: f64) -> f64 {
        // R = k n (a + b n): the mean turn grows evenly with the turns.
        let core = self.bobbin.core;
        let a = (core.span * 2.0 + core.radius * (2.0 * PI)).as_mm() / 1000.0;
        let b = PI * self.build_of(1.0).as_mm() / 1000.0;
        let k = self.resistance_of(1.0, celsius).0 / (a + b);
        let c = wanted.0 / k;
        2.0 * c / (a + (a * a + 4.0 * b * c).sqrt())
    }

    /// Without rods or any other iron.
    pub fn inductance(&self) -> Inductance {
        let Bobbin { core, height, .. } = self.bobbin;
        coil(Section { inner: core, build: self.build(), height }, self.turns)
    }

    /// Standard uncertainty of that, as part of it: a thicker coil has less.
    pub fn inductance_doubt(&self) -> f64 {
        let Bobbin { core, height, .. } = self.bobbin;
        let of = |part: f64| rough_coil(Section { inner: core, build: self.build() * part, height });
        (of(1.0 + TRIED) / of(1.0)).logarithm().abs() / TRIED * self.build_doubt()
    }

    /// The turns that have an inductance, to half a turn; `self` is where the search begins.
    pub fn turns_for_inductance(&self, wanted: Inductance) -> f64 {
        self.turns_reading(wanted, Self::inductance)
    }

    /// The turns with which something reads as wanted that goes with about the square of them, to half a turn.
    pub fn turns_reading(&self, wanted: Inductance, reads: impl Fn(&Self) -> Inductance) -> f64 {
        // Each step leaves a small part of the error.
        const ENOUGH: u32 = 40;
        let mut turns = self.turns;
        for _ in 0..ENOUGH {
            let found = reads(&Self { turns, ..*self });
            let next = turns * (wanted.0 / found.0).sqrt();
            if (next - turns).abs() < 0.1 {
                return next;
            }
            turns = next;
        }
        turns
    }
}

/// By so much of itself a build is changed to see what that does.
const TRIED: f64 = 0.1;

#[cfg(test)]
mod tests {
    use super::*;
    use bobbinwright_spec::coil::{Awg, Film, Wire as Bought};

    fn example() -> Coil {
        let core = Racetrack { span: Length::from_mm(52.0), radius: Length::from_mm(2.75) };
        let bobbin = Bobbin { core, height: Length::from_mm(11.0), room: Length::from_mm(5.0) };
        let wire = Wire::of(Bought::Gauge(Awg::new(42).unwrap(), Film::Heavy));
        Coil { bobbin, wire, packing: Packed::assumed(0.7), turns: 8000.0 }
    }

    /// A worked example: 8,000 turns of number 42, 0.0762 mm over its film, packed to 0.7.
    #[test]
    fn the_worked_example_comes_out() {
        let coil = example();
        assert!((coil.build().as_mm() - 4.738).abs() < 5e-4, "{}", coil.build());
        assert!((coil.mean_turn().as_mm() - 136.164).abs() < 2e-3, "{:?}", coil.mean_turn());
        assert!((coil.wire_length() - 1089.3).abs() < 0.05);
        // 5960.3 of the best copper (IEC 60028), 1/0.99 of that of the usual, and 1.01 times that where it is stretched as usual.
        assert!((coil.resistance(20.0).0 - 6080.7).abs() < 0.3, "{:?}", coil.resistance(20.0));
        assert!((coil.resistance(25.0).0 - 6200.2).abs() < 0.3);
        assert!((coil.most_turns() - 8000.0 * 5.0 / 4.738).abs() < 1.0);
        // Two spools of one number needed 7,875 and 7,945 turns for the same resistance, and a bare diameter
        // within its tolerance alone may mean 8 %.
        assert!((0.03..0.07).contains(&coil.resistance_doubt()), "{}", coil.resistance_doubt());
    }

    /// Turns, resistance and inductance lead back to each other.
    #[test]
    fn each_target_leads_to_the_others() {
        let coil = example();
        let turns = coil.turns_for(coil.resistance(22.0), 22.0);
        assert!((turns - 8000.0).abs() < 1e-6, "{turns}");
        let turns = coil.turns_for_inductance(coil.inductance());
        assert!((turns - 8000.0).abs() < 1.0, "{turns}");
    }

    /// Also where a coil has few layers, or far more than there is room for.
    #[test]
    fn small_and_large_inductances_are_found() {
        for wanted in [0.01, 0.1, 2.2, 100.0] {
            let turns = Coil { turns: 1.0, ..example() }.turns_for_inductance(Inductance(wanted));
            let found = Coil { turns, ..example() }.inductance().0;
            assert!((found / wanted - 1.0).abs() < 1e-3, "{wanted} H: {turns} turns have {found}");
        }
    }

    /// What is wound first is shorter: half of the turns have less than half of the resistance.
    #[test]
    fn resistance_grows_faster_than_the_turns() {
        let coil = example();
        assert!(coil.resistance_of(4000.0, 20.0) < Resistance(coil.resistance(20.0).0 / 2.0));
    }
}
