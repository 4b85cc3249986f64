//! The kinds of part, and what can be measured on a printed one.

use std::fmt;

use crate::problem::Span;

/// The kinds of part, in the order of assembly from below.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartKind {
    /// Closes the cover from below.
    Baseplate,
    /// Lower end of the bobbin, with the eyelets.
    FlatworkBottom,
    /// Upper end of the bobbin, with the bass mark.
    FlatworkTop,
    /// The hollow part that is seen.
    Cover,
}

impl PartKind {
    /// All parts of a position, the seen one first.
    pub const ALL: [PartKind; 4] =
        [PartKind::Cover, PartKind::Baseplate, PartKind::FlatworkBottom, PartKind::FlatworkTop];

    /// The name in files: `flatwork-top`.
    pub fn name(self) -> &'static str {
        match self {
            PartKind::Cover => "cover",
            PartKind::Baseplate => "baseplate",
            PartKind::FlatworkBottom => "flatwork-bottom",
            PartKind::FlatworkTop => "flatwork-top",
        }
    }
}

/// A size of a printed part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PieceSize {
    /// The part.
    pub part: PartKind,
    /// Which of its sizes.
    pub size: SizeOf,
}

/// What can be measured on a printed part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SizeOf {
    /// Along the row of strings, without ears.
    Length,
    /// Across.
    Width,
    /// Height of the cover, thickness of a plate.
    Height,
    /// From ear to ear.
    EarToEar,
    /// Width of the ears.
    EarWidth,
    /// Thickness of the ears.
    EarThickness,
    /// Length of the hollow, beside any boss.
    HollowLength,
    /// Width of the hollow.
    HollowWidth,
    /// Depth of the hollow.
    HollowDepth,
    /// Diameter of the screw holes.
    ScrewHole,
    /// Centre distance of the screw holes.
    ScrewPitch,
    /// Diameter of the seat for a screw's head.
    Recess,
    /// Depth of the seat for a screw's head.
    RecessDepth,
    /// Diameter of the pole holes.
    PoleHole,
    /// Centre distance of the outermost pole holes.
    PoleSpan,
    /// Diameter of the eyelet holes.
    EyeletHole,
    /// Outer length of the lip.
    LipLength,
    /// Outer width of the lip.
    LipWidth,
    /// How far the lip stands over the plate.
    LipHeight,
}

/// Every size with its word in the log.
const WORDS: [(&str, SizeOf); 19] = [
    ("length", SizeOf::Length),
    ("width", SizeOf::Width),
    ("height", SizeOf::Height),
    ("ear_to_ear", SizeOf::EarToEar),
    ("ear_width", SizeOf::EarWidth),
    ("ear_thickness", SizeOf::EarThickness),
    ("hollow_length", SizeOf::HollowLength),
    ("hollow_width", SizeOf::HollowWidth),
    ("hollow_depth", SizeOf::HollowDepth),
    ("screw_hole", SizeOf::ScrewHole),
    ("screw_pitch", SizeOf::ScrewPitch),
    ("recess", SizeOf::Recess),
    ("recess_depth", SizeOf::RecessDepth),
    ("pole_hole", SizeOf::PoleHole),
    ("pole_span", SizeOf::PoleSpan),
    ("eyelet_hole", SizeOf::EyeletHole),
    ("lip_length", SizeOf::LipLength),
    ("lip_width", SizeOf::LipWidth),
    ("lip_height", SizeOf::LipHeight),
];

impl SizeOf {
    /// Its word in the log.
    pub fn word(self) -> &'static str {
        WORDS.iter().find(|(_, size)| *size == self).map_or("?", |(word, _)| word)
    }
}

impl PieceSize {
    /// Reads `cover.screw_hole`.
    pub(crate) fn parse(name: &str) -> Option<Self> {
        let (part, size) = name.split_once('.')?;
        let part = PartKind::ALL.into_iter().find(|p| p.name() == part)?;
        let (_, size) = WORDS.iter().find(|(word, _)| *word == size)?;
        Some(Self { part, size: *size })
    }

    /// All names that begin with a part's.
    pub(crate) fn names() -> impl Iterator<Item = String> {
        let of = |part: PartKind| WORDS.iter().map(move |(word, _)| format!("{}.{word}", part.name()));
        PartKind::ALL.into_iter().flat_map(of)
    }

    /// What it is, in words, with its part.
    pub fn describe(self) -> String {
        format!("{}: {}", self.part.name(), self.what())
    }

    /// Is it one of the part's three outer sizes?
    pub fn is_overall(self) -> bool {
        matches!(self.size, SizeOf::Length | SizeOf::Width | SizeOf::Height)
    }

