//! What is wanted: every dimension of the parts that the builder decides.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use crate::Length;
use crate::coil::Coil;
use crate::cut_sheet::CutSheet;
use crate::finish::Finishes;
use crate::load::Load;
use crate::magnets::{Alloy, North};
use crate::outline::CoverOutline;
use crate::part::{OnBed, PartKind};
use crate::problem::Span;
use crate::string_set::StringSet;

/// A side of the rout.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Where the thickest string lies.
    Bass,
    /// Where string 1 lies.
    Treble,
    /// Towards the neck.
    Neck,
    /// Towards the bridge.
    Bridge,
}

/// As people write it.
impl FromStr for Side {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let found = Self::ALL.iter().find(|(word, _)| *word == text.trim());
        found
            .map(|(_, side)| *side)
            .ok_or_else(|| format!("{}: write sides like neck,bridge or treble,bass", text.trim()))
    }
}

impl Side {
    /// The words used in files.
    pub const ALL: [(&'static str, Side); 4] =
        [("bass", Side::Bass), ("treble", Side::Treble), ("neck", Side::Neck), ("bridge", Side::Bridge)];

    /// An end of the rout, across the row of strings.
    pub fn is_end(self) -> bool {
        matches!(self, Side::Bass | Side::Treble)
    }

    /// In words: `bass end`, `neck side`.
    pub fn place(self) -> &'static str {
        match self {
            Side::Bass => "bass end",
            Side::Treble => "treble end",
            Side::Neck => "neck side",
            Side::Bridge => "bridge side",
        }
    }

    /// The side that it faces.
    #[must_use]
    pub fn opposite(self) -> Self {
        match self {
            Side::Bass => Side::Treble,
            Side::Treble => Side::Bass,
            Side::Neck => Side::Bridge,
            Side::Bridge => Side::Neck,
        }
    }

    /// The word used in files.
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(_, s)| *s == self).map_or("", |(n, _)| n)
    }
}

/// Everything wanted at one position.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// Rods per string.
    pub poles: Poles,
    /// How far their row is from the rout's middle line, towards the neck; where nothing is stated they stand on it.
    pub row_offset: Option<Length>,
    /// The cover.
    pub cover: Cover,
    /// The baseplate.
    pub baseplate: Baseplate,
    /// The two flatwork plates.
    pub flatwork: Flatwork,
    /// How the housing sits in the body.
    pub seat: Seat,
    /// What is done to the parts' outsides when they are printed.
    pub finish: Finishes,
    /// What is wound on the bobbin, when that is stated.
    pub coil: Option<Coil>,
    /// What the rods are made of, when that is stated.
    pub magnets: Option<Alloy>,
    /// Which end of the rods is north.
    pub north: North,
    /// What the coil works into.
    pub load: Load,
    /// What its strings are made of.
    pub string_set: StringSet,
    /// How the parts are laid on the printer's bed.
    pub on_bed: OnBed,
    /// Where each dimension was stated, by its path.
    pub origins: BTreeMap<&'static str, Span>,
}

impl Wanted {
    /// How far the row of rods is from the rout's middle line, towards the neck.
    pub fn row(&self) -> Length {
        self.row_offset.unwrap_or_default()
    }

    /// The sheet that a part is cut from; none where it is printed.
    pub fn sheet(&self, part: PartKind) -> Option<&CutSheet> {
        match part {
            PartKind::FlatworkBottom | PartKind::FlatworkTop => self.flatwork.sheet.as_ref(),
            PartKind::Cover | PartKind::Baseplate => None,
        }
    }
}

/// Magnet rods per string.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Poles {
    /// One rod under each string.
    Single,
    /// Two rods, the string hovering between them.
    Pair {
        /// Centre distance of the two.
        spread: Length,
    },
}

