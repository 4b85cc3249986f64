//! Two coils joined: what becomes of the strings' signal, and what of hum.
//!
//! A string's signal turns with the rods under it, with the way that the wire runs and with which of its ends is hot; hum,
//! a field that is the same over both coils, with the latter two alone. A coil takes up hum by the area that all of its
//! turns enclose together, not by their number.

use bobbinwright_elementary::Elementary;
use std::f64::consts::{PI, TAU};

use bobbinwright_spec::coil::{End, Turning};
use bobbinwright_spec::magnets::North;

use crate::inductance::Inductance;
use crate::magnet::output::Level;
use crate::winding::{Coil, Resistance};

/// A coil among others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// Its turns.
    pub turns: f64,
    /// The area that all of them enclose together, m².
    pub area: f64,
    /// From eyelet to eyelet.
    pub resistance: Resistance,
    /// With its rods.
    pub inductance: Inductance,
    /// Of its rods.
    pub north: North,
    /// Of its wire.
    pub turning: Turning,
    /// The end that leads to the output.
    pub hot: End,
}

/// How two coils are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joined {
    /// The one's hot end to the other's ground.
    Series,
    /// Hot to hot and ground to ground.
    Parallel,
}

/// What two coils give together, beside the mean of what each gives alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Together {
    /// Of a string over both.
    pub signal: Level,
    /// Of a field that is the same everywhere.
    pub hum: Level,
}

/// Mains hum is heard at twice its frequency more than at that itself, Hz.
const HUM: f64 = 100.0;
/// Less than this is nothing, dB.
const NOTHING: f64 = -80.0;

impl Coil {
    /// The area that all turns enclose together, m².
    ///
    /// ```
    /// # use bobbinwright_coil::inductance::Racetrack;
    /// # use bobbinwright_coil::winding::{Bobbin, Coil, Packed};
    /// # use bobbinwright_coil::wire::Wire;
    /// # use bobbinwright_spec::{Length, coil};
    /// # use std::f64::consts::PI;
    /// let mm = Length::from_mm;
    /// let bobbin = Bobbin { core: Racetrack { span: mm(50.0), radius: mm(2.5) }, height: mm(1000.0), room: mm(5.0) };
    /// let wire = Wire::of(coil::Wire::Diameters(mm(0.06), mm(0.07)));
    /// let coil = Coil { bobbin, wire, packing: Packed::assumed(0.7), turns: 100.0 };
    /// // One thin layer: each turn encloses 50 by 5 mm, and a circle of 2.5 mm.
    /// let turn = 250.0 + PI * 2.5 * 2.5;
    /// assert!((coil.area_turns() / (100.0 * turn * 1e-6) - 1.0).abs() < 1e-3);
    /// ```
    pub fn area_turns(&self) -> f64 {
        let [span, r, build] =
            [self.bobbin.core.span, self.bobbin.core.radius, self.build()].map(|l| l.as_mm() / 1000.0);
        // The mean over radii from r to r + build.
        self.turns * (span * (2.0 * r + build) + PI * (r * r + r * build + build * build / 3.0))
    }
}

impl Coil {
    /// The turns that enclose an area together, m².
    pub fn turns_for_area(&self, area: f64) -> f64 {
        // Outer turns enclose more, so that each step leaves a part of the error.
        const ENOUGH: u32 = 30;
        (0..ENOUGH).fold(self.turns, |turns, _| turns * area / Self { turns, ..*self }.area_turns())
    }
}

impl Source {
    /// Which way its hot end goes when the field through it grows, and when a string comes nearer.
    fn signs(&self) -> [f64; 2] {
        let sign = |is: bool| if is { -1.0 } else { 1.0 };
        let hum = sign(self.turning == Turning::Clockwise) * sign(self.hot == End::Finish);
        [hum, hum * sign(self.north == North::Down)]
    }

    fn impedance(&self) -> [f64; 2] {
        [self.resistance.0, TAU * HUM * self.inductance.0]
    }
}

/// Whether two coils' signals add, and whether they take up hum against each other.
pub fn add_and_cancel(a: &Source, b: &Source) -> [bool; 2] {
    let ([hum_a, signal_a], [hum_b, signal_b]) = (a.signs(), b.signs());
    [signal_a * signal_b > 0.0, hum_a * hum_b < 0.0]
}

