//! Student's t distribution.
//!
//! Libraries form the incomplete beta function from ν/(ν + t²), which has lost seven digits where t is small, and
//! its front factor from differences of log-gammas, which have lost nine where ν is large. Here both come from
//! t²/(ν + t²) and from the ratio of two gamma functions itself, so that chances are right to 1e-12 from t = 1e-9 to
//! 50 and from 1 to a million degrees of freedom, and never fall where t grows.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// P(T ≤ t) for `freedom` degrees of freedom, one or more; the normal distribution where they are infinite.
///
/// ```
/// use bobbinwright_estimate::student;
/// assert_eq!(student::below(0.0, 4.0), 0.5);
/// // With one degree of freedom it is Cauchy's: 1/2 + arctan t / π.
/// assert!((student::below(1.0, 1.0) - 0.75).abs() < 1e-15);
/// ```
pub fn below(t: f64, freedom: f64) -> f64 {
    let beyond = tail(t.abs(), freedom);
    if t > 0.0 { 1.0 - beyond } else { beyond }
}

/// P(|T| > |t|).
///
/// For `freedom` degrees of freedom, one or more; the sign of `t` does not matter.
///
/// ```
/// # use bobbinwright_estimate::student;
/// // With two degrees of freedom P(|T| > t) is 1 - t / sqrt(2 + t²), so half of all lie beyond sqrt(2/3).
/// assert!((student::beyond((2f64 / 3.0).sqrt(), 2.0) - 0.5).abs() < 1e-12);
/// assert_eq!(student::beyond(-1.5, 7.0), student::beyond(1.5, 7.0));
/// ```
pub fn beyond(t: f64, freedom: f64) -> f64 {
    2.0 * tail(t.abs(), freedom)
}

/// P(Z ≤ z) for a standard normal variable.
///
/// ```
/// # use bobbinwright_estimate::student;
/// // One sigma either way holds 68.27 %; what lies below and what lies above make one.
/// let within = student::normal_below(1.0) - student::normal_below(-1.0);
/// assert!((within - 0.682_689_492).abs() < 1e-9);
/// assert!((student::normal_below(1.3) + student::normal_below(-1.3) - 1.0).abs() < 1e-15);
/// ```
pub fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// P(T > t) for t of nought or more.
///
/// `P(T > t) = I(y; ν/2, 1/2) / 2` and `P(0 < T < t) = I(x; 1/2, ν/2) / 2`, where x = t²/(ν + t²), y = ν/(ν + t²) and I is
/// the regularised incomplete beta function (Abramowitz and Stegun 26.7.1 and 26.5.2, from memory). Whichever
/// fraction ends sooner is taken.
fn tail(t: f64, freedom: f64) -> f64 {
    if freedom.is_infinite() || t.is_infinite() {
        return normal_below(-t);
    }
    let squared = t * t;
    let half = freedom / 2.0;
    let x = squared / (freedom + squared);
    // x^½ (1 - x)^(ν/2) / B(½, ν/2)
    let front = gamma_ratio(half) / PI.sqrt() * libm::exp(-half * libm::log1p(squared / freedom)) * x.sqrt();
    if squared < 3.0 || (squared < 9.0 && squared < freedom) {
        (0.5 - front * fraction(0.5, half, x)).max(0.0)
    } else {
        0.5 * front * fraction(half, 0.5, freedom / (freedom + squared)) / half
    }
}

/// Γ(z + ½) / (Γ(z) √z) in powers of 1/z; the next term is below 1e-16 from z = 30 on.
const SERIES: [f64; 8] = [
    1.0,
    -1.0 / 8.0,
    1.0 / 128.0,
    5.0 / 1024.0,
    -21.0 / 32_768.0,
    -399.0 / 262_144.0,
    869.0 / 4_194_304.0,
    39_325.0 / 33_554_432.0,
];

/// Γ(z + ½) / Γ(z): by its series in 1/z where z is large, brought there by Γ(z + 1) = z Γ(z).
fn gamma_ratio(mut z: f64) -> f64 {
    let mut below = 1.0;
    while z < 30.0 {
        below *= z / (z + 0.5);
        z += 1.0;
    }
    below * z.sqrt() * SERIES.iter().rev().fold(0.0, |sum, c| sum / z + c)
}

/// The continued fraction of the incomplete beta function (Abramowitz and Stegun 26.5.8, from memory), from its
/// front by Lentz's method: I(x; a, b) is the front factor times this, over a.
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    // The furthest that any t up to 50 needs is 430.
    const MOST: u32 = 100_000;
    let mut d = 1.0 / (1.0 - (a + b) * x / (a + 1.0));
    let (mut c, mut value) = (1.0, d);
    for m in (1..MOST).map(f64::from) {
        let even = m * (b - m) * x / ((a - 1.0 + 2.0 * m) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 1.0 + 2.0 * m));
        let mut change = 1.0;
        for step in [even, odd] {
            d = 1.0 / (1.0 + step * d);
            c = 1.0 + step / c;
            change = c * d;
            value *= change;
        }
        if (change - 1.0).abs() <= f64::EPSILON {
            break;
        }
    }
    value
}

#[cfg(test)]
mod tests {
    use bobbinwright_elementary::Elementary;

    use super::*;
    use proptest::prelude::*;

    /// Values of mpmath 1.3 with 50 digits, written by `tests/outside/student_check.py`, which also holds them
    /// against mpmath anew.
    #[test]
    fn agrees_with_mpmath() {
        let table = include_str!("../tests/data/student_t.csv");
        let mut rows = 0;
        for line in table.lines().skip(1) {
            let mut figures = line.split(',').map(|f| f.parse::<f64>().unwrap());
            let mut next = || figures.next().unwrap();
            let (t, freedom, expected) = (next(), next(), next());
            let found = below(-t, freedom);
            assert!((found - expected).abs() < 1e-12, "t = {t}, ν = {freedom}: {found} {expected}");
            assert!((below(t, freedom) - (1.0 - expected)).abs() < 1e-12, "t = {t}, ν = {freedom}");
            rows += 1;
        }
        assert!(rows > 500, "{rows}");
    }

    /// arctan for one degree of freedom, an algebraic formula for two (Abramowitz and Stegun 26.7.3, 26.7.4, from
    /// memory).
    #[test]
    fn agrees_with_closed_forms() {
        for t in [1e-9, 1e-3, 0.3, 1.0, 1.8, 2.9, 3.1, 7.0, 49.0] {
            assert!((below(t, 1.0) - (0.5 + f64::arctangent(t) / PI)).abs() < 1e-14, "{t}");
            assert!((below(t, 2.0) - 0.5 * (1.0 + t / (2.0 + t * t).sqrt())).abs() < 1e-14, "{t}");
        }
        assert!((below(1.96, f64::INFINITY) - 0.975_002_104_851_780).abs() < 1e-14);
    }

    proptest! {
        /// Also across the seams between the fractions.
        #[test]
        fn chances_never_fall(t in -12.0..12.0f64, step in 1e-9..0.5f64, power in 0.0..6.0f64) {
            let freedom = 10f64.to_power(power);
            prop_assert!(below(t + step, freedom) >= below(t, freedom) - 2e-13);
            for seam in [3.0f64.sqrt(), 3.0] {
                prop_assert!(below(seam + step, freedom) >= below(seam - step, freedom));
            }
        }
    }
}