    /// What it is, in words.
    pub fn what(self) -> &'static str {
        match self.size {
            SizeOf::Length => "length",
            SizeOf::Width => "width",
            SizeOf::Height if self.part == PartKind::Cover => "height",
            SizeOf::Height => "thickness",
            SizeOf::EarToEar => "length from ear to ear",
            SizeOf::EarWidth => "width of an ear",
            SizeOf::EarThickness => "thickness of an ear",
            SizeOf::HollowLength => "length of the hollow",
            SizeOf::HollowWidth => "width of the hollow",
            SizeOf::HollowDepth => "depth of the hollow",
            SizeOf::ScrewHole => "diameter of a screw hole",
            SizeOf::ScrewPitch => "centre distance of the screw holes",
            SizeOf::Recess => "diameter of a head recess",
            SizeOf::RecessDepth => "depth of a head recess",
            SizeOf::PoleHole => "diameter of a pole hole",
            SizeOf::PoleSpan => "centre distance of the outermost pole holes",
            SizeOf::EyeletHole => "diameter of an eyelet hole",
            SizeOf::LipLength => "outer length of the lip",
            SizeOf::LipWidth => "outer width of the lip",
            SizeOf::LipHeight => "height of the lip over the plate",
        }
    }

    /// The holes whose edges a centre distance is read from.
    pub fn holes(self) -> Option<Self> {
        let size = match self.size {
            SizeOf::ScrewPitch => SizeOf::ScrewHole,
            SizeOf::PoleSpan => SizeOf::PoleHole,
            _ => return None,
        };
        Some(Self { size, ..self })
    }

    /// How many faces that a finish is put on lie in it, one after the other: a cover's top and sides, a baseplate's edge. A
    /// seat whose floor is masked is as much deeper as the top is higher.
    pub fn finished_faces(self) -> usize {
        match (self.part, self.size) {
            (
                PartKind::Cover | PartKind::Baseplate,
                SizeOf::Length | SizeOf::Width | SizeOf::EarToEar | SizeOf::EarWidth,
            ) => 2,
            (PartKind::Cover, SizeOf::Height | SizeOf::EarThickness | SizeOf::RecessDepth) => 1,
            _ => 0,
        }
    }

    /// The diameter of a hole.
    pub fn is_hole(self) -> bool {
        matches!(self.size, SizeOf::ScrewHole | SizeOf::Recess | SizeOf::PoleHole | SizeOf::EyeletHole)
    }

    /// Read between faces that look at each other.
    pub fn is_inside(self) -> bool {
        self.is_hole() || matches!(self.size, SizeOf::HollowLength | SizeOf::HollowWidth)
    }

    /// Read with the depth rod.
    pub fn is_depth(self) -> bool {
        matches!(self.size, SizeOf::HollowDepth | SizeOf::RecessDepth | SizeOf::LipHeight)
    }
}

/// The name as it stands in the log, behind the position's: `cover.screw_hole`.
impl fmt::Display for PieceSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}", self.part.name(), self.size.word())
    }
}

/// The side of a part that lies on the printer's bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BedSide {
    /// As it is drawn, upright.
    Underside,
    /// Turned over.
    Top,
    /// On its bass end.
    Bass,
    /// On its treble end.
    Treble,
    /// On its long side towards the neck.
    Neck,
    /// On its long side towards the bridge.
    Bridge,
}

impl BedSide {
    /// The words used in files.
    pub const ALL: [(&'static str, BedSide); 6] = [
        ("underside", BedSide::Underside),
        ("top", BedSide::Top),
        ("bass", BedSide::Bass),
        ("treble", BedSide::Treble),
        ("neck", BedSide::Neck),
        ("bridge", BedSide::Bridge),
    ];

    /// The word used in files.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(_, s)| *s == self).map_or("", |(n, _)| n)
    }

    /// What lies on the bed, in words.
    pub fn describe(self) -> &'static str {
        match self {
            BedSide::Underside => "its underside",
            BedSide::Top => "its top",
            BedSide::Bass => "its bass end",
            BedSide::Treble => "its treble end",
            BedSide::Neck => "its side towards the neck",
            BedSide::Bridge => "its side towards the bridge",
        }
    }

    /// The part's upright is the printer's.
    pub fn is_flat(self) -> bool {
        matches!(self, BedSide::Underside | BedSide::Top)
    }
}

/// Which side of each part shall lie on the bed; where none is stated, the recommended one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OnBed {
    sides: [Option<BedSide>; 4],
    span: Option<Span>,
}

impl OnBed {
    /// The words for parts in a family's file.
    pub(crate) const WORDS: [(&'static str, PartKind); 4] = [
        ("cover", PartKind::Cover),
        ("baseplate", PartKind::Baseplate),
        ("flatwork_bottom", PartKind::FlatworkBottom),
        ("flatwork_top", PartKind::FlatworkTop),
    ];

    /// The side that is stated for a part.
    pub fn of(self, part: PartKind) -> Option<BedSide> {
        self.sides[part as usize]
    }

    /// States a part's side.
    pub(crate) fn set(&mut self, part: PartKind, side: BedSide, span: Span) {
        self.sides[part as usize] = Some(side);
        self.span = Some(span);
    }

    /// Where a side is stated last.
    pub(crate) fn stated(self) -> Option<Span> {
        self.span
    }
}
