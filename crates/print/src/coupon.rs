//! The coupon's solid: an angle of two arms with everything on it that tells how a printer prints.
//!
//! Seen from above, the longer arm along x: step and tower in the angle's corner, the holes in a row
//! along the longer arm, window and posts on the shorter one. It is drawn at its nominal sizes.

use bobbinwright_geometry::{Role, Stack};
use bobbinwright_kernel::plane::{Contour, Point, Vector};
use bobbinwright_spec::Length;
use bobbinwright_spec::printer::coupon::{ARM, Coupon, Drawn, LONG, POSTS, SHORT, WINDOW};

/// Where the row of holes begins, from the corner.
const ROW: f64 = 19.0;

/// Middle of the window, and of each post, along the shorter arm, mm.
pub const ALONG: [f64; 3] = [24.0, 35.0, 48.0];

/// How far step and tower stay behind the edge.
const BEHIND: f64 = 1.0;

/// Its features; the underside lies on the bed, its corner at the origin.
pub fn stack(coupon: &Coupon) -> Stack {
    let mm = |d: Drawn| d.length().as_mm();
    let (long, short, arm) = (mm(LONG), mm(SHORT), mm(ARM));
    let [plate, step, tower] = coupon.heights.map(mm);
    let corners = [(0.0, 0.0), (long, 0.0), (long, arm), (arm, arm), (arm, short), (0.0, short)];
    let mut stack = Stack::default();
    stack.add(Role::Outline, Contour::polygon(&corners.map(|(x, y)| Point::new(x, y))), 0.0, plate);
    let low = Point::new(BEHIND, BEHIND);
    let high = Point::new(arm - BEHIND, arm - BEHIND);
    stack.add(Role::Step, Contour::rectangle(low, high), plate, step);
    stack.add(Role::Step, Contour::rectangle(low, Point::new(arm / 2.0, high.y)), step, tower);
    let middle = arm / 2.0;
    for (post, y) in POSTS.into_iter().zip(&ALONG[1..]) {
        stack.add(Role::Post, Contour::circle(Point::new(middle, *y), mm(post) / 2.0), plate, step);
    }
    let window = Vector::new(mm(WINDOW) / 2.0, mm(WINDOW) / 2.0);
    let at = Point::new(middle, ALONG[0]);
    stack.cut(Role::Window, Contour::rectangle(at - window, at + window), 0.0, plate);
    for (center, diameter) in holes(coupon) {
        stack.cut(Role::TestHole, Contour::circle(center, mm(diameter) / 2.0), 0.0, plate);
    }
    stack
}

/// Middles and drawn diameters of the holes, from the corner outwards.
pub fn holes(coupon: &Coupon) -> Vec<(Point, Drawn)> {
    let mut x = ROW;
    let between = Coupon::BETWEEN;
    let mut next = |d: Drawn| {
        let at = Length::from_mm(x) + between + d.length() / 2.0;
        x = (at + d.length() / 2.0).as_mm();
        (Point::new(at.as_mm(), ARM.length().as_mm() / 2.0), d)
    };
    coupon.holes.iter().map(|d| next(*d)).collect()
}
