//! Inductance of a coil on a row of rods.
//!
//! Every turn is taken as a racetrack: two straights as long as the outer rods' centres are apart, and a
//! half-circle round each of these. The mutual inductance of two such turns in parallel planes is Neumann's
//! integral; of its parts all but that of opposite ends come down to one integral with a known steep place.
//! A coil's section is divided into cells whose turns lie in their middles, and the cell's own turns apart by
//! the geometric mean distance of its rectangle from itself (Rosa and Grover 1912).

use bobbinwright_elementary::Elementary;
use std::f64::consts::{FRAC_PI_2, PI};

use bobbinwright_spec::Length;

use crate::quadrature::{nodes, steep};

/// μ0 / 4π in henries for a metre.
const PER_METRE: f64 = 1e-7;

/// A turn of wire: two half-circles round the outer rods and the straights between them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Racetrack {
    /// Centre distance of the outer rods.
    pub span: Length,
    /// Radius of the half-circles.
    pub radius: Length,
}

/// In henries.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Inductance(pub f64);

/// A coil's section: from the innermost to the outermost turn, and its height.
///
/// ```
/// # use bobbinwright_coil::inductance::{Racetrack, Section, coil};
/// # use bobbinwright_spec::Length;
/// let of = |size: f64, turns: f64| {
///     let mm = |length: f64| Length::from_mm(length * size);
///     let inner = Racetrack { span: mm(50.0), radius: mm(2.5) };
///     coil(Section { inner, build: mm(4.0), height: mm(10.0) }, turns).0
/// };
/// // It goes with the square of the turns, and with the size of what is otherwise alike.
/// assert!((of(1.0, 2000.0) / of(1.0, 1000.0) - 4.0).abs() < 1e-9);
/// assert!((of(3.0, 1000.0) / of(1.0, 1000.0) - 3.0).abs() < 1e-9);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// The innermost turn.
    pub inner: Racetrack,
    /// From the inner to the outer turn, on one side.
    pub build: Length,
    /// Between the plates.
    pub height: Length,
}

/// Mutual inductance of two turns round the same rods, so far apart along them. They must not touch.
///
/// ```
/// # use bobbinwright_coil::inductance::{Racetrack, mutual};
/// # use bobbinwright_spec::Length;
/// # use std::f64::consts::PI;
/// let circle = |radius| Racetrack { span: Length::ZERO, radius: Length::from_mm(radius) };
/// // From afar each sees the other as a dipole: μ0 π a² b² / 2 d³, in metres.
/// let (a, b, d) = (0.010f64, 0.020f64, 2.0f64);
/// let far = 4e-7 * PI * PI * (a * b).powi(2) / (2.0 * d.powi(3));
/// assert!((mutual(circle(10.0), circle(20.0), Length::from_mm(2000.0)).0 / far - 1.0).abs() < 1e-3);
/// ```
pub fn mutual(a: Racetrack, b: Racetrack, apart: Length) -> Inductance {
    let pair = Pair { span: metres(a.span), a: metres(a.radius), b: metres(b.radius), z: metres(apart) };
    Inductance(PER_METRE * if pair.span == 0.0 { pair.circles() } else { pair.racetracks() })
}

/// Inductance of a coil of so many turns, spread evenly over its section, without any iron: to about 1e-3.
///
/// ```
/// # use bobbinwright_coil::inductance::{Racetrack, Section, coil};
/// # use bobbinwright_spec::Length;
/// # let mm = Length::from_mm;
/// // Brooks' coil is as high and as thick as its inner radius: 1.6994e-6 a N², its mean radius a in metres.
/// let inner = Racetrack { span: Length::ZERO, radius: mm(20.0) };
/// let found = coil(Section { inner, build: mm(20.0), height: mm(20.0) }, 500.0);
/// assert!((found.0 / (1.6994e-6 * 0.030 * 500.0 * 500.0) - 1.0).abs() < 1e-3);
/// ```
pub fn coil(section: Section, turns: f64) -> Inductance {
    coil_in(section, turns, cells(section, SHORT, LONG))
}

