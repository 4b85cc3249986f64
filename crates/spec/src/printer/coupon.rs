//! The coupon: a test piece from which a printer's profile is worked out, and what is read on it.
//!
//! A size's name says what it is and how large it was drawn, so that a log can hold coupons of
//! different hole sizes, and sizes of other printed parts: `outer.x.90`, `hole.2.75`.

use std::fmt;

use crate::Length;

/// A direction on the printer's bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Axis {
    /// Along the bed's length.
    X,
    /// Along the bed's width.
    Y,
}

impl Axis {
    /// Its letter in names.
    pub fn name(self) -> &'static str {
        match self {
            Axis::X => "x",
            Axis::Y => "y",
        }
    }
}

/// A drawn size, kept in whole micrometres so that two of the same size are equal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Drawn(u32);

impl Drawn {
    /// To the nearest micrometre; lengths below none are none.
    pub fn new(length: Length) -> Self {
        Self((length.as_mm() * 1000.0).round().max(0.0) as u32)
    }

    /// As a length.
    pub fn length(self) -> Length {
        Length::from_mm(f64::from(self.0) / 1000.0)
    }
}

/// As it stands in names, in mm: `2.75`.
impl fmt::Display for Drawn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", f64::from(self.0) / 1000.0)
    }
}

/// A size of something printed, by how the printer makes it and how large it was drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CouponSize {
    /// Between two outer faces, above the first layer.
    Outer(Axis, Drawn),
    /// Between two inner faces.
    Slot(Axis, Drawn),
    /// Diameter of a post.
    Post(Drawn),
    /// Diameter of an upright hole.
    Hole(Drawn),
    /// Over the bed.
    Height(Drawn),
    /// Between two outer faces, at the bed.
    Foot(Axis, Drawn),
}

const fn drawn(mm: u32) -> Drawn {
    Drawn(mm * 1000)
}

/// Length of the coupon's longer arm.
pub const LONG: Drawn = drawn(90);
/// Length of its shorter arm.
pub const SHORT: Drawn = drawn(60);
/// Width of both.
pub const ARM: Drawn = drawn(16);
/// Both sides of its window.
pub const WINDOW: Drawn = drawn(8);
/// Diameters of its posts.
pub const POSTS: [Drawn; 2] = [drawn(6), drawn(10)];

/// Heights of plate, step and tower, before they are made whole layers.
const HEIGHTS: [f64; 3] = [3.0, 9.0, 15.0];

/// What a printer's coupon is like.
#[derive(Clone, Debug, PartialEq)]
pub struct Coupon {
    /// Heights of plate, step and tower: whole layers.
    pub heights: [Drawn; 3],
    /// Diameters of its holes, ascending.
    pub holes: Vec<Drawn>,
}

impl Coupon {
    /// Hole sizes where no family says which it needs.
    pub const USUAL_HOLES: [f64; 4] = [2.5, 3.5, 5.0, 7.0];

    /// The longer arm has room for holes as long as their diameters and the material between them add up
    /// to this.
    pub const ROOM: Length = Length::from_mm(66.0);

    /// Least material beside a hole.
    pub const BETWEEN: Length = Length::from_mm(3.0);

    /// A coupon for a layer height with holes of these sizes.
    pub fn new(layer: Length, holes: &[Length]) -> Self {
        let whole = |mm: f64| Drawn::new(layer * (mm / layer.as_mm()).round().max(1.0));
        let mut holes: Vec<Drawn> = holes.iter().map(|d| Drawn::new(*d)).collect();
        holes.sort_unstable();
        holes.dedup();
        Self { heights: HEIGHTS.map(whole), holes }
    }

    /// Length of the row of holes, with the material beside each.
    pub fn row(&self) -> Length {
        let holes: Length = self.holes.iter().map(|d| d.length()).sum();
        holes + Self::BETWEEN * (self.holes.len() as f64 + 1.0)
    }

