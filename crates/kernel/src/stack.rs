//! What a part is made of: features stacked along z.
//!
//! A [`Stack`] is a list of features in order. Each adds material to, or cuts it from, a z range
//! over a plan contour; where features overlap the later one wins. Plates, boxes, covers and whatever
//! else is milled or printed from one side need no more, and everything about the solid follows from it
//! without a boolean in space.
//!
//! What a feature is for is the caller's: its role is of any type `R`, which is given back where a
//! difference or an error is about that feature.

use crate::plane::{Contour, Membership, Point};

/// Whether a feature is material or air.
///
/// ```
/// use bobbinwright_kernel::plane::{Contour, Point};
/// use bobbinwright_kernel::{Kind, Stack};
/// let disc = |radius| Contour::circle(Point::origin(), radius);
/// let mut stack = Stack::default();
/// stack.cut("hole", disc(2.0), 0.0, 5.0);
/// stack.add("plug", disc(9.0), 0.0, 5.0);
/// assert_eq!(stack.features[0].kind, Kind::Cut);
/// // The later one wins: cut before there was anything, the hole is no hole.
/// assert_eq!(bobbinwright_kernel::solid::build(&stack)?.through_holes, 0);
/// # Ok::<(), bobbinwright_kernel::StackError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Material.
    Add,
    /// Air.
    Cut,
}

/// One prism of material or air.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature<R> {
    /// Material or air.
    pub kind: Kind,
    /// What it is for.
    pub role: R,
    /// Its border in plan.
    pub contour: Contour,
    /// Lower end, mm above the part's underside.
    pub bottom: f64,
    /// Upper end, mm above the part's underside.
    pub top: f64,
}

/// A quarter-round rolled over the top outer edge.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Rounding, Stack, solid};
/// # use std::f64::consts::PI;
/// let mut button = Stack::default();
/// let feature = button.add((), Contour::circle(Point::origin(), 5.0), 0.0, 4.0);
/// button.rounding = Some(Rounding { feature, radius: 1.0 });
/// // 3 mm of disc, and over them the integral of π (4 + sqrt(1 - h²))² from 0 to 1: π (16 + 2 π + 2 / 3).
/// let volume = PI * (25.0 * 3.0 + 16.0 + 2.0 * PI + 2.0 / 3.0);
/// assert!((solid::build(&button)?.volume - volume).abs() < 1e-9);
/// # Ok::<(), bobbinwright_kernel::StackError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rounding {
    /// Index of the feature whose contour is rounded; it reaches the top of the stack.
    pub feature: usize,
    /// Radius, mm.
    pub radius: f64,
}

/// A part as a list of prisms.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Stack, solid};
/// let square = |half: f64| Contour::rectangle(Point::new(-half, -half), Point::new(half, half));
/// let mut tray = Stack::default();
/// tray.add("body", square(10.0), 0.0, 6.0);
/// tray.cut("hollow", square(8.0), 2.0, 6.0);
/// tray.add("post", square(1.0), 2.0, 5.0);
/// // mm³: 20² · 6 - 16² · 4 + 2² · 3.
/// assert!((solid::build(&tray)?.volume - (2400.0 - 1024.0 + 12.0)).abs() < 1e-9);
/// # Ok::<(), bobbinwright_kernel::StackError>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Stack<R> {
    /// Prisms in order; later ones win.
    pub features: Vec<Feature<R>>,
    /// The rounding of the top edge, if any.
    pub rounding: Option<Rounding>,
}

