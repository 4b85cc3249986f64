//! The contours that the parts are drawn with.

use super::{Contour, Point, Segment, Vector};

impl Contour {
    /// A circle, as two half circles that meet on the horizontal through the centre.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use std::f64::consts::PI;
    /// let circle = Contour::circle(Point::new(3.0, 4.0), 2.0);
    /// assert_eq!(circle.segments().len(), 2);
    /// assert!((circle.area() - 4.0 * PI).abs() < 1e-12 && (circle.length() - 4.0 * PI).abs() < 1e-12);
    /// ```
    pub fn circle(center: Point, radius: f64) -> Self {
        let right = center + Vector::new(radius, 0.0);
        let left = center - Vector::new(radius, 0.0);
        Self::new(vec![Segment::arc(right, left, center, true), Segment::arc(left, right, center, true)])
    }

    /// A rectangle with sides parallel to the axes, between two opposite corners.
    pub fn rectangle(a: Point, b: Point) -> Self {
        let corners = [a, Point::new(b.x, a.y), b, Point::new(a.x, b.y)];
        Self::polygon(&corners)
    }

    /// A polygon through the given corners.
    ///
    /// In either direction; the contour is counter-clockwise all the same.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// let mut corners = [Point::new(0.0, 0.0), Point::new(6.0, 0.0), Point::new(6.0, 2.0), Point::new(0.0, 5.0)];
    /// // A trapezium: (5 + 2) / 2 · 6.
    /// assert_eq!(Contour::polygon(&corners).area(), 21.0);
    /// corners.reverse();
    /// assert_eq!(Contour::polygon(&corners).area(), 21.0);
    /// ```
    pub fn polygon(corners: &[Point]) -> Self {
        let n = corners.len();
        Self::new((0..n).map(|i| Segment::line(corners[i], corners[(i + 1) % n])).collect())
    }

    /// A convex polygon with counter-clockwise corners, each rounded by a radius of its own, mm; the caller has checked
    /// that no side is too short for the arcs at its ends.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use std::f64::consts::PI;
    /// let corners = [(0.0, 0.0, 0.0), (30.0, 0.0, 4.0), (30.0, 20.0, 6.0), (0.0, 20.0, 8.0)];
    /// let plate = Contour::rounded_polygon(&corners.map(|(x, y, r)| (Point::new(x, y), r)));
    /// // Each corner lacks a square of r less a quarter of a disc.
    /// assert!((plate.area() - (600.0 - (1.0 - PI / 4.0) * (16.0 + 36.0 + 64.0))).abs() < 1e-9);
    /// assert!((plate.smallest_convex_radius() - 4.0).abs() < 1e-12);
    /// ```
    pub fn rounded_polygon(corners: &[(Point, f64)]) -> Self {
        let n = corners.len();
        let mut arcs = Vec::with_capacity(n);
        for (i, (corner, radius)) in corners.iter().enumerate() {
            let (before, after) = (corners[(i + n - 1) % n].0, corners[(i + 1) % n].0);
            let (into, out) = ((corner - before).normalize(), (after - corner).normalize());
            if *radius <= super::SNAP {
                arcs.push((*corner, *corner, None));
                continue;
            }
            // From the corner to where the arc begins: r times the tangent of half of the turn.
            let reach = radius * super::cross(into, out) / (1.0 + into.dot(&out));
            let (from, to) = (corner - into * reach, corner + out * reach);
            arcs.push((from, to, Some(Segment::arc(from, to, from + super::left_of(into) * *radius, true))));
        }
        let joined = (0..n).flat_map(|i| {
            let ((_, from, arc), (to, ..)) = (arcs[i], arcs[(i + 1) % n]);
            arc.into_iter().chain([Segment::line(from, to)])
        });
        Self::new(joined.collect())
    }

    /// A rectangle `length` (x) by `width` (y) round `center` whose corners are rounded by
    /// `radius`, all mm. A radius of half the width gives a stadium; the caller has checked that
    /// it is not larger than half the shorter side.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use std::f64::consts::PI;
    /// let plate = Contour::rounded_rectangle(Point::new(5.0, 0.0), 30.0, 20.0, 4.0);
    /// // The four corners lack a square of 2 r less its disc, and are shorter by 8 r - 2 π r.
    /// assert!((plate.area() - (600.0 - (4.0 - PI) * 16.0)).abs() < 1e-9);
    /// assert!((plate.length() - (100.0 - 32.0 + 8.0 * PI)).abs() < 1e-9);
    /// ```
    pub fn rounded_rectangle(center: Point, length: f64, width: f64, radius: f64) -> Self {
        let (hx, hy, r) = (length / 2.0, width / 2.0, radius);
        if r <= super::SNAP {
            let corner = Vector::new(hx, hy);
            return Self::rectangle(center - corner, center + corner);
        }
        let at = |x: f64, y: f64| center + Vector::new(x, y);
        let mut segments = Vec::with_capacity(8);
        // From the lower right corner round: an arc, then the side that follows it.
        let corners = [(1.0, -1.0), (1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0)];
        for (sx, sy) in corners {
            let middle = at(sx * (hx - r), sy * (hy - r));
            let side = Vector::new(sx * r, 0.0);
            let upright = Vector::new(0.0, sy * r);
            // Where the two signs differ the corner is entered along the horizontal side.
            let (from, to) = if sx * sy < 0.0 {
                (middle + upright, middle + side)
            } else {
                (middle + side, middle + upright)
            };
            segments.push(Segment::arc(from, to, middle, true));
        }
        let joined = (0..4).flat_map(|i| {
            let (arc, next) = (segments[i], segments[(i + 1) % 4]);
            [arc, Segment::line(arc.to, next.from)]
        });
        Self::new(joined.collect())
    }
}
