//! Everything that can be measured, by name.
//!
//! A quantity's name is what stands in the log: `neck.rout.length`, `strings.gauge.3`,
//! `bridge.strings.1-6`. String 1 is the thinnest, on the treble side.

use std::fmt;

use crate::Length;
use crate::closest::closest;
use crate::part::{PieceSize, SizeOf};
use crate::printer::coupon::CouponSize;
use crate::wanted::Side;
use crate::written_rout::MOST_SCREWS;

/// A thing to measure.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// One figure for the whole instrument.
    Instrument(InstrumentQuantity),
    /// A figure of one position.
    At(String, PositionQuantity),
    /// A size of a position's printed part.
    Piece(String, PieceSize),
    /// A size of something that a printer printed, in the printer's own log.
    Coupon(CouponSize),
}

/// Measured once for an instrument.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum InstrumentQuantity {
    /// Diameter of a string, by number.
    Gauge(usize),
    /// Outer strings' centre distance at the nut.
    NutSpread,
    /// Outer strings' centre distance at the bridge.
    BridgeSpread,
    /// Speaking length of the strings.
    Scale,
    /// Diameter of the magnet rods.
    RodDiameter,
    /// Length of the magnet rods.
    RodLength,
    /// Outer diameter of an eyelet's barrel.
    EyeletBarrel,
    /// Outer diameter of an eyelet's flange.
    EyeletFlange,
    /// Outer diameter of the mounting screws' thread.
    ScrewDiameter,
    /// Diameter of the mounting screws' head.
    ScrewHead,
    /// Height of the mounting screws' head.
    ScrewHeadHeight,
    /// Diameter of the lead cable.
    LeadDiameter,
}

/// Measured for each position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PositionQuantity {
    /// Rout, along the row of strings.
    RoutLength,
    /// Rout, in the strings' direction.
    RoutWidth,
    /// From corner to opposite corner of the rout, the longest way between the arcs: from its treble or bass corner on the neck
    /// side.
    Diagonal(Side),
    /// Radius in the rout's corners.
    RoutCornerRadius,
    /// Depth of the rout under the body's face.
    RoutDepth,
    /// Centre distance of screws 1 and 2 in the body, which are most often all.
    ScrewPitch,
    /// Centre distance of two other screw holes in the body, the lower number first.
    ScrewPair(usize, usize),
    /// Diameter of the screw holes in the body.
    ScrewHole,
    /// Distance of a screw hole's middle from a side of the rout. Screw 1 is on the treble side, as string 1 is.
    ScrewSide(usize, Side),
    /// How far an ear recess reaches beyond the rout's end.
    EarLength,
    /// Width of an ear recess.
    EarWidth,
    /// Depth of an ear recess under the body's face.
    EarDepth,
    /// Radius in an ear recess' outer corners.
    EarCornerRadius,
    /// Distance of a screw hole's middle from a flank of the recess for its ear.
    EarSide(usize, Side),
    /// Where the wire channel opens, along its side from the side's middle.
    ChannelOffset,
    /// Centre distance of two strings, the lower number first.
    StringPair(usize, usize),
    /// Distance of the outer bass string's centre from the rout's bass side.
    BassSide,
    /// Distance of the outer treble string's centre from the rout's treble side.
    TrebleSide,
    /// Height of a string's underside over the body's face.
    StringHeight(usize),
    /// Distance of the position's middle from the bridge saddles.
    BridgeDistance,
}

/// Which part of a caliper touches, when a quantity is read directly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Jaws {
    /// The large jaws, closing from outside.
    Outside,
    /// The small jaws, opening from inside.
    Inside,
    /// The rod at the end of the beam.
    Depth,
}

impl Jaws {
    /// The word of the log.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Jaws::Outside => "outside",
            Jaws::Inside => "inside",
            Jaws::Depth => "depth",
        }
    }
}

use InstrumentQuantity as I;
use PositionQuantity as P;

const INSTRUMENT: [(&str, I); 11] = [
    ("nut.spread", I::NutSpread),
    ("bridge.spread", I::BridgeSpread),
    ("scale", I::Scale),
    ("rod.diameter", I::RodDiameter),
    ("rod.length", I::RodLength),
    ("eyelet.barrel", I::EyeletBarrel),
    ("eyelet.flange", I::EyeletFlange),
    ("screw.diameter", I::ScrewDiameter),
    ("screw.head", I::ScrewHead),
    ("screw.head_height", I::ScrewHeadHeight),
    ("lead.diameter", I::LeadDiameter),
];

