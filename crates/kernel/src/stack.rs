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
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rounding {
    /// Index of the feature whose contour is rounded; it reaches the top of the stack.
    pub feature: usize,
    /// Radius, mm.
    pub radius: f64,
}

/// A part as a list of prisms.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack<R> {
    /// Prisms in order; later ones win.
    pub features: Vec<Feature<R>>,
    /// The rounding of the top edge, if any.
    pub rounding: Option<Rounding>,
}

/// Why a stack is not one sound solid. The indices are those of the features involved.
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
    /// Adds a prism of material.
    pub fn add(&mut self, role: R, contour: Contour, bottom: f64, top: f64) -> usize {
        self.push(Kind::Add, role, contour, bottom, top)
    }

    /// Cuts a prism of air.
    pub fn cut(&mut self, role: R, contour: Contour, bottom: f64, top: f64) -> usize {
        self.push(Kind::Cut, role, contour, bottom, top)
    }

    fn push(&mut self, kind: Kind, role: R, contour: Contour, bottom: f64, top: f64) -> usize {
        self.features.push(Feature { kind, role, contour, bottom, top });
        self.features.len() - 1
    }

    /// The features of a role.
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
