//! How each reading is taken: which jaws, where, how often. (Common practice.)

use bobbinwright_spec::printer::coupon::CouponSize as C;
use bobbinwright_spec::{
    Angle, InstrumentQuantity as I, PartKind, PieceSize, PositionQuantity as P, Quantity, Side, SizeOf,
    SurveyedPosition,
};

/// How a reading is taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taking {
    /// Which jaws, where, and the word for the log where one is needed.
    pub how: String,
    /// How often; of something that is read in spots, in each.
    pub times: usize,
    /// What that counts: `different rods`, or `times` of the same thing.
    pub counted: &'static str,
    /// The spots that it is read in, where one would not tell of all.
    pub spots: &'static [&'static str],
}

impl Taking {
    fn new(how: impl Into<String>, times: usize, counted: &'static str) -> Self {
        Self { how: how.into(), times, counted, spots: &[] }
    }

    fn in_spots(how: &str, times: usize, spots: &'static [&'static str]) -> Self {
        Self { how: how.into(), times, counted: "times each", spots }
    }

    /// In a line.
    pub fn line(&self) -> String {
        let Self { how, times, counted, spots } = self;
        match (spots.is_empty(), times) {
            (true, _) => format!("{how}: {times} {counted}"),
            (false, 1) => format!("{how}; each a spot: {}", spots.join(", ")),
            (false, _) => format!("{how}; each a spot: {}; {times} {counted}", spots.join(", ")),
        }
    }
}

const EDGES: [&str; 2] = ["neck edge", "bridge edge"];
const ENDS: [&str; 2] = ["bass end", "treble end"];
const HOLES: [&str; 3] = ["hole 1", "hole 2", "hole 3"];
const EARS: [&str; 6] = ["ear 1", "ear 2", "ear 3", "ear 4", "ear 5", "ear 6"];
const ALONG: [&str; 3] = ["bass end", "middle", "treble end"];
const ACROSS: [&str; 3] = ["bridge side", "middle", "neck side"];

/// How a quantity is read. `strings` is how many the family has, `position` the one that the quantity is of.
pub(super) fn taking(quantity: &Quantity, strings: usize, position: Option<&SurveyedPosition>) -> Taking {
    match quantity {
        Quantity::Instrument(q) => instrument(*q),
        Quantity::At(_, q) => at(*q, strings, position),
        Quantity::Piece(_, size) if position.is_some_and(|p| !p.outline.is_parallel()) => widening(*size),
        Quantity::Piece(_, size) => piece(*size),
        Quantity::Coupon(size) => coupon(*size),
    }
}

/// Of a cover or baseplate whose sides are not parallel: another size a little further along.
fn widening(size: PieceSize) -> Taking {
    let is_housing = matches!(size.part, PartKind::Cover | PartKind::Baseplate);
    match size.size {
        SizeOf::Length | SizeOf::Width if is_housing => {
            Taking::new("outside jaws halfway along, turned until they read least", 3, "times")
        }
        SizeOf::HollowLength | SizeOf::HollowWidth | SizeOf::LipLength | SizeOf::LipWidth => {
            Taking::new("jaws halfway along, turned until they read least", 3, "times")
        }
        _ => piece(size),
    }
}

fn piece(size: PieceSize) -> Taking {
    match size.size {
        SizeOf::ScrewPitch | SizeOf::PoleSpan => {
            Taking::new("inside jaws, far edge to far edge of the holes (holes_far)", 2, "times")
        }
        SizeOf::HollowDepth => {
            Taking::new("depth rod from the rim to the roof, clear of the fillets", 3, "places")
        }
        SizeOf::RecessDepth => Taking::new("depth rod from the top to the recess's floor", 2, "recesses"),
        SizeOf::LipHeight => Taking::new("depth rod from the lip's edge to the plate", 2, "places"),
        // The smallest decides, so each is read by itself.
        SizeOf::PoleHole => Taking::in_spots("inside jaws, straight in", 1, &HOLES),
        _ if size.is_hole() => Taking::in_spots("inside jaws, straight in", 1, &HOLES[..2]),
        _ if size.is_inside() => Taking::new("inside jaws, at the rim and deeper", 3, "places"),
        SizeOf::Length | SizeOf::Width | SizeOf::EarToEar | SizeOf::EarWidth => {
            Taking::new("outside jaws, above the first layers", 3, "places")
        }
        _ => Taking::new("outside jaws", 3, "places"),
    }
}

fn coupon(size: C) -> Taking {
    match size {
        C::Outer(..) => Taking::new("outside jaws, above the first layers", 3, "places"),
        C::Slot(..) => Taking::new("inside jaws, halfway up", 3, "places"),
        C::Post(_) => Taking::new("outside jaws, twice across and once aslant", 3, "times"),
        C::Hole(_) => Taking::new("inside jaws, straight in and not tilted, turned a little", 3, "times"),
        C::Height(_) => Taking::new("outside jaws, underside to top", 3, "places"),
        C::Foot(..) => Taking::new("outside jaws on the lowest edge only, where it is widest", 3, "places"),
    }
}