const POSITION: [(&str, P); 16] = [
    ("rout.length", P::RoutLength),
    ("rout.width", P::RoutWidth),
    ("rout.diagonal.treble", P::Diagonal(Side::Treble)),
    ("rout.diagonal.bass", P::Diagonal(Side::Bass)),
    ("rout.corner_radius", P::RoutCornerRadius),
    ("rout.depth", P::RoutDepth),
    ("screws.pitch", P::ScrewPitch),
    ("screws.hole", P::ScrewHole),
    ("ears.length", P::EarLength),
    ("ears.width", P::EarWidth),
    ("ears.depth", P::EarDepth),
    ("ears.corner_radius", P::EarCornerRadius),
    ("channel.offset", P::ChannelOffset),
    ("strings.bass_side", P::BassSide),
    ("strings.treble_side", P::TrebleSide),
    ("distance", P::BridgeDistance),
];

impl Quantity {
    /// Reads a quantity's name. `positions` are the family's; `strings` how many it has. The error
    /// says in words what is wrong with the name.
    pub fn parse(name: &str, positions: &[String], strings: usize) -> Result<Self, String> {
        Self::find(name, positions, strings).map_err(|why| {
            why.unwrap_or_else(|| format!("nothing is called {name:?}{}", nearest(name, positions, strings)))
        })
    }

    /// The same. The error is none where nothing is called so; to look for what is called alike takes time.
    pub(crate) fn find(name: &str, positions: &[String], strings: usize) -> Result<Self, Option<String>> {
        if let Some((_, q)) = INSTRUMENT.iter().find(|(n, _)| *n == name) {
            return Ok(Quantity::Instrument(*q));
        }
        if let Some(number) = name.strip_prefix("strings.gauge.") {
            return Ok(Quantity::Instrument(I::Gauge(string_number(number, strings)?)));
        }
        let Some((position, rest)) = positions.iter().find_map(|p| {
            let rest = name.strip_prefix(p.as_str())?.strip_prefix('.')?;
            Some((p, rest))
        }) else {
            return Err(None);
        };
        if let Some(size) = PieceSize::parse(rest) {
            return Ok(Quantity::Piece(position.clone(), size));
        }
        let at = |q| Ok(Quantity::At(position.clone(), q));
        if let Some((_, q)) = POSITION.iter().find(|(n, _)| *n == rest) {
            return at(*q);
        }
        if let Some(number) = rest.strip_prefix("strings.height.") {
            return at(P::StringHeight(string_number(number, strings)?));
        }
        if let Some((screw, side)) = rest.strip_prefix("screws.").and_then(|place| place.split_once('.')) {
            let side = Side::ALL.iter().find(|(word, _)| side.strip_suffix("_side") == Some(word));
            let Some((_, side)) = side else { return Err(None) };
            return at(P::ScrewSide(screw_number(screw)?, *side));
        }
        if let Some((a, b)) = rest.strip_prefix("screws.").and_then(|pair| pair.split_once('-')) {
            let (a, b) = (screw_number(a)?, screw_number(b)?);
            return match (a.min(b), a.max(b)) {
                (1, 2) => at(P::ScrewPitch),
                (a, b) if a == b => Err(Some(format!("{name:?} is the distance of screw {a} from itself"))),
                (a, b) => at(P::ScrewPair(a, b)),
            };
        }
        if let Some((ear, side)) = rest.strip_prefix("ears.").and_then(|place| place.split_once('.')) {
            let side = Side::ALL.iter().find(|(word, _)| side.strip_suffix("_side") == Some(word));
            let Some((_, side)) = side else { return Err(None) };
            return at(P::EarSide(screw_number(ear)?, *side));
        }
        if let Some((a, b)) = rest.strip_prefix("strings.").and_then(|pair| pair.split_once('-')) {
            let (a, b) = (string_number(a, strings)?, string_number(b, strings)?);
            if a == b {
                return Err(Some(format!("{name:?} is the distance of string {a} from itself")));
            }
            return at(P::StringPair(a.min(b), a.max(b)));
        }
        Err(None)
    }

    /// The position that it is of; none for what all of a family share.
    pub fn position(&self) -> Option<&str> {
        match self {
            Quantity::At(position, _) | Quantity::Piece(position, _) => Some(position),
            Quantity::Instrument(_) | Quantity::Coupon(_) => None,
        }
    }

