//! Line-and-arc geometry in the plane: the layer on which everything else stands.
//!
//! All coordinates are millimetres, all angles radians, counter-clockwise positive. Raw `f64`
//! stays inside this kernel; the parts above it take lengths with their units.
//!
//! - [`Segment`]: one straight line or one arc of at most half a turn;
//! - [`Contour`]: a closed chain of segments, with exact length, area and inside test;
//! - [`Arrangement`]: all contours of a part cut at every crossing, each piece knowing what lies
//!   inside on its left and right;
//! - [`offset`]: contours moved inwards or outwards.
//!
//! x points to the right and y up, so counter-clockwise is what it is on paper, and the left of a segment is the
//! left of somebody who walks along it. A contour is run through counter-clockwise: what it encloses is on its left.
//!
//! ```
//! use bobbinwright_kernel::plane::{Contour, Point, offset};
//! let plate = Contour::rectangle(Point::new(0.0, 0.0), Point::new(30.0, 20.0));
//! let hole = Contour::circle(Point::new(15.0, 10.0), 4.0);
//! // The web between hole and edge, from its middle: 10 - 4 mm.
//! assert!((bobbinwright_kernel::plane::contour_distance(&plate, &hole) - 6.0).abs() < 1e-12);
//! // The plate without the hole has two borders, and both contours run counter-clockwise.
//! let borders = offset::borders(&[plate], &[hole]);
//! assert_eq!(borders.iter().filter(|b| b.hole).count(), 1);
//! assert!(borders.len() == 2 && borders.iter().all(|b| b.contour.area() > 0.0));
//! ```

mod arrangement;
mod contour;
mod distance;
mod furthest;
mod intersect;
pub mod offset;
mod segment;
mod shapes;

pub use arrangement::{Arrangement, MAX_CONTOURS, Membership, Piece};
pub use contour::Contour;
pub use distance::{contour_distance, contour_distance_below, segment_distance};
pub use furthest::furthest;
pub use segment::{Bend, Bounds, Segment};

/// A place in the plane, millimetres.
pub type Point = nalgebra::Point2<f64>;
/// A displacement in the plane, millimetres.
pub type Vector = nalgebra::Vector2<f64>;

/// Two places nearer than this are one vertex, in mm. Far below anything a printer or caliper
/// resolves (a thousandth of a micrometre is 1e-6 mm), far above rounding noise at 100 mm (1e-14).
pub const SNAP: f64 = 1e-6;

/// A line that misses an arc, or an arc that misses another, by less than this in mm is tangent
/// to it: it touches in one vertex. Two crossings so shallow would lie √(8 · radius · this) apart, 0.3 µm at
/// 10 mm; taken as one, no border moves across itself by more than this.
pub const TANGENT: f64 = 1e-9;

/// The z component of the cross product: positive when `b` lies to the left of `a`.
///
/// In mm² for two displacements: twice the signed area of the triangle that they span.
///
/// ```
/// # use bobbinwright_kernel::plane::{Vector, cross};
/// let (right, up) = (Vector::new(3.0, 0.0), Vector::new(0.0, 2.0));
/// assert_eq!(cross(right, up), 6.0);
/// assert_eq!(cross(up, right), -6.0);
/// ```
pub fn cross(a: Vector, b: Vector) -> f64 {
    a.x * b.y - a.y * b.x
}

/// `v` turned a quarter turn counter-clockwise.
///
/// ```
/// # use bobbinwright_kernel::plane::{Vector, left_of};
/// let right = Vector::new(3.0, 0.0);
/// assert_eq!(left_of(right), Vector::new(0.0, 3.0));
/// // Two quarter turns are half a turn.
/// assert_eq!(left_of(left_of(right)), -right);
/// ```
pub fn left_of(v: Vector) -> Vector {
    Vector::new(-v.y, v.x)
}
