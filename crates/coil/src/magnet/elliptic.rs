//! Complete elliptic integrals.

use std::f64::consts::FRAC_PI_2;

/// Relative accuracy of the iteration: its error falls with the square of this.
const CLOSE: f64 = 1e-8;

/// The p, c and s of an integral.
pub(crate) type Terms = [f64; 3];

/// Bulirsch's general complete elliptic integral: from 0 to π/2 that of
/// (c cos² φ + s sin² φ) / ((cos² φ + p sin² φ) √(cos² φ + k² sin² φ)), for k other than 0 and p > 0.
///
/// Bulirsch 1965, by descending Landen transformations.
pub(crate) fn cel(k: f64, [p, c, s]: Terms) -> f64 {
    let [found] = cels(k, [[p, c, s]]);
    found
}

/// Several at once with the same k, whose roots they share.
pub(crate) fn cels<const N: usize>(k: f64, terms: [Terms; N]) -> [f64; N] {
    let (mut k, mut e, mut m) = (k.abs(), k.abs(), 1.0);
    let mut terms = terms.map(|[p, c, s]| {
        let p = p.sqrt();
        [p, c, s / p]
    });
    loop {
        for [p, c, s] in &mut terms {
            let (f, over) = (*c, 1.0 / *p);
            *c += *s * over;
            let g = e * over;
            *s = 2.0 * (*s + f * g);
            *p += g;
        }
        let before = m;
        m += k;
        if (before - k).abs() <= before * CLOSE {
            return terms.map(|[p, c, s]| FRAC_PI_2 * (s + c * m) / (m * (m + p)));
        }
        k = 2.0 * e.sqrt();
        e = k * m;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By scipy's quad of the definition, and of ellipk and ellipe where these suffice.
    #[test]
    fn integrals_agree_with_scipy() {
        for (arguments, expected) in [
            ([0.5, 1.0, 1.0, 1.0], 2.156_515_647_500),
            ([0.5, 1.0, 1.0, 0.25], 1.211_056_027_568),
            ([0.5, 1.0, 1.0, -1.0], -0.364_710_005_650),
            ([0.5, 0.25, 1.0, 0.5], 3.052_418_468_424),
            ([0.1, 4.1, 1.2, 1.1], 1.546_444_269_402),
        ] {
            let [k, terms @ ..] = arguments;
            assert!((cel(k, terms) / expected - 1.0).abs() < 1e-12, "{arguments:?} {}", cel(k, terms));
        }
    }
}
