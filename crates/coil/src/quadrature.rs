//! Integrals of functions that rise steeply towards the beginning of their range.

use bobbinwright_elementary::Elementary;

/// Nodes and weights on 0 to 1 of Gauss-Legendre integration with eight nodes (Abramowitz and Stegun, table
/// 25.4, moved from -1 to 1).
const NODES: [(f64, f64); 8] = [
    (0.019_855_071_751_231_884, 0.050_614_268_145_188_13),
    (0.101_666_761_293_186_63, 0.111_190_517_226_687_24),
    (0.237_233_795_041_835_5, 0.156_853_322_938_943_64),
    (0.408_282_678_752_175_1, 0.181_341_891_689_181),
    (0.591_717_321_247_825, 0.181_341_891_689_181),
    (0.762_766_204_958_164_5, 0.156_853_322_938_943_64),
    (0.898_333_238_706_813_4, 0.111_190_517_226_687_24),
    (0.980_144_928_248_768_1, 0.050_614_268_145_188_13),
];

/// Places from 0 to `end` in so many equal panels, and how much each counts.
pub(crate) fn nodes(end: f64, panels: u32) -> impl Iterator<Item = (f64, f64)> {
    let step = end / f64::from(panels);
    let of_panel = move |i: u32| NODES.iter().map(move |(x, w)| ((f64::from(i) + x) * step, w * step));
    (0..panels).flat_map(of_panel)
}

/// From 0 to `end`, in so many equal panels.
pub(crate) fn panels(end: f64, panels: u32, f: impl Fn(f64) -> f64) -> f64 {
    nodes(end, panels).map(|(x, weight)| weight * f(x)).sum()
}

/// From 0 to `end`, of what changes within `scale` at the beginning and slowly after: with u = scale sinh t it
/// is smooth in t. Of two turns of wire it is true to 1e-7 where `scale` is a fiftieth of the range, and to
/// 1e-6 where it is a ten-thousandth.
pub(crate) fn steep(end: f64, scale: f64, f: impl Fn(f64) -> f64) -> f64 {
    panels((end / scale).hyperbolic_arcsine(), 2, |t| {
        f(scale * t.hyperbolic_sine()) * scale * t.hyperbolic_cosine()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Integral of 1 / sqrt(u² + d²) from 0 to π is asinh(π / d).
    #[test]
    fn a_steep_function_is_integrated() {
        for d in [1e-6f64, 1e-3, 0.1, 1.0] {
            let found = steep(std::f64::consts::PI, d, |u| 1.0 / u.hypotenuse(d));
            assert!((found / (std::f64::consts::PI / d).hyperbolic_arcsine() - 1.0).abs() < 1e-12, "{d}");
        }
        assert!((panels(2.0, 3, |x| x * x * x) - 4.0).abs() < 1e-14);
    }
}