    /// How the quantity is read with a caliper when the log does not say.
    pub fn usual_jaws(&self) -> Jaws {
        match self {
            Quantity::At(_, P::RoutDepth | P::EarDepth | P::StringHeight(_)) => Jaws::Depth,
            Quantity::Piece(_, size) if size.is_depth() => Jaws::Depth,
            Quantity::Piece(_, size) if size.is_inside() => Jaws::Inside,
            Quantity::Coupon(CouponSize::Hole(_) | CouponSize::Slot(..)) => Jaws::Inside,
            Quantity::At(
                _,
                P::RoutLength
                | P::RoutWidth
                | P::Diagonal(_)
                | P::RoutCornerRadius
                | P::ScrewHole
                | P::EarLength
                | P::EarWidth
                | P::EarCornerRadius
                | P::ScrewSide(..)
                | P::EarSide(..)
                | P::BassSide
                | P::TrebleSide,
            ) => Jaws::Inside,
            _ => Jaws::Outside,
        }
    }

    /// The sizes that make sense, from and to. Beyond them it is a slip: an inch typed as a
    /// millimetre, a missing decimal point. (Common practice: wider than any pickup known.)
    pub fn sensible(&self) -> (Length, Length) {
        let (low, high) = match self {
            Quantity::Piece(_, size) => match size.size {
                SizeOf::RecessDepth | SizeOf::LipHeight | SizeOf::EarThickness => (0.1, 40.0),
                _ if size.is_hole() => (0.3, 20.0),
                _ => (0.3, 320.0),
            },
            // Whatever a printer does to a size, it is less than this.
            Quantity::Coupon(size) => {
                let drawn = size.drawn().as_mm();
                (drawn * 0.9 - 1.2, drawn * 1.1 + 1.2)
            }
            Quantity::Instrument(q) => match q {
                I::Gauge(_) => (0.15, 4.0),
                I::NutSpread => (15.0, 120.0),
                I::BridgeSpread => (20.0, 200.0),
                I::Scale => (300.0, 1200.0),
                I::RodDiameter => (1.5, 13.0),
                I::RodLength => (4.0, 40.0),
                I::EyeletBarrel => (0.8, 5.0),
                I::EyeletFlange => (1.0, 8.0),
                I::ScrewDiameter => (1.2, 6.0),
                I::ScrewHead => (2.0, 12.0),
                I::ScrewHeadHeight => (0.5, 6.0),
                I::LeadDiameter => (0.5, 8.0),
            },
            Quantity::At(_, q) => match q {
                P::RoutLength | P::Diagonal(_) => (25.0, 250.0),
                P::RoutWidth => (8.0, 120.0),
                P::RoutCornerRadius => (0.0, 40.0),
                P::RoutDepth => (3.0, 60.0),
                P::ScrewPitch | P::ScrewPair(..) => (5.0, 250.0),
                P::ScrewHole => (0.8, 8.0),
                // A screw in an ear stands beyond the rout.
                P::ScrewSide(_, side) => (-60.0, if side.is_end() { 250.0 } else { 120.0 }),
                P::EarLength | P::EarWidth => (3.0, 60.0),
                P::EarDepth => (1.0, 40.0),
                P::EarCornerRadius => (0.0, 30.0),
                P::EarSide(..) => (0.5, 60.0),
                P::ChannelOffset => (-120.0, 120.0),
                P::StringPair(..) => (3.0, 200.0),
                P::BassSide | P::TrebleSide => (-20.0, 120.0),
                P::StringHeight(_) => (0.5, 40.0),
                P::BridgeDistance => (5.0, 700.0),
            },
        };
        (Length::from_mm(low), Length::from_mm(high))
    }

    /// The sizes that are usual, where another unit could make a slip look sensible: a quarter of an
    /// inch typed as 0.25 mm is a sensible corner radius, but no usual one. The same as
    /// [`Quantity::sensible`] where the two units can't be mistaken. (Common practice.)
    pub fn usual(&self) -> (Length, Length) {
        let Quantity::At(_, q) = self else { return self.sensible() };
        let (low, high) = match q {
            P::RoutCornerRadius | P::EarCornerRadius => (1.0, 20.0),
            P::EarDepth => (2.0, 20.0),
            P::BassSide | P::TrebleSide => (3.0, 80.0),
            P::StringPair(a, b) => (5.5 * (b - a) as f64, 25.0 * (b - a) as f64),
            P::StringHeight(_) => (3.0, 30.0),
            P::BridgeDistance => (15.0, 350.0),
            _ => return self.sensible(),
        };
        (Length::from_mm(low), Length::from_mm(high))
    }

    /// A distance between the middles of things that have a size of their own, so that it matters which
    /// of their faces were touched.
    pub fn is_between_things(&self) -> bool {
        matches!(
            self,
            Quantity::Instrument(I::NutSpread | I::BridgeSpread)
                | Quantity::At(
                    _,
                    P::StringPair(..)
                        | P::BassSide
                        | P::TrebleSide
                        | P::ScrewPitch
                        | P::ScrewPair(..)
                        | P::ScrewSide(..)
                        | P::EarSide(..)
                )
        ) || self.holes().is_some()
    }