    /// Everything that is read on it, in the order of the sheet.
    pub fn sizes(&self) -> Vec<CouponSize> {
        use CouponSize as C;
        let mut all = vec![
            C::Outer(Axis::X, LONG),
            C::Outer(Axis::X, ARM),
            C::Outer(Axis::Y, SHORT),
            C::Outer(Axis::Y, ARM),
            C::Slot(Axis::X, WINDOW),
            C::Slot(Axis::Y, WINDOW),
        ];
        all.extend(POSTS.map(C::Post));
        all.extend(self.holes.iter().copied().map(C::Hole));
        all.extend(self.heights.map(C::Height));
        all.extend([C::Foot(Axis::X, LONG), C::Foot(Axis::Y, SHORT)]);
        all
    }
}

impl CouponSize {
    /// The size as it was drawn.
    pub fn drawn(self) -> Length {
        match self {
            CouponSize::Outer(_, d)
            | CouponSize::Slot(_, d)
            | CouponSize::Foot(_, d)
            | CouponSize::Post(d)
            | CouponSize::Hole(d)
            | CouponSize::Height(d) => d.length(),
        }
    }

    /// Reads a name; the error says in words what is wrong with it.
    pub fn parse(name: &str) -> Result<Self, String> {
        let wrong = || {
            format!(
                "nothing is called {name:?}; a printed size is called by what it is and how large it was drawn: \
                 outer.x.90, outer.y.60, slot.x.8, post.6, hole.2.75, height.3, foot.x.90"
            )
        };
        let (kind, rest) = name.split_once('.').ok_or_else(wrong)?;
        let size = |text: &str| {
            let plain = !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '.');
            let mm: f64 = plain.then(|| text.parse().ok()).flatten().ok_or_else(wrong)?;
            if !(0.2..=300.0).contains(&mm) {
                return Err(format!("{name:?}: 0.2 to 300 mm would make sense as a drawn size"));
            }
            Ok(Drawn::new(Length::from_mm(mm)))
        };
        let along = || {
            let (axis, text) = rest.split_once('.').ok_or_else(wrong)?;
            let axis = match axis {
                "x" => Axis::X,
                "y" => Axis::Y,
                _ => return Err(wrong()),
            };
            Ok((axis, size(text)?))
        };
        match kind {
            "outer" => along().map(|(a, d)| CouponSize::Outer(a, d)),
            "slot" => along().map(|(a, d)| CouponSize::Slot(a, d)),
            "foot" => along().map(|(a, d)| CouponSize::Foot(a, d)),
            "post" => size(rest).map(CouponSize::Post),
            "hole" => size(rest).map(CouponSize::Hole),
            "height" => size(rest).map(CouponSize::Height),
            _ => Err(wrong()),
        }
    }

    /// What it is, in words.
    pub fn describe(self) -> String {
        let d = self.drawn();
        match self {
            CouponSize::Outer(a, _) => {
                format!("outside, along {}, drawn {d}; above the first layers", a.name())
            }
            CouponSize::Slot(a, _) => format!("inside the window, along {}, drawn {d}", a.name()),
            CouponSize::Post(_) => format!("diameter of the post drawn {d}"),
            CouponSize::Hole(_) => format!("diameter of the hole drawn {d}"),
            CouponSize::Height(_) => format!("height over the underside, drawn {d}"),
            CouponSize::Foot(a, _) => {
                format!("outside, along {}, drawn {d}; at the very bottom edge", a.name())
            }
        }
    }
}

/// The name as it stands in the log.
impl fmt::Display for CouponSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CouponSize::Outer(a, d) => write!(f, "outer.{}.{d}", a.name()),
            CouponSize::Slot(a, d) => write!(f, "slot.{}.{d}", a.name()),
            CouponSize::Foot(a, d) => write!(f, "foot.{}.{d}", a.name()),
            CouponSize::Post(d) => write!(f, "post.{d}"),
            CouponSize::Hole(d) => write!(f, "hole.{d}"),
            CouponSize::Height(d) => write!(f, "height.{d}"),
        }
    }
}
