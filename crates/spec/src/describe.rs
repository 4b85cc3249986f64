//! What each quantity is, in words, for sheets and messages.

use crate::quantity::{InstrumentQuantity as I, PositionQuantity as P, Quantity};

impl Quantity {
    /// What the quantity is, in words, for sheets and messages.
    pub fn describe(&self) -> String {
        match self {
            Quantity::Instrument(q) => match q {
                I::Gauge(n) => format!("diameter of string {n}"),
                I::NutSpread => "centre distance of the outer strings at the nut".into(),
                I::BridgeSpread => "centre distance of the outer strings at the bridge".into(),
                I::Scale => "scale length".into(),
                I::RodDiameter => "diameter of a magnet rod".into(),
                I::RodLength => "length of a magnet rod".into(),
                I::EyeletBarrel => "diameter of an eyelet's barrel".into(),
                I::EyeletFlange => "diameter of an eyelet's flange".into(),
                I::ScrewDiameter => "thread diameter of a mounting screw".into(),
                I::ScrewHead => "diameter of a mounting screw's head".into(),
                I::ScrewHeadHeight => "height of a mounting screw's head".into(),
                I::LeadDiameter => "diameter of the lead".into(),
            },
            Quantity::At(position, q) => format!("{} ({position})", describe_at(*q)),
            Quantity::Piece(position, size) => format!("{} ({position})", size.describe()),
            Quantity::Coupon(size) => size.describe(),
        }
    }
}

fn describe_at(q: P) -> String {
    match q {
        P::RoutLength => "length of the rout, along the row of strings".into(),
        P::RoutWidth => "width of the rout, along the strings".into(),
        P::Diagonal(from) => format!("diagonal from the {} corner at the neck", from.name()),
        P::RoutCornerRadius => "radius in the rout's corners".into(),
        P::RoutDepth => "depth of the rout".into(),
        P::ScrewPitch => "centre distance of screw holes 1 and 2".into(),
        P::ScrewPair(a, b) => format!("centre distance of screw holes {a} and {b}"),
        P::ScrewHole => "diameter of a screw hole in the body".into(),
        P::ScrewSide(n, side) => format!("distance of screw {n} from the rout's {} side", side.name()),
        P::EarLength => "how far an ear recess reaches beyond the rout".into(),
        P::EarWidth => "width of an ear recess".into(),
        P::EarDepth => "depth of an ear recess".into(),
        P::EarCornerRadius => "radius in an ear recess' corners".into(),
        P::EarSide(n, side) => format!("distance of screw {n} from its ear recess's {} flank", side.name()),
        P::ChannelOffset => "wire channel, from the middle of its side".into(),
        P::StringPair(a, b) => format!("centre distance of strings {a} and {b}"),
        P::BassSide => "outer bass string from the rout's bass side".into(),
        P::TrebleSide => "outer treble string from the rout's treble side".into(),
        P::StringHeight(n) => format!("lowest height of string {n}'s underside over the face"),
        P::BridgeDistance => "middle of the position from the saddles".into(),
    }
}
