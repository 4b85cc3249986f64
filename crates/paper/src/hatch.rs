//! Hatching: lines across a region.

use bobbinwright_elementary::Elementary;
use bobbinwright_kernel::plane::{Bounds, Contour, Point};

/// Parallel lines across a region, at an angle in radians and `apart` mm from each other. Where they lie does not
/// depend on the region, so that hatchings side by side match.
pub(super) fn lines(borders: &[Contour], angle: f64, apart: f64) -> Vec<(Point, Point)> {
    // In a frame turned back by the angle the lines are level.
    let turned: Vec<Contour> = borders.iter().map(|c| c.turned(-angle)).collect();
    let Some(bounds) = turned.iter().map(Contour::bounds).reduce(Bounds::union) else { return Vec::new() };
    let (sin, cos) = angle.sine_cosine();
    let back = |x: f64, y: f64| Point::new(x * cos - y * sin, x * sin + y * cos);
    let mut found = Vec::new();
    // Half a step off, as drawings have their edges at round figures.
    let first = (bounds.min.y / apart - 0.5).ceil() as i64;
    let last = (bounds.max.y / apart - 0.5).floor() as i64;
    for n in first..=last {
        let y = (n as f64 + 0.5) * apart;
        let mut ends: Vec<f64> = turned.iter().flat_map(|c| c.crossings_at(y)).collect();
        ends.sort_by(f64::total_cmp);
        for pair in ends.windows(2) {
            let middle = Point::new(f64::midpoint(pair[0], pair[1]), y);
            // A touching place is met twice, so that the ends do not simply alternate.
            if pair[1] > pair[0] && turned.iter().filter(|c| c.contains(middle)).count() % 2 == 1 {
                found.push((back(pair[0], y), back(pair[1], y)));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lines as far apart as they are have together the region's area: a ring of π (5² - 3²).
    #[test]
    fn lines_times_their_distance_make_the_area() {
        let ring = [Contour::circle(Point::new(1.0, 2.0), 5.0), Contour::circle(Point::new(1.0, 2.0), 3.0)];
        for angle in [0.0, 0.7, 2.0] {
            let sum: f64 = lines(&ring, angle, 0.01).iter().map(|(a, b)| (b - a).norm() * 0.01).sum();
            assert!((sum - std::f64::consts::PI * 16.0).abs() < 0.01, "{sum}");
        }
    }
}
