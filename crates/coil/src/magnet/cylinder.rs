//! The field of a rod magnet: a cylinder magnetised along its axis, evenly.
//!
//! It is that of a current sheet round it, in closed form with complete elliptic integrals (Derby and Olbert
//! 2010). An estimate of real rods, whose ends are magnetised less than their middle.

use std::f64::consts::PI;

use bobbinwright_spec::Length;

use super::elliptic::{cel, cels};

/// A flux density, T.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Tesla(pub f64);

/// A rod, its middle at the origin and its axis along z.
///
/// ```
/// # use bobbinwright_coil::magnet::cylinder::{Rod, Tesla};
/// # use bobbinwright_spec::Length;
/// # let mm = Length::from_mm;
/// let rod = Rod { diameter: mm(5.0), length: mm(16.0), polarisation: Tesla(1.0) };
/// // North is up: over the rod the field points up, and beside it back down.
/// assert!(rod.field(mm(0.0), mm(10.0))[1] > Tesla(0.0) && rod.field(mm(6.0), mm(0.0))[1] < Tesla(0.0));
/// // Turned over, the same downwards.
/// let south = Rod { polarisation: Tesla(-1.0), ..rod };
/// assert_eq!(south.field(mm(0.0), mm(10.0))[1].0, -rod.field(mm(0.0), mm(10.0))[1].0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rod {
    /// Diameter.
    pub diameter: Length,
    /// Length.
    pub length: Length,
    /// Polarisation, positive when north is up.
    pub polarisation: Tesla,
}

impl Rod {
    /// Away from the axis, and along it, at a place so far from the axis and above the middle.
    ///
    /// ```
    /// # use bobbinwright_coil::magnet::cylinder::{Rod, Tesla};
    /// # use bobbinwright_spec::Length;
    /// # let mm = Length::from_mm;
    /// let rod = Rod { diameter: mm(6.0), length: mm(8.0), polarisation: Tesla(1.0) };
    /// // On the axis J/2 times the difference of both ends' cosines. In the middle of its end: (8 / sqrt(73) - 0) / 2.
    /// let [away, up] = rod.field(mm(0.0), mm(4.0));
    /// assert!((up.0 - 4.0 / 73f64.sqrt()).abs() < 1e-12 && away.0.abs() < 1e-12);
    /// // 4 mm over it 3, 4, 5 and 3, 12: (12 / sqrt(153) - 4/5) / 2.
    /// assert!((rod.field(mm(0.0), mm(8.0))[1].0 - (12.0 / 153f64.sqrt() - 0.8) / 2.0).abs() < 1e-12);
    /// ```
    pub fn field(&self, away: Length, up: Length) -> [Tesla; 2] {
        self.field_mm(away.as_mm(), up.as_mm()).map(Tesla)
    }

    /// The same by millimetres, in T.
    pub(super) fn field_mm(&self, away: f64, up: f64) -> [f64; 2] {
        let (radius, half) = (self.diameter.as_mm() / 2.0, self.length.as_mm() / 2.0);
        let (upper, lower) = (end_of_rod(radius, away, up + half), end_of_rod(radius, away, up - half));
        [0, 1].map(|i| self.polarisation.0 * (upper[i] - lower[i]))
    }

    /// Along the axis alone.
    pub(super) fn along_mm(&self, away: f64, up: f64) -> f64 {
        let (a, rho, half) = self.around(away);
        let end = |s: f64| {
            let (k, far, g) = seen(a, rho, s);
            s / far * cel(k, [g * g, 1.0, g])
        };
        self.polarisation.0 / PI * a / (a + rho) * (end(up + half) - end(up - half))
    }

    /// Radius, distance from the axis and half the length, mm.
    fn around(&self, away: f64) -> (f64, f64, f64) {
        let a = self.diameter.as_mm() / 2.0;
        (a, beside_surface(a, away), self.length.as_mm() / 2.0)
    }
}

/// On the surface itself the integral has no value; a nanometre beside it it has.
fn beside_surface(radius: f64, away: f64) -> f64 {
    if (away - radius).abs() < 1e-6 { radius + 1e-6 } else { away }
}

/// Away from the axis and along it, of a current sheet that begins so far below and never ends, less half of what is inside it.
pub(super) fn end_of_rod(radius: f64, away: f64, s: f64) -> [f64; 2] {
    let rho = beside_surface(radius, away);
    let (k, far, g) = seen(radius, rho, s);
    let [radial, axial] = cels(k, [[1.0, 1.0, -1.0], [g * g, 1.0, g]]);
    [radius / far * radial / PI, radius / (radius + rho) * s / far * axial / PI]
}

