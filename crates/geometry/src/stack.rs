//! What a part is made of: features stacked along z.
//!
//! A [`Stack`] is a list of features in order. Each adds material to, or cuts it from, a z range
//! over a plan contour; where features overlap the later one wins. No part of a pickup needs more,
//! and everything about the solid follows from it without a boolean in space.

use crate::plane::{Contour, Membership, Point};

/// Whether a feature is material or air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Material.
    Add,
    /// Air.
    Cut,
}

/// What a feature is for; refusals and checks name it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// The outer border of a part.
    Outline,
    /// The tabs at a cover's or baseplate's ends, with their blends.
    Ears,
    /// The inside of a cover.
    Hollow,
    /// Material left in the hollow round a screw.
    Boss,
    /// A hole for a mounting screw.
    ScrewHole,
    /// The sunk seat of a screw's head.
    HeadRecess,
    /// A hole for a magnet rod.
    PoleHole,
    /// A hole for an eyelet.
    EyeletHole,
    /// A narrowing of the edge at which the coil's end is tied.
    Waist,
    /// The mark at the bass end.
    Mark,
    /// The notch for the lead.
    LeadOut,
    /// The ring on a baseplate that plugs into the hollow.
    Lip,
    /// A block on a coupon, to measure heights on.
    Step,
    /// A post on a coupon.
    Post,
    /// An opening in a coupon, to measure from inside.
    Window,
    /// A hole of a coupon.
    TestHole,
}

impl Role {
    /// An upright hole that something goes through or into.
    pub fn is_hole(self) -> bool {
        matches!(self, Role::ScrewHole | Role::HeadRecess | Role::PoleHole | Role::EyeletHole)
    }

    /// The feature's name in a sentence.
    pub fn name(self) -> &'static str {
        match self {
            Role::Outline => "outline",
            Role::Ears => "screw ears",
            Role::Hollow => "hollow",
            Role::Boss => "boss",
            Role::ScrewHole => "screw hole",
            Role::HeadRecess => "head recess",
            Role::PoleHole => "pole hole",
            Role::EyeletHole => "eyelet hole",
            Role::Waist => "waist",
            Role::Mark => "bass mark",
            Role::LeadOut => "lead-out",
            Role::Lip => "lip",
            Role::Step => "step",
            Role::Post => "post",
            Role::Window => "window",
            Role::TestHole => "hole",
        }
    }
}

/// One prism of material or air.
#[derive(Clone, Debug, PartialEq)]
pub struct Feature {
    /// Material or air.
    pub kind: Kind,
    /// What it is for.
    pub role: Role,
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
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stack {
    /// Prisms in order; later ones win.
    pub features: Vec<Feature>,
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

impl Stack {
    /// Adds a prism of material.
    pub fn add(&mut self, role: Role, contour: Contour, bottom: f64, top: f64) -> usize {
        self.push(Kind::Add, role, contour, bottom, top)
    }

    /// Cuts a prism of air.
    pub fn cut(&mut self, role: Role, contour: Contour, bottom: f64, top: f64) -> usize {
        self.push(Kind::Cut, role, contour, bottom, top)
    }

    fn push(&mut self, kind: Kind, role: Role, contour: Contour, bottom: f64, top: f64) -> usize {
        self.features.push(Feature { kind, role, contour, bottom, top });
        self.features.len() - 1
    }

    /// The features of a role.
    pub fn with_role(&self, role: Role) -> impl Iterator<Item = &Feature> {
        self.features.iter().filter(move |f| f.role == role)
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