/// Of a turn, to a hundredth: enough for how it changes.
pub(crate) fn rough_coil(section: Section) -> f64 {
    coil_in(section, 1.0, cells(section, 2.0, 8.0)).0
}

/// Cells along a section's shorter side that give 1e-3.
const SHORT: f64 = 6.0;

/// Cells along its longer side that do: where there are more, fewer are needed along the other.
const LONG: f64 = 30.0;

/// No coil of whole layers of wire has more.
const MOST: f64 = 400.0;

/// Near squares: how many across the build and along the height.
fn cells(section: Section, short: f64, long: f64) -> [u32; 2] {
    let slender = section.height / section.build;
    let sides = slender.max(1.0 / slender);
    let fewer = (long / sides).round().clamp(1.0, short);
    let [fewer, more] = [fewer, (fewer * sides).round().clamp(1.0, MOST)].map(|count| count as u32);
    if slender < 1.0 { [more, fewer] } else { [fewer, more] }
}

fn coil_in(section: Section, turns: f64, [across, along]: [u32; 2]) -> Inductance {
    let (build, height) = (section.build, section.height);
    let (wide, high) = (build / f64::from(across), height / f64::from(along));
    // Maxwell's value for a rectangle is 0.2235 (w + h) to 1e-3 whatever its shape (Rosa and Grover 1912).
    let own = (wide + high) * 0.2235;
    let turn =
        |i: u32| Racetrack { radius: section.inner.radius + wide * (f64::from(i) + 0.5), ..section.inner };
    let mut sum = 0.0;
    for (i, j) in (0..across).flat_map(|i| (i..across).map(move |j| (i, j))) {
        for k in 0..along {
            let apart = if i == j && k == 0 { own } else { high * f64::from(k) };
            // Each pair of cells stands for its mirror images too.
            let pairs =
                f64::from(along - k) * if k == 0 { 1.0 } else { 2.0 } * if i == j { 1.0 } else { 2.0 };
            sum += pairs * mutual(turn(i), turn(j), apart).0;
        }
    }
    let cells = f64::from(across * along);
    Inductance(sum * (turns / cells).power(2))
}

fn metres(length: Length) -> f64 {
    length.as_mm() / 1000.0
}

/// Two turns: span of both, radii, and distance along the rods, m.
struct Pair {
    span: f64,
    a: f64,
    b: f64,
    z: f64,
}

impl Pair {
    /// Nearest distance of the two.
    fn near(&self) -> f64 {
        (self.a - self.b).hypotenuse(self.z)
    }

    /// Neumann's double integral of ds · ds' / distance.
    fn racetracks(&self) -> f64 {
        let straights = 2.0
            * (parallel(self.span, self.near()) - parallel(self.span, (self.a + self.b).hypotenuse(self.z)));
        let ends = 2.0 * (self.same_end() - self.opposite_ends());
        let between = 4.0 * (self.straight_and_end(self.a, self.b) + self.straight_and_end(self.b, self.a));
        straights + ends + between
    }

    /// Two whole circles: turns on no span.
    fn circles(&self) -> f64 {
        2.0 * PI * 2.0 * self.arcs(|_| 1.0)
    }

    /// Half-circles round the same rod: the angle between two of their places is u in π - u ways.
    fn same_end(&self) -> f64 {
        2.0 * self.arcs(|u| PI - u)
    }

    fn arcs(&self, ways: impl Fn(f64) -> f64) -> f64 {
        let (a, b, near) = (self.a, self.b, self.near());
        let scale = near / (a * b).sqrt();
        // a² + b² - 2ab cos u, without loss of figures where u is small.
        steep(PI, scale, |u| {
            let half = (u / 2.0).sine();
            let apart = (near * near + 4.0 * a * b * half * half).sqrt();
            ways(u) * (1.0 - 2.0 * half * half) * a * b / apart
        })
    }