/// An end of a rod from a place so far above it: the modulus, the furthest distance of its rim, and γ.
fn seen(a: f64, rho: f64, s: f64) -> (f64, f64, f64) {
    let square = s * s;
    let near = (square + (a - rho) * (a - rho)).sqrt();
    let far = (square + (a + rho) * (a + rho)).sqrt();
    (near / far, far, (a - rho) / (a + rho))
}

#[cfg(test)]
mod tests {
    use bobbinwright_elementary::Elementary;

    use super::*;

    /// Polarisation, diameter, length; away from the axis, above the middle; both fields, as magpylib 6.3 gives
    /// them for a cylinder.
    const ROWS: [([f64; 3], [f64; 2], [f64; 2]); 15] = [
        ([1.0, 5.0, 16.0], [0.0, 0.0], [0.0, 9.544_799_780e-1]),
        ([1.0, 5.0, 16.0], [0.0, 10.0], [0.0, 1.828_986_128e-1]),
        ([1.0, 5.0, 16.0], [0.0, 11.0], [0.0, 1.116_165_080e-1]),
        ([1.0, 5.0, 16.0], [0.0, 13.0], [0.0, 4.928_054_160e-2]),
        ([1.0, 5.0, 16.0], [1.25, 10.0], [5.556_989_502e-2, 1.610_424_500e-1]),
        ([1.0, 5.0, 16.0], [2.5, 10.0], [8.401_341_389e-2, 1.018_701_064e-1]),
        ([1.0, 5.0, 16.0], [4.0, 10.5], [5.460_634_251e-2, 3.905_261_119e-2]),
        ([1.0, 5.0, 16.0], [5.0, 11.0], [3.710_582_041e-2, 2.251_109_491e-2]),
        ([1.0, 5.0, 16.0], [10.5, 8.0], [1.218_120_282e-2, -3.555_210_427e-3]),
        ([1.0, 5.0, 16.0], [6.0, 0.0], [0.0, -2.485_337_166e-2]),
        ([1.0, 5.0, 16.0], [20.0, 30.0], [7.903_020_488e-4, 5.598_007_278e-4]),
        ([1.0, 5.0, 16.0], [1.0, 7.0], [8.065_238_340e-2, 6.970_309_512e-1]),
        ([0.4, 4.7625, 12.7], [0.0, 8.35], [0.0, 6.879_747_961e-2]),
        ([0.4, 4.7625, 12.7], [5.25, 9.35], [1.254_922_128e-2, 6.561_383_307e-3]),
        ([1.2, 5.0, 4.0], [3.0, 4.0], [8.396_779_745e-2, 6.195_400_064e-2]),
    ];

    fn rod([polarisation, diameter, length]: [f64; 3]) -> Rod {
        Rod {
            diameter: Length::from_mm(diameter),
            length: Length::from_mm(length),
            polarisation: Tesla(polarisation),
        }
    }

    #[test]
    fn fields_agree_with_magpylib() {
        for (of, [away, up], expected) in ROWS {
            let found = rod(of).field(Length::from_mm(away), Length::from_mm(up));
            // A nanometre beside the surface the field differs by about as much.
            let allowed = if away == of[1] / 2.0 { 1e-6 } else { 2e-9 };
            for (found, expected) in found.iter().zip(expected) {
                assert!(
                    (found.0 - expected).abs() < allowed * expected.abs().max(1e-3),
                    "{away} {up} {found:?}"
                );
            }
            let along = rod(of).along_mm(away, up);
            assert!((along - found[1].0).abs() <= 1e-14 * along.abs().max(1.0), "{away} {up} {along}");
        }
    }

    /// On the axis the closed form is J/2 (cos of one end's angle less that of the other's); from afar the rod
    /// is a point dipole with its volume's moment.
    #[test]
    fn near_and_far_the_simple_forms_hold() {
        let rod = rod([1.0, 5.0, 16.0]);
        for z in [0.0f64, 3.0, 9.0, 40.0] {
            let end = |d: f64| d / d.hypotenuse(2.5);
            let expected = 0.5 * (end(z + 8.0) - end(z - 8.0));
            let found = rod.field(Length::ZERO, Length::from_mm(z))[1].0;
            assert!((found - expected).abs() < 1e-12, "{z}");
        }
        let (x, z) = (600.0, 800.0);
        let moment = PI * 2.5 * 2.5 * 16.0;
        let r = 1000.0f64;
        let dipole = [3.0 * x * z, 3.0 * z * z - r * r].map(|v| moment / (4.0 * PI) * v / r.power(5));
        let found = rod.field(Length::from_mm(x), Length::from_mm(z));
        for (found, expected) in found.iter().zip(dipole) {
            assert!((found.0 / expected - 1.0).abs() < 1e-3, "{found:?} {expected}");
        }
    }
}