/// The hollow part that is seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Cover {
    /// Play between cover and rout on each side.
    pub fit_gap: Length,
    /// The chance with which the cover shall go in, when the gap is to be the smallest that has it;
    /// [`Cover::fit_gap`] is only where the search for it begins, then.
    pub snug: Option<f64>,
    /// Thickness of the side walls.
    pub wall: Length,
    /// Thickness over the hollow.
    pub roof: Length,
    /// Height from the baseplate to the top.
    pub height: Length,
    /// What it is in a rout that is no rectangle.
    pub outline: CoverOutline,
    /// Radius of the four upright corners; by default each that of the rout's less the play.
    pub corner_radius: Option<Length>,
    /// Radius of the top edge.
    pub rounding: Length,
    /// Smallest radius inside the hollow.
    pub inner_radius: Length,
    /// Diameter of the mounting screws' holes in cover and baseplate.
    pub screw_hole: Length,
    /// How the screws hold it.
    pub mounting: Mounting,
    /// Diameter of the pole holes in the roof; `None` for a closed roof.
    pub pole_hole: Option<Length>,
    /// The notch for the lead.
    pub lead_out: LeadOut,
}

/// How a cover is held.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Mounting {
    /// Screws through tabs at both ends.
    Ears {
        /// How far an ear reaches beyond the cover's body; by default as far as the recess allows.
        length: Option<Length>,
        /// Width; by default the recess' less the play.
        width: Option<Length>,
        /// Thickness.
        thickness: Length,
        /// Radius of the outer corners; by default the recess' less the play.
        corner_radius: Option<Length>,
        /// Radius in the corners between ear and body.
        blend: Length,
    },
    /// Screws through the cover, material left round them in the hollow.
    Bosses {
        /// Diameter of the material round the screw.
        diameter: Length,
        /// Diameter of the seat for the head.
        recess_diameter: Length,
        /// Depth of the seat for the head.
        recess_depth: Length,
    },
}

/// As a family's file says it, in millimetres: `ears(thickness: mm(3.00), blend: mm(0.40))`.
impl fmt::Display for Mounting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (name, all) = match *self {
            Self::Ears { length, width, thickness, corner_radius, blend } => {
                let [thickness, blend] = [thickness, blend].map(Some);
                let size = [("length", length), ("width", width), ("corner_radius", corner_radius)];
                ("ears", [&size[..], &[("thickness", thickness), ("blend", blend)]].concat())
            }
            Self::Bosses { diameter, recess_diameter, recess_depth } => {
                let all = [diameter, recess_diameter, recess_depth].map(Some);
                ("bosses", ["diameter", "recess_diameter", "recess_depth"].into_iter().zip(all).collect())
            }
        };
        let stated = all.into_iter().filter_map(|(name, length)| Some((name, length?)));
        let written: Vec<_> = stated.map(|(name, l)| format!("{name}: mm({:.2})", l.as_mm())).collect();
        write!(f, "{name}({})", written.join(", "))
    }
}

/// The notch in a wall through which the lead leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeadOut {
    /// The wall it is in.
    pub side: Side,
    /// From the wall's middle, towards treble on the long sides, towards the neck on the ends.
    pub offset: Length,
    /// Its width.
    pub width: Length,
    /// Its height, from the cover's underside.
    pub height: Length,
}

/// The plate that closes the cover.
#[derive(Clone, Debug, PartialEq)]
pub struct Baseplate {
    /// Thickness.
    pub thickness: Length,
    /// How far the lead-out cuts into the plate; `None` for none.
    pub lead_depth: Option<Length>,
    /// The ring that plugs into the hollow.
    pub lip: Option<Lip>,
}

/// The ring on a baseplate that plugs into the cover's hollow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lip {
    /// Play to the hollow.
    pub gap: Length,
    /// Thickness of the ring.
    pub wall: Length,
    /// Height over the plate.
    pub height: Length,
}