    /// Half-circles round opposite rods; what runs one way at one end runs the other way at the other.
    fn opposite_ends(&self) -> f64 {
        let (a, b) = (self.a, self.b);
        // Both angles are measured outwards, the second one seen from its own end. To each pair there is another with
        // both angles turned over, so one of them need not leave its quarter.
        let quarter: Vec<(f64, f64, f64)> = nodes(FRAC_PI_2, 1)
            .map(|(angle, weight)| {
                let (sin, cos) = angle.sine_cosine();
                (sin, cos, weight)
            })
            .collect();
        let of = |&(sin_p, cos_p, weight_p): &(f64, f64, f64)| {
            let (along, across) = (self.span + a * cos_p, a * sin_p);
            let at = |&(sin_q, cos_q, weight_q): &(f64, f64, f64)| {
                let way = |sin_q: f64| {
                    let (x, y) = (along + b * cos_q, across + b * sin_q);
                    // The cosine of the difference of both angles.
                    let cosine = cos_p * cos_q + sin_p * sin_q;
                    cosine / (x * x + y * y + self.z * self.z).sqrt()
                };
                weight_q * (way(sin_q) + way(-sin_q))
            };
            2.0 * weight_p * quarter.iter().map(at).sum::<f64>()
        };
        a * b * quarter.iter().map(of).sum::<f64>()
    }

    /// A straight of the turn with radius `straight` and the quarter of a half-circle of radius `end` that
    /// follows it, less the quarter that goes back beyond it.
    fn straight_and_end(&self, straight: f64, end: f64) -> f64 {
        let scale = (straight - end).hypotenuse(self.z) / end;
        steep(PI, scale, |angle| {
            // From where the straight ends: so far beyond it, and beside it.
            let (beyond, beside) = (end * angle.sine(), end * angle.cosine() - straight);
            let square = beside * beside + self.z * self.z;
            let reach = |along: f64| along + (along * along + square).sqrt();
            // The difference of two inverse hyperbolic sines; nothing cancels, as both places lie ahead.
            let sum = (reach(self.span + beyond) / reach(beyond)).logarithm();
            end * angle.cosine() * sum
        })
    }
}