/// Why a stack is not one sound solid. The indices are those of the features involved.
///
/// ```
/// # use bobbinwright_kernel::plane::{Contour, Point};
/// # use bobbinwright_kernel::{Stack, StackError, solid};
/// let disc = |x: f64, radius: f64| Contour::circle(Point::new(x, 0.0), radius);
/// let mut two = Stack::default();
/// two.add("left", disc(0.0, 1.0), 0.0, 1.0);
/// two.add("right", disc(9.0, 1.0), 0.0, 1.0);
/// assert_eq!(solid::build(&two), Err(StackError::Pieces { pieces: 2 }));
/// let mut hollow = Stack::default();
/// hollow.add("block", disc(0.0, 9.0), 0.0, 9.0);
/// hollow.cut("bubble", disc(0.0, 3.0), 4.0, 5.0);
/// assert_eq!(solid::build(&hollow), Err(StackError::Bubble));
/// ```
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StackError {
    /// More contours than an arrangement can hold.
    #[error("a part can have {max} contours, this one has {have}")]
    TooManyContours {
        /// How many there are.
        have: usize,
        /// How many can be.
        max: usize,
    },
    /// A feature of no area, no height, or not finite.
    #[error("feature {feature} has no extent")]
    Empty {
        /// The feature.
        feature: usize,
    },
    /// The rounding is of a feature that there is not.
    #[error("there is no feature {feature} to be rounded")]
    NoSuchFeature {
        /// Its index.
        feature: usize,
    },
    /// No material is left.
    #[error("nothing is left of the part")]
    Nothing,
    /// The contour to be rounded has a corner, at this place.
    #[error("the rounded contour has a sharp corner")]
    RoundingOnCorner {
        /// Where.
        at: Point,
    },
    /// The rounding's radius is larger than a convex corner's, in mm.
    #[error("the rounding is larger than the corner radius {corner:.3} mm")]
    RoundingOverCorner {
        /// The corner's radius.
        corner: f64,
    },
    /// The rounding is higher than the part, or its border is broken by another feature.
    #[error("the rounding's border is broken below the top")]
    RoundingInterrupted {
        /// The feature that breaks it, where one is to blame.
        feature: Option<usize>,
    },
    /// The rounding meets itself in the middle of the part.
    #[error("the rounding meets itself")]
    RoundingMeetsItself,
    /// Another feature reaches into the zone that the rounding takes away.
    #[error("feature {feature} reaches into the rounding")]
    RoundingMeets {
        /// The feature.
        feature: usize,
    },
    /// Walls of two features touch along an edge or in a point.
    #[error("walls touch at one edge")]
    Touching {
        /// The features whose contours pass there.
        features: Vec<usize>,
    },
    /// The part falls into several pieces.
    #[error("the part falls into {pieces} pieces")]
    Pieces {
        /// How many.
        pieces: usize,
    },
    /// A bubble of air is shut inside the material.
    #[error("a closed hollow is left in the material")]
    Bubble,
    /// The solid fails a check of its own structure: a defect of this program.
    #[error("the solid is unsound: {0}")]
    Unsound(String),
}

impl<R> Default for Stack<R> {
    fn default() -> Self {
        Self { features: Vec::new(), rounding: None }
    }
}

/// A stack whose roles are numbers: what the steps behind the doors work on, compiled once.
pub(crate) type Numbered = Stack<usize>;

impl<R> Stack<R> {
    /// Adds a prism of material between two heights, mm, and gives its index among [`Stack::features`].
    /// A prism of no extent is accepted here and refused by [`crate::solid::build()`].
    pub fn add(&mut self, role: R, contour: Contour, bottom: f64, top: f64) -> usize {
        self.push(Kind::Add, role, contour, bottom, top)
    }

    /// Cuts a prism of air between two heights, mm, and gives its index among [`Stack::features`].
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use bobbinwright_kernel::{Stack, StackError, solid};
    /// let disc = |radius| Contour::circle(Point::origin(), radius);
    /// let mut ring = Stack::default();
    /// ring.add("ring", disc(5.0), 0.0, 1.0);
    /// // As high as it is low: nothing to cut, and it is the stack's feature 1.
    /// assert_eq!(ring.cut("hole", disc(3.0), 1.0, 1.0), 1);
    /// assert_eq!(solid::build(&ring), Err(StackError::Empty { feature: 1 }));
    /// ```
    pub fn cut(&mut self, role: R, contour: Contour, bottom: f64, top: f64) -> usize {
        self.push(Kind::Cut, role, contour, bottom, top)
    }

