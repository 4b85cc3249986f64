//! Integration by weighted values at a few places.

use bobbinwright_elementary::Elementary;

/// Nodes in -1 to 1 and weights of Gauss-Legendre integration: the roots of the Legendre polynomial by
/// Newton's method from Tricomi's estimate.
pub(super) fn gauss_legendre(n: usize) -> Vec<(f64, f64)> {
    let root = |i: usize| {
        let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cosine();
        let mut slope = 1.0;
        for _ in 0..8 {
            let (mut before, mut p) = (1.0, x);
            for k in 2..=n {
                let k = k as f64;
                (before, p) = (p, ((2.0 * k - 1.0) * x * p - (k - 1.0) * before) / k);
            }
            slope = n as f64 * (x * p - before) / (x * x - 1.0);
            x -= p / slope;
        }
        (x, 2.0 / ((1.0 - x * x) * slope * slope))
    };
    (0..n).map(root).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz and Stegun, table 25.4, n = 3: 0 and ±0.774596669241483 with 8/9 and 5/9 (from memory).
    #[test]
    fn nodes_are_those_of_the_table() {
        let mut found = gauss_legendre(3);
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        for ((x, w), (y, v)) in found.into_iter().zip([
            (-0.774_596_669_241_483, 5.0 / 9.0),
            (0.0, 8.0 / 9.0),
            (0.774_596_669_241_483, 5.0 / 9.0),
        ]) {
            assert!((x - y).abs() < 1e-14 && (w - v).abs() < 1e-14);
        }
    }
}
