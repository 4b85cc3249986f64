//! Copper wire with a film of enamel.

use bobbinwright_elementary::Elementary;
use bobbinwright_spec::Length;
use bobbinwright_spec::coil::{self as bought, Awg, Film};

use crate::copper;

/// A wire by its diameters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wire {
    /// Diameter of the copper.
    pub bare: Within,
    /// Diameter over the film.
    pub overall: Within,
}

/// A diameter with what its maker allows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Within {
    /// The usual one.
    pub nominal: Length,
    /// It may be thinner or thicker by this.
    pub half: Length,
}

/// Overall diameters of NEMA MW 1000, thousandths of an inch: least, usual and most, with a single and with a
/// heavy film. Number 42 single is published by a maker; the other figures are from memory.
const OVERALL: [(u8, [f64; 3], [f64; 3]); 7] = [
    (40, [3.2, 3.5, 3.7], [3.6, 3.8, 4.0]),
    (41, [2.9, 3.1, 3.3], [3.2, 3.4, 3.6]),
    (42, [2.6, 2.8, 3.0], [2.8, 3.0, 3.2]),
    (43, [2.3, 2.5, 2.6], [2.5, 2.7, 2.9]),
    (44, [2.0, 2.2, 2.4], [2.3, 2.5, 2.7]),
    (45, [1.79, 1.92, 2.05], [1.99, 2.15, 2.30]),
    (46, [1.59, 1.73, 1.85], [1.81, 1.96, 2.10]),
];

/// What the copper's diameter may be off, of itself: a ten-thousandth of an inch in number 42.
const BARE_TOLERANCE: f64 = 0.04;
/// Magnet wire's own standard rounds the formula's diameters to a ten-thousandth of an inch (NEMA MW 1000, from memory: 0.0022 inch
/// for number 43, where it gives 0.00222): which of both a maker draws it to nobody says.
const ROUNDED_TO: f64 = 0.0001 * 25.4;

impl Wire {
    /// A wire as it is bought.
    ///
    /// By a gauge the copper is ASTM B258's: each number thinner by the 39th root of 92. By its diameters it is what
    /// they say, give or take four hundredths.
    ///
    /// ```
    /// # use bobbinwright_coil::wire::Wire;
    /// # use bobbinwright_spec::coil::{self, Awg, Film};
    /// let gauge = |number| Wire::of(coil::Wire::Gauge(Awg::new(number).unwrap(), Film::Single)).bare.nominal;
    /// // 0.005 inch for number 36, and six steps on.
    /// assert!((gauge(42).as_mm() - 0.127 / 92f64.powf(6.0 / 39.0)).abs() < 1e-12);
    /// // Three numbers have about half the copper (92^(6/39) = 2.005).
    /// assert!(((gauge(40) / gauge(43)).powi(2) - 2.005).abs() < 1e-3);
    /// ```
    pub fn of(wire: bought::Wire) -> Self {
        match wire {
            bought::Wire::Gauge(awg, film) => Self::of_gauge(awg, film),
            bought::Wire::Diameters(bare, overall) => Self::measured(bare, overall),
        }
    }

    fn of_gauge(awg: Awg, film: Film) -> Self {
        // ASTM B258: number 36 is 0.005 inch, and each step thinner by the 39th root of 92.
        let bare = Length::from_inch(0.005 * 92f64.to_power((36.0 - f64::from(awg.number())) / 39.0));
        // Every number that there is has a row.
        let row = OVERALL.iter().find(|(number, ..)| *number == awg.number()).unwrap_or(&OVERALL[2]);
        let [least, usual, most] = if film == Film::Single { row.1 } else { row.2 };
        let overall = Within {
            nominal: Length::from_inch(usual / 1000.0),
            half: Length::from_inch((most - least) / 2000.0),
        };
        let rounded = (bare.as_mm() / ROUNDED_TO).round() * ROUNDED_TO;
        let half = bare * BARE_TOLERANCE + (bare - Length::from_mm(rounded)).abs();
        Self { bare: Within { nominal: bare, half }, overall }
    }

    /// A wire by its two diameters, as a caliper or its label says.
    fn measured(bare: Length, overall: Length) -> Self {
        let within = |nominal: Length| Within { nominal, half: nominal * BARE_TOLERANCE };
        Self { bare: within(bare), overall: within(overall) }
    }

