//! The coupon drawn at 1:1, with a number at everything that is read.

use bobbinwright_geometry::Stack;
use bobbinwright_kernel::Kind;
use bobbinwright_kernel::plane::{Contour, Point};
use bobbinwright_print::coupon::{ALONG, holes};
use bobbinwright_spec::Quantity;
use bobbinwright_spec::printer::coupon::{ARM, Axis, Coupon, CouponSize, Drawn, LONG, POSTS, SHORT, WINDOW};

use super::{EDGE, Row, dims};
use bobbinwright_paper::{BLACK, GREY, Look, Page, Pen, Type};

const OUTLINE: Look = Look::line(Pen::new(BLACK, 0.3));
const AIR: Look = Look::line(Pen::new(GREY, 0.3));

/// Room at the drawing's left for a dimension, and above and below it, mm.
const BESIDE: f64 = 22.0;
const ABOVE: f64 = 14.0;
const BELOW: f64 = 12.0;

/// The coupon from above and its corner from the side, down from a height. Gives the height below.
pub(super) fn drawing(page: &mut Page, y: f64, stack: &Stack, coupon: &Coupon, rows: &[&Row]) -> f64 {
    let origin = Point::new(EDGE + BESIDE, y - mm(SHORT) - ABOVE);
    for feature in &stack.features {
        let look = if feature.kind == Kind::Add { OUTLINE } else { AIR };
        page.outline(&feature.contour.moved(origin.coords), look);
    }
    let mut angle = Angle { page, origin, rows };
    angle.lengths();
    angle.features(coupon);
    angle.heights(coupon);
    let small = Type::new(2.6);
    angle.page.text(angle.at(mm(LONG) + 12.0, 0.5), small, "x");
    angle.page.text(angle.at(-3.5, mm(SHORT) + 3.0), small, "y");
    origin.y - BELOW
}

fn mm(d: Drawn) -> f64 {
    d.length().as_mm()
}

/// The drawing in the making.
struct Angle<'p, 'r> {
    page: &'p mut Page,
    /// Where the coupon's corner lies on the paper.
    origin: Point,
    rows: &'r [&'r Row<'r>],
}

impl<'r> Angle<'_, 'r> {
    /// A place on the paper.
    fn at(&self, x: f64, y: f64) -> Point {
        Point::new(self.origin.x + x, self.origin.y + y)
    }

    /// The row of a size; the coupon that the sheet is for has every one.
    fn row(&self, size: CouponSize) -> Option<&'r Row<'r>> {
        self.rows.iter().find(|r| r.known.quantity == Quantity::Coupon(size)).copied()
    }

    fn leader(&mut self, size: CouponSize, to: (f64, f64), from: (f64, f64)) {
        let (to, from) = (self.at(to.0, to.1), self.at(from.0, from.1));
        if let Some(row) = self.row(size) {
            dims::leader(self.page, to, from, row);
        }
    }

    /// A length along x, its line at the height `y`, help lines from `from`.
    fn across(&mut self, size: CouponSize, y: f64, from: f64) {
        let (left, right) = (self.at(0.0, y), self.at(size.drawn().as_mm(), from));
        if let Some(row) = self.row(size) {
            dims::across(self.page, (left.x, right.x), left.y, (right.y, right.y), row);
        }
    }

    /// A length along y, its line at `x`, help lines from `from`.
    fn upright(&mut self, size: CouponSize, x: f64, from: f64) {
        let (low, high) = (self.at(x, 0.0), self.at(from, size.drawn().as_mm()));
        if let Some(row) = self.row(size) {
            dims::upright(self.page, (low.y, high.y), low.x, (high.x, high.x), row);
        }
    }

    fn lengths(&mut self) {
        let (long, short) = (mm(LONG), mm(SHORT));
        self.across(CouponSize::Outer(Axis::X, LONG), -7.0, -1.0);
        self.across(CouponSize::Outer(Axis::X, ARM), short + 6.0, short + 1.0);
        self.upright(CouponSize::Outer(Axis::Y, SHORT), -8.0, -1.0);
        self.upright(CouponSize::Outer(Axis::Y, ARM), long + 7.0, long + 1.0);
        self.leader(CouponSize::Foot(Axis::X, LONG), (long - 8.0, 0.2), (long - 2.0, -7.0));
        self.leader(CouponSize::Foot(Axis::Y, SHORT), (0.2, short - 8.0), (-8.0, short - 2.0));
    }

    /// Window, posts and holes.
    fn features(&mut self, coupon: &Coupon) {
        let (middle, beside) = (mm(ARM) / 2.0, mm(ARM) + 7.0);
        let half = mm(WINDOW) / 2.0;
        let x = CouponSize::Slot(Axis::X, WINDOW);
        self.leader(x, (middle + half, ALONG[0] + 1.0), (beside, ALONG[0] + 4.0));
        let y = CouponSize::Slot(Axis::Y, WINDOW);
        self.leader(y, (middle - 2.0, ALONG[0] + half), (-3.9, ALONG[0] + half + 1.0));
        for (post, up) in POSTS.into_iter().zip(&ALONG[1..]) {
            self.leader(CouponSize::Post(post), (middle + mm(post) / 2.0, *up), (beside, up + 1.0));
        }
        for (center, hole) in holes(coupon) {
            let top = center.y + mm(hole) / 2.0;
            self.leader(CouponSize::Hole(hole), (center.x, top), (center.x, mm(ARM) + 5.0));
        }
    }

    /// Plate, step and tower from the side.
    fn heights(&mut self, coupon: &Coupon) {
        let corner = Point::new(mm(LONG) - 44.0, 36.0);
        let [plate, step, tower] = coupon.heights.map(mm);
        let side = [
            (0.0, 0.0),
            (30.0, 0.0),
            (30.0, plate),
            (15.0, plate),
            (15.0, step),
            (8.0, step),
            (8.0, tower),
            (1.0, tower),
            (1.0, plate),
            (0.0, plate),
        ];
        let side = side.map(|(x, y)| self.at(corner.x + x, corner.y + y));
        self.page.outline(&Contour::polygon(&side), OUTLINE);
        // For each height, where its line stands and where its help lines begin.
        for (height, (x, from)) in coupon.heights.into_iter().zip([(36.0, 30.5), (22.0, 15.5), (-6.0, 0.5)]) {
            let (low, start) = (self.at(corner.x + x, corner.y), self.at(corner.x + from, corner.y));
            if let Some(row) = self.row(CouponSize::Height(height)) {
                let y = (low.y, low.y + mm(height));
                dims::upright(self.page, y, low.x, (start.x, start.x), row);
            }
        }
        let below = self.at(corner.x, corner.y - 4.0);
        self.page.text(below, Type::new(2.6), "the corner from the side");
    }
}
