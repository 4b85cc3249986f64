//! What a part's features are for.

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
    /// What is cut out of a plate for a boss.
    Relief,
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
            Role::Relief => "boss cut-out",
            Role::LeadOut => "lead-out",
            Role::Lip => "lip",
            Role::Step => "step",
            Role::Post => "post",
            Role::Window => "window",
            Role::TestHole => "hole",
        }
    }
}