/// What each of two coils gives alone, beside the mean of both.
///
/// ```
/// # use bobbinwright_coil::pair::{Source, alone};
/// # use bobbinwright_coil::{inductance::Inductance, winding::Resistance};
/// # use bobbinwright_spec::{coil::{End, Turning}, magnets::North};
/// let of = |turns: f64| Source {
///     turns, area: turns * 3e-4, resistance: Resistance(6000.0), inductance: Inductance(1.5),
///     north: North::Up, turning: Turning::Clockwise, hot: End::Finish,
/// };
/// // A third more turns than the mean of both: 20 lg 4/3, and 2/3 of it on the other.
/// let [more, less] = alone(&of(8000.0), &of(4000.0));
/// assert!((more.signal.0 - 2.4988).abs() < 1e-4 && (less.signal.0 + 3.5218).abs() < 1e-4);
/// ```
pub fn alone(a: &Source, b: &Source) -> [Together; 2] {
    let beside = |own: f64, mean: f64| Level(20.0 * (own / mean).decadic_logarithm());
    let [turns, area] = [f64::midpoint(a.turns, b.turns), f64::midpoint(a.area, b.area)];
    [a, b].map(|one| Together { signal: beside(one.turns, turns), hum: beside(one.area, area) })
}

/// What two coils give together.
pub fn together(a: &Source, b: &Source, joined: Joined) -> Together {
    let ([hum_a, signal_a], [hum_b, signal_b]) = (a.signs(), b.signs());
    let level = |[first, second]: [f64; 2]| {
        let mean = f64::midpoint(first.abs(), second.abs());
        let sum = match joined {
            Joined::Series => first + second,
            Joined::Parallel => divided(a, b, first, second),
        };
        Level((20.0 * (sum.abs() / mean).decadic_logarithm()).max(NOTHING))
    };
    Together {
        signal: level([signal_a * a.turns, signal_b * b.turns]),
        hum: level([hum_a * a.area, hum_b * b.area]),
    }
}

/// Two voltages behind the impedances of two coils, joined: (first Z2 + second Z1) / (Z1 + Z2).
fn divided(a: &Source, b: &Source, first: f64, second: f64) -> f64 {
    let ([ra, xa], [rb, xb]) = (a.impedance(), b.impedance());
    let over = (first * rb + second * ra).hypotenuse(first * xb + second * xa);
    over / (ra + rb).hypotenuse(xa + xb)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(turns: f64) -> Source {
        Source {
            turns,
            area: turns * 4e-4,
            resistance: Resistance(turns * 0.85),
            inductance: Inductance(1.5 * (turns / 7600.0).power(2)),
            north: North::Up,
            turning: Turning::Anticlockwise,
            hot: End::Start,
        }
    }

    /// What each of the three reversals does: rods turn the signal, winding and leads both (Faraday's law).
    #[test]
    fn reversals_turn_what_they_turn() {
        let one = source(7600.0);
        for (north, turning, hot) in (0..8).map(|i| {
            let north = if i & 1 == 0 { North::Up } else { North::Down };
            let turning = if i & 2 == 0 { Turning::Anticlockwise } else { Turning::Clockwise };
            (north, turning, if i & 4 == 0 { End::Start } else { End::Finish })
        }) {
            let other = Source { north, turning, hot, ..one };
            let against = (turning == Turning::Clockwise) != (hot == End::Finish);
            let [adds, cancels] = add_and_cancel(&one, &other);
            assert_eq!([adds, cancels], [(north == North::Down) == against, against]);
            for joined in [Joined::Series, Joined::Parallel] {
                let found = together(&one, &other, joined);
                // Two equal voltages in series are 6.02 dB more than one, in parallel as much as one; against each other none.
                let full = if joined == Joined::Series { 6.0206 } else { 0.0 };
                for (is_sum, level) in [(adds, found.signal), (!cancels, found.hum)] {
                    assert!((level.0 - if is_sum { full } else { NOTHING }).abs() < 1e-3, "{found:?}");
                }
            }
        }
    }

    /// 5,000 turns against 10,000 leave a third of the sum: 3.5 dB under the mean of one alone.
    #[test]
    fn unequal_coils_leave_hum() {
        let (few, many) = (source(5000.0), source(10_000.0));
        let many = Source { north: North::Down, turning: Turning::Clockwise, ..many };
        let found = together(&few, &many, Joined::Series);
        assert!((found.hum.0 - 20.0 * (5.0f64 / 7.5).decadic_logarithm()).abs() < 1e-9, "{found:?}");
    }
}