    /// The holes whose far or near edges a centre distance is read from, when it is one of holes.
    pub fn holes(&self) -> Option<Self> {
        match self {
            Quantity::At(p, P::ScrewPitch | P::ScrewPair(..)) => Some(Quantity::At(p.clone(), P::ScrewHole)),
            Quantity::Piece(p, size) => Some(Quantity::Piece(p.clone(), size.holes()?)),
            _ => None,
        }
    }

    /// What it is called in one of its spots: `neck.rout.width at "bass end"`.
    pub fn named(&self, spot: Option<&str>) -> String {
        spot.map_or_else(|| self.to_string(), |spot| format!("{self} at {spot:?}"))
    }

    /// One of many pieces alike, bought; every one of them must go in.
    pub fn is_bought(&self) -> bool {
        matches!(self, Quantity::Instrument(q) if I::BOUGHT.contains(q))
    }
}

impl InstrumentQuantity {
    /// What is bought for a pickup, in the order in which it is measured best.
    pub const BOUGHT: [Self; 8] = [
        I::RodDiameter,
        I::RodLength,
        I::EyeletBarrel,
        I::EyeletFlange,
        I::ScrewDiameter,
        I::ScrewHead,
        I::ScrewHeadHeight,
        I::LeadDiameter,
    ];
}

/// The name as it stands in the log.
impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Quantity::Instrument(I::Gauge(n)) => write!(f, "strings.gauge.{n}"),
            Quantity::Instrument(q) => {
                let name = INSTRUMENT.iter().find(|(_, other)| other == q).map_or("?", |(n, _)| n);
                f.write_str(name)
            }
            Quantity::Piece(position, size) => write!(f, "{position}.{size}"),
            Quantity::Coupon(size) => write!(f, "{size}"),
            Quantity::At(position, P::StringPair(a, b)) => write!(f, "{position}.strings.{a}-{b}"),
            Quantity::At(position, P::ScrewPair(a, b)) => write!(f, "{position}.screws.{a}-{b}"),
            Quantity::At(position, P::EarSide(n, side)) => {
                write!(f, "{position}.ears.{n}.{}_side", side.name())
            }
            Quantity::At(position, P::StringHeight(n)) => write!(f, "{position}.strings.height.{n}"),
            Quantity::At(position, P::ScrewSide(n, side)) => {
                write!(f, "{position}.screws.{n}.{}_side", side.name())
            }
            Quantity::At(position, q) => {
                let name = POSITION.iter().find(|(_, other)| other == q).map_or("?", |(n, _)| n);
                write!(f, "{position}.{name}")
            }
        }
    }
}

fn string_number(text: &str, strings: usize) -> Result<usize, String> {
    match text.parse() {
        Ok(n) if (1..=strings).contains(&n) => Ok(n),
        Ok(n) => Err(format!("there is no string {n}: the family has {strings}, 1 is the thinnest")),
        Err(_) => Err(format!("{text:?} is not a string's number")),
    }
}

/// Which of them a position has is asked where they are put to use.
fn screw_number(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(n) if (1..=MOST_SCREWS).contains(&n) => Ok(n),
        _ => Err(format!(
            "{text:?} is no screw's number: of two, 1 is the one on the treble side, 2 on the bass side; more are numbered as the family says"
        )),
    }
}

/// ", did you mean …" for the known name that is closest to a wrong one.
fn nearest(name: &str, positions: &[String], strings: usize) -> String {
    if name.contains(".coil") {
        return "; what the meter shows of a coil is entered with bobbinwright wound".to_owned();
    }
    let instrument = INSTRUMENT.iter().map(|(n, _)| (*n).to_owned());
    let gauges = (1..=strings).map(|n| format!("strings.gauge.{n}"));
    let at = positions.iter().flat_map(|p| {
        let heights = (1..=strings).map(move |n| format!("{p}.strings.height.{n}"));
        let pairs = (1..strings).map(move |n| format!("{p}.strings.{n}-{}", n + 1));
        let screws = (1..=2)
            .flat_map(move |n| Side::ALL.iter().map(move |(side, _)| format!("{p}.screws.{n}.{side}_side")));
        let pieces = PieceSize::names().map(move |n| format!("{p}.{n}"));
        POSITION
            .iter()
            .map(move |(n, _)| format!("{p}.{n}"))
            .chain(heights)
            .chain(pairs)
            .chain(screws)
            .chain(pieces)
    });
    match closest(name, instrument.chain(gauges).chain(at)) {
        Some(known) => format!("; did you mean {known:?}?"),
        None => String::new(),
    }
}