/// Two parallel lines of the same length side by side (Neumann's integral in closed form).
fn parallel(length: f64, apart: f64) -> f64 {
    2.0 * (length * (length / apart).hyperbolic_arcsine() - length.hypotenuse(apart) + apart)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(length: f64) -> Length {
        Length::from_mm(length)
    }

    fn circle(radius: f64) -> Racetrack {
        Racetrack { span: mm(0.0), radius: mm(radius) }
    }

    /// Maxwell's formula for coaxial circles, by scipy's elliptic integrals; the first row is printed by Rosa
    /// and Grover (1912) as 248.79 cm.
    #[test]
    fn circles_agree_with_maxwell() {
        for (a, b, apart, henries) in [
            (250.0, 200.0, 100.0, 2.487_873_59e-7),
            (100.0, 100.0, 50.0, 1.112_610_89e-7),
            (100.0, 100.0, 100.0, 4.940_784_63e-8),
            (50.0, 30.0, 20.0, 2.893_301_74e-8),
            (20.0, 20.0, 10.0, 1.112_610_89e-7 / 5.0),
        ] {
            let found = mutual(circle(a), circle(b), mm(apart)).0;
            assert!((found / henries - 1.0).abs() < 1e-8, "{a} {b} {found:e}");
        }
    }

    /// Circles of 3 mm that nearly touch, by Maxwell's formula, its elliptic integrals by the
    /// arithmetic-geometric mean.
    #[test]
    fn circles_that_nearly_touch_agree_with_maxwell() {
        for (apart, henries, allowed) in [
            (0.2, 1.052_258_535_601_633_5e-8, 1e-7),
            (0.05, 1.573_594_966_232_513e-8, 3e-7),
            (0.001, 3.048_278_296_139_863_3e-8, 1e-6),
        ] {
            let off = mutual(circle(3.0), circle(3.0), mm(apart)).0 / henries - 1.0;
            assert!(off.abs() < allowed, "{apart}: {off:e}");
        }
    }

    /// Two racetracks of a 52 mm span with radii of 4 and 6 mm, 5 mm apart: magpylib's flux and a brute
    /// Neumann sum give 1.8056e-8 H.
    #[test]
    fn racetracks_agree_with_a_flux() {
        let turn = |radius: f64| Racetrack { span: mm(52.0), radius: mm(radius) };
        let found = mutual(turn(4.0), turn(6.0), mm(5.0)).0;
        assert!((found / 1.805_61e-8 - 1.0).abs() < 2e-5, "{found:e}");
        assert!((mutual(turn(6.0), turn(4.0), mm(5.0)).0 / found - 1.0).abs() < 1e-10);
    }

    /// The Brooks coil, 1.6994e-6 a N² (from memory; 1.699375e-6 by 120 by 120 Maxwell filaments).
    #[test]
    fn the_brooks_coil_comes_out() {
        let section = Section { inner: circle(10.0), build: mm(10.0), height: mm(10.0) };
        let found = coil_in(section, 1000.0, [10, 10]).0;
        assert!((found / (1.699_375e-6 * 0.015 * 1e6) - 1.0).abs() < 5e-4, "{found}");
    }

    /// A pickup-shaped coil, span 52 mm, inner radius 2.75, build 4.7, height 11 mm, 8,000 turns: 1.856 ±
    /// 0.001 H by another program's Neumann sum; finer cells change it by less than 1e-3.
    #[test]
    fn a_pickups_coil_comes_out() {
        let inner = Racetrack { span: mm(52.0), radius: mm(2.75) };
        let section = Section { inner, build: mm(4.7), height: mm(11.0) };
        let found = coil(section, 8000.0).0;
        assert!((found - 1.856).abs() < 0.002, "{found}");
        for finer in [9.0, 12.0].map(|short| coil_in(section, 8000.0, cells(section, short, 100.0)).0) {
            assert!((finer / found - 1.0).abs() < 1e-3, "{finer} {found}");
        }
    }

    /// A layer of wire on a tube as long as it is wide: of what an endless one has it has 0.688423 (Nagaoka 1909), less
    /// about a thousandth for its thickness.
    #[test]
    fn a_thin_layer_is_a_current_sheet() {
        let section = Section { inner: circle(9.99), build: mm(0.02), height: mm(20.0) };
        let endless = 4e-7 * PI * PI * 0.01 * 0.01 / 0.02 * 300.0 * 300.0;
        let part = coil(section, 300.0).0 / endless;
        assert!((0.998..1.0).contains(&(part / 0.688_423)), "{part}");
    }

    /// From one layer of wire to a coil nine times as wide as high, finer cells change nothing that matters.
    #[test]
    fn coils_of_all_proportions_have_cells_enough() {
        let inner = Racetrack { span: mm(52.0), radius: mm(2.75) };
        let slender = [0.06, 0.37, 0.8, 1.4, 2.0, 3.0, 6.0].map(|build| (build, 11.0));
        let flat = [(6.0, 6.0), (9.0, 4.0), (4.0, 2.0), (9.0, 2.0), (9.0, 1.0)];
        for (build, height) in slender.into_iter().chain(flat) {
            let section = Section { inner, build: mm(build), height: mm(height) };
            let finer = coil_in(section, 1.0, cells(section, 12.0, 120.0)).0;
            assert!((coil(section, 1.0).0 / finer - 1.0).abs() < 1e-3, "{build} by {height}");
        }
    }
}
