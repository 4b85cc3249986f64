//! What checks there are: one table. A kind that it does not treat does not compile.

use bobbinwright_geometry::parts::PartKind::{self, Baseplate, Cover, FlatworkBottom, FlatworkTop};
use bobbinwright_spec::{Poles, TriedWith};

/// Something that must hold for the parts to fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CheckKind {
    /// The cover's body against the rout.
    CoverInRout,
    /// The baseplate against the rout, where it is not of the cover's build.
    BaseplateInRout,
    /// The cover's ears against their recesses.
    EarsInRecesses,
    /// The baseplate's ears against the recesses.
    BaseplateEarsInRecesses,
    /// The rout's floor below a baseplate that hangs from ears.
    RoutFloorUnderBaseplate,
    /// Cover or rods under the strings.
    HeightUnderStrings,
    /// Strings between two rods each.
    StringBetweenPoles,
    /// Strings over one rod each.
    StringOverPole,
    /// The cover's screw holes over the body's.
    CoverScrewHoles,
    /// The baseplate's.
    BaseplateScrewHoles,
    /// A screw's head in its recess, all round.
    HeadInRecess,
    /// The head below the cover's top.
    HeadSunk,
    /// The head on its ear, beside the body.
    HeadOnEar,
    /// The head bears beside its hole.
    HeadOverHole,
    /// Plates in the hollow, or inside the lip.
    FlatworkInHollow,
    /// The bobbin under the roof.
    BobbinUnderRoof,
    /// Eyelets' flanges clear of everything.
    EyeletsClear,
    /// An eyelet's barrel in its hole.
    EyeletThroughHole,
    /// An eyelet's flange bears beside its hole.
    FlangeOverHole,
    /// The baseplate's lip in the hollow.
    LipInHollow,
    /// The lip under the roof.
    LipUnderRoof,
    /// A rod through the plates' holes.
    RodThroughFlatwork,
    /// A rod held straight by them.
    RodHeld,
    /// A rod through the roof.
    RodThroughRoof,
    /// The coil between the plates.
    CoilOnBobbin,
    /// The thinnest web of a part.
    Webs(PartKind),
    /// Walls that the printer can make.
    WallsPrintable,
    /// Holes that it can make.
    HolesPrintable,
    /// Parts on its bed.
    PartOnBed,
    /// Holes that can be cut in a sheet.
    HolesCut,
    /// Plates on the sheet that they are cut from.
    PlateOnSheet,
    /// The lead through the lead-out.
    LeadThroughLeadOut,
    /// The lead past a baseplate of another build.
    LeadThroughBaseplate,
    /// The lead-out at the wire channel.
    LeadOutAtChannel,
}

/// What is known of a kind.
struct Facts {
    name: &'static str,
    parts: &'static [PartKind],
    of: Of,
}

/// What a check is about, and how far it counts.
#[derive(PartialEq)]
enum Of {
    /// Parts as they are.
    Parts,
    /// What printer or cutter can make, which does not matter to what is made already.
    Making,
}