fn instrument(q: I) -> Taking {
    let (how, times, counted) = match q {
        I::Gauge(_) => ("outside jaws on the bare string, without pressing", 2, "times"),
        I::NutSpread => ("outside jaws over the outer strings at the nut (strings_outer)", 2, "times"),
        I::BridgeSpread => ("outside jaws over the outer strings at the saddles (strings_outer)", 2, "times"),
        I::Scale => ("rule, from the nut to the saddle of a middle string", 2, "times"),
        I::RodDiameter => ("outside jaws", 4, "different rods"),
        I::RodLength => ("outside jaws", 3, "different rods"),
        I::EyeletBarrel => ("outside jaws", 2, "different eyelets"),
        I::EyeletFlange => ("outside jaws, across the widest", 2, "different eyelets"),
        I::ScrewDiameter => ("outside jaws over the thread", 2, "different screws"),
        I::ScrewHead => ("outside jaws across the head", 2, "different screws"),
        I::ScrewHeadHeight => ("outside jaws, from the head's top to where it bears", 2, "screws"),
        I::LeadDiameter => ("outside jaws, without squeezing", 2, "places"),
    };
    Taking::new(how, times, counted)
}

/// From an end that strings cross askew: they are elsewhere a millimetre further in.
fn to_string(number: usize) -> String {
    format!("inside jaws where the corner's round begins, to string {number} (string_near)")
}

fn at(q: P, strings: usize, position: Option<&SurveyedPosition>) -> Taking {
    let ear_of = |screw: usize| position.and_then(|p| p.ears.get(screw - 1)).copied();
    let ears = position.map_or(&[][..], |p| &p.ears);
    // Where there is one at each end, it is called so.
    let recesses = if matches!(ears, [] | [Side::Treble, Side::Bass]) {
        &ENDS[..]
    } else {
        EARS.get(..ears.len()).unwrap_or(&EARS)
    };
    let twice = |how: &str| Taking::new(how, 2, "times");
    let is_leaning = position.is_some_and(|p| !p.outline.is_square());
    let is_widening = position.is_some_and(|p| !p.outline.is_parallel());
    let square = if is_leaning { ", square to that side" } else { "" };
    let is_slanted = position.is_some_and(|p| p.slant != Angle::default());
    match q {
        // What widens on purpose is another size a millimetre further in.
        P::RoutLength if is_widening => Taking::in_spots(
            "inside jaws where the corner's round begins, turned until they read least",
            1,
            &ACROSS,
        ),
        P::RoutWidth if is_widening => {
            Taking::in_spots("inside jaws where the corner's round begins, from side to side", 1, &ALONG)
        }
        P::RoutLength if is_leaning => {
            Taking::in_spots("inside jaws, turned until they read least", 1, &ACROSS)
        }
        P::RoutLength => Taking::in_spots("inside jaws from end to end", 1, &ACROSS),
        P::RoutWidth => Taking::in_spots("inside jaws from side to side", 1, &ALONG),
        P::Diagonal(_) => twice("inside jaws from corner to corner, turned until they read most"),
        P::RoutCornerRadius => {
            twice("half the cutter (packet) or a radius gauge; each in its spot if they differ")
        }
        P::EarCornerRadius => twice("half the cutter's diameter (packet), or by a radius gauge"),
        P::RoutDepth => Taking::in_spots("depth rod from the body's face", 2, &ENDS),
        P::ScrewPitch | P::ScrewPair(..) => {
            Taking::new("inside jaws, far edge to far edge of the holes (holes_far)", 3, "times")
        }
        P::ScrewHole => twice("inside jaws in a screw hole in the body"),
        P::ScrewSide(screw, side) if ear_of(screw).is_some_and(|ear| ear == side) => twice(&format!(
            "from the {} side {}out to the hole's near edge, as minus (hole_near)",
            side.name(),
            if is_leaning { "square " } else { "" }
        )),
        P::ScrewSide(_, side) => {
            twice(&format!("inside jaws, {} side to the hole's near edge{square} (hole_near)", side.name()))
        }
        P::EarLength => Taking::in_spots("depth rod along the recess from the rout's side", 1, recesses),
        P::EarWidth => Taking::in_spots("inside jaws across the recess", 1, recesses),
        P::EarDepth => Taking::in_spots("depth rod, body's face to the recess's floor", 1, recesses),
        P::EarSide(_, side) => twice(&format!(
            "inside jaws, the recess's {} flank to the hole's near edge (hole_near)",
            side.name()
        )),
        P::ChannelOffset => match position.and_then(|p| p.channel) {
            Some(Side::Bass | Side::Treble) => {
                twice("rule, from the end's middle to the channel's; towards the neck is plus")
            }
            _ => twice("rule, from the side's middle to the channel's; towards treble is plus"),
        },
        P::StringPair(..) if is_slanted => {
            twice("outside jaws over both, square to them, mid-rout (strings_outer)")
        }
        // How slanted it is follows from both.
        P::BassSide if is_slanted => Taking::in_spots(&to_string(strings), 2, &EDGES),
        P::TrebleSide if is_slanted => Taking::in_spots(&to_string(1), 2, &EDGES),
        P::StringPair(..) => {
            twice("outside jaws square over both strings, at the rout's middle line (strings_outer)")
        }
        P::BassSide => Taking::new(
            format!(
                "inside jaws along the middle line, bass side to the near face of string {strings} (string_near)"
            ),
            3,
            "times",
        ),
        P::TrebleSide => Taking::new(
            "inside jaws along the middle line, treble side to the near face of string 1 (string_near)",
            3,
            "times",
        ),
        P::StringHeight(_) => twice("depth rod, at the edge of the rout where it is less"),
        P::BridgeDistance => twice("rule, from the saddles to the position's middle"),
    }
}