/// The plates at both ends of the magnet rods.
#[derive(Clone, Debug, PartialEq)]
pub struct Flatwork {
    /// Thickness of the bottom plate.
    pub bottom: Length,
    /// Thickness of the top plate.
    pub top: Length,
    /// Length; by default what the hollow allows.
    pub length: Option<Length>,
    /// Width; by default what the hollow allows.
    pub width: Option<Length>,
    /// Play to the hollow and the bosses, where length or width follow from them.
    pub play: Length,
    /// Radius of the corners.
    pub corner_radius: Length,
    /// Diameter of the pole holes.
    pub pole_hole: Length,
    /// How far the rods stand out over the top plate.
    pub rod_above: Length,
    /// Diameter of the eyelet holes.
    pub eyelet_hole: Length,
    /// Centre distance of the two eyelets.
    pub eyelet_spread: Length,
    /// Distance of the eyelets' centres from the plate's edge.
    pub eyelet_inset: Length,
    /// The edge at which the eyelets sit: neck or bridge.
    pub eyelet_side: Side,
    /// Distance of a waist's middle from its eyelet, outwards.
    pub waist_offset: Length,
    /// Width of a waist at the edge.
    pub waist_width: Length,
    /// Depth of a waist.
    pub waist_depth: Length,
    /// Radius of the half-round mark in the bass end of the top plate.
    pub mark_radius: Length,
    /// What both plates are cut from; `None` where they are printed.
    pub sheet: Option<CutSheet>,
}

/// How the housing sits in the body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    /// How far foam or springs lift the baseplate off its seat.
    pub lift: Length,
    /// Least distance between the strings and whatever is highest.
    pub string_gap: Length,
}

/// A dimension by its path, with the sizes that make sense.
pub struct Parameter {
    /// Path in the file, e.g. `cover.rounding`.
    pub path: &'static str,
    /// What it is, in one line.
    pub what: &'static str,
    /// It may be left out: `none`.
    pub or_none: bool,
    /// Smallest sensible value, mm.
    pub low: f64,
    /// Largest sensible value, mm.
    pub high: f64,
    /// The dimension in a [`Wanted`], when it has one.
    pub field: fn(&mut Wanted) -> Option<&mut Length>,
}

macro_rules! parameter {
    (@or_none none) => {
        true
    };
    (@or_none stated) => {
        false
    };
    ($path:literal, $what:literal, $none:ident, $low:literal, $high:literal, $w:ident => $field:expr) => {
        Parameter {
            path: $path,
            what: $what,
            or_none: parameter!(@or_none $none),
            low: $low,
            high: $high,
            field: |$w| $field,
        }
    };
}

