//! How each reading is taken, in a line.

use bobbinwright_spec::printer::coupon::CouponSize as C;
use bobbinwright_spec::{
    InstrumentQuantity as I, PieceSize, PositionQuantity as P, Quantity, Side, SizeOf, SurveyedPosition,
};

/// Which jaws, where, the word for the log where one is needed, and how often. (Common practice.)
/// `strings` is how many the family has, `position` the one that the quantity is of.
pub(super) fn how(quantity: &Quantity, strings: usize, position: Option<&SurveyedPosition>) -> String {
    match quantity {
        Quantity::Instrument(q) => instrument(*q).to_owned(),
        Quantity::At(_, q) => at(*q, strings, position),
        Quantity::Piece(_, size) => piece(*size).to_owned(),
        Quantity::Coupon(size) => coupon(*size).to_owned(),
    }
}

fn piece(size: PieceSize) -> &'static str {
    match size.size {
        SizeOf::ScrewPitch | SizeOf::PoleSpan => {
            "inside jaws, far edge to far edge of the holes (holes_far): 2 times"
        }
        SizeOf::HollowDepth => "depth rod from the rim to the roof, clear of the fillets: 3 places",
        SizeOf::RecessDepth => "depth rod from the top to the recess's floor: both recesses",
        SizeOf::LipHeight => "depth rod from the lip's edge to the plate: 2 places",
        SizeOf::PoleHole => "inside jaws, straight in and not tilted: 3 of the holes",
        _ if size.is_hole() => "inside jaws, straight in and not tilted: both holes",
        _ if size.is_inside() => "inside jaws, at the rim and deeper: 3 places",
        SizeOf::Length | SizeOf::Width | SizeOf::EarToEar | SizeOf::EarWidth => {
            "outside jaws, above the first layers: 3 places"
        }
        _ => "outside jaws: 3 places",
    }
}

fn coupon(size: C) -> &'static str {
    match size {
        C::Outer(..) => "outside jaws, above the first layers: 3 places",
        C::Slot(..) => "inside jaws, halfway up: 3 places",
        C::Post(_) => "outside jaws, twice across and once aslant",
        C::Hole(_) => "inside jaws, straight in and not tilted: 3 times, turned a little",
        C::Height(_) => "outside jaws, underside to top: 3 places",
        C::Foot(..) => "outside jaws on the lowest edge only, where it is widest: 3 places",
    }
}

fn instrument(q: I) -> &'static str {
    match q {
        I::Gauge(_) => "outside jaws on the bare string, without pressing: 2 times",
        I::NutSpread => "outside jaws over the outer strings at the nut (strings_outer): 2 times",
        I::BridgeSpread => "outside jaws over the outer strings at the saddles (strings_outer): 2 times",
        I::Scale => "rule, from the nut to the saddle of a middle string: 2 times",
        I::RodDiameter => "outside jaws: 4 different rods",
        I::RodLength => "outside jaws: 3 different rods",
        I::EyeletBarrel => "outside jaws: 2 different eyelets",
        I::EyeletFlange => "outside jaws, across the widest: 2 different eyelets",
        I::ScrewDiameter => "outside jaws over the thread: 2 different screws",
        I::ScrewHead => "outside jaws across the head: 2 different screws",
        I::ScrewHeadHeight => "outside jaws, from the head's top to where it bears: 2 screws",
        I::LeadDiameter => "outside jaws, without squeezing: 2 places",
    }
}

fn at(q: P, strings: usize, position: Option<&SurveyedPosition>) -> String {
    let has_ears = position.is_some_and(|p| p.has_ears);
    match q {
        P::RoutLength => {
            "inside jaws from end to end; at the top, halfway, at the bottom, each a spot".into()
        }
        P::RoutWidth => "inside jaws from side to side; near both ends and between, each a spot".into(),
        P::RoutCornerRadius | P::EarCornerRadius => {
            "half the cutter's diameter (packet), or by a radius gauge: 2 times".into()
        }
        P::RoutDepth => "depth rod from the body's face; at both ends, each a spot: 2 times each".into(),
        P::ScrewPitch => "inside jaws, far edge to far edge of the holes (holes_far): 3 times".into(),
        P::ScrewHole => "inside jaws in a screw hole in the body: 2 times".into(),
        P::ScrewSide(_, side @ (Side::Treble | Side::Bass)) if has_ears => {
            format!(
                "from the {} side out to the hole's near edge, as minus (hole_near): 2 times",
                side.name()
            )
        }
        P::ScrewSide(_, side) => {
            format!("inside jaws, {} side to the hole's near edge (hole_near): 2 times", side.name())
        }
        P::EarLength => "depth rod along the recess, from the rout's end to its own: 2 times".into(),
        P::EarWidth => "inside jaws across the recess: 2 times".into(),
        P::EarDepth => "depth rod from the body's face to the recess's floor: 2 times".into(),
        P::ChannelOffset => match position.and_then(|p| p.channel) {
            Some(Side::Bass | Side::Treble) => {
                "rule, from the end's middle to the channel's; towards the neck is plus: 2 times".into()
            }
            _ => "rule, from the side's middle to the channel's; towards treble is plus: 2 times".into(),
        },
        P::StringPair(..) => "outside jaws over both strings, above the rout (strings_outer): 2 times".into(),
        P::BassSide => {
            format!(
                "inside jaws, rout's bass side to the near face of string {strings} (string_near): 3 times"
            )
        }
        P::TrebleSide => {
            "inside jaws, rout's treble side to the near face of string 1 (string_near): 3 times".into()
        }
        P::StringHeight(_) => "depth rod beside the string, underside to the body's face: 2 times".into(),
        P::BridgeDistance => "rule, from the saddles to the position's middle: 2 times".into(),
    }
}