    /// The same wire with as much copper as gives it a resistance for a metre at 20 °C, Ω.
    ///
    /// ```
    /// # use bobbinwright_coil::wire::Wire;
    /// # use bobbinwright_spec::{Length, coil};
    /// let wire = Wire::of(coil::Wire::Diameters(Length::from_mm(0.06), Length::from_mm(0.08)));
    /// assert!((wire.resisting(7.03).per_metre() - 7.03).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn resisting(self, per_metre: f64) -> Self {
        let thicker = (self.per_metre() / per_metre).sqrt();
        Self { bare: Within { nominal: self.bare.nominal * thicker, ..self.bare }, ..self }
    }

    /// What a metre of it resists as it lies in a coil, Ω at 20 °C: in the middle of what copper is sold as, and of what a winder
    /// stretches it.
    ///
    /// ```
    /// # use bobbinwright_coil::wire::Wire;
    /// # use bobbinwright_spec::{Length, coil};
    /// let wire = Wire::of(coil::Wire::Diameters(Length::from_mm(0.06), Length::from_mm(0.08)));
    /// // By IEC 60028 a 58th of an ohm for a square millimetre; of copper that conducts 99 % of that, stretched by 1 %.
    /// assert!((wire.per_metre() / (1.01 / 0.99 / 58.0 / wire.copper()) - 1.0).abs() < 1e-12);
    /// ```
    pub fn per_metre(&self) -> f64 {
        copper::USUAL * (1.0 + copper::STRETCHED / 2.0) / self.copper()
    }

    /// Area of the copper, mm².
    pub fn copper(&self) -> f64 {
        disc(self.bare.nominal)
    }

    /// What breaks it, grams: soft copper holds 220 N/mm² (from memory).
    ///
    /// ```
    /// # use bobbinwright_coil::wire::Wire;
    /// # use bobbinwright_spec::coil::{self, Awg, Film};
    /// let of = |number| Wire::of(coil::Wire::Gauge(Awg::new(number).unwrap(), Film::Single)).breaks_at();
    /// // Number 42 holds about 71 g, 43 about 56 and 44 about 44.
    /// assert!((of(42) - 70.7).abs() < 0.1 && (of(43) - 56.1).abs() < 0.1 && (of(44) - 44.5).abs() < 0.1);
    /// ```
    pub fn breaks_at(&self) -> f64 {
        220.0 * self.copper() / 9.806_65 * 1000.0
    }

    /// Area that a turn takes if nothing but wire were there, mm².
    ///
    /// ```
    /// # use bobbinwright_coil::wire::Wire;
    /// # use bobbinwright_spec::{Length, coil};
    /// # use std::f64::consts::PI;
    /// let wire = Wire::of(coil::Wire::Diameters(Length::from_mm(0.06), Length::from_mm(0.08)));
    /// assert!((wire.copper() - PI * 0.03 * 0.03).abs() < 1e-15);
    /// assert!((wire.taken() - PI * 0.04 * 0.04).abs() < 1e-15);
    /// ```
    pub fn taken(&self) -> f64 {
        disc(self.overall.nominal)
    }
}

fn disc(diameter: Length) -> f64 {
    std::f64::consts::FRAC_PI_4 * diameter.as_mm().power(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(number: u8, film: Film) -> Wire {
        Wire::of(bought::Wire::Gauge(Awg::new(number).unwrap(), film))
    }

    /// Diameters by ASTM B258's formula, mm, with the resistance of a metre at 20 °C by IEC 60028.
    #[test]
    fn gauges_agree_with_the_standards() {
        for (number, diameter, ohm) in [
            (40, 0.079_87, 3.4411),
            (41, 0.071_13, 4.3392),
            (42, 0.063_34, 5.4716),
            (43, 0.056_41, 6.8996),
            (44, 0.050_23, 8.7002),
            (45, 0.044_73, 10.9708),
            (46, 0.039_84, 13.8339),
        ] {
            let wire = of(number, Film::Single);
            assert!((wire.bare.nominal.as_mm() - diameter).abs() < 6e-6, "{number}");
            let found = crate::copper::RESISTIVITY / wire.copper();
            assert!((found / ohm - 1.0).abs() < 2e-5, "{number} {found}");
            // A film goes round the copper.
            assert!(wire.overall.nominal > wire.bare.nominal);
            let heavy = of(number, Film::Heavy);
            assert!(heavy.overall.nominal > wire.overall.nominal);
        }
        assert!(Awg::new(39).is_none() && Awg::new(47).is_none());
        assert_eq!(Awg::all().count(), OVERALL.len());
    }

    /// IEC 60317-0-1 (from memory): over grade 1 a conductor of 0.063 mm is at most 0.076 mm, over grade 2
    /// 0.083; the film of number 42 is about as thick.
    #[test]
    fn films_are_about_those_of_the_other_standard() {
        let most = |film| {
            let overall = of(42, film).overall;
            (overall.nominal + overall.half).as_mm()
        };
        assert!((most(Film::Single) - 0.076).abs() < 1e-3 && (most(Film::Heavy) - 0.083).abs() < 2e-3);
    }
}