impl CheckKind {
    fn facts(self) -> Facts {
        use CheckKind as K;
        const PLATES: &[PartKind] = &[FlatworkBottom, FlatworkTop];
        const HOUSING: &[PartKind] = &[Cover, Baseplate];
        let (name, parts, of): (_, &'static [PartKind], _) = match self {
            K::CoverInRout => ("cover-in-rout", &[Cover], Of::Parts),
            K::BaseplateInRout => ("baseplate-in-rout", &[Baseplate], Of::Parts),
            K::EarsInRecesses => ("ears-in-recesses", &[Cover], Of::Parts),
            K::BaseplateEarsInRecesses => ("baseplate-ears-in-recesses", &[Baseplate], Of::Parts),
            K::RoutFloorUnderBaseplate => ("rout-floor-under-baseplate", &[Baseplate], Of::Parts),
            K::HeightUnderStrings => ("height-under-strings", HOUSING, Of::Parts),
            K::StringBetweenPoles => ("string-between-poles", PLATES, Of::Parts),
            K::StringOverPole => ("string-over-pole", PLATES, Of::Parts),
            K::CoverScrewHoles => ("cover-screw-holes", &[Cover], Of::Parts),
            K::BaseplateScrewHoles => ("baseplate-screw-holes", &[Baseplate], Of::Parts),
            K::HeadInRecess => ("head-in-recess", &[Cover], Of::Parts),
            K::HeadSunk => ("head-sunk", &[Cover], Of::Parts),
            K::HeadOnEar => ("head-on-ear", &[Cover], Of::Parts),
            K::HeadOverHole => ("head-over-hole", &[Cover], Of::Parts),
            K::FlatworkInHollow => ("flatwork-in-hollow", &[Cover, FlatworkBottom, FlatworkTop], Of::Parts),
            K::BobbinUnderRoof => ("bobbin-under-roof", &[Cover, FlatworkBottom, FlatworkTop], Of::Parts),
            K::EyeletsClear => ("eyelets-clear", &[Cover, FlatworkBottom], Of::Parts),
            K::EyeletThroughHole => ("eyelet-through-hole", &[FlatworkBottom], Of::Parts),
            K::FlangeOverHole => ("flange-over-hole", &[FlatworkBottom], Of::Parts),
            K::LipInHollow => ("lip-in-hollow", HOUSING, Of::Parts),
            K::LipUnderRoof => ("lip-under-roof", HOUSING, Of::Parts),
            K::RodThroughFlatwork => ("rod-through-flatwork", PLATES, Of::Parts),
            K::RodHeld => ("rod-held", PLATES, Of::Parts),
            K::RodThroughRoof => ("rod-through-roof", &PartKind::ALL, Of::Parts),
            K::CoilOnBobbin => ("coil-on-bobbin", PLATES, Of::Parts),
            K::Webs(Cover) => ("cover-webs", &[Cover], Of::Making),
            K::Webs(Baseplate) => ("baseplate-webs", &[Baseplate], Of::Making),
            K::Webs(FlatworkBottom) => ("flatwork-bottom-webs", &[FlatworkBottom], Of::Making),
            K::Webs(FlatworkTop) => ("flatwork-top-webs", &[FlatworkTop], Of::Making),
            K::WallsPrintable => ("walls-printable", &[], Of::Making),
            K::HolesPrintable => ("holes-printable", &[], Of::Making),
            K::PartOnBed => ("part-on-bed", &[], Of::Making),
            K::HolesCut => ("holes-cut", PLATES, Of::Making),
            K::PlateOnSheet => ("plate-on-sheet", PLATES, Of::Making),
            K::LeadThroughLeadOut => ("lead-through-lead-out", &[Cover], Of::Parts),
            K::LeadThroughBaseplate => ("lead-through-baseplate", HOUSING, Of::Parts),
            K::LeadOutAtChannel => ("lead-out-at-channel", &[Cover], Of::Parts),
        };
        Facts { name, parts, of }
    }

    /// Does it ask the same, if of another arrangement: of rods under strings, whether there are one or two of each?
    pub fn is_like(self, other: Self) -> bool {
        let is_of_strings = |kind| matches!(kind, Self::StringBetweenPoles | Self::StringOverPole);
        self == other || (is_of_strings(self) && is_of_strings(other))
    }

    /// What asks the same where rods stand like this.
    #[must_use]
    pub fn with(self, poles: Poles) -> Self {
        match (self, poles) {
            (Self::StringBetweenPoles | Self::StringOverPole, Poles::Single) => Self::StringOverPole,
            (Self::StringBetweenPoles | Self::StringOverPole, Poles::Pair { .. }) => Self::StringBetweenPoles,
            (other, _) => other,
        }
    }

    /// Its short fixed name, for programs: `cover-in-rout`.
    pub fn name(self) -> &'static str {
        self.facts().name
    }

    /// The parts that it is about; none where it is about all that are made.
    pub fn parts(self) -> &'static [PartKind] {
        self.facts().parts
    }

    /// The part whose place it is about, where it is about one's in the rout.
    pub(crate) fn placed(self) -> Option<PartKind> {
        match self {
            CheckKind::CoverInRout
            | CheckKind::EarsInRecesses
            | CheckKind::CoverScrewHoles
            | CheckKind::HeadInRecess
            | CheckKind::HeadOnEar => Some(Cover),
            CheckKind::BaseplateInRout
            | CheckKind::BaseplateEarsInRecesses
            | CheckKind::BaseplateScrewHoles => Some(Baseplate),
            _ => None,
        }
    }

    /// Is it asked of a part that is tried in the rout, or with its screws too?
    pub(crate) fn is_asked_of(self, part: PartKind, with: TriedWith) -> bool {
        let is_of_screws = matches!(
            self,
            CheckKind::CoverScrewHoles
                | CheckKind::BaseplateScrewHoles
                | CheckKind::HeadInRecess
                | CheckKind::HeadOnEar
        );
        self.placed() == Some(part) && (with == TriedWith::Screws || !is_of_screws)
    }

    /// Is it about what printer or cutter can make? That does not matter to what is made already.
    pub fn is_of_making(self) -> bool {
        self.facts().of == Of::Making
    }
}

/// Where on the parts it is decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// At the part's ends, or those of its ears.
    Ends,
    /// At its long sides, or its ears' flanks.
    Sides,
    /// In its corners.
    Corners,
    /// At the blends beside the ears.
    Blends,
    /// At a string, by its number.
    String(usize),
    /// Where a dimension is.
    Dimension(&'static str),
    /// At all places alike, or at what the kind is about.
    Alike,
}