/// Every dimension that can be wanted. Bounds are those beyond which a value is a slip, not those
/// of what can be built: these depend on the other dimensions.
pub const PARAMETERS: [Parameter; 54] = [
    parameter!("poles.spread", "how far the two rods of a string are apart, middle to middle", stated, 1.0, 40.0, w => match &mut w.poles { Poles::Pair { spread } => Some(spread), Poles::Single => None }),
    parameter!("row.offset", "how far the row of rods is from the middle between the rout's long sides, towards the neck; minus for towards the bridge; none for in the middle", none, -60.0, 60.0, w => w.row_offset.as_mut()),
    parameter!("cover.fit_gap", "play on each side between cover and rout", stated, 0.0, 5.0, w => Some(&mut w.cover.fit_gap)),
    parameter!("cover.wall", "thickness of the cover's sides", stated, 0.2, 15.0, w => Some(&mut w.cover.wall)),
    parameter!("cover.roof", "thickness over the hollow", stated, 0.2, 15.0, w => Some(&mut w.cover.roof)),
    parameter!("cover.height", "the cover's height, without the baseplate", stated, 3.0, 60.0, w => Some(&mut w.cover.height)),
    parameter!("cover.corner_radius", "radius of the four upright corners; none for each that of the rout's less the play", none, 0.0, 60.0, w => w.cover.corner_radius.as_mut()),
    parameter!("cover.rounding", "radius of the top edge", stated, 0.0, 30.0, w => Some(&mut w.cover.rounding)),
    parameter!("cover.inner_radius", "smallest radius inside the hollow", stated, 0.0, 30.0, w => Some(&mut w.cover.inner_radius)),
    parameter!("cover.screw_hole", "holes for the mounting screws, in cover and baseplate", stated, 0.5, 12.0, w => Some(&mut w.cover.screw_hole)),
    parameter!("cover.pole_hole", "holes for the rods through the roof; none for a closed roof", none, 0.5, 20.0, w => w.cover.pole_hole.as_mut()),
    parameter!("cover.lead_out.offset", "how far the lead's notch is from its side's middle: towards treble, or towards the neck on the ends", stated, -120.0, 120.0, w => Some(&mut w.cover.lead_out.offset)),
    parameter!("cover.lead_out.width", "width of the lead's notch", stated, 0.5, 40.0, w => Some(&mut w.cover.lead_out.width)),
    parameter!("cover.lead_out.height", "height of the lead's notch, from the cover's underside", stated, 0.5, 40.0, w => Some(&mut w.cover.lead_out.height)),
    parameter!("cover.mounting.length", "how far an ear reaches beyond the cover; none for as far as the recess allows", none, 2.0, 60.0, w => match &mut w.cover.mounting { Mounting::Ears { length, .. } => length.as_mut(), Mounting::Bosses { .. } => None }),
    parameter!("cover.mounting.width", "width of an ear; none for the recess' less the play", none, 2.0, 60.0, w => match &mut w.cover.mounting { Mounting::Ears { width, .. } => width.as_mut(), Mounting::Bosses { .. } => None }),
    parameter!("cover.mounting.thickness", "thickness of an ear", stated, 0.3, 20.0, w => match &mut w.cover.mounting { Mounting::Ears { thickness, .. } => Some(thickness), Mounting::Bosses { .. } => None }),
    parameter!("cover.mounting.corner_radius", "radius of an ear's outer corners; none for the recess' less the play", none, 0.0, 30.0, w => match &mut w.cover.mounting { Mounting::Ears { corner_radius, .. } => corner_radius.as_mut(), Mounting::Bosses { .. } => None }),
    parameter!("cover.mounting.blend", "radius between ear and body", stated, 0.0, 30.0, w => match &mut w.cover.mounting { Mounting::Ears { blend, .. } => Some(blend), Mounting::Bosses { .. } => None }),
    parameter!("cover.mounting.diameter", "diameter of the material left round a screw", stated, 1.0, 40.0, w => match &mut w.cover.mounting { Mounting::Bosses { diameter, .. } => Some(diameter), Mounting::Ears { .. } => None }),
    parameter!("cover.mounting.recess_diameter", "diameter of the seat for a screw's head", stated, 1.0, 40.0, w => match &mut w.cover.mounting { Mounting::Bosses { recess_diameter, .. } => Some(recess_diameter), Mounting::Ears { .. } => None }),
    parameter!("cover.mounting.recess_depth", "depth of the seat for a screw's head", stated, 0.1, 40.0, w => match &mut w.cover.mounting { Mounting::Bosses { recess_depth, .. } => Some(recess_depth), Mounting::Ears { .. } => None }),
    parameter!("baseplate.thickness", "thickness of the baseplate", stated, 0.3, 20.0, w => Some(&mut w.baseplate.thickness)),
    parameter!("baseplate.lead_depth", "how far the lead's slot cuts into the baseplate; none for no slot", none, 0.5, 60.0, w => w.baseplate.lead_depth.as_mut()),
    parameter!("baseplate.lip.gap", "play between the lip and the hollow", stated, 0.0, 5.0, w => w.baseplate.lip.as_mut().map(|l| &mut l.gap)),
    parameter!("baseplate.lip.wall", "thickness of the lip", stated, 0.2, 15.0, w => w.baseplate.lip.as_mut().map(|l| &mut l.wall)),
    parameter!("baseplate.lip.height", "height of the lip over the baseplate", stated, 0.2, 20.0, w => w.baseplate.lip.as_mut().map(|l| &mut l.height)),
    parameter!("flatwork.bottom", "thickness of the bottom plate", stated, 0.3, 15.0, w => Some(&mut w.flatwork.bottom)),
    parameter!("flatwork.top", "thickness of the top plate", stated, 0.3, 15.0, w => Some(&mut w.flatwork.top)),
    parameter!("flatwork.length", "length of both plates; none for what the hollow allows", none, 10.0, 250.0, w => w.flatwork.length.as_mut()),
    parameter!("flatwork.width", "width of both plates; none for what the hollow allows", none, 3.0, 120.0, w => w.flatwork.width.as_mut()),
    parameter!("flatwork.play", "play of the plates to hollow and bosses, where length or width follow from them", stated, 0.0, 20.0, w => Some(&mut w.flatwork.play)),
    parameter!("flatwork.corner_radius", "radius of the plates' corners", stated, 0.0, 60.0, w => Some(&mut w.flatwork.corner_radius)),
    parameter!("flatwork.pole_hole", "holes for the rods in the plates", stated, 0.5, 20.0, w => Some(&mut w.flatwork.pole_hole)),
    parameter!("flatwork.rod_above", "how far the rods stand out over the top plate", stated, 0.0, 20.0, w => Some(&mut w.flatwork.rod_above)),
    parameter!("flatwork.eyelets.hole", "holes for the eyelets", stated, 0.5, 8.0, w => Some(&mut w.flatwork.eyelet_hole)),
    parameter!("flatwork.eyelets.spread", "how far the two eyelets are apart, middle to middle", stated, 1.0, 200.0, w => Some(&mut w.flatwork.eyelet_spread)),
    parameter!("flatwork.eyelets.inset", "how far the eyelets' middles are from the plate's edge", stated, 0.5, 60.0, w => Some(&mut w.flatwork.eyelet_inset)),
    parameter!("flatwork.waists.offset", "how far the middle of a waist is from its eyelet, outwards", stated, 0.0, 60.0, w => Some(&mut w.flatwork.waist_offset)),
    parameter!("flatwork.waists.width", "width of a waist at the edge", stated, 0.5, 20.0, w => Some(&mut w.flatwork.waist_width)),
    parameter!("flatwork.waists.depth", "depth of a waist", stated, 0.2, 10.0, w => Some(&mut w.flatwork.waist_depth)),
    parameter!("flatwork.mark_radius", "radius of the bite in the bass end of the top plate", stated, 0.3, 10.0, w => Some(&mut w.flatwork.mark_radius)),
    parameter!("flatwork.sheet.length", "length of the sheet that plates are cut from", stated, 20.0, 3000.0, w => w.flatwork.sheet.as_mut().map(|s| &mut s.length)),
    parameter!("flatwork.sheet.width", "its width", stated, 20.0, 3000.0, w => w.flatwork.sheet.as_mut().map(|s| &mut s.width)),
    parameter!("flatwork.sheet.kerf", "what the cut takes away, from side to side of it", stated, 0.0, 4.0, w => w.flatwork.sheet.as_mut().map(|s| &mut s.kerf)),
    parameter!("flatwork.sheet.tolerance", "how far a cut size may be off, either way", stated, 0.005, 1.0, w => w.flatwork.sheet.as_mut().map(|s| &mut s.tolerance)),
    parameter!("flatwork.sheet.thickness_tolerance", "how far the sheet may be off its thickness, either way; one that you read with the caliper is within what that reads", stated, 0.005, 1.0, w => w.flatwork.sheet.as_mut().map(|s| &mut s.thickness_tolerance)),
    parameter!("flatwork.sheet.least_hole", "the smallest hole that can be cut", stated, 0.1, 10.0, w => w.flatwork.sheet.as_mut().map(|s| &mut s.least_hole)),
    parameter!("flatwork.sheet.least_web", "the least material between two cuts that holds", stated, 0.1, 10.0, w => w.flatwork.sheet.as_mut().map(|s| &mut s.least_web)),
    parameter!("flatwork.sheet.spacing", "between two plates on the sheet, and to its edge", stated, 0.0, 50.0, w => w.flatwork.sheet.as_mut().map(|s| &mut s.spacing)),
    parameter!("seat.lift", "how far foam or springs lift the baseplate off its seat", stated, 0.0, 40.0, w => Some(&mut w.seat.lift)),
    parameter!("seat.string_gap", "least distance between the strings and whatever is highest", stated, 0.0, 20.0, w => Some(&mut w.seat.string_gap)),
    parameter!("finish.cover.adds", "what the finish adds to a face of the cover, as you read it on a scrap; minus for what sanding takes off; none for what is usual of its coats", none, -0.5, 1.5, w => w.finish.cover.as_mut().and_then(|f| f.stated.as_mut())),
    parameter!("finish.baseplate.adds", "the same of the baseplate's edge", none, -0.5, 1.5, w => w.finish.baseplate.as_mut().and_then(|f| f.stated.as_mut())),
];

/// Looks a dimension up by its path.
pub fn parameter(path: &str) -> Option<&'static Parameter> {
    PARAMETERS.iter().find(|p| p.path == path)
}