    fn push(&mut self, kind: Kind, role: R, contour: Contour, bottom: f64, top: f64) -> usize {
        self.features.push(Feature { kind, role, contour, bottom, top });
        self.features.len() - 1
    }

    /// The features of a role.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use bobbinwright_kernel::Stack;
    /// let mut plate = Stack::default();
    /// plate.add("plate", Contour::rectangle(Point::origin(), Point::new(9.0, 4.0)), 0.0, 1.0);
    /// for x in [2.0, 7.0] {
    ///     plate.cut("screw", Contour::circle(Point::new(x, 2.0), 1.0), 0.0, 1.0);
    /// }
    /// let places = plate.with_role("screw").filter_map(|f| f.contour.as_circle());
    /// assert_eq!(places.map(|(center, _)| center.x).collect::<Vec<_>>(), [2.0, 7.0]);
    /// ```
    pub fn with_role(&self, role: R) -> impl Iterator<Item = &Feature<R>>
    where
        R: PartialEq,
    {
        self.features.iter().filter(move |f| f.role == role)
    }

    /// The same with a number for each role.
    pub(crate) fn numbered(&self, number: impl Fn(&R) -> usize) -> Numbered {
        let features = self.features.iter().map(|f| Feature {
            kind: f.kind,
            role: number(&f.role),
            contour: f.contour.clone(),
            bottom: f.bottom,
            top: f.top,
        });
        Stack { features: features.collect(), rounding: self.rounding }
    }

    /// Upper end of the highest material, mm.
    ///
    /// Over the part's underside, and 0 where there is no material; what cuts it away later does not count.
    ///
    /// ```
    /// # use bobbinwright_kernel::plane::{Contour, Point};
    /// # use bobbinwright_kernel::Stack;
    /// let disc = |radius| Contour::circle(Point::origin(), radius);
    /// let mut stack = Stack::default();
    /// stack.add("post", disc(2.0), 0.0, 7.0);
    /// stack.cut("bore", disc(1.0), 0.0, 12.0);
    /// assert_eq!(stack.height(), 7.0);
    /// ```
    pub fn height(&self) -> f64 {
        let tops = self.features.iter().filter(|f| f.kind == Kind::Add).map(|f| f.top);
        tops.fold(0.0, f64::max)
    }

    /// The z levels at which anything begins or ends, ascending; levels nearer than
    /// [`crate::plane::SNAP`] are one.
    pub(crate) fn levels(&self) -> Vec<f64> {
        let mut all: Vec<f64> = self.features.iter().flat_map(|f| [f.bottom, f.top]).collect();
        if let Some(r) = self.rounding {
            all.push(self.height() - r.radius);
        }
        all.sort_by(f64::total_cmp);
        all.dedup_by(|a, b| (*a - *b).abs() < crate::plane::SNAP);
        all
    }

    /// What is material in a slab: the features that cover it, in order.
    pub(crate) fn region(&self, bottom: f64, top: f64) -> Region {
        let middle = f64::midpoint(bottom, top);
        let layers = self.features.iter().enumerate().filter(|(_, f)| f.bottom < middle && middle < f.top);
        Region { layers: layers.map(|(i, f)| (f.kind, 1 << i)).collect() }
    }
}

/// The material of one slab as a predicate on memberships.
#[derive(Clone, Debug, Default)]
pub(crate) struct Region {
    layers: Vec<(Kind, Membership)>,
}

impl Region {
    /// Is a place with this membership material?
    pub fn holds(&self, place: Membership) -> bool {
        let last = self.layers.iter().rev().find(|(_, bit)| place & bit != 0);
        last.is_some_and(|(kind, _)| *kind == Kind::Add)
    }
}
